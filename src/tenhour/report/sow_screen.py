"""The short answer to a sowing: what to do today, what not yet, what is too late, and what to watch."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Final

from tenhour.model.results import BedSowing, CropVerdict, SowAnswer, SowDay
from tenhour.report.common import brief_basis
from tenhour.report.terminal import bold, fit, heading, wrap
from tenhour.words import screen
from tenhour.words.crops import crop_name
from tenhour.words.style import Style
from tenhour.words.text import joined, listed, written

INDENT: Final = "  "
NAME_COLUMNS: Final = 20
MOST_LATER_LINES: Final = 4
MOST_DIARY_LINES: Final = 3
MOST_WATCH_LINES: Final = 5
COLD_NAMED: Final = 3


def screen_lines(answer: SowAnswer, width: int, style: Style) -> list[str]:
    """The answer in a screen of 80 columns and at most 30 lines, closing remarks included."""
    title = screen.TITLE(on=answer.on, place=f", {answer.place}" if answer.place else "")
    lines = heading(written(title, style), "", width)
    lines += wrap(written(_beds_text(answer), style), width)
    lines += [bold("Do now"), *now_lines(answer, width, style)]
    if answer.later:
        lines.append(bold("Not yet; first day that is worth it"))
        lines += dated_lines(answer.later, MOST_LATER_LINES, width, style)
    if answer.diary:
        lines.append(bold("Too late for this winter; in your diary, to sow by"))
        lines += dated_lines(answer.diary, MOST_DIARY_LINES, width, style)
    watch = _watch_lines(answer, width, style)
    if watch:
        lines += [bold("Watch"), *watch]
    named = [one.crop for one in answer.now] or [crop.crop for _, crop in _each(answer)] or ["spinach"]
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


def now_lines(answer: SowAnswer, width: int, style: Style, most: int | None = None) -> list[str]:
    """What to sow on the day, a crop to a line; where that is nothing, a date and a cure."""
    if not answer.now:
        return _nothing_lines(answer, width, style)
    lines = []
    for one in answer.now[:most]:
        name = INDENT + fit(crop_name(one.crop), NAME_COLUMNS)
        text = wrap(written(one.text, style), width - NAME_COLUMNS - 2 * len(INDENT))
        lines.append(f"{name}{INDENT}{text[0]}")
        lines += [" " * (NAME_COLUMNS + 2 * len(INDENT)) + rest for rest in text[1:]]
    return lines


def _nothing_lines(answer: SowAnswer, width: int, style: Style) -> list[str]:
    if not answer.later:
        return wrap(written(screen.NOTHING(), style), width, INDENT)
    first = answer.later[0]
    cure = screen.START_THERE(where=answer.where) if answer.where else screen.START_INSIDE()
    beds = listed(first.bed.split(", "))
    text = joined([screen.NOTHING_YET(crop=crop_name(first.crop), bed=beds, first=first.on), cure])
    return wrap(written(text, style), width, INDENT)


def dated_lines(items: Sequence[SowDay], most: int, width: int, style: Style) -> list[str]:
    """Names under their days, as many as fit; the rest counted."""
    lines: list[str] = []
    for shown in range(len(items), 0, -1):
        groups: dict[date, list[str]] = {}
        for item in items[:shown]:
            groups.setdefault(item.on, []).append(crop_name(item.crop))
        texts: list[str] = [screen.BY_DAY(on=on, crops=joined(names, ", ")) for on, names in groups.items()]
        if shown < len(items):
            texts.append(screen.MORE(count=len(items) - shown))
        lines = wrap(written(joined([joined(texts, "; "), "."], ""), style), width, INDENT)
        if len(lines) <= most:
            break
    return lines


def _watch_lines(answer: SowAnswer, width: int, style: Style) -> list[str]:
    """What is too cold, until when and what helps; what may run to flower."""
    lines = _cold_lines(answer, {one.crop for one in answer.now}, width, style)
    named = {(one.bed, one.crop) for one in answer.now}
    for bed, crop in _each(answer):
        for flag in crop.flags if (bed.name, crop.crop) in named else ():
            more = wrap(written(screen.FLOWERS(crop=crop_name(crop.crop), flag=flag), style), width, INDENT)
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
    shown: list[str] = [crop_name(crop.crop) for _, crop in rows[:COLD_NAMED]]
    if len(rows) > COLD_NAMED:
        shown.append(screen.MORE(count=len(rows) - COLD_NAMED))
    first, crop = rows[0]
    said = joined(shown, ", ")
    if first is None:
        text = screen.COLD_UNDATED(crops=said, night=max(nights))
    else:
        text = screen.COLD(crops=said, night=max(nights), first=first, crop=crop_name(crop.crop))
    return wrap(written(text, style), width, INDENT)
