"""The season answer as tables."""

from __future__ import annotations

from collections.abc import Iterator

from tenhour.model.season import (
    BedSeason,
    CropSeason,
    GardenPlants,
    Route,
    SeasonAnswer,
    SeasonWeek,
    SeedNeed,
    SowWeek,
    Span,
    Succession,
    Task,
)
from tenhour.report.tables import Table, columns, table_of

BED = columns(BedSeason, "name")
CROP = columns(CropSeason, "crop")


def season_tables(answer: SeasonAnswer) -> tuple[Table, ...]:
    """Every table of the answer: crops, weeks of light and air, weeks of sowing, spans, picking, tasks, successions."""
    return (
        crops_table(answer),
        weeks_table(answer),
        _sowing(answer),
        spans_table(answer),
        _picking(answer),
        tasks_table(answer),
        successions_table(answer),
        seeds_table(answer),
        routes_table(answer),
        garden_table(answer),
    )


def _crops(answer: SeasonAnswer) -> Iterator[tuple[BedSeason, CropSeason]]:
    return ((bed, crop) for bed in answer.beds for crop in bed.crops)


def crops_table(answer: SeasonAnswer) -> Table:
    """One row per bed and crop: the dates a grower keeps."""
    names = "crop name way sow_from sow_by_sure sow_by hold_from hold_to pays_from coldest_degc "
    names += "coldest_1in10_degc plants_per_meal_count sentence"
    return table_of("crops", "The dates of each crop on each bed.", _crops(answer), BED, columns(CropSeason, names))


def weeks_table(answer: SeasonAnswer) -> Table:
    """One row per bed and week: its light and air."""
    full, wished = columns(BedSeason, "full_frac wished_ratio").fields
    rows = (
        (
            bed,
            week,
            bed.full_frac[i] if i < len(bed.full_frac) else None,
            bed.wished_ratio[i] if i < len(bed.wished_ratio) else None,
        )
        for bed in answer.beds
        for i, week in enumerate(bed.weeks)
    )
    names = "start dli_mol_m2_d dull_dli_mol_m2_d day_degc night_degc cold_night_degc cold_night_1in10_degc lit_h"
    caption = "Light (mol m⁻² d⁻¹) and air of each week on each bed."
    return table_of("weeks", caption, rows, BED, columns(SeasonWeek, names), full, wished)


def _sowing(answer: SeasonAnswer) -> Table:
    names = "start state days_low days_median days_high waiting_cost_d stretch_score again_d flags"
    rows = ((bed, crop, week) for bed, crop in _crops(answer) for week in crop.weeks)
    return table_of("sowing", "What becomes of a sowing in each week.", rows, BED, CROP, columns(SowWeek, names))


def spans_table(answer: SeasonAnswer) -> Table:
    """One row per stretch of days in which a crop is sown, stands or is picked."""
    rows = ((bed, crop, span) for bed, crop in _crops(answer) for span in crop.spans)
    caption = "What can be sown, held, picked and raised when."
    return table_of("spans", caption, rows, BED, CROP, columns(Span, "kind first last note"))


def _picking(answer: SeasonAnswer) -> Table:
    (picking,) = columns(CropSeason, "picking_g_m2_week").fields
    rows = (
        (bed, crop, week, value)
        for bed, crop in _crops(answer)
        for week, value in zip(bed.weeks, crop.picking_g_m2_week, strict=False)
        if value is not None
    )
    caption = "Expected picking from plants set out grown before the dark."
    return table_of("picking", caption, rows, BED, CROP, columns(SeasonWeek, "start"), picking)


def tasks_table(answer: SeasonAnswer) -> Table:
    """What to do, in order of date."""
    rows = ((task,) for task in sorted(answer.tasks, key=lambda task: task.on))
    return table_of("tasks", "What to do, month by month.", rows, columns(Task, "on bed crop text"))


def successions_table(answer: SeasonAnswer) -> Table:
    """Sowings of a steady supply."""
    names = "bed crop sow harvest_from harvest_to area_m2 seeds_count seed_g plants_count meals_count note"
    rows = ((sowing,) for sowing in answer.successions)
    return table_of("successions", "Sowings of a steady supply.", rows, columns(Succession, names))


def seeds_table(answer: SeasonAnswer) -> Table:
    """Seed of everything planned."""
    rows = ((need,) for need in answer.seeds)
    return table_of(
        "seeds",
        "Seed for the steady supply.",
        rows,
        columns(SeedNeed, "crop name area_m2 seeds_count seed_g plants_count"),
    )


def routes_table(answer: SeasonAnswer) -> Table:
    """Crops raised in the nursery and set out."""
    names = "nursery sow_by set_out_by bed_free_d pays_from set_out_from days_low days_high sentence"
    rows = ((bed, crop, crop.route) for bed, crop in _crops(answer) if crop.route is not None)
    return table_of("routes", "Raised in the nursery and set out.", rows, BED, CROP, columns(Route, names))


def garden_table(answer: SeasonAnswer) -> Table:
    """Plants for the outdoor garden."""
    names = "crop name place sow set_out days stretch_score sentence"
    rows = ((plants,) for plants in answer.garden)
    return table_of("garden", "Plants raised for the outdoor garden.", rows, columns(GardenPlants, names))
