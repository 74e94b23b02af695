"""How many fixtures, how spaced and how high: enough light, even enough, for the least power."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.lamps.fixtures import Beam
from tenhour.lamps.layout import (
    SEARCH_CELLS,
    Arrangement,
    BedSize,
    Evenness,
    Lamp,
    Layout,
    can_hang,
    evenness,
    gaps_m,
    search_heights_m,
    sizes_m,
)

Array = NDArray[np.float64]

SPREADS: Final = ((0.0, 0.0), (0.5, 0.5), (1.0, 0.5), (0.5, 1.0), (1.0, 1.0))
"""How far the outer fixtures move from even spacing (0) to the edge of the bed (1), along x and y. Judgement."""
COUNT_OVER_RATIO: Final = 2.6
"""Most fixtures tried, over those needed if every photon landed on the bed. Judgement."""
MOST_FIXTURES: Final = 400
MOST_PER_SIDE: Final = 20
"""Fixtures without size along one side at most. Judgement."""
MOST_ARRANGEMENTS: Final = 160
REFINED_COUNT: Final = 2
MOST_POWER_RATIO: Final = 1.6
"""Good evenness is not bought with more than this much of the power that gives fair evenness. Judgement."""
HANDLING_W: Final = 4.0
"""Power that hanging and wiring one fixture less is worth, so that few large ones win a near tie. Judgement."""
FAIR_EVENNESS_FRAC: Final = 0.5
"""Minimum over mean that serves if trays are turned weekly. Practice."""
STANDS_OUT_M: Final = 0.2
"""A fixture longer than the bed may stand out this far on either side. Judgement."""
ROUNDING: Final = 1e-9
FINE_HEIGHTS: Final = 9
FINE_CELLS: Final = 12
"""Heights and cells along half a side while settling the height. Judgement."""
COARSE_ERROR_FRAC: Final = 0.004
"""What the coarse grid of the search may add to the mean. Derived."""
NEAR_FRAC: Final = 0.06
"""A rough layout this far below the evenness held to may still reach it on the fine grid. Judgement."""


class Choice(NamedTuple):
    """The layout chosen, and whether it gives the light and the evenness wanted."""

    layout: Layout
    bright_enough: bool
    even_enough: bool


class _Task(NamedTuple):
    """One search."""

    bed: BedSize
    lamps: Sequence[Lamp]
    wanted_umol_m2_s: float
    evenness_frac: float
    heights_m: Array
    overhang_m: float
    stands_out_m: float

    @property
    def reach_m(self) -> float:
        """How far a fixture longer than the bed may stand out beyond it."""
        return max(self.overhang_m, self.stands_out_m)


def arrangements(
    bed: BedSize, beam: Beam, fewest_count: int, overhang_m: float = 0.0, stands_out_m: float = STANDS_OUT_M
) -> list[Arrangement]:
    """Ways to set fixtures over a bed in columns and rows without overlap, fewest first.

    Parameters: bed; beam, for the size; fewest_count, least fixtures worth trying; overhang_m, how far the outer ones
        may be moved beyond the bed's edge; stands_out_m, how far one longer than the bed may stand out.
    Returns: arrangements with even spacing, both ways round where the fixture is longer than wide.
    """
    most = min(int(np.ceil(fewest_count * COUNT_OVER_RATIO)) + 2, MOST_FIXTURES)
    found = []
    for along_x in _ways_round(bed, beam, max(overhang_m, stands_out_m)):
        fit_x, fit_y = _fits(bed, beam, along_x, overhang_m)
        for rows in range(1, min(fit_y, most) + 1):
            low, high = -(-fewest_count // rows), min(fit_x, most // rows)
            found += [Arrangement(c, rows, along_x, overhang_m=overhang_m) for c in range(max(low, 1), high + 1)]
    found.sort(key=lambda a: (a.columns_count * a.rows_count, _lopsided(bed, a)))
    return found[:MOST_ARRANGEMENTS]


def _ways_round(bed: BedSize, beam: Beam, reach_m: float) -> list[bool]:
    """Which ways round the fixture may hang: those that stand out no further than they may; none where it is too long.

    Parameters: reach_m, how far it may stand out beyond the bed on either side.
    """
    ways = [True] if beam.length_m <= beam.width_m else [True, False]
    return [way for way in ways if can_hang(bed, beam, Arrangement(1, 1, way), reach_m)]


def fits(bed: BedSize, beam: Beam, reach_m: float) -> bool:
    """Whether one fixture finds room over a bed; reach_m, how far it may stand out beyond it [m]."""
    return bool(_ways_round(bed, beam, reach_m))


def _fits(bed: BedSize, beam: Beam, along_x: bool, overhang_m: float) -> tuple[int, int]:
    """Columns and rows of fixtures that find room over the bed."""
    (size_x, size_y), (gap_x, gap_y) = sizes_m(beam, along_x), gaps_m(beam, along_x)
    return _fit(bed.length_m, size_x, gap_x, overhang_m), _fit(bed.width_m, size_y, gap_y, overhang_m)


def _fit(side_m: float, size_m: float, gap_m: float, overhang_m: float) -> int:
    """Fixtures that fit end to end along a side; always one."""
    if size_m <= 0:
        return min(MOST_PER_SIDE, max(int((side_m + 2 * overhang_m) / gap_m + ROUNDING) + 1, 1))
    return max(int((side_m + 2 * overhang_m + gap_m) / (size_m + gap_m) + ROUNDING), 1)


def _lopsided(bed: BedSize, a: Arrangement) -> float:
    """How far the spacing along x departs from that along y."""
    return float(abs(np.log(bed.length_m / a.columns_count * a.rows_count / bed.width_m)))


def spread_out(bed: BedSize, beam: Beam, base: Arrangement, reach_m: float) -> list[Arrangement]:
    """The arrangement with its outer fixtures moved outwards by steps, as far as it can be hung so.

    Parameters: bed; beam, for the size; base, evenly spaced; reach_m, how far a fixture may stand out [m].
    """
    pairs = [(sx * (base.columns_count > 1), sy * (base.rows_count > 1)) for sx, sy in SPREADS]
    ways = [base._replace(spread_x_frac=sx, spread_y_frac=sy) for sx, sy in dict.fromkeys(pairs)]
    return [way for way in ways if can_hang(bed, beam, way, reach_m)]


def effort_w(layout: Layout) -> float:
    """Power of a layout plus what hanging and wiring its fixtures is worth [W]."""
    return layout.power_w + HANDLING_W * layout.fixtures_count


def _candidates(task: _Task) -> list[tuple[float, Lamp, Arrangement]]:
    """Arrangements of every lamp that could be bright enough if all photons landed on the bed, thriftiest first."""
    found = []
    photons = task.wanted_umol_m2_s * task.bed.length_m * task.bed.width_m
    for lamp in task.lamps:
        fewest = max(int(np.ceil(photons / lamp.beam.ppf_umol_s - ROUNDING)), 1)
        ways = arrangements(task.bed, lamp.beam, fewest, task.overhang_m, task.stands_out_m)
        each = lamp.power_w + HANDLING_W
        found += [(a.columns_count * a.rows_count * each, lamp, a) for a in ways]
    return sorted(found, key=lambda c: c[0])


def _bright_layouts(task: _Task, lamp: Lamp, base: Arrangement) -> list[Layout]:
    """Rough layouts of one arrangement that are bright enough; empty if not even the lowest one is."""
    found: list[Layout] = []
    for a in spread_out(task.bed, lamp.beam, base, task.reach_m):
        pairs = list(zip(task.heights_m, _rough(task, lamp.beam, a), strict=True))
        if not found and pairs[0][1].mean_umol_m2_s < task.wanted_umol_m2_s:
            return []
        found += [Layout(lamp, a, float(h), e) for h, e in pairs if e.mean_umol_m2_s >= task.wanted_umol_m2_s]
    return found


def _rough(task: _Task, beam: Beam, a: Arrangement) -> list[Evenness]:
    """Light of an arrangement at all heights on the coarse grid, kept for the next round of the same search."""
    key = (task.bed, *beam[1:5], None if beam.table is None else id(beam.table), a, *task.heights_m.tolist())
    if key not in _KEPT:
        if len(_KEPT) > MOST_KEPT:
            _KEPT.clear()
        one = beam._replace(ppf_umol_s=1.0)
        _KEPT[key] = (beam.table, evenness(task.bed, one, a, task.heights_m, SEARCH_CELLS))
    found = _KEPT[key][1]
    ppf = beam.ppf_umol_s
    return [e._replace(mean_umol_m2_s=e.mean_umol_m2_s * ppf, min_umol_m2_s=e.min_umol_m2_s * ppf,
                       max_umol_m2_s=e.max_umol_m2_s * ppf) for e in found]  # fmt: skip


_KEPT: Final[dict[object, tuple[object, list[Evenness]]]] = {}
"""Light per photon of arrangements seen before, with the table it belongs to."""
MOST_KEPT: Final = 20_000


def _refined(task: _Task, layout: Layout) -> Layout:
    """The layout at the height that is most even among those bright enough, computed in full."""
    heights = task.heights_m
    index = int(np.argmin(np.abs(heights - layout.height_m)))
    low, high = heights[max(index - 1, 0)], heights[min(index + 1, heights.size - 1)]
    fine = search_heights_m(float(low), float(high), FINE_HEIGHTS)
    rough = evenness(task.bed, layout.lamp.beam, layout.arrangement, fine, FINE_CELLS)
    least = task.wanted_umol_m2_s * (1 + COARSE_ERROR_FRAC)
    pairs = [(h, e) for h, e in zip(fine, rough, strict=True) if e.mean_umol_m2_s >= least]
    height = float(max(pairs, key=lambda p: p[1].min_mean_frac)[0]) if pairs else float(low)
    light = evenness(task.bed, layout.lamp.beam, layout.arrangement, [height])[0]
    return layout._replace(height_m=height, light=light)


def choose(
    bed: BedSize,
    lamps: Sequence[Lamp],
    ppfd_umol_m2_s: float,
    evenness_frac: float,
    lowest_m: float,
    highest_m: float,
    overhang_m: float = 0.0,
    stands_out_m: float = STANDS_OUT_M,
) -> Choice:
    """Number, spacing and height of fixtures for the light and evenness wanted, at least power.

    Parameters: bed; lamps, the sizes to choose from; ppfd_umol_m2_s, mean light of new lamps wanted; evenness_frac, min
        over mean wanted; lowest_m and highest_m of the lamp above the canopy; overhang_m, how far fixtures may be moved
        beyond the bed; stands_out_m, how far one longer than the bed may stand out beyond it.
    Returns: Choice. If nothing is even enough the demand falls to 0.5, then to what least power gives; if nothing is
        bright enough, the brightest.
    Method: every arrangement in columns and rows, its outer fixtures moved outward by steps, at stepped heights;
        direct light only.
    """
    heights = search_heights_m(lowest_m, highest_m)
    task = _Task(bed, lamps, ppfd_umol_m2_s, evenness_frac, heights, overhang_m, stands_out_m)
    best = _even_layouts(task)
    if not best:
        return _brightest(task)
    for held in (evenness_frac, min(FAIR_EVENNESS_FRAC, evenness_frac)):
        for layout in best:
            if layout.light.min_mean_frac >= held:
                return Choice(layout, True, held == evenness_frac)
    return Choice(best[0], True, False)


def _even_layouts(task: _Task) -> list[Layout]:
    """The most even bright layout of each power, least power first, up to the first that is even enough."""
    found: list[Layout] = []
    cap_w = np.inf
    fair = min(FAIR_EVENNESS_FRAC, task.evenness_frac)
    for power, group in groupby(_candidates(task), key=lambda c: c[0]):
        if power > cap_w:
            break
        bright = [t for _, lamp, a in group for t in _bright_layouts(task, lamp, a)]
        held = task.evenness_frac if np.isfinite(cap_w) else fair
        hopeful = sorted(bright, key=lambda t: -t.light.min_mean_frac)[:REFINED_COUNT]
        if found:
            hopeful = [t for t in hopeful if t.light.min_mean_frac >= held - NEAR_FRAC]
        fine = [_refined(task, t) for t in hopeful]
        fine = [t for t in fine if t.light.mean_umol_m2_s >= task.wanted_umol_m2_s]
        if not fine:
            continue
        found.append(max(fine, key=lambda t: t.light.min_mean_frac))
        if found[-1].light.min_mean_frac >= task.evenness_frac:
            break
        if found[-1].light.min_mean_frac >= fair:
            cap_w = min(cap_w, power * MOST_POWER_RATIO)
    return found


def _brightest(task: _Task) -> Choice:
    """The bed hung full of fixtures as low as may be, where nothing is bright enough."""
    tries = []
    lowest = float(task.heights_m[0])
    for lamp in task.lamps:
        for along_x in _ways_round(task.bed, lamp.beam, task.reach_m):
            columns, rows = _fits(task.bed, lamp.beam, along_x, task.overhang_m)
            full = Arrangement(columns, rows, along_x, overhang_m=task.overhang_m)
            ways = spread_out(task.bed, lamp.beam, full, task.reach_m)
            tries += [Layout(lamp, a, lowest, evenness(task.bed, lamp.beam, a, [lowest])[0]) for a in ways]
    best = max(tries, key=lambda t: t.light.mean_umol_m2_s)
    return Choice(best, False, best.light.min_mean_frac >= task.evenness_frac)
