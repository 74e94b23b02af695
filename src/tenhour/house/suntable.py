"""Sun positions of a year on a net of hour angle and declination, so that 17 000 steps need some 1 000 traces."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from scipy import sparse

from tenhour.house.outside import Outside, above_skyline
from tenhour.house.patches import IntArray
from tenhour.house.shapes import FloatArray

HOUR_ANGLES: Final = 48
"""Nodes round the day: half an hour apart, 7.5 degrees. Twice as many change no bed by more than 1.2 % of a month's
light, 0.3 % of the year's (docs/method/speed.md)."""

DECLINATIONS: Final = 140
"""Nodes from pole to pole, 1.29 degrees apart: some 36 of them within the sun's range."""

CLOSER: Final = 4
"""For points that see little of the sun's way the nodes of a day stand so many times as close, 7.5 minutes apart."""


class SunNodes(NamedTuple):
    """Nodes of the net that are in use."""

    latitude_deg: float
    cell: IntArray
    """[n], numbers of the nodes on the whole net, rising."""
    direction: FloatArray
    """[n, 3] unit vectors in east, north, up."""
    hour_angles: int = HOUR_ANGLES
    """Nodes round the day."""
    often: FloatArray | None = None
    """[n], how many of the sun positions asked for each node stands for; None if all count alike."""
    close: SunNodes | None = None
    """The same range in closer nodes, for the beam that reaches a point through a small opening; where it is asked for.
    Weights of the closer nodes stand behind those of these."""

    def weights(self, sun: FloatArray, outside: Outside) -> sparse.csr_array:
        """Linear weights of the nodes for sun positions [n, 3]; see ``BedLight.sun_weights``.

        Errors: ValueError where a sun stands outside the nodes.
        """
        corner, weight = _corners(self.latitude_deg, sun, self.hour_angles)
        weight = weight * above_skyline(outside, sun)[:, None]
        column = np.minimum(np.searchsorted(self.cell, corner), len(self.cell) - 1)
        rows = np.repeat(np.arange(len(sun)), corner.shape[1])
        known = (self.cell[column] == corner).ravel()
        if not known[weight.ravel() > 0].all():
            raise ValueError("a sun position lies outside the range the nodes were made for")
        shape = (len(sun), len(self.cell))
        own = sparse.csr_array((weight.ravel(), (rows, column.ravel())), shape=shape)
        if self.close is None:
            return own
        return sparse.csr_array(sparse.hstack([own, self.close.weights(sun, outside)]))


def sun_nodes(latitude_deg: float, sun: FloatArray, hour_angles: int = HOUR_ANGLES, closer: int = CLOSER) -> SunNodes:
    """Nodes needed to reach all given sun positions.

    Parameters: latitude_deg [degree]; sun [n, 3], unit vectors in east, north, up; hour_angles, nodes round the day;
    closer, how many times as many the close ones are, 1 for none.
    Returns: SunNodes.
    Method: geometry; hour angle and declination on a net (docs/method/house.md, "What happens to a ray").
    """
    corner, weight = _corners(latitude_deg, sun, hour_angles)
    nodes = _nodes(latitude_deg, corner, hour_angles)
    often = np.bincount(corner.ravel(), weight.ravel(), hour_angles * (DECLINATIONS + 1))[nodes.cell]
    nodes = nodes._replace(often=np.asarray(often, dtype=np.float64))
    if closer == 1:
        return nodes
    # every sun between nodes in use lies between close ones too
    row, first = np.divmod(np.unique(corner[:, 0]), hour_angles)
    hour = (first[:, None] * closer + np.arange(closer + 1)) % (hour_angles * closer)
    cells = [(row + above)[:, None] * (hour_angles * closer) + hour for above in (0, 1)]
    return nodes._replace(close=_nodes(latitude_deg, np.stack(cells), hour_angles * closer))


def _nodes(latitude_deg: float, corner: IntArray, hour_angles: int) -> SunNodes:
    """The nodes of some numbers."""
    used = np.zeros(hour_angles * (DECLINATIONS + 1), dtype=bool)
    used[corner] = True
    cell = np.flatnonzero(used)
    declination = (cell // hour_angles) * (np.pi / DECLINATIONS) - np.pi / 2
    hour = (cell % hour_angles) * (2 * np.pi / hour_angles)
    phi = np.radians(latitude_deg)
    equator = np.cos(declination) * np.cos(hour)
    direction = np.column_stack(
        [
            -np.cos(declination) * np.sin(hour),
            np.cos(phi) * np.sin(declination) - np.sin(phi) * equator,
            np.sin(phi) * np.sin(declination) + np.cos(phi) * equator,
        ]
    )
    return SunNodes(latitude_deg, cell, direction, hour_angles)


def _corners(latitude_deg: float, sun: FloatArray, hour_angles: int) -> tuple[IntArray, FloatArray]:
    """The four nodes round each position and their weights, linear in hour angle and declination."""
    phi = np.radians(latitude_deg)
    east, north, up = sun.T
    declination = np.arcsin(np.clip(up * np.sin(phi) + north * np.cos(phi), -1.0, 1.0))
    hour = np.arctan2(-east, up * np.cos(phi) - north * np.sin(phi))
    d = np.clip((declination + np.pi / 2) * (DECLINATIONS / np.pi), 0.0, DECLINATIONS - NET_EDGE)
    h = np.mod(hour * (hour_angles / (2 * np.pi)), hour_angles)
    d_low, h_low = np.floor(d).astype(np.int64), np.floor(h).astype(np.int64) % hour_angles
    fd, fh = d - d_low, h - np.floor(h)
    h_next = (h_low + 1) % hour_angles
    corner = np.stack([d_low * hour_angles + h_low, d_low * hour_angles + h_next], axis=1)
    corner = np.concatenate([corner, corner + hour_angles], axis=1)
    weight = np.stack([(1 - fd) * (1 - fh), (1 - fd) * fh, fd * (1 - fh), fd * fh], axis=1)
    return corner, weight


NET_EDGE: Final = 1e-9
"""Keeps the pole itself inside the last row of the net."""
