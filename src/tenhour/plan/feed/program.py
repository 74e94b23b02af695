"""The household's plan as a mixed-integer program: what it is made of.

A *sowing* is one crop in one place in one week by one route (sown where it grows, or raised and set out). It is cleared
in one of several weeks; each such choice is a *lot* with known weeks in the ground and known grams per unit and week.
A unit is a square metre, or a whole tray. Formulation after the columns-are-whole-schedules idea of dos Santos, Costa,
Arenales & Santos 2010 (Computers and Operations Research 37:1056, abstract read) and the harvest-capacity plans of
Obrenovic et al. 2022 (abstract read); rotation as packing of intervals on one bed is our own.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Bools = NDArray[np.bool_]

NONE: Final = -1
"""No lamp over a place."""


@dataclass(frozen=True)
class Lots:
    """Choices of when a sowing is cleared; arrays [N]."""

    sowing: Index
    """The sowing each belongs to [N]."""
    first_week: Index
    """Week it is sown or set out in its place; it holds the place from then on."""
    last_week: Index
    """Last week it holds the place, the week of the last harvest included."""
    yield_g: sparse.csr_array
    """Grams that a unit gives in each week [N, T]."""
    most_units_count: Array
    """Most of each that could be eaten, in units [N]; inf where only the sowing limits. Tight ones search quickly."""


@dataclass(frozen=True)
class Sowings:
    """What can be sown; arrays [Z]. A tray is a unit of its own and whole; elsewhere a unit is a square metre."""

    crop: Index
    place: Index
    week: Index
    """Week of the work of sowing (in the nursery if it is raised); before 0 for what stands already."""
    tray: Bools
    unit_m2: Array
    """Ground or shelf that a unit takes [m²]."""
    least_units_count: Array
    """Least that is worth sowing, in units."""
    most_units_count: Array
    """Most that fits or that can be eaten, in units; the tighter, the quicker the search."""
    nursery_m2: Array
    """Nursery space a unit needs from the week of sowing until the week before it is set out [m²]."""
    nursery_weeks_count: Index
    unit_currency: Array
    """Seed and growing medium of a unit."""
    fixed_min: Array
    """Work of a sowing whatever its size [min]."""
    unit_min: Array
    """Work of sowing a unit [min]."""
    week_min: Array
    """Work of looking after a unit in each week that it holds its place [min]."""
    must: Bools
    """Stands, and keeps its ground whatever is planned."""
    kept_units_count: Array
    """Of a plan that is kept; 0 where it has no such sowing."""


@dataclass(frozen=True)
class Places:
    """Beds, shelves and the same with their lamps on; arrays [P]."""

    bed: Index
    """Which ground the place is: a lit place shares its bed."""
    lamp: Index
    """Lamp that lights it, -1 for none."""
    bed_m2: Array
    """Area of each bed [beds]."""


@dataclass(frozen=True)
class LampCosts:
    """Lamps that could be bought or are there; arrays [L]."""

    buy_currency: Array
    """0 for one that is there."""
    week_currency: Array
    """Current of a week in which it burns [L, T]."""
    part_frac: Array | None = None
    """Share of its bed that each lights [L]; None for the whole of every bed."""
    current_a: Array | None = None
    """What each draws of its circuit [L]; None for nothing."""


@dataclass(frozen=True)
class Wishes:
    """What the household wants on the table; G wishes, T weeks."""

    portions_count: Array
    """Wanted each week [G, T]."""
    weight: Array
    """How much a missing portion counts [G]."""
    most_share: Array
    """Largest share of a week's wish that one crop may fill [G]: variety."""
    pair_crop: Index
    """Crops that serve a wish [K]."""
    pair_wish: Index
    pair_portion_g: Array
    """Grams of that crop in a portion [K]."""


@dataclass(frozen=True)
class Limits:
    """What the household has; inf or None where nothing limits."""

    work_min: Array
    """Most work in each week [T]."""
    nursery_m2: float = np.inf
    nursery_bed: int = NONE
    """Bed on which the nursery stands and takes ground, -1 for none."""
    lamps_a: float = np.inf
    """What lamps that are bought may draw together."""
    most_sowings_count: float = np.inf
    budget_currency: float = np.inf
    rest_weeks_count: int = 0
    """Weeks in which a family does not follow itself on the same ground; 0 lets it."""


@dataclass(frozen=True)
class Prices:
    """What pulls a plan that leaves equally little missing towards cheap, light work."""

    hour_currency: float = 6.0
    missing_currency: float = 12.0
    """Of one weighted portion missing; must be more than the dearest portion offered, a tray of which one is eaten."""
    kind_currency: float = 0.5
    """Of one more crop to look after, at the third level: judgement."""
    day_currency: float = 0.5
    """Of one more week with sowing in it, at the third level: judgement."""
    change_currency: float = 2.0
    """Of one sowing more or less than in the plan that is kept, at the third level: judgement."""


@dataclass(frozen=True)
class Program:
    """Everything the search needs. C crops, Z sowings, N lots, P places, T weeks."""

    lots: Lots
    sowings: Sowings
    places: Places
    lamps: LampCosts
    wishes: Wishes
    limits: Limits
    crop_family: Index
    """[C]."""
    keep_weeks_count: Index
    """Weeks each crop keeps after its harvest [C]; 0 is eaten in its week."""
    harvest_min_per_g: Array
    """Work of harvest and washing [C]."""
    prices: Prices = Prices()
    tray_currency: float = 0.0
    """Of a tray to buy; 0 where there are enough."""
    tray_m2: float = 0.125

    @property
    def weeks(self) -> int:
        """Number of weeks."""
        return int(self.wishes.portions_count.shape[1])

    @property
    def crops(self) -> int:
        """Number of crops."""
        return len(self.crop_family)

    @property
    def lot_crop(self) -> Index:
        """Crop of each lot [N]."""
        return self.sowings.crop[self.lots.sowing]
