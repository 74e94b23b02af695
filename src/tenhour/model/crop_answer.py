"""Answers of ``tenhour crops``: the crop table, and one crop with the source of each value."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Final

from tenhour.model.crop import Crop, Fact, Honesty, Mark, Source, Sourced, honesty
from tenhour.model.fields import About, Light, Share, Temp
from tenhour.model.results import Answer, Basis

Least = Annotated[Light, About(digits=6)]
Degrees = Annotated[Temp, About(digits=6)]

UNITS: Final = (
    ("_degcday", "°C d"),
    ("_degc", "°C"),
    ("_mol_m2_d", "mol m⁻² d⁻¹"),
    ("_mol_m2", "mol m⁻²"),
    ("_per_m2", "per m²"),
    ("leaf_rate_per_d", "leaves a day"),
    ("_per_d", "a day"),
    ("_m2_g", "m² per g"),
    ("_g_m2", "g m⁻²"),
    ("_mg", "mg"),
    ("_g", "g"),
    ("_h", "h"),
    ("_d", "days"),
    ("cuts_most_count", "cuts"),
    ("_count", "leaves"),
    ("_frac", ""),
    ("_ratio", ""),
)


def unit_of(key: str) -> str:
    """Return the unit a key's name ends in, as a reader writes it."""
    return next(unit for end, unit in UNITS if key.endswith(end))


@dataclass(frozen=True)
class CropLine:
    """One crop in short."""

    crop: str
    name: str
    latin: str
    also: tuple[str, ...]
    """Other names it goes by."""
    way: str
    dli_min_mol_m2_d: Least | None
    dli_target_mol_m2_d: Least | None
    best_mean_degc: Degrees | None
    kill_degc: Degrees | None
    chill_degc: Degrees | None
    judgement_share: Share
    """Share of its numbers that rest on judgement alone."""


@dataclass(frozen=True)
class CropValue:
    """One number of a crop; ``unit`` is that of the key's ending."""

    key: str
    value: float
    low: float
    high: float
    unit: str
    source: str
    mark: Mark
    where: str


@dataclass(frozen=True)
class CropsAnswer(Answer):
    """Answer of ``tenhour crops``."""

    COMMAND = "crops"

    crops: tuple[CropLine, ...]
    numbers: Honesty
    findings: Honesty


@dataclass(frozen=True)
class CropAnswer(Answer):
    """Answer of ``tenhour crops NAME``."""

    COMMAND = "crops"

    line: Annotated[CropLine, About(merged=True)]
    file: str
    values: tuple[CropValue, ...]
    findings: tuple[Fact, ...]
    sources: dict[str, str]
    numbers: Honesty


def crops_answer(crops: Sequence[Crop], facts: Sequence[Fact]) -> CropsAnswer:
    """Return the crop table as an answer."""
    return CropsAnswer(Basis({}), tuple(_line(crop) for crop in crops), honesty(crops), honesty((), facts))


def crop_answer(crop: Crop, facts: Sequence[Fact], sources: Mapping[str, Source]) -> CropAnswer:
    """Return one crop with every number, its source, and the findings kept beside it."""
    values = tuple(
        CropValue(key, n.value, n.low, n.high, unit_of(key), n.source, n.mark, n.where) for key, n in crop.numbers()
    )
    titles = {key: sources[key].title for key in used_sources(crop, facts)}
    return CropAnswer(
        Basis({"crop": crop.key}), _line(crop), crop.origin, values, tuple(facts), titles, honesty((crop,))
    )


def used_sources(crop: Crop, facts: Sequence[Fact]) -> list[str]:
    """Return the source keys a crop and its findings use, once each, in order."""
    return sorted({number.source for _, number in crop.numbers()} | {fact.source for fact in facts})


def _line(crop: Crop) -> CropLine:
    light, climate = crop.light, crop.climate
    return CropLine(
        crop.key, crop.name, crop.latin, crop.also, crop.way, _value(light.dli_min_mol_m2_d),
        _value(light.dli_target_mol_m2_d), _value(climate.best_mean_degc), _value(climate.kill_degc),
        _value(climate.chill_degc), honesty((crop,)).judgement_share,
    )  # fmt: skip


def _value(number: Sourced | None) -> float | None:
    return None if number is None else number.value
