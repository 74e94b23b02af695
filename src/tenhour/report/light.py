"""The light answer as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from tenhour.model.results import BedLight, BedMap, DayLight, Gain, LightAnswer
from tenhour.report.common import basis_json, rounded
from tenhour.report.terminal import Column, bars, bold, notes, number, table, wrap

MONTH_NAMES: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
SHADES: Final = " .:-=+*#%@"


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


def light_text(answer: LightAnswer, width: int, *, spread: bool = False) -> str:
    """Answer as text: the year outdoors and per bed, then what was asked beside it."""
    place = answer.place or f"{answer.latitude_deg:.2f}°, {answer.longitude_deg:.2f}°"
    lines = [bold(f"Light at {place}"), ""]
    lines += _outdoor_table(answer, width, spread)
    lines += ["", *_ten_hour_lines(answer, width), ""]
    lines += _beds_table(answer, width, spread)
    lines += ["", *_chart(answer, width)]
    if answer.day is not None:
        lines += ["", *_day_lines(answer.day, width)]
    if answer.map is not None:
        lines += ["", *map_lines(answer.map, width)]
    if answer.gains:
        lines += ["", *_gain_lines(answer.gains, width)]
    lines += notes("Warnings", answer.basis.warnings, width)
    lines += notes("Assumed", answer.basis.assumptions, width)
    lines += notes("Cautions", answer.basis.cautions, width)
    return "\n".join(lines)


def _outdoor_table(answer: LightAnswer, width: int, spread: bool) -> list[str]:
    columns = [
        Column("month", right=False),
        Column("day h"),
        Column("twilit h", wide_only=True),
        Column("noon °"),
        Column("typical mol"),
        Column("dull day"),
        *([Column("bright"), Column("gloomy week")] if spread else []),
        Column("normal ±"),
        *([Column("1 in 10")] if spread else []),
        Column("air °C"),
    ]
    rows = [
        [
            MONTH_NAMES[month.month - 1],
            number(month.daylength_h),
            number(month.photoperiod_h),
            number(month.noon_height_deg, 0),
            number(month.dli_mol_m2_d),
            number(month.dull_dli_mol_m2_d),
            *([number(month.bright_dli_mol_m2_d), number(month.gloomy_week_dli_mol_m2_d)] if spread else []),
            f"{100 * month.spread_frac:.0f} %",
            *([f"{100 * month.spread_p90_frac:.0f} %"] if spread else []),
            number(month.temp_degc, 0),
        ]
        for month in answer.months
    ]
    head = "Outdoors: daily light in mol m⁻² d⁻¹; one day in five is duller than the dull day."
    return [*wrap(head, width), *table(columns, rows, width)]


def _ten_hour_lines(answer: LightAnswer, width: int) -> list[str]:
    if answer.before_dark is None or answer.after_dark is None:
        text = "Ten-hour days: the day never, or always, falls short of ten hours here."
    else:
        text = (
            f"Ten-hour days: the last before the dark is {answer.before_dark.isoformat()}, the first after it "
            f"{answer.after_dark.isoformat()}. A familiar mark, not a threshold of the growth model."
        )
    return wrap(text, width)


def _beds_table(answer: LightAnswer, width: int, spread: bool) -> list[str]:
    lines: list[str] = []
    columns = [
        Column("month", right=False),
        Column("typical mol"),
        Column("dull day"),
        *([Column("bright"), Column("gloomy week")] if spread else []),
        Column("dimmest"),
        Column("brightest"),
        Column("of outdoors"),
        Column("beam", wide_only=True),
        Column("sky", wide_only=True),
        Column("bounced", wide_only=True),
    ]
    for bed in answer.beds:
        rows = [
            [
                MONTH_NAMES[month.month - 1],
                number(month.dli_mol_m2_d),
                number(month.dull_dli_mol_m2_d),
                *([number(month.bright_dli_mol_m2_d), number(month.gloomy_week_dli_mol_m2_d)] if spread else []),
                number(month.min_dli_mol_m2_d),
                number(month.max_dli_mol_m2_d),
                f"{100 * month.ratio:.0f} %",
                f"{100 * month.beam_frac:.0f} %",
                f"{100 * month.sky_frac:.0f} %",
                f"{100 * month.bounced_frac:.0f} %",
            ]
            for month in bed.months
        ]
        lines += ["", bold(f"Bed {bed.name}") + f": {100 * bed.overcast_ratio:.0f} % of outdoors under an overcast sky"]
        lines += table(columns, rows, width)
    return lines[1:]


def _chart(answer: LightAnswer, width: int) -> list[str]:
    """A small chart of the year: one row per place, one cell per month, all on one scale."""
    rows = [("outdoors", [month.dli_mol_m2_d for month in answer.months])]
    rows += [(bed.name, [month.dli_mol_m2_d for month in bed.months]) for bed in answer.beds]
    top = max(max(values) for _, values in rows)
    label = min(max(len(name) for name, _ in rows), width - 40)
    lines = [f"The year at a glance, a full block is {top:.0f} mol m⁻² d⁻¹:"]
    lines.append(" " * (label + 2) + " ".join(name[0] for name in MONTH_NAMES))
    for name, values in rows:
        lines.append(name[:label].ljust(label) + "  " + " ".join(bars([value], top) for value in values))
    return [line.rstrip() for line in lines]


def _day_lines(day: DayLight, width: int) -> list[str]:
    text = (
        f"On {day.on.isoformat()}: {day.daylength_h:.1f} h of day, noon sun {day.noon_height_deg:.0f}°, outdoors "
        f"{day.outdoor_dli_mol_m2_d:.1f} mol (dull day {day.outdoor_dull_dli_mol_m2_d:.1f})."
    )
    columns = [Column("bed", right=False), Column("typical mol"), Column("dull day")]
    rows = [
        [name, number(value), number(day.beds_dull_dli_mol_m2_d[name])] for name, value in day.beds_dli_mol_m2_d.items()
    ]
    return [*wrap(text, width), *table(columns, rows, width)]


def map_lines(bed_map: BedMap, width: int) -> list[str]:
    """Grid of a bed seen from above, its back at the top: values, and shading that needs no colour."""
    values = [value for row in bed_map.dli_mol_m2_d for value in row]
    low, high = min(values), max(values)
    lines = wrap(
        f"Bed {bed_map.bed}, {bed_map.when}: mol m⁻² d⁻¹ seen from above, the back of the house at the top "
        f"(dimmest {low:.1f}, brightest {high:.1f}).",
        width,
    )
    step = max(1, -(-len(bed_map.x_m) * 7 // (width - 8)))
    for y_m, row in reversed(list(zip(bed_map.y_m, bed_map.dli_mol_m2_d, strict=True))):
        cells = "".join(f"{value:5.1f}{_shade(value, high)}" for value in row[::step])
        lines.append(f"y {y_m:4.1f} {cells}")
    lines.append("   x   " + "".join(f"{x_m:5.1f} " for x_m in bed_map.x_m[::step]).rstrip())
    return lines


def _shade(value: float, high: float) -> str:
    return SHADES[min(len(SHADES) - 1, int(value / high * (len(SHADES) - 1)))] if high > 0 else " "


def _gain_lines(gains: Sequence[Gain], width: int) -> list[str]:
    columns = [
        Column("change", right=False, wrap=True),
        Column("bed", right=False),
        Column("mol a day"),
        Column("gain"),
    ]
    rows = [
        [
            gain.change + (f" ({gain.note})" if gain.note else ""),
            gain.bed,
            f"{gain.gain_dli_mol_m2_d:+.2f}",
            f"{100 * gain.gain_frac:+.0f} %",
        ]
        for gain in gains
    ]
    head = "Cheap gains, each from the house computed again; mean of the six darkest months."
    return [*wrap(head, width), *table(columns, rows, width)]
