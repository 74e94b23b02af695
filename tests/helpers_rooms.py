"""Small rooms and skies for the house tests."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tenhour.cover import optics
from tenhour.house import bedlight, outside, shapes
from tenhour.house.suntable import SunNodes

Array = NDArray[np.float64]
PUBLISHED = Path(__file__).parent / "published"
LATITUDE_DEG = 52.0


def rows(name: str) -> list[dict[str, str]]:
    """Rows of one published table."""
    with (PUBLISHED / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def banded_dome(samples: int, bands: int = 45) -> tuple[outside.Dome, Array]:
    """Even dome with one patch per band of height, and the mean CIE overcast radiance of each band."""
    direction, size, _ = bedlight.plain_dome(samples)
    band = np.minimum((direction[:, 2] * bands).astype(np.int64), bands - 1)
    overcast = (1 + 2 * direction[:, 2]) / 3
    mean = np.bincount(band, overcast) / np.bincount(band)
    return outside.Dome(direction, size, band), mean


PLAIN = outside.Dome(*bedlight.plain_dome(2500))
"""A uniform sky."""

COARSE = outside.Dome(*bedlight.plain_dome(700))
"""The same for quick looks."""


def panes_of(*panes: optics.Pane) -> bedlight.Panes:
    """Arrays of several panes."""
    return bedlight.Panes(
        np.stack([p.straight_frac for p in panes]),
        np.stack([p.scattered_frac for p in panes]),
        np.array([p.inside_refl_frac for p in panes]),
        np.stack([p.mirrored_frac for p in panes]),
    )


def flat_pane(transmitted: float = 1.0, straight_share: float = 1.0, reflected: float = 0.0) -> optics.Pane:
    """Pane that passes and reflects the same at every angle."""
    whole = np.full(91, transmitted)
    return optics.Pane(whole * straight_share, whole * (1 - straight_share), reflected, 0.0)


GLASS = optics.clear_pane(1.52, 0.96, 1)
"""Ordinary single glass."""


def skin(
    shape: str, dimensions: dict[str, float], pane: dict[str, int] | None = None, refl: dict[str, float] | float = 0.5
) -> tuple[shapes.Surface, ...]:
    """Faces of a shape with panes by name and reflectance by name or for all."""
    made = pane or {}
    out = []
    for name, corners in shapes.faces_m(shape, dimensions).items():
        value = refl if isinstance(refl, float) else refl.get(name, 0.5)
        index = next((p for key, p in made.items() if shapes.same_face(name, key)), shapes.OPAQUE)
        out.append(shapes.Surface(name, corners, index, value))
    return tuple(out)


BOX = {"length": 4.0, "width": 3.0, "eaves": 2.4}


def box_scene(
    pane: dict[str, int] | None = None,
    refl: dict[str, float] | float = 0.5,
    panes: bedlight.Panes | None = None,
    dimensions: dict[str, float] | None = None,
    **more: object,
) -> bedlight.Scene:
    """A box room with one bed in its middle unless other beds are given."""
    size = dimensions or BOX
    x, y = size["length"] / 2, size["width"] / 2
    beds = more.pop("beds", (bedlight.BedPlane("bed", (x - 0.6, y - 0.4), (x + 0.6, y + 0.4), 0.4),))
    openings = more.pop("openings", ())
    blocks = more.pop("blocks", ())
    made = panes or panes_of(flat_pane())
    return bedlight.Scene(skin("box", size, pane, refl), openings, blocks, beds, made, **more)  # type: ignore[arg-type]


def exact(solved: bedlight.Solver, suns: Array, states: tuple[dict[str, float], ...] = ({},)) -> bedlight.BedLight:
    """Coefficients with the given suns themselves as nodes, so that nothing is interpolated."""
    return bedlight.coefficients(solved, SunNodes(LATITUDE_DEG, np.arange(len(suns)), suns), states)


def sun_at(azimuth_deg: float, height_deg: float) -> Array:
    """Unit vector east, north, up."""
    a, h = np.radians(azimuth_deg), np.radians(height_deg)
    return np.array([np.sin(a) * np.cos(h), np.cos(a) * np.cos(h), np.sin(h)])


def sky_total(light: bedlight.BedLight, state: int = 0) -> Array:
    """Light of a uniform sky over that outdoors, at each point."""
    return np.asarray((light.sky_direct_sr[state] + light.sky_bounced_sr[state]).sum(axis=1) / np.pi)


def sun_total(light: bedlight.BedLight, state: int = 0) -> Array:
    """Irradiance per unit of beam, points × nodes."""
    return np.asarray(light.sun_direct_ratio[state] + light.sun_bounced_ratio[state])
