"""This week as text in one screen, and as tables."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from typing import Final

from tenhour.model.results import Basis, SowDay, SowNow
from tenhour.model.week import WeekAnswer, WeekBed, WeekLamps, WeekStand
from tenhour.report.common import GAS, LEARNED, brief_remarks, doubts, style_of, weather_lines
from tenhour.report.sow_screen import INDENT, NAME_COLUMNS, dated_lines, now_lines
from tenhour.report.tables import Table, columns, table_of
from tenhour.report.terminal import beside, bold, heading, wrap
from tenhour.words import week as words
from tenhour.words.crops import crop_name
from tenhour.words.style import Style
from tenhour.words.text import joined, listed, typed, written

MOST_LINES: Final = 24
SHOWN: Final = ((4, 4), (3, 4), (3, 3), (2, 3), (2, 2), (1, 2), (1, 1))
"""Most sowings and stands shown, fewer where the screen is full."""
MOST_NEXT_LINES: Final = 1


def week_text(answer: WeekAnswer, width: int, *, style: Style | None = None) -> str:
    """Answer as text, at 80 columns no longer than a screen of 24 lines unless all remarks are asked for.

    Sowings and stands give way first, then the count of remarks; carbon monoxide, doubts of the weather file, the
    use of the log and this winter so far never.
    """
    chosen = style_of(answer.us_units, style)
    further = wrap(written(words.FURTHER(), chosen), width)
    remarks = brief_remarks(_counted_alone(answer.basis), width, chosen, answer.sow.calibration)
    must = [line for remark in remarks if GAS in " ".join(remark) or chosen.all_notes for line in remark]
    so_far = weather_lines(answer.basis, width, chosen)
    room = MOST_LINES - len(must) - len(so_far) - len(further)
    parts = (_parts(answer, width, chosen, *shown) for shown in SHOWN)
    lines = next((part for part in parts if len(part) <= room), None) or _parts(answer, width, chosen, *SHOWN[-1])
    room -= len(lines)
    for remark in remarks:
        if len(remark) <= room and not chosen.all_notes and GAS not in " ".join(remark):  # whole remarks only
            must += remark
            room -= len(remark)
    return "\n".join([*lines, *must, *so_far, *further])


def _counted_alone(basis: Basis) -> Basis:
    """The remarks without those of weather_lines."""
    return replace(
        basis,
        so_far=None,
        warnings=tuple(text for text in basis.warnings if text not in doubts(basis)),
        assumptions=tuple(text for text in basis.assumptions if not text.startswith(LEARNED)),
    )


def _parts(answer: WeekAnswer, width: int, chosen: Style, most_sowings: int, most_stands: int) -> list[str]:
    """The title, and what to do."""
    sow = answer.sow
    last = answer.on + timedelta(days=answer.days - 1)
    title = words.TITLE(first=answer.on, last=last, place=f", {sow.place}" if sow.place else "")
    lines = heading(written(title, chosen), "", width)
    lines += [bold("Sow"), *now_lines(sow, width, chosen, most_sowings)]
    if answer.later:
        lines += [bold("Next"), *dated_lines(answer.later, MOST_NEXT_LINES, width, chosen)]
    lines += [bold("Beds"), *_stand_lines(answer, width, chosen, most_stands)]
    lines += [bold("Warmth"), *wrap(written(answer.warmth, chosen), width, INDENT)]
    if answer.lamps:
        lines += [bold("Lamps"), *(line for lamp in answer.lamps for line in _lamp_lines(lamp, width, chosen))]
    return [*lines, bold("Water and air"), *wrap(written(answer.care, chosen), width, INDENT)]


def _stand_lines(answer: WeekAnswer, width: int, style: Style, most: int) -> list[str]:
    if not answer.stands:
        crop = answer.now[0].crop if answer.now else "spinach"
        return wrap(written(words.EMPTY_LOG(crop=crop, bed=typed(answer.beds[0].name)), style), width, INDENT)
    urgent = {"cover": 0, "eat-first": 1, "harvest": 2}
    rows = sorted(answer.stands, key=lambda stand: (urgent.get(stand.do, 3), stand.sown))
    texts = [words.STAND(bed=one.bed, text=one.text) if one.bed else one.text for one in rows[:most]]
    said = [(crop_name(one.crop), written(text, style)) for one, text in zip(rows, texts, strict=False)]
    lines = beside(said, NAME_COLUMNS, width, INDENT)
    if len(rows) > most:
        lines += wrap(written(_more_stands(rows[most:]), style), width, INDENT)
    return lines


def _more_stands(rows: Sequence[WeekStand]) -> str:
    """What there is no line for: by name what must be done this week, by number what only grows."""
    said: list[str] = []
    for do, named in words.ALSO.items():
        places: dict[str, list[str]] = {}
        for one in rows:
            if one.do == do:
                places.setdefault(crop_name(one.crop), []).append(one.bed)
        names = [words.THERE(crop=crop, beds=listed(beds)) if all(beds) else crop for crop, beds in places.items()]
        said += [named(crops=listed(names))] if names else []
    rest = sum(one.do not in words.ALSO for one in rows)
    return joined([*said, *([words.MORE_STANDS(count=rest)] if rest else [])])


def _lamp_lines(lamp: WeekLamps, width: int, style: Style) -> list[str]:
    said = words.LAMPS(bed=lamp.bed, begin=lamp.on, end=lamp.off, hours=lamp.hours_h, light=lamp.dli_mol_m2_d)
    return wrap(written(said, style), width, INDENT)


def week_tables(answer: WeekAnswer) -> Sequence[Table]:
    """What to sow, later days, what stands, beds and lamps."""
    names = "crop bed verdict way where set_out ready_from ready_to meals_m2_week_count text"
    stands = "crop bed sown do ready_from ready_to flowers_from text"
    beds = "name dli_mol_m2_d dull_dli_mol_m2_d day_degc night_degc lowest_degc lowest_1in10_degc"
    return (
        table_of("sow", "What to sow this week.", ((one,) for one in answer.now), columns(SowNow, names)),
        table_of("later", "What to wait for.", ((one,) for one in answer.later), columns(SowDay, "on crop bed")),
        table_of("stands", "What stands by the log.", ((one,) for one in answer.stands), columns(WeekStand, stands)),
        table_of("beds", "Light and warmth this week.", ((bed,) for bed in answer.beds), columns(WeekBed, beds)),
        table_of(
            "lamps",
            "When lamps burn.",
            ((lamp,) for lamp in answer.lamps),
            columns(WeekLamps, "bed on off hours_h dli_mol_m2_d"),
        ),
    )
