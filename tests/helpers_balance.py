"""The room's account of light: what entered, what was absorbed, what left, each summed on its own."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from tenhour.house.bedlight import Solver
from tenhour.house.mirror import curve_at
from tenhour.house.outside import Emitters, house_axes
from tenhour.house.shapes import OPAQUE, FloatArray
from tenhour.house.transfer import pane_light, scatter_light


class Balance(NamedTuple):
    """Light of one situation [W], or photons if the source is given in photons."""

    entered_w: float
    """Through all panes, from their area, angle curves and what they face."""
    absorbed_w: float
    """By walls, floor, boxes and beds."""
    escaped_w: float
    """Through the panes, their own absorption from inside included."""

    @property
    def error_frac(self) -> float:
        """What is missing or too much, as a share of what entered."""
        return (self.absorbed_w + self.escaped_w) / self.entered_w - 1.0 if self.entered_w > 0 else 0.0


def sky_balance(solved: Solver, sky_w_m2_sr: FloatArray, ground_w_m2_sr: float) -> Balance:
    """Balance under a sky and a bright ground.

    Parameters: solved; sky_w_m2_sr [sky patches] and ground_w_m2_sr, radiance [W m⁻² sr⁻¹].
    Returns: Balance.
    """
    around = solved.emitters
    known = np.append(sky_w_m2_sr, ground_w_m2_sr)
    return _balance(solved, around, np.concatenate([known, around.folding @ known]))


def sun_balance(solved: Solver, sun: FloatArray) -> Balance:
    """Balance under one sun [3] (east, north, up) of 1 W m⁻² beam, sky and ground dark."""
    turned = house_axes(np.asarray(sun, dtype=np.float64)[None], solved.scene.azimuth_deg)
    return _balance(solved, solved.emitters.as_suns(turned), np.ones(1))


def _balance(solved: Solver, around: Emitters, radiance: FloatArray) -> Balance:
    area, refl = solved.exchange.area_m2, solved.exchange.refl_frac
    landed, _ = pane_light(solved.room, around, solved.tables)
    first = landed.summed((len(area), around.count)) @ radiance
    panes = scatter_light(solved.room, around, solved.tables)
    first += solved.exchange.share.T @ ((panes.patches @ (panes.density @ radiance)) * area)
    kept = solved.exchange.settled(first) * (1.0 - refl)
    glazed = solved.room.patch_pane_index != OPAQUE
    return Balance(_entered(solved, around, radiance), float(kept[~glazed].sum()), float(kept[glazed].sum()))


def _entered(solved: Solver, around: Emitters, radiance: FloatArray) -> float:
    room, whole = solved.room, solved.tables.straight + solved.tables.scattered
    total = 0.0
    for k, piece in enumerate(room.pieces):
        if piece.pane_index == OPAQUE:
            continue
        cosine = -(around.direction @ room.face_normal[piece.face_index])
        index = np.flatnonzero(cosine > 0)
        passed = curve_at(whole, cosine[index], np.full(len(index), piece.pane_index))
        own = np.flatnonzero(room.patch_piece == k)
        seen = around.along(room.patch_centre_m[own][:, None, :], index[None, :])
        light = np.where(seen >= 0, radiance[seen], 0.0) @ (around.solid_angle_sr[index] * cosine[index] * passed)
        total += float(np.broadcast_to(light, len(own)) @ room.patch_area_m2[own])
    return total
