"""From what a meter shows to photons, and from single readings to pairs taken under the same sky."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import OutOfRange
from tenhour.model.readings import LightReadings
from tenhour.model.spectrum import LightUnit, Meter, Spectrum
from tenhour.units import UMOL_PER_J_GLOBAL

Array = NDArray[np.float64]
Index = NDArray[np.intp]

PAIR_GAP_S: Final = 600.0
"""Two readings further apart than ten minutes are not of the same sky: judgement."""
BRIDGE_GAP_S: Final = 1200.0
"""Between two outdoor readings so close together the light is taken to run straight: judgement."""
RANGE_SDS: Final = 3.3
"""A range within one kind of lamp is taken as the middle 90 % of a normal spread: 3.3 deviations. Judgement."""


class Photons(NamedTuple):
    """Readings as photon flux [µmol m⁻² s⁻¹] and the standard deviation of its logarithm by the spectrum, [n]."""

    ppfd_umol_m2_s: Array
    spectrum_frac: Array


def spectrum_sd_frac(low: float, high: float) -> float:
    """Relative standard deviation that a range within one kind of lamp stands for."""
    return float(np.log(high / low) / RANGE_SDS)


def photons(
    value: Array,
    unit: NDArray[np.str_],
    light: NDArray[np.str_],
    spectra: Mapping[str, Spectrum],
) -> Photons:
    """Photon flux of readings in mixed units under mixed kinds of light.

    Parameters: value, as read [lux, µmol m⁻² s⁻¹ or W m⁻²]; unit, lux, ppfd or w_m2; light, keys of spectra; each [n].
    Returns: Photons. Lux by the lux per photon of the spectrum (Thimijan & Heins 1983 and CIE spectra), W m⁻² as
    global radiation of the sun (2.018 µmol J⁻¹, Faust & Logan 2018).
    Errors: OutOfRange for lux under a spectrum of which a lux meter says nothing, and W m⁻² under lamps.
    """
    out = np.array(value, dtype=np.float64)
    spread = np.zeros(len(out))
    for key in np.unique(light):
        spectrum = spectra[str(key)]
        lux = (unit == "lux") & (light == key)
        if lux.any():
            if spectrum.lux_umol is None:
                raise OutOfRange(
                    f"lux under {spectrum.title}: a lux meter hardly sees red and blue, so the reading says nothing "
                    "about photons; measure PPFD, or judge the lamp by its µmol per second"
                )
            out[lux] /= spectrum.lux_umol.value
            spread[lux] = spectrum_sd_frac(spectrum.lux_umol.low, spectrum.lux_umol.high)
        if key != "daylight" and ((unit == "w_m2") & (light == key)).any():
            raise OutOfRange(f"W/m2 under {spectrum.title}: only known for daylight; measure lux or PPFD")
    out[unit == "w_m2"] *= UMOL_PER_J_GLOBAL
    return Photons(out, spread)


def bias_frac(
    inside_unit: LightUnit, outside_unit: LightUnit, one_meter: bool, meters: Mapping[LightUnit, Meter]
) -> float:
    """Relative standard deviation of an inside over outside ratio that no number of readings takes away.

    Parameters: units of the two readings; one_meter, whether the same meter took both; meters.
    Method: one meter leaves its shared error; two meters add their own errors in square.
    """
    if one_meter and inside_unit == outside_unit:
        return meters[inside_unit].shared.value
    pair = meters[inside_unit], meters[outside_unit]
    return float(np.sqrt(sum(m.own.value**2 + m.shared.value**2 / 2 for m in pair)))


class Pairing(NamedTuple):
    """Inside readings [n] with the light outdoors at the same moment; indexes into the readings."""

    inside: Index
    outside: Index
    """Nearest outdoor reading."""
    outside_umol_m2_s: Array


def pair_up(readings: LightReadings, ppfd_umol_m2_s: Array, inside: Index, outside: Index) -> Pairing:
    """Give every inside reading the light outdoors at its moment; leave out those without any near.

    Parameters: readings; ppfd_umol_m2_s, all of them as photons [n]; inside, outside, indexes into them.
    Method: outdoor light runs straight between two readings at most 20 min apart; else the nearest within 10 min.
    """
    if not len(inside) or not len(outside):
        empty = np.zeros(0, dtype=np.intp)
        return Pairing(empty, empty, np.zeros(0))
    seconds = np.asarray(readings.time.as_unit("ms").asi8, dtype=np.float64) / 1000.0
    order = outside[np.argsort(seconds[outside], kind="stable")]
    at, when = seconds[order], seconds[inside]
    after = np.clip(np.searchsorted(at, when), 0, len(at) - 1)
    before = np.clip(after - 1, 0, len(at) - 1)
    nearest = np.where(np.abs(at[after] - when) < np.abs(at[before] - when), after, before)
    apart = np.abs(at[nearest] - when)
    bridged = (at[after] >= when) & (at[before] <= when) & (at[after] - at[before] <= BRIDGE_GAP_S)
    light = np.where(bridged, np.interp(when, at, ppfd_umol_m2_s[order]), ppfd_umol_m2_s[order][nearest])
    keep = bridged | (apart <= PAIR_GAP_S)
    return Pairing(inside[keep], order[nearest][keep], light[keep])
