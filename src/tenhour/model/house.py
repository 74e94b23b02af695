"""The house as a user describes it: shape, faces, windows, boxes, beds and air. Geometry is made elsewhere."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, Literal

from tenhour.errors import OutOfRange
from tenhour.model.checks import check_between, check_length
from tenhour.model.cover import Cover
from tenhour.model.household import Household
from tenhour.model.lamp import Lamp
from tenhour.model.learned import Lessons
from tenhour.model.site import MONTHS, Monthly, Site

Point = tuple[float, float, float]
Shape = Literal["gable", "lean-to", "hoop", "box", "cold-frame", "window-sill", "custom"]


@dataclass(frozen=True)
class Face:
    """What one named face is made of."""

    cover: str
    reflectance_frac: float
    u_w_m2_k: float | None = None
    wall_kg_m2: float | None = None
    """Masonry inside its insulation, which stores warmth."""


@dataclass(frozen=True)
class Window:
    """A rectangle cut into a face; left as seen from inside, sill from the floor (along the slope on a roof)."""

    on: str
    left_m: float
    sill_m: float
    width_m: float
    height_m: float
    cover: str


@dataclass(frozen=True)
class Surface:
    """One flat polygon of a custom house, or of a wall standing outside."""

    name: str
    vertices_m: tuple[Point, ...]
    cover: str = "opaque"
    reflectance_frac: float = 0.5


@dataclass(frozen=True)
class Box:
    """An opaque box: a rack or barrel inside, a building outside."""

    name: str
    at_m: Point
    size_m: Point
    reflectance_frac: float = 0.3


@dataclass(frozen=True)
class Layer:
    """A cover laid over a bed or drawn under the panes, in the months and hours it is there."""

    cover: str
    months: tuple[int, ...] = tuple(range(1, MONTHS + 1))
    by_day: bool = True


@dataclass(frozen=True)
class Bed:
    """A growing surface: where it lies, how high its soil and its canopy stand."""

    name: str
    at_m: tuple[float, float]
    size_m: tuple[float, float]
    height_m: float = 0.0
    canopy_m: float = 0.05
    reflectance_frac: float = 0.1
    """Leaves and dark soil in PAR (0.05-0.15): from memory."""
    layers: tuple[Layer, ...] = ()
    day_degc: Monthly | None = None
    night_degc: Monthly | None = None
    headroom_m: float | None = None

    def __post_init__(self) -> None:
        check_between(f"bed {self.name}: reflectance", self.reflectance_frac, 0.0, 1.0)
        for value in self.size_m:
            check_between(f"bed {self.name}: size_m", value, 0.01, 200.0)


@dataclass(frozen=True)
class Air:
    """Indoor air: means measured or wished by month, or heater set points; None means unheated."""

    day_degc: Monthly | None = None
    night_degc: Monthly | None = None
    day_set_degc: Monthly | None = None
    night_set_degc: Monthly | None = None
    night_min_degc: Monthly | None = None
    """The user's own coldest night by month; kill and chilling act on it."""
    vent_degc: float = 24.0
    """Air at which somebody opens the vents: practice."""
    swing_k: float = 1.0
    """What a thermostat lets the air fall below a set point before the heater comes on: practice."""
    held: bool = True
    """Whether something heats and vents to the stated means; not where they were read in a house that nobody heats."""

    def __post_init__(self) -> None:
        for name in ("day_degc", "night_degc", "day_set_degc", "night_set_degc", "night_min_degc"):
            values = getattr(self, name)
            if values is None:
                continue
            check_length(name, values, MONTHS)
            for value in values:
                check_between(name, value, -60.0, 60.0)


BENCH_M: Final = 0.4
"""Soil that stands as high is in trays on a bench. Judgement."""
Leak = Literal["tight", "ordinary", "draughty"]
HeaterKind = Literal["electric", "stove", "heat-pump", "gas-flued"]


@dataclass(frozen=True)
class Draughts:
    """How heat leaves beside the panes: air, wind and the edge of the floor."""

    leak: Leak = "ordinary"
    leak_per_h: float | None = None
    """Air changes an hour in still air, where they are known."""
    wind: Literal["sheltered", "open"] = "sheltered"
    edge: Literal["bare", "board"] = "bare"
    """Whether a board of insulation stands upright in the ground round the house."""
    paths: Literal["soil", "paved"] = "soil"
    """What lies between the beds: damp soil gives off vapour and freezes, paving does neither."""
    loss_factor: float = 1.0
    """Loss through panes and walls over what is reckoned, fitted from nights."""

    def __post_init__(self) -> None:
        if self.leak_per_h is not None:
            check_between("heat: leak_ach", self.leak_per_h, 0.0, 20.0)
        check_between("heat: loss_factor", self.loss_factor, 0.2, 5.0)


@dataclass(frozen=True)
class Store:
    """Water in vessels; where it stands in the sun, the box of that name is among the house's boxes."""

    name: str
    water_kg: float
    """A litre is a kilogram."""
    in_sun: bool = False

    def __post_init__(self) -> None:
        check_between(f"store {self.name}: litres", self.water_kg, 1.0, 100_000.0)


@dataclass(frozen=True)
class Curtain:
    """What is drawn under faces from dusk to the morning."""

    faces: tuple[str, ...]
    resistance_m2_k_w: float

    def __post_init__(self) -> None:
        check_between("curtain: resistance_m2_k_w", self.resistance_m2_k_w, 0.0, 5.0)


@dataclass(frozen=True)
class Heater:
    """One heater. A stove needs its flue and its efficiency: they decide whether it may stand there, and the wood."""

    kind: HeaterKind
    power_w: float
    efficiency_frac: float = 1.0
    """Useful heat over what the fuel holds, net."""
    price_currency_kwh: float | None = None
    """Of the electricity or fuel."""
    flue_mm: float | None = None

    def __post_init__(self) -> None:
        check_between("heater: power_w", self.power_w, 10.0, 100_000.0)
        check_between("heater: efficiency_frac", self.efficiency_frac, 0.05, 1.0)


@dataclass(frozen=True)
class Mat:
    """A heated mat or cable under the roots of one bed, with a thermostat whose probe lies among them."""

    bed: str
    set_degc: float
    power_w_m2: float
    months: tuple[int, ...] = tuple(range(1, MONTHS + 1))
    price_currency_kwh: float | None = None

    def __post_init__(self) -> None:
        check_between(f"mat under {self.bed}: set_degc", self.set_degc, 0.0, 38.0)
        check_between(f"mat under {self.bed}: power_w_m2", self.power_w_m2, 5.0, 400.0)


@dataclass(frozen=True)
class Nursery:
    """A place where plants are raised before they are set out: a sill, a lit shelf, a cellar, or a bed of the house.

    Light is ``dli_mol_m2_d`` where that is stated, otherwise the daylight of ``bed`` and lamps together. Air that is
    not stated is that of ``bed``. Months run from January to December.
    """

    name: str = "nursery"
    bed: Bed | None = None
    """The bed of the house it stands on; none for a place elsewhere."""
    dli_mol_m2_d: Monthly | None = None
    """All the light it gets, lamps included."""
    lamp_ppfd_umol_m2_s: float | None = None
    lamp_h: float | None = None
    lit_h: Monthly | None = None
    """Hours with daylight or lamps."""
    day_degc: Monthly | None = None
    night_degc: Monthly | None = None
    mat_degc: float | None = None
    """What a heated mat holds the trays' soil at, where the air is not warmer."""
    size_m: tuple[float, float] | None = None
    """Length and width of where the trays stand; None: there is room for all that is raised."""

    def __post_init__(self) -> None:
        for name, low, high in NURSERY_BOUNDS:
            values = getattr(self, name)
            if values is not None:
                check_length(f"nursery: {name}", values, MONTHS)
                for value in values:
                    check_between(f"nursery: {name}", value, low, high)
        if (self.lamp_ppfd_umol_m2_s is None) != (self.lamp_h is None):
            raise OutOfRange("nursery: lamps need both lamp_h and lamp_ppfd_umol_m2_s")
        if self.dli_mol_m2_d is None and self.lamp_h is None and self.bed is None:
            raise OutOfRange("nursery: its light is unknown: give dli_mol_m2_d, lamps, or a bed")
        if self.bed is None and (self.day_degc is None or self.night_degc is None):
            raise OutOfRange("nursery: its air is unknown: give day_degc and night_degc, or a bed")

    @property
    def where(self) -> str:
        """The place as it is said: "on the sill", "in the cellar", "on bed front"."""
        if self.bed is not None and self.name == self.bed.name:
            return f"on bed {self.name}"
        return f"{'on' if self.name.split()[-1].lower() in STOOD_ON else 'in'} the {self.name}"


@dataclass(frozen=True)
class HungLamps:
    """Lamps that hang over one bed, and when they burn."""

    bed: str
    lamp: Lamp
    """With the one size that hangs."""
    count: int
    height_m: float
    """Above the canopy."""
    hours_h: tuple[float, ...] = ()
    """Hours a day by month (12), joined to the daylight; none where the clock is given."""
    windows_h: tuple[tuple[float, float], ...] = ()
    """On and off on the local clock; off beyond 24 is on the next day."""
    burn_from: tuple[int, int] | None = None
    burn_to: tuple[int, int] | None = None
    """First and last (month, day); None: while the bed's daylight falls short."""
    key: str = "lamps"
    """Where it stands in the house file."""
    longest_h: float | None = None
    """Longest day that hours make with the sun's; None: the usual."""
    ppfd_umol_m2_s: float | None = None
    """Mean on the bed while they burn, where that is known: measured, dimmed or planned."""


@dataclass(frozen=True)
class BedLamps:
    """What lamps do to one bed by day of the year [365]; nothing on days on which they hang aside."""

    bed: str
    dli_mol_m2_d: tuple[float, ...]
    """Light they add."""
    lit_h: tuple[float, ...]
    """Hours with the sun up or lamps on."""
    photoperiod_h: tuple[float, ...]
    """Civil daylight and lamps together; light spills, so every bed of the house sees it."""
    shade_frac: tuple[float, ...]
    """Share of the daylight the fixtures take away."""
    key: str = ""
    """Where they stand in the house file; "" for planned ones."""
    output_frac: float = 1.0
    """Output they are dimmed to."""


NURSERY_BOUNDS: Final = (
    ("dli_mol_m2_d", 0.0, 100.0),
    ("lit_h", 0.0, 24.0),
    ("day_degc", -60.0, 60.0),
    ("night_degc", -60.0, 60.0),
)
STOOD_ON: Final = frozenset({"sill", "windowsill", "shelf", "bench", "rack", "ledge", "table", "board", "mat", "bed"})
"""Places one stands trays on rather than in."""


@dataclass(frozen=True)
class House:
    """A whole house in its place, with its beds; every default taken stands in ``assumptions``."""

    site: Site
    shape: Shape
    dimensions_m: Mapping[str, float]
    """Keys without their unit suffix: length, width, eaves, ridge, front, back, depth, ..."""
    azimuth_deg: float
    """Compass direction of +x, clockwise from north; 90 means the long side faces south."""
    cover: str
    reflectance_frac: float
    covers: Mapping[str, Cover]
    """Every cover named anywhere in the house, resolved."""
    faces: Mapping[str, Face] = field(default_factory=dict)
    windows: tuple[Window, ...] = ()
    surfaces: tuple[Surface, ...] = ()
    boxes: tuple[Box, ...] = ()
    outside: tuple[Box, ...] = ()
    outside_surfaces: tuple[Surface, ...] = ()
    beds: tuple[Bed, ...] = ()
    layers: tuple[Layer, ...] = ()
    """Drawn or hung under the panes of the whole house; also the last of every bed's own layers, for their light."""
    air: Air = field(default_factory=Air)
    draughts: Draughts = field(default_factory=Draughts)
    stores: tuple[Store, ...] = ()
    curtains: tuple[Curtain, ...] = ()
    heaters: tuple[Heater, ...] = ()
    mats: tuple[Mat, ...] = ()
    nursery: Nursery | None = None
    """Where plants are raised before they are set out."""
    lamps: tuple[HungLamps, ...] = ()
    """Lamps of the house file."""
    planned: tuple[BedLamps, ...] = ()
    """Lamps that are planned beside an answer; over their beds they take the place of the file's."""
    light_factor: Mapping[str, float] = field(default_factory=dict)
    """Fitted from readings, by bed name ("" for the house); replaces dirt and frame. See ``calibration_note``."""
    household: Household | None = None
    """Who is fed, if the house file says."""
    lessons: Lessons = field(default_factory=Lessons)
    """What the grower's log has taught, if it was kept."""
    calibration_note: str = ""
    whole_house_trans_frac: float | None = None
    """Measured for the whole house; replaces frame and dirt."""
    name: str = ""
    path: str = ""
    us_units: bool = False
    assumptions: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        check_between("length_azimuth_deg", self.azimuth_deg, 0.0, 360.0)
        check_between("reflectance", self.reflectance_frac, 0.0, 0.99)


HEAT_CAUTION: Final = (
    "Stoves, burners and heaters in a closed house: outside combustion air and a carbon monoxide alarm, never an "
    "unvented burner; keep to the clearances on the label and to local code."
)


MAT_CAUTION: Final = (
    "A heat mat or cable lies among wet soil: one made for it and unhurt, its thermostat never left out, behind a "
    "residual-current device; pull its plug before you dig or water. Leave wiring to a licensed electrician."
)


def has_mat(house: House) -> bool:
    """Whether anything is heated from below."""
    return bool(house.mats) or (house.nursery is not None and house.nursery.mat_degc is not None)


def cautions_of(house: House) -> tuple[str, ...]:
    """Cautions that stand in every answer about a house."""
    air = house.air
    heated = bool(house.heaters) or air.day_set_degc is not None or air.night_set_degc is not None
    return (*((HEAT_CAUTION,) if heated else ()), *((MAT_CAUTION,) if has_mat(house) else ()))
