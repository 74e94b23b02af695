"""Answer of ``tenhour lamps``: plain frozen data for text, JSON and pictures."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from tenhour.model.results import Basis


@dataclass(frozen=True)
class ClockMonth:
    """Lamp times of one month on the local clock (for the 15th); no windows where the lamps stay off."""

    month: int
    windows: tuple[tuple[str, str], ...] = ()
    lamp_h: float = 0.0
    photoperiod_h: float = 0.0
    """Civil daylight and lamps together; civil daylight alone where the lamps stay off."""
    lit_h: float = 0.0
    """Hours with the sun up or lamps on."""
    energy_kwh: float = 0.0
    cost_currency: float | None = None
    days_count: int = 0

    @property
    def on(self) -> str | None:
        """When the first window opens."""
        return self.windows[0][0] if self.windows else None

    @property
    def off(self) -> str | None:
        """When the last window closes."""
        return self.windows[-1][1] if self.windows else None


@dataclass(frozen=True)
class ClockChange:
    """A day the local clock is put on (positive) or back within the lamp season."""

    on: date
    shift_h: float


@dataclass(frozen=True)
class HeightRow:
    """What the chosen layout gives at another height."""

    height_m: float
    ppfd_umol_m2_s: float
    min_mean_frac: float
    cu_frac: float
    chosen: bool = False


@dataclass(frozen=True)
class LitDay:
    """One kind of day in the darkest month, with the lamps and with half of them."""

    kind: str
    daylight_dli_mol_m2_d: float
    lamp_dli_mol_m2_d: float
    total_dli_mol_m2_d: float
    half_dli_mol_m2_d: float


@dataclass(frozen=True)
class Remedy:
    """Something that would make the light more even, and what it would do."""

    change: str
    min_mean_frac: float | None
    ppfd_ratio: float | None
    """Mean light over that of the layout chosen."""
    reaches: bool


@dataclass(frozen=True)
class LampLayout:
    """How the fixtures hang over one bed (or one tier of a rack)."""

    lamp: str
    size_m: tuple[float, float]
    fixture_w: float
    fixture_ppf_umol_s: float
    each_count: int
    """Fixtures over one bed."""
    columns_count: int
    rows_count: int
    along: str
    """"the length" or "the width": which way the fixtures lie."""
    x_m: tuple[float, ...]
    y_m: tuple[float, ...]
    """Centres of the fixtures from the bed's south-west corner."""
    height_m: float
    cu_frac: float
    maintenance_frac: float
    delivered_ppfd_umol_m2_s: float
    """Mean on the bed with all fixtures at full power, after maintenance."""
    min_mean_frac: float
    variation_ratio: float
    bounced_share: float
    """Share of the lamp light on the bed that came by way of walls or panels."""
    shade_frac: float
    """Share of the daylight the fixtures themselves take away, at most."""
    even_enough: bool
    evenness_wanted_frac: float


@dataclass(frozen=True)
class LampCircuit:
    """Load of the circuit."""

    mains_v: float
    breaker_a: float
    lamps_a: float
    others_a: float
    total_a: float
    allowed_a: float
    overloaded: bool
    smallest_breaker_a: float | None
    circuits_count: int


@dataclass(frozen=True)
class LampMap:
    """Lit bed in the darkest month: daylight of a mean day plus lamps, and the lamps' own flux."""

    x_m: tuple[float, ...]
    y_m: tuple[float, ...]
    dli_mol_m2_d: tuple[tuple[float, ...], ...]
    lamp_ppfd_umol_m2_s: tuple[tuple[float, ...], ...]


@dataclass(frozen=True)
class LampAnswer:
    """Everything said about lamps over one bed."""

    basis: Basis
    bed: str
    area_m2: float
    tiers_count: int
    crops: tuple[str, ...]
    headline: str
    target_dli_mol_m2_d: float
    daylight_dli_mol_m2_d: float
    """Daylight counted on: the dull day of the darkest month, less its margin and the fixtures' shade."""
    missing_dli_mol_m2_d: float
    size_month: int
    ppfd_umol_m2_s: float
    """Level flux that fills the gap in the hours planned."""
    hours_h: float
    ppf_umol_s: float
    """Photon flux that all fixtures together must emit."""
    fixtures_count: int
    power_w: float
    clock: tuple[ClockMonth, ...]
    on_from: date | None
    off_from: date | None
    energy_day_kwh: float
    energy_season_kwh: float
    cost_season_currency: float | None
    currency: str | None
    circuit: LampCircuit
    layout: LampLayout | None = None
    heights: tuple[HeightRow, ...] = ()
    days: tuple[LitDay, ...] = ()
    half_enough_from: date | None = None
    remedies: tuple[Remedy, ...] = ()
    conflicts: tuple[str, ...] = ()
    changes: tuple[ClockChange, ...] = ()
    photons_mol_kwh: float | None = None
    growth_g_kwh: float | None = None
    heat_w: float = 0.0
    warming_k: float | None = None
    sensor_on_umol_m2_s: float | None = None
    sensor_off_umol_m2_s: float | None = None
    bright_day_rest_dli_mol_m2_d: float | None = None
    """After a bright day, light that suffices on the next so that the two reach the target."""
    dim_frac: float | None = None
    """Output to which the fixtures may be dimmed in the darkest month."""
    map: LampMap | None = None
    dark: bool = False
    """No daylight at any time of the year."""
    us_units: bool = False
