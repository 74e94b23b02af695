"""Answer of ``tenhour lamps``: plain frozen data for text, JSON and pictures."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Literal

from tenhour.model.fields import (
    HIDDEN,
    About,
    Area,
    Clock,
    Count,
    Current,
    Days,
    Energy,
    Flux,
    Hours,
    Length,
    Light,
    Money,
    Month,
    Number,
    Power,
    Prose,
    Ratio,
    Share,
    Size,
    TempDifference,
)
from tenhour.model.lamp import OwnStep, RungName, SizedOn
from tenhour.model.results import Answer

Window = Annotated[tuple[Clock, Clock], About(keys=("on", "off"))]


@dataclass(frozen=True)
class ClockMonth:
    """Lamp times of one month on the local clock (for the 15th); no windows where the lamps stay off."""

    month: Annotated[Month, About(heads=True)]
    windows: Annotated[tuple[Window, ...], About(heading="on and off")] = ()
    lamp_h: Annotated[Hours, About(heading="lamps", shown=2)] = 0.0
    photoperiod_h: Annotated[Hours, About(heading="day the plants see")] = 0.0
    """Civil daylight and lamps together; civil daylight alone where the lamps stay off."""
    lit_h: Annotated[Hours, About(heading="lit")] = 0.0
    """Hours with the sun up or lamps on."""
    energy_kwh: Annotated[Energy, About(heading="energy", shown=0)] = 0.0
    cost_currency: Annotated[Money | None, About(name="cost", heading="cost")] = None
    days_count: Annotated[Count, About(name="days", heading="days", wide_only=True)] = 0
    """Days with lamps whose electricity is counted: from today on."""
    ppfd_umol_m2_s: Annotated[Flux, About(heading="light", wide_only=True)] = 0.0
    """Mean on the bed while they burn, as they are run."""

    @property
    def on(self) -> Annotated[Clock | None, About()]:
        """When the first window opens."""
        return self.windows[0][0] if self.windows else None

    @property
    def off(self) -> Annotated[Clock | None, About()]:
        """When the last window closes."""
        return self.windows[-1][1] if self.windows else None


@dataclass(frozen=True)
class ClockChange:
    """A day the local clock is put on (positive) or back within the lamp season."""

    on: date
    shift_h: Annotated[float, About(kind="hours", digits=2)]


@dataclass(frozen=True)
class HeightRow:
    """What the chosen layout gives at another height."""

    height_m: Annotated[Size, About(heading="height")]
    ppfd_umol_m2_s: Annotated[Flux, About(heading="light")]
    min_mean_frac: Annotated[Share, About(heading="darkest over mean", kind="plain", shown=2)]
    cu_frac: Annotated[Share, About(heading="photons that land")]
    chosen: Annotated[bool, About(heading="")] = False


DayKind = Literal["dull", "mean", "bright"]


@dataclass(frozen=True)
class LitDay:
    """One kind of day in the darkest month, with the lamps and with half of them."""

    kind: Annotated[DayKind, About(heading="day")]
    daylight_dli_mol_m2_d: Annotated[Light, About(heading="daylight", digits=2)]
    lamp_dli_mol_m2_d: Annotated[Light, About(heading="lamps", digits=2)]
    total_dli_mol_m2_d: Annotated[Light, About(heading="together", digits=2)]
    half_dli_mol_m2_d: Annotated[Light, About(name="half_lamp_dli_mol_m2_d", heading="with half the lamps", digits=2)]


@dataclass(frozen=True)
class Remedy:
    """Something that would make the light more even, and what it would do."""

    change: Annotated[str, About(wrap=True)]
    min_mean_frac: Annotated[Share | None, About(heading="darkest over mean", kind="plain", shown=2)]
    ppfd_ratio: Annotated[Ratio | None, About(heading="light, of now", kind="share")]
    """Mean light over that of the layout chosen."""
    reaches: Annotated[bool, About(heading="enough")]


Along = Literal["the length", "the width"]


@dataclass(frozen=True)
class LampLayout:
    """How the fixtures hang over one bed (or one tier of a rack)."""

    lamp: str
    size_m: Annotated[tuple[Size, Size], HIDDEN]
    fixture_w: Power
    fixture_ppf_umol_s: Annotated[Flux, About(kind="plain")]
    each_count: Annotated[Count, About(name="fixtures_each", column="fixtures_each_count")]
    """Fixtures over one bed."""
    columns_count: Annotated[Count, About(name="columns", column="columns_count")]
    rows_count: Annotated[Count, About(name="rows", column="rows_count")]
    along: Along
    """Which way the fixtures lie."""
    x_m: Annotated[tuple[Length, ...], About(heading="along the bed")]
    """Centres of the fixtures from the bed's south-west corner."""
    y_m: Annotated[tuple[Length, ...], About(heading="across the bed")]
    height_m: Size
    """Above the canopy."""
    cu_frac: Annotated[Ratio, About(name="cu_ratio")]
    """Photons that land on the bed over those the fixtures emit."""
    maintenance_frac: Share
    delivered_ppfd_umol_m2_s: Flux
    """Mean on the bed with all fixtures at full power, after maintenance."""
    min_mean_frac: Share
    variation_ratio: Ratio
    bounced_share: Share
    """Share of the lamp light on the bed that came by way of walls or panels."""
    shade_frac: Share
    """Share of the daylight the fixtures themselves take away, at most."""
    even_enough: bool
    evenness_wanted_frac: Share
    corner_mean_frac: Share = 0.0
    """Light in the darkest corner of the bed itself over the mean: what the grid, whose points lie half a cell in,
    leaves out."""

    @property
    def length_m(self) -> Annotated[Size, About()]:
        """Length [m] of one fixture."""
        return self.size_m[0]

    @property
    def width_m(self) -> Annotated[Size, About()]:
        """Width [m] of one fixture."""
        return self.size_m[1]


@dataclass(frozen=True)
class LampCircuit:
    """Load of the circuit."""

    mains_v: Annotated[float, About(digits=1, least=0)]
    breaker_a: Annotated[Current, About(digits=1)]
    lamps_a: Current
    others_a: Current
    total_a: Current
    allowed_a: Annotated[Current, About(digits=2)]
    overloaded: bool
    smallest_breaker_a: Annotated[Current | None, About(digits=1)]
    circuits_count: Annotated[Count, About(name="circuits", column="circuits_count")]
    power_factor_ratio: Annotated[Ratio, About()] = 1.0
    """Real over apparent power of the lamps, counted in their amperes."""


@dataclass(frozen=True)
class LampMap:
    """Lit bed in the darkest month: daylight of a mean day plus lamps, and the lamps' own flux."""

    x_m: tuple[Length, ...]
    y_m: tuple[Length, ...]
    dli_mol_m2_d: Annotated[tuple[tuple[Light, ...], ...], About(digits=2)]
    lamp_ppfd_umol_m2_s: tuple[tuple[Flux, ...], ...]


@dataclass(frozen=True)
class LampSensor:
    """Light at which a sensor switches the lamps."""

    on_below_umol_m2_s: Annotated[Flux, About(digits=0)]
    off_above_umol_m2_s: Annotated[Flux | None, About(digits=0)]


@dataclass(frozen=True)
class LampRung:
    """One rung of the ladder: lamps for so much light, and what they bring from today to the end of the dark."""

    name: Annotated[RungName, About(heading="light")]
    power_w: Annotated[Power, About(heading="W")]
    fixtures_count: Annotated[Count, About(name="fixtures", column="fixtures_count", heading="lamps", wide_only=True)]
    dli_mol_m2_d: Annotated[Light, About(heading="mean")]
    """Light of the mean day of the darkest month."""
    dull_dli_mol_m2_d: Annotated[Light, About(heading="dull")]
    bright_dli_mol_m2_d: Annotated[Light, About(heading="bright", wide_only=True)]
    days_to_harvest: Annotated[Days | None, About(heading="days")]
    """From sowing today, or when the dark begins, to harvest or setting out."""
    energy_season_kwh: Annotated[Energy, About(heading="kWh", shown=0)]
    """From today to the end of the dark; of one raising for plants, of one tray for trays, of one crop where it is
    always dark."""
    cost_season_currency: Annotated[Money | None, About(name="cost_season", heading="cost", shown=0)]
    extra_kg: Annotated[float | None, About(kind="plain", digits=2, shown=1, heading="more kg")]
    """Over the unlit bed in the same days; null for plants and trays."""
    cost_per_kg_currency: Annotated[Money | None, About(name="cost_per_kg", heading="a kg")]
    """Of each of those; null for plants and trays."""
    energy_per_kg_kwh: Annotated[Energy | None, About(shown=0, heading="kWh a kg", wide_only=True)] = None
    cost_per_hundred_plants_currency: Annotated[
        Money | None, About(name="cost_per_hundred_plants", heading="100 plants")
    ] = None
    cost_per_tray_currency: Annotated[Money | None, About(name="cost_per_tray", heading="a tray")] = None
    days_saved: Annotated[int | None, About(kind="days", heading="days saved", wide_only=True)] = None
    """Over the unlit bed."""
    heat_kwh: Annotated[Energy, About(heading="heat", shown=0, wide_only=True)] = 0.0
    """Heat of the lamps that stays in the house."""
    heat_replaced_frac: Annotated[Share | None, About(heading="heating replaced", wide_only=True)] = None
    """Share of the electricity that heating need not give."""
    heating_saved_currency: Annotated[Money | None, About(heading="heating saved", wide_only=True)] = None
    """Worth of the heating replaced, taken off what one more costs; null where heat has no price."""
    min_mean_frac: Annotated[Share | None, About(kind="plain", shown=2, heading="darkest", wide_only=True)] = None
    pays: Annotated[bool | None, About(heading="pays", wide_only=True)] = None
    """Against what a kilogram, plant or tray is worth; null where nobody said."""
    also: Annotated[tuple[RungName, ...], About(heading="also")] = ()
    """Rungs so near to this one that they are one with it."""


@dataclass(frozen=True)
class OwnRow:
    """Lamps that are there already, hung and run in one way; each row changes one thing more than the one before."""

    step: Annotated[OwnStep, About(heading="your lamps")]
    fixtures_count: Annotated[Count, About(name="fixtures", column="fixtures_count", heading="lamps")]
    height_m: Annotated[Size, About(heading="height")]
    """Above the canopy."""
    hours_h: Annotated[Hours, About(heading="hours")]
    """A day, in the darkest month."""
    dli_mol_m2_d: Annotated[Light, About(heading="mean")]
    """Light of the mean day of the darkest month."""
    min_mean_frac: Annotated[Share, About(kind="plain", shown=2, heading="even")]
    days_to_harvest: Annotated[Days | None, About(heading="days")]
    energy_season_kwh: Annotated[Energy, About(heading="kWh", shown=0)]
    cost_season_currency: Annotated[Money | None, About(name="cost_season", heading="cost", shown=0)]
    extra_kg: Annotated[float | None, About(kind="plain", digits=2, shown=1, heading="more kg")]
    cost_per_kg_currency: Annotated[Money | None, About(name="cost_per_kg", heading="a kg")] = None
    cost_per_hundred_plants_currency: Annotated[
        Money | None, About(name="cost_per_hundred_plants", heading="100 plants")
    ] = None
    cost_per_tray_currency: Annotated[Money | None, About(name="cost_per_tray", heading="a tray")] = None
    power_w: Annotated[Power, About(heading="W", wide_only=True)] = 0.0
    dull_dli_mol_m2_d: Annotated[Light, About(heading="dull", wide_only=True)] = 0.0


@dataclass(frozen=True)
class BudgetRow:
    """One bed under a budget that several share: the rung it gets, if any."""

    bed: str
    order: Annotated[Count | None, About(name="order", column="order_count", heading="place")]
    """Which bed is lit first: by harvest added for what it takes of the budget; null where it stays unlit."""
    rung: Annotated[RungName | None, About(heading="light")]
    power_w: Annotated[Power, About(heading="W")]
    energy_season_kwh: Annotated[Energy, About(heading="kWh", shown=0)]
    cost_season_currency: Annotated[Money | None, About(name="cost_season", heading="cost", shown=0)]
    extra_kg: Annotated[float, About(kind="plain", digits=2, shown=1, heading="more kg")]


@dataclass(frozen=True)
class NurseryRow:
    """Plants for the garden on the lit shelf."""

    crop: str
    plants_count: Annotated[Count, About(name="plants", column="plants_count", heading="plants")]
    trays_count: Annotated[Count, About(name="trays", column="trays_count", heading="trays")]
    sow_on: Annotated[date | None, About(heading="sow on")]
    ready_on: Annotated[date | None, About(heading="ready")]


@dataclass(frozen=True)
class AbsentRung:
    """A rung that this bed has not, and why."""

    name: RungName
    why: Annotated[Prose, About()]


@dataclass(frozen=True)
class LampStep:
    """One step in light on which the knee is found."""

    dli_mol_m2_d: Annotated[Light, About(heading="mean day")]
    energy_kwh: Annotated[Energy, About(heading="current", shown=0)]
    harvest_count: Annotated[float, About(name="harvest", heading="harvest", kind="plain", digits=3, shown=2)]
    """Kilograms from today to the end of the dark, or raisings of plants."""
    each_kwh: Annotated[float | None, About(kind="energy", digits=2, shown=0, heading="per one more")]
    """Electricity for one more of those by this step; null where it adds none."""


@dataclass(frozen=True)
class UnlitBed:
    """What the bed does without lamps."""

    dli_mol_m2_d: Annotated[Light, About(heading="mean day")]
    """Mean day of the darkest month."""
    days_to_harvest: Annotated[Days | None, About(heading="days")]
    harvest_kg: Annotated[float | None, About(kind="plain", digits=2)]
    """From today to the end of the dark; null for plants and trays."""


@dataclass(frozen=True)
class TurnedTrays:
    """The same light with less even lamps, for a bed whose trays are turned every week."""

    power_w: Power
    fixtures_count: Annotated[Count, About(name="fixtures", column="fixtures_count")]
    height_m: Size
    min_mean_frac: Share


@dataclass(frozen=True)
class LampAnswer(Answer):
    """Answer of ``tenhour lamps``: everything said about lamps over one bed."""

    COMMAND = "lamps"

    bed: str
    area_m2: Area
    tiers_count: Annotated[Count, About(name="tiers", column="tiers_count")]
    crops: tuple[str, ...]
    headline: Annotated[Prose, About(name="sentence")]
    target_dli_mol_m2_d: Light
    daylight_dli_mol_m2_d: Light
    """Daylight counted on: the mean day of the darkest month, or the dull day less its margin; less the fixtures'
    shade."""
    missing_dli_mol_m2_d: Light
    size_month: Month
    ppfd_umol_m2_s: Annotated[Flux, About(digits=2)]
    """Level flux that fills the gap in the hours planned."""
    hours_h: Hours
    ppf_umol_s: Annotated[Flux, About(kind="plain")]
    """Photon flux that all fixtures together must emit."""
    fixtures_count: Annotated[Count, About(name="fixtures", column="fixtures_count")]
    power_w: Power
    clock: Annotated[tuple[ClockMonth, ...], About(size=12)]
    on_from: date | None
    off_from: date | None
    energy_day_kwh: Annotated[Energy, About(digits=3)]
    energy_season_kwh: Energy
    """From today on, as in the ladder."""
    cost_season_currency: Annotated[Money | None, About(name="cost_season")]
    currency: str | None
    circuit: LampCircuit
    layout: LampLayout | None = None
    heights: tuple[HeightRow, ...] = ()
    days: tuple[LitDay, ...] = ()
    half_enough_from: date | None = None
    remedies: tuple[Remedy, ...] = ()
    conflicts: tuple[Prose, ...] = ()
    changes: Annotated[tuple[ClockChange, ...], About(name="clock_changes")] = ()
    photons_mol_kwh: Number | None = None
    growth_g_kwh: Annotated[Number | None, About(digits=1)] = None
    """Fresh harvest that a kilowatt-hour adds over the unlit bed, of the rung chosen."""
    heat_w: Annotated[Power, About(digits=0)] = 0.0
    warming_k: TempDifference | None = None
    sensor_on_umol_m2_s: Annotated[Flux | None, HIDDEN] = None
    sensor_off_umol_m2_s: Annotated[Flux | None, HIDDEN] = None
    bright_day_rest_dli_mol_m2_d: Annotated[Light | None, About(name="after_bright_day_dli_mol_m2_d", digits=2)] = None
    """After a bright day, light that suffices on the next so that the two reach the target."""
    dim_frac: Share | None = None
    """Output to which the fixtures may be dimmed in the darkest month."""
    map: LampMap | None = None
    verdict: Annotated[Prose | None, About()] = None
    """Whether lamps pay here, and what the bed does without."""
    ladder: tuple[LampRung, ...] = ()
    absent: tuple[AbsentRung, ...] = ()
    """Rungs that make no sense here, or that daylight reaches alone."""
    own: tuple[OwnRow, ...] = ()
    """What lamps that are there already can do, where that was asked."""
    own_for_m2: Annotated[Area | None, About()] = None
    """Of the bed, for which they would do by themselves with the light of the steady rung."""
    budget: tuple[BudgetRow, ...] = ()
    """Beds that share a budget, where one was given; the first of them is planned in full."""
    nursery: tuple[NurseryRow, ...] = ()
    """Plants that were asked for, and when each is sown."""
    chosen: RungName | None = None
    """Rung that is planned in full."""
    knee: tuple[LampStep, ...] = ()
    """Steps in light by which the steady rung was found."""
    unlit: UnlitBed | None = None
    counted_from: date | None = None
    counted_to: date | None = None
    """First and last day over which the ladder counts harvest and electricity."""
    heat_replaced_frac: Share | None = None
    turned: TurnedTrays | None = None
    urgent: Annotated[tuple[Prose, ...], HIDDEN] = ()
    """Those of the warnings that no screen leaves out."""
    dark: Annotated[bool, HIDDEN] = False
    """No daylight at any time of the year."""
    us_units: Annotated[bool, HIDDEN] = False
    sized_on: SizedOn = "dull"
    """Day on which the light wanted is reached."""
    longest_h: Hours | None = None
    """Longest day that sun and lamps together make."""
    kept: str | None = None
    """House file into which the lamps were written."""

    @property
    def height_m(self) -> Annotated[Size | None, About()]:
        """Height [m] of the fixtures above the canopy."""
        return None if self.layout is None else self.layout.height_m

    @property
    def min_mean_frac(self) -> Annotated[Share | None, About()]:
        """Darkest over mean light of the bed under the lamps, 0-1."""
        return None if self.layout is None else self.layout.min_mean_frac

    @property
    def circuit_a(self) -> Annotated[Current, About()]:
        """Current [A] that the lamps draw."""
        return self.circuit.lamps_a

    @property
    def sensor(self) -> Annotated[LampSensor | None, About()]:
        """What a sensor that switches the lamps is set to."""
        on_below = self.sensor_on_umol_m2_s
        return None if on_below is None else LampSensor(on_below, self.sensor_off_umol_m2_s)
