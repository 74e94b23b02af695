"""Energy, money, photons per kilowatt-hour and heat of lamps over the hours they burn."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.lamps.timer import SLOT_H, local_clock_s

Array = NDArray[np.float64]

HOURS_PER_DAY: Final = 24
HOUR_S: Final = 3600
MONTHS: Final = 12
W_PER_KW: Final = 1000.0
HEAT_CLOSED_FRAC: Final = 1.0
"""Share of lamp power that stays inside under a closed curtain or in a built room: all of it. Derived."""
HEAT_OPEN_FRAC: Final = 0.9
"""Share that stays in a glazed house; the rest leaves as light. Practice."""


class Bill(NamedTuple):
    """Energy and cost of a run of quarter hours, whole and by month (12,); costs are NaN without a price."""

    energy_kwh: float
    cost_currency: float
    month_energy_kwh: Array
    month_cost_currency: Array


def energy_kwh(power_w: ArrayLike, lit_h: ArrayLike) -> Array:
    """Energy of a load [kWh] from its power [W] and hours [h], broadcast."""
    return np.asarray(np.asarray(power_w, float) * np.asarray(lit_h, float) / W_PER_KW)


def bill(slots_s: NDArray[np.int64], power_w: float, prices: ArrayLike | None, zone: str) -> Bill:
    """Energy and cost of lamps over the quarter hours they burn.

    Parameters: slots_s, starts of quarter hours, seconds since 1970 (UTC); power_w of all fixtures; prices, (24,)
        price of a kWh by local hour, or None; zone, IANA time zone of the tariff and of the months.
    Returns: Bill; a quarter hour belongs to the local hour and month in which it starts.
    Method: sum over the clock, no mean day.
    """
    local = local_clock_s(slots_s, zone)
    each = power_w * SLOT_H / W_PER_KW
    by_hour = np.full(HOURS_PER_DAY, np.nan) if prices is None else np.asarray(prices, dtype=np.float64)
    month = local.astype("datetime64[s]").astype("datetime64[M]").astype(np.intp) % MONTHS
    cost = by_hour[local // HOUR_S % HOURS_PER_DAY] * each
    month_energy = np.asarray(np.bincount(month, minlength=MONTHS) * each, dtype=np.float64)
    month_cost = np.asarray(np.bincount(month, weights=cost, minlength=MONTHS), dtype=np.float64)
    return Bill(float(each * len(slots_s)), float(cost.sum()) if len(slots_s) else 0.0, month_energy, month_cost)


def photons_mol_kwh(efficacy_umol_j: ArrayLike, cu_frac: ArrayLike = 1.0, maintenance_frac: ArrayLike = 1.0) -> Array:
    """Moles of photons on the bed per kilowatt-hour of electricity.

    Parameters: efficacy_umol_j of the fixture; cu_frac, share that lands on the bed; maintenance_frac, output left.
    Returns: [mol kWh⁻¹], 3.6 times the product.
    Method: definition, 1 kWh = 3.6e6 J and 1 mol = 1e6 µmol.

    >>> round(float(photons_mol_kwh(2.6)), 2)
    9.36
    """
    per_j = np.asarray(efficacy_umol_j, float) * np.asarray(cu_frac) * np.asarray(maintenance_frac)
    return np.asarray(per_j * (1e-6 * 3.6e6))


def heat_w(power_w: ArrayLike, closed: bool) -> Array:
    """Heat the lamps give to the house while on [W]; closed where no light can leave (curtain drawn, built room)."""
    return np.asarray(np.asarray(power_w, float) * (HEAT_CLOSED_FRAC if closed else HEAT_OPEN_FRAC))


def warming_k(heat_w: ArrayLike, loss_w_k: ArrayLike) -> Array:
    """Steady rise of air temperature [K] from heat [W] in a house that loses loss_w_k [W K⁻¹].

    >>> round(float(warming_k(300.0, 102.0)), 1)
    2.9
    """
    return np.asarray(np.asarray(heat_w, float) / np.asarray(loss_w_k, float))
