"""Weather files from their path: read, made whole and judged."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tenhour.files.weather.read import read_series
from tenhour.year.outside.series import accepted, accepted_days

if TYPE_CHECKING:
    from tenhour.files.weather.plain import Stamp
    from tenhour.model.weather import PastDays, WeatherYear


def load_weather(
    path: Path, latitude_deg: float | None = None, longitude_deg: float | None = None, stamp: Stamp = "auto"
) -> WeatherYear:
    """A weather file, read, brought to one form, filled within limits and judged.

    Parameters: path; latitude_deg and longitude_deg of the house, used where the file names no place and to tell how
        far away it is; stamp, what the stamps of a plain table mark ("auto" takes the file's word or the first row).
    Returns: the series with its notes and checks, none of them a refusal.
    Errors: FileProblem with every reason to refuse the file.
    """
    site = None if latitude_deg is None or longitude_deg is None else (latitude_deg, longitude_deg)
    return accepted(read_series(path, latitude_deg, longitude_deg, stamp), site)


def load_since(path: Path, latitude_deg: float, longitude_deg: float) -> PastDays:
    """Days of light and, where the file has it, of air.

    Parameters: path, of any weather format or a table with date and dli_mol_m2_d; latitude_deg, longitude_deg of the
        house. Errors: FileProblem for a file that is none, a typical year, or light that cannot be.
    """
    return accepted_days(read_series(path, latitude_deg, longitude_deg), (latitude_deg, longitude_deg))
