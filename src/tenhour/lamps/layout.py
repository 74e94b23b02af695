"""Fixtures hung over a bed: where they are, the light they give, and how even it is at each height."""

from __future__ import annotations

from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.lamps.beam import HALF
from tenhour.lamps.fixtures import Beam, Fixtures
from tenhour.lamps.stamp import COARSE_RATIO, FINE_RATIO, stamp_of

Array = NDArray[np.float64]

GRID_HEIGHT_RATIO: Final = 0.125
"""Grid spacing over hanging height; the practice of a quarter misses the darkest corner. Derived."""
FEWEST_CELLS: Final = 6
MOST_CELLS: Final = 400
"""Cells along half a side of the bed, at least and at most: 20 m at 20 cm. Judgement."""
SEARCH_CELLS: Final = 6
"""Cells along half a side while searching. Judgement."""
SEARCH_HEIGHTS: Final = 6
FINE_HEIGHT_M: Final = 0.01
STANDS_MOST_M: Final = 0.5
"""No fixture stands out beyond a bed as far as this. Judgement."""
CORD_GAP_M: Final = 0.03
HAND_GAP_M: Final = 0.05
"""Room between neighbours end to end, for plugs and cords, and side by side, for hands and air. Judgement."""
TOUCH_M: Final = 1e-6
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


@lru_cache(maxsize=8192)
def _line(count: int, side_m: float, size_m: float, spread_frac: float, overhang_m: float) -> Array:
    """Centres of fixtures along one side, from its middle: even spacing drawn towards the edges; not to be changed."""
    even = ((np.arange(count) + HALF) / count - HALF) * side_m
    reach = max(side_m * HALF + overhang_m - size_m * HALF, 0.0)
    if count == 1:
        return np.zeros(1)
    edge = np.linspace(-reach, reach, count)
    return np.asarray(even + (edge - even) * spread_frac)


def lines_m(bed: BedSize, beam: Beam, arrangement: Arrangement) -> tuple[Array, Array]:
    """Columns (c,) and rows (r,) on whose crossings the fixtures hang, from the middle of the bed [m].

    Parameters: bed; beam, for the size of a fixture; arrangement.
    """
    size_x, size_y = sizes_m(beam, arrangement.along_x)
    a = arrangement
    x = _line(a.columns_count, bed.length_m, size_x, a.spread_x_frac, a.overhang_m)
    y = _line(a.rows_count, bed.width_m, size_y, a.spread_y_frac, a.overhang_m)
    return x, y


def sizes_m(beam: Beam, along_x: bool) -> tuple[float, float]:
    """Room that one fixture takes along x and along y [m]; along_x, which way it lies."""
    return (beam.length_m, beam.width_m) if along_x else (beam.width_m, beam.length_m)


def gaps_m(beam: Beam, along_x: bool) -> tuple[float, float]:
    """Least room between neighbours along x and along y [m]; along_x, which way a fixture lies."""
    if beam.length_m <= beam.width_m:
        return HAND_GAP_M, HAND_GAP_M
    return (CORD_GAP_M, HAND_GAP_M) if along_x else (HAND_GAP_M, CORD_GAP_M)


def can_hang(bed: BedSize, beam: Beam, arrangement: Arrangement, beyond_m: float) -> bool:
    """Whether nothing overlaps, cords and hands find room, and nothing stands out beyond the bed too far.

    Parameters: bed; beam, for the size of a fixture; arrangement; beyond_m, how far one may stand out [m].
    """
    size, gap = sizes_m(beam, arrangement.along_x), gaps_m(beam, arrangement.along_x)
    for line, side, own, room in zip(lines_m(bed, beam, arrangement), bed, size, gap, strict=True):
        if line.size > 1 and float(np.diff(line).min()) < own + room - TOUCH_M:
            return False
        if float(line.max()) + own * HALF > side * HALF + beyond_m + TOUCH_M:
            return False
    return True


def places_m(bed: BedSize, beam: Beam, arrangement: Arrangement) -> Array:
    """Centres of the fixtures from the middle of the bed.

    Parameters: bed; beam, for the size of a fixture; arrangement.
    Returns: (n, 2) x and y [m].
    """
    grid = np.meshgrid(*lines_m(bed, beam, arrangement), indexing="ij")
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
    bed: BedSize,
    beam: Beam,
    arrangement: Arrangement,
    height_m: ArrayLike,
    x_m: ArrayLike,
    y_m: ArrayLike,
    step_ratio: float = FINE_RATIO,
) -> Array:
    """Direct light of an arrangement over lines of points at each of several heights.

    Parameters: bed; beam of one fixture; arrangement; height_m, (h,) over the canopy; x_m (p,) and y_m (q,), lines of
        points from the middle of the bed [m]; step_ratio, step of the table over the lowest height [-].
    Returns: photon flux density [µmol m⁻² s⁻¹], (h, p, q).
    Method: one fixture tabulated by distance, summed over columns and rows (``stamp``).
    """
    heights = np.atleast_1d(np.asarray(height_m, float))
    columns, rows = lines_m(bed, beam, arrangement)
    x, y = np.asarray(x_m, float), np.asarray(y_m, float)
    reach = (bed.length_m + STANDS_MOST_M, bed.width_m + STANDS_MOST_M)
    stamp = stamp_of(beam, arrangement.along_x, heights, reach, step_ratio)
    return np.asarray(beam.ppf_umol_s * stamp.light_map(x, y, columns, rows))


@lru_cache(maxsize=64)
def _sides(bed: BedSize, height_m: float, whole: bool, cells_most: int) -> tuple[tuple[Array, Array], ...]:
    """Lines of points along half of either side (or all of it) from the middle, and what each stands for [m]."""
    sides = []
    for side in bed:
        fine = _cells(side, height_m)
        place = (np.arange(fine) + HALF) / fine * side * HALF
        take = np.unique(np.round(np.linspace(0, fine - 1, min(fine, cells_most))).astype(int))
        edges = np.concatenate([[0.0], (place[take][1:] + place[take][:-1]) * HALF, [side * HALF]])
        sides.append((place[take], np.diff(edges)))
    if whole:
        sides = [(np.concatenate([-p[::-1], p]), np.concatenate([w[::-1], w])) for p, w in sides]
    return tuple(sides)


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
    Method: cell-centred grid no coarser than an eighth of the height; one quarter of the bed where the lamp's light is
        symmetric, all of it for a table that is not.
    """
    heights = np.atleast_1d(np.asarray(height_m, float))
    (x, along), (y, across) = _sides(bed, float(heights.min()), beam.table is not None, cells_most)
    step = COARSE_RATIO if cells_most < MOST_CELLS else FINE_RATIO
    light = light_map_umol_m2_s(bed, beam, arrangement, heights, x, y, step)
    emitted = beam.ppf_umol_s * arrangement.columns_count * arrangement.rows_count
    weight = np.outer(along, across).ravel()
    return [summary(row, emitted, bed.length_m * bed.width_m, weight / weight.sum()) for row in light]


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
    whole = np.round(np.geomspace(lowest_m, highest_m, count) / FINE_HEIGHT_M) * FINE_HEIGHT_M
    return np.unique(np.clip(whole, lowest_m, highest_m))


def height_table(bed: BedSize, layout: Layout, lowest_m: float, highest_m: float) -> list[tuple[float, Evenness]]:
    """Light and evenness of the layout at other heights.

    Parameters: bed; layout; lowest_m, highest_m.
    Returns: (height [m], Evenness) from low to high, the layout's own height among them.
    """
    heights = np.unique(np.append(search_heights_m(lowest_m, highest_m, TABLE_HEIGHTS), layout.height_m))
    return list(zip(heights.tolist(), evenness(bed, layout.lamp.beam, layout.arrangement, heights), strict=True))
