"""What to do in a month, as it stands in a list of jobs."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Final

from tenhour.words.text import Sentence, Text, listed

WEIGHED_G: Final = 1.0
"""Seed heavier than this is weighed; lighter seed is counted, for no kitchen scale shows it."""

SOW_FOR_WINTER = Sentence("sow {names} for winter")
SOW_TO_STAND = Sentence("sow {names} to stand small through the dark")
BEGIN_TO_PICK = Sentence("begin to pick {names}")
BEGIN_TO_CUT = Sentence("begin to cut {names}")
START_TRAYS = Sentence("start trays of {names}, one a week")
PAYS_AGAIN = Sentence("sowing {names} pays again")
FRUITS_AGAIN = Sentence("light and warmth are enough for {names} to fruit")
RAISE_FOR_WINTER = Sentence("sow {names} {where}, the last time for winter")
SET_OUT = Sentence("set out {names} for winter by now")
RAISE_FOR_SPRING = Sentence("sow {names} {where} from now on")
RAISE_FOR_GARDEN = Sentence("sow {name} for the garden, to set out about {out:date}")
HARDEN_OFF = Sentence("harden off {name} and set it out in the garden")
SOW_AREA = Sentence("sow {area:area} of {name}")
SOW_AREA_SEED = Sentence("sow {area:area} of {name}, {seed:fresh} of seed")
SOW_AREA_COUNT = Sentence("sow {area:area} of {name}, {seeds:count} seeds")

SEEDS = Sentence("{seeds:count} seeds")
SEED_G = Sentence("{seed:fresh}")

NAMED_IF = Sentence("{name} (if sown by {by:date})")
NAMED_BY = Sentence("{name} (by {by:date})")
NAMED_OUT_BY = Sentence("{name} (to set out by {by:date})")
NAMED_OUT_FROM = Sentence("{name} (to set out from {by:date})")


def job_text(job: Sentence, where: str, crops: Sequence[tuple[str, Sentence | None, date | None]]) -> Text:
    """Write one job for several crops.

    Parameters: job, a pattern with ``names``; where, the place it names, if it does; crops, name, the pattern that puts
    a date beside it, and that date.
    """
    names = [name if by is None or named is None else named(name=name, by=by) for name, named, by in crops]
    return job(names=listed(names), where=where)


def sowing_text(area_m2: float, name: str, seed_g: float | None, seeds_count: int | None) -> Text:
    """Write one sowing of a steady supply.

    Parameters: area_m2 [m²]; name, of the crop; seed_g [g], None where its file has no mass of seed; seeds_count, None
    of what is weighed.
    """
    if seed_g is None:
        return SOW_AREA(area=area_m2, name=name)
    if seeds_count is not None and seed_g < WEIGHED_G:
        return SOW_AREA_COUNT(area=area_m2, name=name, seeds=seeds_count)
    return SOW_AREA_SEED(area=area_m2, name=name, seed=seed_g)
