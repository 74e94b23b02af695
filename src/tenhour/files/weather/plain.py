"""The plain table: a time and a light column, the rest as it comes."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
import pandas as pd

from tenhour.files.weather.raw import (
    HALF_HOUR_ON_H,
    Array,
    RawWeather,
    dew_point_degc,
    joined_years,
    numbers,
    refuse,
    whole_stamps,
)
from tenhour.units import GENERIC_YEAR, UMOL_PER_J_GLOBAL

Stamp = Literal["auto", "start", "middle", "end"]

TIME_NAMES: Final = ("time", "timestamp", "datetime", "date time", "date", "utc", "stamp")
LIGHT_NAMES: Final = {"dli": "ghi_w_m2", "ghi": "ghi_w_m2", "global": "ghi_w_m2", "dni": "dni_w_m2", "dhi": "dhi_w_m2"}
TEMP_NAMES: Final = ("temp", "temperature", "temp air", "t2m", "air temp")
EXTREME_NAMES: Final = {
    "tmin": "temp_min_degc", "tmax": "temp_max_degc", "temp min": "temp_min_degc", "temp max": "temp_max_degc",
    "temperature min": "temp_min_degc", "temperature max": "temp_max_degc",
}  # fmt: skip
"""Lowest and highest of a day, with or without a unit after the name."""
AIR_NAMES: Final = {
    "wind": "wind_m_s", "dew": "dew_degc", "dewpoint": "dew_degc", "infrared": "infrared_w_m2", "cloud": "cloud_frac",
    "rh": "humidity", "humidity": "humidity",
}  # fmt: skip
WIND_UNITS: Final = {
    "": 1.0,
    "m s": 1.0,
    "km h": 1 / 3.6,
    "kmh": 1 / 3.6,
    "mph": 0.44704,
    "kn": 0.514444,
    "kt": 0.514444,
}
"""Metres a second in one unit, by definition."""
CLOUD_UNITS: Final = {"frac": 1.0, "": 0.01, "percent": 0.01, "%": 0.01, "tenths": 0.1, "oktas": 0.125}
MOL_WH_M2: Final = 1e6 / UMOL_PER_J_GLOBAL / 3600.0
"""Energy of all daylight that carries a mole of photons for plants [Wh]."""
LIGHT_UNITS: Final = {
    "": (1.0, False), "w m2": (1.0, False), "wh m2": (1.0, True), "kwh m2": (1000.0, True), "kw m2": (1000.0, False),
    "mj m2": (1e6 / 3600.0, True), "kj m2": (1e3 / 3600.0, True), "j cm2": (1e4 / 3600.0, True),
    "kwh m2 d": (1000.0, True), "mj m2 d": (1e6 / 3600.0, True), "mol m2 d": (MOL_WH_M2, True),
    "mol m2": (MOL_WH_M2, True),
}  # fmt: skip
"""Factor to W m⁻² (or Wh m⁻²), and whether it is a sum over the step, to be divided by its hours."""
LIGHT_CODES: Final = (9999.0, 99999.0, -999.0, -9999.0, -99.0)
TEMP_CODES: Final = (99.9, 999.0, 9999.0, -99.0, -99.9, -999.0, -9999.0)
"""Codes for a missing value in common tables: practice."""
STEPS_H: Final = (1.0, 24.0)
MOST_OFF_GRID_SHARE: Final = 0.02
"""Share of stamps that may stand off the regular step: judgement."""
OFF_GRID: Final = 0.01
WHOLE_HOUR_SHARE: Final = 0.75
"""Of an hour's finer steps that must be there for its mean: practice."""
HALF_STEP: Final = 0.5
HEAD: Final = re.compile(r"^#\s*([a-z_0-9]+)\s*[:=]\s*(.*?)\s*$", re.IGNORECASE)
SLASHED: Final = re.compile(r"^\d{1,2}/\d{1,2}/\d{4}[^\n]*", re.MULTILINE)
HOUR_24: Final = re.compile(r"(?<=[ T])24:00")
ZONED: Final = re.compile(r"(?:Z|[+-]\d{2}:?\d{2})$")
DAY_FIRST: Final = re.compile(r"^\d{1,2}\.\d{1,2}\.\d{4}")
FAHRENHEIT: Final = ("degf", "f", "fahrenheit")


@dataclass
class _Table:
    frame: pd.DataFrame
    head: dict[str, str]
    file: str


def read_plain_text(text: str, file: str, stamp: Stamp = "auto") -> RawWeather:
    """A table with a header line; lines that start with # may tell latitude_deg, utc_offset_h, stamps and so on."""
    table = _table(text, file)
    names = _known_columns(table)
    zoned, stamps = _stamps(table, names["time"])
    step_h = _step_h(stamps, file)
    columns = {ours: _values(table, theirs, ours, step_h) for ours, theirs in names.items() if ours != "time"}
    humidity = columns.pop("humidity", None)
    if humidity is not None and "temp_degc" in columns:
        columns.setdefault("dew_degc", dew_point_degc(columns["temp_degc"], humidity))
    notes: list[str] = []
    _with_extremes(columns, step_h, notes)
    typical = table.head.get("typical", "").lower() in ("true", "yes", "1") or _joined(stamps)
    notes += [f'Column "{name}" is not used.' for name in table.frame.columns if name not in names.values()]
    to_middle_h = _to_middle_h(stamps, step_h, table, stamp, notes)
    if step_h < min(STEPS_H):
        stamps, columns = _hours(stamps, to_middle_h, columns)
        to_middle_h = HALF_HOUR_ON_H
        notes.append("Steps shorter than an hour were joined to hours.")
    if typical:
        stamps, columns = _on_generic_year(stamps, columns, notes)
    return RawWeather(
        "plain table", table.head.get("source", "plain table"), stamps, to_middle_h,
        0.0 if zoned else _head_number(table, "utc_offset_h"), typical, columns,
        _head_number(table, "latitude_deg"), _head_number(table, "longitude_deg"),
        _head_number(table, "elevation_m"), notes,
    )  # fmt: skip


def _with_extremes(columns: dict[str, Array], step_h: float, notes: list[str]) -> None:
    """Let a day's mean, where there is none, be that of its lowest and highest; only tables of days tell extremes."""
    lowest, highest = columns.get("temp_min_degc"), columns.pop("temp_max_degc", None)
    if lowest is not None and highest is not None and "temp_degc" not in columns:
        columns["temp_degc"] = (lowest + highest) / 2.0
        notes.append("A step's temperature is taken as the mean of its lowest and highest.")
    if step_h != max(STEPS_H):
        columns.pop("temp_min_degc", None)


def _table(text: str, file: str) -> _Table:
    lines = text.splitlines()
    head = {found[1].lower(): found[2] for line in lines if (found := HEAD.match(line))}
    body = [line.rstrip() for line in lines if line.strip() and not line.startswith("#")]
    if len(body) < 2:
        raise refuse(file, "", "a table without rows", "a header line and one row per hour or day", "")
    separator = max(";\t,", key=body[0].count)
    body = [line.rstrip(separator) for line in body]
    heads = next(csv.reader([body[0]], delimiter=separator), [])
    _known_columns(_Table(pd.DataFrame(columns=[name.strip() for name in heads]), head, file))
    decimal = "," if separator == ";" and re.search(r"\d,\d", body[1]) else "."
    try:
        frame = pd.read_csv(
            io.StringIO("\n".join(body)),
            sep=separator,
            decimal=decimal,
            skipinitialspace=True,
            dtype=object,
            index_col=False,
        )
    except (ValueError, pd.errors.ParserError) as error:
        words = re.sub(r"\s+", " ", str(error)).strip()[:120]
        raise refuse(file, "", f"a table that cannot be read ({words})", "one header, equal rows", "") from None
    frame.columns = pd.Index([str(name).strip() for name in frame.columns])
    if decimal == ",":
        frame = frame.apply(lambda column: column.astype(str).str.replace(r"(?<=\d),(?=\d)", ".", regex=True))
    return _Table(frame, head, file)


def _plain(name: str) -> str:
    """A column's name without case, marks and exponents: "GHI (W/m²)" and "ghi_w_m2" become "ghi w m2"."""
    plain = name.casefold().replace("²", "2").replace("°", "deg").replace("^", "")
    plain = re.sub(r"[_\[\]().,/\- ]+", " ", plain).strip()
    return plain.replace("m 2", "m2")


def _known_columns(table: _Table) -> dict[str, str]:
    found: dict[str, str] = {}
    for name in table.frame.columns:
        plain = _plain(name)
        first = plain.split(" ", 1)[0]
        if plain in TIME_NAMES or plain.startswith(("time ", "timestamp ", "date time ")):
            found.setdefault("time", name)
        elif first in LIGHT_NAMES:
            found.setdefault(LIGHT_NAMES[first], name)
        elif extreme := _extreme(plain):
            found.setdefault(extreme, name)
        elif plain in TEMP_NAMES or first in ("temp", "temperature", "t2m"):
            found.setdefault("temp_degc", name)
        elif first in AIR_NAMES or plain.startswith("relative humidity"):
            found.setdefault(AIR_NAMES.get(first, "humidity"), name)
    missing = [label for key, label in (("time", "time"), ("ghi_w_m2", "ghi")) if key not in found]
    if missing:
        shown = ", ".join(f'"{name}"' for name in list(table.frame.columns)[:8])
        do = "Name the columns time, ghi (of days also dli_mol_m2_d) and, if you have them, dni, dhi and temp."
        raise refuse(table.file, "header", f"no column named {' or '.join(missing)} (only {shown})", "time and ghi", do)
    return found


def _extreme(plain: str) -> str | None:
    """Which of a day's extremes a column holds; None where it is none."""
    return next((ours for name, ours in EXTREME_NAMES.items() if f"{plain} ".startswith(f"{name} ")), None)


def _stamps(table: _Table, name: str) -> tuple[bool, pd.DatetimeIndex]:
    """Whether the stamps carry an offset, and the stamps, naive (in UTC when they do)."""
    text = table.frame[name].fillna("").map(str).str.strip()
    whole = "\n".join(text)
    slashed = SLASHED.search(whole)
    if slashed:
        found = f'"{slashed[0]}", where day and month cannot be told apart'
        raise refuse(table.file, name, found, "dates as 2027-01-15", "")
    late = np.zeros(len(text), dtype=np.int64)
    if HOUR_24.search(whole):
        late = np.asarray(text.str.contains(HOUR_24), dtype=np.int64)
        text = text.str.replace(HOUR_24, "00:00", regex=True)
    first = str(text.iloc[0])
    zoned = ":" in first and ZONED.search(first) is not None
    day_first = DAY_FIRST.search(first) is not None
    layout = "mixed" if day_first else "ISO8601"
    try:
        read = pd.to_datetime(text, utc=True, format=layout, dayfirst=day_first)
    except (ValueError, OverflowError):
        bad = pd.to_datetime(text, utc=True, format="mixed", dayfirst=day_first, errors="coerce").isna()
        row = int(np.flatnonzero(bad)[0]) if bad.any() else 0
        found = f'"{text.iloc[row]}" (row {row + 1})'
        raise refuse(table.file, name, found, "times as 2027-01-15 13:00", "") from None
    stamps = whole_stamps(pd.DatetimeIndex(read)).tz_localize(None)
    return zoned, stamps + pd.to_timedelta(late, unit="D")


def _step_h(stamps: pd.DatetimeIndex, file: str) -> float:
    seconds: Array = np.asarray(stamps.to_numpy().astype("datetime64[s]").astype(np.int64), dtype=np.float64)
    gaps_h = np.diff(seconds) / 3600.0
    forward = gaps_h[gaps_h > 0]
    if (stamps.normalize() == stamps).all() and (not forward.size or forward.min() >= max(STEPS_H)):
        return max(STEPS_H)  # a table of days may leave days out
    if not forward.size:
        raise refuse(file, "", "a single row", "a year of hours or days", "")
    step_h = float(np.median(forward))
    steps = forward / step_h
    off = np.abs(steps - np.round(steps)) > OFF_GRID
    if off.mean() > MOST_OFF_GRID_SHARE:
        raise refuse(file, "time", "stamps at uneven steps", "one row an hour, a few minutes, or a day", "")
    if not (0 < step_h <= min(STEPS_H) or step_h == max(STEPS_H)):
        raise refuse(file, "time", f"steps of {step_h:g} h", "an hour or less, or a day", "")
    return step_h


def _values(table: _Table, name: str, ours: str, step_h: float) -> Array:
    plain = _plain(name)
    unit = plain.split(" ", 1)[1] if " " in plain else "mol m2 d" if plain == "dli" else ""
    if ours in ("temp_degc", *EXTREME_NAMES.values()):
        values = _without_codes(numbers(table.frame[name].to_numpy()), TEMP_CODES)
        return (values - 32.0) * 5.0 / 9.0 if unit.split(" ")[-1] in FAHRENHEIT else values
    if ours in ("dew_degc", "humidity", "wind_m_s", "cloud_frac"):
        return _air_values(table, name, ours, unit)
    if unit not in LIGHT_UNITS:
        known = ", ".join(f"{name}" for name in LIGHT_UNITS if name)
        raise refuse(table.file, name, f'the unit "{unit}"', f"one of {known}, or none for W m⁻²", "")
    factor, is_sum = LIGHT_UNITS[unit]
    values = _without_codes(numbers(table.frame[name].to_numpy()), LIGHT_CODES)
    return np.asarray(values * factor / (step_h if is_sum else 1.0))


def _air_values(table: _Table, name: str, ours: str, unit: str) -> Array:
    """Dew point [°C], relative humidity [%], wind [m s⁻¹] or cloud [-] of a column."""
    values = _without_codes(numbers(table.frame[name].to_numpy()), TEMP_CODES)
    if ours == "dew_degc":
        return (values - 32.0) * 5.0 / 9.0 if unit.split(" ")[-1] in FAHRENHEIT else values
    if ours == "humidity":
        return values
    units = WIND_UNITS if ours == "wind_m_s" else CLOUD_UNITS
    words = unit.removeprefix("speed").removeprefix("cover").strip()
    if words not in units:
        known = ", ".join(part for part in units if part)
        raise refuse(table.file, name, f'the unit "{words}"', f"one of {known}, or none", "")
    return values * units[words]


def _without_codes(values: Array, codes: tuple[float, ...]) -> Array:
    return np.where(np.isin(values, codes), np.nan, values)


def _to_middle_h(stamps: pd.DatetimeIndex, step_h: float, table: _Table, stamp: Stamp, notes: list[str]) -> float:
    asked = stamp if stamp != "auto" else table.head.get("stamps", "")
    shifts = {"start": HALF_STEP * step_h, "middle": 0.0, "end": -HALF_STEP * step_h}
    if asked in shifts:
        return shifts[asked]
    if asked:
        raise refuse(table.file, "stamps", f'"{asked}"', "start, middle or end", "")
    if step_h in STEPS_H[:1] and bool((stamps.minute != 0).mean() > HALF_STEP):
        notes.append("Stamps inside the hour are taken as its middle.")
        return 0.0
    if step_h in STEPS_H[:1] and stamps[0].hour == 1:
        notes.append("The first row is stamped 01:00, so stamps are taken as the end of their hour.")
        return shifts["end"]
    if step_h != max(STEPS_H):
        notes.append("Stamps are taken as the start of their step.")
    return shifts["start"]


def _hours(
    stamps: pd.DatetimeIndex, to_middle_h: float, columns: dict[str, Array]
) -> tuple[pd.DatetimeIndex, dict[str, Array]]:
    """Means over whole hours; an hour with less than three quarters of its steps is missing."""
    first = ~np.asarray(stamps.duplicated())
    hour = (stamps[first] + pd.Timedelta(hours=to_middle_h)).floor("h")
    grouped = pd.DataFrame({name: values[first] for name, values in columns.items()}).groupby(hour)
    enough = grouped.count() >= WHOLE_HOUR_SHARE * float(grouped.size().median())
    means = grouped.mean().where(enough)
    return pd.DatetimeIndex(means.index), {name: means[name].to_numpy(dtype=np.float64) for name in columns}


def _joined(stamps: pd.DatetimeIndex) -> bool:
    """Whether rows of several years make up one: their years do not run on."""
    years = stamps.year.to_numpy()
    jumps = bool((np.diff(years) < 0).any()) or np.unique(years).size > 2
    hours = stamps.hour.to_numpy() + stamps.minute.to_numpy() / 60.0
    return jumps and joined_years(years, stamps.month.to_numpy(), stamps.day.to_numpy(), hours)


def _on_generic_year(
    stamps: pd.DatetimeIndex, columns: dict[str, Array], notes: list[str]
) -> tuple[pd.DatetimeIndex, dict[str, Array]]:
    keep = np.asarray(~((stamps.month == 2) & (stamps.day == 29)))
    if not keep.all():
        notes.append("29 February was left out: a typical year has 365 days.")
    kept = stamps[keep]
    if kept.year.nunique() > 1:
        notes.append(f"A typical year joined from months of {kept.year.nunique()} years.")
    names = ("month", "day", "hour", "minute")
    generic = pd.to_datetime(pd.DataFrame({"year": GENERIC_YEAR, **{name: getattr(kept, name) for name in names}}))
    return pd.DatetimeIndex(generic), {name: values[keep] for name, values in columns.items()}


def _head_number(table: _Table, key: str) -> float | None:
    text = table.head.get(key)
    if text is None or not text.strip():
        return None
    try:
        return float(text)
    except ValueError:
        raise refuse(table.file, f"# {key}", f'"{text}"', "a number", "") from None
