"""Readers of what PVGIS and NASA POWER deliver, as CSV or JSON, from a file or straight from the service."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from typing import Any, Final

import numpy as np
import pandas as pd

from tenhour.files.weather.raw import (
    HALF_HOUR_ON_H,
    Array,
    RawWeather,
    dew_point_degc,
    numbers,
    refuse,
    whole_stamps,
)
from tenhour.units import GENERIC_YEAR

PVGIS_LOWEST: Final = -100.0
POWER_LOWEST: Final = -90.0
"""NASA POWER marks a missing value by -999, older answers by -99."""
TYPICAL_HOURS: Final = 8760
HOURS_PER_DAY: Final = 24.0
DEGREES_PER_HOUR: Final = 15.0
DAY_KEY: Final = 8
"""Letters of a daily stamp (20200131); an hourly one has ten."""
TO_HOURLY_W_M2: Final = {
    "wh/m^2": 1.0, "w/m^2": 1.0, "w m-2": 1.0, "kw-hr/m^2/hour": 1000.0, "kwh/m^2/hour": 1000.0,
    "mj/hr": 1e6 / 3600.0, "mj/m^2/hour": 1e6 / 3600.0,
}  # fmt: skip
"""Mean over the hour [W m⁻²] of one unit; NASA POWER's names of units, from memory and pvlib's reader."""
TO_DAILY_W_M2: Final = {
    "kw-hr/m^2/day": 1000.0 / 24.0, "kwh/m^2/day": 1000.0 / 24.0, "mj/m^2/day": 1e6 / 86400.0, "w/m^2": 1.0,
    "w m-2": 1.0, "wh/m^2/day": 1.0 / 24.0,
}  # fmt: skip
"""24 h mean [W m⁻²] of one unit."""
POWER_NAMES: Final = {
    "ALLSKY_SFC_SW_DWN": "ghi_w_m2",
    "ALLSKY_SFC_SW_DNI": "dni_w_m2",
    "ALLSKY_SFC_SW_DIFF": "dhi_w_m2",
    "T2M": "temp_degc",
    "T2MDEW": "dew_degc",
    "WS10M": "wind_m_s",
    "ALLSKY_SFC_LW_DWN": "infrared_w_m2",
}
AS_WRITTEN: Final = ("T2M", "T2MDEW", "WS10M")
"""NASA POWER's columns of the air, in °C and m/s."""
HORIZON_NOTE: Final = (
    "PVGIS counts the far horizon in unless told not to; if yours is in skyline too, it is counted twice."
)
BROKEN: Final = (ValueError, TypeError, KeyError, IndexError, AttributeError)


def read_pvgis_hourly_text(text: str, file: str) -> RawWeather:
    """PVGIS hourly CSV; the plane must be level.

    Errors: FileProblem where it is tilted or breaks off.
    """
    from pvlib.iotools import read_pvgis_hourly

    try:
        _check_even_rows(text)
        data, meta = read_pvgis_hourly(io.StringIO(text.replace("\r\n", "\n")), pvgis_format="csv", map_variables=True)
    except BROKEN as error:
        raise _broken(file, "a PVGIS hourly file", error) from None
    return pvgis_hourly(data, meta, file)


def _check_even_rows(text: str) -> None:
    """Raise ValueError unless every hour has the fields its header names."""
    header = re.search(r"^time,.*$", text, re.MULTILINE)
    commas = header[0].count(",") if header else 0
    for row in re.finditer(r"^\d{8}:\d{4}.*$", text, re.MULTILINE):
        if row[0].count(",") != commas:
            raise ValueError(f"{row[0].strip()[:40]}: not {commas + 1} fields")


def read_pvgis_tmy_text(text: str, file: str) -> RawWeather:
    """PVGIS typical year as CSV.

    Errors: FileProblem where it breaks off or is broken.
    """
    from pvlib.iotools import read_pvgis_tmy

    hours = re.findall(r"^\d{8}:\d{4},[^\n]*\n", text, re.MULTILINE)
    if 0 < len(hours) < TYPICAL_HOURS:
        found = f"a PVGIS typical year that breaks off after {len(hours)} of {TYPICAL_HOURS} hours"
        raise refuse(file, "", found, "", "Download it again.")
    try:
        data, meta = read_pvgis_tmy(io.BytesIO(text.encode()), pvgis_format="csv", map_variables=True)
    except BROKEN as error:
        raise _broken(file, "a PVGIS typical year", error) from None
    return pvgis_typical(data, meta, file)


def read_pvgis_json(document: Mapping[str, Any], kind: str, file: str) -> RawWeather:
    """PVGIS JSON, hourly or typical year.

    Errors: FileProblem where parts are missing or of another kind.
    """
    import json

    from pvlib.iotools import read_pvgis_hourly, read_pvgis_tmy

    buffer = io.StringIO(json.dumps(document))
    hourly = kind == "pvgis-hourly-json"
    try:
        data, meta = (read_pvgis_hourly if hourly else read_pvgis_tmy)(buffer, pvgis_format="json", map_variables=True)
    except BROKEN as error:
        raise _broken(file, "a PVGIS answer", error) from None
    return pvgis_hourly(data, meta, file) if hourly else pvgis_typical(data, meta, file)


def pvgis_hourly(data: pd.DataFrame, meta: Mapping[str, Any], file: str) -> RawWeather:
    """A PVGIS hourly frame as pvlib returns it: stamps in UTC, at the moment (or middle) their value stands for.

    Errors: FileProblem where columns are missing.
    """
    inputs = meta.get("inputs", {})
    _check_level(inputs, file)
    columns: dict[str, Array] = {}
    if "poa_global" in data:
        columns["ghi_w_m2"] = numbers(data["poa_global"].to_numpy(), PVGIS_LOWEST)
    elif {"poa_direct", "poa_sky_diffuse"} <= set(data):
        columns["dhi_w_m2"] = numbers(data["poa_sky_diffuse"].to_numpy(), PVGIS_LOWEST)
        columns["ghi_w_m2"] = numbers(data["poa_direct"].to_numpy(), PVGIS_LOWEST) + columns["dhi_w_m2"]
    else:
        raise refuse(file, "", "no light in this PVGIS file", "G(i), or Gb(i) and Gd(i)", "Fetch hourly radiation.")
    if "temp_air" in data:
        columns["temp_degc"] = numbers(data["temp_air"].to_numpy(), PVGIS_LOWEST)
    if "wind_speed" in data:
        columns["wind_m_s"] = numbers(data["wind_speed"].to_numpy(), PVGIS_LOWEST)
    stamps = _naive_utc(data.index)
    years = f"{stamps[0]:%Y}-{stamps[-1]:%Y}" if len(stamps) else ""
    raw = RawWeather("PVGIS hourly", f"{_pvgis_source(inputs)} {years}".strip(), stamps, 0.0, 0.0, False, columns)
    return _with_place(raw, _pvgis_place(inputs))


def pvgis_typical(data: pd.DataFrame, meta: Mapping[str, Any], file: str, *, horizon: bool = True) -> RawWeather:
    """A PVGIS typical year as pvlib returns it: stamps in UTC, light some minutes after them as its header says.

    Parameters: horizon, whether the far horizon may be counted in.
    Errors: FileProblem where columns are missing.
    """
    inputs = meta.get("inputs", {})
    location = inputs.get("location", {})
    offset = inputs.get("irradiance time offset", location.get("irradiance_time_offset"))
    notes = [HORIZON_NOTE] if horizon else []
    if offset is None:
        notes.append("The file does not say at what minute its light was seen; the middle of the hour is taken.")
    if "ghi" not in data:
        raise refuse(file, "", "no G(h) column in this PVGIS file", "G(h)", "Download the typical year again.")
    names = {
        "ghi": "ghi_w_m2", "dni": "dni_w_m2", "dhi": "dhi_w_m2", "temp_air": "temp_degc", "IR(h)": "infrared_w_m2",
        "wind_speed": "wind_m_s",
    }  # fmt: skip
    stamps = _naive_utc(data.index)
    keep = ~((stamps.month == 2) & (stamps.day == 29))
    if not keep.all():
        notes.append("29 February was left out: a typical year has 365 days.")
    columns = {
        ours: numbers(data[theirs].to_numpy(), PVGIS_LOWEST)[keep] for theirs, ours in names.items() if theirs in data
    }
    if "relative_humidity" in data and "temp_degc" in columns:
        humidity = numbers(data["relative_humidity"].to_numpy(), PVGIS_LOWEST)[keep]
        columns["dew_degc"] = dew_point_degc(columns["temp_degc"], humidity)
    kept = stamps[keep]
    if kept.year.nunique() > 1:
        notes.append(f"A typical year joined from months of {kept.year.nunique()} years.")
    generic = pd.to_datetime(
        pd.DataFrame(
            {"year": GENERIC_YEAR, "month": kept.month, "day": kept.day, "hour": kept.hour, "minute": kept.minute}
        )
    )
    middle_h = HALF_HOUR_ON_H if offset is None else float(offset)
    raw = RawWeather(
        "PVGIS typical year",
        _pvgis_source(inputs),
        pd.DatetimeIndex(generic),
        middle_h,
        0.0,
        True,
        columns,
        notes=notes,
    )
    return _with_place(raw, _pvgis_place(inputs))


def _naive_utc(index: pd.Index) -> pd.DatetimeIndex:
    stamps = whole_stamps(pd.DatetimeIndex(index))
    return stamps.tz_convert("UTC").tz_localize(None) if stamps.tz is not None else stamps


def _check_level(inputs: Mapping[str, Any], file: str) -> None:
    mounting = inputs.get("mounting_system", {}).get("fixed", {})
    slope = mounting.get("slope", {}).get("value") if mounting else inputs.get("Slope", "0")
    found = re.match(r"-?[\d.]+", str(slope))
    if found is None or abs(float(found[0])) > 0.0:
        do = "Fetch it again with slope 0 (level)."
        raise refuse(file, "slope", f"light on a plane tilted {slope}", "light on level ground", do)


def _pvgis_place(inputs: Mapping[str, Any]) -> tuple[Any, Any, Any]:
    where = inputs.get("location", inputs)
    return where.get("latitude"), where.get("longitude"), where.get("elevation")


def _pvgis_source(inputs: Mapping[str, Any]) -> str:
    base = inputs.get("radiation_database") or inputs.get("meteo_data", {}).get("radiation_db") or ""
    return f"PVGIS {base}".strip()


def read_power_json(document: Mapping[str, Any], file: str) -> RawWeather:
    """NASA POWER GeoJSON, hourly or daily.

    Errors: FileProblem where parts are missing or in an unknown unit.
    """
    try:
        table = pd.DataFrame(document["properties"]["parameter"])
        keys = pd.Index(table.index.astype(str))
        hourly = len(keys[0]) > DAY_KEY
        stamps = pd.to_datetime(keys, format="%Y%m%d%H" if hourly else "%Y%m%d")
        units = {name: str(about.get("units", "")) for name, about in document.get("parameters", {}).items()}
        header = document.get("header", {})
        longitude_deg, latitude_deg, *height = document["geometry"]["coordinates"]
    except BROKEN as error:
        raise _broken(file, "a NASA POWER answer", error) from None
    clock = str(header.get("time_standard", "LST")).upper()
    place = (latitude_deg, longitude_deg, height[0] if height else None)
    return _power(table.reset_index(drop=True), pd.DatetimeIndex(stamps), units, clock, place, file)


def read_power_csv(text: str, file: str) -> RawWeather:
    """NASA POWER CSV with its header block, hourly or daily.

    Errors: FileProblem where it is broken or in an unknown unit.
    """
    head, _, body = text.partition("-END HEADER-")
    try:
        table = pd.read_csv(io.StringIO(body.lstrip()))
        stamps = _power_stamps(table)
        latitude_deg, longitude_deg = (
            float(re.search(rf"{name}\s+(-?[\d.]+)", head, re.IGNORECASE)[1])  # type: ignore[index]
            for name in ("latitude", "longitude")
        )
    except BROKEN as error:
        raise _broken(file, "a NASA POWER table", error) from None
    units = dict(re.findall(r"^([A-Z0-9_]+)\s.*\(([^()]+)\)\s*$", head, re.MULTILINE))
    height = re.search(r"=\s*(-?[\d.]+)\s*meters", head)
    clock = "UTC" if re.search(r"\bin UTC\b", head) else "LST"
    place = (latitude_deg, longitude_deg, float(height[1]) if height else None)
    return _power(table, stamps, units, clock, place, file)


def _power_stamps(table: pd.DataFrame) -> pd.DatetimeIndex:
    if "DOY" in table:
        days = pd.to_datetime(table["YEAR"].astype(str) + table["DOY"].astype(str).str.zfill(3), format="%Y%j")
    else:
        parts = {"year": table["YEAR"], "month": table["MO"], "day": table["DY"]}
        days = pd.to_datetime(pd.DataFrame(parts))
    hours = pd.to_timedelta(table["HR"], unit="h") if "HR" in table else pd.Timedelta(0)
    return whole_stamps(pd.DatetimeIndex(days + hours))


def _power(
    table: pd.DataFrame,
    stamps: pd.DatetimeIndex,
    units: Mapping[str, str],
    clock: str,
    place: tuple[Any, Any, Any],
    file: str,
) -> RawWeather:
    if "ALLSKY_SFC_SW_DWN" not in table:
        do = "Fetch it again with that parameter."
        raise refuse(file, "", "no ALLSKY_SFC_SW_DWN in this NASA POWER file", "ALLSKY_SFC_SW_DWN", do)
    step = stamps.to_series().diff().median()
    hourly = step <= pd.Timedelta(hours=1)
    columns = {
        ours: _in_w_m2(theirs, numbers(table[theirs].to_numpy(), POWER_LOWEST), units, hourly, file)
        for theirs, ours in POWER_NAMES.items()
        if theirs in table and (hourly or theirs != "ALLSKY_SFC_SW_DNI")
    }
    offset_h = 0.0 if clock == "UTC" else float(round(float(place[1]) / DEGREES_PER_HOUR))
    kind = "NASA POWER hourly" if hourly else "NASA POWER daily"
    to_middle_h = HALF_HOUR_ON_H if hourly else HOURS_PER_DAY / 2
    raw = RawWeather(kind, f"NASA POWER in {clock}", stamps, to_middle_h, offset_h, False, columns)
    return _with_place(raw, place)


def _in_w_m2(name: str, values: Array, units: Mapping[str, str], hourly: bool, file: str) -> Array:
    if name in AS_WRITTEN:
        return values
    table = TO_HOURLY_W_M2 if hourly else TO_DAILY_W_M2
    unit = units.get(name, "").strip().lower()
    if unit not in table:
        found = f'the unit "{units.get(name, "none")}"'
        raise refuse(file, name, found, f"one of {', '.join(table)}", "Fetch it again for renewable energy.")
    return np.asarray(values * table[unit])


def _with_place(raw: RawWeather, place: tuple[Any, Any, Any]) -> RawWeather:
    numbers_of = [None if value is None else float(value) for value in place]
    raw.latitude_deg, raw.longitude_deg, raw.elevation_m = numbers_of
    return raw


def _broken(file: str, what: str, error: Exception) -> Exception:
    words = re.sub(r"\s+", " ", str(error)).strip()[:120]
    return refuse(file, "", f"{what} that is broken or breaks off ({words})", "", "Download it again.")
