"""One crop: how it grows, what it stands, how it is cropped, and where each number comes from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, fields
from typing import Annotated, Any, Final, Literal, get_args

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import OutOfRange
from tenhour.model.checks import check_between
from tenhour.model.fields import About, Count, Share
from tenhour.model.learned import Own

WAYS: Final = ("head", "root", "cut", "pick", "seed-fed", "bulb", "transplant", "fruiting")
"""Ways of cropping: one harvest of leaves or roots, repeated cuts, picking from a grown stand, trays that live on
their seed, bulbs grown for leaf, plants raised to be set out, and crops for fruit (verdict only, no dates)."""

CARBON_WAYS: Final = frozenset({"head", "root", "cut", "pick", "transplant"})
TRAY_WAYS: Final = frozenset({"seed-fed", "bulb"})

Mark = Literal["read", "second-hand", "memory", "practice", "judgement", "derived"]
MARKS: Final[tuple[Mark, ...]] = get_args(Mark)


@dataclass(frozen=True)
class Sourced:
    """A number with its spread and where it comes from; its unit stands in the name of the field that holds it."""

    value: float
    low: float
    high: float
    source: str
    mark: Mark
    where: str = ""

    def __post_init__(self) -> None:
        check_between("value", self.value, self.low, self.high)
        if self.mark not in MARKS:
            raise OutOfRange(f"mark: {self.mark!r} is none of {', '.join(MARKS)}")
        if not self.source:
            raise OutOfRange("source: a number needs one")


@dataclass(frozen=True)
class Emergence:
    """Thermal time from sowing to emergence, and the warmth above which seed fails."""

    base_degc: Sourced
    sum_degcday: Sourced
    max_degc: Sourced


@dataclass(frozen=True)
class Growth:
    """Numbers of the carbon model (docs/method/growth.md)."""

    temp_min_degc: Sourced
    temp_opt_degc: Sourced
    temp_max_degc: Sourced
    leaf_rate_per_d: Sourced
    """Leaves a day at the optimum when light is not short."""
    rgr_per_d: Sourced
    """Ceiling of relative growth at the optimum."""
    leaf_area_m2_g: Sourced
    """Leaf area per dry mass of the whole plant at 10 mol m⁻² d⁻¹ and 18 °C."""
    extinction_ratio: Sourced
    seedling_mg: Sourced
    """Dry mass of a seedling with open cotyledons."""
    root_frac: Sourced
    transplant_leaves_count: Sourced
    """Leaves at which it is set out, or cut young."""


@dataclass(frozen=True)
class Harvest:
    """What is taken, and when."""

    density_per_m2: Sourced
    dry_matter_frac: Sourced
    harvest_frac: Sourced
    """Share of what is not root that is taken."""
    target_g: Sourced | None = None
    """Fresh mass of one plant at which it is harvested; none for leaves cut young."""
    regrow_frac: Sourced | None = None
    """Share of the shoot left by a cut; none where one harvest ends the crop."""
    leaves_count: Sourced | None = None
    """For leaves cut young: the true leaves at which they have cutting length; the mass is what light has given."""
    salad_leaves_count: Sourced | None = None
    """For leaves cut young: the leaves of a grower's salad cut, 12-15 cm; ``leaves_count`` is baby leaf, 8-10 cm."""
    cut_g_m2: Sourced | None = None
    """For leaves cut young: fresh mass from which a salad cut is worth taking."""
    holds_degcday: Sourced | None = None
    """Sum of daily means above 0 °C a ready crop stands before it is past its best; how long it keeps in the ground."""
    cuts_most_count: Sourced | None = None
    """Cuts after which a stand is given up; none where picking goes on."""
    drawn_ratio: Sourced | None = None
    """For leaves cut young: exponent of leaf length on dim light (drawn leaves have cutting length sooner)."""
    standing_g_m2: Sourced | None = None
    """Dry mass of a grown stand set out before winter, from which only new leaf is picked."""
    pick_g_m2: Sourced | None = None
    """Fresh mass of one picking."""
    pick_frac: Sourced | None = None
    """Share of the shoot a grown stand adds that is picked; the harvested share of the shoot if not given."""


@dataclass(frozen=True)
class Tray:
    """Trays of shoots and microgreens, fodder, and bulbs for leaf: warmth sets the time, reserves most of the mass."""

    base_degc: Sourced
    sum_degcday: Sourced
    reserve_mass_g_m2: Sourced
    """Fresh mass from the reserves alone."""
    light_mass_g_m2: Sourced
    """Greatest extra fresh mass from light."""
    half_light_mol_m2: Sourced
    """Sum of light that gives half of it."""
    seed_g_m2: Sourced
    """Seed (or bulbs) per tray area."""
    dark_d: Sourced | None = None


@dataclass(frozen=True)
class Climate:
    """What a crop stands and what suits it."""

    kill_degc: Sourced
    """A single night as cold as this kills it when grown and hardened by cold days."""
    kill_tender_degc: Sourced | None = None
    """The same for plants that come from warmth; as hardened where hardening is not known."""
    chill_degc: Sourced | None = None
    """Nights below this harm it without frost; hardy crops have none."""
    least_mean_degc: Sourced | None = None
    best_mean_degc: Sourced | None = None
    """Mean temperature that suits it; low and high are the ends of the range."""
    most_mean_degc: Sourced | None = None
    """Mean temperature above which quality falls off."""


@dataclass(frozen=True)
class Light:
    """Light and darkness it asks for; what no source states is left out."""

    dli_min_mol_m2_d: Sourced | None = None
    dli_target_mol_m2_d: Sourced | None = None
    dli_most_mol_m2_d: Sourced | None = None
    """Light beyond which little is gained or harm begins."""
    photoperiod_max_h: Sourced | None = None
    """Longest useful day under lamps."""
    stretch_base_degc: Sourced | None = None
    """Base temperature of the stretch score; 4 °C if not given."""


@dataclass(frozen=True)
class Bolting:
    """What turns it to flower or bulb."""

    photoperiod_h: Sourced | None = None
    """Day (civil twilight and lamps included) from which it bolts."""
    cold_degc: Sourced | None = None
    """Daily mean below which days count as cold."""
    cold_d: Sourced | None = None
    """Cold days that suffice."""
    juvenile_leaves_count: Sourced | None = None
    """Leaves below which cold does not count; none if seedlings count it."""
    bulbing_photoperiod_h: Sourced | None = None
    """Day from which it forms bulbs."""
    heat_base_degc: Sourced | None = None
    heat_sum_degcday: Sourced | None = None
    """Sum of warmth above the base from sowing at which it runs to flower."""


@dataclass(frozen=True)
class Raising:
    """Raising plants in one place to set them out in another."""

    tray_density_per_m2: Sourced
    transplant_d: Sourced
    """Usual days from sowing to setting out."""
    after_frost_d: Sourced | None = None
    """When it may stand outdoors, in days after the last spring frost (negative: before)."""


@dataclass(frozen=True)
class Sown:
    """When a type is sown that is meant to live through the winter; other crops are sown whenever it pays."""

    earliest_d: Sourced
    """Days before the shortest day from which it is sown."""
    latest_d: Sourced
    """Days before the shortest day until which it is sown."""


@dataclass(frozen=True)
class Keeping:
    """A plant that is only to survive the winter, cut back and kept cool, and the fruit it brings along."""

    night_degc: Sourced
    """Nights it stands so, without dropping its shoots."""
    rest_degc: Sourced
    """Mean air at which it rests."""
    dli_mol_m2_d: Sourced
    """Light that keeps it at that warmth; twice as much where it is 10 K warmer."""
    ripe_base_degc: Sourced | None = None
    ripe_sum_degcday: Sourced | None = None
    """Sum of warmth above the base in which full-grown green fruit ripens; none where nothing hangs."""


@dataclass(frozen=True)
class Use:
    """For seed lists and meals."""

    meal_g: Sourced | None = None
    """Fresh mass of one serving."""
    thousand_seed_g: Sourced | None = None


Section = Emergence | Growth | Harvest | Tray | Climate | Light | Bolting | Sown | Raising | Keeping | Use

NEEDED: Final = {
    **dict.fromkeys(("head", "root", "cut", "pick"), ("climate", "light", "emergence", "growth", "harvest")),
    "transplant": ("climate", "light", "emergence", "growth", "raising"),
    "seed-fed": ("climate", "light", "tray"),
    "bulb": ("climate", "light", "tray"),
    "fruiting": ("climate", "light"),
}
"""Sections each way of cropping needs."""


@dataclass(frozen=True)
class Crop:
    """A crop of the table; ``facts`` names the files of further findings about it."""

    key: str
    name: str
    way: str
    climate: Climate
    light: Light
    latin: str = ""
    also: tuple[str, ...] = ()
    note: str = ""
    facts: tuple[str, ...] = ()
    emergence: Emergence | None = None
    growth: Growth | None = None
    harvest: Harvest | None = None
    tray: Tray | None = None
    bolting: Bolting | None = None
    sown: Sown | None = None
    raising: Raising | None = None
    keeping: Keeping | None = None
    use: Use | None = None
    origin: str = ""
    """File it was read from."""
    serves: str = ""
    """The kind of food it serves as first: salad, cooked, herbs or roots; empty where nobody said."""
    own: Own = field(default_factory=Own)
    """How it grows for this grower, by the log."""

    def __post_init__(self) -> None:
        if self.way not in WAYS:
            raise OutOfRange(f"way: {self.way!r} is none of {', '.join(WAYS)}")
        if self.harvest is not None and self.harvest.target_g is None and self.harvest.leaves_count is None:
            raise OutOfRange(f"{self.key}: harvest needs target_g or leaves_count")
        missing = [section for section in NEEDED[self.way] if getattr(self, section) is None]
        if missing:
            raise OutOfRange(f"{self.key}: a crop cropped as {self.way!r} needs {', '.join(missing)}")

    @property
    def grows_by_carbon(self) -> bool:
        """Whether the carbon model (``growth.run``) times it."""
        return self.way in CARBON_WAYS

    @property
    def grows_by_reserves(self) -> bool:
        """Whether warmth alone (``growth.seedfed``) times it."""
        return self.way in TRAY_WAYS

    def sections(self) -> Iterator[tuple[str, Section]]:
        """Yield the sections that hold numbers, by name."""
        for name in (
            "emergence",
            "growth",
            "harvest",
            "tray",
            "climate",
            "light",
            "bolting",
            "sown",
            "raising",
            "keeping",
            "use",
        ):
            section = getattr(self, name)
            if section is not None:
                yield name, section

    def numbers(self) -> Iterator[tuple[str, Sourced]]:
        """Yield every number with its dotted key."""
        for name, section in self.sections():
            for item in fields(section):
                value = getattr(section, item.name)
                if value is not None:
                    yield f"{name}.{item.name}", value


@dataclass(frozen=True)
class Fact:
    """A published or remembered finding that is kept beside a crop for the reader."""

    prop: str
    condition: str
    value: str
    unit: str
    source: str
    mark: str
    note: str = ""


@dataclass(frozen=True)
class Source:
    """A work or page that numbers come from."""

    key: str
    title: str
    kind: str


def growth_columns(crops: Sequence[Crop], *, young: bool = False) -> dict[str, NDArray[Any]]:
    """Return the numbers of carbon crops as columns [C], by the names ``growth.shapes.CropArrays`` takes.

    Parameters: crops; young, whether crops cut by length are cut as baby leaf, as soon as it is long enough.
    Errors: OutOfRange if a crop is not timed by the carbon model.
    """
    other = [crop.key for crop in crops if not crop.grows_by_carbon]
    if other:
        raise OutOfRange(f"no growth numbers, because of their way of cropping: {', '.join(other)}")
    columns = {name: np.array([_number(crop, path, default) for crop in crops]) for name, path, default in _COLUMNS}
    trays = np.array([_number(crop, "raising.tray_density_per_m2", 0.0) for crop in crops])
    columns["pick_frac"] = np.where(columns["pick_frac"] > 0, columns["pick_frac"], columns["harvest_frac"])
    columns["density_per_m2"] = np.where(columns["density_per_m2"] > 0, columns["density_per_m2"], trays)
    baby, salad = (
        np.array([_number(crop, f"harvest.{name}", 0.0) for crop in crops])
        for name in ("leaves_count", "salad_leaves_count")
    )
    count = baby if young else np.where(salad > 0, salad, baby)
    columns["transplant_leaves_count"] = np.where(count > 0, count, columns["transplant_leaves_count"])
    if young:
        columns["cut_g_m2"] = np.zeros(len(crops))
    else:  # drawn leaves are longer, not more: they never bring a salad cut forward
        columns["drawn_ratio"] = np.where(salad > 0, 0.0, columns["drawn_ratio"])
    raised = np.array([crop.way == "transplant" for crop in crops], dtype=np.bool_)
    for name in ("rgr_per_d", "leaf_area_m2_g"):
        columns[name] = columns[name] * np.array([crop.own.growth_factor for crop in crops])
    columns["yield_factor"] = np.array([crop.own.yield_factor for crop in crops])
    return {**columns, "by_leaves": raised | (baby > 0)}


def _number(crop: Crop, path: str, default: float | None) -> float:
    section, item = path.split(".")
    found = getattr(getattr(crop, section), item, None)
    if isinstance(found, Sourced):
        return found.value
    if default is None:
        raise OutOfRange(f"{crop.key}: {path} is needed")
    return default


_COLUMNS: Final = (
    ("emergence_base_degc", "emergence.base_degc", None),
    ("emergence_sum_degcday", "emergence.sum_degcday", None),
    ("emergence_max_degc", "emergence.max_degc", None),
    ("temp_min_degc", "growth.temp_min_degc", None),
    ("temp_opt_degc", "growth.temp_opt_degc", None),
    ("temp_max_degc", "growth.temp_max_degc", None),
    ("leaf_rate_per_d", "growth.leaf_rate_per_d", None),
    ("rgr_per_d", "growth.rgr_per_d", None),
    ("leaf_area_m2_g", "growth.leaf_area_m2_g", None),
    ("extinction_ratio", "growth.extinction_ratio", None),
    ("seedling_mg", "growth.seedling_mg", None),
    ("root_frac", "growth.root_frac", None),
    ("transplant_leaves_count", "growth.transplant_leaves_count", None),
    ("density_per_m2", "harvest.density_per_m2", 0.0),
    ("dry_matter_frac", "harvest.dry_matter_frac", 1.0),
    ("harvest_frac", "harvest.harvest_frac", 0.0),
    ("target_g", "harvest.target_g", 0.0),
    ("regrow_frac", "harvest.regrow_frac", 0.0),
    ("drawn_ratio", "harvest.drawn_ratio", 0.0),
    ("standing_g_m2", "harvest.standing_g_m2", 0.0),
    ("pick_g_m2", "harvest.pick_g_m2", 0.0),
    ("pick_frac", "harvest.pick_frac", 0.0),
    ("cut_g_m2", "harvest.cut_g_m2", 0.0),
    ("cuts_most_count", "harvest.cuts_most_count", 0.0),
)


@dataclass(frozen=True)
class Honesty:
    """How well founded a set of numbers is: how many there are by mark, and the share that is judgement."""

    count_by_mark: Annotated[dict[Mark, Count], About(name="by_mark")]

    @property
    def count(self) -> Annotated[Count, About()]:
        """How many numbers there are."""
        return sum(self.count_by_mark.values())

    @property
    def judgement_share(self) -> Annotated[Share, About()]:
        """Share of numbers that rest on judgement alone, 0-1."""
        return self.count_by_mark.get("judgement", 0) / self.count if self.count else 0.0


def honesty(crops: Sequence[Crop], facts: Sequence[Fact] = ()) -> Honesty:
    """Count the numbers of crops, and of findings kept beside them, by mark."""
    marks = [number.mark for crop in crops for _, number in crop.numbers()] + [fact.mark for fact in facts]
    return Honesty({mark: marks.count(mark) for mark in MARKS})
