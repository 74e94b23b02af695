"""What a weather file holds and how it was judged, as text and as JSON."""

from __future__ import annotations

from typing import Any, Final

from tenhour.model.results import Basis
from tenhour.model.weather import WeatherYear
from tenhour.report.common import basis_json, rounded, told
from tenhour.report.tables import Field, Table
from tenhour.report.terminal import bold, table_lines, wrap
from tenhour.report.units import METRIC, Style, localise, quantity_text
from tenhour.units import dli_from_ghi

MONTHS: Final = range(1, 13)
MARKS: Final = {"passed": "fine", "note": "look", "refused": "refused"}


def weather_json(weather: WeatherYear, file: str, named_in: str | None = None) -> dict[str, Any]:
    """Return the file, its months and its checks as a JSON object."""
    remarks = tuple(check.sentence for check in weather.checks if check.finding == "note")
    out = basis_json("weather", Basis({"file": file}, weather.notes, remarks))
    out |= {
        "file": file,
        "named_in": named_in,
        "format": weather.kind,
        "source": weather.source,
        "site": {
            "latitude_deg": rounded(weather.latitude_deg, 4),
            "longitude_deg": rounded(weather.longitude_deg, 4),
            "elevation_m": rounded(weather.elevation_m, 1),
        },
        "period": weather.period,
        "typical": weather.typical,
        "years_count": weather.years_count,
        "step_h": weather.step_h,
        "utc_offset_h": weather.utc_offset_h,
        "gaps": {
            "missing_share": rounded(weather.gaps.missing_share, 5),
            "filled_count": weather.gaps.filled_count,
            "lost_days_count": weather.gaps.lost_days_count,
            "temp_missing_share": rounded(weather.gaps.temp_missing_share, 5),
        },
        "checks": [
            {"name": check.name, "finding": check.finding, "sentence": check.sentence} for check in weather.checks
        ],
        "months": [_month_json(weather, month) for month in MONTHS],
    }
    return out


def _month_json(weather: WeatherYear, month: int) -> dict[str, Any]:
    monthly, at = weather.monthly, month - 1
    return {
        "month": month,
        "ghi_w_m2": rounded(float(monthly.ghi_w_m2[at]), 2),
        "dli_mol_m2_d": rounded(float(dli_from_ghi(monthly.ghi_w_m2[at])), 2),
        "temp_degc": rounded(float(monthly.temp_degc[at]), 2),
        "whole_days_count": int(monthly.whole_days_count[at]),
        "lost_days_count": int(monthly.lost_days_count[at]),
    }


def weather_tables(weather: WeatherYear) -> tuple[Table, ...]:
    """Return months and checks as data."""
    return months_table(weather), checks_table(weather)


def months_table(weather: WeatherYear) -> Table:
    """Return light and air of each month."""
    fields = (
        Field("month", "month", "month"),
        Field("dli_mol_m2_d", "DLI mol", "dli", 1),
        Field("ghi_w_m2", "global", "irradiance"),
        Field("temp_degc", "air", "temp", 1),
        Field("whole_days_count", "whole days", "count"),
        Field("lost_days_count", "left out", "count"),
    )
    told_of = [_month_json(weather, month) for month in MONTHS]
    rows = tuple(tuple(month[field.key] for field in fields) for month in told_of)
    return Table("months", "Light and air by month", fields, rows)


def checks_table(weather: WeatherYear) -> Table:
    """Return what was checked and what was found."""
    fields = (Field("check", "check"), Field("finding", "finding"), Field("sentence", "found", "prose", wrap=True))
    rows = tuple((check.name, check.finding, check.sentence) for check in weather.checks)
    return Table("checks", "Whether the file can be trusted", fields, rows)


def weather_text(weather: WeatherYear, file: str, width: int, style: Style = METRIC) -> str:
    """Return the file, its months and its checks as text."""
    clock = f"UTC{weather.utc_offset_h:+g}"
    step = "hours" if weather.step_h == 1 else "days"
    lines = [bold(file), *wrap(localise(f"{weather.kind}: {weather.source}", style), width)]
    period = localise(weather.period, style)
    lines += wrap(f"{_where(weather, style)}; {period}, in {step}, clock {clock}.", width)
    lines += ["", *table_lines(months_table(weather), width, style), ""]
    for check in weather.checks:
        mark = MARKS[check.finding]
        sentence = localise(check.sentence, style)
        first, *rest = wrap(sentence[:1].upper() + sentence[1:] + ".", width - 9)
        lines.append(f"{mark:<7}  {first}")
        lines.extend(f"         {part}" for part in rest)
    return "\n".join(lines + told("Read as", weather.notes, width, style))


def _where(weather: WeatherYear, style: Style) -> str:
    if weather.latitude_deg is None or weather.longitude_deg is None:
        return "no place"
    north = "N" if weather.latitude_deg >= 0 else "S"
    east = "E" if weather.longitude_deg >= 0 else "W"
    where = f"{abs(weather.latitude_deg):.2f} {north} {abs(weather.longitude_deg):.2f} {east}"
    if weather.elevation_m is None:
        return where
    return f"{where}, {quantity_text('elevation', weather.elevation_m, style)}"
