"""From stamps as written to moments in UTC: zones, offsets and the hours that clocks skip or repeat."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from typing import Final
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np
import pandas as pd

from tenhour.errors import FileProblem, Problem

_OFFSET: Final = re.compile(r"(?:UTC|GMT)?(?P<sign>[+-])(?P<h>\d{1,2}):?(?P<m>[0-5]\d)?", re.IGNORECASE)
LAST_OFFSET_H: Final = 14
SECONDS_PER_HOUR: Final = 3600.0


@dataclass(frozen=True)
class Moments:
    """Moments in UTC, NaT where a stamp was unreadable or fell into an hour that clocks skip; and what was assumed."""

    time: pd.DatetimeIndex
    skipped: tuple[int, ...] = ()
    notes: tuple[str, ...] = ()
    offset_h: float | None = None
    """Offset from UTC that the first stamp without a zone was read with; None where all name one."""


def zone_of(text: str, key: str = "--zone") -> tzinfo:
    """Return the zone a user names: UTC, an offset like +01:00, or an IANA name.

    Errors: FileProblem for a name nobody knows.
    """
    short = text.strip()
    if short.upper() in {"UTC", "GMT", "Z"}:
        return UTC
    found = _OFFSET.fullmatch(short)
    if found:
        span = timedelta(hours=int(found["h"]), minutes=int(found["m"] or 0))
        if span <= timedelta(hours=LAST_OFFSET_H):
            return timezone(span if found["sign"] == "+" else -span)
    else:
        try:
            return ZoneInfo(short)
        except (ZoneInfoNotFoundError, ValueError, OSError):
            pass
    allowed = "UTC, an offset like +01:00, or a name like Europe/London"
    raise FileProblem([Problem("command line", key, repr(short), allowed, "")])


def moments(stamps: Sequence[datetime | None], zone: tzinfo) -> Moments:
    """Return stamps as moments in UTC.

    Parameters: stamps, naive ones are local time in ``zone``; None where unreadable; zone.
    Returns: Moments of the same length. Where clocks go back, repeated hours are told apart by their order if they
    can be, else taken as the first; hours that clocks skip in spring do not exist and are listed by index.
    """
    aware = [i for i, stamp in enumerate(stamps) if stamp is not None and stamp.tzinfo is not None]
    naive = [i for i, stamp in enumerate(stamps) if stamp is not None and stamp.tzinfo is None]
    out = np.full(len(stamps), np.datetime64("NaT", "us"))
    for i in aware:
        stamp = stamps[i]
        if stamp is not None:
            out[i] = np.datetime64(stamp.astimezone(UTC).replace(tzinfo=None), "us")
    local = pd.DatetimeIndex([stamps[i] for i in naive]).as_unit("us")
    notes: list[str] = []
    made = _localized(local, zone, notes)
    skipped = tuple(naive[i] for i in np.flatnonzero(made.isna()).tolist())
    out[naive] = made.tz_convert("UTC").tz_localize(None).as_unit("us").to_numpy()
    return Moments(pd.DatetimeIndex(out, tz="UTC"), skipped, tuple(notes), _offset_h(made))


def _offset_h(made: pd.DatetimeIndex) -> float | None:
    first = next((at for at in made if not pd.isna(at)), None)
    offset = None if first is None else first.utcoffset()
    return None if offset is None else offset.total_seconds() / SECONDS_PER_HOUR


def _localized(local: pd.DatetimeIndex, zone: tzinfo, notes: list[str]) -> pd.DatetimeIndex:
    try:
        return local.tz_localize(zone, ambiguous="raise", nonexistent="NaT")
    except ValueError:
        pass
    try:
        return local.tz_localize(zone, ambiguous="infer", nonexistent="NaT")
    except ValueError:
        notes.append("Stamps in the hour that clocks repeat in autumn were taken as summer time.")
        return local.tz_localize(zone, ambiguous=np.ones(len(local), dtype=np.bool_), nonexistent="NaT")
