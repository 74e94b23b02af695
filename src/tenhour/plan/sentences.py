"""One sentence a grower can act on, for each verdict."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Final

from tenhour.model.results import Verdict
from tenhour.units import ppfd_from_dli

LAMP_HOURS_H = 14.0
"""Lamp hours quoted beside missing light; 14-16 h is the usual seedling day (lamps-and-heat 1.4): common practice."""
MONTH_NAMES = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
LITTLE_WON_RATIO: Final = 2.0
"""Waiting wins little where at least half the days waited are lost to the harvest, as in the sowing that pays."""


@dataclass(frozen=True)
class Facts:
    """Everything a sentence may quote; None where unknown or never."""

    name: str
    way: str
    harvest_from: date | None
    harvest_to: date | None
    days_median: int | None
    best_days: int | None
    missing_dli_mol_m2_d: float
    stretch_score: float | None
    pays_from: date | None
    sow_by: date | None
    later_d: float | None
    coldest_night_degc: float
    limit_degc: float
    young_from: date | None = None
    young_to: date | None = None
    wait_d: int | None = None
    """Days from the sowing asked for to the one that pays."""
    again_from: date | None = None
    """Where it is too warm for the seed to come up: the next sowing that does."""
    seed_max_degc: float | None = None
    """Daily mean above which the seed does not come up."""


def day_text(on: date | None) -> str:
    """Write a date as people say it: 5 Mar 2027."""
    return "never" if on is None else f"{on.day} {MONTH_NAMES[on.month - 1]} {on.year}"


def span_text(first: date | None, last: date | None) -> str:
    """Write a span of dates, the year once."""
    if first is None or last is None:
        return f"{day_text(first)} and some day beyond the year"
    if first.year == last.year:
        return f"{first.day} {MONTH_NAMES[first.month - 1]} and {day_text(last)}"
    return f"{day_text(first)} and {day_text(last)}"


def _days_text(days: float) -> str:
    whole = round(days)
    return "1 day" if whole == 1 else f"{whole} days"


def _lamp_text(missing_dli_mol_m2_d: float) -> str:
    ppfd = float(ppfd_from_dli(missing_dli_mol_m2_d, LAMP_HOURS_H))
    return (
        f"{missing_dli_mol_m2_d:.1f} mol m⁻² a day are missing in the first weeks, "
        f"that is {LAMP_HOURS_H:.0f} h of lamps at {ppfd:.0f} µmol m⁻² s⁻¹"
    )


def _sow(facts: Facts) -> str:
    return f"Sow now: ready between {span_text(facts.harvest_from, facts.harvest_to)}."


def _slow(facts: Facts) -> str:
    against = f" against {facts.best_days} in the best month" if facts.best_days else ""
    days = f"; about {facts.days_median} days{against}" if facts.days_median else ""
    return f"Slow: ready between {span_text(facts.harvest_from, facts.harvest_to)}{days}."


def _needs_lamps(facts: Facts) -> str:
    tail = f"; without lamps sowing pays again from {day_text(facts.pays_from)}" if facts.pays_from else ""
    return f"Needs lamps: {_lamp_text(facts.missing_dli_mol_m2_d)}{tail}."


def _wait(facts: Facts) -> str:
    if facts.again_from is not None:
        return (
            f"Wait until about {day_text(facts.again_from)}: now it is too warm for the seed, "
            f"which fails above about {facts.seed_max_degc:.0f} °C on average."
        )
    if facts.later_d is None:
        return f"Wait until {day_text(facts.pays_from)}: sown today it comes to nothing without lamps."
    why = ", with sturdier seedlings" if (facts.stretch_score or 0.0) >= 45.0 else ""
    if facts.wait_d is not None and facts.later_d * LITTLE_WON_RATIO >= facts.wait_d > 0:
        later = _days_text(facts.later_d)
        return f"Slow now, but waiting wins little: sown on {day_text(facts.pays_from)} it is ready {later} later{why}."
    later = f"only {_days_text(facts.later_d)}" if facts.later_d > 0.0 else "not a day"
    gain = f"and harvest {later} later"
    return f"Wait until {day_text(facts.pays_from)} {gain} than from a sowing today{why}."


def _cut_young(facts: Facts) -> str:
    full = "Full size never comes from this sowing"
    if facts.harvest_from is not None:
        full = f"Full size only from {day_text(facts.harvest_from)}"
    return f"{full}: sow thickly and cut it young between {span_text(facts.young_from, facts.young_to)}."


def _set_out(facts: Facts) -> str:
    return (
        "Should be standing by now: next time sow by "
        f"{day_text(facts.sow_by)} and pick from grown plants through the dark."
    )


def _too_cold(facts: Facts) -> str:
    if facts.limit_degc != facts.limit_degc:
        return f"Too cold to come up: nights of about {facts.coldest_night_degc:.0f} °C leave the seed lying for weeks."
    return (
        f"Too cold at night: about {facts.coldest_night_degc:.0f} °C must be expected, "
        f"and this crop is harmed below {facts.limit_degc:.0f} °C."
    )


def _not_here(facts: Facts) -> str:
    return "Not in this house: no sowing of the year comes to a harvest here without more light or warmth."


_SENTENCES: dict[Verdict, Callable[[Facts], str]] = {
    "sow": _sow,
    "slow": _slow,
    "needs-lamps": _needs_lamps,
    "wait": _wait,
    "cut-young": _cut_young,
    "set-out-grown": _set_out,
    "too-cold": _too_cold,
    "not-here": _not_here,
}


def sentence(verdict: Verdict, facts: Facts) -> str:
    """Write the one sentence of a verdict."""
    return _SENTENCES[verdict](facts)
