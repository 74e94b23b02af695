"""What ``--json`` prints, command by command. ``build_schemas.py`` turns these shapes into docs/schema.

Names of numbers end in their unit; shares and fractions are bounded here, dates and months have their form.
"""

from __future__ import annotations

from typing import Annotated, Literal, NotRequired

from pydantic import ConfigDict, Field, WithJsonSchema
from typing_extensions import TypedDict

from tenhour.model.results import Verdict
from tenhour.model.season import SowState, SpanKind

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


class Span(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    kind: SpanKind
    first: Day
    last: Day
    note: str


class SeasonCrop(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    crop: str
    name: str
    way: str
    sentence: str
    sow_by: Day | None
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
    full_frac: list[Ratio]
    crops: list[SeasonCrop]


class Task(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    date: Day
    bed: str
    crop: str
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
    note: str


class SeasonJson(Common):
    start: Day
    ten_hour: TenHour
    last_frost: Day | None
    calibration: str
    beds: list[SeasonBed]
    tasks: list[Task]
    successions: list[Succession]
