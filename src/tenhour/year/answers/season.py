"""The season answer: every crop on every bed through a year."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from tenhour.model.crop import Crop
from tenhour.model.season import BedSeason, SeasonAnswer, SeasonWeek
from tenhour.plan.choosing import chosen_of
from tenhour.plan.dates import DAYS
from tenhour.plan.season import WEEK_D, WEEKS
from tenhour.sun import daylength
from tenhour.words import remarks as words
from tenhour.words.crops import crop_name
from tenhour.year.answers.coldest import cold_nights
from tenhour.year.answers.cropyear import SeasonParts, crop_season
from tenhour.year.answers.fruiting import fruiting_season
from tenhour.year.answers.garden import (
    LastFrost,
    Place,
    bed_places,
    garden_of,
    last_frost,
    nursery_places,
    own_last_frost,
)
from tenhour.year.answers.tasks import tasks_of
from tenhour.year.crops.grown import Table
from tenhour.year.crops.routes import routes_of
from tenhour.year.crops.stands import stands_of
from tenhour.year.crops.supply import Offer, Supply, Wishes, offer_of, offers_together, supply_of
from tenhour.year.outside.hours import place_extremes
from tenhour.year.outside.sunlight import DULL
from tenhour.year.world import World

Array = NDArray[np.float64]


@dataclass(frozen=True)
class BedsPart:
    """What a season keeps of the beds of one table, when that is let go."""

    beds: tuple[BedSeason, ...]
    nursery: list[Place]
    garden: list[list[Place]]
    """What would raise plants for the garden: the nursery, and each bed."""
    offer: Offer | None
    """What a supply is planned from, where one is wished for."""


def season_of(
    world: World,
    tables: Iterable[Table],
    crops: Sequence[Crop],
    fruiting: Sequence[Crop] = (),
    *,
    start: date,
    wishes: Wishes | None = None,
) -> SeasonAnswer:
    """Year of every crop of the tables, and of fruiting crops, which get a verdict but no dates.

    Parameters: world, of all beds shown; tables, of its beds in their order, each let go before the next is grown;
    crops, of the tables; fruiting; start, first day shown; wishes, for a steady supply.
    """

    def part(table: Table) -> BedsPart:
        return beds_part(table, fruiting, start, wishes)

    # map, unlike a loop, holds on to no table while the next one is made
    return season_from(world, list(map(part, tables)), crops, start=start, wishes=wishes)


def beds_part(table: Table, fruiting: Sequence[Crop], start: date, wishes: Wishes | None = None) -> BedsPart:
    """Year of every crop on the beds of one table; the rest as of :func:`season_of`."""
    year, beds = parts_of(table, start), range(len(table.world.beds))
    return BedsPart(
        tuple(_bed_season(number, year, fruiting) for number in beds),
        nursery_places(table),
        [bed_places(table, number) for number in beds],
        None if wishes is None or wishes.every_d is None else offer_of(table),
    )


def season_from(
    world: World, parts: Sequence[BedsPart], crops: Sequence[Crop], *, start: date, wishes: Wishes | None = None
) -> SeasonAnswer:
    """The season of a world whose beds were grown in several tables.

    Parameters: world, of all beds shown; parts, of its beds in their order; crops, of the tables; the rest as of
    :func:`season_of`.
    """
    wishes = wishes or Wishes()
    site = world.house.site
    own = wishes.last_frost
    frost = last_frost(world, start) if own is None else own_last_frost(world, own)
    garden = garden_of(crops, frost, parts[0].nursery, [bed for part in parts for bed in part.garden], start)
    beds = tuple(bed for part in parts for bed in part.beds)
    offers = [part.offer for part in parts if part.offer is not None]
    supply = supply_of(offers_together(offers), beds, wishes, start, world.house.household) if offers else Supply()
    if supply.full_frac:
        beds = tuple(
            replace(bed, full_frac=full, wished_ratio=wished)
            for bed, full, wished in zip(beds, supply.full_frac, supply.wished_ratio, strict=True)
        )
    before, after = daylength.ten_hour_dates(start, site.latitude_deg, site.longitude_deg)
    names = {crop.key: crop_name(crop.key) for crop in crops}
    return SeasonAnswer(
        basis=replace(
            world.basis(_inputs(world, start, wishes)),
            assumptions=_assumptions(world, frost, wishes),
            warnings=(*world.warnings, *supply.notes),
        ),
        start=start,
        beds=beds,
        tasks=tasks_of(start, beds, garden, supply.successions, names),
        successions=supply.successions,
        before_dark=before,
        after_dark=after,
        last_frost=None if frost is None else frost.half,
        last_frost_tenth=None if frost is None else frost.tenth,
        calibration=world.house.calibration_note,
        us_units=world.house.us_units,
        seeds=supply.seeds,
        garden=garden,
        chosen=chosen_of(beds, world.house.household),
        nights=cold_nights(
            world.house, place_extremes(world.warmth.sources, world.light), world.outdoors.climate.temp_degc,
            world.air, start,
        ),
    )  # fmt: skip


def parts_of(table: Table, on: date) -> SeasonParts:
    """Stands and routes of every crop on every bed, shown from a day on."""
    routes, sow_by = routes_of(table), table.ruling.sow_by
    sow_by = np.where(np.isnan(sow_by) & np.isfinite(routes.sow_by), routes.sow_by, sow_by)
    return SeasonParts(table, stands_of(table, sow_by, on), routes, on)


def _inputs(world: World, start: date, wishes: Wishes) -> dict[str, object]:
    site = world.house.site
    nursery = world.house.nursery
    return {
        "house": world.house.path or "built-in demo house",
        "latitude_deg": site.latitude_deg,
        "longitude_deg": site.longitude_deg,
        "start": start.isoformat(),
        "every_d": wishes.every_d,
        "meals_per_week": wishes.meals_per_week_count,
        "nursery": None if nursery is None else nursery.name,
    }


def _assumptions(world: World, frost: LastFrost | None, wishes: Wishes) -> tuple[str, ...]:
    notes = list(world.assumptions)
    if frost is not None:
        own = wishes.last_frost is not None or world.house.site.last_frost_doy is not None
        said = words.LAST_FROST_FILE if world.warmth.springs.measured else words.LAST_FROST
        said = words.LAST_FROST_OWN if own else said
        notes.append(said(half=frost.half, tenth=frost.tenth))
    return tuple(notes)


def _bed_season(number: int, year: SeasonParts, fruiting: Sequence[Crop]) -> BedSeason:
    table, world, on = year.table, year.table.world, year.on
    bed, air, house_bed = world.beds[number], world.air, world.house.beds[number]
    weeks = []
    for week in range(WEEKS):
        days = (year.sown[week] + np.arange(WEEK_D)) % DAYS
        weeks.append(
            SeasonWeek(
                start=on + timedelta(days=WEEK_D * week),
                dli_mol_m2_d=float(bed.dli_mol_m2_d[days].mean()),
                dull_dli_mol_m2_d=float(bed.class_dli_mol_m2_d[days, DULL].mean()),
                day_degc=float(air.day_degc[number, days].mean()),
                night_degc=float(air.night_degc[number, days].mean()),
                cold_night_degc=float(air.cold_night_degc[number, days].mean()),
                cold_night_1in10_degc=float(air.rare_night_degc[number, days].mean()),
                lit_h=float(table.climate.lit_h[number, days].mean()),
            )
        )
    crops = [crop_season(year, crop, number) for crop in range(len(table.crops))]
    crops += [fruiting_season(world, crop, number, on) for crop in fruiting]
    return BedSeason(bed.name, house_bed.size_m[0] * house_bed.size_m[1], tuple(weeks), tuple(crops))
