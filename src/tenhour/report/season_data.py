"""The season answer as JSON and as tables."""

from __future__ import annotations

from typing import Any

from tenhour.model.season import (
    BedSeason,
    CropSeason,
    GardenPlants,
    Route,
    SeasonAnswer,
    SeasonWeek,
    SowWeek,
    Span,
)
from tenhour.report.common import basis_json, iso, rounded
from tenhour.report.tables import Field, Table


def season_json(answer: SeasonAnswer) -> dict[str, Any]:
    """Answer as a JSON object: weeks begin on ``start`` and follow each other; dates are ISO, numbers SI."""
    out = basis_json("season", answer.basis)
    out["start"] = answer.start.isoformat()
    out["ten_hour"] = {"before_dark": iso(answer.before_dark), "after_dark": iso(answer.after_dark)}
    out["last_frost"] = iso(answer.last_frost)
    out["calibration"] = answer.calibration
    out["beds"] = [_bed_json(bed) for bed in answer.beds]
    out["tasks"] = [
        {"date": task.on.isoformat(), "bed": task.bed, "crop": task.crop, "kind": task.kind, "text": task.text}
        for task in answer.tasks
    ]
    out["successions"] = [
        {
            "bed": item.bed,
            "crop": item.crop,
            "sow": item.sow.isoformat(),
            "harvest_from": item.harvest_from.isoformat(),
            "harvest_to": item.harvest_to.isoformat(),
            "area_m2": rounded(item.area_m2, 3),
            "seed_g": rounded(item.seed_g, 3),
            "plants_count": item.plants_count,
            "meals_count": rounded(item.meals_count, 1),
            "share": rounded(item.share, 3),
            "note": item.note,
        }
        for item in answer.successions
    ]
    out["seeds"] = [
        {
            "crop": item.crop,
            "name": item.name,
            "area_m2": rounded(item.area_m2, 3),
            "seed_g": rounded(item.seed_g, 3),
            "plants_count": item.plants_count,
        }
        for item in answer.seeds
    ]
    out["garden"] = [_garden_json(item) for item in answer.garden]
    return out


def _garden_json(item: GardenPlants) -> dict[str, Any]:
    return {
        "crop": item.crop,
        "name": item.name,
        "place": item.place,
        "sow": iso(item.sow),
        "set_out": item.set_out.isoformat(),
        "days": item.days,
        "stretch_score": rounded(item.stretch_score, 0),
        "sentence": item.sentence,
    }


def _bed_json(bed: BedSeason) -> dict[str, Any]:
    return {
        "name": bed.name,
        "area_m2": rounded(bed.area_m2, 3),
        "weeks": [_week_json(week) for week in bed.weeks],
        "full_frac": [rounded(value, 3) for value in bed.full_frac],
        "wished_ratio": [rounded(value, 3) for value in bed.wished_ratio],
        "crops": [_crop_json(crop) for crop in bed.crops],
    }


def _week_json(week: SeasonWeek) -> dict[str, Any]:
    return {
        "start": week.start.isoformat(),
        "dli_mol_m2_d": rounded(week.dli_mol_m2_d, 2),
        "dull_dli_mol_m2_d": rounded(week.dull_dli_mol_m2_d, 2),
        "day_degc": rounded(week.day_degc, 1),
        "night_degc": rounded(week.night_degc, 1),
        "lit_h": rounded(week.lit_h, 2),
    }


def _crop_json(crop: CropSeason) -> dict[str, Any]:
    return {
        "crop": crop.crop,
        "name": crop.name,
        "way": crop.way,
        "short": crop.short,
        "sentence": crop.sentence,
        "sow_from": iso(crop.sow_from),
        "sow_by_sure": iso(crop.sow_by_sure),
        "sow_by": iso(crop.sow_by),
        "dearest": iso(crop.dearest),
        "dearest_cost_d": rounded(crop.dearest_cost_d, 1),
        "pays_from": iso(crop.pays_from),
        "hold_from": iso(crop.hold_from),
        "hold_to": iso(crop.hold_to),
        "plants_per_meal_count": rounded(crop.plants_per_meal_count, 1),
        "kept_low_count": crop.kept_low_count,
        "kept_high_count": crop.kept_high_count,
        "seed_g_m2": rounded(crop.seed_g_m2, 2),
        "flags": list(crop.flags),
        "route": None if crop.route is None else _route_json(crop.route),
        "picking_g_m2_week": [rounded(value, 1) for value in crop.picking_g_m2_week],
        "weeks": [_sow_week_json(week) for week in crop.weeks],
        "spans": [_span_json(span) for span in crop.spans],
    }


def _route_json(route: Route) -> dict[str, Any]:
    return {
        "nursery": route.nursery,
        "sow_by": iso(route.sow_by),
        "set_out_by": iso(route.set_out_by),
        "bed_free_d": route.bed_free_d,
        "pays_from": iso(route.pays_from),
        "set_out_from": iso(route.set_out_from),
        "days_low": route.days_low,
        "days_high": route.days_high,
        "stretch_score": rounded(route.stretch_score, 0),
        "sentence": route.sentence,
    }


def _sow_week_json(week: SowWeek) -> dict[str, Any]:
    return {
        "start": week.start.isoformat(),
        "state": week.state,
        "days_low": week.days_low,
        "days_median": week.days_median,
        "days_high": week.days_high,
        "waiting_cost_d": rounded(week.waiting_cost_d, 1),
        "stretch_score": rounded(week.stretch_score, 0),
        "again_d": week.again_d,
        "flags": list(week.flags),
    }


def _span_json(span: Span) -> dict[str, Any]:
    return {"kind": span.kind, "first": span.first.isoformat(), "last": span.last.isoformat(), "note": span.note}


def season_tables(answer: SeasonAnswer) -> tuple[Table, ...]:
    """Every table of the answer: crops, weeks of light and air, weeks of sowing, spans, picking, tasks, successions."""
    return (
        crops_table(answer),
        _weeks(answer),
        _sowing(answer),
        _spans(answer),
        _picking(answer),
        tasks_table(answer),
        successions_table(answer),
        seeds_table(answer),
        routes_table(answer),
        garden_table(answer),
    )


def crops_table(answer: SeasonAnswer) -> Table:
    """One row per bed and crop: the dates a grower keeps."""
    fields = (
        Field("bed", "bed"),
        Field("crop", "crop"),
        Field("name", "name"),
        Field("way", "way of cropping"),
        Field("sow_from", "sow from", "date"),
        Field("sow_by_sure", "surely by", "date"),
        Field("sow_by", "sow by", "date"),
        Field("hold_from", "holds from", "date"),
        Field("hold_to", "holds to", "date"),
        Field("pays_from", "pays again from", "date"),
        Field("plants_per_meal_count", "plants a meal", "count"),
        Field("sentence", "in words", "prose", wrap=True),
    )
    rows = tuple(
        (
            bed.name, crop.crop, crop.name, crop.way, crop.sow_from, crop.sow_by_sure, crop.sow_by, crop.hold_from,
            crop.hold_to, crop.pays_from, crop.plants_per_meal_count, crop.sentence,
        )
        for bed in answer.beds
        for crop in bed.crops
    )  # fmt: skip
    return Table("crops", "The dates of each crop on each bed.", fields, rows)


def _weeks(answer: SeasonAnswer) -> Table:
    fields = (
        Field("bed", "bed"),
        Field("start", "week from", "date"),
        Field("dli_mol_m2_d", "typical", "dli"),
        Field("dull_dli_mol_m2_d", "dull day", "dli"),
        Field("day_degc", "day", "temp"),
        Field("night_degc", "night", "temp"),
        Field("lit_h", "lit", "hours"),
        Field("full_frac", "bed taken", "share"),
        Field("wished_ratio", "wished", "share"),
    )
    rows = tuple(
        (
            bed.name, week.start, week.dli_mol_m2_d, week.dull_dli_mol_m2_d, week.day_degc, week.night_degc, week.lit_h,
            bed.full_frac[i] if i < len(bed.full_frac) else None,
            bed.wished_ratio[i] if i < len(bed.wished_ratio) else None,
        )
        for bed in answer.beds
        for i, week in enumerate(bed.weeks)
    )  # fmt: skip
    return Table("weeks", "Light (mol m⁻² d⁻¹) and air of each week on each bed.", fields, rows)


def _sowing(answer: SeasonAnswer) -> Table:
    fields = (
        Field("bed", "bed"),
        Field("crop", "crop"),
        Field("start", "week from", "date"),
        Field("state", "sowing"),
        Field("days_low", "days low", "days"),
        Field("days_median", "days median", "days"),
        Field("days_high", "days high", "days"),
        Field("waiting_cost_d", "a week's wait costs", "days", digits=1),
        Field("stretch_score", "stretch", "score"),
        Field("again_d", "again after", "days"),
        Field("flags", "threats", "prose"),
    )
    rows = tuple(
        (
            bed.name, crop.crop, week.start, week.state, week.days_low, week.days_median, week.days_high,
            week.waiting_cost_d, week.stretch_score, week.again_d, ", ".join(week.flags),
        )
        for bed in answer.beds
        for crop in bed.crops
        for week in crop.weeks
    )  # fmt: skip
    return Table("sowing", "What becomes of a sowing in each week.", fields, rows)


def _spans(answer: SeasonAnswer) -> Table:
    fields = (
        Field("bed", "bed"),
        Field("crop", "crop"),
        Field("kind", "what"),
        Field("first", "from", "date"),
        Field("last", "to", "date"),
        Field("note", "note", "prose", wrap=True),
    )
    rows = tuple(
        (bed.name, crop.crop, span.kind, span.first, span.last, span.note)
        for bed in answer.beds
        for crop in bed.crops
        for span in crop.spans
    )
    return Table("spans", "What can be sown, held, picked and raised when.", fields, rows)


def _picking(answer: SeasonAnswer) -> Table:
    fields = (
        Field("bed", "bed"),
        Field("crop", "crop"),
        Field("start", "week from", "date"),
        Field("picking_g_m2_week", "picking", "picking"),
    )
    rows = tuple(
        (bed.name, crop.crop, week.start, value)
        for bed in answer.beds
        for crop in bed.crops
        for week, value in zip(bed.weeks, crop.picking_g_m2_week, strict=False)
        if value is not None
    )
    return Table("picking", "Expected picking from plants set out grown before the dark.", fields, rows)


def tasks_table(answer: SeasonAnswer) -> Table:
    """What to do, in order of date."""
    fields = (
        Field("date", "when", "date"),
        Field("bed", "bed"),
        Field("crop", "crop"),
        Field("text", "what to do", "prose", wrap=True),
    )
    rows = tuple((task.on, task.bed, task.crop, task.text) for task in sorted(answer.tasks, key=lambda task: task.on))
    return Table("tasks", "What to do, month by month.", fields, rows)


def successions_table(answer: SeasonAnswer) -> Table:
    """Sowings of a steady supply."""
    fields = (
        Field("bed", "bed"),
        Field("crop", "crop"),
        Field("sow", "sow", "date"),
        Field("harvest_from", "harvest from", "date"),
        Field("harvest_to", "to", "date"),
        Field("area_m2", "area", "area"),
        Field("seed_g", "seed", "seed"),
        Field("plants_count", "plants", "count", digits=0, wide_only=True),
        Field("meals_count", "servings", "count", wide_only=True),
        Field("note", "note", "prose", wrap=True),
    )
    rows = tuple(
        (s.bed, s.crop, s.sow, s.harvest_from, s.harvest_to, s.area_m2, s.seed_g, s.plants_count, s.meals_count, s.note)
        for s in answer.successions
    )
    return Table("successions", "Sowings of a steady supply.", fields, rows)


def seeds_table(answer: SeasonAnswer) -> Table:
    """Seed of everything planned."""
    fields = (
        Field("crop", "crop"),
        Field("name", "name"),
        Field("area_m2", "area", "area"),
        Field("seed_g", "seed", "seed"),
        Field("plants_count", "plants", "count", digits=0),
    )
    rows = tuple((item.crop, item.name, item.area_m2, item.seed_g, item.plants_count) for item in answer.seeds)
    return Table("seeds", "Seed for the steady supply.", fields, rows)


def routes_table(answer: SeasonAnswer) -> Table:
    """Crops raised in the nursery and set out."""
    fields = (
        Field("bed", "bed"),
        Field("crop", "crop"),
        Field("nursery", "raised on"),
        Field("sow_by", "sow by", "date"),
        Field("set_out_by", "set out by", "date"),
        Field("bed_free_d", "bed free longer", "days", wide_only=True),
        Field("pays_from", "sow again from", "date"),
        Field("set_out_from", "set out from", "date"),
        Field("days_low", "days low", "days"),
        Field("days_high", "days high", "days"),
        Field("sentence", "in words", "prose", wrap=True),
    )
    rows = tuple(
        (
            bed.name, crop.crop, crop.route.nursery, crop.route.sow_by, crop.route.set_out_by, crop.route.bed_free_d,
            crop.route.pays_from, crop.route.set_out_from, crop.route.days_low, crop.route.days_high,
            crop.route.sentence,
        )
        for bed in answer.beds
        for crop in bed.crops
        if crop.route is not None
    )  # fmt: skip
    return Table("routes", "Raised in the nursery and set out.", fields, rows)


def garden_table(answer: SeasonAnswer) -> Table:
    """Plants for the outdoor garden."""
    fields = (
        Field("crop", "crop"),
        Field("name", "name"),
        Field("place", "raised on"),
        Field("sow", "sow", "date"),
        Field("set_out", "set out", "date"),
        Field("days", "days", "days"),
        Field("stretch_score", "stretch", "score"),
        Field("sentence", "in words", "prose", wrap=True),
    )
    rows = tuple(
        (item.crop, item.name, item.place, item.sow, item.set_out, item.days, item.stretch_score, item.sentence)
        for item in answer.garden
    )
    return Table("garden", "Plants raised for the outdoor garden.", fields, rows)
