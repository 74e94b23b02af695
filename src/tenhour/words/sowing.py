"""The one sentence of a sowing's verdict: a date, a number, and what would mend it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Final

from tenhour.words.text import Sentence, Text, joined

LAMP_HOURS_H: Final = 14.0
"""Lamp hours quoted beside missing light; 14-16 h is the usual seedling day (lamps-and-heat 1.4): common practice."""
STURDIER_SCORE: Final = 45.0
"""Stretch of a sowing today from which waiting also gives sturdier seedlings (growth-and-stretch 8.2)."""
LITTLE_WON_RATIO: Final = 2.0
"""Waiting wins little where at least half the days waited are lost to the harvest, as in the sowing that pays."""
DEAR_WAIT_D: Final = 21.0
"""A wait that costs more harvest than this is told as dear, where calm verdicts keep it a wait: by definition."""
UMOL_PER_MOL: Final = 1e6
SECONDS_PER_H: Final = 3600.0


@dataclass(frozen=True)
class Facts:
    """Everything a sentence may quote; None where unknown or never."""

    name: str
    way: str
    harvest_from: date | None = None
    harvest_to: date | None = None
    days_median: int | None = None
    best_days: int | None = None
    """Days it would take in good light."""
    missing_dli_mol_m2_d: float = 0.0
    stretch_score: float | None = None
    pays_from: date | None = None
    sow_by: date | None = None
    later_d: float | None = None
    coldest_night_degc: float = float("nan")
    limit_degc: float = float("nan")
    hardened_degc: float | None = None
    tender_degc: float | None = None
    """What it stands, hardened and not; None for warm crops, which are chilled long before they freeze."""
    young_from: date | None = None
    young_to: date | None = None
    wait_d: int | None = None
    """Days from the sowing asked for to the one that pays."""
    again_from: date | None = None
    """Where it is too warm or too cold for the seed to come up: the next sowing that does."""
    seed_max_degc: float | None = None
    """Daily mean above which the seed does not come up; given where it is that which fails."""
    most_degc: float | None = None
    """Daily mean above which the crop itself is too hot."""
    hot: bool = False
    """Whether a sowing now is too hot for too much of its days, or its seed lies too warm."""
    harmed: bool = False
    """Whether a cold night ends it before it is ready at full size."""
    in_season: bool = True
    """Whether it is sown at all at this time of the year."""
    flowers: bool = False
    """Whether a sowing now runs to flower before it is ready."""
    where: str = ""
    """Where it would be raised, as it is said: "on the sill"."""
    set_out: date | None = None
    """When plants raised there from a sowing now are set out."""


BETWEEN = Sentence("ready between {first:date} and {last:date}")
FROM_ONLY = Sentence("ready from {first:date}, in a dull season not within a year")
NEVER_READY = Sentence("not ready within a year")

SOW = Sentence("Sow now: {ready}.")
SLOW = Sentence("Slow: {ready}.")
SLOW_DAYS = Sentence("Slow: {ready}, after about {days:days}.")
SLOW_AGAINST = Sentence("Slow: {ready}, after about {days:days} where good light would take {best:days bare}.")
NEEDS_LAMPS = Sentence(
    "Needs lamps: {missing:mol} of light a day are missing in the first weeks, that is {hours:hours 0} of lamps at "
    "{flux:ppfd}"
)
UNTIL_PAYS = Sentence("; without more light sow from {pays:date}")
WAIT_FLOWERS = Sentence("Wait until {again:date}: sown now it runs to flower before it is ready.")
NEVER_FLOWERS = Sentence("Do not sow now: it runs to flower before it is ready.")
NOT_YET = Sentence("Not now: sown today it comes to nothing without more light or warmth.")
WAIT_SEASON = Sentence("Wait until {again:date}: it is a type that is sown to live through the winter.")
NO_SEASON = Sentence("Not now: it is a type that is sown in autumn to live through the winter.")
WAIT_NOTHING = Sentence("Wait until {pays:date}: sown today it comes to nothing without more light.")
WAIT_LITTLE = Sentence("Slow now, but waiting wins little: sown on {pays:date} it is ready {later:days} later{why}.")
WAIT_LATER = Sentence("Wait until {pays:date} and harvest only {later:days} later than from a sowing today{why}.")
WAIT_DEAR = Sentence("Sow today or not before {pays:date}: from then it is ready {later:days} later{why}.")
WAIT_SAME = Sentence("Wait until {pays:date} and harvest no later than from a sowing today{why}.")
STURDIER = Sentence(", with sturdier seedlings")
CUT_YOUNG = Sentence("Full size only from {full:date}: sow thickly and cut it young{when}.")
ONLY_YOUNG = Sentence("Full size never comes from this sowing: sow thickly and cut it young{when}.")
YOUNG_BEFORE_FROST = Sentence("Cold nights end it before it is full size: sow thickly and cut it young{when}.")
YOUNG_BETWEEN = Sentence(" between {first:date} and {last:date}")
YOUNG_FROM = Sentence(" from {first:date}")
SET_OUT_GROWN = Sentence(
    "Too late to sow for this winter: plants that feed you now were sown by {by:date}. Next time sow by then and pick "
    "through the dark."
)
SET_OUT_UNDATED = Sentence("Too late to sow for this winter: only plants that stand grown by now are picked.")
STAND_SMALL = Sentence("Sow now to stand small through the dark: {ready}{sooner}.")
SOONER_THAN_SPRING = Sentence(", about {days:days} before a sowing in spring")
RAISE = Sentence("Sow it {where} now and set it out about {out:date}: {ready}.")
RAISE_UNDATED = Sentence("Raise it {where} first: sown on the bed now it comes to nothing.")
TOO_HOT_AIR = Sentence("Too hot: for weeks its days would be above {limit:temp} on average.")
TOO_HOT = Sentence("Too hot: the seed fails above about {limit:temp} on average.")
SOW_AGAIN = Sentence("Sow from {again:date}, or start it somewhere cooler.")
START_COOLER = Sentence("Start it somewhere cooler.")
SHADE = Sentence("Shade and open vents cool it, lamps do not help.")
NOT_HERE_HOT = Sentence(
    "Not in this house as it is: it is too hot for it in summer and nothing comes of the other sowings. Shade and open "
    "vents are the cure for heat, not lamps."
)
TOO_COLD_SEED = Sentence("Too cold to come up: at nights of about {coldest:temp} the seed lies for weeks and may rot.")
TOO_COLD_NIGHT = Sentence(
    "Too cold at night: expect about {coldest:temp} before it is ready; below {limit:temp} it is harmed."
)
TOO_COLD_ANY = Sentence(
    "Too cold at night: expect about {coldest:temp} before it is ready. It stands about {hardened:temp}."
)
TOO_COLD_KILLS = Sentence(
    "Too cold at night: expect about {coldest:temp} before it is ready. It stands about {hardened:temp} if hardened, "
    "about {tender:temp} if not."
)
SOW_WARMER = Sentence("Sow from {again:date}, or start it in the warm.")
START_WARMER = Sentence("Start it in the warm, or not here.")
KEEP_WARMER = Sentence("Sow from {again:date}, or keep its nights above {limit:temp}.")
HOLD_NIGHTS = Sentence("It needs nights kept above {limit:temp}.")
NOT_HERE = Sentence("Not in this house: no sowing of the year comes to a harvest here without more light or warmth.")


def ready_text(first: date | None, last: date | None) -> Text:
    """Say when a crop is ready; None means never."""
    if first is None:
        return NEVER_READY()
    return FROM_ONLY(first=first) if last is None else BETWEEN(first=first, last=last)


def sentence(verdict: str, facts: Facts) -> Text:
    """Write the one sentence of a verdict."""
    return _SENTENCES[verdict](facts)


def told_from(verdict: str, facts: Facts) -> date | None:
    """The day from which the sentence of a verdict says to sow; None where it names none."""
    if verdict == "too-hot" or (verdict == "wait" and (facts.flowers or not facts.in_season)):
        return facts.again_from
    if verdict == "too-cold":
        return facts.again_from or facts.pays_from
    if verdict == "wait" and facts.later_d is None:
        return facts.pays_from or facts.again_from
    return facts.pays_from


def _ready(facts: Facts) -> Text:
    return ready_text(facts.harvest_from, facts.harvest_to)


def _slow(facts: Facts) -> Text:
    if not facts.days_median:
        return SLOW(ready=_ready(facts))
    if not facts.best_days:
        return SLOW_DAYS(ready=_ready(facts), days=facts.days_median)
    return SLOW_AGAINST(ready=_ready(facts), days=facts.days_median, best=facts.best_days)


def _needs_lamps(facts: Facts) -> Text:
    missing = facts.missing_dli_mol_m2_d
    flux = missing * UMOL_PER_MOL / (LAMP_HOURS_H * SECONDS_PER_H)
    tail = UNTIL_PAYS(pays=facts.pays_from) if facts.pays_from else ""
    return joined([NEEDS_LAMPS(missing=missing, hours=LAMP_HOURS_H, flux=flux), tail, "."], "")


def _wait(facts: Facts) -> Text:
    if not facts.in_season:
        return NO_SEASON() if facts.again_from is None else WAIT_SEASON(again=facts.again_from)
    if facts.flowers:
        return NEVER_FLOWERS() if facts.again_from is None else WAIT_FLOWERS(again=facts.again_from)
    if facts.later_d is None:
        until = told_from("wait", facts)
        return NOT_YET() if until is None else WAIT_NOTHING(pays=until)
    why = STURDIER() if (facts.stretch_score or 0.0) >= STURDIER_SCORE else ""
    if facts.wait_d is not None and facts.later_d * LITTLE_WON_RATIO >= facts.wait_d > 0:
        return WAIT_LITTLE(pays=facts.pays_from, later=facts.later_d, why=why)
    if facts.later_d > DEAR_WAIT_D:
        return WAIT_DEAR(pays=facts.pays_from, later=facts.later_d, why=why)
    if round(facts.later_d) > 0:
        return WAIT_LATER(pays=facts.pays_from, later=facts.later_d, why=why)
    return WAIT_SAME(pays=facts.pays_from, why=why)


def _cut_young(facts: Facts) -> Text:
    when: Text | str = ""
    if facts.young_from is not None:
        when = YOUNG_FROM(first=facts.young_from)
        if facts.young_to is not None:
            when = YOUNG_BETWEEN(first=facts.young_from, last=facts.young_to)
    if facts.harmed:
        return YOUNG_BEFORE_FROST(when=when)
    return ONLY_YOUNG(when=when) if facts.harvest_from is None else CUT_YOUNG(full=facts.harvest_from, when=when)


def _stand_small(facts: Facts) -> Text:
    gain = facts.later_d
    return STAND_SMALL(ready=_ready(facts), sooner="" if gain is None else SOONER_THAN_SPRING(days=gain))


def _set_out_grown(facts: Facts) -> Text:
    return SET_OUT_UNDATED() if facts.sow_by is None else SET_OUT_GROWN(by=facts.sow_by)


def _raise(facts: Facts) -> Text:
    where = facts.where or "in the warm"
    if facts.set_out is None:
        return RAISE_UNDATED(where=where)
    return RAISE(where=where, out=facts.set_out, ready=_ready(facts))


def _too_hot(facts: Facts) -> Text:
    cure = START_COOLER() if facts.again_from is None else SOW_AGAIN(again=facts.again_from)
    hot = TOO_HOT_AIR(limit=facts.most_degc) if facts.seed_max_degc is None else TOO_HOT(limit=facts.seed_max_degc)
    return joined([hot, cure, SHADE() if facts.seed_max_degc is None else ""])


def _too_cold(facts: Facts) -> Text:
    coldest, limit, again = facts.coldest_night_degc, facts.limit_degc, told_from("too-cold", facts)
    if limit != limit:
        cure = START_WARMER() if again is None else SOW_WARMER(again=again)
        return joined([TOO_COLD_SEED(coldest=coldest), cure])
    cure = HOLD_NIGHTS(limit=limit) if again is None else KEEP_WARMER(again=again, limit=limit)
    if facts.hardened_degc is None:
        return joined([TOO_COLD_NIGHT(coldest=coldest, limit=limit), cure])
    both = TOO_COLD_ANY if facts.hardened_degc == facts.tender_degc else TOO_COLD_KILLS
    cold = both(coldest=coldest, hardened=facts.hardened_degc, tender=facts.tender_degc)
    return joined([cold, cure])


_SENTENCES: dict[str, Callable[[Facts], Text]] = {
    "not-here": lambda facts: NOT_HERE_HOT() if facts.hot else NOT_HERE(),
    "too-hot": _too_hot,
    "raise": _raise,
    "too-cold": _too_cold,
    "stand-small": _stand_small,
    "set-out-grown": _set_out_grown,
    "cut-young": _cut_young,
    "needs-lamps": _needs_lamps,
    "wait": _wait,
    "slow": _slow,
    "sow": lambda facts: SOW(ready=_ready(facts)),
}
VERDICTS: Final = tuple(_SENTENCES)
"""All verdicts, in the order in which they apply."""
