"""The light answer as text; its tables are made in ``light_data``."""

from __future__ import annotations

from typing import Final

from tenhour.model.results import BedLight, BedMap, DayLight, LightAnswer
from tenhour.report.common import basis_lines, style_of
from tenhour.report.light_data import light_tables, map_table
from tenhour.report.tables import Table, find_table
from tenhour.report.terminal import ROOMY, bars, clean, fit, heading, table_lines, wrap
from tenhour.words.style import MONTH_NAMES, Style, date_text, quantity_text
from tenhour.words.text import written

__all__ = ["light_tables", "light_text", "map_lines", "map_table"]

SHADES: Final = " .:-=+*#%@"
CHART_ROWS: Final = 4
"""Height of the year chart on a wide terminal, in rows of eight steps each."""


def light_text(answer: LightAnswer, width: int, *, spread: bool = False, style: Style | None = None) -> str:
    """Answer as text: the year outdoors and per bed, then what was asked beside it."""
    chosen = style_of(answer.us_units, style)
    place = answer.place or f"{answer.latitude_deg:.2f}°, {answer.longitude_deg:.2f}°"
    tables = light_tables(answer, spread=spread)
    height = quantity_text("elevation", answer.elevation_m, chosen)
    lines = [*heading(f"Light at {place}, {height} above the sea", "", width), ""]
    lines += [*wrap(tables[0].caption, width), *table_lines(tables[0], width, chosen)]
    lines += ["", *_ten_hour_lines(answer, width, chosen)]
    for bed in answer.beds:
        lines += ["", *_bed_lines(bed, tables[1], width, chosen)]
    lines += ["", *_chart(answer, width)]
    if answer.day is not None:
        lines += ["", *_day_lines(answer.day, find_table(tables, "day"), width, chosen)]
    if answer.map is not None:
        lines += ["", *map_lines(answer.map, width, chosen)]
    gains = find_table(tables, "brighter")
    if gains is not None:
        lines += ["", *wrap(gains.caption, width), *table_lines(gains, width, chosen)]
    lines += basis_lines(answer.basis, width, chosen, answer.calibration)
    return "\n".join(lines)


def ten_hour_sentence(answer: LightAnswer, style: Style) -> str:
    """Say when the ten-hour days end and begin, and that the model has no such threshold."""
    if answer.before_dark is None or answer.after_dark is None:
        return "Ten-hour days: the day never, or always, falls short of ten hours here."
    return (
        f"Ten-hour days: the last before the dark is {date_text(answer.before_dark, style)}, the first after it "
        f"{date_text(answer.after_dark, style)}. A familiar mark, not a threshold of the growth model."
    )


def _ten_hour_lines(answer: LightAnswer, width: int, style: Style) -> list[str]:
    return wrap(ten_hour_sentence(answer, style), width)


def _bed_lines(bed: BedLight, beds: Table, width: int, style: Style) -> list[str]:
    rows = tuple(row[1:] for row in beds.rows if row[0] == bed.name)
    own = Table("bed", "", beds.fields[1:], rows)
    under = f": {100 * bed.overcast_ratio:.0f} % of outdoors under an overcast sky"
    return [*heading(f"Bed {bed.name}", under, width), *table_lines(own, width, style)]


def _chart(answer: LightAnswer, width: int) -> list[str]:
    """Chart of the year on one scale: a row per place, taller where there is room."""
    places = [("outdoors", [month.dli_mol_m2_d for month in answer.months])]
    places += [(bed.name, [month.dli_mol_m2_d for month in bed.months]) for bed in answer.beds]
    top = max(max(values) for _, values in places)
    return _wide_chart(places, top) if width >= ROOMY else _small_chart(places, top, width)


def _small_chart(places: list[tuple[str, list[float]]], top: float, width: int) -> list[str]:
    label = min(max(len(clean(name)) for name, _ in places), width - 56)
    lines = [f"The year at a glance, a full block is {top:.0f} mol m⁻² d⁻¹:"]
    lines.append(" " * (label + 2) + " ".join(name for name in MONTH_NAMES))
    for name, values in places:
        row = " ".join(bars([max(value, top / 8) if value > 0 else 0.0], top) * 3 for value in values)
        lines.append(f"{fit(clean(name), label)}  {row}")
    return [line.rstrip() for line in lines]


def _wide_chart(places: list[tuple[str, list[float]]], top: float) -> list[str]:
    lines = [f"The year at a glance, full height is {top:.0f} mol m⁻² d⁻¹:"]
    for name, values in places:
        for row in range(CHART_ROWS, 0, -1):
            part = [value / top * CHART_ROWS - (row - 1) if top > 0 else 0.0 for value in values]
            cells = " ".join(bars([min(max(share, 0.0), 1.0)], 1.0) * 5 for share in part)
            lines.append(f"{fit(clean(name), 20) if row == 1 else ' ' * 20}  {cells}")
        lines.append(" " * 22 + " ".join(f"{value:^5.1f}" for value in values))
        lines.append(" " * 22 + " ".join(f"{month:^5}" for month in MONTH_NAMES))
    return [line.rstrip() for line in lines]


def _day_lines(day: DayLight, table: Table | None, width: int, style: Style) -> list[str]:
    text = f"{date_text(day.on, style)}: {day.daylength_h:.1f} h of day, noon sun {day.noon_height_deg:.0f}°."
    if table is None:
        return wrap(text, width)
    own = Table("day", "", table.fields[1:], tuple(row[1:] for row in table.rows))
    return [*wrap(text, width), *table_lines(own, width, style)]


def map_lines(bed_map: BedMap, width: int, style: Style | None = None) -> list[str]:
    """Grid of a bed seen from above, its back at the top: values, and shading that needs no colour."""
    chosen = style_of(False, style)
    values = [value for row in bed_map.dli_mol_m2_d for value in row]
    low, high = min(values), max(values)
    when = written(bed_map.when, chosen)
    lines = wrap(
        f"Bed {bed_map.bed}, {when}: mol m⁻² d⁻¹ seen from above, the back of the house at the top "
        f"(dimmest {low:.1f}, brightest {high:.1f}).",
        width,
    )
    lengths = map_table(bed_map).fields[2].quantity()
    step = max(1, -(-len(bed_map.x_m) * 7 // (width - 8)))
    for y_m, row in reversed(list(zip(bed_map.y_m, bed_map.dli_mol_m2_d, strict=True))):
        row_cells = "".join(f"{value:5.1f}{_shade(value, high)}" for value in row[::step])
        lines.append(f"y {lengths.in_style(y_m, chosen):4.1f} {row_cells}".rstrip())
    along = "".join(f"{lengths.in_style(x_m, chosen):5.1f} " for x_m in bed_map.x_m[::step])
    lines.append(f"   x   {along}".rstrip() + f"  ({lengths.label(chosen)})")
    return lines


def _shade(value: float, high: float) -> str:
    return SHADES[min(len(SHADES) - 1, int(value / high * (len(SHADES) - 1)))] if high > 0 else " "
