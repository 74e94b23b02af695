"""A year of day coefficients for many crops at once.

The formulas of the exact day, but every curve of temperature is worked out once per crop on a fine
grid and looked up: powers are dear, look-ups are not. Tests hold the two against each other.
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.growth import carbon
from tenhour.growth.carbon import Constants
from tenhour.growth.engine import Single, Tables
from tenhour.growth.shapes import CropArrays
from tenhour.growth.temperature import OUTER_LIGHT_FRAC, day_nodes, growth_frac, hour_weighted, thawed_frac

Floats = NDArray[np.float64]
Index = NDArray[np.intp]

STEP_K: Final = 0.025
"""Grid of temperature [K]: a look-up is at most half of this off, 0.3 % of the greatest rate."""


class Weather(NamedTuple):
    """Weather of B beds under J draws, arrays [365, B, J]: light, its ten-day mean, air by day and night, lit hours,
    and whether the sun makes the air of the day (1) or set points do (0)."""

    dli_mol_m2_d: Floats
    dli_ten_day_mol_m2_d: Floats
    temp_day_degc: Floats
    temp_night_degc: Floats
    lit_h: Floats
    swing_frac: Floats


class _Grid:
    """Temperatures that occur, in steps, and where a temperature lies among them."""

    def __init__(self, low_degc: float, high_degc: float) -> None:
        self.first = float(np.floor(low_degc / STEP_K))
        count = int(np.ceil(high_degc / STEP_K) - self.first) + 1
        self.temps = np.asarray((self.first + np.arange(count)) * STEP_K, dtype=np.float64)

    def place(self, temp_degc: Floats) -> Index:
        """Return the nearest place on the grid of every temperature."""
        return np.asarray(np.rint(temp_degc / STEP_K - self.first), dtype=np.intp)


def year_tables(
    crops: CropArrays, rgr_factor: Floats, sla_factor: Floats, weather: Weather, constants: Constants
) -> Tables:
    """Day coefficients of all crops, beds and draws, arrays [365, C × B × J] in single precision.

    Parameters: crops, C; rgr_factor, sla_factor, by draw [J] or [C, J]; weather, [365, B, J]; constants.
    Method: docs/method/growth.md, "One day"; equal to the exact day within the grid of temperature.
    NaN in the weather gives NaN coefficients.
    """
    known = [np.asarray(np.nan_to_num(part), dtype=np.float64) for part in weather[2:4]]
    even = not np.any(weather.swing_frac)
    nodes = (known[0],) if even else day_nodes(known[0], known[1], weather.swing_frac)
    grid = _Grid(*_ends((*nodes, known[1])))
    day, night = [grid.place(part) for part in nodes], grid.place(known[1])
    middle = grid.place(hour_weighted(known[0], known[1], weather.lit_h))
    curves = _curves(crops, grid.temps, constants)
    share = (weather.lit_h / 24.0).astype(np.float32)[:, None]
    light = _light(weather, constants)
    by_day = _look(curves["growth"], day[0])
    gross = _look(curves["photosynthesis"], day[0])
    thawed = thawed_frac(known[1])
    gross *= carbon.by_light(1.0, 1.0 if even else 0.0, thawed).astype(np.float32)[:, None]
    if not even:
        by_day += _look(curves["growth"], day[1])
        by_day *= np.float32(0.5)
        gross += np.float32(1 - OUTER_LIGHT_FRAC) * _look(curves["photosynthesis"], day[1])
    by_day *= thawed.astype(np.float32)[:, None]
    warm = _look(curves["growth"], night)
    by_day -= warm
    by_day *= share
    warm += by_day
    warm *= (crops.rgr_per_d[:, None, None] * np.atleast_2d(rgr_factor)[:, None, :]).astype(np.float32)
    gross *= light["gross"][:, None]
    area = _look(curves["leaf"], middle)
    area *= light["shade"][:, None]
    np.clip(area, carbon.LEAF_AREA_LOW, carbon.LEAF_AREA_HIGH, out=area)
    scale = crops.extinction_ratio * crops.leaf_area_m2_g
    area *= (scale[:, None, None] * np.atleast_2d(sla_factor)[:, None, :]).astype(np.float32)
    upkeep = np.broadcast_to(light["upkeep"][:, None], warm.shape)
    flat = [part.reshape(len(part), -1) for part in (area, gross, upkeep, warm)]
    return Tables(flat[0], flat[1], flat[2], flat[3], length_ratio(crops.drawn_ratio, weather, warm.shape))


def _ends(parts: tuple[Floats, ...]) -> tuple[float, float]:
    """Least and greatest temperature of all parts."""
    return min(float(part.min()) for part in parts), max(float(part.max()) for part in parts)


def _curves(crops: CropArrays, temps: Floats, constants: Constants) -> dict[str, Single]:
    """Every curve of temperature of every crop on the grid, arrays [C, T]."""
    cardinal = [getattr(crops, name)[:, None] for name in ("temp_min_degc", "temp_opt_degc", "temp_max_degc")]
    low = cardinal[0]
    warmth = np.maximum(temps - low, 0.0) / (carbon.REFERENCE_TEMP_DEGC - low)
    return {
        "growth": growth_frac(temps, *cardinal).astype(np.float32),
        "photosynthesis": carbon.photosynthesis_warmth_frac(temps, *cardinal).astype(np.float32),
        "leaf": (warmth**constants.cool_ratio).astype(np.float32),
    }


def _look(curve: Single, place: Index) -> Single:
    """Look a curve [C, T] up at places [365, B, J]: [365, C, B, J]."""
    found = curve[:, place.reshape(len(place), -1)]
    return np.ascontiguousarray(np.moveaxis(found, 0, 1)).reshape(len(place), len(curve), *place.shape[1:])


def _light(weather: Weather, constants: Constants) -> dict[str, Single]:
    """What depends on weather alone: gross fixation before warmth, thinning of leaves, upkeep; [365, B, J]."""
    dli, lit = weather.dli_mol_m2_d, weather.lit_h
    flux = dli / (np.maximum(lit, carbon.SHORTEST_DAY_H) * carbon.SECONDS_PER_HOUR * carbon.MICRO)
    above = carbon.above_compensation_frac(flux, weather.temp_day_degc, constants)
    gross = constants.light_use_g_mol * dli * above / (1.0 + flux / constants.half_light_umol_m2_s)
    bright = np.maximum(weather.dli_ten_day_mol_m2_d, carbon.NEARLY_DARK_MOL) / carbon.REFERENCE_DLI_MOL
    parts = {
        "gross": gross,
        "shade": bright**-constants.shade_ratio,
        "upkeep": carbon.upkeep_per_d(
            weather.temp_day_degc, weather.temp_night_degc, lit, constants, weather.swing_frac
        ),
    }
    return {name: part.astype(np.float32) for name, part in parts.items()}


def length_ratio(drawn_ratio: Floats, weather: Weather, shape: tuple[int, ...]) -> Single | None:
    """How much longer drawn leaves are of crops cut by length, [365, R]; None if no crop is cut so.

    Parameters: drawn_ratio [C]; weather; shape, of the whole, days first.
    Method: :func:`tenhour.growth.carbon.drawn_length_ratio`, docs/method/growth.md.
    """
    if not np.any(drawn_ratio):
        return None
    found = np.empty(shape, dtype=np.float32)
    mean = hour_weighted(weather.temp_day_degc, weather.temp_night_degc, weather.lit_h)
    for exponent in np.unique(drawn_ratio):
        which = drawn_ratio == exponent
        found[:, which] = carbon.drawn_length_ratio(weather.dli_ten_day_mol_m2_d, mean, exponent)[:, None]
    return found.reshape(len(found), -1)


def least_share(drawn_ratio: Floats) -> Floats:
    """Least share of the leaves wanted that can be long enough where they are drawn as far as they get [C].

    Parameters: drawn_ratio [C]. Method: bound of :func:`tenhour.growth.carbon.drawn_length_ratio`.
    """
    most = carbon.GOOD_DLI_MOL / carbon.DRAWN_RANGE_MOL[0]
    return np.asarray(np.where(drawn_ratio > 0, 0.999 * most**-drawn_ratio, 1.0))
