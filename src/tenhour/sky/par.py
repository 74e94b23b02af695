"""From radiation to the photons plants use, and to lux, outdoors."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.units import UMOL_PER_J_GLOBAL

Array = NDArray[np.float64]

LUX_UMOL_DAYLIGHT: Final = 54.0
"""Illuminance per photon flux of sun and sky [lux per µmol m⁻² s⁻¹]: Thimijan & Heins 1983. Second-hand."""

LUX_UMOL_DAYLIGHT_RANGE: Final = (52.0, 56.0)
"""The same from blue sky alone (Thimijan & Heins 1983) to direct sun (ASTM G173-03, 55.98). Second-hand, derived."""


def ppfd_of(irradiance_w_m2: ArrayLike) -> Array:
    """Photon flux 400-700 nm of global, beam or sky radiation.

    Parameters: irradiance_w_m2, solar radiation of all wavelengths, any shape [W m⁻²].
    Returns: photon flux density [µmol m⁻² s⁻¹], same shape.
    Method: 2.018 µmol J⁻¹ (Faust & Logan 2018) for sun and sky alike. Published factors run from 1.96 (clear) to
        2.13 (overcast): ±4 % (units.UMOL_PER_J_GLOBAL_SPREAD_FRAC), small beside the error of the normals.
    """
    return np.asarray(irradiance_w_m2, dtype=np.float64) * UMOL_PER_J_GLOBAL


def ppfd_from_lux(illuminance_lux: ArrayLike) -> Array:
    """Photon flux [µmol m⁻² s⁻¹] of daylight from illuminance [lux], any shape; within 4 % for sun and sky."""
    return np.asarray(illuminance_lux, dtype=np.float64) / LUX_UMOL_DAYLIGHT


def lux_from_ppfd(ppfd_umol_m2_s: ArrayLike) -> Array:
    """Illuminance [lux] of daylight from photon flux [µmol m⁻² s⁻¹], any shape; inverse of ppfd_from_lux."""
    return np.asarray(ppfd_umol_m2_s, dtype=np.float64) * LUX_UMOL_DAYLIGHT
