"""What lies on the panes of a house by month and bed: frame and dirt, wet, snow; or a factor that was measured."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.cover import optics
from tenhour.house import shapes
from tenhour.model.cover import Cover
from tenhour.model.house import House
from tenhour.model.site import MONTHS
from tenhour.year.inside.scene import cover_by_face, pane_of, scene_of

Array = NDArray[np.float64]

WET_BELOW_DEGC: Final = 10.0
"""Outdoor mean below which panes stay wet inside most of the time (check-values 4.6: winter roofs nearly always)."""
SLID_SNOW_M: Final = 0.3
"""Height to which snow slid off the roof stands against low glass in snow months: practice."""
SNOW_LIES_DEG: Final = 30.0
SNOW_GONE_DEG: Final = 60.0
"""Slopes up to which snow lies in full, and from which none does (EN 1991-1-3:2003, table 5.2; from memory)."""
SHEDS_DEG: Final = (5.0, 75.0)
"""Slopes between which a roof sheds its snow onto the ground before the wall below it. Judgement."""
SAME_SIDE: Final = 0.7
"""Cosine between the ways a roof and a wall face from which the snow of the one lands before the other. Judgement."""


class PaneStates(NamedTuple):
    """Factors on what passes each pane, by distinct state, and the state of each bed: dry and bare, and by month."""

    factors: tuple[dict[str, float], ...]
    of_bed: NDArray[np.intp]
    """[beds]: panes dry and free of snow."""
    of_bed_month: NDArray[np.intp]
    """[beds, 12]."""


class _Piece(NamedTuple):
    """One pane of the skin: its cover, what frame and dirt leave, and how much of its cover's snow lies on it."""

    cover: Cover
    clean_frac: float
    snow_share: float


def pane_states(house: House, temp_month_degc: Array) -> PaneStates:
    """Frame, dirt, wet panes in cold months, snow on the roof and against low glass in snow months.

    Parameters: house; temp_month_degc [12], outdoor means.
    Method: a bed whose factor was fitted from readings sees panes without frame, dirt or the whole house's measured
    share, for its factor stands for all of them; any other bed keeps these.
    """
    pieces = _pieces(house)
    factors: list[dict[str, float]] = []

    def number(state: dict[str, float]) -> int:
        if state not in factors:
            factors.append(state)
        return factors.index(state)

    dry, months = [], []
    for bed in house.beds:
        measured = fitted_factor(house, bed.name) is not None
        bare = {name: 1.0 if measured else piece.clean_frac for name, piece in pieces.items()}
        dry.append(number(bare))
        months.append([number(_weathered(house, pieces, bare, m, float(temp_month_degc[m]))) for m in range(MONTHS)])
    return PaneStates(tuple(factors), np.array(dry), np.array(months))


def fitted_factor(house: House, bed: str) -> float | None:
    """Factor fitted from readings of a bed, or of the whole house; None where nobody measured."""
    return house.light_factor.get(bed, house.light_factor.get(""))


def common_losses_frac(house: House) -> float | None:
    """Share that frame and dirt leave of the light, where all panes agree in it; None where they do not."""
    left = {piece.clean_frac for piece in _pieces(house).values()}
    return left.pop() if len(left) == 1 and house.whole_house_trans_frac is None else None


def _weathered(
    house: House, pieces: dict[str, _Piece], bare: dict[str, float], month: int, temp_degc: float
) -> dict[str, float]:
    """Factors of one month, counted from 0."""
    wet, snow = temp_degc < WET_BELOW_DEGC, month + 1 in house.site.snow_months
    return {
        name: bare[name]
        * (1.0 - piece.cover.condensation_share if wet else 1.0)
        * (1.0 - piece.cover.snow_share * piece.snow_share if snow else 1.0)
        for name, piece in pieces.items()
    }


def _pieces(house: House) -> dict[str, _Piece]:
    snow = _snow_shares(house)
    return {name: _Piece(cover, _clean_frac(house, cover), snow[name]) for name, cover in cover_by_face(house).items()}


def _clean_frac(house: House, cover: Cover) -> float:
    """What frame and dirt leave, or the factor that brings the pane to what was measured for the whole house."""
    if house.whole_house_trans_frac is None:
        return (1.0 - cover.frame_share) * (1.0 - cover.dirt_share)
    pane = pane_of(cover)
    passed = pane.straight_frac + pane.scattered_frac
    most = max(float(passed.max()), shapes.TOLERANCE_M)
    return min(house.whole_house_trans_frac / max(optics.hemispherical_frac(passed), shapes.TOLERANCE_M), 1.0 / most)


def _snow_shares(house: House) -> dict[str, float]:
    """Share of every face and window on which snow lies in snow months, by how it slopes and where it stands."""
    scene = scene_of(house)
    corners = np.concatenate([surface.vertices_m for surface in scene.surfaces])
    middle, lowest = corners.mean(axis=0), float(corners[:, 2].min())
    frames = {surface.name: shapes.frame_of(surface.vertices_m, middle) for surface in scene.surfaces}
    roofs = [frame for frame in frames.values() if SHEDS_DEG[0] < _slope_deg(frame) < SHEDS_DEG[1]]
    outlines = {surface.name: (frames[surface.name], surface.vertices_m) for surface in scene.surfaces}
    for number, opening in enumerate(scene.openings, start=1):
        if opening.on in frames:
            frame = frames[opening.on]
            outlines[f"window {number}"] = (frame, _opening_m(frame, opening, lowest))
    return {
        name: max(_lies_share(frame), _slid_share(frame, vertices, roofs, lowest))
        for name, (frame, vertices) in outlines.items()
    }


def _opening_m(frame: shapes.Frame, opening: shapes.Opening, floor_m: float) -> Array:
    (u_low, v_low), (u_high, v_high) = shapes.opening_corners_m(frame, opening, floor_m)
    flat = np.array([[u_low, v_low], [u_high, v_low], [u_high, v_high], [u_low, v_high]])
    return np.asarray(frame.origin_m + flat @ np.stack([frame.u, frame.v]))


def _slope_deg(frame: shapes.Frame) -> float:
    """Slope of a face [°]: 0 for a flat roof, 90 for a wall, beyond for faces that look down."""
    return float(np.degrees(np.arccos(np.clip(-frame.normal[2], -1.0, 1.0))))


def _lies_share(frame: shapes.Frame) -> float:
    return float(np.clip((SNOW_GONE_DEG - _slope_deg(frame)) / (SNOW_GONE_DEG - SNOW_LIES_DEG), 0.0, 1.0))


def _slid_share(frame: shapes.Frame, vertices_m: Array, roofs: list[shapes.Frame], lowest_m: float) -> float:
    """Share of a steep face that stands in the snow slid from a roof above it."""
    if not SNOW_GONE_DEG <= _slope_deg(frame) <= 2 * SNOW_GONE_DEG:
        return 0.0
    ways = np.array([roof.normal[:2] / np.linalg.norm(roof.normal[:2]) for roof in roofs]).reshape(-1, 2)
    way = frame.normal[:2] / np.linalg.norm(frame.normal[:2])
    if not (ways @ way > SAME_SIDE).any():
        return 0.0
    return _share_below(vertices_m, lowest_m + SLID_SNOW_M)


def _share_below(vertices_m: Array, height_m: float) -> float:
    """Share of a flat polygon's area that lies below a height."""
    kept: list[Array] = []
    for here, then in zip(vertices_m, np.roll(vertices_m, -1, axis=0), strict=True):
        if here[2] <= height_m:
            kept.append(here)
        if (here[2] - height_m) * (then[2] - height_m) < 0.0:
            kept.append(here + (then - here) * ((height_m - here[2]) / (then[2] - here[2])))
    if len(kept) < 3:
        return 0.0
    whole = float(np.linalg.norm(shapes.newell_normal(vertices_m)))
    return float(np.linalg.norm(shapes.newell_normal(np.array(kept)))) / whole
