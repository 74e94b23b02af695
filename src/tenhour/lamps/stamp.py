"""Light of one fixture by distance, tabulated once; any arrangement in columns and rows is then two matrix products."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.lamps.fixtures import Beam, level_ppfd_umol_m2_s

Array = NDArray[np.float64]

FINE_RATIO: Final = 0.125
COARSE_RATIO: Final = 0.25
"""Step of the table over the lowest height, for answers and while searching: cubic between nodes that is within 0.1 and
0.6 % of the light of the fixtures. Derived (tests/lamps/test_stamp.py)."""
NODES: Final = np.array([-1, 0, 1, 2])
MOST_STAMPS: Final = 512
MOST_COLUMNS: Final = 64
"""Sets of columns kept for one table. Judgement."""


class Stamp:
    """Light of one new fixture of 1 µmol s⁻¹ at several heights on a grid of distances from its centre."""

    def __init__(
        self, beam: Beam, along_x: bool, heights_m: Array, reach_m: tuple[float, float], step_ratio: float
    ) -> None:
        """Tabulate. Parameters: as of :func:`stamp_of`."""
        self.step_m = float(heights_m.min()) * step_ratio
        self.mirrored = beam.table is None
        counts = [int(np.ceil(reach / self.step_m)) + 3 for reach in reach_m]
        x, y = (np.arange(n) * self.step_m if self.mirrored else np.arange(-n, n + 1) * self.step_m for n in counts)
        self.middle = (0, 0) if self.mirrored else (counts[0], counts[1])
        one = beam._replace(ppf_umol_s=1.0)
        along, across = (x[:, None], y[None, :]) if along_x else (y[None, :], -x[:, None])
        self.light = level_ppfd_umol_m2_s(one, along, across, heights_m[:, None, None])
        self._across: dict[tuple[bytes, bytes], Array] = {}

    def light_map(self, x_m: Array, y_m: Array, columns_m: Array, rows_m: Array) -> Array:
        """Light of one fixture at every crossing of columns and rows.

        Parameters: x_m (p,) and y_m (q,), lines of points; columns_m (c,) and rows_m (r,), centres of the fixtures.
        Returns: [µmol m⁻² s⁻¹ per µmol s⁻¹ of one fixture], (h, p, q).
        """
        right = self._weights(y_m, rows_m, self.middle[1], self.light.shape[2])
        return np.asarray(self._columns(x_m, columns_m) @ right.T)

    def _columns(self, x_m: Array, columns_m: Array) -> Array:
        """Light of one fixture in each column, by points and distance across, (h, p, n); kept for other rows."""
        key = (x_m.tobytes(), columns_m.tobytes())
        if key not in self._across:
            if len(self._across) >= MOST_COLUMNS:
                self._across.clear()
            self._across[key] = self._weights(x_m, columns_m, self.middle[0], self.light.shape[1]) @ self.light
        return self._across[key]

    def _weights(self, points_m: Array, centres_m: Array, middle: int, count: int) -> Array:
        """Weight of every node in the sum over the centres, cubic between nodes (Lagrange), (p, count)."""
        away = (points_m[:, None] - centres_m) / self.step_m
        away = np.abs(away) if self.mirrored else away + middle
        low = np.floor(away).astype(np.intp)
        t = away - low
        shares = (-t * (t - 1) * (t - 2) / 6, (t + 1) * (t - 1) * (t - 2) / 2, -(t + 1) * t * (t - 2) / 2,
                  (t + 1) * t * (t - 1) / 6)  # fmt: skip
        out = np.zeros((len(points_m), count))
        row = np.arange(len(points_m))[:, None]
        for node, share in zip(NODES, shares, strict=True):
            place = np.abs(low + node) if self.mirrored else low + node
            np.add.at(out, (row, np.minimum(place, count - 1)), share)
        return out


class _Face:
    """A beam without its photons, for use as a key; a table counts by itself."""

    def __init__(self, beam: Beam) -> None:
        self.beam = beam
        table = None if beam.table is None else id(beam.table)
        self.key = (beam.length_m, beam.width_m, beam.beam_index, beam.down_share, table)

    def __hash__(self) -> int:
        return hash(self.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Face) and self.key == other.key


def stamp_of(
    beam: Beam, along_x: bool, heights_m: Array, reach_m: tuple[float, float], step_ratio: float = FINE_RATIO
) -> Stamp:
    """The table of a beam, kept from earlier where it is the same.

    Parameters: beam; along_x, whether it lies along x; heights_m, (h,) [m]; reach_m, furthest points along x and y [m];
        step_ratio, step of the table over the lowest height [-].
    """
    return _kept(_Face(beam), along_x, tuple(float(h) for h in heights_m), reach_m, step_ratio)


@lru_cache(maxsize=MOST_STAMPS)
def _kept(
    face: _Face, along_x: bool, heights_m: tuple[float, ...], reach_m: tuple[float, float], step_ratio: float
) -> Stamp:
    return Stamp(face.beam, along_x, np.array(heights_m), reach_m, step_ratio)
