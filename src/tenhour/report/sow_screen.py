"""The short answer to a sowing: what to do today, what not yet, what is too late, and what to watch."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import Final

import numpy as np

from tenhour.model.results import BedSowing, CropVerdict, SowAnswer, SowDay
from tenhour.report.common import brief_basis, grower_lines
from tenhour.report.terminal import beside, bold, cells, heading, wrap
from tenhour.words import screen
from tenhour.words import week as week_words
from tenhour.words.crops import crop_name
from tenhour.words.nights import alike
from tenhour.words.style import Style
from tenhour.words.text import joined, listed, typed, written

INDENT: Final = "  "
NAME_COLUMNS: Final = 20
MOST_LINES: Final = 30
ROOM: Final = ((3, 3, 5), (3, 3, 4), (2, 3, 4), (2, 2, 4), (2, 2, 3), (1, 1, 3), (1, 1, 0))
"""Most lines of later days, diary and what to watch, from ample to tight."""
COLD_SEED_DEGC: Final = 12.0
"""Seed that takes long at warmer nights than this does so for another reason. Judgement."""
COLD_NAMED: Final = 3
MOST_COVERED: Final = 2
"""Beds with a cover of their own whose nights are told, the warmest first."""
MOST_TOLD: Final = 3
"""Lines for what every grower is told, where the rest leaves room."""
FLOWERS_SOON: Final = timedelta(days=30)
"""A stand that flowers later than this after its harvest is told of when it stands. Judgement."""


def screen_lines(answer: SowAnswer, width: int, style: Style) -> list[str]:
    """The answer in a screen of 80 columns and at most 30 lines, closing remarks included."""
    title = screen.TITLE(on=answer.on, place=f", {answer.place}" if answer.place else "")
    head = heading(written(title, style), "", width)
    head += wrap(written(_beds_text(answer), style), width)
    head += [bold("Do now"), *now_lines(answer, width, style)]
    named = [one.crop for one in answer.now] or [crop.crop for _, crop in _each(answer)] or ["spinach"]
    closing = wrap(written(screen.FURTHER(crop=named[0], bed=typed(answer.beds[0].name)), style), width) + brief_basis(
        answer.basis, width, style, answer.calibration
    )
    told = grower_lines(answer.grower_lines, width, style, MOST_TOLD)
    closing = [*told, *closing]
    lines: list[str] = []
    for later, diary, watch in ROOM:
        lines = [*_middle(answer, later, diary, width, style), *_watch_lines(answer, watch, width, style)]
        if style.all_notes or len(head) + len(lines) + len(closing) <= MOST_LINES:
            break
    else:
        closing = closing[len(told) :]
    return [*head, *lines, *closing]


def _middle(answer: SowAnswer, later: int, diary: int, width: int, style: Style) -> list[str]:
    """Later days and the diary, each in so many lines at most."""
    lines: list[str] = []
    if answer.later:
        lines += [*heading(screen.LATER, "", width), *dated_lines(answer.later, later, width, style)]
    if answer.diary:
        title = screen.TOO_LATE if answer.missed else screen.DIARY
        lines += [*heading(title, "", width), *dated_lines(answer.diary, diary, width, style)]
    return lines


def _beds_text(answer: SowAnswer) -> str:
    lit = [(bed.dli_mol_m2_d, bed.name) for bed in answer.beds if bed.dli_mol_m2_d is not None]
    text: list[str] = []
    if lit:
        (most, best), (least, dimmest) = max(lit), min(lit)
        text.append((screen.BEST if len(lit) > 1 else screen.ONLY)(bed=best, light=most))
        if len(lit) > 1:
            text.append(screen.DIMMEST(bed=dimmest, light=least))
        text.append(".")
    cold = [
        (bed.cold_night_degc, bed.name, bed.cold_night_1in10_degc, bed.layers)
        for bed in answer.beds
        if bed.cold_night_degc is not None
    ]
    if cold:
        night, bed, tenth, _ = min(cold)
        said = screen.COLDEST_ALIKE if alike(night, tenth) else screen.COLDEST
        text.append(said(night=night, tenth=tenth, bed=bed))
        told = sorted(((n, name, rare, laid) for n, name, rare, laid in cold if laid), reverse=True)[:MOST_COVERED]
        text += [
            (screen.COVERED_ALIKE if alike(n, rare) else screen.COVERED)(bed=name, layers=laid, night=n, tenth=rare)
            for n, name, rare, laid in told
        ]
    text += [screen.MATTED(bed=bed.name, soil=bed.soil_degc) for bed in answer.beds if bed.matted]
    return joined(text, "")


def _each(answer: SowAnswer) -> Iterable[tuple[BedSowing, CropVerdict]]:
    return ((bed, crop) for bed in answer.beds for crop in bed.crops if crop.wanted)


def now_lines(answer: SowAnswer, width: int, style: Style, most: int | None = None) -> list[str]:
    """What to sow on the day, a crop to a line; where that is nothing, a date and a cure."""
    if not answer.now:
        return _nothing_lines(answer, width, style)
    said = [(crop_name(one.crop), written(one.text, style)) for one in answer.now[:most]]
    lines = beside(said, NAME_COLUMNS, width, INDENT)
    if most is not None and len(answer.now) > most:
        more = listed([crop_name(one.crop) for one in answer.now[most:]])
        lines += wrap(written(week_words.ALSO_SOW(crops=more), style), width, INDENT)
    if all(one.where for one in answer.now) and answer.later:
        lines += wrap(written(_first_on_beds(answer), style), width, INDENT)
    return lines


def _first_on_beds(answer: SowAnswer) -> str:
    """From when on the beds can be sown, where they cannot today."""
    first = answer.later[0]
    return screen.NOTHING_YET(crop=crop_name(first.crop), bed=listed(first.bed.split(", ")), first=first.on)


def _nothing_lines(answer: SowAnswer, width: int, style: Style) -> list[str]:
    if not answer.later:
        return wrap(written(screen.NOTHING(), style), width, INDENT)
    cure = screen.START_THERE(where=answer.where) if answer.where else screen.START_INSIDE()
    text = joined([_first_on_beds(answer), cure])
    return wrap(written(text, style), width, INDENT)


def dated_lines(items: Sequence[SowDay], most: int, width: int, style: Style) -> list[str]:
    """Names under their days, as many as fit; the rest counted."""
    lines: list[str] = []
    columns = np.cumsum([cells(crop_name(item.crop)) for item in items])
    fit = int(np.searchsorted(columns, most * (width + 1), side="right"))  # their names alone take no more than this
    for shown in range(max(min(len(items), fit), 1), 0, -1):
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


def _watch_lines(answer: SowAnswer, most: int, width: int, style: Style) -> list[str]:
    """What is too cold, until when and what helps; what may run to flower; nothing where it does not fit."""
    lines = _cold_lines(answer, {one.crop for one in answer.now}, width, style)
    if len(lines) > most:
        lines = []
    named = {(one.bed, one.crop) for one in answer.now}
    for bed, crop in _each(answer):
        if (bed.name, crop.crop) in named and _flowers_soon(crop):
            more = wrap(written(screen.FLOWERS(crop=crop_name(crop.crop), on=crop.flowers_from), style), width, INDENT)
            lines += more if len(lines) + len(more) <= most else []
    return [bold("Watch"), *lines] if lines else []


def _flowers_soon(crop: CropVerdict) -> bool:
    """Whether it may run to flower not long after it is ready."""
    last = crop.young_to if crop.verdict == "cut-young" else crop.harvest_to
    return crop.flowers_from is not None and last is not None and crop.flowers_from <= last + FLOWERS_SOON


def _cold_lines(answer: SowAnswer, done: set[str], width: int, style: Style) -> list[str]:
    """Why most of what is too cold today is so, until when, and what helps."""
    living = {crop.crop for _, crop in _each(answer) if crop.verdict != "too-cold" or crop.raising is not None} | done
    cold = [crop for _, crop in _each(answer) if crop.verdict == "too-cold" and crop.crop not in living]
    killed = [crop for crop in cold if crop.frost in ("dies", "chilled") and not crop.lies_cold]
    ended = len({crop.crop for crop in killed}) * 2 >= len({crop.crop for crop in cold})
    names = {crop.crop for crop in (killed if ended else [crop for crop in cold if crop not in killed])}
    shown = _soonest([crop for crop in cold if crop.crop in names])
    nights = [(bed.night_degc, bed.night_ahead_degc) for bed in answer.beds if bed.night_degc is not None]
    lows = [
        (crop.coldest_degc, crop.coldest_tenth_degc)
        for crop in shown
        if crop.coldest_degc is not None and crop.coldest_tenth_degc is not None
    ]
    if not shown or not (lows if ended else nights) or (not ended and max(nights)[0] > COLD_SEED_DEGC):
        return []
    named_few: list[str] = [crop_name(crop.crop) for crop in shown[:COLD_NAMED]]
    if len(shown) > COLD_NAMED:
        named_few.append(screen.MORE(count=len(shown) - COLD_NAMED))
    cure = screen.CURE_KILLS() if ended else screen.CURE_SEED()
    if ended and all(crop.frost == "chilled" for crop in shown):
        cure = screen.CURE_CHILLS()
    first, named = shown[0].next_from, crop_name(shown[0].crop)
    when = screen.COLD_NEVER(cure=cure) if first is None else screen.COLD_FIRST(first=first, crop=named, cure=cure)
    crops = joined(named_few, ", ")
    if ended:
        night, tenth = min(lows)[0], min(low for _, low in lows)
        down = (screen.DOWN_TO if alike(night, tenth) else screen.DOWN_TO_TENTH)(night=night, tenth=tenth)
        text = screen.COLD_KILLS(down=down, crops=crops, when=when)
    else:
        night, later = max(nights)
        falls = later is not None and round(later) < round(night)
        said = screen.COLD_SEED_FALLING if falls else screen.COLD_SEED
        text = said(night=night, later=later, crops=crops, when=when)
    return wrap(written(text, style), width, INDENT)


def _soonest(crops: Sequence[CropVerdict]) -> list[CropVerdict]:
    """Each crop once, as on the bed where it can be sown soonest, by that day."""
    best: dict[str, CropVerdict] = {}
    for crop in crops:
        kept = best.get(crop.crop, crop)
        best[crop.crop] = min(kept, crop, key=lambda one: one.next_from or date.max)
    return sorted(best.values(), key=lambda crop: (crop.next_from or date.max, crop.crop))
