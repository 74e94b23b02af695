"""The grower's own log: sowings, settings-out, harvests and clearings, one line each."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Annotated, Final, Literal, get_args

from tenhour.model.fields import About, Density, Fresh
from tenhour.model.results import Answer, Basis
from tenhour.words.remarks import SOWN

What = Literal["sown", "set-out", "harvested", "cleared"]
WHATS: Final[tuple[What, ...]] = get_args(What)
STANDING_D: Final = 400
"""A sowing older than this is taken as gone even if nobody logged its clearing: overwintered crops stand a year."""


@dataclass(frozen=True)
class LogLine:
    """One thing that was done: what, to which crop, in which bed, on which day."""

    on: Annotated[date, About(name="date")]
    what: What
    crop: str
    bed: Annotated[str, About(empty_null=True)] = ""
    plants_per_m2: Annotated[Density | None, About(heading="plants")] = None
    fresh_g: Annotated[Fresh | None, About(heading="fresh")] = None
    note: Annotated[str, About(empty_null=True, wrap=True)] = ""


@dataclass(frozen=True)
class Stand:
    """One crop that stands in a bed by the log."""

    crop: str
    bed: Annotated[str, About(empty_null=True)]
    sown: date
    plants_per_m2: Annotated[Density | None, About(heading="plants")] = None
    fresh_g: Annotated[Fresh, About(heading="cut")] = 0.0
    """Harvested so far."""

    @property
    def label(self) -> str:
        """Crop and date as one phrase."""
        return SOWN(crop=self.crop, on=self.sown)


def standing(lines: Iterable[LogLine], on: date) -> tuple[Stand, ...]:
    """What stands where on a day by the log, oldest first.

    A sowing stands from its day until a clearing of the same crop (and bed, where both name one); setting out moves
    it to another bed; harvests add up. Lines after ``on`` do not count.
    """
    stands: list[Stand] = []
    for line in sorted((line for line in lines if line.on <= on), key=lambda line: line.on):
        if line.what == "sown":
            stands.append(Stand(line.crop, line.bed, line.on, line.plants_per_m2))
        else:
            stands = _after(stands, line)
    return tuple(stand for stand in stands if on - stand.sown <= timedelta(days=STANDING_D))


def standing_by_bed(lines: Iterable[LogLine], on: date) -> dict[str, tuple[str, ...]]:
    """What stands on each bed on a day by the log, as phrases; beds without a name come under ""."""
    out: dict[str, tuple[str, ...]] = {}
    for stand in standing(lines, on):
        out[stand.bed] = (*out.get(stand.bed, ()), stand.label)
    return out


def _touches(stand: Stand, line: LogLine) -> bool:
    return stand.crop == line.crop and (not line.bed or not stand.bed or stand.bed == line.bed)


def _after(stands: list[Stand], line: LogLine) -> list[Stand]:
    if line.what == "cleared":
        return [stand for stand in stands if not _touches(stand, line)]
    if line.what == "set-out":
        return _moved(stands, line)
    touched = [i for i, stand in enumerate(stands) if _touches(stand, line)]
    if touched and line.fresh_g:
        oldest = stands[touched[0]]
        stands[touched[0]] = Stand(
            oldest.crop, oldest.bed, oldest.sown, oldest.plants_per_m2, oldest.fresh_g + line.fresh_g
        )
    return stands


def _moved(stands: list[Stand], line: LogLine) -> list[Stand]:
    """Move the oldest sowing of the crop that is not yet in the bed; plants bought in count from this day."""
    for i, stand in enumerate(stands):
        if stand.crop == line.crop and stand.bed != line.bed:
            stands[i] = Stand(
                stand.crop, line.bed, stand.sown, line.plants_per_m2 or stand.plants_per_m2, stand.fresh_g
            )
            return stands
    return [*stands, Stand(line.crop, line.bed, line.on, line.plants_per_m2)]


def last_sowing(lines: Iterable[LogLine], crop: str, before: date) -> LogLine | None:
    """Return the latest sowing of a crop on or before a day, or None."""
    found = [line for line in lines if line.what == "sown" and line.crop == crop and line.on <= before]
    return max(found, key=lambda line: line.on) if found else None


@dataclass(frozen=True)
class LogAnswer(Answer):
    """Answer of ``tenhour log``: what stands where on a day, and every line."""

    COMMAND = "log"

    standing: tuple[Stand, ...]
    lines: tuple[LogLine, ...]


def log_answer(lines: Iterable[LogLine], on: date, path: str) -> LogAnswer:
    """Return a log as an answer; ``path`` is where it is kept."""
    every = tuple(lines)
    return LogAnswer(Basis({"log": path, "on": on.isoformat()}), standing(every, on), every)
