"""Sentences about a year of one crop on one bed: when to sow, what it gives, when not to, and when it pays again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from tenhour.words.text import Sentence, Text, joined

MOST_SPANS: Final = 3
"""Stretches of weeks named one by one before only the first and last are."""
WEEK_D: Final = 7

SPAN = Sentence("from {first:date} to {last:date}")
ONE_DAY = Sentence("on {first:date}")
DAYS_RANGE = Sentence("{low:days bare} to {high:days}")
DAYS_ONE = Sentence("{low:days}")
WEEKLY_RANGE = Sentence("{low:weekly bare}-{high:weekly}")
WEEKLY_ONE = Sentence("{low:weekly}")
COUNT_RANGE = Sentence("{low:count bare}-{high:count}")
COUNT_ONE = Sentence("{low:count}")

NO_DARK = Sentence("No dark to beat here: no week of the year is slow.")
NO_WINTER = Sentence("No sowing for winter here, and none that pays in the year ahead without more light or warmth.")
SOW_SPAN = Sentence("from {first:date} to {last:date}")
SOW_BY = Sentence("by {last:date}")
SOW_ABOUT = Sentence("about {last:date}")
SURE = Sentence(" (by {sure:date} to be sure in nine seasons of ten)")
FOR_WINTER = Sentence("For winter sow {when}{sure}.")
FOR_WINTER_HELD = Sentence(
    "For winter sow {when}{sure}: it stands grown on {stands:date} and keeps to about {keeps:date}."
)
TOO_LATE = Sentence("Too late now for the winter ahead; for the one after it sow {when}{sure}.")
IN_TIME = Sentence(" by {last:date}")
IF_SOWN = Sentence("If it was sown{by} it stands grown on {stands:date} and keeps to about {keeps:date}.")
PICK = Sentence("From plants that stand grown on {stands:date} pick week by week: some {dark} through the dark")
CUT = Sentence("From plants that stand grown on {stands:date} cut a share each week: some {dark} through the dark")
UP_TO = Sentence(", up to {most:weekly} later")
TO_DATE = Sentence(", to {last:date}")
PLANTS = Sentence("; {plants:count} plants give a serving a week in the leanest month")
SMALL = Sentence("Sown {spans} it stands small through the dark: ready between {first:date} and {last:date}{sooner}.")
SMALL_SOONER = Sentence(", about {days:days} before a sowing in spring")
DEAREST = Sentence("Do not be late around {on:date}: one week's delay then costs {cost:days}.")
WASTE = Sentence("Not worth sowing {spans}: waiting costs little or nothing.")
PAYS = Sentence("Sowing pays again from {pays:date}.")

NO_TRAYS = Sentence("Too cold for trays: they would take more than a month in any week.")
TRAYS_ALL_YEAR = Sentence("All year a tray takes {days}, by warmth and not by light; for one a week keep {kept} going.")
TRAYS = Sentence("Started {spans}, a tray takes {days}, by warmth and not by light; for one a week keep {kept} going.")
TRAYS_THERE = Sentence("{where}: a tray takes {days} all year; for one a week keep {kept} going.")
NO_TRAYS_THERE = Sentence("{where}: too cold for trays for part of the year.")

KILLED = Sentence("{sown} a night kills it before it is ready.")
CHILLED = Sentence("{sown} nights chill it before it is ready.")
SCORCHED = Sentence("{sown} a night scorches its outer leaves.")
RISKY = Sentence("{sown} a night kills it in one winter in ten.")
BOLTS = Sentence("{sown} it runs to flower before it is ready.")
BULBS = Sentence("{sown} the days grow so long that it bulbs.")
HOT = Sentence("{sown} it is too warm for good quality.")
STARVES = Sentence("{sown} there is too little light to keep it alive.")
SEED_TOO_WARM = Sentence("{sown} the seed lies too warm to come up: start it somewhere cooler.")
THREATS: Final = {
    "killed": KILLED,
    "chilled": CHILLED,
    "scorched": SCORCHED,
    "risky": RISKY,
    "bolts": BOLTS,
    "bulbs": BULBS,
    "hot": HOT,
    "starves": STARVES,
    "seed": SEED_TOO_WARM,
}
"""What becomes of sowings of some weeks, by flag (:mod:`tenhour.model.season`); ``seed``: too warm to come up."""
SOWN = Sentence("Sown {spans}")
SOWN_ANY_WEEK = Sentence("Sown in any week")

ROUTE_WINTER = Sentence("Raised {where}: sow by {sow:date}, set out by {out:date}{free}.")
BED_FREE = Sentence(", which leaves the bed free {days:days} longer")
ROUTE_SPRING = Sentence("After the dark: sow there from {sow:date}, set out from {out:date}.")
ROUTE_NONE = Sentence("Raising it {where} does not bring it in either.")
ROUTE_DRAWN = Sentence("Seedlings would be drawn there: give them more light or less warmth.")
MOVED = Sentence(
    "Moved in grown: sow it outdoors by {sow:date}, lift it and move it in by {move:date}; it stands still for "
    "{check:days}, then gives {weekly:weekly} through the dark, with the leaf it brings along, and is picked to "
    "{last:date}{plants}."
)
MOVED_PLANTS = Sentence("; {plants:count} plants give two servings a week in the darkest weeks")
RAISED = Sentence("Raised {where} and set out about {out:date} it is {ready}, {gain}.")
RAISED_PLANTS = Sentence("Raised {where}, plants for the garden are {ready}, {gain}.")
KEPT_THERE = Sentence("Kept {where} to the end it is {ready}, {gain}.")
SPROUTED = Sentence("Sprouted {where} and greened up on the bed in its last days it is {ready}, {gain}.")
GAIN_DAYS = Sentence("{days:days} sooner than sown on the bed")
GAIN_ALL = Sentence("while sown on the bed it never comes in")
GAIN_PLANTS = Sentence("while sown on the bed they never get there")

NO_PLANTS = Sentence("No week of the year raises sturdy plants here without lamps or warmth.")
PLANTS_READY = Sentence("Sown {when}, plants are ready to set out in {days}.")
IN_ANY_WEEK = Sentence("in any week")

FRUIT_WEEKS = Sentence(
    "Light and warmth are enough for fruit {spans}; no dates of harvest are given for fruiting crops."
)
FRUIT_NEVER = Sentence(
    "Enough light for fruit ({needs:mol 0} a day) and nights of {limit:temp} never come together here."
)
FRUIT_NOT_HERE = Sentence("Not in this house: light for fruit and warm enough nights never come together here.")
FRUIT_HOT = Sentence("Too hot for fruit: above a mean of {most:temp} flowers drop. Shade and open vents, or not now.")
FRUIT_HOT_HERE = Sentence(
    "Not in this house as it is: above a mean of {most:temp} flowers drop, and it is that hot when light suffices. "
    "Shade and open vents are the cure."
)
FRUIT_HOT_WEEKS = Sentence("Too hot for fruit {spans}, above a mean of {most:temp}: shade and open vents.")
FRUIT_COLD = Sentence("Too cold at night: expect about {coldest:temp}, and it wants {limit:temp}.")
FRUIT_LAMPS = Sentence("Needs lamps: fruit wants {needs:mol 0} of light a day, and {missing:mol} are missing.")
FRUIT_NOW = Sentence(
    "Light and warmth are enough for fruit in the next four weeks; no dates of harvest are given for fruiting crops."
)
FRUIT_FROM = Sentence("Light and warmth are enough from {pays:date}.")

KEPT_OVER = Sentence(
    "Kept, not grown: cut back and watered little it outlives the winter here, above {night:temp} by night and with "
    "{needs:mol} of light at {mean:temp}; it gives nothing till {back:date}, so stand it in a pot where no bed is lost."
)
KEPT_COLD = Sentence(
    "To keep it over winter it wants nights above {night:temp}, and here they fall to {coldest:temp}: not worth "
    "heating a house for; stand it cut back in a bright room at {rest:temp}."
)
KEPT_DIM = Sentence(
    "To keep it over winter at {mean:temp} it wants {needs:mol} of light, and here it has {light:mol}: not worth lamps "
    "or a bed; stand it cut back and cooler, at {rest:temp}, where {least:mol} will do."
)
KEPT_HOT = Sentence(
    "At {mean:temp} it does not rest: kept so warm it grows on, drawn; stand it cut back and cooler, at {rest:temp}."
)
HANGS_RIPENS = Sentence("Moved in with fruit on, it ripens what hangs by about {ripe:date} and then fails{night}.")
HANGS_NIGHT = Sentence(", for nights fall below {limit:temp}")
HANGS_NOT = Sentence("Moved in with fruit on, it fails before that ripens: pick it green and ripen it in a room.")

GARDEN_NO_PLACE = Sentence("No place in this house raises {name} in time for {out:date}: {fault}.")
GARDEN_LATE = Sentence(
    "Too late to raise {name} for {out:date}: it should have been sown {days:days} before; next time sow about "
    "{sow:date}."
)
GARDEN = Sentence("Sow {name} about {sow:date} ({place}), to set out in the garden about {out:date}.")
FAULT_DIM_OR_COLD = Sentence("too dim or too cold")
FAULT_BEFORE = Sentence("too dim or too cold in the weeks before")
FAULT_DIM = Sentence("too dim: the seedlings would be drawn")
FAULT_SLOW = Sentence("too slow: they would take {days:days}")


def spans_text(spans: Sequence[tuple[date, date]]) -> Text:
    """Stretches of days: "from 2026-09-01 to 2026-10-05"; of more than three the first and the last."""
    named = spans if len(spans) <= MOST_SPANS else (spans[0], spans[-1])
    return joined([SPAN(first=a, last=b) if a != b else ONE_DAY(first=a) for a, b in named], " and ")


def days_text(low_d: float, high_d: float) -> Text:
    """One number of days or a range: "8 to 12 days"."""
    return DAYS_ONE(low=low_d) if round(low_d) == round(high_d) else DAYS_RANGE(low=low_d, high=high_d)


@dataclass(frozen=True)
class Small:
    """Sowings that stand small through the dark."""

    spans: tuple[tuple[date, date], ...]
    first: date
    last: date
    """Between which they are ready, in the middle season."""
    sooner_d: float | None
    """Days by which they come before the first sowing after the dark that pays."""


@dataclass(frozen=True)
class YearWords:
    """Everything the sentence of a crop's year may say; None or empty where it does not apply."""

    way: str
    always: bool = False
    """Whether no week of the year is slow: there is no dark to beat."""
    sow_from: date | None = None
    sow_by: date | None = None
    sow_by_sure: date | None = None
    stands_if_by: date | None = None
    stands_from: date | None = None
    stands_to: date | None = None
    picking_dark: tuple[float, ...] = ()
    """g per m² and week, of the weeks of the dark in which a stand is picked."""
    picking_most_g_m2_week: float | None = None
    """The most in any week of the year."""
    plants_per_meal_count: float | None = None
    small: Small | None = None
    waste: tuple[tuple[date, date], ...] = ()
    dearest: date | None = None
    dearest_cost_d: float | None = None
    pays_from: date | None = None

    @property
    def missed(self) -> bool:
        """Whether the next sowing for winter comes after the winter shown."""
        return self.sow_by is not None and self.stands_from is not None and self.sow_by > self.stands_from


def year_sentence(words: YearWords) -> Text:
    """Say when to sow a crop for winter, what it then gives, when sowing is not worth it, and when it pays again."""
    if words.always:
        return NO_DARK()
    text = joined([part(words) for part in (_winter, _gives, _stands_small, _dearest, _waste, _pays)])
    return text or NO_WINTER()


def _winter(words: YearWords) -> str:
    if words.sow_by is None:
        return ""
    when, sure = _when(words.sow_from, words.sow_by), _sure(words)
    stands, keeps = words.stands_from, words.stands_to
    held = stands is not None and keeps is not None and words.way not in ("pick", "cut")
    if words.missed:
        by = " in time" if words.stands_if_by is None else IN_TIME(last=words.stands_if_by)
        return joined([IF_SOWN(by=by, stands=stands, keeps=keeps) if held else "", TOO_LATE(when=when, sure=sure)])
    if held:
        return FOR_WINTER_HELD(when=when, sure=sure, stands=stands, keeps=keeps)
    return FOR_WINTER(when=when, sure=sure)


def _when(first: date | None, last: date) -> Text:
    if first is None or first >= last:
        return SOW_BY(last=last)
    if (last - first).days < WEEK_D:
        return SOW_ABOUT(last=last)
    return SOW_SPAN(first=first, last=last)


def _sure(words: YearWords) -> str:
    """The date that is sure, where it lies within the window."""
    sure, first, last = words.sow_by_sure, words.sow_from, words.sow_by
    if sure is None or first is None or last is None or not first <= sure < last:
        return ""
    return SURE(sure=sure)


def _gives(words: YearWords) -> str:
    if not words.picking_dark or words.stands_from is None:
        return ""
    low, high = min(words.picking_dark), max(words.picking_dark)
    dark = WEEKLY_ONE(low=low) if round(low) == round(high) else WEEKLY_RANGE(low=low, high=high)
    parts: list[str] = [(CUT if words.way == "cut" else PICK)(stands=words.stands_from, dark=dark)]
    if words.picking_most_g_m2_week is not None and words.picking_most_g_m2_week > high:
        parts.append(UP_TO(most=words.picking_most_g_m2_week))
    if words.stands_to is not None:
        parts.append(TO_DATE(last=words.stands_to))
    if words.plants_per_meal_count is not None and words.way == "pick":
        parts.append(PLANTS(plants=max(words.plants_per_meal_count, 1.0)))
    return joined([*parts, "."], "")


def _dearest(words: YearWords) -> str:
    if words.dearest is None or words.dearest_cost_d is None:
        return ""
    return DEAREST(on=words.dearest, cost=words.dearest_cost_d)


def _stands_small(words: YearWords) -> str:
    if words.small is None:
        return ""
    small, sooner = words.small, ""
    if small.sooner_d is not None:
        sooner = SMALL_SOONER(days=small.sooner_d)
    return SMALL(spans=spans_text(small.spans), first=small.first, last=small.last, sooner=sooner)


def _waste(words: YearWords) -> str:
    return WASTE(spans=spans_text(words.waste)) if words.waste else ""


def _pays(words: YearWords) -> str:
    return "" if words.pays_from is None else PAYS(pays=words.pays_from)


@dataclass(frozen=True)
class MovedWords:
    """What there is to say of plants moved in grown."""

    sow: date
    move: date
    last: date
    check_d: int
    weekly_g_m2: float
    plants_count: float | None


def moved_sentence(words: MovedWords) -> Text:
    """Say when to sow outdoors and to move in, and what that gives."""
    plants = "" if words.plants_count is None else MOVED_PLANTS(plants=max(words.plants_count, 1.0))
    return MOVED(
        sow=words.sow, move=words.move, check=words.check_d, weekly=words.weekly_g_m2, last=words.last, plants=plants
    )


@dataclass(frozen=True)
class TrayWords:
    """What there is to say of trays in one place; days of the weeks that suit."""

    low_d: int
    high_d: int
    kept_low_count: int
    kept_high_count: int
    spans: tuple[tuple[date, date], ...]
    whole_year: bool


def tray_sentence(words: TrayWords | None) -> Text:
    """Say how long trays take, how many to keep going, and when."""
    if words is None:
        return NO_TRAYS()
    said = {"days": days_text(words.low_d, words.high_d), "kept": _kept(words)}
    return TRAYS_ALL_YEAR(**said) if words.whole_year else TRAYS(spans=spans_text(words.spans), **said)


def tray_route_sentence(where: str, words: TrayWords | None) -> Text:
    """Say what trays do in the nursery all year; None where it is too cold for them in part of it."""
    place = f"{where[:1].upper()}{where[1:]}"
    if words is None:
        return NO_TRAYS_THERE(where=place)
    return TRAYS_THERE(where=place, days=days_text(words.low_d, words.high_d), kept=_kept(words))


def _kept(words: TrayWords) -> Text:
    low, high = words.kept_low_count, words.kept_high_count
    return COUNT_ONE(low=low) if low == high else COUNT_RANGE(low=low, high=high)


def flag_sentences(found: Sequence[tuple[str, tuple[tuple[date, date], ...]]], weeks_count: int) -> tuple[Text, ...]:
    """Say of each threat which weeks' sowings it meets; ``weeks_count`` is the length of the year in weeks.

    Parameters: found, by threat (a key of THREATS), the first and last day of each stretch of weeks.
    """
    return tuple(THREATS[flag](sown=_sown(spans, weeks_count)) for flag, spans in found if spans)


def _sown(spans: Sequence[tuple[date, date]], weeks_count: int) -> Text:
    if sum((last - first).days // WEEK_D + 1 for first, last in spans) >= weeks_count:
        return SOWN_ANY_WEEK()
    return SOWN(spans=spans_text(spans))


@dataclass(frozen=True)
class RouteWords:
    """What raising a crop elsewhere gives."""

    where: str
    """The place as it is said: "on the sill"."""
    sow_by: date | None
    set_out_by: date | None
    bed_free_d: int | None
    pays_from: date | None
    set_out_from: date | None
    drawn: bool


def route_sentence(words: RouteWords) -> Text:
    """Say when to sow in the nursery and set out, for winter and for spring."""
    parts: list[Text] = []
    if words.sow_by is not None and words.set_out_by is not None:
        longer = words.bed_free_d is not None and words.bed_free_d > 0
        free = BED_FREE(days=words.bed_free_d) if longer else ""
        parts.append(ROUTE_WINTER(where=words.where, sow=words.sow_by, out=words.set_out_by, free=free))
    if words.pays_from is not None and words.set_out_from is not None:
        parts.append(ROUTE_SPRING(sow=words.pays_from, out=words.set_out_from))
    if not parts:
        return ROUTE_NONE(where=words.where)
    return joined([*parts, ROUTE_DRAWN() if words.drawn else ""])


def raising_sentence(where: str, set_out: date, ready: Text, sooner_d: int | None) -> Text:
    """Say what raising elsewhere does for a sowing now.

    Parameters: where, as "on the sill"; ready, when it is ready (:func:`tenhour.words.sowing.ready_text`); sooner_d,
    days gained, None where a sowing on the bed never comes in.
    """
    gain = GAIN_ALL() if sooner_d is None else GAIN_DAYS(days=sooner_d)
    return RAISED(where=where, out=set_out, ready=ready, gain=gain)


def plants_there(where: str, ready: Text, sooner_d: int | None) -> Text:
    """Say what raising elsewhere does for plants that leave the house.

    Parameters: where, as "on the sill"; ready, when they are ready; sooner_d, days gained, None where never on the bed.
    """
    gain = GAIN_PLANTS() if sooner_d is None else GAIN_DAYS(days=sooner_d)
    return RAISED_PLANTS(where=where, ready=ready, gain=gain)


def tray_sentence_there(where: str, ready: Text, sooner_d: int | None, *, stays: bool) -> Text:
    """Say what sprouting a tray in the warm does.

    Parameters: where, as "in a warm room"; ready, when it is ready; sooner_d, days gained, None where the bed never
    brings it in; stays, whether it stands there to the end.
    """
    gain = GAIN_ALL() if sooner_d is None else GAIN_DAYS(days=sooner_d)
    return (KEPT_THERE if stays else SPROUTED)(where=where, ready=ready, gain=gain)


def plants_sentence(spans: Sequence[tuple[date, date]], days: Sequence[int], whole_year: bool) -> Text:
    """Say when plants for setting out are sown and how long they take; no days: never.

    Parameters: spans, first and last day of each run of weeks; days, from sowing to setting out; whole_year, whether
    any week will do.
    """
    if not days:
        return NO_PLANTS()
    when = IN_ANY_WEEK() if whole_year else spans_text(spans)
    return PLANTS_READY(when=when, days=days_text(min(days), max(days)))
