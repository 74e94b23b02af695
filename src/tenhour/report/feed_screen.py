"""The household's plan in one screen: what it brings and lacks, what to do first, what to sow then, what is eaten."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from itertools import groupby
from typing import Final

from tenhour.model.feed import FeedAnswer, FeedJob
from tenhour.report.common import brief_basis
from tenhour.report.feed_said import (
    below_text,
    bought_texts,
    change_texts,
    effort_text,
    food,
    missing_text,
    remedy_texts,
    short_texts,
    title_text,
)
from tenhour.report.terminal import beside, bold, wrap
from tenhour.words import feed_screen as screen
from tenhour.words import feeding as words
from tenhour.words.style import Style
from tenhour.words.text import Text, counted, joined, listed, written

INDENT: Final = "  "
NAME_COLUMNS: Final = 18
MOST_LINES: Final = 30
ROOM: Final = (
    (9, 3, 5, 4), (8, 3, 4, 3), (7, 2, 4, 3), (7, 2, 3, 2), (7, 2, 2, 2), (6, 2, 0, 2), (6, 1, 0, 1), (5, 1, 0, 1),
    (4, 1, 0, 1), (3, 1, 0, 1),
)  # fmt: skip
"""Most first jobs, lines of later sowings and of months, and remedies and changes, from ample to tight."""
KINDS_EATEN: Final = 4
"""Crops named of a month, those of most grams."""
SOWS: Final = ("sow", "raise", "outdoors", "trays")
ACTS: Final = ("clear", *SOWS, "set-out", "move-in")
WEEK: Final = timedelta(days=7)


def screen_lines(answer: FeedAnswer, width: int, style: Style) -> list[str]:
    """The plan in 80 columns or more and at most 30 lines where it fits, closing remarks included."""
    head = _head(answer, width, style)
    closing = [
        *wrap(written(_seasons(answer), style), width),
        *wrap(screen.FURTHER, width),
        *brief_basis(answer.basis, width, style),
    ]
    lines: list[str] = []
    for room in ROOM:
        lines = _middle(answer, room, width, style)
        if style.all_notes or len(head) + len(lines) + len(closing) <= MOST_LINES:
            break
    return [*head, *lines, *closing]


def _head(answer: FeedAnswer, width: int, style: Style) -> list[str]:
    proof = answer.proof
    told = screen.PROOF(
        bound=_money(proof.bound_currency, answer), cost=_money(proof.cost_currency, answer), gap=proof.gap_frac,
        seconds=f"{proof.seconds_s:.0f}",
    )  # fmt: skip
    first, *rest = wrap(written(title_text(answer), style), width)
    said = joined([missing_text(answer), effort_text(answer), told])
    return [bold(first), *rest, *wrap(written(said, style), width)]


def _money(amount: float, answer: FeedAnswer) -> str:
    return f"{amount:.1f} {answer.currency}".strip()


def _middle(answer: FeedAnswer, room: tuple[int, int, int, int], width: int, style: Style) -> list[str]:
    first, later, eaten, told = room
    return [
        *_short_lines(answer, told, width, style),
        *_change_lines(answer, told, width, style),
        *(line for text in bought_texts(answer) for line in wrap(written(text, style), width)),
        *_first_lines(answer, first, width, style),
        *_later_lines(answer, later, width, style),
        *_eaten_lines(answer, eaten, width, style),
    ]


def _short_lines(answer: FeedAnswer, most: int, width: int, style: Style) -> list[str]:
    """What is missing and when, and what would close it."""
    if not answer.missing:
        return []
    said = [f"{written(text, style)}." for text in short_texts(answer)]
    cures = [written(text, style) for text in remedy_texts(answer)]
    more = len(cures) - most
    if more > 0:
        cures = [*cures[:most], written(screen.MORE_REMEDIES(remedies=counted(more, "change")), style)]
    return [bold(screen.SHORT), *(line for one in [*said, *cures] for line in wrap(one, width, INDENT))]


def _change_lines(answer: FeedAnswer, most: int, width: int, style: Style) -> list[str]:
    """How it differs from the plan that was kept; nothing where none was."""
    if not answer.changes:
        return wrap(str(words.UNCHANGED()), width) if answer.kept else []
    head, *said = [written(text, style) for text in change_texts(answer)]
    more = len(said) - most
    if more > 0:
        said = [*said[:most], written(screen.MORE_CHANGES(changes=counted(more, "change")), style)]
    return [bold(head), *(line for one in said for line in wrap(one, width, INDENT))]


def _weeks_jobs(answer: FeedAnswer) -> tuple[date | None, list[FeedJob]]:
    """The first week in which anything is to be done on the beds, and what."""
    acts = [job for job in answer.jobs if job.do in ACTS]
    if not acts:
        return None, []
    monday = acts[0].on - timedelta(days=acts[0].on.weekday())
    return monday, [job for job in acts if job.on < monday + WEEK]


def _first_lines(answer: FeedAnswer, most: int, width: int, style: Style) -> list[str]:
    week, jobs = _weeks_jobs(answer)
    if week is None:
        return [words.NOTHING_TO_SOW]
    names = answer.names
    ordered = sorted(jobs, key=lambda job: (ACTS.index(job.do), names.get(job.crop, job.crop)))
    rows = [
        (names.get(crop, crop), written(_job(answer, do, list(own)), style))
        for (do, crop), own in groupby(ordered, key=lambda job: (job.do, job.crop))
    ]
    more = len(rows) - most
    rest = wrap(written(screen.MORE_JOBS(jobs=counted(more, "job")), style), width, INDENT) if more > 0 else []
    return [bold(written(screen.FIRST(week=week), style)), *beside(rows[:most], NAME_COLUMNS, width, INDENT), *rest]


def _job(answer: FeedAnswer, do: str, jobs: Sequence[FeedJob]) -> Text:
    """All that is to be done of one kind with one crop in a week, its beds in a sentence."""
    if do == "trays":
        trays = [one for one in answer.trays for job in jobs if (one.crop, one.bed, one.sow) == _name(job)]
        places: Text = listed([screen.LYING(trays=words.trays_said(one.trays_count), bed=one.bed) for one in trays])
        return screen.TRAYS(places=places, first=min(one.cut_from for one in trays))
    if do == "clear":
        return screen.CLEAR(places=listed(list(dict.fromkeys(job.bed for job in jobs))))
    own = [one for one in answer.sowings for job in jobs if (one.crop, one.bed, one.known_by) == _name(job)]
    plants = sum(one.plants_count or 0 for one in own)
    if do in ("raise", "outdoors"):
        said = screen.RAISE if do == "raise" else screen.OUTDOORS
        beds = listed(list(dict.fromkeys(one.bed for one in own)))
        return said(plants=plants, places=beds, out=min(one.set_out or one.sow for one in own))
    places = listed([
        screen.PLAIN_PATCH(bed=one.bed, area=one.area_m2) if one.plants_count is None
        else screen.PATCH(bed=one.bed, area=one.area_m2, plants=one.plants_count)
        for one in own
    ])  # fmt: skip
    if do == "sow":
        return screen.SOW(places=places, first=min(one.harvest_from for one in own))
    return (screen.SET_OUT if do == "set-out" else screen.MOVE_IN)(places=places)


def _name(job: FeedJob) -> tuple[str, str, date]:
    return job.crop, job.bed, job.sow


def _later_lines(answer: FeedAnswer, most: int, width: int, style: Style) -> list[str]:
    """Names of what is sown after the first week, under their days, as many as fit; the rest counted."""
    now = {id(job) for job in _weeks_jobs(answer)[1]}
    jobs = [job for job in answer.jobs if job.do in SOWS and id(job) not in now]
    names, lines = answer.names, list[str]()
    days = [
        (on, list(dict.fromkeys(names.get(job.crop, job.crop) for job in own)))
        for on, own in ((on, list(own)) for on, own in groupby(jobs, key=lambda job: job.on))
    ]
    for shown in range(len(days), 0, -1):
        texts: list[Text] = [screen.BY_DAY(on=on, crops=joined(crops, ", ")) for on, crops in days[:shown]]
        left = sum(job.on > days[shown - 1][0] for job in jobs)
        if left:
            texts.append(screen.MORE(count=left, last=jobs[-1].on))
        lines = wrap(written(joined([joined(texts, "; "), "."], ""), style), width, INDENT)
        if len(lines) <= most:
            break
    return [bold(screen.THEN), *lines] if lines else []


def _months(answer: FeedAnswer) -> Iterator[tuple[str, list[str]]]:
    names = answer.names
    for _, weeks in groupby(answer.weeks, key=lambda week: (week.start.year, week.start.month)):
        own = list(weeks)
        grams: dict[str, float] = {}
        for item in (item for week in own for item in week.eat):
            grams[item.crop] = grams.get(item.crop, 0.0) + item.grams_g
        best = sorted(grams, key=lambda crop: -grams[crop])[:KINDS_EATEN]
        if best:
            yield own[0].start.strftime("%b"), [names.get(crop, crop) for crop in best]


def _eaten_lines(answer: FeedAnswer, most: int, width: int, style: Style) -> list[str]:
    """What is eaten in each month; nothing where it does not fit."""
    months = list(_months(answer))
    for count in range(KINDS_EATEN, 0, -1):
        texts = [screen.MONTH(month=month, crops=joined(crops[:count], ", ")) for month, crops in months]
        lines = wrap(written(joined([joined(texts, "; "), "."], ""), style), width, INDENT)
        if len(lines) <= most:
            return [bold(screen.EATEN), *lines] if months else []
    return []


def _seasons(answer: FeedAnswer) -> str:
    """How it fares in other seasons, the worst week named; and what falls short of the surety asked."""
    if not answer.surety:
        return ""
    wishes: list[Text] = [words.SERVED(wish=food(item.wish), served=item.served_frac) for item in answer.surety]
    said: list[str] = [screen.SEASONS(wishes=listed(wishes))]
    worst = max(answer.surety, key=lambda item: item.worst_short_frac)
    if worst.worst_week is not None and worst.worst_short_frac > 0:
        seasons = words.seasons_said(worst.worst_short_frac)
        said.append(screen.WORST(wish=food(worst.wish), week=worst.worst_week, seasons=seasons))
    below = below_text(answer)
    if below:
        said += [" ", below]
    return joined(said, "")
