"""Lumens, lux, joules and photons of a lamp: conversions that depend on its spectrum, and the ceiling physics sets."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

NM_PER_UMOL_J: Final = 119.626565
"""h c N_A in nm per (µmol J⁻¹), from the exact SI constants (CODATA 2018): a photon mole at 550 nm is 4.5976 µmol/J."""
SHARE_TOLERANCE: Final = 1e-6


def _floats(values: ArrayLike) -> Array:
    return np.asarray(values, dtype=np.float64)


def ceiling_umol_j(wavelength_nm: ArrayLike) -> Array:
    """Most photons a joule can make at one wavelength: a lamp without any loss.

    Parameters: wavelength_nm [nm], > 0. Returns: photons per joule [µmol J⁻¹].
    Method: Planck, λ / (h c N_A). Kusuma et al. 2020 print 3.76 for 450 nm and 5.52 for 660 nm.

    >>> [round(float(e), 2) for e in ceiling_umol_j([450.0, 660.0])]
    [3.76, 5.52]
    """
    return _floats(wavelength_nm) / NM_PER_UMOL_J


def mixed_umol_j(photon_share: ArrayLike, efficacy_umol_j: ArrayLike) -> float:
    """Efficacy of a mix of sources from the share of the photons each gives.

    Parameters: photon_share (k,), sums to 1; efficacy_umol_j (k,) [µmol J⁻¹].
    Returns: efficacy of the mix [µmol J⁻¹]; NaN where the shares do not sum to 1.
    Method: joules per photon add, so the mean is harmonic (Kusuma et al. 2020, supplementary reasoning).

    >>> round(mixed_umol_j([0.9, 0.1], [4.5, 3.5]), 3)
    4.375
    """
    share = _floats(photon_share)
    if abs(share.sum() - 1) > SHARE_TOLERANCE:
        return float("nan")
    return float(1 / np.sum(share / _floats(efficacy_umol_j)))


def fixture_umol_j(package_umol_j: ArrayLike, *factor: float) -> Array:
    """Efficacy of a whole fixture from its bare emitters and the factors for current, heat, driver and optics.

    Parameters: package_umol_j [µmol J⁻¹]; factor, each a share kept [-].
    Returns: efficacy [µmol J⁻¹].
    Method: product, Kusuma et al. 2020 (1.04 x 0.95 x 0.95 x 0.99 = 0.93 at best, 0.90 x 0.90 x 0.90 x 0.92 = 0.67).
    """
    return np.asarray(_floats(package_umol_j) * float(np.prod(factor)))


def efficacy_of_lumens_umol_j(efficacy_lm_w: ArrayLike, factor_lux_umol: ArrayLike) -> Array:
    """Photon efficacy of a broad-spectrum white lamp from the lumens printed on it.

    Parameters: efficacy_lm_w, lumens per watt [lm W⁻¹]; factor_lux_umol, lux per µmol m⁻² s⁻¹ of its spectrum.
    Returns: efficacy [µmol J⁻¹]. Never for red and blue lamps: the eye hardly sees them.

    >>> round(float(efficacy_of_lumens_umol_j(100.0, 70.0)), 2)
    1.43
    """
    return np.asarray(_floats(efficacy_lm_w) / _floats(factor_lux_umol))


def ppf_of_lumens_umol_s(flux_lm: ArrayLike, factor_lux_umol: ArrayLike) -> Array:
    """Photon flux [µmol s⁻¹] of a lamp from its lumens [lm] and the lux per µmol m⁻² s⁻¹ of its spectrum."""
    return np.asarray(_floats(flux_lm) / _floats(factor_lux_umol))


def ppfd_of_lux_umol_m2_s(light_lux: ArrayLike, factor_lux_umol: ArrayLike) -> Array:
    """Photon flux density [µmol m⁻² s⁻¹] from a reading in lux and the spectrum's lux per µmol m⁻² s⁻¹."""
    return np.asarray(_floats(light_lux) / _floats(factor_lux_umol))


def par_share(efficacy_umol_j: ArrayLike, par_umol_j: ArrayLike) -> Array:
    """Share of the electric power that leaves as PAR; the rest is heat at the lamp.

    Parameters: efficacy_umol_j, photons per joule of electricity; par_umol_j, photons per joule of the lamp's own PAR.
    Returns: share [-]; above 1 the lamp claims more than physics allows.
    Method: quotient; Katzin et al. 2020 give 0.36 for an HPS lamp of 1.8 µmol/J and 5.0 µmol per joule of PAR.

    >>> round(float(par_share(1.8, 5.0)), 2)
    0.36
    """
    return np.asarray(_floats(efficacy_umol_j) / _floats(par_umol_j))
