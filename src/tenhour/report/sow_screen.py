"""The short answer to a sowing: what to do today, what not yet, what is too late, and what to watch."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from tenhour.model.results import BedSowing, CropVerdict, SowAnswer
from tenhour.report.common import brief_basis
from tenhour.report.terminal import bold, fit, heading, wrap
from tenhour.words import screen
from tenhour.words.style import Style
from tenhour.words.text import joined, listed, written

INDENT: Final = "  "
NAME_COLUMNS: Final = 20
MOST_NOW: Final = 6
MOST_TRAYS: Final = 2
"""Trays ask for one sowing a week, so that two kinds of them are enough for a list of six: judgement."""
MOST_LATER_LINES: Final = 4
MOST_DIARY_LINES: Final = 3
MOST_DIARY: Final = 9
MOST_WATCH_LINES: Final = 5
LONG_D: Final = 150
"""A sowing ready later than this is no answer to what to eat this winter: judgement."""
SOON_D: Final = 60
"""A day to sow by that is nearer than this is not yet too late: judgement."""
COLD_NAMED: Final = 3
LATE: Final = ("set-out-grown", "too-cold", "needs-lamps", "wait", "slow")


@dataclass(frozen=True)
class Doing:
    """One crop to sow today, where, and what comes of it."""

    crop: CropVerdict
    on: date
    last: date | None
    """Last day on which it is ready, in eight seasons of ten."""
    text: str

    @property
    def meals_count(self) -> float:
        """Servings from a square metre and week."""
        return self.crop.meals_m2_week_count or 0.0

    @property
    def is_tray(self) -> bool:
        """Whether it is cut from a tray, which needs no bed."""
        return self.crop.crop.endswith(("microgreens", "shoots"))


def screen_lines(answer: SowAnswer, width: int, style: Style) -> list[str]:
    """The answer in a screen of 80 columns and at most 30 lines, closing remarks included."""
    doing = _doing(answer)
    done = {one.crop.crop for one in doing}
    now = _chosen(doing)
    later = _later(answer, done)
    title = screen.TITLE(on=answer.on, place=f", {answer.place}" if answer.place else "")
    lines = heading(written(title, style), "", width)
    lines += wrap(written(_beds_text(answer), style), width)
    lines += [bold("Do now"), *_now_lines(now, answer, later, width, style)]
    if later:
        lines += [bold("Not yet; first day that is worth it"), *_dated(later, MOST_LATER_LINES, width, style)]
    diary = _diary(answer, done)
    if diary:
        lines.append(bold("Too late for this winter; in your diary, to sow by"))
        lines += _dated(diary, MOST_DIARY_LINES, width, style)
    watch = _watch_lines(answer, now, width, style)
    if watch:
        lines += [bold("Watch"), *watch]
    named = [one.crop.crop for one in now] or [crop.crop for _, crop in _each(answer)] or ["spinach"]
    lines += wrap(written(screen.FURTHER(crop=named[0], bed=answer.beds[0].name), style), width)
    return lines + brief_basis(answer.basis, width, style, answer.calibration)


def _beds_text(answer: SowAnswer) -> str:
    lit = [(bed.dli_mol_m2_d, bed.name) for bed in answer.beds if bed.dli_mol_m2_d is not None]
    text: list[str] = []
    if lit:
        (most, best), (least, dimmest) = max(lit), min(lit)
        text.append(screen.BEST(bed=best, light=most))
        if len(lit) > 1:
            text.append(screen.DIMMEST(bed=dimmest, light=least))
        text.append(".")
    cold = [(bed.cold_night_degc, bed.name) for bed in answer.beds if bed.cold_night_degc is not None]
    if cold:
        night, bed = min(cold)
        text.append(screen.COLDEST(night=night, bed=bed))
    return joined(text, "")


def _each(answer: SowAnswer) -> Iterable[tuple[BedSowing, CropVerdict]]:
    return ((bed, crop) for bed in answer.beds for crop in bed.crops if crop.wanted)


def _doing(answer: SowAnswer) -> list[Doing]:
    """What can be sown today, each crop on its best bed, most servings first."""
    best: dict[str, Doing] = {}
    for bed, crop in _each(answer):
        what = _what(answer, bed, crop)
        if what is None:
            continue
        one = Doing(crop, answer.on, *what)
        kept = best.get(crop.crop)
        if kept is None or _rank(one) < _rank(kept):
            best[crop.crop] = one
    return sorted(best.values(), key=_rank)


def _rank(one: Doing) -> tuple[int, float, str]:
    """Full crops first, then young leaf, slow ones, and those that hold a bed far into the next season."""
    crop = one.crop
    tier = {"cut-young": 1, "slow": 2}.get(crop.verdict, 0)
    if one.last is None or (one.last - one.on).days > LONG_D:
        tier = 3
    return tier, -one.meals_count, crop.crop


def _what(answer: SowAnswer, bed: BedSowing, crop: CropVerdict) -> tuple[date | None, str] | None:
    """Last day of harvest and what to do with a crop today; raising elsewhere comes before waiting."""
    raising, first, last = crop.raising, crop.harvest_from, crop.harvest_to
    if crop.verdict == "raise" and crop.set_out is not None:
        when = _ready(first, last)
        return last, screen.RAISE_ON(where=answer.where, bed=bed.name, out=crop.set_out, ready=when)
    if crop.verdict not in ("sow", "stand-small") and raising is not None and raising.harvest_to is not None:
        when = _ready(raising.harvest_from, raising.harvest_to)
        where = answer.where or raising.nursery
        return raising.harvest_to, screen.RAISE_ON(where=where, bed=bed.name, out=raising.set_out, ready=when)
    if crop.verdict == "cut-young" and crop.young_from is not None and crop.young_to is not None:
        young = screen.RANGE(first=crop.young_from, last=crop.young_to)
        return crop.young_to, screen.YOUNG_ON(bed=bed.name, ready=young)
    if crop.verdict in ("sow", "stand-small") and first is not None:
        return last, screen.SOW_ON(bed=bed.name, ready=_ready(first, last))
    if crop.verdict == "slow" and last is not None and crop.next_from is None:
        return last, screen.SLOW_ON(bed=bed.name, ready=_ready(first, last))
    return None


def _ready(first: date | None, last: date | None) -> str:
    if first is None:
        return ""
    return screen.READY(when=screen.FROM(first=first) if last is None else screen.RANGE(first=first, last=last))


def _chosen(doing: Sequence[Doing]) -> list[Doing]:
    """The best few, of which only some are trays; more trays only where there is room."""
    trays = [one for one in doing if one.is_tray]
    others = [one for one in doing if not one.is_tray]
    kept = trays[: max(MOST_TRAYS, MOST_NOW - len(others))] + others
    return kept[:MOST_NOW]


def _now_lines(
    now: Sequence[Doing], answer: SowAnswer, later: Sequence[tuple[date, str]], width: int, style: Style
) -> list[str]:
    if not now:
        return _nothing_lines(answer, later, width, style)
    lines = []
    for one in now:
        name = INDENT + fit(_name(one.crop), NAME_COLUMNS)
        text = wrap(written(one.text, style), width - NAME_COLUMNS - 2 * len(INDENT))
        lines.append(f"{name}{INDENT}{text[0]}")
        lines += [" " * (NAME_COLUMNS + 2 * len(INDENT)) + rest for rest in text[1:]]
    return lines


def _nothing_lines(answer: SowAnswer, later: Sequence[tuple[date, str]], width: int, style: Style) -> list[str]:
    """A date and a cure where nothing can be sown."""
    if not later:
        return wrap(written(screen.NOTHING(), style), width, INDENT)
    first, name = later[0]
    beds = [bed.name for bed, crop in _each(answer) if _name(crop) == name and crop.next_from == first]
    cure = screen.START_THERE(where=answer.where) if answer.where else screen.START_INSIDE()
    text = joined([screen.NOTHING_YET(crop=name, bed=listed(beds), first=first), cure])
    return wrap(written(text, style), width, INDENT)


def _name(crop: CropVerdict) -> str:
    return crop.crop.replace("-", " ")


def _later(answer: SowAnswer, done: set[str]) -> list[tuple[date, str]]:
    """Crops of a later day, by day: the first on any bed."""
    found: dict[str, date] = {}
    for _, crop in _each(answer):
        on = crop.next_from
        if crop.crop not in done and on is not None and on > answer.on:
            found[_name(crop)] = min(on, found.get(_name(crop), on))
    return sorted((on, name) for name, on in found.items())


def _diary(answer: SowAnswer, done: set[str]) -> list[tuple[date, str]]:
    """Sowings that feed the household through the dark, by the next day by which they must be made."""
    found: dict[str, tuple[bool, float, date]] = {}
    for _, crop in _each(answer):
        if crop.crop in done or crop.sow_by is None or crop.verdict not in LATE:
            continue
        by = crop.sow_by if crop.sow_by > answer.on else crop.sow_by.replace(year=crop.sow_by.year + 1)
        if (by - answer.on).days < SOON_D:
            continue
        missed = crop.verdict == "set-out-grown"
        before = found.get(_name(crop), (not missed, 0.0, by))
        meals = max(crop.meals_m2_week_count or 0.0, -before[1])
        found[_name(crop)] = (before[0] and not missed, -meals, min(by, before[2]))
    best = sorted(found.items(), key=lambda item: (*item[1], item[0]))[:MOST_DIARY]
    return sorted((by, name) for name, (_, _, by) in best)


def _dated(items: Sequence[tuple[date, str]], most: int, width: int, style: Style) -> list[str]:
    """Names under their days, as many as fit; the rest counted."""
    lines: list[str] = []
    for shown in range(len(items), 0, -1):
        groups: dict[date, list[str]] = {}
        for on, name in items[:shown]:
            groups.setdefault(on, []).append(name)
        texts: list[str] = [screen.BY_DAY(on=on, crops=joined(names, ", ")) for on, names in groups.items()]
        if shown < len(items):
            texts.append(screen.MORE(count=len(items) - shown))
        lines = wrap(written(joined([joined(texts, "; "), "."], ""), style), width, INDENT)
        if len(lines) <= most:
            break
    return lines


def _watch_lines(answer: SowAnswer, now: Sequence[Doing], width: int, style: Style) -> list[str]:
    """What is too cold, until when and what helps; what may run to flower."""
    lines = _cold_lines(answer, {one.crop.crop for one in now}, width, style)
    for one in now:
        for flag in one.crop.flags:
            more = wrap(written(screen.FLOWERS(crop=_name(one.crop), flag=flag), style), width, INDENT)
            if "flower" in flag and len(lines) + len(more) <= MOST_WATCH_LINES:
                lines += more
    return lines


def _cold_lines(answer: SowAnswer, done: set[str], width: int, style: Style) -> list[str]:
    names: dict[str, tuple[date | None, CropVerdict]] = {}
    warm = {crop.crop for _, crop in _each(answer) if crop.verdict != "too-cold"} | done
    for _, crop in _each(answer):
        if crop.verdict == "too-cold" and crop.crop not in warm:
            before = names.get(crop.crop, (None, crop))[0]
            days = [on for on in (before, crop.next_from) if on is not None]
            names[crop.crop] = (min(days) if days else None, crop)
    nights = [bed.cold_night_degc for bed in answer.beds if bed.cold_night_degc is not None]
    if not names or not nights:
        return []
    rows = sorted(names.values(), key=lambda row: (row[0] or date.max, row[1].crop))
    shown: list[str] = [_name(crop) for _, crop in rows[:COLD_NAMED]]
    if len(rows) > COLD_NAMED:
        shown.append(screen.MORE(count=len(rows) - COLD_NAMED))
    first, crop = rows[0]
    said = joined(shown, ", ")
    if first is None:
        text = screen.COLD_UNDATED(crops=said, night=max(nights))
    else:
        text = screen.COLD(crops=said, night=max(nights), first=first, crop=_name(crop))
    return wrap(written(text, style), width, INDENT)
