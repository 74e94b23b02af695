"""The light answer as tables."""

from __future__ import annotations

from collections.abc import Sequence

from tenhour.model.results import BedDay, BedLight, BedMap, BedMonth, DayLight, Gain, LightAnswer, OutdoorMonth
from tenhour.report.tables import Table, columns, table_of


def light_tables(answer: LightAnswer, *, spread: bool = True) -> tuple[Table, ...]:
    """Every table of the answer; ``spread`` adds bright days, gloomy weeks and the one-in-ten error."""
    tables = [_outdoors(answer, spread), _beds(answer.beds, spread)]
    if answer.day is not None:
        tables.append(_day(answer.day))
    if answer.map is not None:
        tables.append(map_table(answer.map))
    if answer.gains:
        tables.append(_gains(answer.gains))
    return tuple(tables)


def _outdoors(answer: LightAnswer, spread: bool) -> Table:
    names = (
        "month daylength_h photoperiod_h noon_height_deg dli_mol_m2_d dull_dli_mol_m2_d spread_frac temp_degc ghi_w_m2"
    )
    more = " bright_dli_mol_m2_d gloomy_week_dli_mol_m2_d spread_p90_frac" if spread else ""
    return table_of(
        "outdoors",
        "Outdoors: daily light in mol m⁻² d⁻¹; one day in five is duller than the dull day.",
        ((month,) for month in answer.months),
        columns(OutdoorMonth, names + more),
        notes=(f"Source: {answer.source}.",),
    )


def _beds(beds: Sequence[BedLight], spread: bool) -> Table:
    names = (
        "month dli_mol_m2_d dull_dli_mol_m2_d min_dli_mol_m2_d max_dli_mol_m2_d ratio beam_frac sky_frac bounced_frac"
    )
    more = " bright_dli_mol_m2_d gloomy_week_dli_mol_m2_d" if spread else ""
    return table_of(
        "beds",
        "On the beds: daily light in mol m⁻² d⁻¹ at canopy height, mean over the bed, its dimmest and brightest point.",
        ((bed, month) for bed in beds for month in bed.months),
        columns(BedLight, "name"),
        columns(BedMonth, names + more),
    )


def _day(day: DayLight) -> Table:
    outdoors = BedDay("outdoors", day.outdoor_dli_mol_m2_d, day.outdoor_dull_dli_mol_m2_d)
    return table_of(
        "day",
        "Daily light of one date, in mol m⁻² d⁻¹.",
        ((day, place) for place in (outdoors, *day.beds)),
        columns(DayLight, "on"),
        columns(BedDay, "name dli_mol_m2_d dull_dli_mol_m2_d"),
    )


def map_table(bed_map: BedMap) -> Table:
    """One row per point of a bed's grid."""
    x, y, light = columns(BedMap, "x_m y_m dli_mol_m2_d").fields
    rows = (
        (bed_map, x_m, y_m, value)
        for y_m, line in zip(bed_map.y_m, bed_map.dli_mol_m2_d, strict=True)
        for x_m, value in zip(bed_map.x_m, line, strict=True)
    )
    caption = f"Light over bed {bed_map.bed}, {bed_map.when}, in mol m⁻² d⁻¹."
    return table_of("map", caption, rows, columns(BedMap, "bed when"), x, y, light)


def _gains(gains: Sequence[Gain]) -> Table:
    return table_of(
        "brighter",
        "Cheap gains, each from the house computed again; mean of the six darkest months.",
        ((gain,) for gain in gains),
        columns(Gain, "change bed gain_dli_mol_m2_d gain_frac note"),
    )
