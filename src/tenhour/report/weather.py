"""What a weather file holds and how it was judged, as text and as tables."""

from __future__ import annotations

from typing import Final

from tenhour.model.weather import WeatherCheck, WeatherMonth, WeatherYear, weather_months
from tenhour.report.common import told
from tenhour.report.tables import Table, columns, table_of
from tenhour.report.terminal import beside, bold, table_lines, wrap
from tenhour.words.remarks import KIND_OF_FILE
from tenhour.words.style import METRIC, Style, quantity_text
from tenhour.words.text import written

MARK_COLUMNS: Final = 7
MARKS: Final = {"passed": "fine", "note": "look", "refused": "refused"}


def weather_tables(weather: WeatherYear) -> tuple[Table, ...]:
    """Return months and checks as data."""
    return months_table(weather), checks_table(weather)


def months_table(weather: WeatherYear) -> Table:
    """Return light and air of each month."""
    names = "month dli_mol_m2_d ghi_w_m2 temp_degc whole_days_count lost_days_count"
    rows = ((month,) for month in weather_months(weather))
    return table_of("months", "Light and air by month", rows, columns(WeatherMonth, names))


def checks_table(weather: WeatherYear) -> Table:
    """Return what was checked and what was found."""
    rows = ((check,) for check in weather.checks)
    return table_of("checks", "Whether the file can be trusted", rows, columns(WeatherCheck, "name finding sentence"))


def weather_text(weather: WeatherYear, file: str, width: int, style: Style = METRIC) -> str:
    """Return the file, its months and its checks as text."""
    clock = f"UTC{weather.utc_offset_h:+g}"
    step = "hours" if weather.step_h == 1 else "days"
    lines = [bold(file), *wrap(written(KIND_OF_FILE(kind=weather.kind, source=weather.source), style), width)]
    period = written(weather.period, style)
    lines += wrap(f"{_where(weather, style)}; {period}, in {step}, clock {clock}.", width)
    found = [(MARKS[check.finding], written(check.sentence, style)) for check in weather.checks]
    said = [(mark, f"{text[:1].upper()}{text[1:]}.") for mark, text in found]
    lines += ["", *table_lines(months_table(weather), width, style), "", *beside(said, MARK_COLUMNS, width)]
    return "\n".join(lines + ([] if style.all_notes else told("Read as", weather.notes, width, style)))


def _where(weather: WeatherYear, style: Style) -> str:
    if weather.latitude_deg is None or weather.longitude_deg is None:
        return "no place"
    north = "N" if weather.latitude_deg >= 0 else "S"
    east = "E" if weather.longitude_deg >= 0 else "W"
    where = f"{abs(weather.latitude_deg):.2f} {north} {abs(weather.longitude_deg):.2f} {east}"
    if weather.elevation_m is None:
        return where
    return f"{where}, {quantity_text('elevation', weather.elevation_m, style)}"
