"""The log as text and as JSON: what stands where, and the last lines."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any, Final

from tenhour.model.log import LogLine, standing
from tenhour.model.results import Basis
from tenhour.report.common import basis_json, rounded
from tenhour.report.terminal import Column, bold, number, table, wrap

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


def log_text(lines: Sequence[LogLine], on: date, path: str, width: int) -> str:
    """Log as text: what stands, then the last lines."""
    if not lines:
        return "\n".join(wrap(EMPTY, width))
    out = [bold(f"Standing on {on.isoformat()} by {path}")]
    stands = standing(lines, on)
    if stands:
        columns = [Column(title, right=False) for title in ("bed", "crop", "sown")] + [Column("a m²"), Column("cut g")]
        rows = [
            [
                stand.bed or "-",
                stand.crop,
                stand.sown.isoformat(),
                number(stand.plants_per_m2, 0),
                number(stand.fresh_g or None, 0),
            ]
            for stand in stands
        ]
        out += table(columns, rows, width)
    else:
        out.append("nothing")
    out += ["", bold("Last lines")]
    last = sorted(lines, key=lambda line: line.on)[-LAST_LINES:]
    return "\n".join(out + [_line_text(line) for line in last])


def _line_text(line: LogLine) -> str:
    parts = [line.on.isoformat(), line.what, line.crop]
    parts += [f"on {line.bed}"] if line.bed else []
    parts += [f"{line.plants_per_m2:.0f} a m²"] if line.plants_per_m2 is not None else []
    parts += [f"{line.fresh_g:.0f} g"] if line.fresh_g is not None else []
    return " ".join(parts) + (f" ({line.note})" if line.note else "")
