"""What ``--json`` prints, command by command. ``build_schemas.py`` turns these shapes into docs/schema.

Names of numbers end in their unit; shares and fractions are bounded here, dates and months have their form.
"""

from __future__ import annotations

from typing import Annotated, Literal, NotRequired

from pydantic import ConfigDict, Field, WithJsonSchema
from typing_extensions import TypedDict

from tenhour.model.results import Verdict
from tenhour.model.season import SowFlag, SowState, SpanKind, TaskKind

Day = Annotated[str, WithJsonSchema({"type": "string", "format": "date"})]
Stamp = Annotated[str, WithJsonSchema({"type": "string", "format": "date-time"})]
Clock = Annotated[str, Field(pattern=r"^([01]\d|2[0-3]):[0-5]\d$")]
Month = Annotated[int, Field(ge=1, le=12)]
Share = Annotated[float, Field(ge=0, le=1)]
Ratio = Annotated[float, Field(ge=0)]
Light = Annotated[float, Field(ge=0)]
Hours = Annotated[float, Field(ge=0, le=24)]
Score = Annotated[float, Field(ge=0, le=100)]
Count = Annotated[int, Field(ge=0)]
Mark = Literal["read", "second-hand", "memory", "practice", "judgement", "derived"]
CLOSED = ConfigDict(extra="forbid")


class Common(TypedDict):
    """Keys of every answer."""

    __pydantic_config__ = CLOSED  # type: ignore[misc]
    tenhour: Annotated[str, Field(description="version of the program")]
    command: str
    inputs: dict[str, object]
    assumptions: list[str]
    warnings: list[str]
    cautions: list[str]


class Site(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    latitude_deg: Annotated[float, Field(ge=-90, le=90)]
    longitude_deg: Annotated[float, Field(ge=-180, le=180)]
    elevation_m: float
    place: str


class TenHour(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    before_dark: Day | None
    after_dark: Day | None


class Outdoor(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    dli_mol_m2_d: Light
    dull_dli_mol_m2_d: Light
    bright_dli_mol_m2_d: Light
    gloomy_week_dli_mol_m2_d: Light
    spread_frac: Share
    spread_p90_frac: Share
    ghi_w_m2: Light
    temp_degc: float


class LightMonth(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    month: Month
    daylength_h: Hours
    photoperiod_h: Hours
    noon_height_deg: Annotated[float, Field(ge=-90, le=90)]
    outdoor: Outdoor


class BedMonth(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    month: Month
    dli_mol_m2_d: Light
    dull_dli_mol_m2_d: Light
    bright_dli_mol_m2_d: Light
    gloomy_week_dli_mol_m2_d: Light
    min_dli_mol_m2_d: Light
    max_dli_mol_m2_d: Light
    ratio: Ratio
    beam_frac: Share
    sky_frac: Share
    bounced_frac: Share


class LightBed(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    name: str
    overcast_ratio: Ratio
    months: Annotated[list[BedMonth], Field(min_length=12, max_length=12)]


class DayOutdoor(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    dli_mol_m2_d: Light
    dull_dli_mol_m2_d: Light


class DayBed(DayOutdoor):
    name: str


class LightDay(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    date: Day
    daylength_h: Hours
    photoperiod_h: Hours
    noon_height_deg: float
    outdoor: DayOutdoor
    beds: list[DayBed]


class LightMap(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    bed: str
    when: str
    x_m: list[float]
    y_m: list[float]
    dli_mol_m2_d: Annotated[list[list[Light | None]], Field(description="rows from the front of the bed to its back")]


class Gain(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    change: str
    bed: str
    gain_dli_mol_m2_d: float
    gain_frac: float
    note: str


class LightJson(Common):
    site: Site
    ten_hour: TenHour
    source: str
    calibration: str
    months: Annotated[list[LightMonth], Field(min_length=12, max_length=12)]
    beds: list[LightBed]
    day: NotRequired[LightDay]
    map: NotRequired[LightMap]
    brighter: NotRequired[list[Gain]]


class SowRaising(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    nursery: str
    set_out: Day
    harvest_from: Day | None
    harvest_to: Day | None
    sooner_d: Annotated[int | None, Field(description="days sooner than sown on the bed, whose harvest may never come")]
    stretch_score: Score | None
    sentence: str


class SowCrop(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    crop: str
    name: str
    verdict: Verdict
    sentence: str
    harvest_from: Day | None
    harvest_to: Day | None
    days_low: Count | None
    days_median: Count | None
    days_high: Count | None
    dli_mol_m2_d: Light | None
    needs_dli_mol_m2_d: Light | None
    missing_dli_mol_m2_d: Light | None
    stretch_score: Score | None
    pays_from: Day | None
    sow_by: Day | None
    yield_kg_m2: Light | None
    yield_g_m2_d: Light | None
    flags: list[str]
    raising: SowRaising | None


class SowBed(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    name: str
    standing: list[str]
    crops: list[SowCrop]


class SowJson(Common):
    date: Day
    calibration: str
    beds: list[SowBed]


class SeasonWeek(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    start: Day
    dli_mol_m2_d: Light
    dull_dli_mol_m2_d: Light
    day_degc: float
    night_degc: float
    lit_h: Hours


class SowWeek(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    start: Day
    state: SowState
    days_low: Count | None
    days_median: Count | None
    days_high: Count | None
    waiting_cost_d: Annotated[float | None, Field(description="days of harvest lost by sowing a week later")]
    stretch_score: Score | None
    again_d: Annotated[int | None, Field(description="days from the first cut to the second")]
    flags: list[SowFlag]


class Span(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    kind: SpanKind
    first: Day
    last: Day
    note: str


class Route(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    nursery: str
    sow_by: Annotated[Day | None, Field(description="last sowing there that stands grown by the dark")]
    set_out_by: Day | None
    bed_free_d: Annotated[int | None, Field(description="days the bed may be taken later than for a sowing on it")]
    pays_from: Day | None
    set_out_from: Day | None
    days_low: Count | None
    days_high: Count | None
    stretch_score: Score | None
    sentence: str


class SeasonCrop(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    crop: str
    name: str
    way: str
    short: str
    sentence: str
    sow_from: Annotated[Day | None, Field(description="first sowing for winter that is not past its best by the dark")]
    sow_by_sure: Annotated[Day | None, Field(description="last sowing that stands by the dark, nine seasons of ten")]
    sow_by: Annotated[Day | None, Field(description="last sowing that stands by the dark, half of the seasons")]
    dearest: Annotated[Day | None, Field(description="week in which a week of waiting costs most")]
    dearest_cost_d: float | None
    kept_low_count: Annotated[Count | None, Field(description="trays to keep going for one a week, least")]
    kept_high_count: Count | None
    seed_g_m2: Light | None
    flags: list[str]
    route: Route | None
    pays_from: Day | None
    hold_from: Day | None
    hold_to: Day | None
    plants_per_meal_count: Light | None
    picking_g_m2_week: list[Light | None]
    weeks: list[SowWeek]
    spans: list[Span]


class SeasonBed(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    name: str
    area_m2: Light
    weeks: list[SeasonWeek]
    full_frac: list[Share]
    wished_ratio: Annotated[list[Ratio], Field(description="what the wishes would take; above 1 they were cut down")]
    crops: list[SeasonCrop]


class Task(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    date: Day
    bed: str
    crop: Annotated[str, Field(description="keys, joined by commas")]
    kind: TaskKind
    text: str


class Succession(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    bed: str
    crop: str
    sow: Day
    harvest_from: Day
    harvest_to: Day
    area_m2: Light
    seed_g: Light | None
    plants_count: Count | None
    meals_count: Light | None
    share: Annotated[Share, Field(description="share of the wish that the bed has room for")]
    note: str


class SeedNeed(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    crop: str
    name: str
    area_m2: Light
    seed_g: Light | None
    plants_count: Count | None


class GardenPlants(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    crop: str
    name: str
    place: str
    sow: Day | None
    set_out: Day
    days: Count | None
    stretch_score: Score | None
    sentence: str


class SeasonJson(Common):
    start: Day
    ten_hour: TenHour
    last_frost: Day | None
    calibration: str
    beds: list[SeasonBed]
    tasks: list[Task]
    successions: list[Succession]
    seeds: list[SeedNeed]
    garden: list[GardenPlants]
