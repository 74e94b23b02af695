"""The household's plan: what to sow where and when, what is on the table each week, and how good it is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated, ClassVar, Literal

from tenhour.model.fields import HIDDEN, About, Area, Count, Energy, Money, Number, Power, Prose, Seed, Share
from tenhour.model.results import Answer


@dataclass(frozen=True)
class FeedWish:
    """One kind of food in one week."""

    wish: str
    wanted_count: Annotated[Number, About(heading="wanted", digits=1)]
    """Portions."""
    there_count: Annotated[Number, About(heading="there", digits=1)]
    """Portions that the plan puts on the table."""
    short_frac: Annotated[Share, About(heading="short in")]
    """Share of seasons in which a fifth or more of it is missing."""


@dataclass(frozen=True)
class FeedEaten:
    """What is picked for the table in one week."""

    crop: str
    bed: str
    """All beds it is picked from."""
    grams_g: Annotated[Number, About(digits=0)]
    portions_count: Annotated[Number, About(digits=1)]


@dataclass(frozen=True)
class FeedWeek:
    """One week of the plan, from its Monday."""

    start: date
    wishes: tuple[FeedWish, ...]
    eat: tuple[FeedEaten, ...]
    work_min: Annotated[Number, About(digits=0)]


@dataclass(frozen=True)
class FeedCleared:
    """Part of a sowing, taken and cleared together."""

    area_m2: Area
    clear_by: date


@dataclass(frozen=True)
class FeedSowing:
    """One sowing of the plan."""

    sow: date
    raised: Annotated[bool, About(name="raise")]
    """Whether it is sown in the nursery and set out."""
    set_out: date | None
    """When it leaves the nursery; null where it is sown in place."""
    bed: str
    crop: str
    name: str
    area_m2: Area
    trays_count: Count
    plants_count: Count | None
    seed_g: Seed | None
    harvest_from: date
    harvest_to: date
    clear_by: date
    cleared: tuple[FeedCleared, ...]
    """When which part of it leaves the bed; a stand is often eaten over some weeks."""
    work_min: Annotated[Number, About(digits=0)]
    """Its own work; harvests are in the weeks."""
    moved: bool = False
    """Whether it is raised outdoors or in pots, and dug and moved in on the day it is set out."""

    @property
    def known_by(self) -> date:
        """The day that with crop and bed names it: of sowing, or of moving in, as one row may be moved in parts."""
        return self.set_out if self.moved and self.set_out is not None else self.sow


@dataclass(frozen=True)
class FeedShelf:
    """Trays of one crop on one bed."""

    crop: str
    name: str
    bed: str
    trays_count: Number
    """All that are sown; quarters where only animals get them."""
    most_count: Number
    """Most that lie there at once."""
    first: Annotated[date, About(name="from")]
    last: Annotated[date, About(name="to")]


@dataclass(frozen=True)
class FeedTray:
    """Trays of one crop sown together."""

    sow: date
    bed: str
    crop: str
    name: str
    trays_count: Number
    """Whole trays; quarters where only animals get them."""
    area_m2: Area
    seed_g: Seed | None
    """Of all of them."""
    cut_from: date
    cut_to: date
    serves: Annotated[str, About(name="for")]
    """Wishes it serves."""


@dataclass(frozen=True)
class FeedStand:
    """What stands already and what the plan makes of it."""

    crop: str
    name: str
    bed: str
    sown: date
    area_m2: Area
    harvest_from: date | None
    harvest_to: date | None
    clear_by: date | None
    text: Prose


Doing = Literal["buy", "sow", "raise", "set-out", "outdoors", "move-in", "trays", "pick", "clear"]


@dataclass(frozen=True)
class FeedJob:
    """One thing to do on one day."""

    on: date
    do: Doing
    crop: str
    bed: Annotated[str, About(empty_null=True)]
    sow: date
    """Of the sowing it belongs to: with bed and crop it names the job, also in the calendar."""
    text: Prose
    work_min: Annotated[Number, About(digits=0)]


@dataclass(frozen=True)
class FeedChange:
    """How a plan differs from the one that was kept."""

    change: Literal["new", "dropped", "resized", "missed"]
    crop: str
    bed: str
    sow: date
    text: Prose


@dataclass(frozen=True)
class FeedLamps:
    """Lamps the plan burns."""

    bed: str
    count: Count
    hours_h_week: Annotated[Number, About(digits=0)]
    energy_kwh: Annotated[Energy, About(name="kwh")]
    cost_currency: Annotated[Money, About(name="cost")]
    """To buy and to burn, less the heating that their current takes the place of."""
    first: Annotated[date, About(name="from")]
    last: Annotated[date, About(name="to")]
    power_w: Power
    """All of them at full power; the energy is that of lamps dimmed as they are run."""
    heat_replaced_frac: Share = 0.0
    """Share of that energy that heating need not give."""


@dataclass(frozen=True)
class FeedBuy:
    """Something besides seed and lamps that the plan buys."""

    kind: Literal["cover", "tray"]
    bed: Annotated[str, About(empty_null=True)]
    """Of a cover."""
    count: Count
    """Trays; one cover."""
    cost_currency: Annotated[Money, About(name="cost")]
    text: Prose


@dataclass(frozen=True)
class FeedSeed:
    """Seed to buy for the whole plan."""

    crop: str
    name: str
    seeds_count: Count | None
    seed_g: Seed | None


@dataclass(frozen=True)
class FeedMissing:
    """Portions that the plan leaves missing in one week."""

    start: date
    wish: str
    missing_count: Annotated[Number, About(digits=1)]
    wanted_count: Annotated[Number, About(digits=1)]


@dataclass(frozen=True)
class FeedRemedy:
    """One change tried: what would still be missing at least."""

    kind: str
    text: Prose
    missing_after_count: Annotated[Number, About(digits=1)]
    """Weighted portions that any plan would still leave missing."""
    cost_currency: Annotated[Money | None, About(name="cost")]


@dataclass(frozen=True)
class FeedSurety:
    """How one wish fares in seasons the plan has not seen."""

    wish: str
    served_frac: Share
    short_frac: Share
    """Weeks and seasons in which a fifth or more is missing."""
    worst_week: date | None
    worst_short_frac: Share


@dataclass(frozen=True)
class FeedProof:
    """How good the plan is known to be."""

    missing_least_count: Annotated[Number, About(digits=2)]
    """Weighted portions that any plan must leave missing: proven."""
    missing_count: Annotated[Number, About(digits=2)]
    """Weighted portions that this plan leaves missing."""
    bound_currency: Annotated[Money, About(name="bound")]
    """No plan costs less: proven. Cost counts missing portions, money and work."""
    cost_currency: Annotated[Money, About(name="cost")]
    gap_frac: Share
    seconds_s: Annotated[Number, About(digits=1)]
    solver: str
    stopped: bool
    """Whether the search ended by time or by hand."""
    season_frac: Share = 0.75
    """Share of seasons the plan was made for: the surety asked, or more where other seasons served a wish less."""
    mark: Annotated[str, About(empty_null=True)] = ""
    """Mark of the question that the bound answers; the same question has the same bound."""
    missing_whole_count: Annotated[Number, About(digits=2)] = 0.0
    """The same as the least, for whole trays and sowings worth a line: what was proven of it in the time."""


@dataclass(frozen=True)
class FeedAnswer(Answer):
    """The plan of a household."""

    COMMAND: ClassVar[str] = "feed"

    people_count: Count
    first: Annotated[date, About(name="from")]
    last: Annotated[date, About(name="to")]
    weeks: tuple[FeedWeek, ...]
    sowings: tuple[FeedSowing, ...]
    shelf: tuple[FeedShelf, ...]
    lamps: tuple[FeedLamps, ...]
    seeds: tuple[FeedSeed, ...]
    missing: tuple[FeedMissing, ...]
    remedies: tuple[FeedRemedy, ...]
    surety: tuple[FeedSurety, ...]
    proof: FeedProof
    money_currency: Annotated[Money, About(name="money")]
    work_h_week: Annotated[Number, About(digits=1)]
    shop_currency: Annotated[Money | None, About(name="shop")] = None
    """What its greens would cost at the price of a kilo that the house file names; null where it names none."""
    surety_frac: Share = 0.75
    """Share of seasons in which each sowing is to be in time."""
    caution_currency: Annotated[Money | None, About(name="caution")] = None
    """What the surety costs at least, beside planning for a middling season; null where more must be missing for it."""
    caution_missing_count: Annotated[Number, About(digits=1)] = 0.0
    """Weighted portions that must be missing for the surety and not in a middling season."""
    buys: tuple[FeedBuy, ...] = ()
    currency: str = ""
    trays: tuple[FeedTray, ...] = ()
    stands: tuple[FeedStand, ...] = ()
    jobs: tuple[FeedJob, ...] = ()
    changes: tuple[FeedChange, ...] = ()
    """Beside the plan that was kept; empty where none was."""
    kept: Annotated[bool, About(name="kept_plan")] = False
    """Whether it goes on from a plan that was kept."""
    step_weeks: Annotated[int, HIDDEN] = 1
    """Weeks between sowings offered: what is proven is proven of those."""
    tried: Annotated[bool, HIDDEN] = True
    """Whether all that could close the miss was tried; not where it was stopped from the keyboard."""
    withdrawn: Annotated[tuple[FeedJob, ...], HIDDEN] = ()
    """Jobs that the plan that was kept gave and this one does not: a calendar that has them is to drop them."""
    us_units: Annotated[bool, HIDDEN] = False

    @property
    def names(self) -> dict[str, str]:
        """Names of the crops it speaks of, by key."""
        named = [(one.crop, one.name) for one in self.sowings]
        named += [(one.crop, one.name) for one in self.trays]
        return dict(named + [(one.crop, one.name) for one in self.stands])


@dataclass(frozen=True)
class KeptSowing:
    """One sowing of a plan that was kept."""

    crop: str
    bed: str
    sow: date
    raised: bool
    units_count: float
    """Square metres, or trays."""
    tray: bool
    clear_by: date
    moved_in: date | None = None
    """When it is moved in, where it is raised outdoors; it is sown there."""


@dataclass(frozen=True)
class KeptPlan:
    """A plan that was made before, as it is kept in a file."""

    sowings: tuple[KeptSowing, ...]
    missing: tuple[tuple[date, str, float], ...]
    """Week, wish and portions that it was to leave missing."""
    surety_frac: float = 0.75
    season_frac: float = 0.75
    """Share of seasons it was made for."""
    mark: str = ""
    bound_currency: float = float("-inf")
    """Proven for the question of that mark."""
    whole_weight: float = 0.0
    """Weighted portions that must be missing with whole sowings: proven for it."""
    jobs: tuple[FeedJob, ...] = ()
    """What it gave to do; their texts are left out."""
