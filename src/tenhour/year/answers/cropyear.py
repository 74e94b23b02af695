"""One crop on one bed through a year: its weeks, dates, spans and sentence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.model.crop import Crop
from tenhour.model.results import VERDICTS
from tenhour.model.season import CropSeason, Route, SowFlag, SowWeek, Span, SpanKind
from tenhour.plan import season as plan
from tenhour.plan.dates import DAYS, begun_or_next, day_index, next_on_or_after
from tenhour.plan.season import WEEK_D, WEEKS
from tenhour.plan.sowing import CODE, LATE_EMERGENCE_D, STANDING_WAYS
from tenhour.words.crops import crop_name
from tenhour.words.text import joined
from tenhour.words.year import (
    Small,
    TrayWords,
    YearWords,
    flag_sentences,
    plants_sentence,
    tray_sentence,
    year_sentence,
)
from tenhour.year.answers.fruiting import rest_text
from tenhour.year.answers.sow import is_wanted, meal_g_of, pays_from_on
from tenhour.year.crops.grown import Table
from tenhour.year.crops.moved import moved_in
from tenhour.year.crops.nights import NO_HARVEST_SPAN_D
from tenhour.year.crops.routes import Routes, kept_count, route_of, tray_route
from tenhour.year.crops.stands import Stands
from tenhour.year.crops.supply import seed_for_g

Array = NDArray[np.float64]
Dates = tuple[date, date]

GOOD: Final = ("sow", "slow", "stand-small")
SPAN_OF_WAY: Final[dict[str, SpanKind]] = {"seed-fed": "trays", "bulb": "trays", "transplant": "raise"}
DEAR_D: Final = 10.0
"""A week's wait that costs less than this is not worth a sentence: judgement."""


WAITING: Final = ("wait", "needs-lamps")
"""Weeks that are told of as not worth sowing in."""


@dataclass(frozen=True)
class SeasonParts:
    """Everything about all crops on all beds that their seasons are made of."""

    table: Table
    stands: Stands
    routes: Routes
    on: date
    """First day of the year shown."""

    @cached_property
    def sown(self) -> NDArray[np.intp]:
        """Days of the generic year on which the weeks shown begin [52]."""
        return (day_index(self.on) + WEEK_D * np.arange(WEEKS)) % DAYS

    @cached_property
    def code(self) -> NDArray[np.int8]:
        """Verdicts of the sowings of each week [C, B, 52]."""
        return self.table.ruling.code[..., self.sown]

    @cached_property
    def threats(self) -> dict[SowFlag, NDArray[np.bool_]]:
        """What threatens the sowings of each week [C, B, 52]."""
        return {name: marks[..., self.sown] for name, marks in self.table.threats.named().items()}

    @cached_property
    def begins(self) -> tuple[date, ...]:
        """First days of the weeks shown."""
        return tuple(self.on + timedelta(days=WEEK_D * week) for week in range(WEEKS))

    @cached_property
    def _threatened(self) -> tuple[list[tuple[SowFlag, ...]], NDArray[np.intp]]:
        """Every set of threats there is, and which of them a sowing of a week has [C, B, 52]."""
        names = list(self.threats)
        bits = sum((self.threats[name] * (1 << n) for n, name in enumerate(names)), np.zeros((1, 1, 1), dtype=np.intp))
        sets = [tuple(name for n, name in enumerate(names) if code >> n & 1) for code in range(1 << len(names))]
        return sets, np.asarray(np.broadcast_to(bits, self.code.shape))

    def flags(self, crop: int, bed: int) -> list[tuple[SowFlag, ...]]:
        """Names of what threatens the sowings of each week."""
        sets, which = self._threatened
        return [sets[code] for code in which[crop, bed].tolist()]

    @cached_property
    def waiting_cost_d(self) -> Array:
        """Days of harvest that a week of waiting costs, by week of sowing [C, B, 52]."""
        return plan.waiting_cost_d(self.table.days)[..., self.sown]

    @cached_property
    def good(self) -> NDArray[np.bool_]:
        """Weeks whose sowings come to something in full [C, B, 52]."""
        return np.isin(self.code, [CODE[verdict] for verdict in GOOD])

    @cached_property
    def worth(self) -> NDArray[np.bool_]:
        """Weeks that are worth sowing in, in whatever way [C, B, 52]."""
        return ~np.isin(self.code, [CODE[verdict] for verdict in WAITING])

    @cached_property
    def seed_too_warm(self) -> NDArray[np.bool_]:
        """Weeks whose seed does not come up because it lies too warm [C, B, 52]."""
        late = ~(self.table.emergence_d[..., self.sown] <= LATE_EMERGENCE_D)
        return np.asarray(late & self.table.sowings.too_warm[..., self.sown])

    @cached_property
    def listed(self) -> dict[str, list[list[list[float]]]]:
        """What stands in the weeks as plain numbers, NaN where never [C, B, 52]: days to harvest in whole days, cost of
        waiting, stretch."""
        table, sown = self.table, self.sown
        days = {"low": table.days_low, "median": table.days, "high": table.days_high}
        found = {name: np.rint(part[..., sown]) for name, part in days.items()}
        found |= {"cost": self.waiting_cost_d, "score": table.stretch_score[..., sown]}
        return {name: np.where(np.isfinite(part), part, np.nan).tolist() for name, part in found.items()}


def wholes(values: Sequence[float]) -> list[int | None]:
    """Whole days, or None where never."""
    return [int(value) if value == value else None for value in values]


def numbers(values: Sequence[float]) -> list[float | None]:
    """Plain numbers, or None where unknown."""
    return [value if value == value else None for value in values]


@dataclass(frozen=True)
class _Winter:
    """What is there when the dark begins, and while it lasts."""

    window: plan.WinterWindow | None
    hold: Dates | None
    picking: tuple[float | None, ...]
    sown_by: date | None = None
    """Last sowing that stands grown in the dark that is on, or in the next one."""


def crop_season(year: SeasonParts, crop: int, bed: int) -> CropSeason:
    """Everything about one crop on one bed."""
    table, chosen = year.table, year.table.crops[crop]
    weeks = _weeks(year, crop, bed)
    winter = _winter(year, crop, bed)
    on = year.on
    spans = _spans(chosen, on, weeks, winter)
    sow_by = None if winter.window is None else next_on_or_after(winter.window.last, on)
    pays = pays_from_on(table, crop, bed, on)
    cost = year.waiting_cost_d[crop, bed]
    sown = year.good[crop, bed]
    dear = np.where(sown & np.isfinite(cost), cost, -np.inf)
    week = int(dear.argmax())
    dearest = on + timedelta(days=WEEK_D * week) if dear[week] >= DEAR_D and chosen.way in STANDING_WAYS else None
    kept = [kept_count(w.days_median) for w in weeks if w.state in GOOD and w.days_median] if _tray(chosen) else []
    base = CropSeason(
        crop=chosen.key,
        name=chosen.name,
        way=chosen.way,
        weeks=weeks,
        spans=spans,
        sow_by=sow_by,
        pays_from=pays,
        hold_from=winter.hold[0] if winter.hold else None,
        hold_to=winter.hold[1] if winter.hold else None,
        picking_g_m2_week=winter.picking,
        plants_per_meal_count=_plants_per_meal(chosen, winter.picking),
        short=crop_name(chosen.key),
        sow_from=_before(winter.window.first if winter.window else None, sow_by, on),
        sow_by_sure=_sure(winter.window, sow_by, on),
        stands_if_by=winter.sown_by if winter.sown_by is None or winter.sown_by < on else None,
        dearest=dearest,
        dearest_cost_d=float(dear[week]) if dearest is not None else None,
        kept_low_count=min(kept, default=None),
        kept_high_count=max(kept, default=None),
        seed_g_m2=seed_for_g(chosen, 1.0),
        flags=_flags(year, crop, bed),
        meals_m2_week_count=_meals(table, crop, bed, _days_that_count(sow_by, pays, year.sown[sown]), winter.picking),
        serves=chosen.serves,
        wanted=is_wanted(table, chosen),
        moved=moved_in(table, crop, bed, on),
        route=tray_route(table, year.routes, crop) if _tray(chosen) else _route(year, crop, bed),
    )
    low, rare = _coldest(base, year, crop, bed)
    rest = rest_text(table.world, chosen, bed, year.on)
    said = joined([_sentence(base, year, bed), rest])
    return replace(base, sentence=said, coldest_degc=low, coldest_1in10_degc=rare)


def _coldest(season: CropSeason, year: SeasonParts, crop: int, bed: int) -> tuple[float | None, float | None]:
    """Lowest night, middle winter and one in ten, of the stay that its dates tell of."""
    sown = season.sow_by or season.pays_from
    if sown is None or season.way in SPAN_OF_WAY:
        return None, None
    table, day = year.table, day_index(sown)
    ends = [span.last for span in season.spans if span.kind in ("pick", "hold")] if season.sow_by else []
    ready = table.days[crop, bed, day]
    length = int(ready) if np.isfinite(ready) else NO_HARVEST_SPAN_D
    if ends:
        length = max(length, (max(ends) - sown).days % DAYS)
    up = int(np.nan_to_num(table.emergence_d[crop, bed, day]))
    stay = table.nights.stay(crop, bed, day + up, min(length - up, DAYS))
    return stay.lowest_degc, stay.rare_degc


def _days_that_count(sow_by: date | None, pays: date | None, good: NDArray[np.intp]) -> Sequence[int]:
    """The sowing for winter, else the first in spring, else every good one."""
    dated = sow_by or pays
    return good.tolist() if dated is None else [day_index(dated)]


def _meals(table: Table, crop: int, bed: int, sown: Sequence[int], picking: tuple[float | None, ...]) -> float | None:
    """Servings from a square metre and week of bed held: of a stand for winter, else of the sowing that gives most.

    Parameters: sown, days of sowing to choose from; picking, by week from a stand of the first of them, if any.
    """
    meal_g = meal_g_of(table.crops[crop])
    if not meal_g or table.crops[crop].way == "transplant" or not len(sown):
        return None
    weekly = [value for value in picking if value is not None]
    if weekly:
        held = float(np.nan_to_num(table.days[crop, bed, sown[0]])) / WEEK_D + len(weekly)
        return sum(weekly) / held / meal_g
    rate = table.yield_g_m2[crop, bed, sown] / table.days[crop, bed, sown]
    rate = rate[np.isfinite(rate)]
    return float(rate.max()) * WEEK_D / meal_g if rate.size else None


def _tray(crop: Crop) -> bool:
    return crop.grows_by_reserves


def _route(year: SeasonParts, crop: int, bed: int) -> Route | None:
    return route_of(year.table, year.routes, crop, bed, year.on)


def _before(day: int | None, sow_by: date | None, on: date) -> date | None:
    """The date of a day of the year that comes before the last sowing, or today where it is past."""
    if day is None or sow_by is None:
        return None
    found = next_on_or_after(day, on)
    return found if found <= sow_by else on


def _sure(window: plan.WinterWindow | None, sow_by: date | None, on: date) -> date | None:
    """The sure date before the last sowing; None where it is past already."""
    if window is None or window.sure is None or sow_by is None:
        return None
    found = next_on_or_after(window.sure, on)
    return found if found <= sow_by else None


def _weeks(year: SeasonParts, crop: int, bed: int) -> tuple[SowWeek, ...]:
    table, sown = year.table, year.sown
    low, median, high = (wholes(year.listed[name][crop][bed]) for name in ("low", "median", "high"))
    cost, score = (numbers(year.listed[name][crop][bed]) for name in ("cost", "score"))
    reserves, cuts = table.crops[crop].grows_by_reserves, year.stands.cuts
    again: list[int | None] = [None] * WEEKS
    if crop in cuts.rows:
        again = wholes(np.rint(cuts.again_d[cuts.rows.index(crop), bed, sown]).tolist())
    code, flags = year.code[crop, bed].tolist(), year.flags(crop, bed)
    for week in np.flatnonzero(table.parted[crop, bed, sown]).tolist():
        median[week] = None if table.peaks(crop, bed, int(sown[week])) else median[week]
    return tuple(
        SowWeek(
            start=start,
            state=VERDICTS[code[week]],
            days_low=low[week],
            days_median=median[week],
            days_high=high[week],
            waiting_cost_d=cost[week],
            stretch_score=None if reserves else score[week],
            flags=flags[week],
            again_d=again[week],
        )
        for week, start in enumerate(year.begins)
    )


def _winter(year: SeasonParts, crop: int, bed: int) -> _Winter:
    """Window of sowing for winter, hold, and picking by week of the year."""
    table, stands = year.table, year.stands
    start = int(table.dark[bed, 0])
    window = None
    if np.isfinite(table.ruling.sow_by[crop, bed]):
        sown = np.where(table.in_season[crop], table.days[crop, bed], np.nan)
        window = plan.winter_window(sown, table.days_high[crop, bed], table.keeps_d[crop, bed], start)
    hold = None
    held = stands.hold_d[crop, bed]
    if window is not None and np.isfinite(held) and held > 0.0:
        hold = _occurrence(start, int(held), year.on)
    picking: tuple[float | None, ...] = ()
    if crop in stands.picking:
        picking = _by_week(stands.picking[crop][:, bed], start, year)
    return _Winter(window, hold, picking, None if window is None else stands.dark.sown_by(table, crop, bed))


def _occurrence(first_day: int, length_d: int, on: date) -> Dates:
    """The stretch of days that is on when the year begins, or else the next one."""
    begin = begun_or_next(first_day, length_d, on)
    return begin, begin + timedelta(days=length_d - 1)


def _by_week(values: Array, first_day: int, year: SeasonParts) -> tuple[float | None, ...]:
    """Picking of each week of the year, from picking by week since the dark began; empty where nothing stands."""
    since = ((year.sown - first_day) % DAYS // WEEK_D).tolist()
    found = [float(values[n]) if n < len(values) and np.isfinite(values[n]) else None for n in since]
    return tuple(found) if any(value is not None for value in found) else ()


def _plants_per_meal(crop: Crop, weekly: tuple[float | None, ...]) -> float | None:
    """Plants that give one serving a week in the leanest month of picking."""
    lean = plan.leanest(weekly)
    if not lean or crop.way != "pick" or crop.harvest is None or crop.use is None or crop.use.meal_g is None:
        return None
    return crop.use.meal_g.value / lean * crop.harvest.density_per_m2.value


def _flags(year: SeasonParts, crop: int, bed: int) -> tuple[str, ...]:
    """Threats in words; weeks that are not worth sowing in anyway count for starving alone."""
    worth = year.worth[crop, bed]
    found: list[tuple[str, tuple[Dates, ...]]] = []
    for flag, marks in year.threats.items():
        own = marks[crop, bed] & (worth | (flag == "starves"))
        found.append((flag, _runs(own, year.on)))
    seed = _runs(year.seed_too_warm[crop, bed], year.on)
    return flag_sentences([("seed", seed), *found], WEEKS)


def _runs(marks: Sequence[bool] | NDArray[np.bool_], start: date) -> tuple[Dates, ...]:
    """Unbroken runs of weeks, as their first and last day."""
    listed = marks.tolist() if isinstance(marks, np.ndarray) else marks
    if True not in listed:
        return ()
    return tuple(
        (start + timedelta(days=WEEK_D * a), start + timedelta(days=WEEK_D * b + WEEK_D - 1))
        for a, b in plan.runs(listed)
    )


def _spans(crop: Crop, on: date, weeks: tuple[SowWeek, ...], winter: _Winter) -> tuple[Span, ...]:
    out: list[Span] = []
    good, small = [week.state in GOOD for week in weeks], [week.state == "stand-small" for week in weeks]
    now = [ok and not waits for ok, waits in zip(good, small, strict=True)]
    out += [Span(SPAN_OF_WAY.get(crop.way, "sow"), *run) for run in _runs(now, on)]
    out += [Span("stand-small", *run, "stands small through the dark") for run in _runs(small, on)]
    out += [Span("wait", *run) for run in _runs([week.state in WAITING for week in weeks], on)]
    out += _harvests(crop, on, weeks, good)
    if winter.window is not None:
        last = next_on_or_after(winter.window.last, on)
        first = _before(winter.window.first, last, on) or last
        out.append(Span("sow-for-winter", first, last, "stands at harvest size when the dark begins"))
    if winter.hold is not None:
        first = max(winter.hold[0], on)
        out.append(Span("hold", first, winter.hold[1], "ready when the dark begins, and keeps"))
    note = "a share of a stand cut each week" if crop.way == "cut" else "from plants grown before the dark"
    out += [Span("pick", *run, note) for run in _runs([value is not None for value in winter.picking], on)]
    return tuple(sorted(out, key=lambda span: (span.first, span.kind)))


def _harvests(crop: Crop, on: date, weeks: tuple[SowWeek, ...], good: list[bool]) -> list[Span]:
    """Stretches in which one or other of the good sowings comes in."""
    if crop.way == "transplant":
        return []
    ripe = np.zeros(2 * WEEKS, dtype=np.bool_)
    for week, ok in zip(weeks, good, strict=True):
        if ok and week.days_low is not None and week.days_high is not None:
            begin = (week.start - on).days
            ripe[(begin + week.days_low) // WEEK_D : (begin + week.days_high) // WEEK_D + 1] = True
    return [Span("harvest", *run) for run in _runs(ripe, on)]


def _sentence(season: CropSeason, year: SeasonParts, bed: int) -> str:
    states = [week.state for week in season.weeks]
    if season.way in ("seed-fed", "bulb"):
        return tray_sentence(_tray_words(season))
    if season.way == "transplant":
        return _transplant_words(season)
    first, last = year.table.dark[bed].tolist()
    dark = _occurrence(first, (last - first) % DAYS + 1, year.on)
    picks = [span for span in season.spans if span.kind == "pick"]
    return year_sentence(
        YearWords(
            way=season.way,
            always=all(state == "sow" for state in states),
            sow_from=season.sow_from,
            sow_by=season.sow_by,
            sow_by_sure=season.sow_by_sure,
            stands_if_by=season.stands_if_by,
            stands_from=dark[0] if picks else season.hold_from,
            stands_to=picks[-1].last if picks else season.hold_to,
            picking_dark=_picked_between(season, *dark),
            picking_most_g_m2_week=max((value for value in season.picking_g_m2_week if value), default=None),
            plants_per_meal_count=season.plants_per_meal_count,
            small=_small(season, year, bed),
            waste=_joined([(span.first, span.last) for span in season.spans if span.kind == "wait"]),
            dearest=season.dearest,
            dearest_cost_d=season.dearest_cost_d,
            pays_from=season.pays_from,
        )
    )


def _small(season: CropSeason, year: SeasonParts, bed: int) -> Small | None:
    """Sowings that stand small through the dark: when, when they are ready, and how long before those of spring."""
    table, weeks = year.table, [n for n, week in enumerate(season.weeks) if week.state == "stand-small"]
    spans = tuple((span.first, span.last) for span in season.spans if span.kind == "stand-small")
    if not weeks or not spans:
        return None
    crop = next(n for n, one in enumerate(table.crops) if one.key == season.crop)
    ready = [after for n in weeks if np.isfinite(after := WEEK_D * n + table.days[crop, bed, year.sown[n]])]
    if not ready:
        return None
    first, last = (year.on + timedelta(days=round(float(pick(ready)))) for pick in (min, max))
    gain = table.ruling.waiting_cost_d[crop, bed, year.sown[weeks]]
    return Small(spans, first, last, float(np.nanmedian(gain)) if np.isfinite(gain).any() else None)


def _joined(runs: list[Dates]) -> tuple[Dates, ...]:
    """Runs of weeks with gaps of a single week closed, so that a sentence is not chopped up."""
    out: list[Dates] = []
    for first, last in runs:
        if out and (first - out[-1][1]).days <= WEEK_D + 1:
            out[-1] = (out[-1][0], last)
        else:
            out.append((first, last))
    return tuple(out)


def _picked_between(season: CropSeason, first: date, last: date) -> tuple[float, ...]:
    """Picking of the weeks that begin between two days."""
    weekly = zip(season.weeks, season.picking_g_m2_week, strict=False)
    return tuple(value for week, value in weekly if value is not None and first <= week.start <= last)


def _tray_words(season: CropSeason) -> TrayWords | None:
    spans = tuple((span.first, span.last) for span in season.spans if span.kind == "trays")
    days = [week.days_median for week in season.weeks if week.state in GOOD and week.days_median is not None]
    if not spans or season.kept_low_count is None or season.kept_high_count is None:
        return None
    whole_year = all(week.state in GOOD for week in season.weeks)
    return TrayWords(min(days), max(days), season.kept_low_count, season.kept_high_count, spans, whole_year)


def _transplant_words(season: CropSeason) -> str:
    spans = tuple((span.first, span.last) for span in season.spans if span.kind == "raise")
    days = [week.days_median for week in season.weeks if week.state in GOOD and week.days_median is not None]
    return plants_sentence(spans, days, all(week.state in GOOD for week in season.weeks))
