"""From missing light to photons, fixtures and watts, and what a lamp then does on dull and bright days."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.units import dli_from_ppfd, ppfd_from_dli

Array = NDArray[np.float64]

DULL_MARGIN_FRAC: Final = 0.10
"""Taken off the dull day's light: the normals run slightly high there (one day in five is known to ±25 %). Derived."""
ROUNDING_COUNT: Final = 1e-9
LEAST_DAY_SHARE: Final = 0.5
"""Least share of the target on any single day. Practice."""


class Sized(NamedTuple):
    """Result of the sizing chain: missing light, level light needed, photons needed, fixtures and power."""

    missing_dli_mol_m2_d: float
    ppfd_umol_m2_s: float
    ppf_umol_s: float
    fixtures_count: int
    power_w: float


def missing_dli(target_dli_mol_m2_d: ArrayLike, daylight_dli_mol_m2_d: ArrayLike) -> Array:
    """Light short of the target [mol m⁻² d⁻¹], never below 0; arguments in [mol m⁻² d⁻¹], broadcast."""
    return np.asarray(np.maximum(np.subtract(target_dli_mol_m2_d, daylight_dli_mol_m2_d), 0.0))


def sizing_daylight_dli(dull_dli_mol_m2_d: ArrayLike, shade: ArrayLike = 0.0) -> Array:
    """Daylight a lamp may count on: the dull day less its margin and less the fixtures' own shade.

    Parameters: dull_dli_mol_m2_d, daylight of a day duller than four in five; shade, share the fixtures hide [-].
    Returns: daylight [mol m⁻² d⁻¹].
    """
    return np.asarray(np.asarray(dull_dli_mol_m2_d, float) * (1 - DULL_MARGIN_FRAC) * (1 - np.asarray(shade, float)))


def ppf_needed_umol_s(
    ppfd_umol_m2_s: ArrayLike, area_m2: ArrayLike, cu_frac: ArrayLike, maintenance_frac: ArrayLike
) -> Array:
    """Photon flux that all fixtures together must emit.

    Parameters: ppfd_umol_m2_s wanted on the bed; area_m2 of the bed; cu_frac, share of the photons that lands on it;
        maintenance_frac, output left by ageing and dirt.
    Returns: photon flux [µmol s⁻¹].
    Method: PPFD A / (CU MF).
    """
    return np.asarray(
        np.asarray(ppfd_umol_m2_s, float)
        * np.asarray(area_m2, float)
        / np.asarray(cu_frac)
        / np.asarray(maintenance_frac)
    )


def fixtures_needed(ppf_umol_s: float, fixture_ppf_umol_s: float) -> int:
    """Whole fixtures that together emit a photon flux [µmol s⁻¹] when one emits fixture_ppf_umol_s."""
    return max(int(np.ceil(ppf_umol_s / fixture_ppf_umol_s - ROUNDING_COUNT)), 0)


def size(
    target_dli_mol_m2_d: float,
    daylight_dli_mol_m2_d: float,
    lit_h: float,
    area_m2: float,
    cu_frac: float,
    maintenance_frac: float,
    fixture_ppf_umol_s: float,
    fixture_w: float,
) -> Sized:
    """The whole sizing chain for one bed.

    Parameters: target_dli_mol_m2_d, light wanted; daylight_dli_mol_m2_d, light there; lit_h, lamp hours, > 0; area_m2;
        cu_frac; maintenance_frac; fixture_ppf_umol_s and fixture_w of one fixture.
    Returns: Sized.
    Method: definitions of DLI and PPF (ANSI/ASABE S640) and of the coefficient of utilisation.
    """
    missing = float(missing_dli(target_dli_mol_m2_d, daylight_dli_mol_m2_d))
    ppfd = float(ppfd_from_dli(missing, lit_h))
    ppf = float(ppf_needed_umol_s(ppfd, area_m2, cu_frac, maintenance_frac))
    count = fixtures_needed(ppf, fixture_ppf_umol_s)
    return Sized(missing, ppfd, ppf, count, count * fixture_w)


def delivered_dli(
    daylight_dli_mol_m2_d: ArrayLike, ppfd_umol_m2_s: ArrayLike, lit_h: ArrayLike, shade: ArrayLike = 0.0
) -> Array:
    """Light on the bed with the lamps on: shaded daylight plus lamp light [mol m⁻² d⁻¹], broadcast.

    Parameters: daylight_dli_mol_m2_d [mol m⁻² d⁻¹]; ppfd_umol_m2_s, of the lamps [µmol m⁻² s⁻¹];
        lit_h, their hours [h]; shade, share of daylight they take.
    """
    return np.asarray(
        np.asarray(daylight_dli_mol_m2_d, float) * (1 - np.asarray(shade, float)) + dli_from_ppfd(ppfd_umol_m2_s, lit_h)
    )


def dim_day_dli(target_dli_mol_m2_d: float, bright_dli_mol_m2_d: float, dim_days_count: int) -> float:
    """Light that suffices on each of the days after a bright one, so that their mean is the target.

    Parameters: target_dli_mol_m2_d; bright_dli_mol_m2_d of the bright day; dim_days_count, days after it, 1 or more.
    Returns: light [mol m⁻² d⁻¹], never below half the target.
    Method: mean over the days (Jayalath et al. 2024 grew lettuce so, at 15 mol); the floor is practice.

    >>> dim_day_dli(15.0, 22.5, 2)
    11.25
    """
    rest = (target_dli_mol_m2_d * (dim_days_count + 1) - bright_dli_mol_m2_d) / dim_days_count
    return max(rest, target_dli_mol_m2_d * LEAST_DAY_SHARE)


def hours_needed_h(missing_dli_mol_m2_d: ArrayLike, ppfd_umol_m2_s: float, most_h: ArrayLike) -> Array:
    """Lamp hours that fill a gap with the lamp there is, at most ``most_h`` [h]; 0 where the lamp gives nothing.

    Parameters: missing_dli_mol_m2_d [mol m⁻² d⁻¹]; ppfd_umol_m2_s, of the lamps [µmol m⁻² s⁻¹]; most_h [h].
    """
    if ppfd_umol_m2_s <= 0:
        return np.zeros(np.shape(missing_dli_mol_m2_d))
    per_hour = float(dli_from_ppfd(ppfd_umol_m2_s, 1.0))
    return np.asarray(np.minimum(np.asarray(missing_dli_mol_m2_d, float) / per_hour, np.asarray(most_h, float)))
