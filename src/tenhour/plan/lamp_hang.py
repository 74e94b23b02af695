"""Fixtures for one bed with everything counted: walls or panels, the fixtures' own shade, remedies for unevenness."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import NoAnswer
from tenhour.lamps.beam import IntensityTable, beam_index_of_deg
from tenhour.lamps.fixtures import Beam, Fixtures, shade_frac
from tenhour.lamps.layout import (
    SEARCH_CELLS,
    BedSize,
    Evenness,
    Layout,
    can_hang,
    evenness,
    fixtures_of,
    grid_m,
    height_table,
    light_map_umol_m2_s,
    summary,
)
from tenhour.lamps.layout import Lamp as Hung
from tenhour.lamps.search import STANDS_OUT_M, Choice, arrangements, choose, effort_w, fits, spread_out
from tenhour.lamps.sizing import ppf_needed_umol_s
from tenhour.model.lamp import Lamp
from tenhour.plan.lamp_bounce import LitRoom, bounced_light_umol_m2_s, bounces_of, panel_box
from tenhour.units import ppfd_from_dli
from tenhour.words import lamps as words

if TYPE_CHECKING:
    from tenhour.model.lamp_answer import HeightRow, Remedy

Array = NDArray[np.float64]
Bounce = Callable[[Fixtures, Array], Array]
"""Extra light [µmol m⁻² s⁻¹] of fixtures at points (p, 3), both in the axes of the room."""

USUAL_HEADROOM_M: Final = 1.2
"""Height above the canopy that is tried where nothing limits it. Practice."""
ROUNDS: Final = 4
TOUCH_M: Final = 1e-6
COARSE_POINTS_M: Final = 0.2
PANEL_GAIN: Final = 1.15
"""What white panels add to begin with; then computed. Derived (1.2 by 2.4 m bed: 16 to 22 %)."""
WHITE_FRAC: Final = 0.9
"""Matt white paint or film in PAR. Practice."""
LEAST_BEYOND_M: Final = 0.05
DOWN_INDEX: Final = 1.0
LAMBERT_DEG: Final = 120.0
CLOSE_FRAC: Final = 0.002
"""Light short by less than this is no shortfall: a tenth of what a good meter tells apart. Judgement."""


@dataclass(frozen=True)
class Place:
    """A bed in its room as lamps see it, in the axes of the room."""

    size: BedSize
    corner_m: tuple[float, float] = (0.0, 0.0)
    canopy_m: float = 0.0
    """Height of the canopy in the room."""
    headroom_m: float | None = None
    """From the canopy to whatever is above."""
    spare_m: float | None = None
    """From the bed's edge to the nearest wall; lamps may not stand out further."""
    refl_frac: float = 0.1
    bounce: Bounce | None = None

    @property
    def stands_out_m(self) -> float:
        """How far a fixture may stand out beyond the bed."""
        return STANDS_OUT_M if self.spare_m is None else min(STANDS_OUT_M, max(self.spare_m, 0.0))

    @property
    def area_m2(self) -> float:
        """Area of the bed."""
        return self.size.length_m * self.size.width_m


@dataclass(frozen=True)
class Hanging:
    """Fixtures chosen, and their light with bounces, new and at full power."""

    choice: Choice
    light: Evenness
    bounced_share: float
    shade_share: float
    fixtures: Fixtures
    panels_gain_frac: float = 0.0
    """Light with side panels over that without, less one."""
    panels_share: float = 0.0
    """Share of the lamp hours in which they hang in the month of the sizing."""
    corner_mean_frac: float = 0.0
    """Light in the darkest corner itself over the mean of the bed."""

    @property
    def layout(self) -> Layout:
        """How they hang."""
        return self.choice.layout

    def flux_ratio(self, panels_share: Array) -> Array:
        """Light over that in the month of the sizing, where panels hang for other shares of the lamp hours [-]."""
        return np.asarray((1 + self.panels_gain_frac * panels_share) / (1 + self.panels_gain_frac * self.panels_share))


@dataclass(frozen=True)
class Gap:
    """Light to be filled: target, daylight counted on before the fixtures' shade, and lamp hours."""

    target_dli_mol_m2_d: float
    daylight_dli_mol_m2_d: float
    hours_h: float
    evenness_frac: float
    panels_share: float = 1.0
    """Share of the lamp hours in which side panels hang."""

    def ppfd_umol_m2_s(self, shade_share: float) -> float:
        """Level flux that fills it.

        shade_share: part of daylight that the fixtures take.
        """
        missing = max(self.target_dli_mol_m2_d - self.daylight_dli_mol_m2_d * (1 - shade_share), 0.0)
        return float(ppfd_from_dli(missing, self.hours_h))


def beams_of(lamp: Lamp) -> list[Hung]:
    """What each size of a lamp sends out, as the lamp room takes it."""
    index = DOWN_INDEX if lamp.beam_deg == LAMBERT_DEG else float(beam_index_of_deg(lamp.beam_deg))
    table = None
    if lamp.intensities is not None:
        given = lamp.intensities
        table = IntensityTable(given.vertical_deg, given.horizontal_deg, given.intensity_umol_sr_s)
    return [
        Hung(Beam(s.ppf_umol_s, s.length_m, s.width_m, index, lamp.down_share, table), s.power_w) for s in lamp.sizes
    ]


def heights_m(place: Place, lamp: Lamp, headroom_m: float | None) -> tuple[float, float]:
    """Lowest and highest hanging height above the canopy.

    Errors: NoAnswer where the clearance to leaves does not fit under what is above.
    Parameters: place, lamp; headroom_m, room above the canopy that was asked for [m], None for the house's own.
    """
    above = headroom_m if headroom_m is not None else place.headroom_m
    if above is None:
        return lamp.clearance_m, max(USUAL_HEADROOM_M, lamp.clearance_m)
    # The headroom asked for is where the lamp may hang; that of the house ends at film or boards.
    highest = above if headroom_m is not None else above - lamp.clearance_above_m
    if place.headroom_m is not None:
        highest = min(highest, place.headroom_m - lamp.clearance_above_m)
    if highest < lamp.clearance_m - TOUCH_M:
        raise NoAnswer(words.TOO_LOW(lamp=lamp.title, under=lamp.clearance_m, over=lamp.clearance_above_m, there=above))
    return lamp.clearance_m, max(min(highest, max(USUAL_HEADROOM_M, lamp.clearance_m)), lamp.clearance_m)


def hang(
    place: Place, lamp: Lamp, gap: Gap, headroom_m: float | None, panels_refl_frac: float | None
) -> tuple[Hanging, float]:
    """Choose fixtures for a bed so that the gap is filled with walls, panels and the fixtures' own shade counted.

    Parameters: place; lamp; gap; headroom_m, highest a lamp may hang; panels_refl_frac, of side panels, or None.
    Returns: (Hanging, level flux needed [µmol m⁻² s⁻¹] after their shade).
    Errors: NoAnswer where there is no room for the lamp.
    """
    lowest, highest = heights_m(place, lamp, headroom_m)
    beyond = place.stands_out_m if panels_refl_frac is None else 0.0
    beams = [hung for hung in beams_of(lamp) if fits(place.size, hung.beam, beyond)]
    if not beams:
        least = min(size.length_m for size in lamp.sizes)
        raise NoAnswer(words.TOO_LONG(lamp=lamp.title, length=least, bed=max(place.size), out=beyond))
    gain = 1.0
    wanted = gap.ppfd_umol_m2_s(0.0) / lamp.maintenance_frac
    best: Hanging | None = None
    for turn in range(ROUNDS):
        choice = _chosen(place, beams, wanted / gain, gap.evenness_frac, (lowest, highest), beyond)
        found = with_bounces(place, choice, panels_refl_frac, gap.evenness_frac, gap.panels_share)
        wanted = gap.ppfd_umol_m2_s(found.shade_share) / lamp.maintenance_frac
        enough = found.light.mean_umol_m2_s >= wanted * (1 - CLOSE_FRAC)
        if enough and (best is None or found.layout.power_w < best.layout.power_w):
            best = found
        # The first round knows nothing of walls and shade; a later one that is enough is settled, as is one whose
        # light would fall short by one fixture less.
        spare = 1 - 1 / max(found.layout.fixtures_count, 1)
        if enough and (turn > 0 or found.light.mean_umol_m2_s * spare < wanted):
            break
        step = found.light.mean_umol_m2_s / choice.layout.light.mean_umol_m2_s
        gain = step if not enough else max(step, gain)
    chosen = best if best is not None else found
    return chosen, wanted * lamp.maintenance_frac


def hang_given(place: Place, lamp: Lamp, count: int, height_m: float) -> Hanging | None:
    """A given number of fixtures at a given height, set as evenly as they go; None where they find no room.

    Parameters: place; lamp, with one size; count; height_m, above the canopy [m].
    """
    hung = beams_of(lamp)[0]
    reach = place.stands_out_m
    bases = arrangements(place.size, hung.beam, count, 0.0, reach)
    bases = [base for base in bases if base.columns_count * base.rows_count == count]
    # evenly spaced as people hang them; drawn apart only where they would touch
    ways = [base for base in bases if can_hang(place.size, hung.beam, base, reach)]
    ways = ways or [way for base in bases for way in spread_out(place.size, hung.beam, base, reach)]
    rated = [(evenness(place.size, hung.beam, way, height_m, SEARCH_CELLS)[0].min_mean_frac, way) for way in ways]
    best = max(rated, key=lambda pair: pair[0], default=None)
    if best is None:
        return None
    light = evenness(place.size, hung.beam, best[1], height_m)[0]
    return with_bounces(place, Choice(Layout(hung, best[1], height_m, light), True, True), None, 0.0)


def _chosen(
    place: Place, beams: list[Hung], wanted: float, evenness_frac: float, heights: tuple[float, float], beyond_m: float
) -> Choice:
    """The thriftier even layout of one within the bed and one whose end fixtures hang beyond it; else the former."""
    within = choose(place.size, beams, wanted, evenness_frac, *heights, 0.0, beyond_m)
    if not within.bright_enough or beyond_m < LEAST_BEYOND_M:
        return within
    out = choose(place.size, beams, wanted, evenness_frac, *heights, beyond_m, beyond_m)
    if out.even_enough and (not within.even_enough or effort_w(out.layout) < effort_w(within.layout)):
        return out
    return within


def with_bounces(
    place: Place, choice: Choice, panels_refl_frac: float | None, evenness_frac: float, panels_share: float = 1.0
) -> Hanging:
    """Light of a layout with what walls or panels return, on a grid over the bed; mean of the lamp hours.

    Parameters: panels_refl_frac, reflectance of side panels, None without; evenness_frac, darkest over mean wanted;
        panels_share, share of the lamp hours in which the panels hang.
    """
    layout = choice.layout
    x, y = grid_m(place.size, layout.height_m)
    hung = fixtures_of(layout, place.size, place.corner_m, place.canopy_m)
    points = _points(place, x, y)
    lines = x - place.size.length_m / 2, y - place.size.width_m / 2
    direct = light_map_umol_m2_s(place.size, layout.lamp.beam, layout.arrangement, layout.height_m, *lines)[0].T
    extra, gain, share = np.zeros_like(direct), 0.0, 0.0
    bounce = place.bounce
    if bounce is not None and (panels_refl_frac is None or panels_share < 1.0):
        extra = _coarse(place, x, y, lambda at: bounce(hung, at))
    if panels_refl_frac is not None:
        panels, share = _panel_light(place, layout, panels_refl_frac, x, y), panels_share
        gain = float((direct + panels).mean() / (direct + extra).mean()) - 1.0
        extra = panels * share + extra * (1.0 - share)
    level = direct + extra
    emitted = layout.lamp.beam.ppf_umol_s * layout.fixtures_count
    light = summary(level, emitted, place.area_m2)
    beam = layout.lamp.beam
    shade = float(shade_frac(points, hung.centre_m, hung.turn_deg, beam.length_m, beam.width_m).mean())
    bounced = float(extra.mean() / level.mean()) if level.mean() > 0 else 0.0
    even = light.min_mean_frac >= evenness_frac
    over, across = (np.array([-side / 2, side / 2]) for side in place.size)
    corners = light_map_umol_m2_s(place.size, layout.lamp.beam, layout.arrangement, layout.height_m, over, across)[0].T
    darkest = float((corners + extra[np.ix_([0, -1], [0, -1])]).min())
    corner = min(darkest / light.mean_umol_m2_s, light.min_mean_frac) if light.mean_umol_m2_s > 0 else 0.0
    return Hanging(choice._replace(even_enough=even), light, bounced, shade, hung, gain, share, corner)


def _points(place: Place, x: Array, y: Array) -> Array:
    grid = np.meshgrid(x + place.corner_m[0], y + place.corner_m[1])
    return np.column_stack([grid[0].ravel(), grid[1].ravel(), np.full(grid[0].size, place.canopy_m)])


def _coarse(place: Place, x: Array, y: Array, light: Callable[[Array], Array]) -> Array:
    """Bounced light, which is smooth, on fewer points and straight lines between them."""
    sides = [np.linspace(0.0, side, max(2, int(np.ceil(side / COARSE_POINTS_M)) + 1)) for side in place.size]
    points = _points(place, *sides)
    coarse = light(points).reshape(sides[1].size, sides[0].size)
    rows = np.array([np.interp(x, sides[0], row) for row in coarse])
    return np.array([np.interp(y, sides[1], column) for column in rows.T]).T


def _panel_light(place: Place, layout: Layout, panels_refl_frac: float, x: Array, y: Array) -> Array:
    """What side panels up to the lamps return."""
    box = _panel_box(place.size, round(layout.height_m, 6), panels_refl_frac, place.refl_frac)
    hung = fixtures_of(layout, place.size)
    alone = Place(place.size)
    lift = np.array([0.0, 0.0, 1e-4])
    return _coarse(alone, x, y, lambda at: bounced_light_umol_m2_s(box, hung, bounces_of(box, at + lift)))


@lru_cache(maxsize=8)
def _panel_box(size: BedSize, height_m: float, panels_refl_frac: float, bed_refl_frac: float) -> LitRoom:
    return panel_box(size.length_m, size.width_m, height_m, panels_refl_frac, bed_refl_frac)


def height_rows(place: Place, hanging: Hanging, lamp: Lamp, headroom_m: float | None) -> tuple[HeightRow, ...]:
    """The layout at other heights: direct light after maintenance, raised by the bounces of the height chosen.

    Parameters: headroom_m, as in :func:`heights_m` [m].
    """
    from tenhour.model.lamp_answer import HeightRow

    lowest, highest = heights_m(place, lamp, headroom_m)
    layout = hanging.layout
    gain = hanging.light.mean_umol_m2_s / layout.light.mean_umol_m2_s
    rows = []
    for height, light in height_table(place.size, layout, lowest, highest):
        chosen = height == layout.height_m
        even = hanging.light.min_mean_frac if chosen else light.min_mean_frac
        mean = light.mean_umol_m2_s * gain * lamp.maintenance_frac
        rows.append(HeightRow(height, mean, even, min(light.cu_frac * gain, 1.0), chosen))
    return tuple(rows)


def remedies(
    place: Place, hanging: Hanging, lamp: Lamp, gap: Gap, headroom_m: float | None, white: bool
) -> tuple[Remedy, ...]:
    """What would make the light of an uneven layout more even, each computed; white if panels hang already.

    Parameters: headroom_m, as in :func:`heights_m` [m].
    """
    from tenhour.model.lamp_answer import Remedy

    if hanging.choice.even_enough:
        return ()
    layout, wanted = hanging.layout, gap.evenness_frac
    lowest, highest = heights_m(place, lamp, headroom_m)
    need = hanging.light.mean_umol_m2_s * (1 - CLOSE_FRAC)
    found = []
    if not white:
        within = choose(place.size, [layout.lamp], need / PANEL_GAIN, wanted, lowest, highest, 0.0, 0.0)
        panels = with_bounces(place, within, WHITE_FRAC, wanted, gap.panels_share)
        ratio = panels.light.mean_umol_m2_s / hanging.light.mean_umol_m2_s
        change = words.PANELS(count=panels.layout.fixtures_count)
        found.append(Remedy(change, panels.light.min_mean_frac, ratio, panels.choice.even_enough))
    if highest < USUAL_HEADROOM_M:
        high = choose(place.size, [layout.lamp], need, wanted, lowest, USUAL_HEADROOM_M, 0.0, place.stands_out_m)
        if high.even_enough and high.layout.height_m > highest:
            change = words.HEADROOM(height=high.layout.height_m, count=high.layout.fixtures_count)
            found.append(Remedy(change, high.layout.light.min_mean_frac, 1.0, True))
    found.append(Remedy(words.TRAYS_TURNED(), None, None, False))
    return tuple(found)


def ppf_needed(hanging: Hanging, lamp: Lamp, place: Place, ppfd_umol_m2_s: float) -> float:
    """Photon flux all fixtures must emit for a level flux, by this layout's share of photons landing.

    Parameters: ppfd_umol_m2_s, wanted on the bed [µmol m⁻² s⁻¹]. Returns: [µmol s⁻¹].
    """
    needed = ppf_needed_umol_s(ppfd_umol_m2_s, place.area_m2, hanging.light.cu_frac, lamp.maintenance_frac)
    return float(needed)
