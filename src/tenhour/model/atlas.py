"""Many sites at once: where they lie, which of them cannot be answered, and what a run of them was."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, ClassVar, Final

import numpy as np
from numpy.typing import NDArray

from tenhour.model.fields import About, Count, Number
from tenhour.model.results import Answer

Array = NDArray[np.float64]

HOLES: Final = ("answered", "sea", "above 4000 m", "no climate data near")
"""Why a site is a hole, by number; 0 where it is none."""
SEA, HIGH, NO_DATA = 1, 2, 3
HIGHEST_M: Final = 4000.0
"""Above this the normals of light were never held against stations. Judgement."""


@dataclass(frozen=True)
class Sites:
    """Sites of a region, N."""

    names: tuple[str, ...]
    """Of places; empty for the points of a grid."""
    latitude_deg: Array
    longitude_deg: Array
    elevation_m: Array
    """[N]; NaN where there is none."""
    hole: NDArray[np.int8]
    """[N], numbers of ``HOLES`` known before anything is computed."""
    grid_deg: tuple[Array, Array] | None = None
    """Latitudes and longitudes of a whole grid, whose points the sites are, row by row; None for a list."""
    own_ghi_mj_m2_d: Array | None = None
    own_temp_degc: Array | None = None
    """The user's own means [N, 12]."""

    def __len__(self) -> int:
        """Return the number of sites."""
        return len(self.latitude_deg)


@dataclass(frozen=True)
class AtlasData:
    """What was found for a region: arrays by name, first axis the sites N; NaN where there is no answer."""

    sites: Sites
    houses: tuple[str, ...]
    beds: tuple[tuple[str, str], ...]
    """House and bed, B."""
    crops: tuple[tuple[str, str], ...]
    """Key and name, C."""
    values: Mapping[str, Array]
    """Light by month [N, 12] and [N, B, 12], dates as days of the year from 1 [N, B, C], warmth [N, H]."""
    hole: NDArray[np.int8]
    """[N], numbers of ``HOLES``."""
    method: str
    """How dates and warmth were reckoned, in words."""

    @property
    def answered(self) -> NDArray[np.intp]:
        """Numbers of the sites that have an answer."""
        return np.flatnonzero(self.hole == 0)


@dataclass(frozen=True)
class AtlasAnswer(Answer):
    """What a run over a region did and wrote."""

    COMMAND: ClassVar[str] = "atlas"

    sites: Count
    holes: Count
    """Sites without an answer: sea, above 4000 m, no climate data near."""
    chunks: Count
    chunks_kept: Count
    """Chunks that were whole from a run before."""
    seconds_s: Annotated[Number, About(digits=1)]
    files: tuple[str, ...]
