"""Put the lines that every grower is told into the answers they apply to."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, TypeVar

from tenhour.model.crop import Crop
from tenhour.model.grower import GrowerFacts, GrowerLine, lines_for
from tenhour.model.log import LogAnswer
from tenhour.model.results import SowAnswer
from tenhour.model.season import SeasonAnswer
from tenhour.year.world import World

if TYPE_CHECKING:
    from tenhour.model.diagnosis import WhyAnswer

Answered = TypeVar("Answered", SowAnswer, SeasonAnswer, LogAnswer, "WhyAnswer")


def with_grower_lines(
    answer: Answered, world: World, crops: Iterable[Crop], lines: Sequence[GrowerLine], on: date
) -> Answered:
    """Return an answer with at most two lines that apply to it.

    Parameters: answer; world of its house; crops, of the table; lines, of the packaged table; on, the day asked for.
    """
    keys, harvest, raised, beds = _about(answer)
    chosen = [crop for crop in crops if crop.key in keys]
    numbers = [n for n, bed in enumerate(world.bed_names) if not beds or bed in beds] or [0]
    day = on.timetuple().tm_yday - 1
    facts = GrowerFacts(
        answer.COMMAND,
        on,
        world.house.site.latitude_deg < 0.0,
        tuple(crop.way for crop in chosen),
        tuple(crop.latin for crop in chosen),
        min(float(world.air.night_degc[n][day % 365]) for n in numbers),
        min(float(world.beds[n].dli_mol_m2_d[day % 365]) for n in numbers),
        harvest,
        raised,
    )
    return replace(answer, grower_lines=lines_for(facts, lines))


def _about(answer: SowAnswer | SeasonAnswer | LogAnswer | WhyAnswer) -> tuple[set[str], bool, bool, set[str]]:
    """Crops an answer is about, whether one is ready, whether one is raised elsewhere, and its beds."""
    if isinstance(answer, SowAnswer):
        raised = any(one.set_out is not None for one in answer.now)
        return {one.crop for one in answer.now}, False, raised, {one.bed for one in answer.now}
    if isinstance(answer, SeasonAnswer):
        crops = {one.crop for one in answer.chosen} or {crop.crop for bed in answer.beds for crop in bed.crops}
        return crops, False, False, {bed.name for bed in answer.beds}
    if isinstance(answer, LogAnswer):
        ready = any(one.do in ("harvest", "eat-first") for one in answer.stands)
        return {one.crop for one in answer.stands}, ready, False, {one.bed for one in answer.stands if one.bed}
    up = answer.stage != "not up yet"  # what is told of plants does not suit seed that is to be kept damp
    return {answer.crop} if up else set(), False, False, {answer.bed} if answer.bed else set()
