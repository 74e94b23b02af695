"""The house file: read it, check all of it at once, and turn it into a house; move a house to another place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from statistics import median
from typing import Any, Final

from tenhour.errors import FileProblem
from tenhour.files.covers import shipped_covers
from tenhour.files.house.covers import check_cover, known_covers
from tenhour.files.house.household import build_household
from tenhour.files.house.inside import (
    Room,
    build_beds,
    build_boxes,
    build_outside,
    build_surfaces,
    check_outside,
    check_places,
    house_layers,
    note_overlaps,
)
from tenhour.files.house.lamps import build_lamps
from tenhour.files.house.learned import build_lessons
from tenhour.files.house.nursery import build_nursery
from tenhour.files.house.parts import Parts, read_parts
from tenhour.files.house.schema import CalibrationTable, HouseTable
from tenhour.files.house.shape import azimuth_deg, build_faces, build_windows, default_face, dimensions, face_choices
from tenhour.files.house.site import CheckedSite, check_site, default_elevation_m, finish_site, zone_of
from tenhour.files.house.warmth import (
    build_air,
    build_curtains,
    build_draughts,
    build_heaters,
    build_mats,
    build_stores,
    store_boxes,
)
from tenhour.files.problems import Problems, dotted, show, suggest
from tenhour.files.textfile import packaged_toml, parse_toml, read_text
from tenhour.model.cover import Cover
from tenhour.model.house import Bed, Box, House, Surface
from tenhour.model.site import GROUND_REFLECTANCE_PAR, MONTHS, SNOW_REFLECTANCE_PAR, Site

DEMO_FILE: Final = "demo-house.toml"
MOST_HOUSE_BYTES: Final = 500_000
"""Some five thousand lines; more takes longer to parse than a user waits. Judgement."""
SAME_PLACE_DEG: Final = 0.005
"""Closer than this (some 500 m) a house has not moved: judgement."""
SNOWLESS_DEG: Final = 30.0
"""Nearer the equator than this no snow months are carried along: judgement."""
HALF_YEAR_MONTHS: Final = 6


def load_house(path: Path | str) -> House:
    """Return the house a file describes.

    Parameters: path, a TOML file; a weather file it names is looked for beside it.
    Errors: FileProblem with every problem found, one line each: file, key, found, allowed, what to do.
    """
    place = Path(path)
    text = read_text(place, MOST_HOUSE_BYTES, missing="Check the name, or write one with 'tenhour new'.")
    return house_from_text(text, str(place), place.parent)


def demo_house() -> House:
    """Return the built-in invented house."""
    return replace(house_from_tables(packaged_toml(DEMO_FILE), DEMO_FILE), path="")


def house_from_text(text: str, file: str, folder: Path | None = None) -> House:
    """Return the house a TOML text describes; ``file`` is the name shown in problems. Errors: FileProblem."""
    return house_from_tables(parse_toml(text, file), file, folder)


def house_from_tables(raw: Mapping[str, Any], file: str, folder: Path | None = None) -> House:
    """Return the house that tables as TOML reads them describe. Errors: FileProblem, as load_house."""
    problems = Problems(file)
    notes: list[str] = []
    parts = read_parts(raw, problems)
    if "schema" not in raw:
        notes.append("Read as schema 1: none was given.")
    site = None
    if parts.site is not None:
        listed = isinstance(raw["site"].get("ground_reflectance"), list)
        site = check_site(parts.site, parts.weather, not listed, folder, problems, notes)
    known = known_covers(parts, _catalogue(), problems, notes)
    house = _build(parts, site, known, folder, problems, notes)
    problems.check()
    if house is None:
        raise FileProblem(problems.found)
    return replace(house, path=file)


@lru_cache(maxsize=1)
def _catalogue() -> Mapping[str, Cover]:
    """The shipped covers, read once: a house is read again after each question of a new one."""
    return shipped_covers()


def _build(
    parts: Parts,
    site: CheckedSite | None,
    known: dict[str, Cover],
    folder: Path | None,
    problems: Problems,
    notes: list[str],
) -> House | None:
    """Check all tables against each other; the house is made only when nothing is wrong."""
    beds = build_beds(parts, parts.house, known, problems, notes)
    parts.boxes = (*parts.boxes, *store_boxes(parts))
    boxes = build_boxes(parts, problems, notes)
    outside, outside_surfaces = build_outside(parts, problems)
    air = build_air(parts, problems, notes)
    draughts = build_draughts(parts, problems, notes)
    stores = build_stores(parts, problems, notes)
    heaters = build_heaters(parts.heaters, problems)
    mats = build_mats(parts.mats, beds, problems, notes)
    layers = house_layers(parts, parts.house, known, problems)
    nursery = build_nursery(parts, beds, problems, notes)
    lamps = build_lamps(parts, beds, folder, problems, notes)
    factor = _light_factor(parts.calibration, beds, problems)
    household = build_household(parts, problems, notes)
    lessons = build_lessons(parts)
    if parts.house is None:
        _check_cover_names(parts, known, problems)
        return None
    check_cover("house.cover", parts.house.cover, known, parts, problems)
    lengths = dimensions(parts.house, problems, notes)
    azimuth = azimuth_deg(parts.house, problems, notes)
    surfaces = build_surfaces(parts, parts.house, known, problems, notes)
    faces = build_faces(parts, parts.house, lengths, known, problems, notes)
    windows = build_windows(parts, parts.house, lengths, known, problems, notes)
    if lengths is None:
        return None
    curtains = build_curtains(parts.curtain, _face_names(parts.house, lengths, surfaces), known, problems)
    _check_all_places(parts, parts.house, lengths, (beds, boxes, outside, surfaces), problems, notes)
    if problems.found or site is None:
        return None
    house = House(
        site=finish_site(site, notes),
        shape=parts.house.shape,
        dimensions_m=lengths,
        azimuth_deg=azimuth,
        cover=default_face(parts.house, []).cover,
        reflectance_frac=default_face(parts.house, []).reflectance_frac,
        covers={},
        faces=faces,
        windows=windows,
        surfaces=surfaces,
        boxes=boxes,
        outside=outside,
        outside_surfaces=outside_surfaces,
        beds=beds,
        layers=layers,
        air=air,
        draughts=draughts,
        stores=stores,
        curtains=curtains,
        heaters=heaters,
        mats=mats,
        nursery=nursery,
        lamps=lamps,
        household=household,
        lessons=lessons,
        light_factor=factor,
        calibration_note=_calibration_note(parts.calibration),
        whole_house_trans_frac=parts.house.whole_house_transmittance,
        name=parts.name,
        us_units=parts.us_units,
        assumptions=tuple(notes),
    )
    return replace(house, covers={key: known[key] for key in _used_covers(house)})


def _face_names(house: HouseTable, lengths: Mapping[str, float], surfaces: tuple[Surface, ...]) -> list[str]:
    if house.shape == "custom":
        return [surface.name for surface in surfaces]
    return list(face_choices(house.shape, lengths))


def _check_cover_names(parts: Parts, known: Mapping[str, Cover], problems: Problems) -> None:
    """Look at the names of covers even while [house] has problems of its own."""
    check_cover("house.cover", parts.house_cover, known, parts, problems)
    for name, face in parts.faces.items():
        check_cover(f"{dotted(['face', name])}.cover", face.cover, known, parts, problems)
    for key, window in parts.windows:
        check_cover(f"{key}.cover", window.cover, known, parts, problems)
    for key, surface in parts.surfaces:
        check_cover(f"{key}.cover", surface.cover, known, parts, problems)


def _check_all_places(
    parts: Parts,
    house: HouseTable,
    lengths: Mapping[str, float],
    things: tuple[tuple[Bed, ...], tuple[Box, ...], tuple[Box, ...], tuple[Surface, ...]],
    problems: Problems,
    notes: list[str],
) -> None:
    beds, boxes, outside, surfaces = things
    if house.shape == "custom" and not surfaces:
        return
    room = Room(house.shape, lengths, surfaces)
    check_places(parts, beds, boxes, room, problems, notes)
    check_outside(parts, outside, room, problems)
    note_overlaps(beds, notes)


def _used_covers(house: House) -> list[str]:
    """Every cover named anywhere, in order of the first naming."""
    names = [house.cover, *(face.cover for face in house.faces.values())]
    names += [window.cover for window in house.windows]
    names += [surface.cover for surface in house.surfaces]
    names += [layer.cover for bed in house.beds for layer in bed.layers]
    return list(dict.fromkeys(names))


def _light_factor(given: CalibrationTable | None, beds: tuple[Bed, ...], problems: Problems) -> dict[str, float]:
    names = [bed.name for bed in beds]
    if given is None:
        return {}
    for name in given.factor:
        if name and name not in names:
            problems.add("calibration.factor", f"{show(name)}, a bed this house has not", "", suggest(name, names))
    return dict(given.factor)


def _calibration_note(given: CalibrationTable | None) -> str:
    if given is None:
        return ""
    count = "" if given.readings is None else f" {given.readings}"
    day = "" if given.date is None else f" of {given.date.isoformat()}"
    return f"fitted from{count} readings{day}"


def house_at(
    house: House,
    latitude_deg: float,
    longitude_deg: float,
    elevation_m: float | None = None,
    timezone: str = "",
) -> House:
    """Return the same house in another place, with what was left behind stated in its assumptions.

    Parameters: latitude_deg -90 to 90, longitude_deg -180 to 180 [°]; elevation_m of the new place, None to look it up;
    timezone, looked up if empty.
    Method: the skyline, the snow-free ground and the beds move along; snow months too, shifted half a year across the
    equator and dropped within 30° of it; a weather file or own means belong to the old place and do not.
    """
    site = house.site
    near = abs(latitude_deg - site.latitude_deg) + abs(longitude_deg - site.longitude_deg) < SAME_PLACE_DEG
    if near:
        here = site.elevation_m if elevation_m is None else elevation_m
        said = house.assumptions if elevation_m is None else _kept(house.assumptions, ("Elevation ",))
        moved = replace(site, latitude_deg=latitude_deg, longitude_deg=longitude_deg, elevation_m=here)
        return replace(house, site=moved, assumptions=said)
    notes = [f"The house is moved to {latitude_deg:g}, {longitude_deg:g}; its skyline, ground and heating move along."]
    if latitude_deg * site.latitude_deg < 0:
        notes.append("It is not turned round: the front that faced the midday sun now faces away from it.")
    if elevation_m is None:
        elevation_m = default_elevation_m(latitude_deg, longitude_deg, notes)
    months = _moved_snow(site, latitude_deg, notes)
    if site.climate != "normals" or site.means is not None:
        notes.append("Its weather file or own means belong to the old place: the embedded normals are used.")
    if site.last_frost_doy is not None:
        notes.append("Its last frost belongs to the old place and is left behind.")
    moved = Site(
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=elevation_m,
        timezone=timezone or zone_of(latitude_deg, longitude_deg, "", notes),
        skyline=site.skyline,
        snow_months=months,
        ground_reflectance_frac=_moved_ground(site, months),
    )
    return replace(house, site=moved, assumptions=(*_kept(house.assumptions, _OF_THE_OLD_PLACE), *notes))


_OF_THE_OLD_PLACE: Final = ("Elevation ", "Time zone ", "The place ", "Outdoor light and temperature ")


def _kept(assumptions: tuple[str, ...], dropped: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(text for text in assumptions if not text.startswith(dropped))


def _moved_snow(site: Site, latitude_deg: float, notes: list[str]) -> tuple[int, ...]:
    if not site.snow_months:
        return ()
    if abs(latitude_deg) < SNOWLESS_DEG:
        notes.append("Its snow months are dropped so near the equator.")
        return ()
    if latitude_deg * site.latitude_deg >= 0:
        notes.append("Its snow months are kept.")
        return site.snow_months
    notes.append("Its snow months are shifted by half a year.")
    return tuple(sorted((month + HALF_YEAR_MONTHS - 1) % MONTHS + 1 for month in site.snow_months))


def _moved_ground(site: Site, months: tuple[int, ...]) -> tuple[float, ...]:
    """Snow-free ground as it was, snow where the snow months now are."""
    old = site.ground_reflectance_frac
    if months == site.snow_months:
        return old
    bare = [value for month, value in enumerate(old, start=1) if month not in site.snow_months]
    snow = [value for month, value in enumerate(old, start=1) if month in site.snow_months]
    plain = median(bare) if bare else GROUND_REFLECTANCE_PAR
    white = median(snow) if snow else SNOW_REFLECTANCE_PAR
    return tuple(white if month in months else plain for month in range(1, MONTHS + 1))
