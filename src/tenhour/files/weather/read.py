"""Read a weather file of any of the known formats, bring it to one form, judge it, and refuse it with reasons."""

from __future__ import annotations

import warnings
from pathlib import Path

import numpy as np
import pandas as pd

from tenhour.errors import FileProblem, Problem
from tenhour.files.weather.checks import Seen, all_checks
from tenhour.files.weather.gaps import (
    alive_light,
    alive_temp,
    daily_of,
    filled_light,
    filled_temp,
    gaps_of,
    monthly_of,
    possible_temp,
    without_offset,
)
from tenhour.files.weather.plain import Stamp, read_plain_text
from tenhour.files.weather.raw import AIR_RANGES, FORMATS, Array, RawWeather, refuse, told_air
from tenhour.files.weather.services import (
    read_power_csv,
    read_power_json,
    read_pvgis_hourly_text,
    read_pvgis_json,
    read_pvgis_tmy_text,
)
from tenhour.files.weather.station import read_epw_text, read_tmy2_text, read_tmy3_text
from tenhour.files.weather.sun import sun_of
from tenhour.files.weather.text import kind_of_json, kind_of_text, parsed_json, read_weather_text
from tenhour.files.weather.time import on_one_clock
from tenhour.model.weather import WeatherYear

DO_NEXT = 'Mend the file or take another; without one the embedded normals serve (climate = "normals").'

MOST_HOURS = 300_000
"""More than thirty years; beyond, a file takes long to refuse. Judgement."""
TEXT_READERS = {
    "epw": read_epw_text,
    "tmy3": read_tmy3_text,
    "tmy2": read_tmy2_text,
    "pvgis-hourly-csv": read_pvgis_hourly_text,
    "pvgis-tmy-csv": read_pvgis_tmy_text,
    "power-csv": read_power_csv,
}


def load_weather(
    path: Path, latitude_deg: float | None = None, longitude_deg: float | None = None, stamp: Stamp = "auto"
) -> WeatherYear:
    """A weather file, read, brought to one form, filled within limits and judged.

    Parameters: path; latitude_deg and longitude_deg of the house, used where the file names no place and to tell how
        far away it is; stamp, what the stamps of a plain table mark ("auto" takes the file's word or the first row).
    Returns: the series with its notes and checks, none of them a refusal.
    Errors: FileProblem with every reason to refuse the file.
    """
    raw = read_raw(path, stamp)
    site = None if latitude_deg is None or longitude_deg is None else (latitude_deg, longitude_deg)
    weather = finished(raw, str(path), site)
    refused = [check for check in weather.checks if check.finding == "refused"]
    if refused:
        raise FileProblem([Problem(str(path), check.name, check.sentence, "", DO_NEXT) for check in refused])
    return weather


def read_raw(path: Path, stamp: Stamp = "auto") -> RawWeather:
    """A weather file as it stands, whatever its format.

    Errors: FileProblem for anything that is none of the known formats, or is broken.
    """
    text, notes = read_weather_text(path)
    raw = _guarded(text, str(path), stamp)
    raw.notes[:0] = notes
    return raw


def _guarded(text: str, file: str, stamp: Stamp) -> RawWeather:
    """Read a text; whatever the readers of other libraries make of a broken one becomes one problem."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        warnings.simplefilter("error", pd.errors.ParserWarning)
        try:
            return _read_text(text, file, stamp)
        except (ValueError, TypeError, LookupError, AttributeError, ArithmeticError, pd.errors.ParserWarning) as error:
            words = " ".join(str(error).split())[:120]
            raise refuse(file, "", f"a file that is broken ({words})", FORMATS, "Download it again.") from None


def _read_text(text: str, file: str, stamp: Stamp) -> RawWeather:
    kind = kind_of_text(text)
    if kind == "json":
        document = parsed_json(text, file)
        kind = kind_of_json(document)
        if kind.startswith("pvgis"):
            return read_pvgis_json(document, kind, file)
        if kind == "power-json":
            return read_power_json(document, file)
    if kind in TEXT_READERS:
        if text.count("\n") > MOST_HOURS:
            raise refuse(file, "", "too many rows", f"up to {MOST_HOURS} hours", "Write fewer years.")
        return TEXT_READERS[kind](text, file)
    if kind == "plain":
        return read_plain_text(text, file, stamp)
    raise refuse(file, "", "a format that is not known", FORMATS, "")


def finished(raw: RawWeather, file: str, site_deg: tuple[float, float] | None = None) -> WeatherYear:
    """A raw series on one clock, filled and judged; refusals stand in its checks.

    Parameters: raw; file, its name for problems; site_deg, latitude and longitude of the house.
    """
    latitude_deg, longitude_deg = _place(raw, file, site_deg)
    times, step_h, columns = on_one_clock(raw, file)
    notes = raw.notes
    for name in ("ghi_w_m2", "dni_w_m2", "dhi_w_m2"):
        if name in columns:
            columns[name] = without_offset(columns[name], notes if name == "ghi_w_m2" else [])
    if "temp_degc" in columns:
        columns["temp_degc"] = possible_temp(columns["temp_degc"], notes)
    columns = {name: columns[name] for name in columns if name not in AIR_RANGES} | told_air(columns, notes)
    sun = sun_of(times, step_h, latitude_deg, longitude_deg)
    columns["ghi_w_m2"], dead = alive_light(columns["ghi_w_m2"], sun, step_h)
    if dead:
        notes.append(f"{dead[:1].upper()}{dead[1:]} were taken as missing: was the sensor off, or iced over?")
    if "temp_degc" in columns:
        columns["temp_degc"] = alive_temp(columns["temp_degc"], step_h, notes)
        if not np.isfinite(columns["temp_degc"]).any():
            del columns["temp_degc"]
    given: dict[str, Array | None] = {name: columns.get(name) for name in ("ghi_w_m2", "temp_degc")}
    columns["ghi_w_m2"], filled = filled_light(columns["ghi_w_m2"], sun, step_h)
    if "temp_degc" in columns:
        columns["temp_degc"] = filled_temp(columns["temp_degc"], step_h)
    else:
        notes.append("No temperature in the file; that of the normals is taken.")
    daily = daily_of(times, step_h, columns, sun)
    monthly = monthly_of(daily)
    gaps = gaps_of(np.asarray(given["ghi_w_m2"]), given["temp_degc"], sun, filled, daily)
    offset_h = raw.utc_offset_h or 0.0
    ghi = columns["ghi_w_m2"]
    seen = Seen(times, step_h, ghi, sun, daily, monthly, gaps, latitude_deg, longitude_deg, offset_h, dead)
    return WeatherYear(
        kind=raw.kind,
        source=raw.source,
        times=times,
        step_h=step_h,
        typical=raw.typical,
        ghi_w_m2=ghi,
        daily=daily,
        monthly=monthly,
        gaps=gaps,
        dni_w_m2=columns.get("dni_w_m2"),
        dhi_w_m2=columns.get("dhi_w_m2"),
        temp_degc=columns.get("temp_degc"),
        **{name: columns.get(name) for name in AIR_RANGES},
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=raw.elevation_m,
        notes=tuple(notes),
        checks=all_checks(seen, site_deg),
    )


def _place(raw: RawWeather, file: str, site_deg: tuple[float, float] | None) -> tuple[float, float]:
    if raw.latitude_deg is None or raw.longitude_deg is None:
        if site_deg is None:
            do = 'Add lines "# latitude_deg: ..." and "# longitude_deg: ...", or name the house with --house.'
            raise refuse(file, "", "no place in the file", "latitude and longitude", do)
        raw.latitude_deg, raw.longitude_deg = site_deg
        raw.notes.append("The file names no place; that of the house is taken.")
    for key, value, limit in (("latitude", raw.latitude_deg, 90.0), ("longitude", raw.longitude_deg, 180.0)):
        if not -limit <= value <= limit:
            raise refuse(file, key, f"{value:g}", f"{-limit:g} to {limit:g}", "Correct the file's header.")
    return raw.latitude_deg, raw.longitude_deg
