"""What to do with one crop on one bed at one date: verdict, dates and the sowing that pays."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.model.results import Verdict
from tenhour.plan.dates import DAYS

Array = NDArray[np.float64]

LEGGY_SCORE: Final = 45.0
"""Stretch from which seedlings count as leggy (growth-and-stretch 8.2)."""
STRINGY_SCORE: Final = 65.0
"""Stretch from which they are not worth raising (growth-and-stretch 8.2)."""
WAITING_D: Final = 14
WAITING_COST_D: Final = 7.0
"""A sowing pays when waiting 14 days would cost at least 7 days of harvest: by definition of the answers."""
SLOW_RATIO: Final = 1.5
"""Slower than 1.5 times the best month is called slow: by definition of the light a crop needs."""
SENSELESS_RATIO: Final = 2.5
"""Beyond 2.5 times the best month a sowing is not sensible (growth-and-stretch 4): judgement."""
LAMPS_AHEAD_D: Final = 45
"""When the sowing that pays is further off than this, lamps are the answer, not waiting: judgement."""
LATE_EMERGENCE_D: Final = 35.0
"""Seed that lies longer than five weeks in cold soil is lost to rot as often as not: common practice."""
TRAY_WAYS: Final = ("seed-fed", "bulb")
STANDING_WAYS: Final = ("head", "root", "cut", "pick")
TRAY_SLOW_D: Final = 30.0
"""Trays that live on their reserves are slow beyond a month, whatever the best month gives: judgement."""
EARLY_FOR_WINTER_D: Final = 28
"""How long before the dark begins a stand for winter may be ready without being past its best by then: judgement."""
SOON_D: Final = 7
"""A sowing that pays within a week pays now: sowings are a week apart."""
DARK_DLI_MOL_M2_D: Final = 3.0
"""Below this daily light a bed is in the dark season: leafy stands then gain under 400 g m⁻² a week: judgement."""
DARK_HALF_D: Final = 30
"""Where a bed never falls that low, the dark season is the 30 days either side of its darkest: judgement."""


@dataclass(frozen=True)
class CropYear:
    """One crop on one bed, by day of sowing round the generic year; NaN where never.

    Arrays are [365] by day of sowing. ``days`` run from sowing to the median first harvest.
    """

    days: Array
    young_days: Array
    emergence_d: Array
    stretch_score: Array
    too_warm: NDArray[np.bool_]
    """Whether the weeks after the sowing are on average too warm for the seed to come up."""
    bolts: NDArray[np.bool_]
    """Whether it runs to flower before it is ready."""


@dataclass(frozen=True)
class Ask:
    """The asked sowing itself and what surrounds it."""

    day: int
    """Day of the generic year of the sowing."""
    way: str
    needs_dli_mol_m2_d: float
    first_dli_mol_m2_d: float
    """Mean of the first 28 days from emergence."""
    kill_degc: float
    chill_degc: float
    """Night that harms a warm crop; NaN for hardy crops."""
    cold_night_degc: Array
    """Coldest ordinary night on each day of the year [365]."""
    mean_night_degc: Array
    mean_dli_mol_m2_d: Array
    """Smoothed typical light of the bed [365]."""
    supply_ok: bool = True
    """False for crops that get a verdict on light and temperature only."""


@dataclass(frozen=True)
class Decision:
    """Verdict with the figures its sentence needs; days are days of the generic year, None where not applicable."""

    verdict: Verdict
    pays_from: int | None
    sow_by: int | None
    missing_dli_mol_m2_d: float
    coldest_night_degc: float
    limit_degc: float
    waiting_later_d: float | None
    best_d: float | None
    again_from: int | None = None
    """Where it is too warm for the seed: the next sowing that comes up."""


def by_day(first_day: int, step_d: int, values: Array) -> Array:
    """Spread values of sowings every ``step_d`` days over the 365 days of the year, straight between neighbours.

    Parameters: first_day, day of the year of the first value; values [K], K x step_d must reach round the year.
    Returns: [365]; NaN where either neighbour is NaN.
    """
    position = (np.arange(DAYS) - first_day) % DAYS / step_d
    left = np.minimum(position.astype(np.int64), len(values) - 1)
    right = (left + 1) % len(values)
    share = np.clip(position - left, 0.0, 1.0)
    return np.asarray(values[left] * (1.0 - share) + np.where(share > 0.0, values[right] * share, 0.0))


def dark_season(mean_dli_mol_m2_d: Array, darkest_day: int) -> tuple[int, int]:
    """First and last day of the dark season of a bed, as days of the generic year.

    Parameters: mean_dli_mol_m2_d [365], smoothed typical light; darkest_day, day of the shortest day.
    Method: the run of days below 3 mol around the darkest day, or 30 days either side of it (judgement).
    """
    order = (darkest_day + np.arange(DAYS)) % DAYS
    dim = mean_dli_mol_m2_d[order] < DARK_DLI_MOL_M2_D
    if not dim[0]:
        return (darkest_day - DARK_HALF_D) % DAYS, (darkest_day + DARK_HALF_D) % DAYS
    if dim.all():
        return (darkest_day - DAYS // 2) % DAYS, (darkest_day + DAYS // 2) % DAYS
    after = int(np.argmin(dim)) - 1
    before = int(np.argmin(dim[::-1]))
    return (darkest_day - before) % DAYS, (darkest_day + after) % DAYS


def sow_by_day(days: Array, dark_start: int) -> int | None:
    """Last day of sowing that stands at harvest size when the dark begins, or None.

    Parameters: days [365], sowing to harvest; dark_start, day of the year.
    """
    back = np.arange(1, DAYS)
    ready = days[(dark_start - back) % DAYS] <= back
    found = np.flatnonzero(ready)
    return int((dark_start - back[found[0]]) % DAYS) if found.size else None


def standing_day(ask: Ask, year: CropYear, dark_start: int) -> int | None:
    """Last day of sowing whose crop stands at harvest size, unharmed by a night, when the dark begins, or None.

    None too for ways of cropping that are not left to stand: trays, bulbs and plants for setting out; where seed fails
    in the warmth of summer, so that the last stand of spring would be old by then; and where what is sown in time runs
    to flower in the long days of the far north's late summer.
    """
    last = sow_by_day(year.days, dark_start) if ask.way in STANDING_WAYS else None
    if last is None or year.bolts[last] or past_its_best(ask.way, (dark_start - last) % DAYS - year.days[last]):
        return None
    up = year.emergence_d[last]
    begin = last + (0 if np.isnan(up) else int(up))
    span = (begin + np.arange(max((dark_start - begin) % DAYS, 1))) % DAYS
    harmed = ask.cold_night_degc[span].min() < np.fmax(ask.kill_degc, ask.chill_degc)
    return None if harmed else last


def past_its_best(way: str, ready_d: float) -> bool:
    """Whether a stand is old; plants picked leaf by leaf go on for months.

    Parameters: way, of cropping; ready_d, days since it was ready [d].
    """
    return way != "pick" and ready_d > EARLY_FOR_WINTER_D


def paying_days(year: CropYear, chilled: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Days of the year from which a sowing pays: waiting costs harvest, seedlings stay sturdy, no chilling. [365]."""
    later = np.roll(year.days, -WAITING_D) + WAITING_D - year.days
    return np.asarray((later >= WAITING_COST_D) & (year.stretch_score < LEGGY_SCORE) & ~chilled)


def pays_from_day(pays: NDArray[np.bool_], start: int, darkest_day: int) -> int | None:
    """First paying sowing after the darkest day and on or after ``start``, within the year ahead, or None."""
    half = DAYS // 2
    since_dark = (start - darkest_day) % DAYS
    first = 0 if since_dark <= half else DAYS - since_dark
    ahead = np.arange(first, min(first + half + 1, DAYS))
    found = np.flatnonzero(pays[(start + ahead) % DAYS])
    return int((start + ahead[found[0]]) % DAYS) if found.size else None


def chilled_days(cold_night_degc: Array, limit_degc: float) -> NDArray[np.bool_]:
    """Days of sowing whose first four weeks hold a night below the limit [365]; none where the limit is NaN.

    Parameters: cold_night_degc, coldest likely night by day of the year [365] [°C]; limit_degc, of the crop [°C].
    """
    window = 28
    cold = cold_night_degc < limit_degc
    wrapped = np.concatenate([cold, cold[:window]])
    total = np.cumsum(np.concatenate([[0], wrapped]))
    return np.asarray(total[window : window + DAYS] - total[:DAYS] > 0)


def coldest_night(ask: Ask, year: CropYear) -> float:
    """Coldest ordinary night between emergence and harvest of the asked sowing [°C]."""
    emergence = year.emergence_d[ask.day]
    start = 0 if np.isnan(emergence) else int(emergence)
    days = year.days[ask.day]
    span = 60 if np.isnan(days) else max(int(days) - start, 1)
    return float(ask.cold_night_degc[(ask.day + start + np.arange(min(span, DAYS))) % DAYS].min())


def _too_cold(ask: Ask, year: CropYear) -> tuple[bool, float, float]:
    coldest = coldest_night(ask, year)
    if coldest < ask.kill_degc:
        return True, coldest, ask.kill_degc
    if not np.isnan(ask.chill_degc) and coldest < ask.chill_degc:
        return True, coldest, ask.chill_degc
    if not _comes_up(year)[ask.day] and not year.too_warm[ask.day]:
        return True, float(ask.mean_night_degc[ask.day]), float("nan")
    return False, coldest, ask.kill_degc


def _comes_up(year: CropYear) -> NDArray[np.bool_]:
    """Sowings whose seed does not lie for too long [365]."""
    return np.asarray(year.emergence_d <= LATE_EMERGENCE_D)


def _up_again(ask: Ask, year: CropYear) -> int | None:
    """Next sowing that comes up, where this one does not."""
    found = np.flatnonzero(np.roll(_comes_up(year), -ask.day))
    return int((ask.day + found[0]) % DAYS) if found.size else None


def decide(ask: Ask, year: CropYear, darkest_day: int) -> Decision:
    """Choose the verdict of one crop on one bed at one date; the first that applies.

    Method: contract of the answers, section 2; thresholds are the constants above, each with its mark.
    Parameters: ask, year; darkest_day, day of the year with least light.
    """
    best = float(np.nanmin(year.days)) if np.isfinite(year.days).any() else None
    chilled = chilled_days(ask.cold_night_degc, np.fmax(ask.kill_degc, ask.chill_degc))
    pays = None
    if ask.way not in TRAY_WAYS:  # trays keep the pace of the warmth: no sowing of theirs waits for light
        pays = pays_from_day(paying_days(year, chilled), ask.day, darkest_day)
    dark_start, dark_end = dark_season(ask.mean_dli_mol_m2_d, darkest_day)
    stands = standing_day(ask, year, dark_start)
    cold, coldest, limit = _too_cold(ask, year)
    missing = max(ask.needs_dli_mol_m2_d - ask.first_dli_mol_m2_d, 0.0) if np.isfinite(ask.needs_dli_mol_m2_d) else 0.0
    later = _later_d(year, ask.day, pays)
    again = None if cold or _comes_up(year)[ask.day] else _up_again(ask, year)
    verdict = _verdict(ask, year, best, cold, missing, pays, stands, (dark_start, dark_end))
    return Decision(verdict, pays, stands, missing, coldest, limit, later, best, again)


def _later_d(year: CropYear, day: int, pays: int | None) -> float | None:
    if pays is None or np.isnan(year.days[day]):
        return None
    wait_d = (pays - day) % DAYS
    return float(wait_d + year.days[pays] - year.days[day])


def _in_dark(day: int, season: tuple[int, int]) -> bool:
    return (day - season[0]) % DAYS <= (season[1] - season[0]) % DAYS


def _verdict(
    ask: Ask,
    year: CropYear,
    best: float | None,
    cold: bool,
    missing: float,
    pays: int | None,
    stands: int | None,
    season: tuple[int, int],
) -> Verdict:
    if best is None or not ask.supply_ok:
        return "not-here"
    if cold:
        return "too-cold"
    if not _comes_up(year)[ask.day]:
        return "wait"
    days = year.days[ask.day]
    senseless = bool(np.isnan(days) or days > SENSELESS_RATIO * best)
    slow = senseless or days > SLOW_RATIO * best
    if ask.way in TRAY_WAYS:
        return _by_light(ask, year, 0.0, pays, False, bool(not days <= TRAY_SLOW_D), False)
    stretch = year.stretch_score[ask.day]
    drawn = bool(stretch >= LEGGY_SCORE)
    if ask.way == "pick" and slow and stands is not None and _in_dark(ask.day, season):
        return "set-out-grown"
    if slow and year.young_days[ask.day] <= SLOW_RATIO * best and stretch < STRINGY_SCORE:
        return "cut-young"
    return _by_light(ask, year, missing, pays, senseless, slow, drawn)


def _by_light(
    ask: Ask, year: CropYear, missing: float, pays: int | None, senseless: bool, slow: bool, drawn: bool
) -> Verdict:
    wait_d = None if pays is None else (pays - ask.day) % DAYS
    pays_now = wait_d is not None and wait_d <= SOON_D
    lacking = missing > 0.0 and (senseless or drawn)
    if lacking and not pays_now and (wait_d is None or wait_d > LAMPS_AHEAD_D):
        return "needs-lamps"
    if wait_d is not None and not pays_now and (slow or drawn) and wait_d <= DAYS // 2:
        return "wait"
    if lacking and (not pays_now or bool(np.isnan(year.days[ask.day]))):
        return "needs-lamps"
    return "slow" if slow else "sow"
