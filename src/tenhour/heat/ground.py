"""Ground under a house: steady loss by ISO 13370, the soil's year outdoors, and a column of layers that keeps both."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

INSIDE_M2_K_W: Final = 0.17
OUTSIDE_M2_K_W: Final = 0.04
"""Films of ISO 13370 for heat that flows down, and outdoors. Read in its use."""
SOIL_W_M_K: Final = 1.2
"""Moist garden soil, 0.5 dry peat to 2.0 wet clay; ISO 13370 has 1.5 for clay and 2.0 for sand. Memory."""
SOIL_J_M3_K: Final = 2.2e6
"""Moist soil 1.5-3.0 MJ m⁻³ K⁻¹; ISO 13370 has 3.0 for clay and 2.0 for sand. Memory."""
WALL_M: Final = 0.05
"""Thickness of the wall that stands on the edge of the floor: a timber or metal sill. Judgement."""
LAYERS_M: Final = (0.03, 0.05, 0.08, 0.16, 0.32, 0.64, 0.72)
"""Thicknesses from the surface down to 2 m; the uppermost belongs to the surface itself. Judgement."""
SEED_LAYER: Final = 0
"""Of the layers below the surface, the one that holds 5 cm, where seeds and fine roots are."""
EDGE_WEIGHT: Final = (0.15, 0.25, 0.3, 0.2, 0.1, 0.0)
"""Which of them lose heat sideways past the edge: most of it in the uppermost half metre. Judgement."""
TRAY_M: Final = 0.05
"""Mix in trays and modules: 4-6 cm. Practice."""
TRAY_W_M_K: Final = 0.4
TRAY_J_M3_K: Final = 2.6e6
"""Moist peat mix, half water by volume: 0.3-0.5 W m⁻¹ K⁻¹; 0.5 x 4.19 MJ and a little peat. Memory; derived."""
YEAR_D: Final = 365.0
WATER_J_KG_K: Final = 4186.0
MASONRY_W_M_K: Final = 0.9
MASONRY_KG_M3: Final = 1800.0
MASONRY_J_KG_K: Final = 900.0
"""Brick and block: ISO 10456 gives 0.5-1.1 W m⁻¹ K⁻¹, 1200-2000 kg m⁻³, 1000 J kg⁻¹ K⁻¹. Memory."""
INNER_M2_K_W: Final = 0.13


def slab_u_w_m2_k(
    perimeter_m_per_m2: ArrayLike,
    floor_m2_k_w: ArrayLike = 0.0,
    soil_w_m_k: float = SOIL_W_M_K,
    wall_m: float = WALL_M,
) -> Array:
    """Steady heat loss of a floor on the ground, per floor area and kelvin between indoors and the mean outdoors.

    Parameters: perimeter_m_per_m2, exposed edge over area; floor_m2_k_w, insulation of the whole floor; soil_w_m_k;
    wall_m, thickness of the walls.
    Method: ISO 13370, slab on ground: B' = 2A/P, d = w + λ (0.17 + R + 0.04); U = 2λ/(πB' + d) ln(πB'/d + 1), or
    λ/(0.457 B' + d) where d ≥ B'.

    >>> round(float(slab_u_w_m2_k(0.5, 0.0, 1.5, 0.3)), 2)
    0.7
    """
    width = 2.0 / np.asarray(perimeter_m_per_m2, dtype=np.float64)
    thick = wall_m + soil_w_m_k * (INSIDE_M2_K_W + np.asarray(floor_m2_k_w, dtype=np.float64) + OUTSIDE_M2_K_W)
    bare = 2.0 * soil_w_m_k / (np.pi * width + thick) * np.log(np.pi * width / thick + 1.0)
    return np.asarray(np.where(thick < width, bare, soil_w_m_k / (0.457 * width + thick)))


def edge_board_w_m_k(
    depth_m: float, board_m2_k_w: float, soil_w_m_k: float = SOIL_W_M_K, wall_m: float = WALL_M
) -> float:
    """What a board upright round the edge takes off the loss, per metre of edge (negative).

    Parameters: depth_m; board_m2_k_w; soil_w_m_k; wall_m, thickness of the walls.
    Method: ISO 13370, vertical edge insulation: ψ = -λ/π [ln(2D/d + 1) - ln(2D/(d + d') + 1)], d' = λ R. Memory.

    >>> round(edge_board_w_m_k(0.6, 1.5, 1.5, 0.3), 2)
    -0.35
    """
    thick = wall_m + soil_w_m_k * (INSIDE_M2_K_W + OUTSIDE_M2_K_W)
    more = thick + soil_w_m_k * board_m2_k_w
    return float(-soil_w_m_k / np.pi * (np.log(2.0 * depth_m / thick + 1.0) - np.log(2.0 * depth_m / more + 1.0)))


def soil_year_degc(
    temp_day_degc: Array, depth_m: ArrayLike, soil_w_m_k: float = SOIL_W_M_K, soil_j_m3_k: float = SOIL_J_M3_K
) -> Array:
    """Undisturbed soil outdoors through the year at some depths [365, depths].

    Parameters: temp_day_degc, mean of each day outdoors [365]; depth_m [depths]; soil_w_m_k; soil_j_m3_k.
    Method: Kusuda & Achenbach 1965: the year's first harmonic, damped by exp(-z/d) and late by z/d, d = √(2a/ω).
    Snow, which keeps soil warmer, is not counted.
    """
    day = np.arange(YEAR_D)
    turn = 2.0 * np.pi / YEAR_D
    wave = 2.0 / YEAR_D * (temp_day_degc * np.exp(-1j * turn * day)).sum()
    damping_m = np.sqrt(2.0 * soil_w_m_k / soil_j_m3_k * YEAR_D * 86400.0 / (2.0 * np.pi))
    down = np.exp(-(1.0 + 1j) * np.asarray(depth_m, dtype=np.float64) / damping_m)
    return np.asarray(temp_day_degc.mean() + (wave * down * np.exp(1j * turn * day)[:, None]).real)


class Column(NamedTuple):
    """Layers behind a surface, per area; the surface itself has the first capacity. m layers below it."""

    surface_j_m2_k: float
    layer_j_m2_k: Array
    """[m]."""
    between_w_m2_k: Array
    """[m + 1]: surface to first layer, between layers, last layer to the end."""
    edge_w_m2_k: Array
    """[m], sideways to the soil outdoors at the layer's depth."""
    depth_m: Array
    """[m + 1], middle of each layer, and the end."""

    def steady_w_m2_k(self) -> float:
        """Conductance from the surface to an outdoors of one temperature, through edge and end."""
        onward = float(self.between_w_m2_k[-1])
        for link, edge in zip(self.between_w_m2_k[-2::-1], self.edge_w_m2_k[::-1], strict=True):
            onward += float(edge)
            onward = onward * float(link) / (onward + float(link)) if onward > 0.0 else 0.0
        return onward


def soil_column(
    loss_w_m2_k: float, soil_w_m_k: float = SOIL_W_M_K, soil_j_m3_k: float = SOIL_J_M3_K, clutter_j_m2_k: float = 0.0
) -> Column:
    """Soil from the surface down to 2 m whose steady loss is a given one.

    Parameters: loss_w_m2_k, by :func:`slab_u_w_m2_k`; soil_w_m_k; soil_j_m3_k; clutter_j_m2_k, trays, leaves and
    staging that warm with it.
    Method: layers of the soil itself; what it cannot carry straight down leaves sideways, or the last layer ends
    farther down where it would carry too much.
    """
    thick = np.array(LAYERS_M)
    middle = np.cumsum(thick) - thick / 2.0
    bottom = float(thick.sum())
    between = soil_w_m_k / np.append(np.diff(middle), bottom - middle[-1])
    capacity = soil_j_m3_k * thick
    weight = np.array(EDGE_WEIGHT)
    target = 1.0 / (1.0 / loss_w_m2_k - INSIDE_M2_K_W)

    def made(edge_w_m2_k: float, end_ratio: float) -> Column:
        links = np.append(between[:-1], between[-1] * end_ratio)
        depths = np.append(middle[1:], bottom)
        return Column(float(capacity[0]) + clutter_j_m2_k, capacity[1:], links, weight * edge_w_m2_k, depths)

    straight = made(0.0, 1.0).steady_w_m2_k()
    low, high = 0.0, 1.0 if straight > target else 1000.0
    for _ in range(60):
        half = (low + high) / 2.0
        found = made(0.0, half) if straight > target else made(half, 1.0)
        low, high = (half, high) if found.steady_w_m2_k() < target else (low, half)
    return made(0.0, low) if straight > target else made(low, 1.0)


def tray_column(depth_m: float = TRAY_M) -> Column:
    """Trays on a bench: moist mix, whose lower half a mat may heat; below them nothing but the mat's own insulation.

    Parameters: depth_m, of the mix. Method: two layers of conductance λ / (d/2) and heat c d/2 each. Derived.
    """
    half = depth_m / 2.0
    each, none = TRAY_J_M3_K * half, np.zeros(1)
    return Column(each, np.array([each]), np.array([TRAY_W_M_K / half, 0.0]), none, np.array([0.75 * depth_m, depth_m]))


def water_column(kg_m2: float) -> Column:
    """Water behind a skin: it mixes by itself, so it is one with its surface. Parameters: kg_m2, per area of skin."""
    none = np.zeros(0)
    return Column(WATER_J_KG_K * kg_m2, none, none, none, none)


def wall_column(kg_m2: float, u_w_m2_k: float) -> Column:
    """A heavy wall: its mass inside, its insulation outside, ends outdoors.

    Parameters: kg_m2 of masonry; u_w_m2_k, of the whole wall, films included as in tables.
    Method: a quarter of the mass is the surface, the rest one layer behind half the masonry's resistance.
    """
    half = MASONRY_W_M_K / (kg_m2 / MASONRY_KG_M3 / 2.0)
    onward = max(1.0 / u_w_m2_k - INNER_M2_K_W - 1.0 / half, 0.01)
    mass = kg_m2 * MASONRY_J_KG_K
    return Column(
        mass / 4.0, np.array([mass * 0.75]), np.array([half, 1.0 / onward]), np.zeros(1), np.array([0.1, 0.2])
    )
