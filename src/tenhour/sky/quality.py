"""Does a weather file belong to its place? Its light and air held against the normals, and the unit it looks like."""

from __future__ import annotations

from typing import Final, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.sky.normals import SiteClimate
from tenhour.sky.split import DAY_KT_CEILING, MONTH_DAYS

Array = NDArray[np.float64]
Finding = Literal["passed", "note", "refused"]

REMARK_ERRORS: Final = 3.0
"""Times the stated error of the normals beyond which a sum of light is worth a remark. As the task was set."""
REFUSE_FRAC: Final = 0.5
REMARK_K: Final = 6.0
REFUSE_K: Final = 12.0
"""Mean difference of months beyond which a temperature is remarked on, and refused: stations differ by up to 3.5 K."""
ONE_YEAR_FRAC: Final = 0.12
"""Spread of single years' light about the normal [-]. Judgement."""
BRIGHT_H0_W_M2: Final = 100.0
"""Months with less light above the air say nothing of clear days [W m⁻²]. Judgement."""
CLEAR_DAYS: Final = (0.84, 1.17)
"""One day in ten is brighter: that light over the normals'. 44 station files lie between 0.85 and 1.16. Derived."""
CLEAR_PART: Final = 0.65
"""Of the normals' bright days: halfway from diffuse light (0.5-0.57 of them in four made-up places) to a quarter lost.
Judgement."""
PART_SHARE: Final = (0.25, 0.62)
"""Of the normals: PAR is 0.45 of global light, diffuse light 0.27 (deserts) to 0.55 of it in 12 station files, 0.59 by
a dull coast. The two cannot be told apart by their days. Derived."""
UNIT_FIT_K: Final = 6.0
SEASON_RANGE_K: Final = 3.0
"""From coldest to warmest month, below which the seasons say nothing of a shift. Judgement."""
TURNED_RATIO: Final = -0.5
"""Correlation of the months with those of the normals below which the seasons stand on their head. Judgement."""
SHIFTED: Final = ": it looks shifted by half a year, or from the other hemisphere"
WINTERS: Final = {False: (9, 10, 11, 0, 1, 2), True: (3, 4, 5, 6, 7, 8)}
"""Months from October to March, or from April to September in the south, counted from 0."""
LEAST_WINTER_MONTHS: Final = 4


class OwnMonths(NamedTuple):
    """A file by calendar month [12]; NaN where it has too few days.

    ghi_w_m2, mean light; bright_w_m2, light that one day in ten exceeds; temp_degc;
    years_count, years behind them (1 for a typical year); typical, whether the year was chosen to be like the mean.
    """

    ghi_w_m2: Array
    bright_w_m2: Array
    temp_degc: Array
    years_count: int
    typical: bool


class Judged(NamedTuple):
    """One look: its name, what was found and the sentence for the user."""

    name: str
    finding: Finding
    sentence: str


def held_to_normals(own: OwnMonths, climate: SiteClimate, h0_month_w_m2: Array, *, south: bool) -> tuple[Judged, ...]:
    """How a file's months of light and air stand to the normals of its place.

    Parameters: own; climate, the normals; h0_month_w_m2[12], light above the air; south, whether winter is in July.
    Method: sums of the dark half-year and of the year, and bright days, over those of the normals; mean difference of
        monthly temperatures. Limits: docs/method/sky.md.
    """
    normal = climate.kt_month * h0_month_w_m2
    found = [_sums(own, climate, normal, south), _clear_days(own, climate, normal, h0_month_w_m2)]
    if np.isfinite(own.temp_degc).any():
        found.append(_air(own.temp_degc, climate.temp_degc))
    return tuple(found)


def _ratio(own: Array, normal: Array, months: NDArray[np.bool_]) -> float:
    weight = np.asarray(MONTH_DAYS)[months]
    want = float((normal[months] * weight).sum())
    return float((own[months] * weight).sum()) / want if want > 0 else np.nan


def _sums(own: OwnMonths, climate: SiteClimate, normal: Array, south: bool) -> Judged:
    known = np.isfinite(own.ghi_w_m2) & (normal > 0)
    winter = known & np.isin(np.arange(12), WINTERS[south])
    when = "April to September" if south else "October to March"
    ratios = {"the year": _ratio(own.ghi_w_m2, normal, known)} if known.sum() == len(known) else {}
    if winter.sum() >= LEAST_WINTER_MONTHS:
        ratios[when] = _ratio(own.ghi_w_m2, normal, winter)
    if not ratios:
        return Judged("light", "passed", "too few months to hold the light against the normals")
    error = float(climate.uncertainty_frac[known].mean())
    if not own.typical:
        error = float(np.hypot(error, ONE_YEAR_FRAC / np.sqrt(own.years_count)))
    name, worst = max(ratios.items(), key=lambda item: abs(item[1] - 1.0))
    text = f"light of {name} is {worst:.0%} of the normals'"
    hint = _light_hint(worst)
    if abs(worst - 1.0) > REFUSE_FRAC:
        return Judged("light", "refused", f"{text}{hint}")
    if abs(worst - 1.0) > REMARK_ERRORS * error:
        return Judged("light", "note", f"{text}, which are right to about {error:.0%}{hint}")
    return Judged("light", "passed", text)


def _light_hint(ratio: float) -> str:
    if PART_SHARE[0] <= ratio <= PART_SHARE[1]:
        return ": it looks like PAR (400-700 nm, 45 % of all) or diffuse light in the place of global light"
    if ratio > 1.0:
        return ": is it global light on level ground, in W/m2?"
    return ": is the sensor shaded or dirty, or the unit another?"


def _clear_days(own: OwnMonths, climate: SiteClimate, normal: Array, h0: Array) -> Judged:
    months = np.isfinite(own.bright_w_m2) & (h0 > BRIGHT_H0_W_M2)
    if not months.any():
        return Judged("clear days", "passed", "too little sun to judge clear days")
    level = int(np.argmin(abs(climate.quantile_level_frac - 0.9)))
    usual = np.minimum(normal * climate.quantile_ratio[:, level], DAY_KT_CEILING * h0)
    ratio = float(own.bright_w_m2[months].sum() / usual[months].sum())
    text = f"bright days have {ratio:.0%} of the light of the normals' bright days"
    if ratio < CLEAR_DAYS[0]:
        why = (
            "it looks like PAR (400-700 nm) or diffuse light in the place of global light, or a sensor in the shade"
            if ratio < CLEAR_PART
            else "a sensor that is dirty, shaded or not level, or another unit, takes the same part from all days"
        )
        return Judged("clear days", "note", f"{text}: {why}")
    if ratio > CLEAR_DAYS[1]:
        return Judged("clear days", "note", f"{text}: a sensor tilted to the sun or set too high does that")
    return Judged("clear days", "passed", text)


def _air(temp: Array, normal: Array) -> Judged:
    known = np.isfinite(temp)
    off = temp[known] - normal[known]
    apart = float(abs(off).mean())
    text = f"months are {apart:.1f} K from the normals' temperatures, {float(off.mean()):+.1f} K in the mean"
    finding: Finding = "refused" if apart > REFUSE_K else "note" if apart > REMARK_K else "passed"
    if finding == "passed" and _turned(temp[known], normal[known]):
        return Judged("air", "note", f"{text}{SHIFTED}")  # by the sea half a year off is only a few degrees
    if finding == "passed":
        return Judged("air", finding, text)
    return Judged("air", finding, f"{text}{_air_hint(temp, normal, known)}")


def _turned(temp: Array, normal: Array) -> bool:
    """Whether the file's seasons stand against those of the place."""
    if min(np.ptp(temp), np.ptp(normal)) < SEASON_RANGE_K:
        return False
    return float(np.corrcoef(temp, normal)[0, 1]) < TURNED_RATIO


def _air_hint(temp: Array, normal: Array, known: NDArray[np.bool_]) -> str:
    def fits(values: Array) -> bool:
        both = known & np.isfinite(values)
        return bool(both.any() and abs(values[both] - normal[both]).mean() < UNIT_FIT_K)

    if fits((temp - 32.0) / 1.8):
        return ": it looks like degrees Fahrenheit; name the column temp_degf"
    if fits(np.roll(temp, 6)):
        return SHIFTED
    if fits(temp / 10.0):
        return ": it looks like tenths of a degree"
    return ": is it another place, another height or another unit?"
