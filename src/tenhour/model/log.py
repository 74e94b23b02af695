"""The grower's own log: sowings, settings-out, harvests and clearings, one line each."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Annotated, Final, Literal, get_args

from tenhour.model.fields import About, Area, Count, Density, Fresh, Prose
from tenhour.model.results import Answer, Basis
from tenhour.model.week import StandDo
from tenhour.words.remarks import SOWN

What = Literal["sown", "set-out", "ready", "harvested", "stands", "cleared"]
"""``ready``: could be eaten from this day; ``harvested``: eaten; ``stands``: seen there, not ripe yet."""
WHATS: Final[tuple[What, ...]] = get_args(What)
Because = Literal["", "frost", "flower", "slugs", "mould", "not-up", "eaten", "other"]
WHOLE_HARVEST_D: Final = 21
"""Days over which one sowing of heads or roots is taken. Judgement."""
REASONS: Final[tuple[Because, ...]] = get_args(Because)[1:]
"""Why a crop was cleared."""
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
    area_m2: Area | None = None
    plants_count: Annotated[Count | None, About(heading="plants in all")] = None
    variety: Annotated[str, About(empty_null=True)] = ""
    because: Annotated[Because, About(empty_null=True)] = ""
    """Why it was cleared."""
    sown_on: date | None = None
    """The sowing it belongs to, where several stand."""


@dataclass(frozen=True)
class Sowing:
    """One sowing from its day to its end, as far as the log tells."""

    crop: str
    bed: str
    sown: date
    set_out: date | None = None
    ready: date | None = None
    first_harvest: date | None = None
    first_fresh_g: float = 0.0
    """Fresh mass of the day of the first harvest [g]."""
    fresh_g: float = 0.0
    plants_per_m2: float | None = None
    plants_count: int | None = None
    area_m2: float | None = None
    variety: str = ""
    stands: date | None = None
    """The last day it was seen unripe."""
    cleared: date | None = None
    because: Because = ""


def sowings(lines: Iterable[LogLine], on: date, taken_whole: Collection[str] = ()) -> tuple[Sowing, ...]:
    """Every sowing up to a day with what became of it, oldest first; plants bought in count from their setting out.

    A line belongs to the sowing it names (``sown_on``), else to the oldest of its crop that stands in its bed, or in
    no bed yet; ``ready`` to the oldest that is not. Crops ``taken_whole`` are harvested within WHOLE_HARVEST_D of their
    first harvest, and a later one is that of the next sowing. Lines after ``on`` do not count.
    """
    out: list[Sowing] = []
    for line in sorted((line for line in lines if line.on <= on), key=lambda line: line.on):
        if line.what == "sown":
            out.append(_begun(line))
            continue
        places = [n for n, one in enumerate(out) if one.cleared is None and _belongs(one, line)]
        if line.what == "cleared" and line.sown_on is None:
            for place in places:
                out[place] = _with_line(out[place], line)
        elif places:
            place = _meant([out[n] for n in places], line, line.crop in taken_whole)
            out[places[place]] = _with_line(out[places[place]], line)
        elif line.what == "set-out":
            out.append(replace(_begun(line), set_out=line.on))
    return tuple(out)


def _begun(line: LogLine) -> Sowing:
    return Sowing(
        line.crop, line.bed, line.on, plants_per_m2=line.plants_per_m2, plants_count=line.plants_count,
        area_m2=line.area_m2, variety=line.variety,
    )  # fmt: skip


def _belongs(sowing: Sowing, line: LogLine) -> bool:
    if sowing.crop != line.crop or (line.sown_on is not None and line.sown_on != sowing.sown):
        return False
    if line.what == "set-out":
        return sowing.set_out is None and sowing.bed != line.bed
    return not line.bed or not sowing.bed or sowing.bed == line.bed


def _meant(standing: Sequence[Sowing], line: LogLine, whole: bool) -> int:
    """Which of several standing sowings a line is about."""
    if line.what == "ready":
        return next((n for n, one in enumerate(standing) if one.ready is None), 0)
    if line.what != "harvested" or not whole:
        return 0
    begun = [one.first_harvest for one in standing]
    going_on = [n for n, first in enumerate(begun) if first and (line.on - first).days <= WHOLE_HARVEST_D]
    untouched = [n for n, first in enumerate(begun) if first is None]
    return [*going_on[-1:], *untouched, 0][0]


def _with_line(sowing: Sowing, line: LogLine) -> Sowing:
    """The sowing after one more line about it."""
    told = {
        name: value
        for name in ("plants_per_m2", "plants_count", "area_m2", "variety")
        if (value := getattr(line, name)) not in (None, "")
    }
    if line.what == "set-out":
        told |= {"bed": line.bed or sowing.bed, "set_out": line.on}
    elif line.what == "ready":
        told["ready"] = sowing.ready or line.on
    elif line.what == "stands":
        told["stands"] = line.on
    elif line.what == "cleared":
        told |= {"cleared": line.on, "because": line.because}
    else:
        first = sowing.first_harvest or line.on
        grams = line.fresh_g or 0.0
        told |= {"first_harvest": first, "fresh_g": sowing.fresh_g + grams}
        told["first_fresh_g"] = sowing.first_fresh_g + (grams if line.on == first else 0.0)
    return replace(sowing, **told)


@dataclass(frozen=True)
class Stand:
    """One crop that stands in a bed by the log."""

    crop: str
    bed: Annotated[str, About(empty_null=True)]
    sown: date
    plants_per_m2: Annotated[Density | None, About(heading="plants")] = None
    fresh_g: Annotated[Fresh, About(heading="cut")] = 0.0
    """Harvested so far."""
    set_out: date | None = None
    """Day they were set out, where they were raised or bought."""

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


def stands_by(lines: Iterable[LogLine], line: LogLine) -> bool:
    """Whether what a line tells of stood on its day by the lines before it."""
    return any(_touches(stand, line) for stand in standing(lines, line.on))


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
        stands[touched[0]] = replace(oldest, fresh_g=oldest.fresh_g + line.fresh_g)
    return stands


def _moved(stands: list[Stand], line: LogLine) -> list[Stand]:
    """Move the oldest sowing of the crop that is not yet in the bed; plants bought in count from this day."""
    for i, stand in enumerate(stands):
        if stand.crop == line.crop and stand.bed != line.bed:
            density = line.plants_per_m2 or stand.plants_per_m2
            stands[i] = replace(stand, bed=line.bed, plants_per_m2=density, set_out=line.on)
            return stands
    return [*stands, Stand(line.crop, line.bed, line.on, line.plants_per_m2, set_out=line.on)]


def last_sowing(lines: Iterable[LogLine], crop: str, before: date) -> LogLine | None:
    """Return the latest sowing of a crop on or before a day, or None."""
    found = [line for line in lines if line.what == "sown" and line.crop == crop and line.on <= before]
    return max(found, key=lambda line: line.on) if found else None


@dataclass(frozen=True)
class LogStand:
    """What stands by the log, when it is ready and what to do with it."""

    crop: str
    bed: Annotated[str, About(empty_null=True)]
    sown: date
    do: Annotated[StandDo, About(heading="to do")]
    text: Annotated[Prose, About(heading="in words", wrap=True)]
    ready_from: date | None = None
    ready_to: date | None = None
    """Ready between these days in eight seasons of ten, as ``season`` has it for this sowing."""
    flowers_from: date | None = None
    verdict: Annotated[str, About(empty_null=True)] = ""
    """What the rule book says of sowing it on that day."""
    set_out: date | None = None
    variety: Annotated[str, About(empty_null=True)] = ""
    ask: Annotated[Prose, About(empty_null=True)] = ""
    """Asked until it is answered once: it should long have been ready, and nobody logged what became of it."""


@dataclass(frozen=True)
class LogAnswer(Answer):
    """Answer of ``tenhour log``: what stands where on a day, and every line."""

    COMMAND = "log"

    standing: tuple[Stand, ...]
    lines: tuple[LogLine, ...]
    stands: tuple[LogStand, ...] = ()
    """The same with forecasts; empty right after a line was added, and without a house file."""
    grower_lines: tuple[Prose, ...] = ()
    """What every grower is told, where it applies; at most two."""


def log_answer(
    lines: Iterable[LogLine], on: date, path: str, stands: tuple[LogStand, ...] = (), cautions: tuple[str, ...] = ()
) -> LogAnswer:
    """Return a log as an answer.

    Parameters: path, where it is kept; stands, what the growth table says of it; cautions, those of its house.
    """
    every = tuple(lines)
    basis = Basis({"log": path, "on": on.isoformat()}, cautions=cautions)
    return LogAnswer(basis, standing(every, on), every, stands)
