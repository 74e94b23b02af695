"""What the page is told, as plain values: the house and its outline, words to choose from, light by day and point."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike

from tenhour.door import Year
from tenhour.door.arguments import number_of
from tenhour.errors import ARGUMENT, FileProblem, Problem
from tenhour.model.house import House
from tenhour.model.outline import face_names, face_outline_m, looks_deg, profile_m
from tenhour.open.session import Seen, Session
from tenhour.year.inside.preview import BedDay
from tenhour.year.inside.sunpaths import spot_paths
from tenhour.year.outside.sunlight import DULL

HUNDREDTHS: Final = 100.0
"""Light is sent in whole hundredths of a mol: half of what is drawn differs by less than the eye sees."""

BED_KEYS: Final = ("name", "at_m", "size_m", "height_m", "canopy_m")


def file_shown(session: Session, seen: Seen) -> dict[str, Any]:
    """The file with its house, or with what is wrong with it."""
    return {
        "version": seen.version,
        "file": session.path.name,
        "problems": lines_of(seen.problems),
        "undo": session.undo_label,
        "redo": session.redo_label,
        **{f"{table}_keys": _keys(seen, table) for table in ("site", "house")},
        "house": None if seen.house is None else house_shown(seen.house),
    }


def _keys(seen: Seen, table: str) -> list[str]:
    """Keys that a table of the file holds."""
    return [] if seen.house is None else list(tomllib.loads(seen.text).get(table, {}))


def lines_of(problems: Iterable[Problem]) -> list[str]:
    """Problems as the lines a user reads."""
    return [problem.line() for problem in problems]


def house_shown(house: House) -> dict[str, Any]:
    """A house as it is drawn; lengths in metres, directions in degrees."""
    site = house.site
    return {
        "name": house.name,
        "us_units": house.us_units,
        "place": site.place,
        "latitude_deg": site.latitude_deg,
        "longitude_deg": site.longitude_deg,
        "elevation_m": site.elevation_m,
        "timezone": site.timezone,
        "snow_months": list(site.snow_months),
        "skyline_deg": [list(pair) for pair in zip(site.skyline.azimuth_deg, site.skyline.height_deg, strict=True)],
        "shape": house.shape,
        "dimensions_m": dict(house.dimensions_m),
        "azimuth_deg": house.azimuth_deg,
        "cover": house.cover,
        "profile_m": []
        if house.shape == "custom"
        else [list(point) for point in profile_m(house.shape, house.dimensions_m)],
        "faces": _faces(house),
        "windows": [vars(window) for window in house.windows],
        "boxes": [{"name": box.name, "at_m": box.at_m, "size_m": box.size_m} for box in house.boxes],
        "beds": [{key: getattr(bed, key) for key in BED_KEYS} for bed in house.beds],
        "floor_m": _floor(house),
        "day_set_degc": _first(house.air.day_set_degc),
        "night_set_degc": _first(house.air.night_set_degc),
        "stated_air": house.air.night_degc is not None or house.air.day_degc is not None,
        "heater": house.heaters[0].kind if house.heaters else None,
        "lamps": [{"bed": lamps.bed, "count": lamps.count} for lamps in house.lamps],
        "assumptions": list(house.assumptions),
    }


def _first(values: tuple[float, ...] | None) -> float | None:
    return None if values is None else values[0]


def _faces(house: House) -> list[dict[str, Any]]:
    if house.shape == "custom":
        return [
            {"name": s.name, "cover": s.cover.split("/", 1)[0], "opaque": house.covers[s.cover].opaque}
            for s in house.surfaces
        ]
    return [
        {
            "name": name,
            "cover": house.faces[name].cover.split("/", 1)[0],
            "opaque": house.covers[house.faces[name].cover].opaque,
            "outline_m": face_outline_m(house.shape, house.dimensions_m, name),
            "looks_deg": looks_deg(name, house.azimuth_deg),
        }
        for name in face_names(house.shape, house.dimensions_m)
    ]


def _floor(house: House) -> list[list[float]]:
    """Low and high corner of the floor [m]."""
    if house.shape != "custom":
        return [[0.0, 0.0], [house.dimensions_m["length"], house.dimensions_m["width"]]]
    corners = np.array([vertex[:2] for surface in house.surfaces for vertex in surface.vertices_m])
    return [corners.min(axis=0).tolist(), corners.max(axis=0).tolist()]


def words_shown() -> dict[str, Any]:
    """What can be chosen from: covers, shapes with their usual sizes, crops, lamps, signs, kinds of light."""
    from tenhour.files.covers import shipped_covers
    from tenhour.files.crop import load_crops
    from tenhour.files.house.draft import DEFAULTS, OPAQUE_FACES
    from tenhour.files.house.shape import DEFAULT_COVER
    from tenhour.files.lamp_kinds import load_kinds
    from tenhour.files.signs import load_signs
    from tenhour.files.spectra import load_spectra
    from tenhour.model.log import WHATS

    signs, _ = load_signs()
    return {
        "covers": [{"key": key, "title": cover.title} for key, cover in shipped_covers().items()],
        "shapes": [
            {
                "key": shape,
                "sizes_m": {key: float(text) for key, text in sizes.items()},
                "cover": DEFAULT_COVER[shape],
                "opaque": list(OPAQUE_FACES.get(shape, ())),
            }
            for shape, sizes in DEFAULTS.items()
        ],
        "crops": [{"key": crop.key, "name": crop.name, "way": crop.way} for crop in load_crops()],
        "lamps": [{"key": key, "title": kind.title} for key, kind in load_kinds().items()],
        "signs": [{"key": key, "says": sign.says} for key, sign in signs.items()],
        "lights": list(load_spectra()),
        "whats": list(WHATS),
    }


def _hundredths(values: ArrayLike) -> list[Any]:
    return np.rint(np.asarray(values, dtype=np.float64) * HUNDREDTHS).astype(int).tolist()  # type: ignore[no-any-return]


def year_shown(year: Year) -> dict[str, Any]:
    """Light outdoors and on every bed and point by day, in hundredths of a mol; the numbers that every answer uses."""
    world = year.model.world
    out = world.outdoors
    return {
        "outdoors": {
            "dli": _hundredths(out.dli_mol_m2_d),
            "dull": _hundredths(out.class_dli_mol_m2_d[:, DULL]),
            "daylength_h": np.round(out.daylength_h, 3).tolist(),
            "noon_height_deg": np.round(out.noon_height_deg, 2).tolist(),
        },
        "beds": [
            {
                "name": bed.name,
                "x_m": np.round(bed.x_m, 3).tolist(),
                "y_m": np.round(bed.y_m, 3).tolist(),
                "dli": _hundredths(bed.dli_mol_m2_d),
                "dull": _hundredths(bed.class_dli_mol_m2_d[:, DULL]),
                "lamps": _hundredths(bed.lamps_dli_mol_m2_d),
                "beam": _hundredths(bed.beam_dli_mol_m2_d),
                "sky": _hundredths(bed.sky_dli_mol_m2_d),
                "bounced": _hundredths(bed.bounced_dli_mol_m2_d),
                "overcast_ratio": bed.overcast_ratio,
                "points": _hundredths(bed.point_dli_mol_m2_d),
            }
            for bed in world.beds
        ],
    }


def day_shown(beds: Iterable[BedDay]) -> dict[str, Any]:
    """Coarse daylight on the beds on one day, in the same form."""
    return {
        "beds": [
            {
                "name": bed.name,
                "x_m": np.round(bed.x_m, 3).tolist(),
                "y_m": np.round(bed.y_m, 3).tolist(),
                "dli": _hundredths(bed.dli_mol_m2_d),
                "dull": _hundredths(bed.dull_dli_mol_m2_d),
                "points": _hundredths(bed.point_dli_mol_m2_d),
            }
            for bed in beds
        ]
    }


def places_shown(text: str) -> list[dict[str, Any]]:
    """Places of a name, the largest first. Errors: FileProblem with the nearest spellings."""
    from tenhour.files.places import SHOWN, find_place

    return [
        {"label": p.label, "latitude_deg": p.latitude_deg, "longitude_deg": p.longitude_deg}
        for p in find_place(text, "place")[:SHOWN]
    ]


def sky_shown(house: House, words: Mapping[str, Any]) -> dict[str, Any]:
    """The sun's ways over a spot of a bed, and which directions reach it through a pane.

    Parameters: house; words, ``bed`` (its number) and ``x_m``, ``y_m`` on the floor.
    """
    number = int(words.get("bed", 0))
    if not 0 <= number < len(house.beds):
        raise FileProblem([Problem(ARGUMENT, "bed", repr(number), "the number of a bed", "")])
    spot = tuple(number_of(key, words.get(key, 0.0), -1000, 1000) for key in ("x_m", "y_m"))
    paths = spot_paths(house, number, (spot[0], spot[1]))
    return {
        "tracks": [
            {"on": t.on.isoformat(), "azimuth_deg": t.azimuth_deg, "height_deg": t.height_deg} for t in paths.tracks
        ],
        "skyline_deg": [paths.skyline_azimuth_deg, paths.skyline_height_deg],
        "azimuth_deg": paths.beds[0].azimuth_deg,
        "height_deg": paths.beds[0].height_deg,
        "reached_frac": paths.beds[0].reached_frac,
    }
