"""Light through a pane: Fresnel and absorption by angle, measured covers, and what dirt and frames take.

Everything is for PAR (400-700 nm). A pane is a curve on ``ANGLE_DEG``: the share of the light arriving at that
incidence angle which goes straight through, and the share which leaves the inner side in all directions alike.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.errors import OutOfRange

FloatArray = NDArray[np.float64]

ANGLE_DEG: Final[FloatArray] = np.linspace(0.0, 90.0, 91)
"""Incidence angles of every stored curve [degree], one degree apart."""

SHAPE_INDEX: Final = 1.52
"""Refractive index of the clear pane whose curve lends its shape to a measured cover. Practice: glass and most
plastics lie between 1.40 and 1.59 and the curve relative to normal hardly differs."""

POWER_LIMIT: Final = 200.0
"""Largest power of the lent shape that is tried; it stands for a cover that passes only a third as much light from all
sides as at normal incidence. Judgement."""

GUESSED_ABSORPTION: Final = 0.03
"""Share of light a thin cover keeps when nobody measured it. Judgement, from clear glass of 3 mm (1-3 %)."""

THICKEST_STACK: Final = 3
"""Panes of the stack that bounds a guessed reflectance. Judgement."""

NOTHING: Final = 1e-12
"""Smallest share that light loses between two surfaces: keeps 0/0 away from grazing incidence."""

BISECTIONS: Final = 60
"""Halvings in the search for that power; enough for double precision."""


class AngleCurve(NamedTuple):
    """Transmittance and reflectance by incidence angle, both polarisations averaged."""

    angle_deg: FloatArray
    trans_frac: FloatArray
    refl_frac: FloatArray


NO_MIRROR: Final[FloatArray] = np.zeros(91)
"""Curve of a pane that reflects in all directions only."""


class Pane(NamedTuple):
    """What a house needs to know of a cover; curves on ``ANGLE_DEG``."""

    straight_frac: FloatArray
    scattered_frac: FloatArray
    inside_refl_frac: float
    """Of light from all sides, mirrored and diffuse together."""
    u_w_m2_k: float
    mirrored_frac: FloatArray = NO_MIRROR
    """Mirrored back inside, by incidence angle."""


def fresnel_refl_frac(angle_deg: ArrayLike, refractive_index: float) -> FloatArray:
    """Reflectance of one smooth surface between air and a clear material.

    Parameters: angle_deg, incidence angle [degree], 0-90; refractive_index [-], ≥ 1.
    Returns: reflectance [2, n]: perpendicular, then parallel polarisation.
    Method: Fresnel's equations with Snell's law (Duffie & Beckman 2013, Solar Engineering of Thermal Processes,
    eq. 5.1.1-5.1.4); at grazing incidence exactly 1.
    Raises: OutOfRange for an index below 1.

    >>> [round(float(r.mean()), 4) for r in fresnel_refl_frac([0.0, 60.0], 1.526).T]
    [0.0434, 0.0935]
    """
    if refractive_index < 1.0:
        raise OutOfRange(f"refractive index {refractive_index} is below 1")
    cos_1 = np.cos(np.radians(np.atleast_1d(np.asarray(angle_deg, dtype=np.float64))))
    cos_1 = np.maximum(cos_1, 0.0)
    cos_2 = np.sqrt(1.0 - (1.0 - cos_1**2) / refractive_index**2)
    perpendicular = (cos_1 - refractive_index * cos_2) / (cos_1 + refractive_index * cos_2)
    parallel = (refractive_index * cos_1 - cos_2) / (refractive_index * cos_1 + cos_2)
    return np.stack([perpendicular**2, parallel**2])


def slab(angle_deg: ArrayLike, refractive_index: float, internal_trans_frac: float) -> tuple[FloatArray, FloatArray]:
    """Transmittance and reflectance of one pane with two smooth surfaces, each polarisation apart.

    Parameters: angle_deg, incidence angle [degree]; refractive_index [-]; internal_trans_frac, what the material
    lets through once at normal incidence (exp(-KL)) [-], 0-1.
    Returns: transmittance [2, n] and reflectance [2, n].
    Method: geometric series of inner reflections (Duffie & Beckman 2013, eq. 5.3.1-5.3.3), the path in the material
    lengthened by 1/cos of the refracted angle.
    Raises: OutOfRange for an internal transmittance outside 0-1.
    """
    if not 0.0 <= internal_trans_frac <= 1.0:
        raise OutOfRange(f"internal transmittance {internal_trans_frac} is outside 0 to 1")
    surface = fresnel_refl_frac(angle_deg, refractive_index)
    sin_2 = np.sin(np.radians(np.atleast_1d(np.asarray(angle_deg, dtype=np.float64)))) / refractive_index
    through = internal_trans_frac ** (1.0 / np.sqrt(1.0 - sin_2**2))
    inner = np.maximum(1.0 - (surface * through) ** 2, NOTHING)
    trans = through * (1.0 - surface) ** 2 / inner
    return trans, surface * (1.0 + through * trans)


def stacked(layers: Sequence[tuple[FloatArray, FloatArray]]) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Combine panes one behind the other, outermost first.

    Parameters: layers, (transmittance, reflectance) pairs of equal shape, each pane alike from both sides.
    Returns: transmittance, reflectance towards the outside, reflectance towards the inside.
    Method: the ray-adding relations for plates in series (exact for each polarisation on its own).
    """
    trans, outside = layers[0]
    inside = outside
    for layer_trans, layer_refl in layers[1:]:
        between = np.maximum(1.0 - inside * layer_refl, NOTHING)
        outside = outside + trans**2 * layer_refl / between
        inside = layer_refl + layer_trans**2 * inside / between
        trans = trans * layer_trans / between
    return trans, outside, inside


def angle_curve(
    refractive_index: float,
    internal_trans_frac: float,
    panes: int = 1,
    angle_deg: ArrayLike = ANGLE_DEG,
) -> AngleCurve:
    """Angle curve of a stack of equal clear panes.

    Parameters: refractive_index [-]; internal_trans_frac, of one pane at normal incidence [-]; panes, how many (≥ 1);
    angle_deg, incidence angles [degree].
    Returns: AngleCurve, polarisation-averaged at the very end.
    Method: :func:`slab` and :func:`stacked`. Stated error against measured glass 0.005 for one pane, 0.01 for two up
    to 60 degrees and 0.035 above (see docs/method/cover.md).
    Raises: OutOfRange if there is no pane, or the index or transmittance is none that matter can have.

    >>> curve = angle_curve(1.526, 1.0, 2, [0.0, 60.0])
    >>> [round(float(t), 4) for t in curve.trans_frac]
    [0.8465, 0.7588]
    """
    if panes < 1:
        raise OutOfRange(f"{panes} panes; a cover has at least one")
    angles = np.atleast_1d(np.asarray(angle_deg, dtype=np.float64))
    trans, _, inside = stacked([slab(angles, refractive_index, internal_trans_frac)] * panes)
    return AngleCurve(angles, np.asarray(trans.mean(axis=0)), np.asarray(inside.mean(axis=0)))


GAUSS_PLACES: Final = np.sqrt(0.6) * np.array([-1.0, 0.0, 1.0])
GAUSS_WEIGHTS: Final = np.array([5.0, 8.0, 5.0]) / 9.0
"""Gauss's rule with three points on -1 to 1: Abramowitz & Stegun 1964, table 25.4. From memory, checked by a test."""


def hemispherical_frac(curve_frac: ArrayLike, angle_deg: ArrayLike = ANGLE_DEG) -> float:
    """Mean of an angle curve for light that comes equally from all directions.

    Parameters: curve_frac, values [-] at angle_deg [degree], rising from 0 to 90.
    Returns: hemispherical value [-].
    Method: the integral of f over sin² of the angle, f linear in the angle between the knots (Gauss, three points).
    """
    angle = np.radians(np.asarray(angle_deg, dtype=np.float64))
    values = np.asarray(curve_frac, dtype=np.float64)
    middle, half = (angle[1:] + angle[:-1]) / 2, (angle[1:] - angle[:-1]) / 2
    at = middle[:, None] + half[:, None] * GAUSS_PLACES
    inner = np.interp(at.ravel(), angle, values).reshape(at.shape) * np.sin(2 * at)
    return float((inner * GAUSS_WEIGHTS * half[:, None]).sum())


@cache
def _clear_shape() -> tuple[FloatArray, float]:
    """Curve of one clear pane relative to normal [91], not to be written into, and its hemispherical mean."""
    curve = angle_curve(SHAPE_INDEX, 1.0).trans_frac
    shape = curve / curve[0]
    shape.setflags(write=False)
    return shape, hemispherical_frac(shape)


def measured_curve(normal_trans_frac: float | None, hemispherical_trans_frac: float | None) -> FloatArray:
    """Angle curve that honours a measured normal and a measured hemispherical transmittance.

    Parameters: normal_trans_frac and hemispherical_trans_frac [-]; one of them may be None, then a clear single
    pane's ratio of the two fills it.
    Returns: transmittance on ``ANGLE_DEG`` [91].
    Method: the curve of one clear pane relative to normal, raised to the power at which the integral comes out as
    measured. No curve rises away from normal, so a hemispherical value above the normal one is taken as flat.
    Raises: OutOfRange if neither is given, or one is outside 0-1, or the pair cannot be met.
    """
    shape, clear_ratio = _clear_shape()
    if normal_trans_frac is None and hemispherical_trans_frac is None:
        raise OutOfRange("a measured cover needs its normal or its hemispherical transmittance")
    hemispherical = hemispherical_trans_frac if hemispherical_trans_frac is not None else -1.0
    normal = normal_trans_frac if normal_trans_frac is not None else min(1.0, hemispherical / clear_ratio)
    if hemispherical_trans_frac is None:
        hemispherical = normal * clear_ratio
    if not (0.0 <= normal <= 1.0 and 0.0 <= hemispherical <= 1.0):
        raise OutOfRange(f"transmittances {normal} and {hemispherical} must lie in 0 to 1")
    if normal == 0.0:
        return np.zeros_like(ANGLE_DEG)
    if hemispherical >= normal:
        return np.full_like(ANGLE_DEG, hemispherical)
    return np.asarray(normal * shape ** _power(hemispherical / normal))


@lru_cache(maxsize=256)
def _power(ratio: float) -> float:
    """Power of the curve of one clear pane at which its hemispherical mean is a share of normal."""
    shape_frac, low, high = _clear_shape()[0], 0.0, POWER_LIMIT
    if hemispherical_frac(shape_frac**high) > ratio:
        raise OutOfRange(f"hemispherical transmittance is only {ratio:.2f} of the normal one; no pane drops that fast")
    for _ in range(BISECTIONS):
        middle = (low + high) / 2
        low, high = (middle, high) if hemispherical_frac(shape_frac**middle) > ratio else (low, middle)
    return (low + high) / 2


def clear_pane(
    refractive_index: float,
    internal_trans_frac: float,
    panes: int,
    straight_share: float = 1.0,
    u_w_m2_k: float = 0.0,
) -> Pane:
    """Pane from layers: the angle curve of :func:`angle_curve`, split by the share that goes straight through.

    Parameters: as :func:`angle_curve`; straight_share, of what passes [-]; u_w_m2_k, carried along [W m⁻² K⁻¹].
    Returns: Pane; its inside reflectance is the hemispherical one of the layers.
    """
    curve = angle_curve(refractive_index, internal_trans_frac, panes)
    return _pane(curve.trans_frac, curve.refl_frac, straight_share, hemispherical_frac(curve.refl_frac), u_w_m2_k)


def measured_pane(
    normal_trans_frac: float | None,
    hemispherical_trans_frac: float | None,
    straight_share: float,
    inside_refl_frac: float | None,
    u_w_m2_k: float = 0.0,
) -> Pane:
    """Pane from measured PAR transmittances (both include the scattered part).

    Parameters: as :func:`measured_curve`; straight_share, of what passes [-]; inside_refl_frac, diffuse reflectance
    towards the inside [-], None: what does not pass, without 3 % taken as absorbed, but no more than a stack of
    three clear panes reflects.
    Returns: Pane.
    """
    curve = measured_curve(normal_trans_frac, hemispherical_trans_frac)
    if inside_refl_frac is None:
        most = hemispherical_frac(angle_curve(SHAPE_INDEX, 1.0, THICKEST_STACK).refl_frac)
        inside_refl_frac = min(most, max(0.0, 1.0 - hemispherical_frac(curve) - GUESSED_ABSORPTION))
    clear = angle_curve(SHAPE_INDEX, 1.0).refl_frac
    return _pane(curve, clear, straight_share, inside_refl_frac, u_w_m2_k)


def pane(
    panes: int = 1,
    refractive_index: float | None = None,
    internal_trans_frac: float | None = None,
    normal_trans_frac: float | None = None,
    hemispherical_trans_frac: float | None = None,
    straight_share: float = 1.0,
    inside_refl_frac: float | None = None,
    u_w_m2_k: float = 0.0,
) -> Pane:
    """Pane from whatever is known of a cover: a measured transmittance sets the curve, layers else.

    Parameters: as :func:`clear_pane` and :func:`measured_pane`; panes counts the layers.
    Returns: Pane; the inside reflectance is the one given, else that of the layers, else a guess from what passes.
    Raises: OutOfRange if neither layers nor a measured transmittance is given.
    """
    layered = refractive_index is not None and internal_trans_frac is not None
    measured = normal_trans_frac is not None or hemispherical_trans_frac is not None
    if measured:
        if inside_refl_frac is None and refractive_index is not None and internal_trans_frac is not None:
            inside_refl_frac = hemispherical_frac(angle_curve(refractive_index, internal_trans_frac, panes).refl_frac)
        return measured_pane(normal_trans_frac, hemispherical_trans_frac, straight_share, inside_refl_frac, u_w_m2_k)
    if not layered or refractive_index is None or internal_trans_frac is None:
        raise OutOfRange("a cover needs its layers or a measured transmittance")
    curve = angle_curve(refractive_index, internal_trans_frac, panes)
    inside = hemispherical_frac(curve.refl_frac) if inside_refl_frac is None else inside_refl_frac
    return _pane(curve.trans_frac, curve.refl_frac, straight_share, inside, u_w_m2_k)


def _pane(
    curve_frac: FloatArray, refl_frac: FloatArray, straight_share: float, inside_refl_frac: float, u_w_m2_k: float
) -> Pane:
    """Split a curve into its parts; a pane mirrors the same share of its reflectance as it lets straight through."""
    if not 0.0 <= straight_share <= 1.0:
        raise OutOfRange(f"straight share {straight_share} is outside 0 to 1")
    straight = curve_frac * straight_share
    mirrored = refl_frac * (inside_refl_frac * straight_share / hemispherical_frac(refl_frac))
    mirrored = np.minimum(mirrored, 1.0 - curve_frac)
    return Pane(straight, curve_frac - straight, float(inside_refl_frac), u_w_m2_k, np.asarray(mirrored))


def with_losses(pane: Pane, *lost_shares: float) -> Pane:
    """Pane behind a frame, dirt, condensation or snow, each a share of light lost.

    Parameters: pane; lost_shares [-], each 0-1 and independent of the others.
    Returns: Pane with both curves multiplied by every (1 - share); the inside reflectance stays.
    Raises: OutOfRange if a share lies outside 0 to 1.
    """
    factor = 1.0
    for share in lost_shares:
        if not 0.0 <= share <= 1.0:
            raise OutOfRange(f"share {share} is outside 0 to 1")
        factor *= 1.0 - share
    return pane._replace(straight_frac=pane.straight_frac * factor, scattered_frac=pane.scattered_frac * factor)
