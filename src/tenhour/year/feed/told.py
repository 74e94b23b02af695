"""A plan told in dates, beds and crops."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.model.crop import Crop
from tenhour.model.feed import (
    FeedBuy,
    FeedCleared,
    FeedEaten,
    FeedLamps,
    FeedMissing,
    FeedSeed,
    FeedShelf,
    FeedSowing,
    FeedStand,
    FeedTray,
    FeedWeek,
    FeedWish,
)
from tenhour.model.household import WISHES
from tenhour.plan.dates import DAYS, day_index
from tenhour.plan.feed.solve import Plan
from tenhour.plan.season import SEED_RESERVE_RATIO
from tenhour.plan.supply import measurable_count
from tenhour.words import feeding as words
from tenhour.words.crops import crop_name
from tenhour.words.text import joined
from tenhour.year.crops.larder import WEEK_D
from tenhour.year.feed.grown import Standing
from tenhour.year.feed.helped import Helped
from tenhour.year.feed.offer import TRAY_M2, Offer, seed_g_m2
from tenhour.year.world import World

Array = NDArray[np.float64]


LEAST_TOLD: Final = 0.1
"""Less of a portion than this is not told: judgement."""


class Told:
    """A plan told in dates, beds and crops."""

    def __init__(self, world: World, offer: Offer, plan: Plan) -> None:
        self._beds = [bed.name for bed in world.house.beds]
        self._offer, self._plan = offer, plan
        self._program = offer.program
        units: dict[int, float] = {}
        lots: dict[int, list[int]] = {}
        for lot, count in plan.lots:
            number = int(self._program.lots.sowing[lot])
            units[number] = units.get(number, 0.0) + count
            lots.setdefault(number, []).append(lot)
        self._units, self._lots = units, lots
        self._old = {number for number in offer.standing_sowing if number >= 0}

    def _day(self, week: int) -> date:
        return self._offer.ground.first + timedelta(days=WEEK_D * int(week))

    def _crop(self, number: int) -> Crop:
        return self._offer.crops[int(self._program.sowings.crop[number])]

    def _order(self) -> list[int]:
        sowings = self._program.sowings
        new = [n for n in self._units if n not in self._old]
        return sorted(new, key=lambda n: (self._sow_day(n), self._crop(n).name, int(sowings.place[n])))

    def _sow_day(self, number: int) -> date:
        move = self._offer.moved.get(number)
        return self._day(int(self._program.sowings.week[number])) if move is None else move.sown

    def sowings(self) -> tuple[FeedSowing, ...]:
        """Every sowing but those of trays, by date."""
        return tuple(self._sowing(n) for n in self._order() if not self._program.sowings.tray[n])

    def _sowing(self, number: int) -> FeedSowing:
        sowings, lots = self._program.sowings, self._program.lots
        crop, units, own = self._crop(number), self._units[number], self._lots[number]
        area = units * float(sowings.unit_m2[number])
        raised = int(sowings.nursery_weeks_count[number])
        seed, move = seed_g_m2(crop), self._offer.moved.get(number)
        density = self._density(number)
        work = float(sowings.fixed_min[number]) + units * float(sowings.unit_min[number])
        week = int(sowings.week[number])
        return FeedSowing(
            sow=self._sow_day(number),
            raised=raised > 0,
            set_out=self._day(week + raised) if raised or move is not None else None,
            bed=self._bed(number),
            crop=crop.key,
            name=crop_name(crop.key),
            area_m2=area,
            trays_count=0,
            plants_count=None if density is None else max(1, round(area * density)),
            seed_g=None if seed is None else area * seed,
            harvest_from=self._day(min(self._offer.lot_first[lot] for lot in own)),
            harvest_to=self._day(max(int(lots.last_week[lot]) for lot in own)) + timedelta(days=WEEK_D - 1),
            clear_by=self._day(max(int(lots.last_week[lot]) for lot in own) + 1),
            cleared=self._cleared(own),
            work_min=work,
            moved=move is not None,
        )

    def _density(self, number: int) -> float | None:
        """Plants a square metre; plants moved in are large ones, at the crop's widest spacing."""
        harvest = self._crop(number).harvest
        if harvest is None:
            return None
        return harvest.density_per_m2.low if number in self._offer.moved else harvest.density_per_m2.value

    def _cleared(self, lots: Sequence[int]) -> tuple[FeedCleared, ...]:
        area: dict[date, float] = {}
        count = dict(self._plan.lots)
        for lot in lots:
            day = self._day(int(self._program.lots.last_week[lot]) + 1)
            unit = float(self._program.sowings.unit_m2[self._program.lots.sowing[lot]])
            area[day] = area.get(day, 0.0) + count[lot] * unit
        return tuple(FeedCleared(area[day], day) for day in sorted(area))

    def trays(self) -> tuple[FeedTray, ...]:
        """Trays as they are sown, week by week."""
        return tuple(self._tray(n) for n in self._order() if self._program.sowings.tray[n])

    def _tray(self, number: int) -> FeedTray:
        crop, own, lots = self._crop(number), self._lots[number], self._program.lots
        area = self._units[number] * float(self._program.sowings.unit_m2[number])
        wishes = self._program.wishes
        served = [
            self._offer.wishes[wish]
            for pair, (row, wish) in enumerate(zip(wishes.pair_crop, wishes.pair_wish, strict=True))
            if row == self._program.sowings.crop[number]
            and self._plan.eaten_count[pair, self._offer.lot_first[own[0]] :].any()
        ]
        return FeedTray(
            sow=self._day(int(self._program.sowings.week[number])),
            bed=self._bed(number),
            crop=crop.key,
            name=crop_name(crop.key),
            trays_count=area / TRAY_M2,
            area_m2=area,
            seed_g=None if crop.tray is None else area * crop.tray.seed_g_m2.value,
            cut_from=self._day(min(self._offer.lot_first[lot] for lot in own)),
            cut_to=self._day(max(int(lots.last_week[lot]) for lot in own)) + timedelta(days=WEEK_D - 1),
            serves=", ".join(dict.fromkeys(served)),
        )

    def _trays(self, number: int) -> float:
        return self._units[number] * float(self._program.sowings.unit_m2[number]) / TRAY_M2

    def _lying(self, numbers: Iterable[int]) -> Array:
        """Trays of some sowings that lie there in each week [T]."""
        lots, lying = self._program.lots, np.zeros(self._program.weeks)
        sown = {int(number) for number in numbers}
        for lot, count in self._plan.lots:
            number = int(lots.sowing[lot])
            if number in sown:
                first, last = max(int(lots.first_week[lot]), 0), int(lots.last_week[lot])
                lying[first : max(last + 1, 0)] += count * float(self._program.sowings.unit_m2[number]) / TRAY_M2
        return lying

    def _bed(self, number: int) -> str:
        return self._beds[int(self._program.places.bed[self._program.sowings.place[number]])]

    def stands(self) -> tuple[FeedStand, ...]:
        """What stands already, in the order of the log."""
        pairs = zip(self._offer.ground.standing, self._offer.standing_sowing, strict=True)
        return tuple(self._stand(one, number) for one, number in pairs)

    def _stand(self, one: Standing, number: int) -> FeedStand:
        name = crop_name(one.crop)
        base = (one.crop, name, one.bed, one.sown, one.area_m2)
        unsure = [words.AREA_GUESSED()] if one.assumed else []
        if number < 0:
            return FeedStand(*base, None, None, None, joined([words.STAND_PAST(), *unsure]))
        if self._program.sowings.must[number]:
            return FeedStand(*base, None, None, None, joined([words.STAND_OTHER(), *unsure]))
        own = [lot for lot in self._lots.get(number, []) if self._program.lots.last_week[lot] >= 0]
        if not own:
            return FeedStand(*base, None, None, self._offer.ground.first, joined([words.STAND_CLEAR(), *unsure]))
        first = self._day(max(0, min(self._offer.lot_first[lot] for lot in own)))
        last = self._day(max(int(self._program.lots.last_week[lot]) for lot in own) + 1)
        said = words.STAND_EAT(first=first, last=last - timedelta(days=1))
        return FeedStand(*base, first, last - timedelta(days=1), last, joined([said, *unsure]))

    def shelf(self) -> tuple[FeedShelf, ...]:
        """Trays by crop and bed."""
        found: dict[tuple[int, int], list[int]] = {}
        for number in self._order():
            if self._program.sowings.tray[number]:
                key = (int(self._program.sowings.crop[number]), int(self._program.sowings.place[number]))
                found.setdefault(key, []).append(number)
        out = []
        for (crop, _), numbers in found.items():
            weeks = [int(self._program.sowings.week[n]) for n in numbers]
            named, most = self._offer.crops[crop].key, float(self._lying(numbers).max())
            count, days = sum(self._trays(n) for n in numbers), (self._day(min(weeks)), self._day(max(weeks)))
            out.append(FeedShelf(named, crop_name(named), self._bed(numbers[0]), count, most, *days))
        return tuple(out)

    def buys(self, offered: Sequence[Helped], currency: str) -> tuple[FeedBuy, ...]:
        """Covers and trays that the plan buys."""
        out = []
        for number in self._plan.lamps:
            helped = offered[number]
            weeks = [week for one, week in self._plan.burns if one == number]
            if helped.kind == "cover" and weeks:
                cost = helped.buy_currency
                area = float(self._program.places.bed_m2[self._beds.index(helped.bed)])
                said = words.BUY_COVER(
                    bed=helped.bed, area=area, money=f"{cost:.0f} {currency}".strip(), first=self._day(min(weeks)),
                    last=self._day(max(weeks)) + timedelta(days=WEEK_D - 1),
                )  # fmt: skip
                out.append(FeedBuy("cover", helped.bed, 1, cost, said))
        count = self._trays_bought
        if count:
            cost = count * self._program.tray_currency
            said = words.BUY_TRAYS(trays=words.trays_said(count), money=f"{cost:.0f} {currency}".strip())
            out.append(FeedBuy("tray", "", count, cost, said))
        return tuple(out)

    @property
    def _trays_bought(self) -> int:
        """Most trays that lie at once, where they must be bought."""
        program = self._program
        if program.tray_currency <= 0.0:
            return 0
        lying = self._lying(np.flatnonzero(program.sowings.tray))
        return int(np.ceil(lying.max() - LEAST_TOLD))

    def lamps(self, offered: Sequence[Helped]) -> tuple[FeedLamps, ...]:
        """Lamps that the plan buys and burns."""
        weeks = self._program.weeks
        out = []
        for number in self._plan.lamps:
            hung = offered[number].hung
            burns = [week for lamp, week in self._plan.burns if lamp == number]
            if hung is None or not burns:
                continue
            first = np.array([day_index(self._day(week)) for week in burns if week < weeks], dtype=np.intp)
            hours = hung.day_h[(first[:, None] + np.arange(WEEK_D)) % DAYS].sum(axis=1)
            current = float(sum(self._program.lamps.week_currency[number, week] for week in burns))
            out.append(
                FeedLamps(
                    hung.bed, hung.count, float(np.mean(hours)), float(hours.sum()) * hung.drawn_w / 1000.0,
                    offered[number].buy_currency + current, self._day(min(burns)),
                    self._day(max(burns)) + timedelta(days=WEEK_D - 1), hung.power_w, hung.replaced_frac,
                )
            )  # fmt: skip
        return tuple(out)

    def seeds(self) -> tuple[FeedSeed, ...]:
        """Seed of the whole plan, by crop."""
        total: dict[str, tuple[Crop, float]] = {}
        for number, units in self._units.items():
            if number in self._old or self._sow_day(number) < self._offer.ground.first:
                continue
            crop = self._crop(number)
            total[crop.key] = (
                crop,
                total.get(crop.key, (crop, 0.0))[1] + units * float(self._program.sowings.unit_m2[number]),
            )
        out = []
        for crop, area in total.values():
            grams = crop.tray.seed_g_m2.value if crop.tray is not None else seed_g_m2(crop)
            density = None if crop.harvest is None else crop.harvest.density_per_m2.value
            count = None if density is None else measurable_count(area * density * SEED_RESERVE_RATIO)
            out.append(FeedSeed(crop.key, crop_name(crop.key), count, None if grams is None else grams * area))
        return tuple(sorted(out, key=lambda seed: seed.name))

    def missing(self) -> tuple[FeedMissing, ...]:
        """Weeks in which the plan leaves a tenth of a portion or more missing."""
        wanted = self._program.wishes.portions_count
        return tuple(
            FeedMissing(self._day(week), self._offer.wishes[wish], float(self._plan.missing_count[wish, week]),
                        float(wanted[wish, week]))
            for week in range(self._program.weeks)
            for wish in range(len(self._offer.wishes))
            if self._plan.missing_count[wish, week] >= LEAST_TOLD
        )  # fmt: skip

    def weeks(self, short: Array) -> tuple[FeedWeek, ...]:
        """Every week of the season."""
        work = self._work_min()
        return tuple(
            FeedWeek(self._day(week), self._wishes(week, short), self._eaten(week), float(work[week]))
            for week in range(self._program.weeks)
        )

    def _wishes(self, week: int, short: Array) -> tuple[FeedWish, ...]:
        wanted, missing = self._program.wishes.portions_count[:, week], self._plan.missing_count[:, week]
        return tuple(
            FeedWish(name, float(wanted[n]), float(wanted[n] - missing[n]), float(short[n, week]))
            for n, name in enumerate(self._offer.wishes)
        )

    def _eaten(self, week: int) -> tuple[FeedEaten, ...]:
        wishes = self._program.wishes
        out = []
        for number in dict.fromkeys(wishes.pair_crop.tolist()):
            pairs = np.flatnonzero(wishes.pair_crop == number)
            portions = self._plan.eaten_count[pairs, week]
            if portions.sum() < LEAST_TOLD:
                continue
            crop = self._offer.crops[number]
            grams = float((portions * wishes.pair_portion_g[pairs]).sum())
            out.append(FeedEaten(crop.key, ", ".join(self._picked_from(number, week)), grams, float(portions.sum())))
        return tuple(out)

    def _picked_from(self, crop: int, week: int) -> list[str]:
        sowings, since = self._program.sowings, week - int(self._program.keep_weeks_count[crop])
        found = []
        for lot, _ in self._plan.lots:
            number = int(self._program.lots.sowing[lot])
            if sowings.crop[number] == crop and self._program.lots.yield_g[[lot], max(since, 0) : week + 1].sum() > 0:
                found.append(self._bed(number))
        return list(dict.fromkeys(found))

    def _work_min(self) -> Array:
        program, work = self._program, np.zeros(self._program.weeks)
        for number, units in self._units.items():
            sowings = program.sowings
            if number in self._old:
                continue
            work[int(sowings.week[number])] += float(sowings.fixed_min[number]) + units * float(
                sowings.unit_min[number]
            )
        for lot, units in self._plan.lots:
            row = program.lots.yield_g[[lot], :].toarray()[0]
            first, last = max(int(program.lots.first_week[lot]), 0), int(program.lots.last_week[lot])
            work[first : max(last + 1, 0)] += units * float(program.sowings.week_min[program.lots.sowing[lot]])
            work += units * row * float(program.harvest_min_per_g[program.lot_crop[lot]])
        return np.asarray(work)

    @property
    def money_currency(self) -> float:
        """Seed, what trays are filled with, lamps and their current."""
        program = self._program
        current = sum(float(program.lamps.week_currency[lamp, week]) for lamp, week in self._plan.burns)
        bought = sum(float(program.lamps.buy_currency[lamp]) for lamp in self._plan.lamps)
        return (
            current
            + bought
            + self._trays_bought * program.tray_currency
            + sum(units * float(self._program.sowings.unit_currency[n]) for n, units in self._units.items())
        )

    @property
    def food_kg(self) -> float:
        """What people eat of it; greens for animals are not bought in the shop."""
        wishes = self._program.wishes
        people = np.array([self._offer.wishes[wish] in WISHES for wish in wishes.pair_wish])
        grams = (self._plan.eaten_count * wishes.pair_portion_g[:, None])[people]
        return float(grams.sum() / 1000.0)

    @property
    def work_h_week(self) -> float:
        """Mean over the plan's weeks."""
        return float(self._work_min().mean() / 60.0)
