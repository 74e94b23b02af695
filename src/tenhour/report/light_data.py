"""The light answer as JSON and as tables."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tenhour.model.results import BedLight, BedMap, BedMonth, DayLight, Gain, LightAnswer
from tenhour.report.common import basis_json, rounded
from tenhour.report.tables import Cell, Field, Table


def light_json(answer: LightAnswer) -> dict[str, Any]:
    """Answer as the JSON object of the contract."""
    out = basis_json("light", answer.basis)
    out["site"] = {
        "latitude_deg": answer.latitude_deg,
        "longitude_deg": answer.longitude_deg,
        "elevation_m": answer.elevation_m,
        "place": answer.place,
    }
    out["ten_hour"] = {
        "before_dark": answer.before_dark.isoformat() if answer.before_dark else None,
        "after_dark": answer.after_dark.isoformat() if answer.after_dark else None,
    }
    out["source"] = answer.source
    out["calibration"] = answer.calibration
    out["months"] = [
        {
            "month": month.month,
            "daylength_h": rounded(month.daylength_h, 3),
            "photoperiod_h": rounded(month.photoperiod_h, 3),
            "noon_height_deg": rounded(month.noon_height_deg, 2),
            "outdoor": {
                "dli_mol_m2_d": rounded(month.dli_mol_m2_d, 3),
                "dull_dli_mol_m2_d": rounded(month.dull_dli_mol_m2_d, 3),
                "bright_dli_mol_m2_d": rounded(month.bright_dli_mol_m2_d, 3),
                "gloomy_week_dli_mol_m2_d": rounded(month.gloomy_week_dli_mol_m2_d, 3),
                "spread_frac": rounded(month.spread_frac, 3),
                "spread_p90_frac": rounded(month.spread_p90_frac, 3),
                "ghi_w_m2": rounded(month.ghi_w_m2, 2),
                "temp_degc": rounded(month.temp_degc, 1),
            },
        }
        for month in answer.months
    ]
    out["beds"] = [_bed_json(bed) for bed in answer.beds]
    if answer.day is not None:
        out["day"] = _day_json(answer.day)
    if answer.map is not None:
        out["map"] = _map_json(answer.map)
    if answer.gains:
        out["brighter"] = [_gain_json(gain) for gain in answer.gains]
    return out


def _bed_json(bed: BedLight) -> dict[str, Any]:
    return {
        "name": bed.name,
        "overcast_ratio": rounded(bed.overcast_ratio, 4),
        "months": [
            {
                "month": month.month,
                "dli_mol_m2_d": rounded(month.dli_mol_m2_d, 3),
                "dull_dli_mol_m2_d": rounded(month.dull_dli_mol_m2_d, 3),
                "bright_dli_mol_m2_d": rounded(month.bright_dli_mol_m2_d, 3),
                "gloomy_week_dli_mol_m2_d": rounded(month.gloomy_week_dli_mol_m2_d, 3),
                "min_dli_mol_m2_d": rounded(month.min_dli_mol_m2_d, 3),
                "max_dli_mol_m2_d": rounded(month.max_dli_mol_m2_d, 3),
                "ratio": rounded(month.ratio, 4),
                "beam_frac": rounded(month.beam_frac, 4),
                "sky_frac": rounded(month.sky_frac, 4),
                "bounced_frac": rounded(month.bounced_frac, 4),
            }
            for month in bed.months
        ],
    }


def _day_json(day: DayLight) -> dict[str, Any]:
    return {
        "date": day.on.isoformat(),
        "daylength_h": rounded(day.daylength_h, 3),
        "photoperiod_h": rounded(day.photoperiod_h, 3),
        "noon_height_deg": rounded(day.noon_height_deg, 2),
        "outdoor": {
            "dli_mol_m2_d": rounded(day.outdoor_dli_mol_m2_d, 3),
            "dull_dli_mol_m2_d": rounded(day.outdoor_dull_dli_mol_m2_d, 3),
        },
        "beds": [
            {
                "name": name,
                "dli_mol_m2_d": rounded(value, 3),
                "dull_dli_mol_m2_d": rounded(day.beds_dull_dli_mol_m2_d[name], 3),
            }
            for name, value in day.beds_dli_mol_m2_d.items()
        ],
    }


def _map_json(bed_map: BedMap) -> dict[str, Any]:
    return {
        "bed": bed_map.bed,
        "when": bed_map.when,
        "x_m": [rounded(value, 3) for value in bed_map.x_m],
        "y_m": [rounded(value, 3) for value in bed_map.y_m],
        "dli_mol_m2_d": [[rounded(value, 3) for value in row] for row in bed_map.dli_mol_m2_d],
    }


def _gain_json(gain: Gain) -> dict[str, Any]:
    return {
        "change": gain.change,
        "bed": gain.bed,
        "gain_dli_mol_m2_d": rounded(gain.gain_dli_mol_m2_d, 3),
        "gain_frac": rounded(gain.gain_frac, 3),
        "note": gain.note,
    }


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
    fields = [
        Field("month", "month", "month"),
        Field("daylength_h", "day h", "hours"),
        Field("photoperiod_h", "twilit h", "hours", wide_only=True),
        Field("noon_height_deg", "noon", "angle"),
        Field("dli_mol_m2_d", "typical", "dli"),
        Field("dull_dli_mol_m2_d", "dull day", "dli"),
        Field("spread_frac", "error ±", "share"),
        Field("temp_degc", "air", "temp"),
        Field("ghi_w_m2", "sun", "irradiance", wide_only=True),
    ]
    rows: list[list[Cell]] = [
        [
            m.month, m.daylength_h, m.photoperiod_h, m.noon_height_deg, m.dli_mol_m2_d,
            m.dull_dli_mol_m2_d, m.spread_frac, m.temp_degc, m.ghi_w_m2,
        ]
        for m in answer.months
    ]  # fmt: skip
    if spread:
        fields += [
            Field("bright_dli_mol_m2_d", "bright day", "dli"),
            Field("gloomy_week_dli_mol_m2_d", "gloomy week", "dli"),
            Field("spread_p90_frac", "1 in 10 ±", "share"),
        ]
        for row, m in zip(rows, answer.months, strict=True):
            row += [m.bright_dli_mol_m2_d, m.gloomy_week_dli_mol_m2_d, m.spread_p90_frac]
    caption = "Outdoors: daily light in mol m⁻² d⁻¹; one day in five is duller than the dull day."
    return Table("outdoors", caption, tuple(fields), tuple(map(tuple, rows)), (f"Source: {answer.source}.",))


def _beds(beds: Sequence[BedLight], spread: bool) -> Table:
    fields = [
        Field("bed", "bed"),
        Field("month", "month", "month"),
        Field("dli_mol_m2_d", "typical", "dli"),
        Field("dull_dli_mol_m2_d", "dull day", "dli"),
        Field("min_dli_mol_m2_d", "dimmest", "dli"),
        Field("max_dli_mol_m2_d", "brightest", "dli"),
        Field("ratio", "of outdoors", "share"),
        Field("beam_frac", "sun", "share", wide_only=True),
        Field("sky_frac", "sky", "share", wide_only=True),
        Field("bounced_frac", "bounced", "share", wide_only=True),
    ]
    if spread:
        fields += [
            Field("bright_dli_mol_m2_d", "bright day", "dli"),
            Field("gloomy_week_dli_mol_m2_d", "gloomy week", "dli"),
        ]
    rows = [_bed_row(bed, month, spread) for bed in beds for month in bed.months]
    caption = (
        "On the beds: daily light in mol m⁻² d⁻¹ at canopy height, mean over the bed, its dimmest and brightest point."
    )
    return Table("beds", caption, tuple(fields), tuple(rows))


def _bed_row(bed: BedLight, m: BedMonth, spread: bool) -> tuple[Cell, ...]:
    row: tuple[Cell, ...] = (
        bed.name, m.month, m.dli_mol_m2_d, m.dull_dli_mol_m2_d, m.min_dli_mol_m2_d,
        m.max_dli_mol_m2_d, m.ratio, m.beam_frac, m.sky_frac, m.bounced_frac,
    )  # fmt: skip
    return (*row, m.bright_dli_mol_m2_d, m.gloomy_week_dli_mol_m2_d) if spread else row


def _day(day: DayLight) -> Table:
    fields = (
        Field("date", "day", "date"),
        Field("place", "place"),
        Field("dli_mol_m2_d", "typical", "dli"),
        Field("dull_dli_mol_m2_d", "dull day", "dli"),
    )
    rows: list[tuple[Cell, ...]] = [(day.on, "outdoors", day.outdoor_dli_mol_m2_d, day.outdoor_dull_dli_mol_m2_d)]
    rows += [(day.on, name, value, day.beds_dull_dli_mol_m2_d[name]) for name, value in day.beds_dli_mol_m2_d.items()]
    return Table("day", "Daily light of one date, in mol m⁻² d⁻¹.", fields, tuple(rows))


def map_table(bed_map: BedMap) -> Table:
    """One row per point of a bed's grid."""
    fields = (
        Field("bed", "bed"),
        Field("when", "when", "prose"),
        Field("x_m", "along", "length"),
        Field("y_m", "from the front", "length"),
        Field("dli_mol_m2_d", "light", "dli"),
    )
    rows = tuple(
        (bed_map.bed, bed_map.when, x_m, y_m, value)
        for y_m, line in zip(bed_map.y_m, bed_map.dli_mol_m2_d, strict=True)
        for x_m, value in zip(bed_map.x_m, line, strict=True)
    )
    return Table("map", f"Light over bed {bed_map.bed}, {bed_map.when}, in mol m⁻² d⁻¹.", fields, rows)


def _gains(gains: Sequence[Gain]) -> Table:
    fields = (
        Field("change", "change", "prose", wrap=True),
        Field("bed", "bed"),
        Field("gain_dli_mol_m2_d", "gain", "dli", digits=2),
        Field("gain_frac", "gain", "share"),
        Field("note", "note", "prose", wrap=True),
    )
    rows = tuple((g.change, g.bed, g.gain_dli_mol_m2_d, g.gain_frac, g.note) for g in gains)
    caption = "Cheap gains, each from the house computed again; mean of the six darkest months."
    return Table("brighter", caption, fields, rows)
