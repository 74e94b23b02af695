"""Dawn, sunrise, noon, sunset and dusk of one day on the local clock, by the astral library."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from typing import Any, Final, NamedTuple
from zoneinfo import ZoneInfo

SECONDS_PER_H: Final = 3600.0
CIVIL_DEG: Final = 6.0
"""Depression of the sun at the ends of civil twilight (almanac convention). Read."""


class ClockTimes(NamedTuple):
    """Hours on the local clock, counted on beyond 24 or below 0 where they fall on a neighbouring day; NaN for none."""

    dawn_h: float
    sunrise_h: float
    noon_h: float
    sunset_h: float
    dusk_h: float


def clock_times(latitude_deg: float, longitude_deg: float, on: date, zone: str) -> ClockTimes:
    """Times of one day; those of the whole year are arrays (:mod:`tenhour.sun.daylength`), which a test holds to these.

    Parameters: latitude_deg, longitude_deg [°]; on; zone, of the clock (IANA).
    Source: astral, after Meeus, Astronomical Algorithms, with refraction at the horizon and civil twilight of 6°.
    """
    from astral import Observer, sun

    place, clock = Observer(latitude_deg, longitude_deg), ZoneInfo(zone)

    def hour(event: Callable[..., datetime], **more: Any) -> float:
        try:
            at = event(place, date=on, tzinfo=clock, **more)
        except ValueError:  # the sun does not reach that height on this day
            return float("nan")
        midnight = datetime(on.year, on.month, on.day, tzinfo=clock)
        return (at - midnight).total_seconds() / SECONDS_PER_H

    return ClockTimes(
        hour(sun.dawn, depression=CIVIL_DEG),
        hour(sun.sunrise),
        hour(sun.noon),
        hour(sun.sunset),
        hour(sun.dusk, depression=CIVIL_DEG),
    )
