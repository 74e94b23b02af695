"""Everything the page shows, from one house-year and one growth run."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Final

from tenhour.model.crop import Crop, Source
from tenhour.model.heat_answer import HeatAnswer
from tenhour.model.lamp_answer import LampAnswer
from tenhour.model.report import HousePlan, PlanBed, ReportAnswer
from tenhour.model.results import Basis, BedMap, BedSowing
from tenhour.plan.dates import MONTH_OF_DAY
from tenhour.year.answers.light import bed_map, light_of
from tenhour.year.answers.season import BedsPart, beds_part, season_from
from tenhour.year.answers.sow import beds_sown, sow_from
from tenhour.year.answers.week import lamps_on
from tenhour.year.crops.grown import Table
from tenhour.year.inside.sunpaths import sun_paths
from tenhour.year.world import World

NORTH_MAPS: Final = ((12, "December"), (2, "February"), (4, "April"))
SOUTH_MAPS: Final = ((6, "June"), (8, "August"), (10, "October"))
"""The dark, its end, and spring."""


def report_of(
    world: World,
    tables: Iterable[Table],
    dated: Sequence[Crop],
    fruiting: Sequence[Crop] = (),
    *,
    on: date,
    standing: Mapping[str, tuple[str, ...]] | None = None,
    cited: Mapping[str, Source] | None = None,
    lamps: tuple[LampAnswer, ...] = (),
    heat: HeatAnswer | None = None,
) -> ReportAnswer:
    """Collect everything from growth tables.

    Parameters: world, of all beds shown; tables, of its beds in their order, each let go before the next is grown;
    dated, crops of the tables; fruiting, crops that get a verdict alone; on; standing, what the log says, by bed;
    cited, the works behind source keys; lamps and heat, what was answered already.
    """
    house = world.house
    light = light_of(world, on=on, warmed=True)

    def told(table: Table) -> tuple[BedsPart, tuple[BedSowing, ...]]:
        return beds_part(table, (), on), beds_sown(table, fruiting, on, standing)

    parts = list(map(told, tables))
    season = season_from(world, [part for part, _ in parts], dated, start=on)
    sow = sow_from(world, [bed for _, sown in parts for bed in sown], on=on)
    return ReportAnswer(
        basis=_basis(*([] if heat is None else [heat.basis]), light.basis, sow.basis, season.basis),
        house=house.name,
        on=on,
        light=light,
        maps=_maps(world),
        sow=sow,
        season=season,
        sun=sun_paths(house),
        lamps=lamps,
        sources=_cited((*dated, *fruiting), cited or {}),
        marks=_marks((*dated, *fruiting)),
        us_units=house.us_units,
        heat=heat,
        plan=_plan(world),
        hung=tuple(lamps_on(world, on)),
    )


def _plan(world: World) -> HousePlan:
    """The house from above with the light of its beds in the months of the maps."""
    house = world.house
    months = NORTH_MAPS if house.site.latitude_deg >= 0.0 else SOUTH_MAPS
    beds = tuple(
        PlanBed(
            own.name,
            own.at_m,
            own.size_m,
            tuple(float(bed.dli_mol_m2_d[month == MONTH_OF_DAY].mean()) for month, _ in months),
        )
        for own, bed in zip(house.beds, world.beds, strict=True)
    )
    ends = [max(bed.at_m[axis] + bed.size_m[axis] for bed in beds) for axis in (0, 1)]
    length, width = (
        max(house.dimensions_m.get(name, 0.0), end) for name, end in zip(("length", "width"), ends, strict=True)
    )
    return HousePlan(length, width, tuple(name for _, name in months), beds)


def _cited(crops: Sequence[Crop], works: Mapping[str, Source]) -> tuple[Source, ...]:
    """Works behind the numbers of these crops, in order of their keys."""
    used = sorted({number.source for crop in crops for _, number in crop.numbers()})
    return tuple(works[key] for key in used if key in works)


def _marks(crops: Sequence[Crop]) -> tuple[tuple[str, int], ...]:
    """How many crop numbers carry each mark, the most frequent first."""
    return tuple(Counter(number.mark for crop in crops for _, number in crop.numbers()).most_common())


def _maps(world: World) -> tuple[BedMap, ...]:
    months = NORTH_MAPS if world.house.site.latitude_deg >= 0.0 else SOUTH_MAPS
    return tuple(
        replace(bed_map(world, bed.name, month=month), when=name) for bed in world.beds for month, name in months
    )


def _basis(*parts: Basis) -> Basis:
    """Join what several answers rest on, each remark once and in order."""

    def once(name: str) -> tuple[str, ...]:
        return tuple(dict.fromkeys(text for part in parts for text in getattr(part, name)))

    inputs = {key: value for part in parts for key, value in part.inputs.items()}
    return Basis(inputs, once("assumptions"), once("warnings"), once("cautions"))
