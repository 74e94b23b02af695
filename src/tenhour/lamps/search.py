"""How many fixtures, how spaced and how high: enough light, even enough, for the least power."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.lamps.fixtures import Beam
from tenhour.lamps.layout import SEARCH_CELLS, Arrangement, BedSize, Lamp, Layout, evenness, search_heights_m

Array = NDArray[np.float64]

SPREADS: Final = (0.0, 0.5, 1.0)
"""How far the outer fixtures move from even spacing (0) to the edge of the bed (1). Judgement."""
COUNT_OVER_RATIO: Final = 2.6
"""Most fixtures tried, over those needed if every photon landed on the bed. Judgement."""
MOST_FIXTURES: Final = 400
MOST_PER_SIDE: Final = 20
"""Fixtures without size along one side at most. Judgement."""
MOST_ARRANGEMENTS: Final = 160
REFINED_COUNT: Final = 2
MOST_POWER_RATIO: Final = 1.6
"""Good evenness is not bought with more than this much of the power that gives fair evenness. Judgement."""
GOOD_EVENNESS_FRAC: Final = 0.7
"""Minimum over mean wanted on a working bench. Practice."""
FAIR_EVENNESS_FRAC: Final = 0.5
"""Minimum over mean that serves if trays are turned weekly. Practice."""
STANDS_OUT_M: Final = 0.15
"""A fixture longer than the bed may stand out this far on either side. Judgement."""
ROUNDING: Final = 1e-9
FINE_HEIGHTS: Final = 7


class Choice(NamedTuple):
    """The layout chosen; whether it gives the light and the evenness wanted; the evenness it was held to."""

    layout: Layout
    bright_enough: bool
    even_enough: bool
    held_to_frac: float


def arrangements(bed: BedSize, beam: Beam, fewest_count: int, overhang_m: float = 0.0) -> Iterator[Arrangement]:
    """Ways to set fixtures over a bed in columns and rows without overlap, fewest first.

    Parameters: bed; beam, for the size; fewest_count, least fixtures worth trying; overhang_m beyond the bed's edge.
    Returns: arrangements with even spacing, both ways round where the fixture is longer than wide.
    """
    most = min(int(np.ceil(fewest_count * COUNT_OVER_RATIO)) + 2, MOST_FIXTURES)
    found = []
    for along_x in _ways_round(bed, beam, overhang_m):
        fit_x, fit_y = _fits(bed, beam, along_x, overhang_m)
        for rows in range(1, min(fit_y, most) + 1):
            low, high = -(-fewest_count // rows), min(fit_x, most // rows)
            found += [Arrangement(c, rows, along_x, overhang_m=overhang_m) for c in range(max(low, 1), high + 1)]
    found.sort(key=lambda a: (a.columns_count * a.rows_count, _lopsided(bed, a)))
    yield from found[:MOST_ARRANGEMENTS]


def _ways_round(bed: BedSize, beam: Beam, overhang_m: float) -> list[bool]:
    """Which ways round the fixture may hang: those that stand out little beyond the bed, or else the better one."""
    if beam.length_m <= beam.width_m:
        return [True]
    spare = {True: bed.length_m - beam.length_m, False: bed.width_m - beam.length_m}
    fitting = [way for way, room in spare.items() if room >= -2 * max(overhang_m, STANDS_OUT_M) - ROUNDING]
    return fitting or [max(spare, key=lambda way: spare[way])]


def _fits(bed: BedSize, beam: Beam, along_x: bool, overhang_m: float) -> tuple[int, int]:
    """Columns and rows of fixtures that find room over the bed."""
    size_x, size_y = (beam.length_m, beam.width_m) if along_x else (beam.width_m, beam.length_m)
    return _fit(bed.length_m, size_x, overhang_m), _fit(bed.width_m, size_y, overhang_m)


def _fit(side_m: float, size_m: float, overhang_m: float) -> int:
    """Fixtures that fit end to end along a side; always one."""
    if size_m <= 0:
        return MOST_PER_SIDE
    return max(int((side_m + 2 * overhang_m) / size_m + ROUNDING), 1)


def _lopsided(bed: BedSize, a: Arrangement) -> float:
    """How far the spacing along x departs from that along y."""
    return float(abs(np.log(bed.length_m / a.columns_count * a.rows_count / bed.width_m)))


def _spread_out(base: Arrangement) -> list[Arrangement]:
    """The arrangement with its outer fixtures moved outwards by steps."""
    xs = SPREADS if base.columns_count > 1 else SPREADS[:1]
    ys = SPREADS if base.rows_count > 1 else SPREADS[:1]
    return [base._replace(spread_x_frac=sx, spread_y_frac=sy) for sx in xs for sy in ys]


def _candidates(
    bed: BedSize, lamps: Sequence[Lamp], ppfd_umol_m2_s: float, overhang_m: float
) -> list[tuple[float, Lamp, Arrangement]]:
    """Arrangements of every lamp that could be bright enough if all photons landed on the bed, least power first."""
    found = []
    for lamp in lamps:
        photons = ppfd_umol_m2_s * bed.length_m * bed.width_m
        fewest = max(int(np.ceil(photons / lamp.beam.ppf_umol_s - ROUNDING)), 1)
        ways = arrangements(bed, lamp.beam, fewest, overhang_m)
        found += [(a.columns_count * a.rows_count * lamp.power_w, lamp, a) for a in ways]
    return sorted(found, key=lambda c: c[0])


def _bright_layouts(
    bed: BedSize, lamp: Lamp, base: Arrangement, ppfd_umol_m2_s: float, heights_m: Array
) -> list[Layout]:
    """Rough layouts of one arrangement that are bright enough; empty if not even the lowest, evenly spaced one is."""
    at_lowest = evenness(bed, lamp.beam, base, heights_m[:1], SEARCH_CELLS)[0]
    if at_lowest.mean_umol_m2_s < ppfd_umol_m2_s:
        return []
    found = []
    for a in _spread_out(base):
        lights = evenness(bed, lamp.beam, a, heights_m, SEARCH_CELLS)
        pairs = zip(heights_m, lights, strict=True)
        found += [Layout(lamp, a, float(h), e) for h, e in pairs if e.mean_umol_m2_s >= ppfd_umol_m2_s]
    return found


def _refined(bed: BedSize, layout: Layout, ppfd_umol_m2_s: float, heights_m: Array) -> Layout:
    """The layout at the height, to the centimetre, that is most even among those bright enough."""
    index = int(np.argmin(np.abs(heights_m - layout.height_m)))
    low, high = heights_m[max(index - 1, 0)], heights_m[min(index + 1, heights_m.size - 1)]
    fine = search_heights_m(float(low), float(high), FINE_HEIGHTS)
    lights = evenness(bed, layout.lamp.beam, layout.arrangement, fine)
    tries = [layout._replace(height_m=float(h), light=e) for h, e in zip(fine, lights, strict=True)]
    bright = [t for t in tries if t.light.mean_umol_m2_s >= ppfd_umol_m2_s]
    if not bright:
        return max(tries, key=lambda t: t.light.mean_umol_m2_s)
    return max(bright, key=lambda t: t.light.min_mean_frac)


def choose(
    bed: BedSize,
    lamps: Sequence[Lamp],
    ppfd_umol_m2_s: float,
    evenness_frac: float,
    lowest_m: float,
    highest_m: float,
    overhang_m: float = 0.0,
) -> Choice:
    """Number, spacing and height of fixtures for the light and evenness wanted, at least power.

    Parameters: bed; lamps, the sizes to choose from; ppfd_umol_m2_s, mean light of new lamps wanted; evenness_frac, min
        over mean wanted; lowest_m and highest_m of the lamp above the canopy; overhang_m, how far it may stand out
        beyond the bed.
    Returns: Choice. If nothing is even enough the demand falls to 0.5, then to what least power gives; if nothing is
        bright enough, the brightest.
    Method: every arrangement in columns and rows, its outer fixtures moved outward by steps, at stepped heights;
        direct light only.
    """
    heights = search_heights_m(lowest_m, highest_m)
    candidates = _candidates(bed, lamps, ppfd_umol_m2_s, overhang_m)
    best = _even_layouts(bed, candidates, ppfd_umol_m2_s, evenness_frac, heights)
    if not best:
        return _brightest(bed, lamps, evenness_frac, lowest_m, overhang_m)
    for held in (evenness_frac, min(FAIR_EVENNESS_FRAC, evenness_frac), 0.0):
        for layout in best:
            if layout.light.min_mean_frac >= held:
                return Choice(layout, True, layout.light.min_mean_frac >= evenness_frac, held)
    raise AssertionError("an evenness of 0 is always met")


def _even_layouts(
    bed: BedSize,
    candidates: Sequence[tuple[float, Lamp, Arrangement]],
    ppfd_umol_m2_s: float,
    evenness_frac: float,
    heights_m: Array,
) -> list[Layout]:
    """The most even bright layout of each power, least power first, up to the first that is even enough."""
    found: list[Layout] = []
    cap_w = np.inf
    for power, group in groupby(candidates, key=lambda c: c[0]):
        if power > cap_w:
            break
        bright = [t for _, lamp, a in group for t in _bright_layouts(bed, lamp, a, ppfd_umol_m2_s, heights_m)]
        bright.sort(key=lambda t: -t.light.min_mean_frac)
        fine = [_refined(bed, t, ppfd_umol_m2_s, heights_m) for t in bright[:REFINED_COUNT]]
        fine = [t for t in fine if t.light.mean_umol_m2_s >= ppfd_umol_m2_s]
        if not fine:
            continue
        found.append(max(fine, key=lambda t: t.light.min_mean_frac))
        if found[-1].light.min_mean_frac >= evenness_frac:
            break
        if found[-1].light.min_mean_frac >= FAIR_EVENNESS_FRAC:
            cap_w = min(cap_w, power * MOST_POWER_RATIO)
    return found


def _brightest(bed: BedSize, lamps: Sequence[Lamp], evenness_frac: float, lowest_m: float, overhang_m: float) -> Choice:
    """The bed hung full of fixtures as low as may be, where nothing is bright enough."""
    tries = []
    for lamp in lamps:
        for along_x in _ways_round(bed, lamp.beam, overhang_m):
            columns, rows = _fits(bed, lamp.beam, along_x, overhang_m)
            a = Arrangement(columns, rows, along_x, overhang_m=overhang_m)
            tries.append(Layout(lamp, a, lowest_m, evenness(bed, lamp.beam, a, [lowest_m])[0]))
    best = max(tries, key=lambda t: t.light.mean_umol_m2_s)
    return Choice(best, False, best.light.min_mean_frac >= evenness_frac, 0.0)
