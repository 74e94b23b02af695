"""What grows on every bed: all crops from sowings on fixed days of the year, under drawn seasons."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Final, TypeVar

import numpy as np
from numpy.typing import NDArray

from tenhour.growth.places import days_by_light, light_for_days_mol_m2_d
from tenhour.growth.shapes import BedClimate, Draws
from tenhour.growth.stages import bed_window_mean, keeps_d
from tenhour.growth.stretch import COOL_BASE_DEGC, dli_for_score_mol_m2_d
from tenhour.model.crop import Crop
from tenhour.plan.dates import DAYS, MONTH_OF_DAY, month_means, wrap_mean
from tenhour.plan.ranges import (
    EVERY_DAY,
    HIGH,
    LOW,
    MIDDLE,
    Peak,
    at_share,
    between_sowings,
    parted,
    peaks,
    sorted_draws,
    straight,
)
from tenhour.plan.sowing import (
    LEGGY_SCORE,
    NIGHTS_D,
    SLOW_RATIO,
    Ruling,
    SowingDates,
    SowingYear,
    dark_season,
    dates_of,
    judge,
)
from tenhour.year.crops import growing
from tenhour.year.crops.flagging import BOLTS_ANYWAY, Threats, threats_of
from tenhour.year.crops.growing import SOWN_DOY
from tenhour.year.crops.nights import Nights
from tenhour.year.crops.nursery import RAISED_WELL, RaisedYear, TrayRoom, raised_plants, raised_year, tray_room_of
from tenhour.year.outside.sunlight import SEED
from tenhour.year.world import World

T = TypeVar("T")
Array = NDArray[np.float64]
Index = NDArray[np.intp]

DRAWS: Final = 17
SMOOTH_D: Final = 10
NEED_LEVELS: Final = np.geomspace(0.7, 20.0, 10)
NEED_HORIZON_D: Final = 240
"""Light and days between which the light a crop needs is sought [mol m⁻² d⁻¹, d]."""
SAME_AIR: Final = 4.0
"""Steps to a kelvin and to an hour within which months count as the same air where needs are reckoned."""
MOST_NEED_MOL_M2_D: Final = 17.0
"""Light beyond which it is the cold that holds a crop back, for crops without a target of their own: the optimum of
35 lettuce treatments (Both et al., second-hand). Where a target is known that is the limit."""


@dataclass(frozen=True)
class Table:
    """The growth table of a house-year. Arrays by day of sowing are [C, B, 365]; NaN where never.

    Everything is worked out when it is first asked for, from what is given here alone.
    """

    crops: tuple[Crop, ...]
    world: World
    climate: BedClimate
    draws: Draws
    grown: growing.Grown
    """Sowings on ``growing.SOWN_DOY`` under all draws."""
    lean: bool = False
    """Whether no light needed is asked for, so that growth in steady light is followed round the target alone."""

    @cached_property
    def _harvests(self) -> tuple[Array, NDArray[np.bool_], Array]:
        """Days to harvest by day of sowing that a tenth, half and nine tenths of the draws keep within
        [3, C, B, 365]; where the draws may lie in two groups; and the draws in order, of those sowings alone [n, J].

        All draws of all sowings are never held at once: of sixty beds they would fill the memory.
        """
        shape = (len(self.crops), len(self.climate), DAYS)
        days, torn = np.empty((3, *shape)), np.empty(shape, dtype=np.bool_)
        rows = []
        for crop, sown_d in enumerate(self.grown.harvest_d):
            ordered = sorted_draws(between_sowings(sown_d, SOWN_DOY))
            for place, share in enumerate((LOW, MIDDLE, HIGH)):
                days[place, crop] = at_share(ordered, share)
            torn[crop] = parted(ordered)
            rows.append(ordered[torn[crop]])
        return days, torn, np.concatenate(rows) if rows else np.empty((0, len(self.draws)))

    @cached_property
    def _torn_row(self) -> NDArray[np.int32]:
        """Place of a sowing among those whose draws may lie in two groups [C, B, 365]."""
        return np.asarray(np.cumsum(self.parted, dtype=np.int32).reshape(self.parted.shape) - 1, dtype=np.int32)

    def harvest_on_d(self, day: int) -> Array:
        """Days to harvest of every draw, in order, of the sowings of one day [C, B, J]; a never is infinite."""
        return self.once(f"harvest on {day}", lambda own: own._on(day, own.grown.harvest_d))

    def young_on_d(self, day: int) -> Array:
        """Days to young leaf of every draw, in order, of the sowings of one day [C, B, J]."""
        return self.once(f"young on {day}", lambda own: own._on(day, own.grown.young_d))

    def span_on_d(self, day: int) -> Array:
        """Days that a tenth, half and nine tenths of the draws keep within, of the sowings of one day [3, C, B]."""
        return self.once(f"span on {day}", lambda own: spans_of(own.harvest_on_d(day)))

    def young_span_on_d(self, day: int) -> Array:
        """The same to young leaf."""
        return self.once(f"young span on {day}", lambda own: spans_of(own.young_on_d(day)))

    @cached_property
    def row_of(self) -> dict[str, int]:
        """Number of each crop by its key."""
        return {crop.key: row for row, crop in enumerate(self.crops)}

    def _on(self, day: int, sown_d: Array) -> Array:
        return sorted_draws(between_sowings(sown_d, SOWN_DOY, at_doy=EVERY_DAY[day : day + 1]))[..., 0, :]

    @cached_property
    def parted(self) -> NDArray[np.bool_]:
        """Sowings whose draws may come in before the dark and after it [C, B, 365]."""
        return self._harvests[1]

    def peaks(self, crop: int, bed: int, day: int) -> tuple[Peak, ...]:
        """Both harvests of a sowing that may come in before the dark or after it; none where there is one."""
        if not self.parted[crop, bed, day]:
            return ()
        return peaks(self._harvests[2][self._torn_row[crop, bed, day]])

    def peaks_on(self, crop: int, bed: int, day: int) -> tuple[Peak, ...]:
        """The same, of a single day."""
        found = self.once(f"parted on {day}", lambda own: parted(own.harvest_on_d(day)))
        return peaks(self.harvest_on_d(day)[crop, bed]) if found[crop, bed] else ()

    @cached_property
    def days_low(self) -> Array:
        """Days that one draw in ten keeps within."""
        return np.asarray(self._harvests[0][0])

    @cached_property
    def days(self) -> Array:
        """Median days to harvest; NaN where more than half of the draws never get there."""
        return np.asarray(self._harvests[0][1])

    @cached_property
    def days_high(self) -> Array:
        """Days that nine draws in ten keep within."""
        return np.asarray(self._harvests[0][2])

    @cached_property
    def yield_g_m2(self) -> Array:
        """Fresh mass of the first harvest, median of the draws that give one [g m⁻²]."""
        return middle_mass(self.grown.yield_g_m2)

    @cached_property
    def _made_of(self) -> tuple[object, ...]:
        """All that anything worked out of this table depends on."""
        world, warmth = self.world, self.world.warmth
        there = () if world.nursery_bed is None else world.nursery_bed.beds
        light = [part for bed in (*world.beds, *there) for part in (bed.name, bed.class_dli_mol_m2_d)]
        over = (world.lamps, world.darkest_day, warmth.house, warmth.lamps_w)
        given = (warmth.sources.weather, warmth.sources.since)
        return (repr(self.crops), self.climate, self.draws, world.house, *light, *over, *given)

    def kept(self, kind: str, make: Callable[[], T], types: Sequence[type] = ()) -> T:
        """What was kept of a kind for this table, or what is made now: see ``files.kept``."""
        return self.world.warmth.sources.kept(kind, self._made_of, make, types)

    @cached_property
    def young_days(self) -> Array:
        """Median days to young leaf [C, B, 365]; NaN where more than half of the draws never get there."""
        out = np.full((len(self.crops), len(self.climate), DAYS), np.nan)
        for crop, sown_d in enumerate(self.grown.young_d):
            if np.isfinite(sown_d).any():
                out[crop] = at_share(sorted_draws(between_sowings(sown_d, SOWN_DOY)), MIDDLE)
        return out

    @cached_property
    def young_yield_g_m2(self) -> Array:
        """Fresh mass of young leaf, median of the draws that give some [g m⁻²]."""
        return middle_mass(self.grown.young_g_m2)

    @cached_property
    def emergence_d(self) -> Array:
        """Days until half of the draws are up."""
        return straight(self.grown.emergence_d, SOWN_DOY)

    @cached_property
    def stretch_score(self) -> Array:
        """Stretch of the first three weeks up; NaN for trays."""
        return straight(self.grown.stretch_score, SOWN_DOY)

    @cached_property
    def keeps_d(self) -> Array:
        """Days a crop that is ready stands before it is past its best, by day of sowing; infinite if nobody knows."""
        return self.keeps_from_d(EVERY_DAY + self.days)

    def keeps_from_d(self, ready_doy: Array, climate: BedClimate | None = None) -> Array:
        """The same from days on which crops are ready [C, B, S], counted from 1 January; NaN stays NaN.

        Parameters: ready_doy; climate, in another than the usual one.
        """
        holds = growing.column(self.crops, growing.part("harvest", "holds_degcday", np.inf))
        found = keeps_d(growing.mean_temp_degc(climate or self.climate), ready_doy, holds)
        return np.asarray(np.where(np.isinf(holds)[:, None, None] & np.isfinite(found), np.inf, found))

    @cached_property
    def nights(self) -> Nights:
        """Nights of every winter against what the crops stand."""
        return Nights(self.crops, self.world.air)

    @cached_property
    def threats(self) -> Threats:
        """What threatens the sowings of every day."""
        return self.kept("threats", self._threatened, (Threats,))

    def _threatened(self) -> Threats:
        grown = self.grown
        near = np.rint(EVERY_DAY / (SOWN_DOY[1] - SOWN_DOY[0])).astype(np.intp) % len(SOWN_DOY)
        return threats_of(
            self.crops, self.world, self.climate, self.nights,
            sown_doy=SOWN_DOY, sown_emergence_d=grown.emergence_d,
            emergence_d=self.emergence_d, days=self.days, starved=grown.starved[..., near],
            rare=not self.lean,
        )  # fmt: skip

    @cached_property
    def raised(self) -> RaisedYear | None:
        """Crops raised in the nursery, by day of sowing there; None where the house has none."""
        nursery = self.world.house.nursery
        if nursery is None:
            return None
        args = self.world, self.crops, self.climate, self.draws, SOWN_DOY, nursery
        return self.kept("raised", lambda: raised_year(*args), (RaisedYear,))

    @cached_property
    def raised_plants(self) -> RaisedYear | None:
        """Plants for the garden raised in the nursery; None where the house has none."""
        return raised_plants(self)

    @cached_property
    def raised_well(self) -> RaisedYear | None:
        """Crops that grew up in good light elsewhere, by day of sowing there; None where none is set out."""
        return raised_year(self.world, self.crops, self.climate, self.draws, SOWN_DOY, RAISED_WELL)

    @cached_property
    def tray_room(self) -> TrayRoom:
        """Where trays sprout, and how long they take there."""
        return tray_room_of(self)

    @cached_property
    def first_dli_mol_m2_d(self) -> Array:
        """Mean light of the first four weeks up."""
        typical = np.stack([bed.dli_mol_m2_d for bed in self.world.beds])
        return bed_window_mean(typical, EVERY_DAY + np.nan_to_num(self.emergence_d), growing.FIRST_D)

    @cached_property
    def _days_by_light(self) -> tuple[list[int], Array]:
        """Crops that live on light, and their days in steady light in the air of every month [R, B, 12, L]."""
        rows = [n for n, crop in enumerate(self.crops) if crop.grows_by_carbon]
        return rows, self._steady_days(rows, NEED_LEVELS)

    def _steady_days(self, rows: list[int], levels: Array) -> Array:
        """Days of some crops in steady light of some levels, in the air of every month [R, B, 12, L]."""
        parts = (self.climate.temp_day_degc, self.climate.temp_night_degc, np.maximum(self.climate.lit_h, 1.0))
        air = np.stack([month_means(part).ravel() for part in parts])
        alike, which = np.unique(np.rint(air * SAME_AIR) / SAME_AIR, axis=1, return_inverse=True)
        arrays = growing.crop_arrays([self.crops[n] for n in rows])
        took = days_by_light(arrays, levels, *alike, horizon_d=NEED_HORIZON_D)
        return took[:, which.ravel()].reshape(len(rows), len(self.climate), 12, len(levels))

    @cached_property
    def target_dli_mol_m2_d(self) -> Array:
        """Light each crop is meant to have, or 17 mol where nobody knows [C]."""
        return growing.column(self.crops, growing.part("light", "dli_target_mol_m2_d", MOST_NEED_MOL_M2_D))

    @cached_property
    def best_days(self) -> Array:
        """Days at the crop's target light in the bed's air of its best month [C, B]; infinite where never."""
        out = np.full((len(self.crops), len(self.climate)), np.inf)
        if any(crop.grows_by_carbon for crop in self.crops):
            for rows, levels, took in self._round_targets() if self.lean else [self._all_levels()]:
                for place, row in enumerate(rows):
                    best = took[place].min(axis=1)
                    level = np.log(self.target_dli_mol_m2_d[row])
                    out[row] = [np.interp(level, np.log(levels), own) for own in best]
        return out

    def _all_levels(self) -> tuple[list[int], Array, Array]:
        rows, took = self._days_by_light
        return rows, NEED_LEVELS, took

    def _round_targets(self) -> Iterator[tuple[list[int], Array, Array]]:
        """Crops by the two levels their target light lies between, and their days at those two."""
        rows = np.array([n for n, crop in enumerate(self.crops) if crop.grows_by_carbon])
        above = np.searchsorted(NEED_LEVELS, self.target_dli_mol_m2_d[rows]).clip(1, len(NEED_LEVELS) - 1)
        for top in np.unique(above).tolist():
            own, levels = rows[above == top].tolist(), NEED_LEVELS[top - 1 : top + 1]
            yield own, levels, self._steady_days(own, levels)

    @cached_property
    def needs_dli_mol_m2_d(self) -> Array:
        """Light each sowing needs: for sturdy seedlings, and for a harvest within 1.5 times the days in good light."""
        return self.kept("needs", self._needed)

    def _needed(self) -> Array:
        grown = self.grown
        base = growing.column(self.crops, growing.part("light", "stretch_base_degc", COOL_BASE_DEGC))[:, None, None]
        sturdy = dli_for_score_mol_m2_d(LEGGY_SCORE, grown.early_temp_degc, grown.early_dif_k, base)
        needs = straight(np.where(np.isfinite(grown.stretch_score), sturdy, np.nan), SOWN_DOY)
        if any(crop.grows_by_carbon for crop in self.crops):
            rows, took = self._days_by_light
            best = self.best_days[rows]
            wanted = np.broadcast_to(SLOW_RATIO * best[..., None], took.shape[:3])
            known = np.isfinite(wanted)
            quick = light_for_days_mol_m2_d(took, np.where(known, wanted, 0.0), NEED_LEVELS)
            most = self.target_dli_mol_m2_d[rows][:, None, None]
            quick = np.where(known, np.fmin(quick, most), most)
            needs[rows] = np.fmax(needs[rows], _by_day(quick))
        return np.asarray(needs)

    @cached_property
    def missing_dli_mol_m2_d(self) -> Array:
        """Need less the light of the first four weeks, not below 0."""
        return np.nan_to_num(np.maximum(self.needs_dli_mol_m2_d - self.first_dli_mol_m2_d, 0.0))

    @cached_property
    def dark(self) -> Index:
        """First and last day of the dark season of every bed [B, 2]."""
        darkest = self.world.darkest_day
        seasons = [dark_season(wrap_mean(bed.dli_mol_m2_d, SMOOTH_D), darkest) for bed in self.world.beds]
        return np.array(seasons, dtype=np.intp).reshape(-1, 2)

    @cached_property
    def in_season(self) -> NDArray[np.bool_]:
        """Whether each crop is sown at all on each day of the year [C, 365]."""
        return growing.in_season(self.crops, self.world.darkest_day)

    @cached_property
    def sowings(self) -> SowingYear:
        """What the rule book asks about every sowing."""
        return self._judged[0]

    @cached_property
    def ruling(self) -> Ruling:
        """Verdict of every sowing of the year, and the dates that go with it."""
        return self._judged[1]

    @cached_property
    def _judged(self) -> tuple[SowingYear, Ruling]:
        return self.kept("judged", self._judge, (SowingYear, Ruling))

    def _judge(self) -> tuple[SowingYear, Ruling]:
        asked = self._asked()
        return asked, judge(asked)

    def _asked(self) -> SowingYear:
        known = self._dated
        raised_days, raised_score = known.raised_days.copy(), known.raised_score.copy()
        if self.raised is not None:
            rows = list(self.raised.rows)
            raised_days[rows], raised_score[rows] = self.raised.days, self.raised.stretch_score
        young = self.young_days
        return replace(
            known,
            young_days=young,
            young_harmed=self.nights.least_of_stays_k(EVERY_DAY, self.emergence_d, young) <= 0.0,
            missing_dli_mol_m2_d=self.missing_dli_mol_m2_d,
            raised_days=raised_days,
            raised_score=raised_score,
        )

    @cached_property
    def _dated(self) -> SowingYear:
        """What the two dates ask; nothing of young leaf, light that is missing, or the nursery."""
        shape = (len(self.crops), len(self.climate), DAYS)
        follow = np.array([crop.way not in BOLTS_ANYWAY for crop in self.crops], dtype=np.bool_)[:, None, None]
        picked = np.array([crop.way == "pick" for crop in self.crops], dtype=np.bool_)[:, None, None]
        none = np.zeros(shape)
        to_dark = none + (self.dark[:, :1] - EVERY_DAY) % DAYS
        return SowingYear(
            ways=tuple(crop.way for crop in self.crops),
            in_season=np.broadcast_to(self.in_season[:, None], shape),
            days=self.days,
            young_days=np.full(shape, np.nan),
            keeps_d=np.where(picked & np.isfinite(self.days), np.inf, self.keeps_d),
            emergence_d=self.emergence_d,
            stretch_score=self.stretch_score,
            harmed=self.threats.harmed,
            young_harmed=none > 0.0,
            chilled=self.nights.least_of_stays_k(EVERY_DAY, none, none + NIGHTS_D) <= 0.0,
            harmed_by_dark=self.nights.least_of_stays_k(EVERY_DAY, self.emergence_d, to_dark) <= 0.0,
            hot=self.threats.hot,
            too_warm=growing.too_warm_to_come_up(self.crops, self.climate),
            bolting_d=np.where(follow, self.threats.bolting_d, np.nan),
            missing_dli_mol_m2_d=np.zeros(shape),
            raised_days=np.full(shape, np.nan),
            raised_score=np.full((shape[0], DAYS), np.nan),
            best_days=self.best_days,
            dark=self.dark,
            darkest_day=self.world.darkest_day,
        )

    @cached_property
    def _more(self) -> dict[str, Any]:
        return {}

    def once(self, name: str, make: Callable[[Table], T]) -> T:
        """What another module works out of this table, made when it is first asked for, by a name of its own."""
        if name not in self._more:
            self._more[name] = make(self)
        found: T = self._more[name]
        return found

    @cached_property
    def dates(self) -> SowingDates:
        """The two dates of ``ruling`` alone, at a fraction of its work."""
        return dates_of(self._dated)


def table_of(world: World, crops: Sequence[Crop], *, seed: int = SEED, again: bool = False) -> Table:
    """Grow all crops on all beds of a house-year from sowings on fixed days of the year.

    Parameters: world; crops; seed, of the draws: answers use the default, plans are judged by others;
    again, whether later cuts of crops that are cut more than once are asked for.
    """
    climate = growing.bed_climates(world)
    draws = growing.seasons_of(world, crops, DRAWS, seed)
    kept = world.warmth.sources.kept
    of = (*crops, climate, draws)
    kind = "grown-again" if again else "grown"
    grown = kept(kind, of, lambda: growing.grow(crops, climate, SOWN_DOY, draws, again=again), (growing.Grown,))
    return Table(tuple(crops), world, climate, draws, grown)


def spans_of(ordered: Array) -> Array:
    """Days that a tenth, half and nine tenths of sorted draws keep within [3, ...]; NaN where that many never come."""
    return np.stack([at_share(ordered, share) for share in (LOW, MIDDLE, HIGH)])


def middle_mass(mass_g_m2: Array) -> Array:
    """Median over the draws that give a harvest, straight between sowings [C, B, 365].

    Parameters: mass_g_m2, of the sowings on SOWN_DOY under every draw [g m⁻²], (C, B, S, J).
    """
    some = np.asarray(np.isfinite(mass_g_m2).any(axis=-1))
    middle = np.nanmedian(np.where(some[..., None], mass_g_m2, 0.0), axis=-1)
    return straight(np.where(some, middle, np.nan), SOWN_DOY)


def _by_day(month: Array) -> Array:
    """Values of sowings whose next 60 days centre on mid-month [..., 12], straight between [..., 365]."""
    middle = np.array([np.flatnonzero(m + 1 == MONTH_OF_DAY).mean() for m in range(12)])
    ahead = (EVERY_DAY + HALF_NEED_WINDOW_D) % DAYS
    flat = month.reshape(-1, 12)
    out = np.stack([np.interp(ahead, middle, row, period=DAYS) for row in flat])
    return out.reshape(*month.shape[:-1], DAYS)


HALF_NEED_WINDOW_D: Final = 30
"""The air that counts for the light a crop needs is that of the month round this day after sowing: judgement."""
