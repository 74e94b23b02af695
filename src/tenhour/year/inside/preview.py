"""Light on the beds on one day alone, at once: what is shown while a bed is still being dragged."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from tenhour.house import bedlight
from tenhour.house.bedlight import Scene
from tenhour.house.outside import Dome, Emitters
from tenhour.house.suntable import sun_nodes
from tenhour.model.house import House
from tenhour.plan.dates import DAYS, MONTH_OF_DAY
from tenhour.year.inside.beds import BedYear, beds_of, dome_of
from tenhour.year.inside.panes import PaneStates, pane_states
from tenhour.year.inside.scene import bed_plane, scene_of
from tenhour.year.outside.sunlight import DULL, Drive, Sunlight

Array = NDArray[np.float64]

COARSE_PATCHES: Final = 120
COARSE_RAYS: Final = 7_680
COARSE_POINTS: Final = 21
COARSE_SKIP: Final = 2
"""Of the directions of the sky one in so many is looked along."""
"""With these four the bed means of the day stay within 3.5 % of the whole year's run (docs/method/house.md)."""

NOWHERE: Final[dict[str, Any]] = {"at_m": (0.0, 0.0), "size_m": (1.0, 1.0)}
"""Where every bed lies as far as the house around it is concerned."""


@dataclass(frozen=True)
class BedDay:
    """Daylight on one bed on one day."""

    name: str
    x_m: Array
    y_m: Array
    """Grid points in house metres [p]."""
    point_dli_mol_m2_d: Array
    """Mean day at each point [p]."""
    dli_mol_m2_d: float
    dull_dli_mol_m2_d: float


@dataclass(frozen=True)
class Standing:
    """What of a house stays as it is while its beds are dragged."""

    skin: House
    """Without its beds' places."""
    light: Sunlight
    """Of its site."""
    scene: Scene
    states: PaneStates
    around: Emitters | None = None
    """Sky, ground and neighbours as the house sees them; None until it is traced."""

    @classmethod
    def of(cls, house: House, light: Sunlight, known: Standing | None = None) -> Standing:
        """What stands of a house in its light, taken from what is known already where that is the same."""
        skin = replace(house, beds=tuple(replace(bed, **NOWHERE) for bed in house.beds))
        if known is not None and known.light is light and known.skin == skin:
            return known
        scene = replace(scene_of(house), patches=COARSE_PATCHES, bed_points=COARSE_POINTS, rays=COARSE_RAYS)
        return cls(skin, light, scene, pane_states(house, np.asarray(light.outdoors.climate.temp_degc)))


def beds_on_day(house: House, standing: Standing, day: int) -> tuple[tuple[BedDay, ...], Standing]:
    """Daylight on every bed on one day, coarse.

    Parameters: house; standing, of it; day, of the generic year from 0.
    Returns: the beds, and what stands of the house, for the next of its days or places of its beds.
    Method: the chain of every answer, with the suns of that day alone, the panes as they are that month, fewer points
    and patches.
    """
    light, states = standing.light, standing.states
    own = _light_of_day(light, day)
    used, place = np.unique(states.of_bed_month[:, MONTH_OF_DAY[day] - 1], return_inverse=True)
    there = PaneStates(tuple(states.factors[number] for number in used), place, np.repeat(place[:, None], 12, axis=1))
    scene = replace(standing.scene, beds=tuple(bed_plane(bed) for bed in house.beds))
    solved = bedlight.solver(scene, thinned(dome_of(light)), around=standing.around)
    standing = replace(standing, around=solved.emitters)
    solved = replace(solved, absorbed_frac=solved.absorbed_frac[:0])  # nobody asks what the walls absorb
    nodes = sun_nodes(house.site.latitude_deg, own.drive.direction)
    found = beds_of(house, own, bedlight.coefficients(solved, nodes, there.factors), there)
    return _days(found, day), standing


def thinned(dome: Dome, skip: int = COARSE_SKIP) -> Dome:
    """A sky looked along fewer directions.

    Parameters: dome; skip, of its directions one in so many is kept.
    Returns: Dome of the same patches, each of the solid angle that it had.
    """
    angle, patch = dome.solid_angle_sr, dome.patch
    kept = np.arange(len(patch)) % skip == 0
    kept |= np.bincount(patch[kept], minlength=patch.max() + 1)[patch] == 0  # a patch that would be left without any
    whole, left = (np.bincount(patch, weights) for weights in (angle, angle * kept))
    return Dome(dome.direction[kept], (angle * (whole / left)[patch])[kept], patch[kept])


def _days(found: tuple[BedYear, ...], day: int) -> tuple[BedDay, ...]:
    """What one day is of light on the beds."""
    return tuple(
        BedDay(
            bed.name,
            bed.x_m,
            bed.y_m,
            bed.point_dli_mol_m2_d[day],
            float(bed.dli_mol_m2_d[day]),
            float(bed.class_dli_mol_m2_d[day, DULL]),
        )
        for bed in found
    )


def _light_of_day(light: Sunlight, day: int) -> Sunlight:
    """The same light with the suns of one day."""
    drive = light.drive
    column = np.unique(np.concatenate([beam[[day], :].indices for beam in drive.beam]))
    keep = np.zeros(DAYS)
    keep[day] = 1.0
    alone = sparse.diags_array(keep)
    beam = tuple(sparse.csr_array(alone @ level[:, column]) for level in drive.beam)
    direction = drive.direction[column]
    return replace(
        light, drive=Drive(drive.sky, drive.ground, beam, direction), sun=replace(light.sun, direction=direction)
    )
