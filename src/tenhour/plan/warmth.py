"""Day and night warmth by month and by place from thermometers, warm and cold spots, and where to hang a sensor."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tenhour.model.readings import OUTSIDE, Hang, Spot, SpotMonth, TempReadings
from tenhour.words import remarks as words
from tenhour.words.text import Text

Array = NDArray[np.float64]

QUARTER: Final = 0.25
"""Day mean = maximum − a quarter of the span, night mean = minimum + a quarter: the usual halving between extreme and
mean in crop models (van Diepen et al. 1989, WOFOST: day = (maximum + mean) / 2). From memory."""
LEAST_HOURS_SHARE: Final = 0.6
"""A day or night with fewer of its hours read does not count: judgement."""
LEAST_DAYS: Final = 5
"""Days that make a month's mean worth keeping: judgement."""
COMMON_DAYS: Final = 3
"""Days on which two places must both have been read to be compared: judgement."""
SPOT_K: Final = 1.0
"""Places closer together than a kelvin are one place to a plant: judgement."""
EVEN_K: Final = 0.5
"""A set point known no better says nothing of where to hang the thermostat: judgement."""
SUNSTRUCK_K: Final = 4.0
"""A place so much warmer by day, and not at night, is usually a sensor in the sun: common practice."""
HOUR: Final = "h"
NOON_H: Final = 12


class DayTable(NamedTuple):
    """Day and night means and the coldest reading by place and date: frames indexed by date, one column a place."""

    day_degc: pd.DataFrame
    night_degc: pd.DataFrame
    coldest_degc: pd.DataFrame


def day_table(readings: TempReadings, sun_up: NDArray[np.bool_], zone: str) -> DayTable:
    """Bring maximum-minimum notes and loggers to day and night means.

    Parameters: readings; sun_up, whether the sun was up at each [n]; zone, of the site: days are its calendar days.
    Returns: DayTable. Loggers: means of hourly means with the sun up, and with it down from noon to noon (a night
    belongs to the date it ends on). Notes: a quarter of the span in from maximum and minimum.
    """
    local = readings.time.tz_convert(zone)
    frame = pd.DataFrame(
        {"place": readings.place, "degc": readings.temp_degc, "part": readings.part, "up": sun_up, "local": local}
    )
    parts = [_from_notes(frame), _from_logger(frame[frame["part"] == "at"])]
    day, night, coldest = (
        pd.concat([part[i] for part in parts]).groupby(level=[0, 1]).mean().unstack() for i in range(3)
    )
    return DayTable(day, night, coldest)


def _empty() -> pd.Series[float]:
    index = pd.MultiIndex.from_arrays([pd.DatetimeIndex([]), pd.Index([], dtype="str")], names=["date", "place"])
    return pd.Series(np.zeros(0), index=index)


def _from_notes(frame: pd.DataFrame) -> tuple[pd.Series[float], pd.Series[float], pd.Series[float]]:
    notes = frame[frame["part"] != "at"].copy()
    if notes.empty:
        return _empty(), _empty(), _empty()
    notes["date"] = notes["local"].dt.tz_localize(None).dt.normalize()
    wide = notes.groupby(["date", "place", "part"])["degc"].mean().unstack()
    for name in ("min", "max", "day", "night"):
        if name not in wide:
            wide[name] = np.nan
    span = wide["max"] - wide["min"]
    day = wide["day"].fillna(wide["max"] - QUARTER * span)
    night = wide["night"].fillna(wide["min"] + QUARTER * span)
    return day.dropna(), night.dropna(), wide["min"].dropna()


def _from_logger(frame: pd.DataFrame) -> tuple[pd.Series[float], pd.Series[float], pd.Series[float]]:
    if frame.empty:
        return _empty(), _empty(), _empty()
    plain = frame["local"].dt.tz_localize(None)
    hour = plain.dt.floor(HOUR)
    hourly = frame.groupby(["place", hour.rename("hour")]).agg(degc=("degc", "mean"), up=("up", "mean")).reset_index()
    lit = hourly["up"] > 0.5
    by_day = hourly[lit].assign(date=hourly["hour"].dt.normalize())
    evening = hourly["hour"].dt.hour >= NOON_H
    shift = pd.to_timedelta(evening.astype(int), unit="D")
    by_night = hourly[~lit].assign(date=(hourly["hour"].dt.normalize() + shift))
    cold = frame.assign(date=plain.dt.normalize()).groupby(["date", "place"])["degc"].min()
    return _whole(by_day), _whole(by_night), cold


def _whole(hours: pd.DataFrame) -> pd.Series[float]:
    """Means of the days on which enough of the usual number of hours were read."""
    if hours.empty:
        return _empty()
    grouped = hours.groupby(["date", "place"])["degc"]
    count = grouped.size()
    enough = count >= LEAST_HOURS_SHARE * float(count.max())
    return grouped.mean()[enough]


def spot_months(table: DayTable) -> tuple[SpotMonth, ...]:
    """Mean day and night of each place in each month that was read, and the coldest reading of the month."""
    out = []
    for place in sorted({str(place) for frame in table[:2] for place in frame}):
        columns = [frame[place].dropna() if place in frame else pd.Series(dtype="float64") for frame in table]
        months = sorted({m for column in columns for m in _months(column)})
        out += [_spot_month(int(month), place, columns) for month in months]
    return tuple(out)


def _months(column: pd.Series[float]) -> NDArray[np.int64]:
    return np.unique(pd.DatetimeIndex(column.index).month).astype(np.int64)


def _spot_month(month: int, place: str, columns: Sequence[pd.Series[float]]) -> SpotMonth:
    parts = [column[pd.DatetimeIndex(column.index).month == month] for column in columns]
    day, night, cold = (float(p.mean()) if len(p) else None for p in (*parts[:2], parts[2]))
    coldest = float(parts[2].min()) if len(parts[2]) else cold
    return SpotMonth(month, place, day, night, coldest, max(len(parts[0]), len(parts[1])))


@dataclass(frozen=True)
class Needs:
    """What one crop asks of the air; NaN where it does not mind."""

    name: str
    kill_degc: float
    chill_degc: float
    best_low_degc: float
    best_high_degc: float


def spots(table: DayTable) -> tuple[Spot, ...]:
    """How each place indoors differs from the median of all, on days when all were read; fewer than two: nothing."""
    places = [str(place) for place in table.day_degc if place != OUTSIDE and place in table.night_degc]
    if len(places) < 2:
        return ()
    day, night = table.day_degc[places].dropna(), table.night_degc[places].dropna()
    if min(len(day), len(night)) < COMMON_DAYS:
        return ()
    day_gap, night_gap = day.sub(day.median(axis=1), axis=0), night.sub(night.median(axis=1), axis=0)
    out = []
    for place in places:
        error = 2.0 * float(np.hypot(_error(day_gap[place]), _error(night_gap[place])) / np.sqrt(2.0))
        warmer = float(day_gap[place].median()), float(night_gap[place].median())
        out.append(Spot(place, *warmer, error, min(len(day), len(night)), _verdict(*warmer, error)))
    return tuple(out)


def _error(gap: pd.Series[float]) -> float:
    return float(gap.std() / np.sqrt(len(gap)))


def _verdict(day_k: float, night_k: float, error_k: float) -> str:
    sure = max(SPOT_K, error_k)
    if day_k > SUNSTRUCK_K and night_k < SPOT_K:
        return "hot by day only: is the sensor in the sun?"
    day = "warm" if day_k > sure else "cold" if day_k < -sure else ""
    night = "warm" if night_k > sure else "cold" if night_k < -sure else ""
    if day and day == night:
        return f"{day} day and night"
    words = [f"{word} by {when}" for word, when in ((day, "day"), (night, "night")) if word]
    return ", ".join(words) if words else "typical"


def thermostat(found: Sequence[Spot]) -> str:
    """Say where a sensor sees a typical temperature and where it does not; "" with fewer than two places."""
    if len(found) < 2:
        return ""
    best = min(found, key=lambda spot: abs(spot.day_k) + abs(spot.night_k))
    worst = max(found, key=lambda spot: abs(spot.day_k) + abs(spot.night_k))
    if abs(worst.day_k) + abs(worst.night_k) < SPOT_K:
        return words.SENSOR_ANYWHERE(best=best.place, least=SPOT_K)
    off = words.OFF_BY(day=_gap_text(worst.day_k), night=_gap_text(worst.night_k))
    return words.SENSOR_AT(best=best.place, worst=worst.place, off=off)


def hang(table: DayTable, hold_degc: float) -> Hang | None:
    """Where a thermostat follows the coldest place best, and its set point; none where fewer than two were read.

    Parameters: table, with the coldest reading of each date and place; hold_degc, what the coldest must keep [°C].
    Method: the place whose lows differ from the coldest one's most evenly from night to night; its set point is what
    must be kept and the mean difference; its error is the mean's, 19 times in 20 (Student's t within 2 %, derived).
    Cannot tell with fewer than three nights, where the error is above EVEN_K, or where another place is as cold.
    """
    lows = table.coldest_degc.drop(columns=[OUTSIDE], errors="ignore").dropna()
    if lows.shape[1] < 2:
        return None
    cold = str(lows.mean().idxmin())
    gaps = lows.drop(columns=[cold]).sub(lows[cold], axis=0)
    if len(gaps) < COMMON_DAYS:
        return Hang(cold, None, None, None, (), words.FEW_NIGHTS(count=len(gaps), least=COMMON_DAYS))
    freedom = len(gaps) - 1
    errors = (1.96 + 2.4 / freedom + 4.5 / freedom**2) * gaps.std() / np.sqrt(len(gaps))
    best = str(errors.idxmin())
    if float(errors[best]) > EVEN_K:
        return Hang(cold, None, None, None, (), words.UNEVEN(best=best, cold=cold, error=float(errors[best])))
    doubtful = gaps.mean() < errors
    if doubtful.any():
        return Hang(cold, None, None, None, (), words.AS_COLD(cold=cold, other=str(doubtful.idxmax())))
    set_degc = hold_degc + float(gaps[best].mean())
    on = tuple(day.date() for day in lows.index[lows[best] < set_degc])
    told = words.HANG(best=best, cold=cold, hold=hold_degc, set=set_degc, error=float(errors[best]), nights=len(on))
    return Hang(cold, best, set_degc, float(errors[best]), on, told)


def _gap_text(gap_k: float) -> Text:
    return (words.WARMER if gap_k >= 0 else words.COLDER)(gap=abs(gap_k))


def suits(
    mean_degc: dict[str, float], coldest_degc: dict[str, float], crops: Sequence[Needs], most: int = 6
) -> dict[str, tuple[str, ...]]:
    """Which crops each place suits best of all places.

    Parameters: mean_degc, coldest_degc by place [°C]; crops; most, names a place gets at most.
    Method: a crop goes where no night kills or chills it and the mean is nearest to the range that suits it; crops
    that suit no place within 6 K of their range are left out.
    """
    found: dict[str, list[tuple[float, str]]] = {place: [] for place in mean_degc}
    for crop in crops:
        limit = np.nanmax([crop.kill_degc, crop.chill_degc])
        here = [place for place in mean_degc if coldest_degc.get(place, -np.inf) > limit]
        if not here or np.isnan(crop.best_low_degc):
            continue
        away = {place: _away(mean_degc[place], crop) for place in here}
        best = min(here, key=lambda place: (away[place], mean_degc[place]))
        if away[best] <= FITS_K:
            found[best].append((away[best], crop.name))
    return {place: tuple(name for _, name in sorted(names)[:most]) for place, names in found.items()}


FITS_K: Final = 6.0


def _away(mean_degc: float, crop: Needs) -> float:
    return max(crop.best_low_degc - mean_degc, mean_degc - crop.best_high_degc, 0.0)


def twelve_months(measured: dict[int, float], given_month_degc: Array) -> tuple[list[float], list[int]]:
    """Twelve monthly values: those measured, and for the others what was assumed, moved like the nearest measured one.

    Parameters: measured, by month [°C]; given_month_degc, what the house file or the model has [12].
    Returns: twelve values to a tenth [°C], and the months that were measured.
    Method: a neighbouring month is moved by the whole difference, one two months off by half, others not at all: a
    heater's winter says little about summer (judgement).
    """
    months = sorted(measured)
    values = []
    for month in range(1, 13):
        given = float(given_month_degc[month - 1])
        if month in measured or not months:
            values.append(round(measured.get(month, given), 1))
            continue
        nearest = min(months, key=lambda other: _months_apart(month, other))
        share = max(0.0, 1.0 - (_months_apart(month, nearest) - 1) / 2.0)
        values.append(round(given + share * (measured[nearest] - float(given_month_degc[nearest - 1])), 1))
    return values, months


def _months_apart(a: int, b: int) -> int:
    return min((a - b) % 12, (b - a) % 12)
