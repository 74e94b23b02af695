"""A file of days that grows: this winter so far, from a station, a service or the grower's own light sums."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Final

import numpy as np

from tenhour.errors import FileProblem, Problem
from tenhour.files.textfile import read_text
from tenhour.files.write import write_text
from tenhour.model.weather import PastDays
from tenhour.units import dli_from_ghi

HEAD: Final = "date,dli_mol_m2_d,temp_degc"


def kept_days(path: Path) -> dict[date, str]:
    """Rows of a table of days by date, as they stand there; none where there is no file yet.

    Errors: FileProblem for a file with other columns, which is not to be added to.
    """
    if not path.exists():
        return {}
    head, *rows = [line for line in read_text(path).splitlines() if line.strip() and not line.startswith("#")] or [""]
    if head.replace(" ", "") != HEAD:
        do = "Name another with --into, or add to it yourself."
        raise FileProblem([Problem(str(path), "heading", repr(head), HEAD, do)])
    try:
        return {date.fromisoformat(row.split(",", 1)[0].strip()): row for row in rows}
    except ValueError as error:
        raise FileProblem([Problem(str(path), "date", str(error), "days as 2026-11-28", "Correct the row.")]) from None


def with_days(kept: dict[date, str], found: PastDays) -> dict[date, str]:
    """Kept rows and those of found days that are not there yet, in order."""
    new = dict(kept)
    for day, ghi, temp in zip(found.day.astype(object), found.ghi_w_m2, found.temp_degc, strict=True):
        air = f"{temp:.2f}" if np.isfinite(temp) else ""
        new.setdefault(day, f"{day.isoformat()},{float(dli_from_ghi(ghi)):.4f},{air}")
    return dict(sorted(new.items()))


def write_days(path: Path, rows: dict[date, str]) -> None:
    """Write a table of days whole, in the place of the one before. Errors: FileProblem."""
    write_text(path, "\n".join([HEAD, *rows.values()]) + "\n", force=True)
