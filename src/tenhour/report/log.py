"""The log as text and as tables: what stands where, and the last lines."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Final

from tenhour.model.log import LogLine, Stand, standing
from tenhour.report.tables import Field, Table, columns, table_of
from tenhour.report.terminal import bold, table_lines, wrap
from tenhour.words.style import METRIC, Style, date_text, quantity_text

LAST_LINES: Final = 12
EMPTY: Final = "Nothing is logged yet. Begin with: tenhour log sown kale --bed front"


def log_tables(lines: Sequence[LogLine], on: date) -> tuple[Table, ...]:
    """Return what stands and every line as data."""
    return standing_table(lines, on), lines_table(lines)


def standing_table(lines: Sequence[LogLine], on: date) -> Table:
    """Return what stands on a day."""
    (cut,) = columns(Stand, "fresh_g").fields
    rows = ((stand.bed or "-", stand, stand.fresh_g or None) for stand in standing(lines, on))
    names = columns(Stand, "crop sown plants_per_m2")
    return table_of("standing", "What stands", rows, Field("bed", "bed"), names, cut)


def lines_table(lines: Sequence[LogLine]) -> Table:
    """Return every line of the log."""
    names = "on what crop bed plants_per_m2 fresh_g area_m2 plants_count variety because sown_on note"
    return table_of("lines", "The log", ((line,) for line in lines), columns(LogLine, names))


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
    parts += [quantity_text("area", line.area_m2, style)] if line.area_m2 is not None else []
    parts += [f"{line.plants_count} plants"] if line.plants_count is not None else []
    parts += [line.variety] if line.variety else []
    parts += [f"because of {line.because}"] if line.because else []
    parts += [f"sown {date_text(line.sown_on, style)}"] if line.sown_on is not None else []
    return " ".join(parts) + (f" ({line.note})" if line.note else "")
