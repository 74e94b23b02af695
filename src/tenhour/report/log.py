"""The log as text and as tables: what stands where, and the last lines."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Final

from tenhour.model.log import LogAnswer, LogLine, LogStand, Stand
from tenhour.report.common import grower_lines, noted, remarks_count, weather_lines
from tenhour.report.tables import Field, Table, columns, table_of
from tenhour.report.terminal import bold, table_lines, wrap
from tenhour.words import log as words
from tenhour.words.style import METRIC, Style, date_text, quantity_text
from tenhour.words.text import written

LAST_LINES: Final = 12
EMPTY: Final = "Nothing is logged yet. Begin with: tenhour log sown kale --bed front"


def log_tables(answer: LogAnswer) -> tuple[Table, ...]:
    """Return what stands, what to do with it, and every line as data."""
    return standing_table(answer.standing), stands_table(answer), lines_table(answer.lines)


def standing_table(stands: Sequence[Stand]) -> Table:
    """Return what stands on a day."""
    (cut,) = columns(Stand, "fresh_g").fields
    rows = ((stand.bed or "-", stand, stand.fresh_g or None) for stand in stands)
    names = columns(Stand, "crop sown plants_per_m2")
    return table_of("standing", "What stands", rows, Field("bed", "bed"), names, cut)


def stands_table(answer: LogAnswer) -> Table:
    """Return what stands with its forecast."""
    names = "crop bed sown set_out variety do ready_from ready_to flowers_from verdict text ask"
    return table_of("stands", "When it is ready", ((one,) for one in answer.stands), columns(LogStand, names))


def lines_table(lines: Sequence[LogLine]) -> Table:
    """Return every line of the log."""
    names = "on what crop bed plants_per_m2 fresh_g area_m2 plants_count variety because sown_on note"
    return table_of("lines", "The log", ((line,) for line in lines), columns(LogLine, names))


def log_text(answer: LogAnswer, on: date, path: str, width: int, style: Style = METRIC) -> str:
    """Log as text: what stands and what to do with it, then the last lines by number."""
    if not answer.lines:
        return noted("\n".join(wrap(EMPTY, width)), answer.basis, width, style)
    out = [bold(f"Standing on {date_text(on, style)} by {path}")]
    if answer.stands:
        for one in answer.stands:
            text = words.TO_DO(bed=one.bed or "-", crop=one.crop, sown=one.sown, text=one.text)
            out += wrap(written(text, style), width)
            out += wrap(written(one.ask, style), width) if one.ask else []
        asked = [one.crop for one in answer.stands if one.ask]
        out += wrap(words.SAY_ONCE(crop=asked[0]), width) if asked else []
    else:
        stands = standing_table(answer.standing)
        out += table_lines(stands, width, style) if stands.rows else ["nothing"]
    out += ["", bold("Last lines")]
    last = sorted(enumerate(answer.lines, 1), key=lambda pair: pair[1].on)[-LAST_LINES:]
    out += [f"{number:3} {_line_text(line, style)}" for number, line in last]
    told = grower_lines(answer.grower_lines, width, style)
    out += ["", *told] if told else []
    if not style.all_notes:
        closing = weather_lines(answer.basis, width, style) + remarks_count(answer.basis, width, style)
        out += ["", *closing] if closing else []
    return noted("\n".join(out), answer.basis, width, style)


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
