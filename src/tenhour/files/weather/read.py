"""Read a weather file of any of the known formats and bring it to one form, or refuse it with reasons."""

from __future__ import annotations

import warnings
from pathlib import Path

import pandas as pd

from tenhour.files.weather.plain import Stamp, read_plain_text
from tenhour.files.weather.raw import FORMATS, RawWeather, refuse
from tenhour.files.weather.services import (
    read_power_csv,
    read_power_json,
    read_pvgis_hourly_text,
    read_pvgis_json,
    read_pvgis_tmy_text,
)
from tenhour.files.weather.station import read_epw_text, read_tmy2_text, read_tmy3_text
from tenhour.files.weather.text import kind_of_json, kind_of_text, parsed_json, read_weather_text
from tenhour.files.weather.time import on_one_clock
from tenhour.model.weather import WeatherSeries

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


def read_series(
    path: Path, latitude_deg: float | None = None, longitude_deg: float | None = None, stamp: Stamp = "auto"
) -> WeatherSeries:
    """A weather file, read and brought to one form.

    Parameters: path; latitude_deg and longitude_deg of the house, used where the file names no place; stamp, what the
        stamps of a plain table mark ("auto" takes the file's word or the first row).
    Errors: FileProblem for anything that is none of the known formats, is broken or names no place.
    """
    site = None if latitude_deg is None or longitude_deg is None else (latitude_deg, longitude_deg)
    return series_of(read_raw(path, stamp), str(path), site)


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


def series_of(raw: RawWeather, file: str, site_deg: tuple[float, float] | None = None) -> WeatherSeries:
    """A raw series on one clock.

    Parameters: raw; file, its name for problems; site_deg, latitude and longitude of the house.
    Errors: FileProblem without a place, for a row that occurs twice with different values, and for impossible years.
    """
    latitude_deg, longitude_deg = _place(raw, file, site_deg)
    times, step_h, columns = on_one_clock(raw, file)
    return WeatherSeries(
        file, raw.kind, raw.source, times, step_h, raw.typical, columns, latitude_deg, longitude_deg, raw.elevation_m,
        raw.utc_offset_h or 0.0, tuple(raw.notes),
    )  # fmt: skip


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
