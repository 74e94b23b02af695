"""The log as text and as JSON: what stands where, and the last lines."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any, Final

from tenhour.model.log import LogLine, standing
from tenhour.model.results import Basis
from tenhour.report.common import basis_json, rounded
from tenhour.report.tables import Field, Table
from tenhour.report.terminal import bold, table_lines, wrap
from tenhour.report.units import METRIC, Style, date_text, quantity_text

LAST_LINES: Final = 12
EMPTY: Final = "Nothing is logged yet. Begin with: tenhour log sown kale --bed front"


def log_json(lines: Sequence[LogLine], on: date, path: str) -> dict[str, Any]:
    """Log as one JSON object."""
    out = basis_json("log", Basis({"log": path, "on": on.isoformat()}))
    out["standing"] = [
        {
            "crop": stand.crop,
            "bed": stand.bed or None,
            "sown": stand.sown.isoformat(),
            "plants_per_m2": rounded(stand.plants_per_m2, 1),
            "fresh_g": rounded(stand.fresh_g, 1),
        }
        for stand in standing(lines, on)
    ]
    out["lines"] = [
        {
            "date": line.on.isoformat(),
            "what": line.what,
            "crop": line.crop,
            "bed": line.bed or None,
            "plants_per_m2": rounded(line.plants_per_m2, 1),
            "fresh_g": rounded(line.fresh_g, 1),
            "note": line.note or None,
        }
        for line in lines
    ]
    return out


def log_tables(lines: Sequence[LogLine], on: date) -> tuple[Table, ...]:
    """Return what stands and every line as data."""
    return standing_table(lines, on), lines_table(lines)


def standing_table(lines: Sequence[LogLine], on: date) -> Table:
    """Return what stands on a day."""
    fields = (
        Field("bed", "bed"),
        Field("crop", "crop"),
        Field("sown", "sown", "date"),
        Field("plants_per_m2", "plants", "density"),
        Field("fresh_g", "cut", "fresh"),
    )
    rows = tuple(
        (stand.bed or "-", stand.crop, stand.sown, stand.plants_per_m2, stand.fresh_g or None)
        for stand in standing(lines, on)
    )
    return Table("standing", "What stands", fields, rows)


def lines_table(lines: Sequence[LogLine]) -> Table:
    """Return every line of the log."""
    fields = (
        Field("date", "date", "date"),
        Field("what", "what"),
        Field("crop", "crop"),
        Field("bed", "bed"),
        Field("plants_per_m2", "plants", "density"),
        Field("fresh_g", "fresh", "fresh"),
        Field("note", "note", wrap=True),
    )
    rows = tuple(
        (line.on, line.what, line.crop, line.bed, line.plants_per_m2, line.fresh_g, line.note) for line in lines
    )
    return Table("lines", "The log", fields, rows)


def log_text(lines: Sequence[LogLine], on: date, path: str, width: int, style: Style = METRIC) -> str:
    """Log as text: what stands, then the last lines."""
    if not lines:
        return "\n".join(wrap(EMPTY, width))
    out = [bold(f"Standing on {date_text(on, style)} by {path}")]
    stands = standing_table(lines, on)
    out += table_lines(stands, width, style) if stands.rows else ["nothing"]
    out += ["", bold("Last lines")]
    last = sorted(lines, key=lambda line: line.on)[-LAST_LINES:]
    return "\n".join(out + [_line_text(line, style) for line in last])


def _line_text(line: LogLine, style: Style) -> str:
    parts = [date_text(line.on, style), line.what, line.crop]
    parts += [f"on {line.bed}"] if line.bed else []
    parts += [quantity_text("density", line.plants_per_m2, style)] if line.plants_per_m2 is not None else []
    parts += [quantity_text("fresh", line.fresh_g, style)] if line.fresh_g is not None else []
    return " ".join(parts) + (f" ({line.note})" if line.note else "")
