"""Why seedlings are leggy: what they have had, the causes, and what each remedy would do."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Literal

from tenhour.model.fields import HIDDEN, About, Hours, Light, Prose, Ratio, Score, Share, Temp
from tenhour.model.results import Answer

Word = Literal["sturdy", "watch", "leggy", "stringy"]


@dataclass(frozen=True)
class Sign:
    """Something a grower sees; it raises some causes and lowers others."""

    key: str
    says: str
    raises: tuple[str, ...] = ()
    lowers: tuple[str, ...] = ()
    means: tuple[str, ...] = ()
    """Troubles that are no stretching, by key."""
    healthy: bool = False
    """Whether healthy plants look so too."""
    also: tuple[str, ...] = ()
    """Other words growers use for it."""
    unless: str = ""
    """What to say instead where such a word means something else."""


@dataclass(frozen=True)
class Check:
    """How to tell one cause from the others with the tray in hand."""

    cause: str
    says: str
    """The cause in words that fit into a sentence."""
    check: str


@dataclass(frozen=True)
class Trouble:
    """Something other than stretching that makes seedlings look wrong, told by signs alone."""

    trouble: str
    says: Annotated[Prose, About(hidden=True, column="trouble", heading="trouble")]
    check: Annotated[Prose, About(column="how_to_tell", heading="how to tell", wrap=True)]
    do: Annotated[Prose, About(heading="what to do", wrap=True)]


@dataclass(frozen=True)
class Evidence:
    """What seedlings have had since they came up, means over their first three weeks."""

    dli_mol_m2_d: Annotated[Light, About(digits=2)]
    day_degc: Annotated[Temp, About(digits=2)]
    night_degc: Annotated[Temp, About(digits=2)]
    lit_h: Hours
    base_degc: Annotated[Temp, About(digits=2)] = 4.0
    leaf_area_ratio: Annotated[Ratio, About(digits=2)] = 0.0
    """Leaf area over ground area."""
    late_d: Annotated[float, About(kind="days", digits=2)] = 0.0
    """Days late to pot on."""
    red_far_red_ratio: Annotated[Ratio | None, About(digits=2)] = None
    """If measured, or of a lamp rich in far-red; None for plain daylight."""
    blue_frac: Annotated[Share, About(digits=2)] = 0.25
    """Of the lamp's photons."""
    lamp_share: Annotated[Share, About(digits=2)] = 0.0
    dark_d: Annotated[float, About(kind="days", digits=2)] = 0.0
    """Days in the dark after emergence."""
    wetness_frac: Annotated[Share, About(digits=2)] = 0.0
    brushing_frac: Annotated[Share, About(digits=2)] = 0.0

    @property
    def mean_degc(self) -> Annotated[Temp, About(digits=2)]:
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
    share_frac: Annotated[Share, About(heading="share")]
    model_share_frac: Share
    says: Annotated[Prose, About(hidden=True, column="cause", heading="cause")]
    check: Annotated[Prose, About(column="how_to_tell", heading="how to tell", wrap=True)]


@dataclass(frozen=True)
class Remedy:
    """One thing to do and the score it would give by the same model."""

    key: str
    remedy: Annotated[Prose, About(heading="what to do")]
    score: Annotated[Score, About(column="stretch_score", heading="stretch", digits=1, nan=True)]
    detail: Annotated[Prose, About(column="how", heading="how", wrap=True)]
    leaves_count: Annotated[
        float | None, About(name="leaves", column="leaves_count", kind="count", digits=1, least=0)
    ] = None
    """Leaves they would have by now; None where the remedy does not change growth."""
    free: bool = False
    """Whether it costs nothing but work."""


@dataclass(frozen=True)
class Match:
    """Temperatures that the light can carry at a score."""

    score: Annotated[Score, About(digits=1)]
    mean_degc: Annotated[Temp, HIDDEN]
    day_degc: Annotated[Temp, About(nan=True)]
    night_degc: Annotated[Temp, About(nan=True)]
    reachable: bool
    """Whether the crop goes on at such a temperature."""
    any_warmth: Annotated[bool, HIDDEN] = False
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
    troubles: tuple[Trouble, ...] = ()
    contradicted: bool = False
    """Whether what the grower sees says otherwise than the numbers."""
    as_seen: Evidence | None = None
    """Where drawn plants are seen that by the numbers are sturdy: the numbers at which they would look so."""


@dataclass(frozen=True)
class WhyAnswer(Answer):
    """Answer of ``tenhour why``; None where the plants are not up yet."""

    COMMAND = "why"

    crop: str
    name: str
    bed: Annotated[str, About(empty_null=True)]
    sown: date
    seen: date
    emerged: date | None
    stage: str
    expected_stage: str
    leaves_count: Annotated[float | None, About(name="leaves", column="leaves_count", digits=1, least=0)]
    expected_leaves_count: Annotated[
        float | None, About(name="expected_leaves", column="expected_leaves_count", digits=1, least=0)
    ]
    score: Annotated[Score | None, About(digits=1)]
    low_score: Annotated[Score | None, About(digits=1)]
    high_score: Annotated[Score | None, About(digits=1)]
    word: Word | None
    needs_dli_mol_m2_d: Annotated[Light | None, About(digits=2)]
    """Light at which plants as warm as these stay out of the leggy region (score 45), all else as it should be."""
    sturdy_dli_mol_m2_d: Annotated[Light | None, About(digits=2)]
    """Light at which such plants are sturdy (score 25)."""
    sentence: Prose
    evidence: Annotated[Evidence | None, About(name="had")] = None
    causes: tuple[Cause, ...] = ()
    remedies: tuple[Remedy, ...] = ()
    matches: tuple[Match, ...] = ()
    conflicts: tuple[Prose, ...] = ()
    troubles: tuple[Trouble, ...] = ()
    """What the signs mean beside stretching."""
    contradicted: bool = False
    """Whether what was seen says otherwise than the numbers; then remedies are for plants as they look."""
    measure: tuple[Prose, ...] = ()
    """What to measure where the two disagree."""
    doubts: tuple[Prose, ...] = ()
    """Where the model is in doubt about this answer."""
    grower_lines: tuple[Prose, ...] = ()
    """What every grower is told, where it applies; at most two."""
    standing: tuple[Prose, ...] = ()
    """What the log says stands in the bed."""
