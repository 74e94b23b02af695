"""Fixtures hung over a bed: where they are, the light they give, and how even it is at each height."""

from __future__ import annotations

from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.lamps.beam import HALF
from tenhour.lamps.fixtures import Beam, Fixtures, level_ppfd_umol_m2_s

Array = NDArray[np.float64]

GRID_HEIGHT_RATIO: Final = 0.125
"""Grid spacing over hanging height; the practice of a quarter misses the darkest corner. Derived."""
FEWEST_CELLS: Final = 6
MOST_CELLS: Final = 28
"""Cells along half a side of the bed, at least and at most. Judgement."""
SEARCH_CELLS: Final = 6
"""Cells along half a side while searching. Judgement."""
SEARCH_HEIGHTS: Final = 6
AT_ONCE: Final = 60_000
"""Values computed at a time, so that the arrays stay in the processor's cache. Derived."""
FINE_HEIGHT_M: Final = 0.01
TABLE_HEIGHTS: Final = 6


class BedSize(NamedTuple):
    """A bed: length_m along x and width_m along y."""

    length_m: float
    width_m: float


class Lamp(NamedTuple):
    """A fixture that may be hung: what it sends out, and the power it takes."""

    beam: Beam
    power_w: float


class Arrangement(NamedTuple):
    """Fixtures in columns along x and rows along y; along_x says which way their length lies.

    spread_x_frac and spread_y_frac move the outer ones from even spacing (0) to the bed's edge (1); overhang_m lets
    them stand out beyond it.
    """

    columns_count: int
    rows_count: int
    along_x: bool
    spread_x_frac: float = 0.0
    spread_y_frac: float = 0.0
    overhang_m: float = 0.0


class Evenness(NamedTuple):
    """Level light on the bed [µmol m⁻² s⁻¹] and its spread: min over mean, coefficient of variation, share landing."""

    mean_umol_m2_s: float
    min_umol_m2_s: float
    max_umol_m2_s: float
    min_mean_frac: float
    variation_ratio: float
    cu_frac: float


class Layout(NamedTuple):
    """One way to hang a lamp over a bed, and the light of new fixtures there."""

    lamp: Lamp
    arrangement: Arrangement
    height_m: float
    light: Evenness

    @property
    def fixtures_count(self) -> int:
        """How many fixtures hang."""
        return self.arrangement.columns_count * self.arrangement.rows_count

    @property
    def power_w(self) -> float:
        """Power of all fixtures."""
        return self.fixtures_count * self.lamp.power_w


def _line(count: int, side_m: float, size_m: float, spread_frac: float, overhang_m: float) -> Array:
    """Centres of fixtures along one side, from its middle: even spacing drawn towards the edges."""
    even = ((np.arange(count) + HALF) / count - HALF) * side_m
    reach = max(side_m * HALF + overhang_m - size_m * HALF, 0.0)
    if count == 1:
        return np.zeros(1)
    edge = np.linspace(-reach, reach, count)
    return np.asarray(even + (edge - even) * spread_frac)


def places_m(bed: BedSize, beam: Beam, arrangement: Arrangement) -> Array:
    """Centres of the fixtures from the middle of the bed.

    Parameters: bed; beam, for the size of a fixture; arrangement.
    Returns: (n, 2) x and y [m].
    """
    size_x, size_y = (beam.length_m, beam.width_m) if arrangement.along_x else (beam.width_m, beam.length_m)
    a = arrangement
    x = _line(a.columns_count, bed.length_m, size_x, a.spread_x_frac, a.overhang_m)
    y = _line(a.rows_count, bed.width_m, size_y, a.spread_y_frac, a.overhang_m)
    grid = np.meshgrid(x, y, indexing="ij")
    return np.stack([grid[0].ravel(), grid[1].ravel()], axis=1)


def fixtures_of(layout: Layout, bed: BedSize, corner_m: ArrayLike = (0.0, 0.0), canopy_m: float = 0.0) -> Fixtures:
    """The layout as fixtures in the room.

    Parameters: layout; bed; corner_m, (2,) south-west corner of the bed in the room; canopy_m, height of its canopy.
    Returns: Fixtures, whose beam is that of a new lamp.
    """
    xy = places_m(bed, layout.lamp.beam, layout.arrangement) + np.asarray(corner_m, float)
    xy = xy + np.array([bed.length_m, bed.width_m]) * HALF
    centre = np.column_stack([xy, np.full(len(xy), canopy_m + layout.height_m)])
    turn = np.full(len(xy), 0.0 if layout.arrangement.along_x else 90.0)
    return Fixtures(layout.lamp.beam, centre, turn)


def grid_m(bed: BedSize, height_m: float) -> tuple[Array, Array]:
    """Cell-centred grid over a bed, fine enough for a hanging height: x (nx,) and y (ny,) from its corner.

    Parameters: bed, its length and width [m]; height_m, hanging height [m].
    Method: cells no wider than an eighth of the height (judgement, docs/method/lamps.md).
    """
    cells = [2 * _cells(side, height_m) for side in bed]
    return tuple((np.arange(n) + HALF) / n * side for n, side in zip(cells, bed, strict=True))  # type: ignore[return-value]


def _cells(side_m: float, height_m: float) -> int:
    return int(np.clip(np.ceil(side_m * HALF / (height_m * GRID_HEIGHT_RATIO)), FEWEST_CELLS, MOST_CELLS))


def light_map_umol_m2_s(
    bed: BedSize, beam: Beam, arrangement: Arrangement, height_m: ArrayLike, x_m: ArrayLike, y_m: ArrayLike
) -> Array:
    """Direct light of an arrangement on points of the bed at each of several heights.

    Parameters: bed; beam of one fixture; arrangement; height_m, (h,) over the canopy; x_m, y_m, (p,) points from the
        middle of the bed.
    Returns: photon flux density [µmol m⁻² s⁻¹], (h, p).
    """
    heights = np.atleast_1d(np.asarray(height_m, float))[:, np.newaxis]
    x, y = np.asarray(x_m, float), np.asarray(y_m, float)
    total = np.zeros((len(heights), x.size))
    places = places_m(bed, beam, arrangement)
    at_once = max(AT_ONCE // total.size, 1)
    for start in range(0, len(places), at_once):
        part = places[start : start + at_once, :, np.newaxis, np.newaxis]
        dx, dy = x - part[:, 0], y - part[:, 1]
        along, across = (dx, dy) if arrangement.along_x else (dy, -dx)
        total += level_ppfd_umol_m2_s(beam, along, across, heights).sum(axis=0)
    return total


@lru_cache(maxsize=64)
def _points(bed: BedSize, height_m: float, whole: bool, cells_most: int) -> tuple[Array, Array, Array]:
    """Points of a quarter of the bed (or all of it) from its middle, with the share of the area each stands for."""
    sides = []
    for side in bed:
        fine = _cells(side, height_m)
        place = (np.arange(fine) + HALF) / fine * side * HALF
        take = np.unique(np.round(np.linspace(0, fine - 1, min(fine, cells_most))).astype(int))
        edges = np.concatenate([[0.0], (place[take][1:] + place[take][:-1]) * HALF, [side * HALF]])
        sides.append((place[take], np.diff(edges)))
    if whole:
        sides = [(np.concatenate([-p[::-1], p]), np.concatenate([w[::-1], w])) for p, w in sides]
    (px, wx), (py, wy) = sides
    grid = np.meshgrid(px, py, indexing="ij")
    weight = np.outer(wx, wy).ravel()
    return grid[0].ravel(), grid[1].ravel(), weight / weight.sum()


def evenness(
    bed: BedSize,
    beam: Beam,
    arrangement: Arrangement,
    height_m: ArrayLike,
    cells_most: int = MOST_CELLS,
) -> list[Evenness]:
    """Mean, darkest and brightest light of an arrangement over the bed, at each of several heights.

    Parameters: bed; beam; arrangement; height_m, (h,) above the canopy; cells_most, cells along half a side.
    Returns: h Evenness, direct light of new lamps without bounces.
    Method: cell-centred grid no coarser than a quarter of the height; one quarter of the bed where the lamp's light is
        symmetric, all of it for a table that is not.
    """
    heights = np.atleast_1d(np.asarray(height_m, float))
    x, y, weight = _points(bed, float(heights.min()), beam.table is not None, cells_most)
    light = light_map_umol_m2_s(bed, beam, arrangement, heights, x, y)
    emitted = beam.ppf_umol_s * arrangement.columns_count * arrangement.rows_count
    return [summary(row, emitted, bed.length_m * bed.width_m, weight) for row in light]


def summary(ppfd_umol_m2_s: ArrayLike, ppf_umol_s: float, area_m2: float, weight: ArrayLike | None = None) -> Evenness:
    """Evenness of a map of light.

    Parameters: ppfd_umol_m2_s, (p,); ppf_umol_s of all fixtures; area_m2 of the bed; weight, (p,) shares of its area.
    Returns: Evenness.
    Method: definition; least and greatest over the mean, photons landed over photons emitted.
    """
    light = np.asarray(ppfd_umol_m2_s, float).ravel()
    share = np.full(light.size, 1 / light.size) if weight is None else np.asarray(weight, float)
    mean = float(share @ light)
    if mean <= 0:
        return Evenness(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    spread = float(np.sqrt(share @ (light - mean) ** 2)) / mean
    low, high = float(light.min()), float(light.max())
    return Evenness(mean, low, high, low / mean, spread, mean * area_m2 / ppf_umol_s)


def search_heights_m(lowest_m: float, highest_m: float, count: int = SEARCH_HEIGHTS) -> Array:
    """Hanging heights [m] from the lowest to the highest, evenly spaced in ratio, to the centimetre."""
    if highest_m <= lowest_m:
        return np.array([lowest_m])
    return np.unique(np.round(np.geomspace(lowest_m, highest_m, count) / FINE_HEIGHT_M) * FINE_HEIGHT_M)


def height_table(bed: BedSize, layout: Layout, lowest_m: float, highest_m: float) -> list[tuple[float, Evenness]]:
    """Light and evenness of the layout at other heights.

    Parameters: bed; layout; lowest_m, highest_m.
    Returns: (height [m], Evenness) from low to high, the layout's own height among them.
    """
    heights = np.unique(np.append(search_heights_m(lowest_m, highest_m, TABLE_HEIGHTS), layout.height_m))
    return list(zip(heights.tolist(), evenness(bed, layout.lamp.beam, layout.arrangement, heights), strict=True))
