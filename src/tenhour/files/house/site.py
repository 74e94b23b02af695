"""The place of a house: coordinates, height, clock, skyline, ground and climate, with every default stated."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Final, Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from tenhour.errors import FileProblem
from tenhour.files.house.schema import SiteTable, WeatherTable
from tenhour.files.problems import Problems, show, suggest
from tenhour.model.place import Elevation, Place
from tenhour.model.site import (
    GROUND_REFLECTANCE_PAR,
    MONTHS,
    SNOW_REFLECTANCE_PAR,
    OwnMeans,
    Site,
    Skyline,
)
from tenhour.units import GENERIC_YEAR
from tenhour.words import remarks as words

NORMALS: Final = "normals"
FULL_TURN_DEG: Final = 360.0


@dataclass(frozen=True)
class _Where:
    latitude_deg: float
    longitude_deg: float
    timezone: str = ""
    label: str = ""


@dataclass(frozen=True)
class CheckedSite:
    """A site in which nothing is wrong; what was not given is looked up later, since that takes time."""

    given: SiteTable
    where: _Where
    skyline: Skyline
    means: OwnMeans | None
    climate: Literal["normals", "file", "means"]
    weather_path: str
    weather_trust: bool
    weather_since: str
    ground_reflectance_frac: tuple[float, ...]


def check_site(
    given: SiteTable,
    weather: WeatherTable,
    ground_is_one_number: bool,
    folder: Path | None,
    problems: Problems,
    notes: list[str],
) -> CheckedSite | None:
    """Return the site as far as it was given, or None with its problems noted; defaults go to ``notes``.

    Parameters: given, the table; weather, the table [weather]; ground_is_one_number, whether the ground reflectance is
    without snow; folder, where a weather file's path starts; problems, where what is wrong is noted.
    """
    before = len(problems.found)
    where = _where(given, problems, notes)
    skyline = _skyline(given, problems, notes)
    means = _means(given, problems)
    climate, path = _climate(given, weather, means, folder, problems, notes)
    _check_zone(given, problems)
    if where is None or len(problems.found) > before:
        return None
    ground = _ground(given, ground_is_one_number, notes)
    since = "" if weather.since is None else _since(weather.since, folder, problems)
    if len(problems.found) > before:
        return None
    return CheckedSite(given, where, skyline, means, climate, path, weather.trust, since, ground)


def finish_site(site: CheckedSite, notes: list[str]) -> Site:
    """Return the whole site, elevation and time zone looked up where they were not given."""
    where, given = site.where, site.given
    latitude_deg, longitude_deg = where.latitude_deg, where.longitude_deg
    elevation_m = given.elevation_m
    return Site(
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=default_elevation_m(latitude_deg, longitude_deg, notes) if elevation_m is None else elevation_m,
        timezone=given.timezone or zone_of(latitude_deg, longitude_deg, where.timezone, notes),
        place=where.label,
        skyline=site.skyline,
        snow_months=tuple(sorted(set(given.snow_months))),
        ground_reflectance_frac=site.ground_reflectance_frac,
        climate=site.climate,
        weather_path=site.weather_path,
        weather_trust=site.weather_trust,
        weather_since=site.weather_since,
        means=site.means,
        last_frost_doy=None
        if given.last_frost is None
        else date(GENERIC_YEAR, *given.last_frost).timetuple().tm_yday - 1,
    )


def _where(given: SiteTable, problems: Problems, notes: list[str]) -> _Where | None:
    latitude_deg, longitude_deg = given.latitude_deg, given.longitude_deg
    if latitude_deg is not None and longitude_deg is not None:
        return _Where(latitude_deg, longitude_deg, label=given.place or "")
    for name, value in (("latitude_deg", latitude_deg), ("longitude_deg", longitude_deg)):
        if value is None and (given.place is None or (latitude_deg, longitude_deg) != (None, None)):
            do = 'Give latitude_deg and longitude_deg, or place = "name, region".'
            problems.add(f"site.{name}", "nothing", "this key is needed", do)
            return None
    return _found_place(given.place or "", problems, notes)


def _found_place(text: str, problems: Problems, notes: list[str]) -> _Where | None:
    try:
        place = _place(text, problems.file)
    except FileProblem as error:
        problems.found.extend(error.problems)
        return None
    where = f"{place.latitude_deg:.2f}, {place.longitude_deg:.2f}"
    notes.append(f'The place "{text}" is taken as {place.label} ({where}).')
    return _Where(place.latitude_deg, place.longitude_deg, place.timezone, place.label)


@lru_cache(maxsize=64)
def _place(text: str, file: str) -> Place:
    """The questions of a new house look the same place up many times."""
    from tenhour.files.places import one_place

    return one_place(text, file, "site.place")


@lru_cache(maxsize=64)
def _ground_at(latitude_deg: float, longitude_deg: float) -> Elevation:
    from tenhour.files.elevation import elevation_at

    return elevation_at(latitude_deg, longitude_deg)


def default_elevation_m(latitude_deg: float, longitude_deg: float, notes: list[str]) -> float:
    """Height of the ground where none was given [m]; a sentence on it goes to ``notes``.

    Parameters: latitude_deg, longitude_deg [°]; notes, which grows.
    """
    ground = _ground_at(latitude_deg, longitude_deg)
    elevation_m = float(round(ground.elevation_m if ground.elevation_m is not None else ground.estimate_m))
    notes.append(words.ELEVATION(height=elevation_m, note=ground.note))
    return elevation_m


def zone_of(latitude_deg: float, longitude_deg: float, known: str, notes: list[str]) -> str:
    """Time zone where none was given: the known one, else the one of the nearest place; stated in ``notes``.

    Parameters: latitude_deg, longitude_deg [°]; known, a zone or ""; notes, which grows.
    """
    from tenhour.files.places import zone_near

    if known:
        notes.append(f"Time zone {known}, that of the place.")
        return known
    zone = zone_near(latitude_deg, longitude_deg)
    notes.append(
        f"{zone.note[:1].upper()}{zone.note[1:]}." if zone.note else f"Time zone {zone.name}, by the coordinates."
    )
    return zone.name


def _check_zone(given: SiteTable, problems: Problems) -> None:
    if given.timezone is None:
        return
    try:
        ZoneInfo(given.timezone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        known = sorted(available_timezones())
        close = suggest(given.timezone, known)
        do = close if close.startswith("Did") else "Leave it out to take the zone of the place."
        problems.add("site.timezone", show(given.timezone), 'a time zone name like "Europe/Vienna"', do)


def _skyline(given: SiteTable, problems: Problems, notes: list[str]) -> Skyline:
    points: dict[float, float] = {}
    for number, (azimuth_deg, height_deg) in enumerate(given.skyline):
        direction = azimuth_deg % FULL_TURN_DEG
        if points.get(direction, height_deg) != height_deg:
            found = f"a second height at {azimuth_deg:g} degrees"
            do = "For a steep edge give two directions, such as 179.9 and 180."
            problems.add(f"site.skyline[{number + 1}]", found, "one height for each direction", do)
        points.setdefault(direction, height_deg)
    if not points:
        notes.append("Level horizon: no skyline was given.")
    ordered = sorted(points.items())
    return Skyline(tuple(azimuth for azimuth, _ in ordered), tuple(height for _, height in ordered))


def _means(given: SiteTable, problems: Problems) -> OwnMeans | None:
    means = given.means
    if means is None:
        return None
    if means.ghi_mj_m2_d is not None and means.dli_mol_m2_d is not None:
        problems.add("site.means", "both ghi_mj_m2_d and dli_mol_m2_d", "one of the two", "Keep the one you trust.")
    if means.ghi_mj_m2_d is None and means.dli_mol_m2_d is None and means.temp_degc is None:
        do = "Add ghi_mj_m2_d, dli_mol_m2_d or temp_degc, each with twelve values."
        problems.add("site.means", "an empty table", "at least one row of twelve values", do)
    return OwnMeans(means.ghi_mj_m2_d, means.dli_mol_m2_d, means.temp_degc)


def _climate(
    given: SiteTable,
    weather: WeatherTable,
    means: OwnMeans | None,
    folder: Path | None,
    problems: Problems,
    notes: list[str],
) -> tuple[Literal["normals", "file", "means"], str]:
    """Own means come before a weather file, and a weather file before the normals."""
    own_light = means is not None and (means.ghi_mj_m2_d is not None or means.dli_mol_m2_d is not None)
    key, named = ("site.climate", given.climate) if weather.file is None else ("weather.file", weather.file)
    if weather.file is not None and "climate" in given.model_fields_set:
        do = "Keep one of the two: they name the same thing."
        problems.add("weather.file", f"{show(weather.file)} beside site.climate", "one of them", do)
    path = "" if named == NORMALS else _weather_path(named, key, folder, problems)
    if own_light:
        return "means", path
    if path:
        return "file", path
    if "climate" not in given.model_fields_set and weather.file is None:
        notes.append("Outdoor light and temperature from the embedded normals: no climate was given.")
    return "normals", ""


def _weather_path(text: str, key: str, folder: Path | None, problems: Problems) -> str:
    path = Path(text) if folder is None else folder / text
    try:
        there = path.exists()
    except (OSError, ValueError):
        there = False
    if not there:
        do = 'Did you mean "normals"?' if suggest(text, [NORMALS]).startswith("Did") else "Check the path."
        found = f"{show(text)}, no such file"
        problems.add(key, found, '"normals" or a weather file, its path seen from the house file', do)
    return str(path)


def _since(text: str, folder: Path | None, problems: Problems) -> str:
    """Path of the file of this winter's days; it may be made later by 'tenhour weather fetch --since'."""
    path = Path(text) if folder is None else folder / text
    try:
        there = path.is_file()
    except (OSError, ValueError):
        there = False
    if not there:
        do = "Write a table with a date and a dli_mol_m2_d or ghi column, a row a day."
        problems.add("weather.since", f"{show(text)}, no such file", "a file of days, its path seen from here", do)
    return str(path)


def _ground(given: SiteTable, one_number: bool, notes: list[str]) -> tuple[float, ...]:
    bare = given.ground_reflectance or (GROUND_REFLECTANCE_PAR,) * MONTHS
    if given.ground_reflectance is None:
        notes.append(f"Ground reflectance {GROUND_REFLECTANCE_PAR:g} without snow (grass, PAR): none was given.")
    if "snow_months" not in given.model_fields_set:
        notes.append("No snow: no snow_months were given.")
    if not one_number or not given.snow_months:
        return bare
    notes.append(f"Ground reflectance {SNOW_REFLECTANCE_PAR:g} in the snow months (PAR).")
    snow = frozenset(given.snow_months)
    return tuple(SNOW_REFLECTANCE_PAR if month in snow else bare[month - 1] for month in range(1, MONTHS + 1))
