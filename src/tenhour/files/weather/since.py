"""A file of days that grows: this winter so far, from a station, a service or the grower's own light sums."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import numpy as np

from tenhour.errors import FileProblem, Problem
from tenhour.files.weather.read import finished, read_raw
from tenhour.model.weather import PastDays

IMPOSSIBLE: Final = ("clear sky", "place")
"""Looks whose refusal stands for a short series too; months that are not there yet are no fault of it."""


def load_since(path: Path, latitude_deg: float, longitude_deg: float) -> PastDays:
    """Days of light and, where the file has it, of air.

    Parameters: path, of any weather format or a table with date and dli_mol_m2_d; latitude_deg, longitude_deg of the
    house. Errors: FileProblem for a file that is none, a typical year, or light that cannot be.
    """
    raw = read_raw(path)
    weather = finished(raw, str(path), (latitude_deg, longitude_deg))
    if weather.typical:
        do = "Give the days as they were, with their dates; a typical year goes under file."
        raise FileProblem([Problem(str(path), "weather.since", "a typical year", "days of this winter", do)])
    refused = [look for look in weather.checks if look.finding == "refused" and look.name in IMPOSSIBLE]
    if refused:
        raise FileProblem([Problem(str(path), look.name, look.sentence, "", "Mend the file.") for look in refused])
    daily = weather.daily
    years = np.array([f"{year}-01-01" for year in daily.year], dtype="datetime64[D]")
    days = years + (daily.day_doy - 1).astype("timedelta64[D]")
    order = np.argsort(days, kind="stable")
    return PastDays(days[order], daily.ghi_w_m2[order], daily.temp_degc[order], weather.source, str(path))
