"""Sentences about a year of one crop on one bed; dates are ISO, for the report writes them in the reader's style."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from tenhour.model.season import SowFlag
from tenhour.plan.sentences import span_text

MOST_SPANS: Final = 3
"""Stretches of weeks named one by one before only the first and last are."""
FLAG_WORDS: Final[dict[SowFlag, str]] = {
    "killed": "a night kills it before it is ready",
    "chilled": "nights chill it before it is ready",
    "bolts": "it runs to flower before it is ready",
    "bulbs": "the days grow so long that it bulbs",
    "hot": "it is too warm for good quality",
    "starves": "the light does not keep it alive",
}
SEED_TOO_WARM: Final = "the seed lies too warm to come up: sow it cooler"


def short_name(name: str) -> str:
    """The name of a crop as it is said within a sentence.

    >>> short_name("kale, grown plants for picking"), short_name("kale, cut young")
    ('kale', 'young kale')
    """
    plain = name.split(",")[0].split(" forced ")[0].strip()
    return f"young {plain}" if ", cut young" in name else plain


def span_words(first: date, last: date) -> str:
    """A stretch of days: "2026-09-01 to 2026-10-05"."""
    return first.isoformat() if first == last else f"{first.isoformat()} to {last.isoformat()}"


def number_words(low: float, high: float, unit: str) -> str:
    """One number or a range: "60-120 g"."""
    a, b = f"{low:.0f}", f"{high:.0f}"
    return f"{a} {unit}" if a == b else f"{a}-{b} {unit}"


@dataclass(frozen=True)
class YearWords:
    """Everything the sentence of a crop's year may say; None or empty where it does not apply."""

    way: str
    always: bool = False
    """Whether no week of the year is slow: there is no dark to beat."""
    sow_from: date | None = None
    sow_by: date | None = None
    sow_by_sure: date | None = None
    stands_from: date | None = None
    stands_to: date | None = None
    picking_dark: tuple[float, ...] = ()
    """g per m² and week, of the weeks of the dark in which a stand is picked."""
    picking_most_g_m2_week: float | None = None
    """The most in any week of the year."""
    plants_per_meal_count: float | None = None
    waste: tuple[tuple[date, date], ...] = ()
    dearest: date | None = None
    dearest_cost_d: float | None = None
    pays_from: date | None = None

    @property
    def missed(self) -> bool:
        """Whether the next sowing for winter comes after the winter shown."""
        return self.sow_by is not None and self.stands_from is not None and self.sow_by > self.stands_from


def year_sentence(words: YearWords) -> str:
    """Say when to sow a crop for winter, what it then gives, when sowing is a waste, and when it pays again."""
    if words.always:
        return "No dark to beat here: no week of the year is slow."
    parts = [part(words) for part in (_winter, _gives, _wait, _waste, _pays)]
    text = " ".join(part for part in parts if part)
    return text or "No sowing for winter here, and none that pays in the year ahead without more light or warmth."


def _winter(words: YearWords) -> str:
    if words.sow_by is None:
        return ""
    when = f"by {words.sow_by.isoformat()}"
    if words.sow_from is not None and words.sow_from < words.sow_by:
        when = f"from {words.sow_from.isoformat()} to {words.sow_by.isoformat()}"
    held = ""
    if words.stands_from is not None and words.stands_to is not None and words.way not in ("pick", "cut"):
        held = f"stands grown on {words.stands_from.isoformat()} and keeps to about {words.stands_to.isoformat()}"
    if words.missed:
        text = f"What was sown in time {held}. " if held else ""
        return f"{text}Too late now for the winter ahead; for the one after it sow {when}{_sure(words)}."
    return f"For winter sow {when}{_sure(words)}{': it ' + held if held else ''}."


def _sure(words: YearWords) -> str:
    """The date that is sure, where it lies within the window."""
    sure, first, last = words.sow_by_sure, words.sow_from, words.sow_by
    if sure is None or first is None or last is None or not first <= sure < last:
        return ""
    return f" (by {sure.isoformat()} to be sure in nine seasons of ten)"


def _gives(words: YearWords) -> str:
    if not words.picking_dark or words.stands_from is None:
        return ""
    how = "cut a share of it each week" if words.way == "cut" else "pick it week by week"
    dark = number_words(min(words.picking_dark), max(words.picking_dark), "g per m² and week")
    text = f"From plants that stand grown on {words.stands_from.isoformat()} {how}: some {dark} through the dark"
    if words.picking_most_g_m2_week is not None and words.picking_most_g_m2_week > max(words.picking_dark):
        text += f", up to {words.picking_most_g_m2_week:.0f} g per m² later"
    if words.stands_to is not None:
        text += f", to {words.stands_to.isoformat()}"
    if words.plants_per_meal_count is not None and words.way == "pick":
        text += f"; {max(words.plants_per_meal_count, 1.0):.0f} plants give a serving a week in the leanest month"
    return text + "."


def _wait(words: YearWords) -> str:
    if words.dearest is None or words.dearest_cost_d is None:
        return ""
    return (
        f"Each week counts most about {words.dearest.isoformat()}: sown a week later it is ready "
        f"{words.dearest_cost_d:.0f} days later."
    )


def _waste(words: YearWords) -> str:
    if not words.waste:
        return ""
    spans = " and ".join(span_words(first, last) for first, last in words.waste[:MOST_SPANS])
    return f"Sowing is a waste {spans}: waiting costs little or nothing."


def _pays(words: YearWords) -> str:
    return "" if words.pays_from is None else f"Sowing without lamps pays again from {words.pays_from.isoformat()}."


@dataclass(frozen=True)
class TrayWords:
    """What there is to say of trays in one place; days of the weeks that suit."""

    low_d: int
    high_d: int
    kept_low_count: int
    kept_high_count: int
    spans: tuple[tuple[date, date], ...]
    whole_year: bool


def tray_sentence(words: TrayWords | None) -> str:
    """Say how long trays take, how many to keep going, and when."""
    if words is None:
        return "Too cold for trays: they would take more than a month in any week."
    when = "All year" if words.whole_year else " and ".join(span_words(*span) for span in words.spans[:MOST_SPANS])
    kept = (
        f"{words.kept_low_count}"
        if words.kept_low_count == words.kept_high_count
        else (f"{words.kept_low_count}-{words.kept_high_count}")
    )
    return (
        f"{when} a tray takes {number_words(words.low_d, words.high_d, 'days')}, by warmth and not by light; "
        f"for one a week keep {kept} going."
    )


def flag_sentences(found: Sequence[tuple[SowFlag, tuple[tuple[date, date], ...]]], weeks_count: int) -> tuple[str, ...]:
    """Say of each threat which weeks' sowings it meets; ``weeks_count`` is the length of the year in weeks."""
    said = (sown_sentence(spans, FLAG_WORDS[flag], weeks_count) for flag, spans in found)
    return tuple(text for text in said if text)


def sown_sentence(spans: Sequence[tuple[date, date]], what: str, weeks_count: int) -> str:
    """Say what becomes of the sowings of some weeks; empty without any.

    Parameters: spans, first and last day of each stretch of weeks; what happens; weeks_count, length of the year.
    """
    if not spans:
        return ""
    if sum((last - first).days // 7 + 1 for first, last in spans) >= weeks_count:
        return f"Sown in any week {what}."
    named = spans if len(spans) <= MOST_SPANS else (spans[0], spans[-1])
    return f"Sown {' and '.join(span_words(*span) for span in named)} {what}."


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


def route_sentence(words: RouteWords) -> str:
    """Say when to sow in the nursery and set out, for winter and for spring."""
    parts = []
    if words.sow_by is not None and words.set_out_by is not None:
        text = f"Raised {words.where}: sow by {words.sow_by.isoformat()}, "
        text += f"set out by {words.set_out_by.isoformat()}"
        if words.bed_free_d is not None and words.bed_free_d > 0:
            text += f", which leaves the bed free {words.bed_free_d} days longer"
        parts.append(f"{text}.")
    if words.pays_from is not None and words.set_out_from is not None:
        parts.append(
            f"After the dark: sow there from {words.pays_from.isoformat()}, "
            f"set out from {words.set_out_from.isoformat()}."
        )
    if not parts:
        return f"Raising it {words.where} does not bring it in either."
    if words.drawn:
        parts.append("Seedlings would be drawn there: give them more light or less warmth.")
    return " ".join(parts)


def raising_sentence(
    where: str, set_out: str, harvest_from: date | None, harvest_to: date | None, sooner_d: int | None
) -> str:
    """Say what raising elsewhere does for a sowing now; ``where`` as "on the sill", ``set_out`` a date in words.

    sooner_d: days gained, None where a sowing on the bed never comes in.
    """
    gain = "while sown on the bed it never comes in" if sooner_d is None else f"{sooner_d} days sooner"
    return (
        f"Raised {where} and set out about {set_out} it is ready between {span_text(harvest_from, harvest_to)}, {gain}."
    )
