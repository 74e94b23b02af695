"""Kinds of light as a meter and a seedling see them, and how far meters may be off."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from tenhour.errors import OutOfRange
from tenhour.model.checks import check_between

LightUnit = Literal["lux", "ppfd", "w_m2"]


@dataclass(frozen=True)
class Known:
    """A number with its range and where it comes from."""

    value: float
    low: float
    high: float
    source: str
    mark: str

    def __post_init__(self) -> None:
        check_between("value", self.value, self.low, self.high)
        if not self.source:
            raise OutOfRange("source: a number needs one")


@dataclass(frozen=True)
class Spectrum:
    """One kind of light; None where a lux meter says nothing about it, or where no source is at hand."""

    key: str
    title: str
    lux_umol: Known | None
    """Lux per µmol m⁻² s⁻¹."""
    blue: Known
    """Share of PAR photons below 500 nm."""
    red_far_red: Known | None
    """Photons at 660 nm over those at 730 nm."""


@dataclass(frozen=True)
class Meter:
    """Errors of one kind of meter, standard deviations of the natural logarithm of a reading."""

    unit: LightUnit
    own: Known
    shared: Known
