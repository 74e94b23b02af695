"""The household's plan as text and tables."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, timedelta
from typing import Final

from tenhour.model.feed import (
    FeedAnswer,
    FeedBuy,
    FeedChange,
    FeedEaten,
    FeedJob,
    FeedLamps,
    FeedMissing,
    FeedRemedy,
    FeedSeed,
    FeedShelf,
    FeedSowing,
    FeedStand,
    FeedSurety,
    FeedTray,
    FeedWeek,
    FeedWish,
)
from tenhour.report.common import basis_lines, style_of
from tenhour.report.feed_said import (
    below_text,
    bought_texts,
    change_texts,
    effort_text,
    food,
    missing_text,
    remedy_texts,
    shelf_text_of,
    short_texts,
    title_text,
    worth_texts,
)
from tenhour.report.feed_screen import screen_lines
from tenhour.report.strips import month_letters
from tenhour.report.tables import Field, Table, columns, table_of
from tenhour.report.terminal import bold, table_lines, wrap
from tenhour.words import feeding as words
from tenhour.words.style import Style
from tenhour.words.text import Text, joined, listed, written

WEEK: Final = timedelta(days=7)


def feed_tables(answer: FeedAnswer) -> tuple[Table, ...]:
    """Every list of the answer as a table."""
    start = columns(FeedWeek, "start")
    weeks = ((week, wish) for week in answer.weeks for wish in week.wishes)
    eaten = ((week, item) for week in answer.weeks for item in week.eat)
    return (
        table_of("sowings", "What to sow, raise and set out.", ((s,) for s in answer.sowings), _SOWING),
        table_of("weeks", "Portions wanted and there, week by week.", weeks, start,
                 columns(FeedWish, "wish wanted_count there_count short_frac")),
        table_of("eat", "What is picked for the table, week by week.", eaten, start,
                 columns(FeedEaten, "crop bed grams_g portions_count")),
        table_of("shelf", "Trays.", ((s,) for s in answer.shelf),
                 columns(FeedShelf, "crop bed trays_count most_count first last")),
        table_of("trays", "Trays as they are sown.", ((t,) for t in answer.trays), _TRAY),
        seeds_table(answer),
        table_of("jobs", "Everything there is to do, by day.", ((j,) for j in answer.jobs),
                 columns(FeedJob, "on do crop bed sow text work_min")),
        table_of("stands", "What stands already.", ((s,) for s in answer.stands),
                 columns(FeedStand, "crop bed sown area_m2 harvest_from harvest_to clear_by text")),
        table_of("changes", "How it differs from the plan that was kept.", ((c,) for c in answer.changes),
                 columns(FeedChange, "change crop bed sow text")),
        table_of("missing", "What the plan leaves missing.", ((m,) for m in answer.missing),
                 columns(FeedMissing, "start wish missing_count wanted_count")),
        table_of("remedies", "Changes tried one by one.", ((r,) for r in answer.remedies),
                 columns(FeedRemedy, "kind text missing_after_count cost_currency")),
        table_of("lamps", "Lamps that the plan buys and burns.", ((lamp,) for lamp in answer.lamps), _LAMPS),
        table_of("buys", "Covers and trays that the plan buys.", ((b,) for b in answer.buys),
                 columns(FeedBuy, "kind bed count cost_currency text")),
        table_of("surety", "The plan in seasons it has not seen.", ((s,) for s in answer.surety),
                 columns(FeedSurety, "wish served_frac short_frac worst_week worst_short_frac")),
    )  # fmt: skip


_TRAY: Final = columns(FeedTray, "sow bed name trays_count seed_g cut_from cut_to serves")
_LAMPS: Final = columns(
    FeedLamps, "bed count hours_h_week energy_kwh cost_currency first last power_w heat_replaced_frac"
)
_SOWING: Final = columns(
    FeedSowing,
    "sow set_out bed crop name area_m2 plants_count seed_g harvest_from harvest_to clear_by work_min",
)


def seeds_table(answer: FeedAnswer) -> Table:
    """Seed to buy."""
    return table_of("seeds", "Seed to buy.", ((s,) for s in answer.seeds), columns(FeedSeed, "name seeds_count seed_g"))


def feed_text(answer: FeedAnswer, width: int, *, style: Style | None = None, everything: bool = False) -> str:
    """Answer as text: one screen that says what to do; or everything, every sowing and every season's shortage."""
    chosen = style_of(answer.us_units, style)
    if not everything:
        return "\n".join(screen_lines(answer, width, chosen))
    lines = _head(answer, width, chosen)
    lines += _kept_lines(answer, width, chosen)
    lines += _sowing_lines(answer, width, chosen)
    for text in bought_texts(answer):
        lines += wrap(written(text, chosen), width)
    for shelf in answer.shelf:
        lines += wrap(written(shelf_text_of(shelf), chosen), width)
    lines += _short_lines(answer, width, chosen)
    lines += _surety_lines(answer, width, chosen)
    lines += ["", *_strip_lines(answer, width)]
    return "\n".join(lines + basis_lines(answer.basis, width, chosen))


LEVELS: Final = "·▁▂▃▄▅▆▇█"
"""From nothing to all of it."""
LEAST_NAME: Final = 6
ALL_BUT: Final = 0.05
"""So little of a mark may be missing from a full one."""


def _strip_lines(answer: FeedAnswer, width: int) -> list[str]:
    """A mark per week: how much of each bed is taken, and how much of each wish is there."""
    room = width - len(answer.weeks) - 2
    if room < LEAST_NAME:
        return []
    beds, wishes = _taken(answer), list(dict.fromkeys(wish.wish for week in answer.weeks for wish in week.wishes))
    rows = {bed: [LEVELS[round(8 * share)] for share in shares] for bed, shares in beds.items()}
    for name in wishes:
        rows[name] = [_mark(week, name) for week in answer.weeks]
    wide = min(max(map(len, rows)), room)
    lines = [bold(" " * (wide + 2) + month_letters(answer.weeks))]
    lines += [f"{name[:wide]:<{wide}}  {''.join(marks)}" for name, marks in rows.items()]
    return [*lines, *wrap("A mark per week: how full each bed is, and how much of each wish is there.", width)]


def _mark(week: FeedWeek, name: str) -> str:
    found = next((wish for wish in week.wishes if wish.wish == name and wish.wanted_count > 0), None)
    if found is None:
        return " "
    return LEVELS[max(0, min(8, math.floor(8 * found.there_count / found.wanted_count + ALL_BUT)))]


def _taken(answer: FeedAnswer) -> dict[str, list[float]]:
    """Share of the most that is ever taken of a bed, week by week."""
    stays = [
        (one.bed, part.area_m2, one.set_out or one.sow, part.clear_by) for one in answer.sowings for part in one.cleared
    ]
    stays += [(one.bed, one.area_m2, one.sow, one.cut_to) for one in answer.trays]
    stays += [(one.bed, one.area_m2, one.sown, one.clear_by or answer.last) for one in answer.stands]
    area = {
        bed: [sum(m2 for of, m2, begin, end in stays if of == bed and begin < week.start + WEEK and end > week.start)
              for week in answer.weeks]
        for bed in dict.fromkeys(stay[0] for stay in stays)
    }  # fmt: skip
    return {bed: [m2 / most for m2 in row] for bed, row in area.items() if (most := max(row)) > 0.0}


def _kept_lines(answer: FeedAnswer, width: int, style: Style) -> list[str]:
    """What stands, and what a new plan changes."""
    lines = [*_kept_changes(answer, width, style), ""] if answer.changes or answer.kept else []
    if answer.stands:
        table = table_of("stands", "", ((s,) for s in answer.stands),
                         columns(FeedStand, "name bed sown area_m2 harvest_from clear_by"))  # fmt: skip
        lines += [bold("What stands already"), *table_lines(table, width, style)]
        lines += [*_dashed(sorted({written(s.text, style) for s in answer.stands if s.clear_by is None}), width), ""]
    return lines


def _dashed(said: Sequence[str], width: int) -> list[str]:
    return [line for one in said for line in wrap("- " + one, width)]


def seeds_text(answer: FeedAnswer, width: int, *, style: Style | None = None) -> str:
    """Seed to buy, in counts and grams."""
    chosen = style_of(answer.us_units, style)
    return "\n".join([bold("Seed to buy for the whole plan"), *table_lines(seeds_table(answer), width, chosen)])


def shelf_text(answer: FeedAnswer, width: int, *, style: Style | None = None) -> str:
    """Trays for people and animals, week by week."""
    chosen = style_of(answer.us_units, style)
    if not answer.trays:
        return "The plan sows no trays."
    rows = ((tray, words.quarters_said(tray.trays_count), tray) for tray in answer.trays)
    table = table_of("trays", "", rows, columns(FeedTray, "sow bed name"), Field("trays_count", "trays"),
                     columns(FeedTray, "seed_g cut_from cut_to serves"))  # fmt: skip
    lines = [bold("Trays to sow"), *table_lines(table, width, chosen)]
    return "\n".join(lines + basis_lines(answer.basis, width, chosen))


def _head(answer: FeedAnswer, width: int, style: Style) -> list[str]:
    proof = answer.proof
    gap = words.GAP(gap=proof.gap_frac, seconds=f"{proof.seconds_s:.0f}")
    said = joined([missing_text(answer), effort_text(answer), *worth_texts(answer), gap])
    first, *rest = wrap(written(title_text(answer), style), width)
    return [bold(first), *rest, *wrap(written(said, style), width), ""]


def _sowing_lines(answer: FeedAnswer, width: int, style: Style) -> list[str]:
    if not answer.sowings:
        return [] if answer.shelf else [words.NOTHING_TO_SOW, ""]
    names = "sow set_out bed name area_m2 plants_count harvest_from harvest_to"
    table = table_of("sowings", "", ((s,) for s in answer.sowings), columns(FeedSowing, names))
    return [*table_lines(table, width, style), *_moved_lines(answer, width, style), ""]


def _moved_lines(answer: FeedAnswer, width: int, style: Style) -> list[str]:
    moved = [
        words.MOVED_ONE(name=one.name, bed=one.bed, out=one.set_out)
        for one in answer.sowings
        if one.moved and one.set_out is not None
    ]
    return wrap(written(words.MOVED_TOLD(names=listed(moved)), style), width) if moved else []


def _short_lines(answer: FeedAnswer, width: int, style: Style) -> list[str]:
    if not answer.missing:
        return []
    lines = ["Short:", *_dashed([written(said, style) + "." for said in short_texts(answer)], width)]
    if answer.remedies:
        lines.append("What would close it, best first:")
    for text in remedy_texts(answer):
        lines += wrap("- " + written(text, style), width)
    return lines


def _surety_lines(answer: FeedAnswer, width: int, style: Style) -> list[str]:
    """How each wish fares in other seasons, and which are served less than asked."""
    said = []
    for item in answer.surety:
        text: Text = words.SERVED(wish=food(item.wish), served=item.served_frac)
        if item.worst_week is not None and item.worst_short_frac > 0:
            seasons = words.seasons_said(item.worst_short_frac)
            text = joined([text, words.WORST(week=item.worst_week, seasons=seasons)], "")
        said.append(written(text, style))
    lines = ["Of its portions the plan brings in seasons it was not made for:", *_dashed(said, width)]
    below = below_text(answer)
    return [*lines, *wrap(written(below, style), width)] if below else lines


MOST_CHANGES: Final = 8
"""Changes told beside a week's jobs."""


def week_text(answer: FeedAnswer, today: date, width: int, *, style: Style | None = None) -> str:
    """This week's jobs, and what to eat."""
    chosen = style_of(answer.us_units, style)
    monday = today - timedelta(days=today.weekday())
    jobs = [written(job.text, chosen) for job in answer.jobs if monday <= job.on < monday + WEEK]
    week = next((week for week in answer.weeks if week.start == monday), None)
    lines = [bold("To do this week"), *_dashed(jobs or ["Nothing to sow, set out or clear."], width)]
    if week is not None and week.work_min >= 1:
        lines += wrap(written(words.WORK_WEEK(minutes=f"{week.work_min:.0f}"), chosen), width)
    lines += ["", bold("To eat"), *_dashed(_eaten(answer, week, chosen) or ["Nothing from the beds."], width)]
    if answer.changes or answer.kept:
        lines += ["", *_kept_changes(answer, width, chosen, MOST_CHANGES)]
    return "\n".join(lines)


def _kept_changes(answer: FeedAnswer, width: int, style: Style, most: int | None = None) -> list[str]:
    if not answer.changes:
        return wrap(str(words.UNCHANGED()), width)
    head, *said = [written(text, style) for text in change_texts(answer)]
    more = 0 if most is None else len(said) - most
    rest = [f"And {more} more: --csv changes."] if more > 0 else []
    return [head, *_dashed(said[:most], width), *rest]


def _eaten(answer: FeedAnswer, week: FeedWeek | None, style: Style) -> list[str]:
    names = answer.names
    return [] if week is None else [
        written(words.EAT(name=names.get(item.crop, item.crop), bed=item.bed, grams=item.grams_g), style)
        for item in week.eat
    ]  # fmt: skip
