"""What ``--json`` prints for the commands about houses, crops, files, readings and seedlings; see ``json_shapes``."""

from __future__ import annotations

from typing import Annotated, Literal

from json_shapes import CLOSED, Clock, Common, Count, Day, Hours, Light, Mark, Month, Ratio, Score, Share
from pydantic import Field
from typing_extensions import TypedDict


class CheckSite(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    timezone: str
    place: str
    snow_months: list[Month]
    ground_reflectance_frac: Annotated[list[Share], Field(min_length=12, max_length=12)]
    climate: Literal["normals", "file", "means"]
    weather_path: str


class CheckFace(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    name: str
    cover: str
    area_m2: Light
    glazed_m2: Light
    looks_deg: float | None


class CheckBed(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    name: str
    at_m: list[float]
    size_m: list[float]
    height_m: float
    canopy_m: float
    area_m2: Light


class CheckJson(Common):
    name: str
    site: CheckSite
    shape: str
    dimensions: dict[str, float]
    length_azimuth_deg: float
    faces: list[CheckFace]
    glazed_m2: Light
    skin_m2: Light
    beds: list[CheckBed]


class Honesty(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    count: Count
    by_mark: dict[Mark, Count]
    judgement_share: Share


class CropShort(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    crop: str
    name: str
    latin: str
    also: list[str]
    way: str
    dli_min_mol_m2_d: Light | None
    dli_target_mol_m2_d: Light | None
    best_mean_degc: float | None
    kill_degc: float | None
    chill_degc: float | None
    judgement_share: Share


class CropsJson(Common):
    crops: list[CropShort]
    numbers: Honesty
    findings: Honesty


class CropValue(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    key: str
    value: float
    low: float
    high: float
    unit: str
    source: str
    mark: Mark
    where: str


class CropJson(Common, CropShort):
    file: str
    values: list[CropValue]
    findings: list[dict[str, object]]
    sources: dict[str, str]
    numbers: Honesty


class WeatherSite(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    latitude_deg: float | None
    longitude_deg: float | None
    elevation_m: float | None


class Gaps(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    missing_share: Share
    filled_count: Count
    lost_days_count: Count
    temp_missing_share: Share


class WeatherCheck(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    name: str
    finding: Literal["passed", "note", "refused"]
    sentence: str


class WeatherMonth(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    month: Month
    ghi_w_m2: Light | None
    dli_mol_m2_d: Light | None
    temp_degc: float | None
    whole_days_count: Count
    lost_days_count: Count


class WeatherJson(Common):
    file: str
    named_in: str | None
    format: str
    source: str
    site: WeatherSite
    period: str
    typical: bool
    years_count: Count
    step_h: Hours
    utc_offset_h: float
    gaps: Gaps
    checks: list[WeatherCheck]
    months: list[WeatherMonth]


class ReadBed(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    bed: str
    pairs: Count
    used: Count
    days: Count
    factor_ratio: Ratio | None
    low_ratio: Ratio | None
    high_ratio: Ratio | None
    assumed_ratio: Ratio | None
    refused: str | None
    next_reading: str | None
    remarks: list[str]


class ReadDay(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    date: Day
    place: str
    read_dli_mol_m2_d: Light | None
    dli_mol_m2_d: Light | None
    covered_share: Share
    gaps: list[str]


class ReadLamp(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    place: str
    light: str
    ppfd_umol_m2_s: Light
    low_ppfd_umol_m2_s: Light
    high_ppfd_umol_m2_s: Light
    min_mean_frac: Share | None
    readings: Count


class ReadMonth(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    month: Month
    place: str
    day_degc: float | None
    night_degc: float | None
    coldest_degc: float | None
    days: Count


class Spot(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    place: str
    day_k: float | None
    night_k: float | None
    error_k: float | None
    days: Count
    verdict: str
    suits: list[str]


class Proposal(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    lines: list[str]
    kept_in: str | None


class ReadJson(Common):
    file: str
    readings: Count
    first: Day
    last: Day
    beds: list[ReadBed]
    days: list[ReadDay]
    lamps: list[ReadLamp]
    months: list[ReadMonth]
    spots: list[Spot]
    thermostat: str
    proposal: Proposal | None


class LogStand(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    crop: str
    bed: str | None
    sown: Day
    plants_per_m2: Light | None
    fresh_g: Light | None


class LogEntry(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    date: Day
    what: Literal["sown", "set-out", "harvested", "cleared"]
    crop: str
    bed: str | None
    plants_per_m2: Light | None
    fresh_g: Light | None
    note: str | None


class LogJson(Common):
    standing: list[LogStand]
    lines: list[LogEntry]


class Cause(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    cause: str
    share_frac: Share
    model_share_frac: Share
    check: str


class Remedy(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    remedy: str
    key: str
    score: Score | None
    detail: str
    leaves: Light | None


class Match(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    score: Score
    day_degc: float | None
    night_degc: float | None
    reachable: bool


class WhyJson(Common):
    crop: str
    name: str
    bed: str | None
    sown: Day
    seen: Day
    emerged: Day | None
    stage: str
    expected_stage: str
    leaves: Light | None
    expected_leaves: Light | None
    score: Score | None
    low_score: Score | None
    high_score: Score | None
    word: str
    needs_dli_mol_m2_d: Light | None
    sturdy_dli_mol_m2_d: Light | None
    had: dict[str, float | None] | None
    causes: list[Cause]
    remedies: list[Remedy]
    matches: list[Match]
    conflicts: list[str]
    standing: list[str]
    sentence: str


class LampWindow(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    on: Clock
    off: Clock


class LampMonth(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    month: Month
    on: Clock | None
    off: Clock | None
    windows: list[LampWindow]
    lamp_h: Hours
    lit_h: Hours
    photoperiod_h: Hours
    days: Count
    energy_kwh: Light
    cost: float | None


class LampLayout(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    lamp: str
    length_m: Light
    width_m: Light
    fixture_w: Light
    fixture_ppf_umol_s: Light
    fixtures_each: Count
    columns: Count
    rows: Count
    along: Literal["the length", "the width"]
    x_m: list[float]
    y_m: list[float]
    height_m: Light
    cu_ratio: Ratio
    maintenance_frac: Share
    delivered_ppfd_umol_m2_s: Light
    min_mean_frac: Share
    variation_ratio: Ratio
    bounced_share: Share
    shade_frac: Share
    even_enough: bool
    evenness_wanted_frac: Share


class LampHeight(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    height_m: Light
    ppfd_umol_m2_s: Light
    min_mean_frac: Share
    cu_frac: Share
    chosen: bool


class LampDay(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    kind: Literal["dull", "mean", "bright"]
    daylight_dli_mol_m2_d: Light
    lamp_dli_mol_m2_d: Light
    total_dli_mol_m2_d: Light
    half_lamp_dli_mol_m2_d: Light


class LampCircuit(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    mains_v: Light
    breaker_a: Light
    lamps_a: Light
    others_a: Light
    total_a: Light
    allowed_a: Light
    overloaded: bool
    smallest_breaker_a: Light | None
    circuits: Count


class LampClockChange(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    on: Day
    shift_h: float


class LampRemedy(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    change: str
    min_mean_frac: Share | None
    ppfd_ratio: Ratio | None
    reaches: bool


class LampSensor(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    on_below_umol_m2_s: Light
    off_above_umol_m2_s: Light | None


class LampMap(TypedDict):
    __pydantic_config__ = CLOSED  # type: ignore[misc]
    x_m: list[float]
    y_m: list[float]
    dli_mol_m2_d: list[list[Light]]
    lamp_ppfd_umol_m2_s: list[list[Light]]


class LampsJson(Common):
    bed: str
    crops: list[str]
    sentence: str
    area_m2: Light
    tiers: Count
    target_dli_mol_m2_d: Light
    daylight_dli_mol_m2_d: Light
    missing_dli_mol_m2_d: Light
    size_month: Month
    ppfd_umol_m2_s: Light
    hours_h: Hours
    ppf_umol_s: Light
    fixtures: Count
    height_m: Light | None
    min_mean_frac: Share | None
    power_w: Light
    circuit_a: Light
    energy_day_kwh: Light
    energy_season_kwh: Light
    cost_season: float | None
    currency: str | None
    clock: Annotated[list[LampMonth], Field(min_length=12, max_length=12)]
    on_from: Day | None
    off_from: Day | None
    half_enough_from: Day | None
    layout: LampLayout | None
    heights: list[LampHeight]
    days: list[LampDay]
    circuit: LampCircuit
    clock_changes: list[LampClockChange]
    remedies: list[LampRemedy]
    conflicts: list[str]
    photons_mol_kwh: Light | None
    growth_g_kwh: Light | None
    heat_w: Light
    warming_k: float | None
    sensor: LampSensor | None
    after_bright_day_dli_mol_m2_d: Light | None
    dim_frac: Share | None
    map: LampMap | None
