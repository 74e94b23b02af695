"""What a log of dates and weights has taught, what it changes, and what taught nothing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Literal

from tenhour.model.fields import HIDDEN, About, Count, Number, Prose
from tenhour.model.learned import Lessons
from tenhour.model.results import Answer

Taught = Literal["growth", "yield", "light", "winter-light", "air", "days-put-off"]
"""``air`` is in kelvins and ``days-put-off`` in days; the others are factors, 1 as the model has it."""


@dataclass(frozen=True)
class LearnFactor:
    """One factor with its 90 % interval."""

    factor: Annotated[Taught, About(heads=True)]
    crop: Annotated[str, About(heads=True, empty_null=True)]
    """The crop it is for; null for all, and for the house."""
    winter: Annotated[str, About(heads=True, empty_null=True)]
    """Like 2026-27; null where it is not of one winter."""
    value: Annotated[float, About(kind="plain", digits=3)]
    low: Annotated[float, About(kind="plain", digits=3)]
    high: Annotated[float, About(kind="plain", digits=3)]
    rows: Count
    """Sowings or weighings of the log it rests on."""
    used: bool
    """Whether --keep writes it, so that answers use it; light and air are left to the meter and the thermometer."""


@dataclass(frozen=True)
class LearnEffect:
    """Days from sowing to harvest of one sowing to come, before and after what the log has taught."""

    crop: str
    bed: str
    sown: date
    days_before_d: Annotated[Number, About(name="days_before", heading="without the log", digits=0, shown=0)]
    days_after_d: Annotated[Number, About(name="days_after", heading="with it", digits=0, shown=0)]
    days_low_d: Annotated[Number, About(name="days_low", heading="low", digits=0, shown=0)]
    days_high_d: Annotated[Number, About(name="days_high", heading="high", digits=0, shown=0)]


@dataclass(frozen=True)
class LearnLeftOut:
    """A sowing of the log that taught nothing, and why."""

    crop: str
    bed: str
    sown: date
    because: Prose


@dataclass(frozen=True)
class LearnAnswer(Answer):
    """Answer of ``tenhour learn``."""

    COMMAND = "learn"

    rows_count: Count
    """Sowings used."""
    winters_count: Count
    factors: tuple[LearnFactor, ...]
    effects: tuple[LearnEffect, ...]
    left_out: tuple[LearnLeftOut, ...]
    ask: tuple[Prose, ...]
    """What to look at and log, to learn more."""
    kept_in: Annotated[str, About(empty_null=True)] = ""
    """The house file it was written into."""
    lessons: Annotated[Lessons, HIDDEN] = Lessons()  # noqa: RUF009 - frozen
    us_units: Annotated[bool, HIDDEN] = False
