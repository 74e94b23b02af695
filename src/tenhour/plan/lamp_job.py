"""One lamp question and what follows from it: light by month, lamp months, and what the sizing came to."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.lamps.circuit import CircuitLoad
from tenhour.lamps.sizing import missing_dli, sizing_daylight_dli
from tenhour.lamps.timer import lamp_season
from tenhour.model.lamp import Lamp, LampNeed, LampRequest
from tenhour.plan.dates import DAYS, MONTH_OF_DAY
from tenhour.plan.lamp_clock import MONTHS, LampCalendar, SunClock, days_by_month, on_day, season_days
from tenhour.plan.lamp_hang import Gap, Hanging, Place
from tenhour.plan.lamp_needs import Demand

Array = NDArray[np.float64]

CLASSES: Final = 5
DULL: Final = 5
BRIGHT: Final = 6
"""Columns of the bed's light: five equal day classes, the dull day, the bright day."""
SHELF_POINTS: Final = 4
HALF: Final = 0.5
NO_LIGHT_MOL: Final = 1e-6


@dataclass(frozen=True)
class BedUnderLamps:
    """A bed as the lamp question sees it."""

    name: str
    place: Place
    class_dli_mol_m2_d: Array
    """(365, 7): five day classes, the dull day, the bright day; mean over the bed, without lamps."""
    point_x_m: Array
    point_y_m: Array
    """(p,) grid points in the axes of the room, rows of equal y one after another."""
    point_dli_mol_m2_d: Array
    """(365, p), the mean day at each point."""
    sun: SunClock
    closed: bool = False
    """No light leaves: a cellar, a built room."""
    loss_w_k: float | None = None
    """Heat loss of the house, for the warming by lamps."""
    tiers_count: int = 1
    heated: bool = False
    neighbours: tuple[tuple[str, Array], ...] = ()
    """Other beds of the house, each with points (p, 3) at its canopy."""
    us_units: bool = False


def dark_bed(name: str, place: Place, sun: SunClock, tiers_count: int = 1) -> BedUnderLamps:
    """A shelf without any daylight; the map has a point every quarter of its sides.

    Parameters: tiers_count, equal shelves that share the circuit.
    """
    cells = (np.arange(SHELF_POINTS) + HALF) / SHELF_POINTS
    x, y = np.meshgrid(cells * place.size.length_m, cells * place.size.width_m)
    none = np.zeros((DAYS, BRIGHT + 1))
    points = np.zeros((DAYS, x.size))
    return BedUnderLamps(name, place, none, x.ravel(), y.ravel(), points, sun, closed=True, tiers_count=tiers_count)


@dataclass(frozen=True)
class Job:
    """One question with what follows from it at once."""

    bed: BedUnderLamps
    needs: tuple[LampNeed, ...]
    lamp: Lamp
    request: LampRequest
    today: date
    need: Demand

    @property
    def typical(self) -> Array:
        """Mean day by day of the year (365,)."""
        return np.asarray(self.bed.class_dli_mol_m2_d[:, :CLASSES].mean(axis=1))

    @cached_property
    def dates(self) -> tuple[date, ...]:
        """Days of the lamp season within the time asked about; fixtures out of season are taken to hang aside."""
        season = lamp_season(self.typical, self.need.target_dli_mol_m2_d)
        return season_days(season, self.today, self.request.first, self.request.last)[0]

    def lamp_months(self, shade_frac: float) -> NDArray[np.bool_]:
        """Months with lamp days in which the dull day falls short (12,).

        shade_frac: share of daylight that the fixtures take.
        """
        return np.asarray((days_by_month(self.dates) > 0) & (self.missing(shade_frac) > NO_LIGHT_MOL))

    def by_month(self, values: Array) -> Array:
        """Mean by month (12,) over the days asked about, or over the whole month where none of its days is."""
        asked = on_day(self.dates)
        out = np.zeros(MONTHS)
        for m in range(MONTHS):
            month = m + 1 == MONTH_OF_DAY
            out[m] = values[month & asked].mean() if (month & asked).any() else values[month].mean()
        return out

    def counted(self, shade_frac: float) -> Array:
        """Daylight counted on by month: the mean day, or the dull day less its margin, less the fixtures' shade.

        shade_frac: share of daylight that the fixtures take.
        """
        if self.request.sized_on == "mean":
            return self.by_month(self.typical) * (1.0 - shade_frac)
        return sizing_daylight_dli(self.by_month(self.bed.class_dli_mol_m2_d[:, DULL]), shade_frac)

    @cached_property
    def panels_share(self) -> Array:
        """Share of the lamp hours in which side panels hang, by month (12,): by day they are down, for the sun.

        Method: lamps lengthen the day up to the longest the crops stand; only the rest burns by day.
        """
        day = np.clip(self.bed.sun.photoperiod_h, 0.0, 24.0)
        if self.bed.closed or not self.typical.any():
            return np.ones(MONTHS)
        outside = np.clip(self.need.limit_h - day, 0.0, self.need.hours_h)
        return np.asarray(outside / self.need.hours_h)

    def missing(self, shade_frac: float) -> Array:
        """Light short of the target by month (12,).

        shade_frac: share of daylight that the fixtures take.
        """
        return missing_dli(self.need.target_dli_mol_m2_d, self.counted(shade_frac))


@dataclass(frozen=True)
class Sizing:
    """What the sizing came to."""

    hanging: Hanging
    gap: Gap
    month: int
    """Darkest month with lamps, 0-11."""
    missing_dli_mol_m2_d: float
    needed_umol_m2_s: float
    delivered_umol_m2_s: float
    """All fixtures at full power, after maintenance."""
    hours_h: float
    power_w: float
    """All fixtures at full power."""
    output_frac: float
    """Output they are dimmed to; 1 where they are not."""
    fixtures_count: int
    clock: LampCalendar
    load: CircuitLoad

    @property
    def run_umol_m2_s(self) -> float:
        """Flux the lamps are run at: what is needed, or all they have."""
        return min(self.needed_umol_m2_s, self.delivered_umol_m2_s)

    @property
    def drawn_w(self) -> float:
        """Power they draw as they are run."""
        return self.power_w * self.output_frac
