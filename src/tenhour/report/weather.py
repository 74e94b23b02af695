"""What a weather file holds and how it was judged, as text and as JSON."""

from __future__ import annotations

from typing import Any, Final

from tenhour.model.results import Basis
from tenhour.model.weather import WeatherYear
from tenhour.report.common import basis_json, rounded
from tenhour.report.terminal import Column, bold, notes, number, table, wrap
from tenhour.units import dli_from_ghi

MONTHS: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
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
        "months": [_month_json(weather, month) for month in range(1, len(MONTHS) + 1)],
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


def weather_text(weather: WeatherYear, file: str, width: int) -> str:
    """Return the file, its months and its checks as text."""
    clock = f"UTC{weather.utc_offset_h:+g}"
    step = "hours" if weather.step_h == 1 else "days"
    lines = [bold(file), *wrap(f"{weather.kind}: {weather.source}", width)]
    lines += wrap(f"{_where(weather)}; {weather.period}, in {step}, clock {clock}.", width)
    columns = [
        Column("month", right=False),
        Column("DLI mol"),
        Column("W/m2"),
        Column("air C"),
        Column("whole days"),
        Column("left out"),
    ]
    rows = []
    for month, name in enumerate(MONTHS, start=1):
        told = _month_json(weather, month)
        cells = (number(told["dli_mol_m2_d"]), number(told["ghi_w_m2"], 0), number(told["temp_degc"]))
        rows.append([name, *cells, str(told["whole_days_count"]), str(told["lost_days_count"])])
    lines += ["", *table(columns, rows, width), ""]
    for check in weather.checks:
        mark = MARKS[check.finding]
        first, *rest = wrap(check.sentence[:1].upper() + check.sentence[1:] + ".", width - 9)
        lines.append(f"{mark:<7}  {first}")
        lines.extend(f"         {part}" for part in rest)
    lines += notes("Read as", weather.notes, width)
    return "\n".join(lines)


def _where(weather: WeatherYear) -> str:
    if weather.latitude_deg is None or weather.longitude_deg is None:
        return "no place"
    north = "N" if weather.latitude_deg >= 0 else "S"
    east = "E" if weather.longitude_deg >= 0 else "W"
    where = f"{abs(weather.latitude_deg):.2f} {north} {abs(weather.longitude_deg):.2f} {east}"
    return where if weather.elevation_m is None else f"{where}, {weather.elevation_m:.0f} m"
