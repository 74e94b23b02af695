"""The cold a place must reckon with: design temperatures and the lowest night of a year, from its monthly means."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

GUMBEL_SCALE: Final = float(np.sqrt(6.0) / np.pi)
EULER: Final = float(np.euler_gamma)


class Extremes(NamedTuple):
    """Outdoor cold of a place, each with its error (root mean square against stations left out) [°C, K].

    temp_99_degc, colder in 88 hours of a mean year; temp_996_degc, in 35 hours; lowest_mean_degc, mean of each year's
    lowest; lowest_sd_k, spread of these from year to year.
    """

    temp_99_degc: float
    temp_996_degc: float
    lowest_mean_degc: float
    lowest_sd_k: float
    temp_99_error_k: float
    temp_996_error_k: float
    lowest_error_k: float

    def once_in(self, years: ArrayLike) -> Array:
        """Lowest temperature that comes once in so many years [°C]; years [-], above 1, any shape.

        Method: Gumbel distribution of yearly lowest, T = M - F s with F = -(√6/π)(0.5772 + ln ln(n/(n-1))), as in
            ASHRAE Handbook of Fundamentals, chapter Climatic Design Information (second-hand: the fact base).
        """
        return self.quantile(1.0 / np.asarray(years, dtype=np.float64))

    def quantile(self, level_frac: ArrayLike) -> Array:
        """Lowest temperature of the year that a share of years falls below [°C].

        Parameters: level_frac, share of years [-], any shape.
        Method: Gumbel distribution of yearly lowest, ASHRAE Handbook of Fundamentals, chapter Climatic Design
            Information (second-hand: the fact base).
        """
        level = np.asarray(level_frac, dtype=np.float64)
        F = -GUMBEL_SCALE * (EULER + np.log(-np.log1p(-level)))
        return np.asarray(self.lowest_mean_degc - F * self.lowest_sd_k)


def extremes_of(temp_month_degc: Array, rules: Mapping[str, Any]) -> Extremes:
    """Cold extremes of a place from its monthly mean temperatures alone.

    Parameters: temp_month_degc[12], normals of air temperature [°C]; rules, the table "cold" of weather_hours.toml.
    Method: straight lines in the coldest month's mean and the span of the year, bent at -10 °C: 45 stations
        (docs/method/hours.md). A hollow into which cold air flows lies 2-4 K lower still (common practice).
    """
    found = {name: _below(temp_month_degc, rules, name) for name in ("temp_99", "temp_996", "yearly_lowest")}
    return Extremes(
        found["temp_99"],
        found["temp_996"],
        found["yearly_lowest"],
        float(rules["yearly_sd_k"]),
        *(float(rules[name]["error_k"]) for name in found),
    )


def _below(temp_month_degc: Array, rules: Mapping[str, Any], name: str) -> float:
    line, bend = rules[name], float(rules["bend_degc"])
    cold = float(np.min(temp_month_degc))
    offset = line["base_k"] + line["warm_slope"] * max(cold, bend) + line["cold_slope"] * min(cold - bend, 0.0)
    return float(cold - offset - line["span_slope"] * np.ptp(temp_month_degc))
