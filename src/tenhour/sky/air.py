"""How much air the sun shines through.

The same formulas as in the library of the sun's place, whose module loads one for tables that no answer of the year
needs; tests hold them against it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tenhour.units import SEA_LEVEL_PA, pressure_pa

Array = NDArray[np.float64]


def relative_airmass(zenith_deg: Array) -> Array:
    """Length of the way through the air, in heights of the atmosphere [-]; NaN with the sun below the horizon.

    Parameters: zenith_deg, apparent [°].
    Method: Kasten & Young 1989, doi 10.1364/AO.28.004735, read in pvlib.
    """
    zenith = np.where(zenith_deg > 90.0, np.nan, zenith_deg)
    return np.asarray(1.0 / (np.cos(np.radians(zenith)) + 0.50572 * (6.07995 + (90.0 - zenith)) ** -1.6364))


def absolute_airmass(zenith_deg: Array, elevation_m: float) -> Array:
    """Relative air mass by the pressure of the place [-].

    Parameters: zenith_deg, apparent [°]; elevation_m [m].
    Method: definition.
    """
    return relative_airmass(zenith_deg) * pressure_pa(elevation_m) / SEA_LEVEL_PA
