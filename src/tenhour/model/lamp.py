"""A lamp as data, what it hangs over, what electricity costs, and what one asks of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import OutOfRange
from tenhour.model.checks import check_between, check_length
from tenhour.model.crop import Sourced

Array = NDArray[np.float64]
Shape = Literal["bar", "panel", "point"]
SizedOn = Literal["mean", "dull"]
RungName = Literal["seedlings", "least", "steady", "asked", "full", "dull"]
RUNGS: Final[tuple[RungName, ...]] = ("seedlings", "least", "steady", "asked", "full", "dull")

OwnStep = Literal["as it is", "lower", "raise", "longer", "more"]

HOURS: int = 24
REQUEST_BOUNDS: Final[Mapping[str, tuple[float, float]]] = {
    "hours_h": (0.25, 24.0),
    "dli_mol_m2_d": (0.1, 60.0),
    "mains_v": (12.0, 480.0),
    "breaker_a": (1.0, 125.0),
    "others_w": (0.0, 20000.0),
    "headroom_m": (0.02, 10.0),
    "evenness_frac": (0.0, 0.95),
    "panels_refl_frac": (0.0, 0.98),
    "windows_count": (1.0, 2.0),
    "tiers_count": (1.0, 50.0),
    "worth_currency": (0.0, 10000.0),
    "own_count": (1.0, 400.0),
    "plants_count": (1.0, 20000.0),
}
"""What may be asked of lamps, least and most."""
LOW_VOLTS: Final = 150.0
"""Below this voltage, assume North American mains, whose common breaker is 15 A. Practice."""


@dataclass(frozen=True)
class Intensities:
    """Photon intensities of one fixture by direction; the horizontal angles go all the way round, or are a lone 0."""

    vertical_deg: Array
    horizontal_deg: Array
    intensity_umol_sr_s: Array
    """[horizontal, vertical]."""

    def __post_init__(self) -> None:
        shape = (self.horizontal_deg.size, self.vertical_deg.size)
        if self.intensity_umol_sr_s.shape != shape:
            raise OutOfRange(f"intensities: {self.intensity_umol_sr_s.shape} values for {shape} angles")
        if not np.isfinite(self.intensity_umol_sr_s).all() or (self.intensity_umol_sr_s < 0).any():
            raise OutOfRange("intensities: every value must be a number of 0 or more")


@dataclass(frozen=True)
class LampSize:
    """One fixture of a kind: its shining face, power and photons."""

    length_m: float
    width_m: float
    power_w: float
    ppf_umol_s: float

    def __post_init__(self) -> None:
        check_between("length_m", self.length_m, 0.0, 5.0)
        check_between("width_m", self.width_m, 0.0, 5.0)
        check_between("power_w", self.power_w, 0.1, 5000.0)
        check_between("ppf_umol_s", self.ppf_umol_s, 0.01, 20000.0)

    @property
    def efficacy_umol_j(self) -> float:
        """Photons per joule of electricity."""
        return self.ppf_umol_s / self.power_w


@dataclass(frozen=True)
class Lamp:
    """A lamp one can hang, in one or several sizes; every number of a generic kind carries its source."""

    key: str
    title: str
    shape: Shape
    sizes: tuple[LampSize, ...]
    beam_deg: float = 120.0
    """Full angle at half intensity; 120 is a Lambertian source."""
    down_share: float = 1.0
    """Share of the photons into the lower half-space."""
    spectrum: str = "white-led"
    """Key of the table of spectra."""
    maintenance_frac: float = 0.9
    """Output left by ageing and dirt."""
    clearance_m: float = 0.2
    """Least distance to leaves."""
    clearance_above_m: float = 0.1
    """Least distance from the lamp's back to film, boards or anything that may melt or burn."""
    dimmable: bool = False
    power_factor: float = 1.0
    par_umol_j: float = 4.7
    """Photons per joule of the lamp's own PAR: efficacy can never exceed it."""
    intensities: Intensities | None = None
    sources: Mapping[str, Sourced] = field(default_factory=dict)
    note: str = ""
    origin: str = ""
    """File it was read from, or "command line"; empty for a packaged kind."""
    assumptions: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.sizes:
            raise OutOfRange(f"lamp {self.key}: no size")
        check_between(f"lamp {self.key}: beam_deg", self.beam_deg, 1.0, 179.0)
        check_between(f"lamp {self.key}: down_share", self.down_share, 0.0, 1.0)
        check_between(f"lamp {self.key}: maintenance_frac", self.maintenance_frac, 0.3, 1.0)
        check_between(f"lamp {self.key}: clearance_m", self.clearance_m, 0.01, 3.0)
        check_between(f"lamp {self.key}: power_factor", self.power_factor, 0.2, 1.0)
        for size in self.sizes:
            check_between(f"lamp {self.key}: efficacy_umol_j", size.efficacy_umol_j, 0.0, self.par_umol_j)


@dataclass(frozen=True)
class Tariff:
    """Price of a kilowatt-hour by local clock hour, everything included."""

    prices: tuple[float, ...]
    currency: str = ""
    text: str = ""

    def __post_init__(self) -> None:
        check_length("prices", self.prices, HOURS)
        for price in self.prices:
            check_between("price", price, -5.0, 1000.0)

    @property
    def flat(self) -> bool:
        """Whether every hour costs the same."""
        return len(set(self.prices)) == 1


@dataclass(frozen=True)
class Circuit:
    """The branch circuit the lamps hang on."""

    mains_v: float = 230.0
    breaker_a: float = 16.0
    others_w: float = 0.0
    """Heater, fan and whatever else shares it."""

    def __post_init__(self) -> None:
        check_between("mains_v", self.mains_v, 12.0, 480.0)
        check_between("breaker_a", self.breaker_a, 1.0, 125.0)
        check_between("others_w", self.others_w, 0.0, 20000.0)


def usual_breaker_a(mains_v: float) -> float:
    """Common breaker [A] of a branch circuit at a mains voltage [V]. Practice."""
    return 15.0 if mains_v < LOW_VOLTS else 16.0


@dataclass(frozen=True)
class LampNeed:
    """What one crop asks of light and of the night; None where nothing is known."""

    crop: str
    name: str
    target_dli_mol_m2_d: float
    most_dli_mol_m2_d: float | None = None
    longest_h: float | None = None
    """Longest day it stands without harm."""
    bolt_h: float | None = None
    """Day length from which it runs to flower with no cold before."""
    bulb_h: float | None = None
    """Day length from which it makes bulbs."""
    least_dli_mol_m2_d: float | None = None
    """Light with which it just keeps growing."""
    note: str = ""


@dataclass(frozen=True)
class LampBudget:
    """What lamps over several beds may take together: watts, or money from today to the end of the dark."""

    power_w: float | None = None
    cost_currency: float | None = None
    currency: str = ""
    """Name of that money; empty where it is counted in watts."""


@dataclass(frozen=True)
class OwnLamps:
    """Fixtures that are there already."""

    count: int
    height_m: float | None = None
    """Above the canopy, where they hang; None: they lie in a cupboard."""
    hours_h: float | None = None
    """Hours a day that they burn."""


@dataclass(frozen=True)
class LampRequest:
    """What is asked of the lamps over one bed."""

    hours_h: float | None = None
    """Lamp hours a day; None lets the crop decide."""
    target_dli_mol_m2_d: float | None = None
    """Light wanted, if not the crop's own."""
    target_reason: str = ""
    first: date | None = None
    last: date | None = None
    tariff: Tariff | None = None
    circuit: Circuit = field(default_factory=Circuit)
    headroom_m: float | None = None
    """Highest a lamp may hang above the canopy."""
    evenness_frac: float = 0.7
    panels_refl_frac: float | None = None
    """Reflectance of side panels hung round the bed from canopy to lamp; None without."""
    windows_count: int | None = None
    """Most windows a day; None: one, or two where the tariff rewards it."""
    sized_on: SizedOn = "dull"
    """Day of the darkest month on which the light wanted is reached."""
    rung: RungName | None = None
    """Rung of the ladder that is planned in full; None: steady, or the light asked for."""
    over_bed: bool = False
    """Whether lamps over seedlings alone are no answer, because the bed itself is to be lit."""
    own: OwnLamps | None = None
    """Fixtures that the grower has, asked what they can do here."""
    worth_currency: float | None = None
    """What a kilogram is worth to the grower (a plant, a tray)."""
