"""Readers of station-year files: EPW, TMY3 and TMY2, through pvlib."""

from __future__ import annotations

import io
import re
import tempfile
from pathlib import Path
from typing import Any, Final

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tenhour.files.weather.raw import (
    HALF_HOUR_BACK_H,
    TENTHS,
    RawWeather,
    joined_years,
    numbers,
    refuse,
)
from tenhour.units import GENERIC_YEAR

EPW_HEADER_LINES: Final = 8
EPW_LEAST_FIELDS: Final = 16
"""Up to diffuse light; files with fewer fields at the end are common."""
EPW_FIELDS: Final = 35
EPW_LIGHT_MISSING: Final = 9999.0
EPW_TEMP_MISSING: Final = 99.9
EPW_WIND_MISSING: Final = 999.0
CLOUD_MISSING: Final = 99.0
"""Missing codes: EnergyPlus Auxiliary Programs, data dictionary of the EPW fields. Read (through pvlib's page)."""
TMY_LIGHT_LOWEST: Final = -100.0
"""TMY3 marks a missing value by -9900."""
TMY_MISSING: Final = 9999.0
TMY2_TENTHS: Final = 10.0
TMY3_AIR: Final = (
    ("dew_degc", "temp_dew", 1.0),
    ("wind_m_s", "wind_speed", 1.0),
    ("cloud_frac", "TotCld (tenths)", TENTHS),
)
TMY2_LINE: Final = 142
LEAP_YEAR: Final = 2004
"""Any leap year, so that pvlib takes 29 February in a file of joined years; its index is not used."""
CENTURY: Final = 1900


def read_epw_text(text: str, file: str) -> RawWeather:
    """An EPW file: hours that end at their stamp, local standard time, Wh m⁻² in the hour.

    Errors: FileProblem where it has no hours or a broken row.
    """
    from pvlib.iotools import read_epw

    lines = [line.rstrip().rstrip(",") for line in text.splitlines() if line.strip()]
    rows = lines[EPW_HEADER_LINES:]
    if not rows:
        raise refuse(file, "", "an EPW file without hours", "8760 rows", "Download it again.")
    notes = _whole_rows(rows, file)
    years = _epw_years(rows, file)
    _check_records(lines, file)
    padded = [row + "," * max(0, EPW_FIELDS - 1 - row.count(",")) for row in rows]
    try:
        data, meta = read_epw(io.StringIO("\n".join(lines[:EPW_HEADER_LINES] + padded) + "\n"), coerce_year=LEAP_YEAR)
    except (ValueError, TypeError, KeyError, IndexError) as error:
        raise _broken(file, "EPW", error) from None
    columns = {
        "ghi_w_m2": numbers(data["ghi"].to_numpy(), missing_from=EPW_LIGHT_MISSING),
        "dni_w_m2": numbers(data["dni"].to_numpy(), missing_from=EPW_LIGHT_MISSING),
        "dhi_w_m2": numbers(data["dhi"].to_numpy(), missing_from=EPW_LIGHT_MISSING),
        "temp_degc": numbers(data["temp_air"].to_numpy(), missing_from=EPW_TEMP_MISSING),
        "dew_degc": numbers(data["temp_dew"].to_numpy(), missing_from=EPW_TEMP_MISSING),
        "infrared_w_m2": numbers(data["ghi_infrared"].to_numpy(), missing_from=EPW_LIGHT_MISSING),
        "wind_m_s": numbers(data["wind_speed"].to_numpy(), missing_from=EPW_WIND_MISSING),
        "cloud_frac": numbers(data["total_sky_cover"].to_numpy(), missing_from=CLOUD_MISSING) / TENTHS,
    }
    source = ", ".join(
        str(meta[key]).strip() for key in ("city", "country", "data_type") if str(meta.get(key, "")).strip()
    )
    parts = tuple(data[name].to_numpy(dtype=np.int64) for name in ("month", "day", "hour"))
    return _station_year("EPW", source, file, years, parts, columns, _place(meta), notes)


def _whole_rows(rows: list[str], file: str) -> list[str]:
    """Drop a last row that breaks off; refuse a broken row elsewhere."""
    short = [number for number, row in enumerate(rows) if row.count(",") + 1 < EPW_LEAST_FIELDS]
    if short == [len(rows) - 1]:
        rows.pop()
        return ["The last row breaks off and was left out."]
    if short:
        line = short[0] + 1 + EPW_HEADER_LINES
        raise refuse(file, f"line {line}", "a row with too few fields", f"{EPW_FIELDS} fields", "Download it again.")
    return []


def _epw_years(rows: list[str], file: str) -> NDArray[np.int_]:
    try:
        return np.array([int(float(row.split(",", 1)[0])) for row in rows], dtype=np.int_)
    except ValueError:
        number = next(n for n, row in enumerate(rows) if not row.split(",", 1)[0].strip().isdecimal())
        where = f"line {number + 1 + EPW_HEADER_LINES}"
        raise refuse(file, where, "no year at the start of the row", "EPW rows", "Download it again.") from None


def _check_records(lines: list[str], file: str) -> None:
    periods = next(
        (line.split(",") for line in lines[:EPW_HEADER_LINES] if line.upper().startswith("DATA PERIODS")), []
    )
    per_hour = periods[2].strip() if len(periods) > 2 else "1"
    if per_hour not in ("1", ""):
        found = f"{per_hour} rows an hour"
        raise refuse(file, "DATA PERIODS", found, "hourly EPW files", "Write hourly means, or a plain table.")


def read_tmy3_text(text: str, file: str) -> RawWeather:
    """A TMY3 file: hours that end at their stamp (1:00 to 24:00), local standard time, W m⁻².

    Errors: FileProblem where it cannot be read as one.
    """
    from pvlib.iotools import read_tmy3

    try:
        data, meta = read_tmy3(io.StringIO(text), map_variables=True)
        dates = data["Date (MM/DD/YYYY)"].str.split("/", expand=True).astype(int)
        hours = data["Time (HH:MM)"].str.split(":").str[0].astype(int)
    except (ValueError, TypeError, KeyError, IndexError, AttributeError) as error:
        raise _broken(file, "TMY3", error) from None
    columns = {
        "ghi_w_m2": numbers(data["ghi"].to_numpy(), TMY_LIGHT_LOWEST, TMY_MISSING),
        "dni_w_m2": numbers(data["dni"].to_numpy(), TMY_LIGHT_LOWEST, TMY_MISSING),
        "dhi_w_m2": numbers(data["dhi"].to_numpy(), TMY_LIGHT_LOWEST, TMY_MISSING),
        "temp_degc": numbers(data["temp_air"].to_numpy(), TMY_LIGHT_LOWEST, TMY_MISSING),
    }
    for ours, theirs, scale in TMY3_AIR:
        if theirs in data:
            columns[ours] = numbers(data[theirs].to_numpy(), TMY_LIGHT_LOWEST, TMY_MISSING) / scale
    parts = tuple(np.asarray(values, dtype=np.int64) for values in (dates[0], dates[1], hours))
    years = np.asarray(dates[2], dtype=np.int64)
    source = " ".join(str(meta[key]).strip(' "') for key in ("Name", "State"))
    return _station_year("TMY3", source, file, years, parts, columns, _place(meta), [])


def read_tmy2_text(text: str, file: str) -> RawWeather:
    """A TMY2 file: fixed columns, hours that end at their stamp, local standard time, Wh m⁻², tenths of a degree.

    Errors: FileProblem where it cannot be read as one.
    """
    from pvlib.iotools import read_tmy2

    head, *rows = [line for line in text.splitlines() if line.strip()]
    notes = []
    if rows and len(rows[-1].rstrip()) < TMY2_LINE - 1:
        rows.pop()
        notes.append("The last row breaks off and was left out.")
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "year.tm2"
        copy.write_text("\n".join([_one_word_city(head), *rows]) + "\n", encoding="ascii", errors="replace")
        try:
            data, meta = read_tmy2(copy)
        except (ValueError, TypeError, KeyError, IndexError, UnboundLocalError) as error:
            raise _broken(file, "TMY2", error, str(copy)) from None
    columns = {
        "ghi_w_m2": numbers(data["GHI"].to_numpy(), missing_from=TMY_MISSING),
        "dni_w_m2": numbers(data["DNI"].to_numpy(), missing_from=TMY_MISSING),
        "dhi_w_m2": numbers(data["DHI"].to_numpy(), missing_from=TMY_MISSING),
        "temp_degc": numbers(data["DryBulb"].to_numpy(), missing_from=TMY_MISSING) / TMY2_TENTHS,
        "dew_degc": numbers(data["DewPoint"].to_numpy(), missing_from=TMY_MISSING) / TMY2_TENTHS,
        "wind_m_s": numbers(data["Wspd"].to_numpy(), missing_from=EPW_WIND_MISSING) / TMY2_TENTHS,
        "cloud_frac": numbers(data["TotCld"].to_numpy(), missing_from=CLOUD_MISSING) / TENTHS,
    }
    parts = tuple(data[name].to_numpy(dtype=np.int64) for name in ("month", "day", "hour"))
    years = data["year"].to_numpy(dtype=np.int64) + CENTURY
    source = f"{str(meta['City']).replace('_', ' ').title()} {meta['State']}"
    return _station_year("TMY2", source, file, years, parts, columns, _place(meta), notes)


def _one_word_city(head: str) -> str:
    """The header with the blanks inside the city's name replaced, since pvlib splits the line at blanks."""
    start, city, rest = head[:7], head[7:29], head[29:]
    return start + re.sub(r"(?<=\S) +(?=\S)", "_", city) + rest


def _place(meta: dict[str, Any]) -> tuple[float, float, float, float]:
    return tuple(float(meta[key]) for key in ("latitude", "longitude", "altitude", "TZ"))  # type: ignore[return-value]


def _station_year(
    kind: str,
    source: str,
    file: str,
    years: NDArray[np.int_],
    parts: tuple[NDArray[np.int64], ...],
    columns: dict[str, NDArray[np.float64]],
    place: tuple[float, float, float, float],
    notes: list[str],
) -> RawWeather:
    months, days, hours = parts
    typical = joined_years(years, months, days, hours)
    if typical and np.unique(years).size > 1:
        notes.append(f"A typical year joined from months of {np.unique(years).size} years.")
    keep = np.ones(len(months), dtype=bool)
    if typical:
        leap = (months == 2) & (days == 29)
        if leap.any():
            notes.append("29 February was left out: a typical year has 365 days.")
        keep = ~leap
        years = np.full(len(months), GENERIC_YEAR)
    stamps = pd.to_datetime(
        pd.DataFrame({"year": years, "month": months, "day": days})[keep], errors="coerce"
    ) + pd.to_timedelta(hours[keep], unit="h")
    if stamps.isna().any():
        row = int(np.flatnonzero(keep)[int(np.flatnonzero(stamps.isna())[0])])
        where = f"{years[row]}-{months[row]}-{days[row]}"
        raise refuse(file, f"row {row + 1}", f"a day that does not exist ({where})", "", "Download the file again.")
    latitude_deg, longitude_deg, elevation_m, offset_h = place
    return RawWeather(
        kind, source, pd.DatetimeIndex(stamps), HALF_HOUR_BACK_H, offset_h, typical,
        {name: values[keep] for name, values in columns.items()}, latitude_deg, longitude_deg, elevation_m, notes,
    )  # fmt: skip


def _broken(file: str, kind: str, error: Exception, hide: str = "") -> Exception:
    words = re.sub(r"\s+", " ", str(error).replace(hide, "the file") if hide else str(error)).strip()[:120]
    return refuse(file, "", f"a {kind} file that is broken or breaks off ({words})", "", "Download it again.")
