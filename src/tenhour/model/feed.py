"""The household's plan: what to sow where and when, what is on the table each week, and how good it is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated, ClassVar

from tenhour.model.fields import HIDDEN, About, Area, Count, Energy, Money, Number, Prose, Seed, Share
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


@dataclass(frozen=True)
class FeedShelf:
    """Trays of one crop on one bed."""

    crop: str
    name: str
    bed: str
    trays_count: Count
    """All that are sown."""
    most_count: Count
    """Most that lie there at once."""
    first: Annotated[date, About(name="from")]
    last: Annotated[date, About(name="to")]


@dataclass(frozen=True)
class FeedLamps:
    """Lamps the plan burns."""

    bed: str
    count: Count
    hours_h_week: Annotated[Number, About(digits=0)]
    energy_kwh: Annotated[Energy, About(name="kwh")]
    cost_currency: Annotated[Money, About(name="cost")]


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
    """No plan costs less: proven. Cost counts missing portions, money, work, kinds of crop and weeks with sowing."""
    cost_currency: Annotated[Money, About(name="cost")]
    gap_frac: Share
    seconds_s: Annotated[Number, About(digits=1)]
    solver: str
    stopped: bool
    """Whether the search ended by time or by hand."""


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
    currency: str = ""
    us_units: Annotated[bool, HIDDEN] = False
