"""The jobs of a household's plan, one by one, and how it differs from the plan that was kept."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import Final

from tenhour.model.feed import (
    FeedChange,
    FeedJob,
    FeedSeed,
    FeedSowing,
    FeedStand,
    FeedTray,
    KeptSowing,
)
from tenhour.words import feeding as words
from tenhour.words.text import Text, listed
from tenhour.year.feed.offer import TRAY_M2

BUY_D: Final = 42
"""Seed is bought six weeks ahead: practice."""
LEAST_SEED_G: Final = 0.05
"""Less seed than this is counted, not weighed: no kitchen scale shows it."""
RESIZED_FRAC: Final = 0.1
"""A patch so much larger or smaller is told as changed: judgement."""


def jobs_of(
    sowings: Sequence[FeedSowing], trays: Sequence[FeedTray], stands: Sequence[FeedStand], seeds: Sequence[FeedSeed],
    today: date, tray_min: float,
) -> tuple[FeedJob, ...]:  # fmt: skip
    """Everything there is to do, by day; tray_min is the work of sowing one tray."""
    found = [
        *_buys(sowings, trays, seeds, today),
        *(job for one in sowings for job in _of_sowing(one) if job.on >= today - timedelta(days=today.weekday())),
        *(job for one in trays for job in _of_tray(one, tray_min)),
        *(_clear(one.crop, one.name, one.bed, one.sown, one.clear_by, one.area_m2) for one in stands if one.clear_by),
    ]
    return tuple(sorted(found, key=lambda job: (job.on, ORDER[job.do], job.crop, job.bed, job.sow)))


ORDER: Final = {
    "buy": 0, "clear": 1, "outdoors": 2, "raise": 2, "sow": 3, "set-out": 4, "move-in": 4, "trays": 5, "pick": 6,
}  # fmt: skip


def _buys(
    sowings: Sequence[FeedSowing], trays: Sequence[FeedTray], seeds: Sequence[FeedSeed], today: date
) -> Iterator[FeedJob]:
    first: dict[str, date] = {}
    for crop, on in [(one.crop, one.sow) for one in sowings] + [(one.crop, one.sow) for one in trays]:
        first[crop] = min(on, first.get(crop, on))
    for seed in seeds:
        on = max(today, first[seed.crop] - timedelta(days=BUY_D))
        yield FeedJob(on, "buy", seed.crop, "", first[seed.crop], words.BUY(name=seed.name, seed=seed_words(seed)), 0.0)


def seed_words(seed: FeedSeed) -> Text:
    """How much seed, in counts and grams."""
    parts = [] if seed.seeds_count is None else [words.SEEDS(count=f"{seed.seeds_count:,}".replace(",", " "))]
    weighed = seed.seed_g is not None and (seed.seed_g >= LEAST_SEED_G or not parts)
    return listed(parts + ([words.SEED_GRAMS(grams=seed.seed_g)] if weighed else []))


def _of_sowing(one: FeedSowing) -> Iterator[FeedJob]:
    plants = "" if one.plants_count is None else str(one.plants_count)
    if one.moved and one.set_out is not None:
        said = words.SOW_OUTDOORS(name=one.name, bed=one.bed, plants=plants, out=one.set_out)
        yield FeedJob(one.sow, "outdoors", one.crop, one.bed, one.known_by, said, 0.0)
        said = words.MOVE_IN(name=one.name, bed=one.bed, area=one.area_m2, plants=plants)
        yield FeedJob(one.set_out, "move-in", one.crop, one.bed, one.known_by, said, one.work_min)
    elif one.set_out is None:
        said = words.SOW_NOW(name=one.name, bed=one.bed, area=one.area_m2, plants=plants, first=one.harvest_from)
        yield FeedJob(one.sow, "sow", one.crop, one.bed, one.sow, said, one.work_min)
    else:
        said = words.RAISE_NOW(name=one.name, bed=one.bed, plants=plants, out=one.set_out)
        yield FeedJob(one.sow, "raise", one.crop, one.bed, one.sow, said, one.work_min / 2.0)
        said = words.SET_OUT_NOW(name=one.name, bed=one.bed, area=one.area_m2, plants=plants)
        yield FeedJob(one.set_out, "set-out", one.crop, one.bed, one.sow, said, one.work_min / 2.0)
    said = words.PICK_FROM(name=one.name, bed=one.bed, last=one.harvest_to)
    yield FeedJob(one.harvest_from, "pick", one.crop, one.bed, one.known_by, said, 0.0)
    for part in one.cleared:
        yield _clear(one.crop, one.name, one.bed, one.known_by, part.clear_by, part.area_m2)


def _clear(crop: str, name: str, bed: str, sow: date, on: date, area_m2: float) -> FeedJob:
    return FeedJob(on, "clear", crop, bed, sow, words.CLEAR_NOW(name=name, bed=bed, area=area_m2), 0.0)


def _of_tray(one: FeedTray, tray_min: float) -> Iterator[FeedJob]:
    said = words.TRAYS_NOW(
        trays=words.trays_said(one.trays_count), name=one.name, bed=one.bed,
        seed="" if one.seed_g is None else words.OF_SEED(grams=one.seed_g), first=one.cut_from,
    )  # fmt: skip
    yield FeedJob(one.sow, "trays", one.crop, one.bed, one.sow, said, tray_min * one.trays_count)


def withdrawn(
    before: Sequence[FeedJob], jobs: Sequence[FeedJob], missed: Sequence[KeptSowing], today: date
) -> tuple[FeedJob, ...]:  # fmt: skip
    """Jobs ahead that a kept plan gave and that are given no more, or less often; and all those of sowings missed."""
    gone = {(one.crop, one.bed, one.moved_in or one.sow) for one in missed}
    left = Counter(_named(job) for job in jobs)
    out = []
    for job in before:
        if job.on < today and (job.crop, job.bed, job.sow) not in gone:
            continue
        if left[_named(job)] > 0:
            left[_named(job)] -= 1
        else:
            out.append(job)
    return tuple(out)


def _named(job: FeedJob) -> tuple[str, str, str, date]:
    return job.do, job.crop, job.bed, job.sow


def changes_of(
    kept: Sequence[KeptSowing], missed: Sequence[KeptSowing], sowings: Sequence[FeedSowing],
    trays: Sequence[FeedTray], names: Mapping[str, str],
) -> tuple[FeedChange, ...]:  # fmt: skip
    """What is new, dropped or of another size beside the sowings that were still ahead in the plan that was kept."""
    now = {(one.crop, one.bed, one.known_by, one.set_out is not None): one.area_m2 for one in sowings}
    now |= {(one.crop, one.bed, one.sow, False): one.trays_count * TRAY_M2 for one in trays}
    then = {
        (one.crop, one.bed, one.moved_in or one.sow, one.raised or one.moved_in is not None): one.units_count
        * (TRAY_M2 if one.tray else 1.0)
        for one in kept
    }
    out = [
        FeedChange("missed", one.crop, one.bed, one.moved_in or one.sow,
                   words.MISSED(name=names.get(one.crop, one.crop), bed=one.bed, on=one.sow))
        for one in missed
    ]  # fmt: skip
    for key in sorted({*now, *then}, key=lambda key: (key[2], key[0], key[1])):
        crop, bed, on, _ = key
        name = names.get(crop, crop)
        if key not in then:
            out.append(FeedChange("new", crop, bed, on, words.NEW(name=name, bed=bed, on=on, area=now[key])))
        elif key not in now:
            out.append(FeedChange("dropped", crop, bed, on, words.DROPPED(name=name, bed=bed, on=on)))
        elif abs(now[key] - then[key]) > RESIZED_FRAC * then[key]:
            said = words.RESIZED(name=name, bed=bed, on=on, area=now[key], before=then[key])
            out.append(FeedChange("resized", crop, bed, on, said))
    return tuple(out)
