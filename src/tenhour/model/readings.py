"""Readings of light and warmth as taken, and what was made of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Annotated, Final, Literal

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import OutOfRange
from tenhour.model.fields import HIDDEN, About, Count, Flux, Light, Month, Prose, Ratio, Share, Temp, TempDifference
from tenhour.model.results import Answer

if TYPE_CHECKING:
    import pandas as pd

Array = NDArray[np.float64]
Texts = NDArray[np.str_]

OUTSIDE: Final = "outside"
"""Place of a reading in the open."""


def _same_length(what: str, time: pd.DatetimeIndex, *columns: NDArray[np.generic]) -> None:
    if time.tz is None:
        raise OutOfRange(f"{what}: the times carry no zone")
    for column in columns:
        if len(column) != len(time):
            raise OutOfRange(f"{what}: {len(column)} values for {len(time)} times")


@dataclass(frozen=True)
class LightReadings:
    """Light readings, one an entry, in the order of the file; arrays of n.

    place: a bed's name, "outside", or "" with a point; point_m [n, 2]: where in the house (NaN if not said);
    value: as read, in ``unit`` (lux, ppfd [µmol m⁻² s⁻¹], w_m2); light: key of its spectrum; row: line of the file.
    """

    time: pd.DatetimeIndex
    place: Texts
    point_m: Array
    value: Array
    unit: Texts
    light: Texts
    row: NDArray[np.int64]

    def __post_init__(self) -> None:
        _same_length("light readings", self.time, self.place, self.point_m, self.value, self.unit, self.light, self.row)

    def __len__(self) -> int:
        """Return how many readings there are."""
        return len(self.time)


Part = Literal["at", "min", "max", "day", "night"]


@dataclass(frozen=True)
class TempReadings:
    """Temperature readings, arrays of n; part: "at" a time, or the day's min, max, day or night mean."""

    time: pd.DatetimeIndex
    place: Texts
    temp_degc: Array
    part: Texts
    row: NDArray[np.int64]

    def __post_init__(self) -> None:
        _same_length("temperature readings", self.time, self.place, self.temp_degc, self.part, self.row)

    def __len__(self) -> int:
        """Return how many readings there are."""
        return len(self.time)


@dataclass(frozen=True)
class Readings:
    """Everything one file holds; notes say what was taken for granted in reading it."""

    file: str
    light: LightReadings | None
    temperature: TempReadings | None
    notes: tuple[str, ...] = ()
    regular: bool = False
    """Whether a logger took them at even steps."""
    offset_h: float | None = None
    """What was added to UTC to read the first stamp that names no zone; None where all do."""


@dataclass(frozen=True)
class DayOfLight:
    """One day of readings at one place, added up."""

    on: Annotated[date, About(name="date", heading="day")]
    place: str
    dli_mol_m2_d: Annotated[Light, About(name="read_dli_mol_m2_d", heading="read mol", digits=2, shown=2, nan=True)]
    """What was read, gaps left out."""
    whole_dli_mol_m2_d: Annotated[Light | None, About(name="dli_mol_m2_d", heading="whole day mol", digits=2, shown=2)]
    """Estimate for the whole day by its own light outside the gaps; None where too little was read."""
    covered_share: Annotated[Share, About(heading="of the day", digits=2)]
    """Share of the day's light under an even sky that falls into the hours read."""
    gaps: Annotated[tuple[Prose, ...], About(wrap=True)] = ()


@dataclass(frozen=True)
class BedFactor:
    """The house's own factor of one bed, or why there is none."""

    bed: str
    pairs_count: Annotated[Count, About(name="pairs", column="pairs_count", heading="pairs")]
    used_count: Annotated[Count, About(name="used", column="used_count", heading="used")]
    days_count: Annotated[Count, About(name="days", column="days_count", heading="days")]
    factor: Annotated[Ratio | None, About(name="factor_ratio", shown=2)]
    low: Annotated[Ratio | None, About(name="low_ratio", shown=2)]
    high: Annotated[Ratio | None, About(name="high_ratio", shown=2)]
    assumed_factor: Annotated[Ratio | None, About(name="assumed_ratio")]
    """Dirt and frame as the house file has them: what the factor replaces."""
    refused: Annotated[Prose, About(empty_null=True)] = ""
    """Why no factor is given."""
    next_reading: Annotated[Prose, About(empty_null=True)] = ""
    """The reading that would help most."""
    remarks: tuple[Prose, ...] = ()
    cover_ratio: Ratio | None = None
    """Light the cover lets through over what the house file has; none without a factor, or where panes differ in it."""
    sky_ratio: Ratio | None = None
    """Light read in the open over the usual of the same hours; none where too little was read."""
    told: Annotated[Prose, About(empty_null=True)] = ""
    """Whether cover or sky is to blame for a dark bed."""


@dataclass(frozen=True)
class SpotMonth:
    """Air of one place in one month, as measured; None where nothing was read."""

    month: Month
    place: str
    day_degc: Annotated[Temp | None, About(heading="day", shown=1)]
    night_degc: Annotated[Temp | None, About(heading="night", shown=1)]
    coldest_degc: Annotated[Temp | None, About(heading="coldest", shown=1)]
    days_count: Annotated[Count, About(name="days", column="days_count", heading="days")]


@dataclass(frozen=True)
class Spot:
    """How one place differs from the median of all places indoors, day and night [K], and what that means."""

    place: str
    day_k: Annotated[TempDifference, About(heading="by day", nan=True)]
    night_k: Annotated[TempDifference, About(heading="at night", nan=True)]
    error_k: Annotated[TempDifference, About(heading="error", nan=True)]
    days_count: Annotated[Count, About(name="days", column="days_count", heading="days")]
    verdict: Prose
    suits: Annotated[tuple[str, ...], About(heading="suits best", wrap=True)] = ()


@dataclass(frozen=True)
class Change:
    """Values for one table of the house file; a bed by its place in the list."""

    table: Literal["calibration", "air", "bed", "heat"]
    values: Mapping[str, object]
    bed_index: int | None = None
    remark: str = ""


@dataclass(frozen=True)
class Hang:
    """Where a thermostat follows the coldest place best."""

    coldest: str
    place: str | None
    """None where the nights cannot tell."""
    set_degc: Temp | None
    """What to set it to there so that the coldest place keeps what the house is held at."""
    error_k: TempDifference | None
    backup_on: tuple[date, ...]
    """Days on which a heater on it would have come on."""
    told: Prose


@dataclass(frozen=True)
class HeatFit:
    """What the lows of some nights say of the heat a house loses, over what was reckoned."""

    nights_count: Annotated[Count, About(name="nights", column="nights_count")]
    loss_factor: Annotated[float | None, About(digits=2, least=0)]
    """Whole loss, draughts included; none where a heater held the house."""
    low: Annotated[float | None, About(digits=2, least=0)]
    high: Annotated[float | None, About(digits=2, least=0)]
    """Nine times in ten."""
    leak_per_h: Annotated[float | None, About(name="leak_ach", column="leak_ach", digits=2, least=0)]
    """Air changes an hour in still air; none where the nights do not tell them from the rest."""
    leak_low_per_h: Annotated[float | None, About(name="leak_low_ach", column="leak_low_ach", digits=2, least=0)]
    leak_high_per_h: Annotated[float | None, About(name="leak_high_ach", column="leak_high_ach", digits=2, least=0)]
    told: Prose
    """What the nights can tell, and what not."""


@dataclass(frozen=True)
class Proposal:
    """Changes to the house file, as lines to read and as values to write, and where they were written."""

    changes: Annotated[tuple[Change, ...], HIDDEN]
    lines: tuple[str, ...]
    kept_in: Annotated[str, About(empty_null=True)] = ""


@dataclass(frozen=True)
class LampSpot:
    """Light readings under lamps alone at one place."""

    place: str
    light: str
    ppfd_umol_m2_s: Flux
    low_umol_m2_s: Annotated[Flux, About(name="low_ppfd_umol_m2_s")]
    high_umol_m2_s: Annotated[Flux, About(name="high_ppfd_umol_m2_s")]
    min_mean_frac: Annotated[Share, About(digits=2, nan=True)]
    readings_count: Annotated[Count, About(name="readings", column="readings_count")]


@dataclass(frozen=True)
class ReadAnswer(Answer):
    """Answer of ``tenhour read``."""

    COMMAND = "read"

    file: str
    readings_count: Annotated[Count, About(name="readings", column="readings_count")]
    first: date
    last: date
    beds: tuple[BedFactor, ...] = ()
    days: tuple[DayOfLight, ...] = ()
    lamps: tuple[LampSpot, ...] = ()
    months: tuple[SpotMonth, ...] = ()
    spots: tuple[Spot, ...] = ()
    heat: HeatFit | None = None
    hang: Hang | None = None
    thermostat: Prose = ""
    """Where a sensor sees a typical temperature."""
    proposal: Proposal | None = None
