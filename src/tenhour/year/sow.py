"""The sowing answer: every crop on every bed at one date."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.growth.draws import latin_draws
from tenhour.growth.places import dli_for_days_mol_m2_d
from tenhour.growth.run import run
from tenhour.growth.shapes import BedClimate, Draws, middle_draw
from tenhour.growth.stages import bed_window_mean, window_mean
from tenhour.growth.stretch import COOL_BASE_DEGC, dli_for_score_mol_m2_d
from tenhour.model.crop import Crop
from tenhour.model.results import BedSowing, CropVerdict, SowAnswer
from tenhour.plan.dates import DAYS, MONTH_OF_DAY, day_index, last_on_or_before, next_on_or_after, wrap_mean
from tenhour.plan.ranges import median_days, percentile_days
from tenhour.plan.sowing import LEGGY_SCORE, SLOW_RATIO, Ask, CropYear, Decision, by_day, decide
from tenhour.sun import daylength
from tenhour.words.sowing import Facts, sentence
from tenhour.year import growing
from tenhour.year.flagging import Threats, flags_of, threats_of
from tenhour.year.fruiting import fruiting_verdict
from tenhour.year.nursery import Raised, raise_all, raising_advice
from tenhour.year.sunlight import SEED
from tenhour.year.world import World

Array = NDArray[np.float64]

DRAWS: Final = 15
WEEK_D: Final = 7
SOWINGS: Final = 53
"""Sowings a week apart that reach round the year."""
SMOOTH_D: Final = 10
NEED_WINDOW_D: Final = 60.0
"""Days from sowing whose mean air is used for the light a crop needs: judgement."""
MOST_NEED_MOL_M2_D: Final = 17.0
"""Light beyond which it is the cold that holds a crop back, for crops without a target of their own: the optimum of
35 lettuce treatments (Both et al., second-hand). Where a target is known that is the limit."""
VERDICT_ORDER: Final = {
    "sow": 0, "cut-young": 1, "slow": 2, "wait": 3, "needs-lamps": 4, "set-out-grown": 5, "too-cold": 6, "not-here": 7,
}  # fmt: skip
G_PER_KG: Final = 1000.0


@dataclass(frozen=True)
class Table:
    """Everything about all crops on all beds that one date's verdicts need; see the fields of each part."""

    crops: tuple[Crop, ...]
    world: World
    climate: BedClimate
    on: date
    draws: Draws
    asked: growing.Grown
    """The sowing on the date itself under all draws; axis S has length 1."""
    year: growing.Grown
    """All sowings of the year, a week apart from the date on; axis S is the week, axis J the draws, or the middle."""
    young_d: Array
    """Days to young leaf of a sowing on the date [C, B, J]."""
    needs_dli_mol_m2_d: Array
    first_dli_mol_m2_d: Array
    """[C, B]."""

    @property
    def day(self) -> int:
        """Day of the generic year of the date asked for."""
        return day_index(self.on)

    @property
    def sow_doy(self) -> NDArray[np.intp]:
        """Days of the generic year of the sowings [S]."""
        return np.asarray((self.day + WEEK_D * np.arange(SOWINGS)) % DAYS)

    @cached_property
    def raised_now(self) -> Raised | None:
        """Crops raised in the nursery from a sowing on the date; None where the house has none."""
        return raise_all(self, self.sow_doy[:1])

    @cached_property
    def threats(self) -> Threats:
        """What threatens the sowings of every week."""
        return self._threats(self.year, self.days)

    @cached_property
    def threats_now(self) -> Threats:
        """What threatens the sowing on the date alone."""
        return self._threats(self.asked, self.days_now)

    def _threats(self, grown: growing.Grown, days: Array) -> Threats:
        sown = self.sow_doy[: days.shape[-1]]
        return threats_of(self.crops, self.world, self.climate, sown, grown.emergence_d, days, grown.starved)

    @cached_property
    def too_warm(self) -> NDArray[np.bool_]:
        """By day of sowing, whether it is too warm for the seed to come up [C, B, 365]."""
        return growing.too_warm_to_come_up(self.crops, self.climate)

    @cached_property
    def bolts(self) -> NDArray[np.bool_]:
        """By day of sowing, whether it runs to flower before it is ready [C, B, 365]."""
        # each day as the weekly sowing before it
        return np.asarray(self.threats.bolts[..., ((np.arange(DAYS) - self.day) % DAYS) // WEEK_D])

    @cached_property
    def days_now(self) -> Array:
        """Median days to harvest of the sowing on the date [C, B, 1]."""
        return median_days(self.asked.harvest_d)

    @cached_property
    def days(self) -> Array:
        """Median days to harvest of every week's sowing [C, B, S]; NaN where more than half of the draws never do."""
        return median_days(self.year.harvest_d)


def sow_draws(world: World, day: int) -> Draws:
    """Draws held for a whole crop sown on a day: season and normals in the light, air, and the crop's numbers."""
    month = int(MONTH_OF_DAY[day])
    return latin_draws(DRAWS, SEED, light_sd_frac=float(growing.season_sd_frac(world)[month - 1]))


def table_of(world: World, crops: Sequence[Crop], on: date, *, every_week_drawn: bool = True) -> Table:
    """Grow all crops on all beds from every week of the year.

    Parameters: world; crops; on, the first sowing; every_week_drawn, whether all weeks are grown under all draws, as
    ranges by week need. Otherwise only the first is, and the year is grown under the middle draw: its days lie
    within 7 % of the median of the draws nine times in ten (docs/method/sowing.md).
    """
    climate = growing.bed_climates(world)
    day = day_index(on)
    sowings = (day + WEEK_D * np.arange(SOWINGS)) % DAYS
    draws = sow_draws(world, day)
    asked = growing.grow(crops, climate, sowings[:1], draws)
    year = growing.grow(crops, climate, sowings, draws if every_week_drawn else middle_draw())
    young = _young(crops, climate, day, draws)
    typical = np.stack([bed.dli_mol_m2_d for bed in world.beds])
    begin = sowings[0] + np.nan_to_num(year.emergence_d[:, :, :1])
    first = bed_window_mean(typical, begin, growing.FIRST_D)[:, :, 0]
    needs = _needs(crops, climate, year, day)
    return Table(tuple(crops), world, climate, on, draws, asked, year, young, needs, first)


def _young(crops: Sequence[Crop], climate: BedClimate, day: int, draws: Draws) -> Array:
    found = np.full((len(crops), len(climate), len(draws)), np.nan)
    rows, arrays = growing.young_rows(crops)
    if arrays is not None:
        found[rows] = run(arrays, climate, [day], draws).harvest_d[:, :, 0, :]
    return found


def _needs(crops: Sequence[Crop], climate: BedClimate, year: growing.Grown, day: int) -> Array:
    """Light each crop needs on each bed [C, B]: for sturdy seedlings, and for a harvest within 1.5 x the best days."""
    base = growing.column(crops, growing.part("light", "stretch_base_degc", COOL_BASE_DEGC))[:, None]
    sturdy = dli_for_score_mol_m2_d(LEGGY_SCORE, year.early_temp_degc[:, :, 0], year.early_dif_k[:, :, 0], base)
    needs = np.where(np.isfinite(year.stretch_score[:, :, 0]), sturdy, np.nan)
    carbon = [n for n, crop in enumerate(crops) if crop.grows_by_carbon]
    if carbon:
        median = median_days(year.harvest_d[carbon])
        best = np.min(np.where(np.isnan(median), np.inf, median), axis=-1)
        warm, cool, lit = (
            window_mean(series, np.full(len(climate), day), NEED_WINDOW_D)
            for series in (climate.temp_day_degc, climate.temp_night_degc, climate.lit_h)
        )
        known = np.isfinite(best)
        arrays = growing.crop_arrays([crops[n] for n in carbon])
        wanted = np.where(known, SLOW_RATIO * best, DAYS)
        quick = dli_for_days_mol_m2_d(arrays, wanted, warm, cool, np.maximum(lit, 1.0))
        most = growing.column(crops, growing.part("light", "dli_target_mol_m2_d", MOST_NEED_MOL_M2_D))[carbon, None]
        quick = np.where(known, np.minimum(np.where(np.isnan(quick), np.inf, quick), most), np.nan)
        needs[carbon] = np.fmax(needs[carbon], quick)
    return np.asarray(needs)


def sow_of(
    world: World, crops: Sequence[Crop], *, on: date, standing: Mapping[str, tuple[str, ...]] | None = None
) -> SowAnswer:
    """Verdict of every crop on every bed of a house-year at one date, best first."""
    house = world.house
    table = table_of(world, crops, on, every_week_drawn=False)
    before, after = daylength.ten_hour_dates(on, house.site.latitude_deg, house.site.longitude_deg)
    beds = tuple(
        BedSowing(bed.name, _ranked(table, number), (standing or {}).get(bed.name, ()))
        for number, bed in enumerate(world.beds)
    )
    inputs: dict[str, object] = {
        "house": house.path or "built-in demo house",
        "latitude_deg": house.site.latitude_deg,
        "longitude_deg": house.site.longitude_deg,
        "on": on.isoformat(),
        "draws": DRAWS,
    }
    return SowAnswer(
        basis=world.basis(inputs),
        on=on,
        beds=beds,
        before_dark=before,
        after_dark=after,
        calibration=house.calibration_note,
        us_units=house.us_units,
    )


def _ranked(table: Table, bed: int) -> tuple[CropVerdict, ...]:
    verdicts = [verdict_of(table, number, bed) for number in range(len(table.crops))]
    return tuple(sorted(verdicts, key=lambda v: (VERDICT_ORDER[v.verdict], -v.rank_score, v.crop)))


def crop_year(table: Table, crop: int, bed: int) -> CropYear:
    """One crop on one bed by day of sowing round the year."""
    young = np.full(DAYS, np.nan)
    young[table.day] = median_days(table.young_d[crop, bed])
    days = table.days[crop, bed]
    return CropYear(
        days=by_day(table.day, WEEK_D, days),
        young_days=young,
        emergence_d=by_day(table.day, WEEK_D, table.year.emergence_d[crop, bed]),
        stretch_score=by_day(table.day, WEEK_D, np.nan_to_num(table.year.stretch_score[crop, bed], nan=0.0)),
        too_warm=table.too_warm[crop, bed],
        bolts=table.bolts[crop, bed],
    )


def ask_of(table: Table, crop: int, bed: int) -> Ask:
    """What surrounds the asked sowing of one crop on one bed."""
    chosen = table.crops[crop]
    return Ask(
        day=table.day,
        way=chosen.way,
        needs_dli_mol_m2_d=float(table.needs_dli_mol_m2_d[crop, bed]),
        first_dli_mol_m2_d=float(table.first_dli_mol_m2_d[crop, bed]),
        kill_degc=chosen.climate.kill_degc.value,
        chill_degc=growing.value_of(chosen.climate.chill_degc),
        cold_night_degc=table.world.air.cold_night_degc[bed],
        mean_night_degc=table.world.air.night_degc[bed],
        mean_dli_mol_m2_d=wrap_mean(table.world.beds[bed].dli_mol_m2_d, SMOOTH_D),
    )


def verdict_of(table: Table, crop: int, bed: int) -> CropVerdict:
    """Verdict, dates and sentence of one crop on one bed."""
    chosen = table.crops[crop]
    if chosen.way == "fruiting":
        return fruiting_verdict(table.world, chosen, bed, table.on)
    decision = decide(ask_of(table, crop, bed), crop_year(table, crop, bed), table.world.darkest_day)
    span = _span(table.asked.harvest_d[crop, bed, 0])
    young = _span(table.young_d[crop, bed])
    is_young = decision.verdict == "cut-young"
    shown = young if is_young else span
    facts = _facts(table, crop, bed, decision, span, young)
    median = shown[1]
    mass = table.asked.yield_g_m2[crop, bed, 0]
    gives = float(np.nanmedian(mass)) if np.isfinite(mass).any() else None
    if gives is not None and is_young:
        gives *= growing.YOUNG_FRAC
    if chosen.way == "transplant":
        gives = None
    rate = None if gives is None or median is None else gives / median
    return CropVerdict(
        crop=chosen.key,
        name=chosen.name,
        verdict=decision.verdict,
        sentence=sentence(decision.verdict, facts),
        harvest_from=_after(table.on, shown[0]),
        harvest_to=_after(table.on, shown[2]),
        days_low=shown[0],
        days_median=median,
        days_high=shown[2],
        dli_mol_m2_d=_mean_light(table, bed, median),
        needs_dli_mol_m2_d=_finite(table.needs_dli_mol_m2_d[crop, bed]),
        missing_dli_mol_m2_d=decision.missing_dli_mol_m2_d,
        stretch_score=_finite(table.year.stretch_score[crop, bed, 0]),
        pays_from=facts.pays_from,
        sow_by=facts.sow_by,
        yield_kg_m2=None if gives is None else gives / G_PER_KG,
        yield_g_m2_d=rate,
        flags=flags_of(table, crop, bed, span[1]),
        rank_score=rate or 0.0,
        raising=raising_advice(table, crop, bed),
    )


def _facts(
    table: Table,
    crop: int,
    bed: int,
    decision: Decision,
    span: tuple[int | None, int | None, int | None],
    young: tuple[int | None, int | None, int | None],
) -> Facts:
    chosen = table.crops[crop]
    on = table.on
    return Facts(
        name=chosen.name,
        way=chosen.way,
        harvest_from=_after(on, span[0]),
        harvest_to=_after(on, span[2]),
        days_median=span[1],
        best_days=None if decision.best_d is None else round(decision.best_d),
        missing_dli_mol_m2_d=decision.missing_dli_mol_m2_d,
        stretch_score=_finite(table.year.stretch_score[crop, bed, 0]),
        pays_from=None if decision.pays_from is None else next_on_or_after(decision.pays_from, on),
        sow_by=_sow_by_date(decision, on),
        later_d=decision.waiting_later_d,
        wait_d=None if decision.pays_from is None else (decision.pays_from - table.day) % DAYS,
        coldest_night_degc=decision.coldest_night_degc,
        limit_degc=decision.limit_degc,
        young_from=_after(on, young[0]),
        young_to=_after(on, young[2]),
        again_from=None if decision.again_from is None else next_on_or_after(decision.again_from, on),
        seed_max_degc=growing.part("emergence", "max_degc", float("inf"))(chosen),
    )


def _sow_by_date(decision: Decision, on: date) -> date | None:
    """The sowing that stands when the dark begins: the one just missed in the dark, the one to come otherwise."""
    if decision.sow_by is None:
        return None
    if decision.verdict == "set-out-grown":
        return last_on_or_before(decision.sow_by, on)
    return next_on_or_after(decision.sow_by, on)


def _span(days: Array) -> tuple[int | None, int | None, int | None]:
    """10th, 50th and 90th percentile of days over draws, None where that many never get there."""
    found = [percentile_days(days, q) for q in (10, 50, 90)]
    return found[0], found[1], found[2]


def _after(on: date, days: int | None) -> date | None:
    return None if days is None else on + timedelta(days=days)


def _finite(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def _mean_light(table: Table, bed: int, days: int | None) -> float | None:
    """Mean typical light from sowing to the median harvest; of the first 28 days where there is no harvest."""
    length = max(days or round(growing.FIRST_D), 1)
    light = table.world.beds[bed].dli_mol_m2_d
    return float(light[(table.day + np.arange(length)) % DAYS].mean())
