"""The hours of weather that a house stands in: made up from the normals of its place."""

from __future__ import annotations

import numpy as np

from tenhour.model.house import House
from tenhour.plan.dates import DAYS
from tenhour.sky import hours as skyhours
from tenhour.sky.extremes import Extremes, extremes_of
from tenhour.sun import position
from tenhour.year.sunlight import Sources, Sunlight


def place_extremes(sources: Sources, sunlight: Sunlight) -> Extremes:
    """Cold extremes outdoors of the place, from its monthly means: what a heater is sized by."""
    return extremes_of(sunlight.outdoors.climate.temp_degc, sources.hours["cold"])


def year_hours(house: House, sources: Sources, sunlight: Sunlight, *, count: int = skyhours.WINTERS) -> skyhours.Hours:
    """Hours of weather outdoors [N, 365, 24], days from 1 January in the clock of ``sunlight.sun``.

    Parameters: house; sources, with the numbers of generated weather; sunlight of the place; count, winters made up.
        Fewer winters are the first of more, set back to the normals among themselves.
    """
    climate = sunlight.outdoors.climate
    normals = skyhours.Normals(
        climate.temp_degc,
        climate.kt_month,
        position.extraterrestrial_daily(house.site.latitude_deg, np.arange(1, DAYS + 1)),
        sunlight.class_hours,
        house.site.latitude_deg < 0,
    )
    return skyhours.generated(normals, place_extremes(sources, sunlight), sources.hours, winters=count)
