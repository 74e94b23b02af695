"""A cover as data: layers or measured transmittances, losses, heat, and where each number comes from. For PAR."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from tenhour.errors import OutOfRange
from tenhour.model.checks import check_between

OPAQUE = "opaque"
"""Key of the cover that lets nothing through."""

FRACTIONS = (
    "internal_trans_frac",
    "normal_trans_frac",
    "hemispherical_trans_frac",
    "straight_share",
    "inside_refl_frac",
    "frame_share",
    "dirt_share",
    "condensation_share",
    "snow_share",
)
"""Fields that are shares of light; each lies in 0-1 where it is given."""


@dataclass(frozen=True)
class Source:
    """Where one number of a cover comes from, how far it may be off, and how well it is known."""

    low: float
    high: float
    source: str
    mark: str
    where: str = ""


@dataclass(frozen=True)
class Cover:
    """One cover. Either layers (index, internal transmittance, panes), a measured transmittance, or opaque.

    Layers and measurement may both be given; then the measurement sets the curve and the layers the reflectance.
    """

    key: str
    title: str = ""
    kind: str = "pane"
    """"pane" closes a house; "layer" lies over a bed or under the panes."""
    panes: int = 1
    refractive_index: float | None = None
    internal_trans_frac: float | None = None
    normal_trans_frac: float | None = None
    hemispherical_trans_frac: float | None = None
    straight_share: float = 1.0
    """Share of the light that passes which keeps its direction."""
    inside_refl_frac: float | None = None
    frame_share: float = 0.0
    dirt_share: float = 0.0
    condensation_share: float = 0.0
    snow_share: float = 0.0
    u_w_m2_k: float | None = None
    sources: Mapping[str, Source] = field(default_factory=dict)
    """By field name."""
    note: str = ""

    def __post_init__(self) -> None:
        for name in FRACTIONS:
            value = getattr(self, name)
            if value is not None:
                check_between(f"cover {self.key}: {name}", value, 0.0, 1.0)
        if self.refractive_index is not None:
            check_between(f"cover {self.key}: refractive_index", self.refractive_index, 1.0, 2.5)
        if self.u_w_m2_k is not None:
            check_between(f"cover {self.key}: u_w_m2_k", self.u_w_m2_k, 0.05, 20.0)
        check_between(f"cover {self.key}: panes", self.panes, 1, 10)
        if not (self.opaque or self.layered or self.measured):
            raise OutOfRange(f"cover {self.key}: neither layers nor a measured transmittance is given")

    @property
    def opaque(self) -> bool:
        """Whether nothing passes."""
        return self.key == OPAQUE

    @property
    def layered(self) -> bool:
        """Whether the angle curve can be computed from layers."""
        return self.refractive_index is not None and self.internal_trans_frac is not None

    @property
    def measured(self) -> bool:
        """Whether a transmittance was measured."""
        return self.normal_trans_frac is not None or self.hemispherical_trans_frac is not None
