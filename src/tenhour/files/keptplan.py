"""A household's plan that was kept: the JSON of ``tenhour feed``, read back to go on from."""

from __future__ import annotations

import json
import math
from datetime import date
from pathlib import Path
from typing import Any, get_args

from tenhour.errors import FileProblem, Problem
from tenhour.files.textfile import read_text
from tenhour.model.feed import Doing, FeedJob, KeptPlan, KeptSowing
from tenhour.model.household import Household

ALLOWED = "a plan that 'tenhour feed --keep' or 'feed --json' wrote"
DO = "Name another file, or move this one away to begin anew."


def read_plan(path: Path) -> KeptPlan:
    """Read what a plan had sown when and where, and what it was to leave missing.

    Errors: FileProblem for a file that cannot be read or holds anything else.
    """
    text = read_text(path)
    other = FileProblem([Problem(str(path), "", "something else", ALLOWED, DO)])
    try:
        raw = json.loads(text)
        if raw["command"] != "feed":
            raise other
        sowings = tuple(_sowing(row) for row in raw["sowings"]) + tuple(_tray(row) for row in raw["trays"])
        missing = tuple(
            (date.fromisoformat(row["start"]), str(row["wish"]), float(row["missing_count"])) for row in raw["missing"]
        )
        proven = _proven(raw)
        jobs = tuple(_job(row) for row in raw.get("jobs") or ())
    except (ValueError, KeyError, TypeError, AttributeError, OverflowError, RecursionError) as error:
        raise other from error
    return KeptPlan(sowings, missing, *proven, jobs)


def _proven(raw: dict[str, Any]) -> tuple[float, float, str, float, float]:
    """Surety asked, season made for, mark, bounds of cost and of what is missing; older files have no mark."""
    proof = raw.get("proof") or {}
    surety = float(raw.get("surety_frac", Household.surety_frac))
    mark = str(proof.get("mark") or "")
    bound = float(proof["bound"]) if mark else -math.inf
    whole = float(proof.get("missing_whole_count") or 0.0) if mark else 0.0
    return surety, float(proof.get("season_frac", surety)), mark, bound, whole


def _job(row: dict[str, Any]) -> FeedJob:
    if row["do"] not in get_args(Doing):
        raise ValueError(row["do"])
    on, sow = date.fromisoformat(row["on"]), date.fromisoformat(row["sow"])
    return FeedJob(on, row["do"], str(row["crop"]), str(row["bed"] or ""), sow, "", 0.0)


def _sowing(row: dict[str, Any]) -> KeptSowing:
    when = (date.fromisoformat(row["sow"]), bool(row["raise"]), float(row["area_m2"]))
    moved = date.fromisoformat(row["set_out"]) if row.get("moved") else None
    return KeptSowing(str(row["crop"]), str(row["bed"]), *when, False, date.fromisoformat(row["clear_by"]), moved)


def _tray(row: dict[str, Any]) -> KeptSowing:
    when = (date.fromisoformat(row["sow"]), False, float(row["trays_count"]))
    return KeptSowing(str(row["crop"]), str(row["bed"]), *when, True, date.fromisoformat(row["cut_to"]))
