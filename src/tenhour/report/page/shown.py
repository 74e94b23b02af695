"""Which crops the page shows: those chosen for the household, on the beds chosen for them; few crops all of them."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from tenhour.model.report import ReportAnswer
from tenhour.model.season import BedSeason

FEW: Final = 12
"""So many crops are all shown, on every bed."""


def crops_shown(answer: ReportAnswer) -> set[str]:
    """Keys of the crops whose sentences, dates and jobs the page tells."""
    season, sow = answer.season, answer.sow
    every = {crop.crop for bed in season.beds for crop in bed.crops}
    if len(every) <= FEW or not season.chosen:
        return every
    drawn = {one.crop for one in season.chosen} | {one.crop for one in sow.now}
    return (drawn | {one.crop for one in (*sow.later, *sow.diary)}) & every


def beds_shown(answer: ReportAnswer) -> tuple[BedSeason, ...]:
    """The beds with the crops drawn on each; a bed on which nothing is chosen is left out."""
    season = answer.season
    every = {crop.crop for bed in season.beds for crop in bed.crops}
    if len(every) <= FEW or not season.chosen:
        return season.beds
    places = {(one.bed, one.crop) for one in season.chosen} | {(one.bed, one.crop) for one in answer.sow.now}
    beds = [replace(bed, crops=tuple(c for c in bed.crops if (bed.name, c.crop) in places)) for bed in season.beds]
    return tuple(bed for bed in beds if bed.crops)
