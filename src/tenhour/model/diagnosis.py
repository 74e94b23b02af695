"""Why seedlings are leggy: what they have had, the causes, and what each remedy would do."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from tenhour.model.results import Basis

Word = Literal["sturdy", "watch", "leggy", "stringy"]


@dataclass(frozen=True)
class Sign:
    """Something a grower sees; it raises some causes and lowers others."""

    key: str
    says: str
    raises: tuple[str, ...] = ()
    lowers: tuple[str, ...] = ()


@dataclass(frozen=True)
class Check:
    """How to tell one cause from the others with the tray in hand."""

    cause: str
    says: str
    """The cause in words that fit into a sentence."""
    check: str


@dataclass(frozen=True)
class Evidence:
    """What seedlings have had since they came up, means over their first three weeks."""

    dli_mol_m2_d: float
    day_degc: float
    night_degc: float
    lit_h: float
    base_degc: float = 4.0
    leaf_area_ratio: float = 0.0
    """Leaf area over ground area."""
    late_d: float = 0.0
    """Days late to pot on."""
    red_far_red_ratio: float | None = None
    """If measured, or of a lamp rich in far-red; None for plain daylight."""
    blue_frac: float = 0.25
    """Of the lamp's photons."""
    lamp_share: float = 0.0
    dark_d: float = 0.0
    """Days in the dark after emergence."""
    wetness_frac: float = 0.0
    brushing_frac: float = 0.0

    @property
    def mean_degc(self) -> float:
        """Mean temperature of the whole day."""
        share = self.lit_h / 24.0
        return share * self.day_degc + (1.0 - share) * self.night_degc

    @property
    def dif_k(self) -> float:
        """Day less night."""
        return self.day_degc - self.night_degc


@dataclass(frozen=True)
class Cause:
    """One cause with its share of the stretching; model_share_frac is that before any sign was taken in."""

    cause: str
    share_frac: float
    model_share_frac: float
    says: str
    check: str


@dataclass(frozen=True)
class Remedy:
    """One thing to do and the score it would give by the same model."""

    key: str
    remedy: str
    score: float
    detail: str
    leaves_count: float | None = None
    """Leaves they would have by now; None where the remedy does not change growth."""


@dataclass(frozen=True)
class Match:
    """Temperatures that the light can carry at a score."""

    score: float
    mean_degc: float
    day_degc: float
    night_degc: float
    reachable: bool
    """Whether the crop goes on at such a temperature."""
    any_warmth: bool = False
    """Whether the light carries more warmth than the crop likes."""


@dataclass(frozen=True)
class Diagnosis:
    """Score, causes and conflicts of one set of evidence."""

    score: float
    word: Word
    causes: tuple[Cause, ...]
    conflicts: tuple[str, ...]
    brought_in: tuple[str, ...]
    """What signs alone made the diagnosis take for given."""
    evidence: Evidence


@dataclass(frozen=True)
class WhyAnswer:
    """Answer of ``tenhour why``; None where the plants are not up yet."""

    basis: Basis
    crop: str
    name: str
    bed: str
    sown: date
    seen: date
    emerged: date | None
    stage: str
    expected_stage: str
    leaves_count: float | None
    expected_leaves_count: float | None
    score: float | None
    low_score: float | None
    high_score: float | None
    word: Word | None
    needs_dli_mol_m2_d: float | None
    """Light at which plants as warm as these stay out of the leggy region (score 45), all else as it should be."""
    sturdy_dli_mol_m2_d: float | None
    """Light at which such plants are sturdy (score 25)."""
    sentence: str
    evidence: Evidence | None = None
    causes: tuple[Cause, ...] = ()
    remedies: tuple[Remedy, ...] = ()
    matches: tuple[Match, ...] = ()
    conflicts: tuple[str, ...] = ()
    standing: tuple[str, ...] = ()
    """What the log says stands in the bed."""
    extra: dict[str, object] = field(default_factory=dict)
