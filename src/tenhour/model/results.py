"""Answers: plain frozen data that the commands print, chart and write as JSON."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

Verdict = Literal["not-here", "too-cold", "set-out-grown", "cut-young", "needs-lamps", "wait", "slow", "sow"]


@dataclass(frozen=True)
class Basis:
    """What every answer states beside itself."""

    inputs: dict[str, object]
    assumptions: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class OutdoorMonth:
    """Outdoor light of one month, horizontal and unobstructed; day lengths and noon height are for the 15th."""

    month: int
    daylength_h: float
    photoperiod_h: float
    noon_height_deg: float
    dli_mol_m2_d: float
    dull_dli_mol_m2_d: float
    bright_dli_mol_m2_d: float
    gloomy_week_dli_mol_m2_d: float
    spread_frac: float
    """Error of the normal itself (mean absolute error over places), not the spread from day to day."""
    spread_p90_frac: float
    ghi_w_m2: float
    temp_degc: float


@dataclass(frozen=True)
class BedMonth:
    """Light on one bed in one month: mean over the bed, and its dimmest and brightest point."""

    month: int
    dli_mol_m2_d: float
    dull_dli_mol_m2_d: float
    bright_dli_mol_m2_d: float
    gloomy_week_dli_mol_m2_d: float
    min_dli_mol_m2_d: float
    max_dli_mol_m2_d: float
    ratio: float
    beam_frac: float
    sky_frac: float
    bounced_frac: float


@dataclass(frozen=True)
class BedLight:
    """One bed's light through the year."""

    name: str
    overcast_ratio: float
    months: tuple[BedMonth, ...]


@dataclass(frozen=True)
class BedMap:
    """Light over the grid of one bed; rows run from the front of the bed to its back."""

    bed: str
    when: str
    x_m: tuple[float, ...]
    y_m: tuple[float, ...]
    dli_mol_m2_d: tuple[tuple[float, ...], ...]


@dataclass(frozen=True)
class Gain:
    """One cheap change and what it adds on each bed over the dark months."""

    change: str
    bed: str
    gain_dli_mol_m2_d: float
    gain_frac: float
    note: str = ""


@dataclass(frozen=True)
class DayLight:
    """Light of one date."""

    on: date
    daylength_h: float
    photoperiod_h: float
    noon_height_deg: float
    outdoor_dli_mol_m2_d: float
    outdoor_dull_dli_mol_m2_d: float
    beds_dli_mol_m2_d: dict[str, float]
    beds_dull_dli_mol_m2_d: dict[str, float]


@dataclass(frozen=True)
class LightAnswer:
    """Answer of ``tenhour light``."""

    basis: Basis
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    place: str
    before_dark: date | None
    after_dark: date | None
    months: tuple[OutdoorMonth, ...]
    beds: tuple[BedLight, ...]
    source: str
    """Where the outdoor light comes from, in words."""
    calibration: str = ""
    day: DayLight | None = None
    map: BedMap | None = None
    gains: tuple[Gain, ...] = ()
    us_units: bool = False


@dataclass(frozen=True)
class Raising:
    """What raising in the nursery and setting out would do for a sowing; None means never."""

    nursery: str
    set_out: date
    harvest_from: date | None
    harvest_to: date | None
    sooner_d: int | None
    """Days by which the median harvest comes sooner than from a sowing on the bed; None where that never comes in."""
    stretch_score: float | None
    sentence: str = ""


@dataclass(frozen=True)
class CropVerdict:
    """What to do with one crop on one bed at one date; None means never or not applicable."""

    crop: str
    name: str
    verdict: Verdict
    sentence: str
    harvest_from: date | None = None
    harvest_to: date | None = None
    days_low: int | None = None
    days_median: int | None = None
    days_high: int | None = None
    dli_mol_m2_d: float | None = None
    needs_dli_mol_m2_d: float | None = None
    missing_dli_mol_m2_d: float | None = None
    stretch_score: float | None = None
    pays_from: date | None = None
    sow_by: date | None = None
    yield_kg_m2: float | None = None
    yield_g_m2_d: float | None = None
    """Yield per day of bed held, the figure crops are ranked by."""
    flags: tuple[str, ...] = ()
    rank_score: float = 0.0
    raising: Raising | None = None
    """Raising it elsewhere first, where that gains a week or more."""


@dataclass(frozen=True)
class BedSowing:
    """All crops on one bed, best first."""

    name: str
    crops: tuple[CropVerdict, ...]
    standing: tuple[str, ...] = ()
    """What the log says stands there."""


@dataclass(frozen=True)
class SowAnswer:
    """Answer of ``tenhour sow``."""

    basis: Basis
    on: date
    beds: tuple[BedSowing, ...]
    before_dark: date | None = None
    after_dark: date | None = None
    calibration: str = ""
    us_units: bool = False
