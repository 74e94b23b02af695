"""The household's plan as a calendar file: a new plan replaces what an old one put there, and takes off what is off."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Final

from tenhour.model.feed import FeedAnswer, FeedJob
from tenhour.report.calendar import Entry, calendar_of
from tenhour.words.crops import crop_name
from tenhour.words.style import Style
from tenhour.words.text import written

HEADS: Final = {
    "buy": "Buy seed of {crop}", "sow": "Sow {crop} on {bed}", "raise": "Sow {crop} in the nursery",
    "set-out": "Set out {crop} on {bed}", "trays": "Sow trays of {crop}", "pick": "{crop} on {bed} is ready to eat",
    "clear": "Clear {crop} from {bed}", "outdoors": "Sow {crop} outdoors", "move-in": "Move {crop} in to {bed}",
}  # fmt: skip


def feed_ics(answer: FeedAnswer, house: str, made: datetime, style: Style) -> bytes:
    """Write every job of a plan as an all-day entry.

    Parameters: house, the name or place that tells this house from another; made, when the file is made (with zone).
    Method: an entry is known by its job, crop, bed and day of sowing, so a second import moves it and never doubles
    it; jobs that a new plan gives no more are said to be off (RFC 5545, status CANCELLED).
    """
    return calendar_of([*_jobs(answer, style), *_off(answer)], house, made)


def _jobs(answer: FeedAnswer, style: Style) -> Iterator[Entry]:
    for job in answer.jobs:
        yield Entry(
            job.do, job.on, job.on, _head(job.do, job), written(job.text, style), job.bed, job.crop, _known(job)
        )


def _off(answer: FeedAnswer) -> Iterator[Entry]:
    for job in answer.withdrawn:
        yield Entry(job.do, job.on, job.on, _head(job.do, job), "", job.bed, job.crop, _known(job), cancelled=True)


def _head(do: str, of: FeedJob) -> str:
    name = crop_name(of.crop)
    return HEADS[do].format(crop=name[:1].upper() + name[1:] if do == "pick" else name, bed=of.bed)


def _known(of: FeedJob) -> str:
    return f"sown {of.sow.isoformat()}"
