"""Sites of a region: points of a box or an outline, places of a list or a country."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import FileProblem, Problem
from tenhour.files.elevation import grounds_m
from tenhour.files.places import gazetteer, one_place
from tenhour.files.textfile import read_text
from tenhour.model.atlas import HIGH, HIGHEST_M, SEA, Sites

Array = NDArray[np.float64]

MOST_SITES: Final = 2_000_000
"""More than a continent in steps of 0.1 degrees: judgement."""
LEAST_STEP_DEG: Final = 1.0 / 120.0
"""Finer than this the map of heights and the normals know nothing: judgement."""
WHOLE: Final = 1e-9
"""Slack of a whole number of steps."""
MOST_PROBLEMS: Final = 3
COLUMNS: Final = ("place", "latitude_deg", "longitude_deg", "elevation_m")


def box_sites(text: str, step_deg: float | None) -> Sites:
    """Points of a box.

    Parameters: text, "SOUTH,WEST,NORTH,EAST" [°]; step_deg, between points [°].
    Errors: FileProblem for a box that is none, and for no step or one too fine.
    """
    south, west, north, east = _box(text)
    return _grid(south, west, north, east, _step("--box", step_deg))


def _box(text: str) -> tuple[float, float, float, float]:
    allowed = "four numbers SOUTH,WEST,NORTH,EAST in degrees, south below north, within -90 to 90 and -180 to 180"
    try:
        south, west, north, east = (float(part) for part in text.split(","))
    except ValueError:
        raise _wrong("--box", repr(text), allowed, "Write --box=54.5,-8,59,-1.5") from None
    if not (-90.0 <= south <= north <= 90.0 and -180.0 <= west <= 180.0 and -180.0 <= east <= 180.0):
        raise _wrong("--box", repr(text), allowed, "Is the south given first?")
    return south, west, north, east if east >= west else east + 360.0


def _step(option: str, step_deg: float | None) -> float:
    allowed = f"a step in degrees from {LEAST_STEP_DEG:.4f} to 30"
    if step_deg is None:
        raise _wrong("--step", "nothing", allowed, f"{option} needs it: write --step 0.5")
    if not LEAST_STEP_DEG <= step_deg <= 30.0:
        raise _wrong("--step", f"{step_deg:g}", allowed, "")
    return step_deg


def _wrong(option: str, found: str, allowed: str, do: str) -> FileProblem:
    return FileProblem([Problem("command line", option, found, allowed, do)])


def _axis(first: float, last: float, step: float) -> Array:
    return np.round(first + step * np.arange(int((last - first) / step + 1.0 + WHOLE)), 9)


def _grid(south: float, west: float, north: float, east: float, step_deg: float) -> Sites:
    latitude, longitude = _axis(south, north, step_deg), _axis(west, east, step_deg)
    lat, lon = _points(latitude, longitude)
    sites = on_the_ground((), lat, lon, np.full(len(lat), np.nan), sea=True)
    return replace(sites, grid_deg=(latitude, longitude))


def _points(latitude: Array, longitude: Array) -> tuple[Array, Array]:
    count = latitude.size * longitude.size
    if count > MOST_SITES:
        raise _wrong("--step", f"{count} sites", f"up to {MOST_SITES}", "Take a larger step or a smaller region.")
    lat, lon = (part.ravel() for part in np.meshgrid(latitude, longitude, indexing="ij"))
    return lat, (lon + 180.0) % 360.0 - 180.0


def on_the_ground(names: tuple[str, ...], lat: Array, lon: Array, given_m: Array, *, sea: bool) -> Sites:
    """Sites with their heights, from the map where none is given.

    Parameters: names, of places; lat, lon [N]; given_m [N], NaN where none is; sea, whether a point to which the map
    gives no height is the sea, or a place on its shore.
    """
    height = np.array(given_m, dtype=np.float64)
    open_ = np.isnan(height)
    height[open_] = grounds_m(lat[open_], lon[open_])
    hole = np.where(np.isnan(height) & sea, SEA, 0).astype(np.int8)
    height = height if sea else np.nan_to_num(height)
    hole[height > HIGHEST_M] = HIGH
    return Sites(names, lat, lon, height, hole)


def outline_sites(path: Path, step_deg: float | None) -> Sites:
    """Points of a grid that lie within the polygons of a GeoJSON file.

    Parameters: path; step_deg, between points [°].
    Method: RFC 7946; a point lies within where a ray from it crosses the rings an odd number of times, so that inner
    rings are holes. Points outside count as holes of the grid.
    Errors: FileProblem for a file without polygons, and as :func:`box_sites`.
    """
    step = _step("--outline", step_deg)
    rings = _rings(path)
    corners = np.concatenate(rings)
    (west, south), (east, north) = corners.min(axis=0), corners.max(axis=0)
    if not (west >= -180.0 and east <= 180.0 and south >= -90.0 and north <= 90.0):
        found = f"corners from {west:g}, {south:g} to {east:g}, {north:g}"
        raise _bad(path, "coordinates", found, "longitude -180 to 180, then latitude -90 to 90 (RFC 7946)", "")
    y, x = (float(np.floor(edge / step) * step) for edge in (south, west))
    lat, lon = _points(_axis(y, float(north), step), _axis(x, float(east), step))
    inside = within(rings, lon, lat)
    if not inside.any():
        raise _wrong("--step", f"{step:g}", "a step that leaves a point within the outline", "Take a smaller step.")
    return on_the_ground((), lat[inside], lon[inside], np.full(int(inside.sum()), np.nan), sea=True)


def within(rings: Sequence[Array], x: Array, y: Array) -> NDArray[np.bool_]:
    """Whether points lie within rings [(n, 2)]: by the number of times a ray to the east crosses them.

    Parameters: rings, closed or not, x and y of their corners; x, y [N], of the points.
    """
    odd = np.zeros(len(x), dtype=np.bool_)
    for ring in rings:
        for (x0, y0), (x1, y1) in zip(ring, np.roll(ring, -1, axis=0), strict=True):
            if y0 != y1:
                across = (y0 > y) != (y1 > y)
                odd ^= across & (x < x0 + (y - y0) / (y1 - y0) * (x1 - x0))
    return odd


def _rings(path: Path) -> list[Array]:
    try:
        raw = json.loads(read_text(path, 50_000_000))
    except (ValueError, RecursionError) as error:
        raise _bad(path, "", f"not valid JSON: {error}", "a GeoJSON file", "") from None
    found: list[Array] = []
    try:
        for shape in _shapes(raw):
            polygons = [shape["coordinates"]] if shape["type"] == "Polygon" else shape["coordinates"]
            for ring in (ring for polygon in polygons for ring in polygon):
                corners = np.array([[float(p[0]), float(p[1])] for p in ring])
                if len(corners) < 3 or not np.isfinite(corners).all():
                    raise ValueError("a ring")
                found.append(corners)
    except (KeyError, TypeError, IndexError, ValueError, OverflowError, RecursionError):
        raise _bad(path, "coordinates", "rings that are none", "lists of [longitude, latitude]", "") from None
    if not found:
        raise _bad(path, "", "no polygon", "a GeoJSON Polygon or MultiPolygon, alone or in features", "")
    return found


def _shapes(raw: Any) -> list[dict[str, Any]]:
    """Every polygon and multipolygon in a GeoJSON text."""
    if not isinstance(raw, dict):
        return []
    kind = raw.get("type")
    if kind in ("Polygon", "MultiPolygon"):
        return [raw]
    inner = {"Feature": [raw.get("geometry")], "FeatureCollection": raw.get("features"),
             "GeometryCollection": raw.get("geometries")}.get(str(kind)) or []  # fmt: skip
    return [shape for part in inner for shape in _shapes(part)]


def _bad(path: Path, key: str, found: str, allowed: str, do: str) -> FileProblem:
    return FileProblem([Problem(str(path), key, found, allowed, do)])


def listed_sites(path: Path) -> Sites:
    """Places of a list.

    Parameters: path, a CSV file with the columns place, latitude_deg, longitude_deg and elevation_m (place alone, or
    coordinates alone, will do), or a text of places, one a line, as "Ullapool, Scotland".
    Errors: FileProblem with the first lines that cannot be understood.
    """
    lines = [line for line in read_text(path).split("\n") if line.strip() and not line.startswith("#")]
    if not lines:
        raise _bad(path, "", "no places", "one place a line", "")
    header = [name.strip() for name in lines[0].split(",")]
    if not set(header) <= set(COLUMNS):
        header, rows = ["place"], [[line.strip()] for line in lines]
    else:
        try:
            rows = list(csv.reader(io.StringIO("\n".join(lines[1:]))))
        except csv.Error as error:
            raise _bad(path, "", f"no table ({error})", "a place a line", "Is a quotation mark missing?") from None
    if not rows:
        raise _bad(path, "", "a head without places", "one place a line", "")
    problems: list[Problem] = []
    found = []
    for number, row in enumerate(rows, start=1):
        try:
            found.append(_listed(str(path), f"place {number}", dict(zip(header, row, strict=False))))
        except FileProblem as error:
            problems.extend(error.problems)
            if len(problems) >= MOST_PROBLEMS:  # a name is held against every town there is to find the one meant
                left = len(rows) - number
                more = f"{left} more lines, which were not looked at" if left else "the last line"
                problems.append(Problem(str(path), "", more, "", "Mend these first."))
                break
    if problems:
        raise FileProblem(problems)
    names, lat, lon, height = zip(*found, strict=True)
    return on_the_ground(tuple(names), np.array(lat), np.array(lon), np.array(height, dtype=np.float64), sea=False)


def _listed(file: str, key: str, row: dict[str, str]) -> tuple[str, float, float, float]:
    name = row.get("place", "").strip()
    height = _number(file, f"{key}.elevation_m", row.get("elevation_m", ""), -450.0, 6000.0)
    lat = _number(file, f"{key}.latitude_deg", row.get("latitude_deg", ""), -90.0, 90.0)
    lon = _number(file, f"{key}.longitude_deg", row.get("longitude_deg", ""), -180.0, 180.0)
    if np.isnan(lat) != np.isnan(lon) or (np.isnan(lat) and not name):
        raise FileProblem([Problem(file, key, "half a place", "a name, or latitude_deg and longitude_deg", "")])
    if np.isnan(lat):
        place = one_place(name, file, key)
        return place.label, place.latitude_deg, place.longitude_deg, height
    return name or f"{lat:g}, {lon:g}", lat, lon, height


def _number(file: str, key: str, text: str, low: float, high: float) -> float:
    if not text.strip():
        return float("nan")
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not low <= value <= high:
        raise FileProblem([Problem(file, key, repr(text), f"a number from {low:g} to {high:g}", "")])
    return value


def country_sites(code: str, step_deg: float | None) -> Sites:
    """Places of a country by its two or three letters, with a step the largest of each square alone.

    Parameters: code; step_deg, side of the squares [°], all places if None.
    Errors: FileProblem for a code that no country has.
    """
    all_places = gazetteer()
    wanted = code.strip().upper()
    two = {three: two for two, (three, _) in all_places.countries.items()}.get(wanted, wanted)
    rows = all_places.rows_of(two)
    if not rows:
        raise _wrong("--country", repr(code), "two or three letters of a country with places", "Write --country NO.")
    places = [all_places.place(row, all_places.own_names[row]) for row in rows]
    if step_deg is not None:
        step = _step("--country", step_deg)
        square: dict[tuple[int, int], Any] = {}
        for place in sorted(places, key=lambda place: -place.population_index):
            square.setdefault((int(place.latitude_deg // step), int(place.longitude_deg // step)), place)
        places = sorted(square.values(), key=lambda place: (-place.latitude_deg, place.longitude_deg))
    lat = np.array([place.latitude_deg for place in places])
    lon = np.array([place.longitude_deg for place in places])
    names = tuple(place.label for place in places)
    return on_the_ground(names, lat, lon, np.full(len(places), np.nan), sea=False)
