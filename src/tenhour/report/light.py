"""The light answer as text; its tables are made in ``light_data``."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Final

from tenhour.model.results import BedLight, BedMap, BedMonth, DayLight, LightAnswer, OutdoorMonth
from tenhour.report.common import basis_lines, brief_basis, nights_text, style_of
from tenhour.report.light_data import light_tables, map_table
from tenhour.report.tables import Table, find_table
from tenhour.report.terminal import ROOMY, WIDE, Column, bars, clean, heading, strips, table, table_lines, wrap
from tenhour.words.style import MONTH_NAMES, Style, date_text, quantity_text
from tenhour.words.text import written

__all__ = ["light_tables", "light_text", "map_lines", "map_table"]

SHADES: Final = " .:-=+*#%@"
SHORT_CAPTION: Final = "Daily light, mol m⁻² d⁻¹: mean of all days, and a dull day (one in five is duller)."
MOST_BEDS: Final = 6
"""Beds of the short answer."""
LABEL_COLUMNS: Final = 21
MONTH_COLUMNS: Final = 4
NO_NIGHT_H: Final = 24.0
CHART_ROWS: Final = 4
"""Height of the year chart on a wide terminal, in rows of eight steps each."""


def light_text(
    answer: LightAnswer,
    width: int,
    *,
    spread: bool = False,
    style: Style | None = None,
    months: bool = True,
    now: date | None = None,
) -> str:
    """Answer as text: the year outdoors and per bed, then what was asked beside it.

    Parameters: spread, whether the months tell their bright days and gloomy weeks; months, False for a row per bed;
    now, whose month stands in that row.
    """
    chosen = style_of(answer.us_units, style)
    if not months and not spread:
        return "\n".join(_short_lines(answer, width, chosen, now))
    place = answer.place or f"{answer.latitude_deg:.2f}°, {answer.longitude_deg:.2f}°"
    tables = light_tables(answer, spread=spread)
    height = quantity_text("elevation", answer.elevation_m, chosen)
    lines = [*heading(f"Light at {place}, {height} above the sea", "", width), ""]
    lines += [*wrap(tables[0].caption, width), *table_lines(tables[0], width, chosen)]
    lines += ["", *_ten_hour_lines(answer, width, chosen)]
    lines += wrap(written(nights_text(answer.nights), chosen), width)
    for bed in answer.beds:
        lines += ["", *_bed_lines(bed, tables[1], width, chosen)]
    lines += ["", *_chart(answer, width)]
    lines += _asked_lines(answer, tables, width, chosen)
    lines += basis_lines(answer.basis, width, chosen, answer.calibration)
    return "\n".join(lines)


def _asked_lines(answer: LightAnswer, tables: Sequence[Table], width: int, chosen: Style) -> list[str]:
    """What was asked beside the year: a day, a map, cheap gains."""
    lines: list[str] = []
    if answer.day is not None:
        lines += ["", *_day_lines(answer.day, find_table(tables, "day"), width, chosen)]
    if answer.map is not None:
        lines += ["", *map_lines(answer.map, width, chosen)]
    gains = find_table(tables, "brighter")
    if gains is not None:
        lines += ["", *wrap(gains.caption, width), *table_lines(gains, width, chosen)]
    return lines


def _short_lines(answer: LightAnswer, width: int, style: Style, now: date | None) -> list[str]:
    """A row per bed in the darkest month, two months on, and now; the brightest beds where there are many."""
    place = answer.place or f"{answer.latitude_deg:.2f}°, {answer.longitude_deg:.2f}°"
    months = dict.fromkeys((12, 2) if answer.latitude_deg >= 0 else (6, 8))
    if now is not None:
        months[now.month] = None
    heads = [title for month in months for title in (MONTH_NAMES[month - 1], "dull day")]
    beds = sorted(answer.beds, key=lambda bed: -bed.months[next(iter(months)) - 1].dli_mol_m2_d)
    places: list[tuple[str, Sequence[OutdoorMonth | BedMonth]]] = [("outdoors", answer.months)]
    places += [(bed.name, bed.months) for bed in beds[:MOST_BEDS]]
    rows = [
        [name, *(f"{value:.1f}" for month in months for value in _typical_and_dull(of[month - 1]))]
        for name, of in places
    ]
    rows += [_lit_row(bed, months) for bed in beds[:MOST_BEDS] if _has_lamps(bed)]
    lines = heading(f"Light at {place}", "", width)
    lines += wrap(SHORT_CAPTION, width)
    lines += table([Column("", right=False), *(Column(title, firm=True) for title in heads)], rows, width)
    lines += _ten_hour_lines(answer, width, style)
    lines += wrap(written(nights_text(answer.nights), style), width)
    tables = light_tables(answer)
    lines += _asked_lines(answer, tables, width, style)
    more = f"{len(beds) - MOST_BEDS} more beds and all months" if len(beds) > MOST_BEDS else "All months"
    return [*lines, *wrap(f"{more}: --months.", width), *brief_basis(answer.basis, width, style, answer.calibration)]


def _has_lamps(bed: BedLight) -> bool:
    return any(month.lamps_dli_mol_m2_d for month in bed.months)


def _lit_row(bed: BedLight, months: Iterable[int]) -> list[str]:
    """A bed's daylight and its own lamps together."""
    shown = (bed.months[month - 1] for month in months)
    lit = ((value + (month.lamps_dli_mol_m2_d or 0.0)) for month in shown for value in _typical_and_dull(month))
    return [f"{bed.name}, lamps on", *(f"{value:.1f}" for value in lit)]


def _typical_and_dull(month: OutdoorMonth | BedMonth) -> tuple[float, float]:
    return month.dli_mol_m2_d, month.dull_dli_mol_m2_d


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
    label = min(max(len(clean(name)) for name, _ in places), max(width - 56, LABEL_COLUMNS))
    rows = [("", " ".join(MONTH_NAMES))]
    for name, values in places:
        rows.append((name, " ".join(bars([max(value, top / 8) if value > 0 else 0.0], top) * 3 for value in values)))
    title = wrap(f"The year at a glance, a full block is {top:.0f} mol m⁻² d⁻¹:", width)
    return [*title, *strips(rows, label + 1, width, unit=MONTH_COLUMNS)]


def _wide_chart(places: list[tuple[str, list[float]]], top: float) -> list[str]:
    rows = []
    for name, values in places:
        for row in range(CHART_ROWS, 0, -1):
            part = [value / top * CHART_ROWS - (row - 1) if top > 0 else 0.0 for value in values]
            cells = " ".join(bars([min(max(share, 0.0), 1.0)], 1.0) * 5 for share in part)
            rows.append((name if row == 1 else "", cells))
        rows.append(("", " ".join(f"{value:^5.1f}" for value in values)))
        rows.append(("", " ".join(f"{month:^5}" for month in MONTH_NAMES)))
    return [f"The year at a glance, full height is {top:.0f} mol m⁻² d⁻¹:", *strips(rows, LABEL_COLUMNS, WIDE)]


def _day_lines(day: DayLight, places: Table | None, width: int, style: Style) -> list[str]:
    text = f"{date_text(day.on, style)}: {day.daylength_h:.1f} h of day, noon sun {day.noon_height_deg:.0f}°."
    if day.sunrise is not None and day.sunset is not None:
        text += f" Sun up {day.sunrise} to {day.sunset}, noon {day.noon}"
        text += "." if day.dawn is None or day.dusk is None else f"; light from {day.dawn} to {day.dusk}."
    elif day.daylength_h >= NO_NIGHT_H:
        text += " The sun does not set."
    elif day.daylength_h <= 0.0:
        text += " The sun does not rise"
        text += "." if day.dawn is None or day.dusk is None else f"; twilight from {day.dawn} to {day.dusk}."
    if places is None:
        return wrap(text, width)
    own = Table("day", "", places.fields[1:], tuple(row[1:] for row in places.rows))
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
