"""The household's plan as text and tables."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
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
from tenhour.report.strips import month_letters
from tenhour.report.tables import Table, columns, table_of
from tenhour.report.terminal import bold, table_lines, wrap
from tenhour.words import feeding as words
from tenhour.words.style import Style
from tenhour.words.text import Text, counted, joined, listed, written

MOST_SOWINGS: Final = 14
"""Sowings shown before the rest is left to the table; the next ones matter most."""
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


def feed_text(answer: FeedAnswer, width: int, *, style: Style | None = None) -> str:
    """Answer as text: how good it is, what to sow first, what is short and what would close it."""
    chosen = style_of(answer.us_units, style)
    lines = _head(answer, width, chosen)
    lines += _kept_lines(answer, width, chosen)
    lines += _sowing_lines(answer, width, chosen)
    for lamp in answer.lamps:
        lines += wrap(written(_lamp(lamp, answer.currency), chosen), width)
    for buy in answer.buys:
        lines += wrap(written(buy.text, chosen), width)
    for shelf in answer.shelf:
        lines += wrap(written(_shelf(shelf), chosen), width)
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


MOST_CHANGES: Final = 8


def _kept_lines(answer: FeedAnswer, width: int, style: Style) -> list[str]:
    """What stands, and what a new plan changes."""
    lines = [*_kept_changes(answer, width, style), ""] if answer.changes or answer.kept else []
    more = len(answer.changes) - MOST_CHANGES
    if more > 0:
        lines[-1:] = [f"And {more} more: --csv changes.", ""]
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
    table = table_of("trays", "", ((t,) for t in answer.trays), _TRAY)
    lines = [bold("Trays to sow"), *table_lines(table, width, chosen)]
    return "\n".join(lines + basis_lines(answer.basis, width, chosen))


def _count(number: float) -> str:
    return f"{number:.0f}" if abs(number - round(number)) < 0.05 else f"{number:.1f}"


def _plural(number: int, one: str, many: str = "") -> str:
    return f"{number} {one if number == 1 else many or one + 's'}"


def _wanted(answer: FeedAnswer) -> str:
    asked = next((week for week in answer.weeks if any(wish.wanted_count for wish in week.wishes)), answer.weeks[-1])
    return listed([f"{_count(wish.wanted_count)} {_food(wish.wish)}" for wish in asked.wishes])


def _food(wish: str) -> str:
    animals = {"hen": "portions of greens for hens", "rabbit": "portions of greens for rabbits"}
    return animals.get(wish, wish)


def _head(answer: FeedAnswer, width: int, style: Style) -> list[str]:
    people = _plural(answer.people_count, "person", "people")
    title = words.WHOLE(people=people, first=answer.first, last=answer.last, wishes=_wanted(answer))
    proof = answer.proof
    if proof.missing_count < MISSING_LITTLE:
        missing: Text = words.NOTHING_MISSING()
    elif proof.missing_whole_count < MISSING_LITTLE:
        missing = words.PERHAPS(left=_count(proof.missing_count))
    else:
        missing = words.PROVEN(least=_count(proof.missing_whole_count), left=_count(proof.missing_count))
    kinds_bought = {buy.kind for buy in answer.buys}
    bought = listed(
        [
            "seed",
            *(["lamps"] if answer.lamps else []),
            *(f"{kind}s" for kind in ("cover", "tray") if kind in kinds_bought),
        ]
    )
    money = f", {answer.money_currency:.0f} {answer.currency} for {bought}" if answer.currency else ""
    kinds = len({sowing.crop for sowing in answer.sowings} | {shelf.crop for shelf in answer.shelf})
    effort = words.EFFORT(
        sowings=_plural(len(answer.sowings), "sowing"), kinds=_plural(kinds, "kind of crop", "kinds of crop"),
        work=answer.work_h_week, money=money,
    )  # fmt: skip
    shop = (
        []
        if answer.shop_currency is None
        else [words.SHOP(money=f"{answer.shop_currency:.0f} {answer.currency}".strip())]
    )
    caution = (
        [words.CAUTION(surety=answer.surety_frac, money=f"{answer.caution_currency:.0f} {answer.currency}".strip())]
        if answer.caution_currency is not None and answer.caution_currency >= 1.0
        else []
    )
    if answer.caution_missing_count >= MISSING_TOLD:
        more = _count(answer.caution_missing_count)
        caution = [words.CAUTION_MISSING(surety=answer.surety_frac, more=more)]
    gap = words.GAP(gap=proof.gap_frac, seconds=f"{proof.seconds_s:.0f}")
    first, *rest = wrap(written(title, style), width)
    return [bold(first), *rest, *wrap(written(joined([missing, effort, *shop, *caution, gap]), style), width), ""]


MISSING_LITTLE: Final = 0.05
MISSING_TOLD: Final = 0.1
"""Remedies are looked for where so much must be missing."""


def _sowing_lines(answer: FeedAnswer, width: int, style: Style) -> list[str]:
    if not answer.sowings:
        return [] if answer.shelf else ["Nothing is worth sowing for these wishes.", ""]
    names = "sow set_out bed name area_m2 plants_count harvest_from harvest_to"
    table = table_of("sowings", "", ((s,) for s in answer.sowings[:MOST_SOWINGS]), columns(FeedSowing, names))
    more = len(answer.sowings) - MOST_SOWINGS
    rest = [f"And {_plural(more, 'sowing')} later: --csv sowings."] if more > 0 else []
    return [*table_lines(table, width, style), *rest, *_moved_lines(answer, width, style), ""]


def _moved_lines(answer: FeedAnswer, width: int, style: Style) -> list[str]:
    moved = [
        words.MOVED_ONE(name=one.name, bed=one.bed, out=one.set_out)
        for one in answer.sowings
        if one.moved and one.set_out is not None
    ]
    return wrap(written(words.MOVED_TOLD(names=listed(moved)), style), width) if moved else []


def _short(answer: FeedAnswer) -> Iterator[Text]:
    """Every wish of which something is missing: when, and when most."""
    for name in dict.fromkeys(wish.wish for week in answer.weeks for wish in week.wishes):
        own = [item for item in answer.missing if item.wish == name]
        if not own:
            continue
        worst = max(own, key=lambda item: item.missing_count)
        asked = sum(wish.wish == name and wish.wanted_count > 0 for week in answer.weeks for wish in week.wishes)
        what = {"wish": _food(name), "missing": _count(worst.missing_count), "wanted": _count(worst.wanted_count)}
        if len(own) == 1:
            yield words.SHORT(**what, week=worst.start)
        else:
            yield words.SHORT_WEEKS(**what, week=worst.start, weeks=len(own), all=asked)


def _lamp(lamp: FeedLamps, currency: str) -> Text:
    return words.LAMPS(
        count=counted(lamp.count, "lamp"), bed=lamp.bed, power=lamp.power_w, first=lamp.first, last=lamp.last,
        hours=f"{lamp.hours_h_week:.0f}", kwh=lamp.energy_kwh, money=f"{lamp.cost_currency:.0f} {currency}".strip(),
    )  # fmt: skip


def _shelf(shelf: FeedShelf) -> Text:
    if shelf.first == shelf.last:
        trays = words.trays_said(shelf.trays_count)
        return words.SHELF_ONCE(trays=trays, name=shelf.name, bed=shelf.bed, first=shelf.first)
    return words.SHELF(
        trays=words.trays_said(shelf.trays_count), name=shelf.name, bed=shelf.bed, first=shelf.first,
        last=shelf.last, most=words.trays_said(shelf.most_count),
    )  # fmt: skip


def _short_lines(answer: FeedAnswer, width: int, style: Style) -> list[str]:
    if not answer.missing:
        return []
    lines = ["Short:", *_dashed([written(said, style) + "." for said in _short(answer)], width)]
    if answer.remedies:
        lines.append("What would close it, best first:")
    if not answer.remedies and answer.proof.missing_least_count >= MISSING_TOLD:
        lines += wrap("- " + written(words.NOTHING_CLOSES(), style), width)
    for remedy in answer.remedies:
        least, cost = answer.proof.missing_least_count, remedy.cost_currency
        money = "" if not cost else words.COSTS(money=f"{cost:.0f} {answer.currency}".strip())
        closed = _count(least - remedy.missing_after_count)
        closes = words.CLOSES(text=remedy.text, closed=closed, missing=_count(least), cost=money)
        lines += wrap("- " + written(closes, style), width)
    return lines


def _surety_lines(answer: FeedAnswer, width: int, style: Style) -> list[str]:
    """How each wish fares in other seasons, and which are served less than asked."""
    said = []
    for item in answer.surety:
        text: Text = words.SERVED(wish=_food(item.wish), served=item.served_frac)
        if item.worst_week is not None and item.worst_short_frac > 0:
            seasons = words.seasons_said(item.worst_short_frac)
            text = joined([text, words.WORST(week=item.worst_week, seasons=seasons)], "")
        said.append(written(text, style))
    lines = ["Of its portions the plan brings in seasons it was not made for:", *_dashed(said, width)]
    below = [_food(item.wish) for item in answer.surety if round(item.served_frac, 2) < answer.surety_frac]
    if below:
        told = words.BELOW(surety=answer.surety_frac, wishes=listed(below))
        lines += wrap(written(told, style), width)
    return lines


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
        lines += ["", *_kept_changes(answer, width, chosen)]
    return "\n".join(lines)


def _kept_changes(answer: FeedAnswer, width: int, style: Style) -> list[str]:
    if not answer.changes:
        return wrap(str(words.UNCHANGED()), width)
    head = str(words.CHANGED(changes=counted(len(answer.changes), "change")))
    return [head, *_dashed([written(one.text, style) for one in answer.changes[:MOST_CHANGES]], width)]


def _eaten(answer: FeedAnswer, week: FeedWeek | None, style: Style) -> list[str]:
    names = answer.names
    return [] if week is None else [
        written(words.EAT(name=names.get(item.crop, item.crop), bed=item.bed, grams=item.grams_g), style)
        for item in week.eat
    ]  # fmt: skip
