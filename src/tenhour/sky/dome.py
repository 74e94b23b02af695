"""The sky as a dome of patches: where they lie, and how bright each is."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.sky import air

Array = NDArray[np.float64]
Light = NDArray[np.float32]

ROW_PATCHES: Final = (30, 30, 24, 24, 18, 12, 6)
"""Patches in each row of the sky from the horizon up, besides the zenith cap: Tregenza 1987. From memory."""

CAP_AZIMUTHS: Final = 4
"""Least number of samples round the zenith cap, so that the cap leans to no side."""

CHUNK_SUNS: Final = 64
"""Sun places worked on together, so that their patches stay in the processor's cache."""

OVERCAST_CLEARNESS: Final = 1.065
"""Sky clearness below which the sky fades into the CIE overcast sky [-]: first class of Perez et al. 1993."""

LEAST_BRIGHTNESS: Final = 0.2
"""Least sky brightness for the classes from 1.065 to 2.8 [-], without which the model runs wild. Second-hand."""

CLEARNESS_KAPPA: Final = 1.041
"""Constant of the sky's clearness for zenith in radians [-]: Perez et al. 1990. Second-hand."""


class Dome(NamedTuple):
    """The sky's patches and finer samples of them.

    direction[P, 3], unit vectors east, north, up to the patches' middles; solid_angle_sr[P]; horizontal_sr[P],
    solid angle times the sine of height, summed over the samples (adds up to π); row[P], counted from the horizon;
    sample_direction[Ns, 3]; sample_solid_angle_sr[Ns]; sample_patch[Ns], the patch each sample belongs to.
    """

    direction: Array
    solid_angle_sr: Array
    horizontal_sr: Array
    row: NDArray[np.intp]
    sample_direction: Array
    sample_solid_angle_sr: Array
    sample_patch: NDArray[np.intp]


def unit_vector(azimuth_deg: Array, height_deg: Array) -> Array:
    """Unit vectors [..., 3] east, north, up, from compass azimuth and height [°].

    Parameters: azimuth_deg, from north by east; height_deg, over the horizon [°]; one shape. Method: geometry.
    """
    azimuth, height = np.deg2rad(azimuth_deg), np.deg2rad(height_deg)
    flat = np.cos(height)
    return np.stack([np.sin(azimuth) * flat, np.cos(azimuth) * flat, np.sin(height)], axis=-1)


def _samples(azimuths: int, bottom_sin: float, top_sin: float, across: int, up: int) -> tuple[Array, Array]:
    """Azimuths [°] and sines of height of a row's samples, [patch, sample], each of equal solid angle in the row."""
    width = 360.0 / azimuths
    inside = ((np.arange(across) + 0.5) / across - 0.5) * width
    centre = np.arange(azimuths) * width
    sines = bottom_sin + (np.arange(up) + 0.5) / up * (top_sin - bottom_sin)
    azimuth = centre[:, None, None] + inside[None, :, None] + np.zeros(up)
    return azimuth.reshape(azimuths, -1), np.broadcast_to(sines, azimuth.shape).reshape(azimuths, -1)


def dome(division: int = 1, samples: int = 3) -> Dome:
    """Divide the sky into patches of about equal size.

    Parameters: division, 1 for 145 patches, 2 for 577, 144 d² + 1 in general; samples, per side of a patch.
    Returns: Dome; the first patch of each row is centred on north, rows run eastward, the cap comes last.
    Method: rows of Tregenza 1987, divided as by Reinhart 2001. Samples share a patch's solid angle equally and lie
        in the middle of equal steps of the sine of height, so that horizontal sums are exact.
    """
    rows = len(ROW_PATCHES) * division
    step_deg = 90.0 / (rows + 0.5)
    edges = np.sin(np.deg2rad(np.append(step_deg * np.arange(rows + 1), 90.0)))
    counts = [ROW_PATCHES[r // division] * division for r in range(rows)] + [1]
    azimuth, sine, patch = [], [], []
    row: list[int] = []
    for r, count in enumerate(counts):
        across = samples if count > 1 else max(samples, CAP_AZIMUTHS)
        found = _samples(count, float(edges[r]), float(edges[r + 1]), across, samples)
        azimuth.append(found[0].ravel())
        sine.append(found[1].ravel())
        patch.append(np.repeat(np.arange(count) + len(row), across * samples))
        row += [r] * count
    place: NDArray[np.intp] = np.array(row, dtype=np.intp)
    belongs = np.concatenate(patch)
    size = 2 * np.pi * (edges[place + 1] - edges[place]) / np.array(counts)[place]
    height = np.rad2deg(np.arcsin(np.concatenate(sine)))
    direction = unit_vector(np.concatenate(azimuth), height)
    share = size[belongs] / np.bincount(belongs)[belongs]
    middle = np.stack([np.bincount(belongs, share * direction[:, k]) for k in range(3)], axis=1)
    horizontal: Array = np.asarray(np.bincount(belongs, share * direction[:, 2]), dtype=np.float64)
    middle = middle / np.linalg.norm(middle, axis=1, keepdims=True)
    return Dome(middle, np.asarray(size), horizontal, place, direction, share, belongs)


def overcast_radiance(dhi_w_m2: Array, sky: Dome) -> Light:
    """Radiance of the CIE overcast sky: [n, P] [W m⁻² sr⁻¹] from n horizontal irradiances [W m⁻²].

    Method: radiance grows as (1 + 2 sin h) / 3 from the horizon to the zenith (ISO 15469, Moon & Spencer 1942).
    """
    return _spread(dhi_w_m2, _overcast_shape(sky), sky)


def _overcast_shape(sky: Dome) -> Array:
    """Relative brightness of each patch under the CIE overcast sky, mean over its samples."""
    sine = sky.sample_direction[:, 2]
    return np.asarray(np.bincount(sky.sample_patch, 1 + 2 * sine) / np.bincount(sky.sample_patch))


def _spread(dhi: Array, shape: Array, sky: Dome) -> Light:
    scaled = shape / float(shape @ sky.horizontal_sr)
    return np.asarray(np.asarray(dhi)[..., None] * scaled, dtype=np.float32)


class _Perez(NamedTuple):
    """Parameters of n skies: a to e, and the share of the CIE overcast sky in each; all [n]."""

    a: Array
    b: Array
    c: Array
    d: Array
    e: Array
    overcast: Array


def sky_clearness(zenith_deg: Array, dni_w_m2: Array, dhi_w_m2: Array) -> Array:
    """Clearness ε of the sky [-], 1 for overcast and 12 for the clearest (Perez et al. 1990, equation 1).

    Parameters: zenith_deg [°]; dni_w_m2, direct normal, and dhi_w_m2, diffuse horizontal [W m⁻²], broadcast.
    """
    k = CLEARNESS_KAPPA * np.deg2rad(zenith_deg) ** 3
    diffuse = np.maximum(dhi_w_m2, np.finfo(np.float32).tiny)
    return np.asarray(((diffuse + dni_w_m2) / diffuse + k) / (1 + k))


def _parameters(zenith: Array, dni: Array, dhi: Array, extra: Array, table: Array) -> _Perez:
    clearness = sky_clearness(zenith, dni, dhi)
    kind = np.clip(np.searchsorted(table[:, 0], clearness, side="right") - 1, 0, len(table) - 1)
    airmass = air.relative_airmass(np.minimum(zenith, 90.0))
    D = np.clip(dhi * airmass / extra, 0.0, 1.0)
    D = np.where((kind >= 1) & (kind <= 4), np.maximum(D, LEAST_BRIGHTNESS), D)
    Z = np.deg2rad(zenith)
    x = table[kind, 1:].reshape(*kind.shape, 5, 4)
    a, b, c, d, e = np.moveaxis(
        x[..., 0] + x[..., 1] * Z[..., None] + D[..., None] * (x[..., 2] + x[..., 3] * Z[..., None]), -1, 0
    )
    first = kind == 0
    (c1, c2, c3, c4), (d1, d2, d3, d4) = np.moveaxis(x[..., 2, :], -1, 0), np.moveaxis(x[..., 3, :], -1, 0)
    c = np.where(first, np.exp(np.maximum(D * (c1 + c2 * Z), 0.0) ** np.where(first, c3, 1.0)) - c4, c)
    d = np.where(first, -np.exp(np.where(first, D * (d1 + d2 * Z), 0.0)) + d3 + D * d4, d)
    dull = np.clip((OVERCAST_CLEARNESS - clearness) / (OVERCAST_CLEARNESS - 1.0), 0.0, 1.0)
    return _Perez(a, np.minimum(b, 0.0), c, d, e, dull)


def _row_sines(sky: Dome) -> Array:
    """Sines of height of the samples of each row of patches: [rows, samples up]; all rows have as many."""
    first = np.unique(sky.row, return_index=True)[1]
    return np.stack([np.unique(np.round(sky.sample_direction[sky.sample_patch == patch, 2], 12)) for patch in first])


def _gradation(a: Array, b: Array, sines: Array) -> Light:
    """1 + a exp(b / sin h) for each row, mean over its samples: [..., rows]."""
    inverse = (1 / sines).astype(np.float32)
    fall = np.exp(np.asarray(b, dtype=np.float32)[..., None, None] * inverse)
    return np.asarray(1 + np.asarray(a, dtype=np.float32)[..., None] * fall.mean(axis=-1))


def _circumsolar(p: _Perez, part: slice, gamma: Light, cosine: Light) -> Light:
    """1 + c exp(d γ) + e cos² γ: [n, k, P] from gamma and cosine [n, 1, P]."""
    c, d, e = (np.asarray(x[part], dtype=np.float32)[..., None] for x in (p.c, p.d, p.e))
    light = d * gamma
    np.exp(light, out=light)
    light *= c
    light += e * cosine**2
    light += 1
    return light


def perez_radiance(
    zenith_deg: Array,
    azimuth_deg: Array,
    dni_w_m2: Array,
    dhi_w_m2: Array,
    extraterrestrial_w_m2: Array,
    sky: Dome,
    coefficients: Array,
) -> Light:
    """Radiance of every patch of n · k skies, the sun's disc itself left out.

    Parameters: zenith_deg[n], azimuth_deg[n], of the sun [°]; dni_w_m2[n, k], dhi_w_m2[n, k], direct normal and
        diffuse horizontal irradiance [W m⁻²] of k skies with the sun in that place (or [n] for one); sky;
        extraterrestrial_w_m2[n], normal to the sun [W m⁻²]; coefficients[8, 21], class bounds and Table 1 of the
        source (files.packaged.perez_sky).
    Returns: [n, k, P] (or [n, P]) [W m⁻² sr⁻¹], single precision; horizontal_sr · radiance is dhi, 0 where dhi is.
    Method: Perez, Seals & Michalsky 1993, doi 10.1016/0038-092X(93)90017-I, equations 1-4 and Table 1, as mean
        over patches: distance from the sun is sqrt(γ² + (mean distance within the patch)²). Below clearness 1.065
        the sky fades into the CIE overcast sky, fully so without any beam.
    """
    dni, dhi = (np.asarray(x, dtype=np.float64).reshape(zenith_deg.size, -1) for x in (dni_w_m2, dhi_w_m2))
    sun = unit_vector(azimuth_deg, 90.0 - zenith_deg)
    own = 2 / 3 * np.sqrt(sky.solid_angle_sr / np.pi)  # mean distance from the middle of a disc of that size
    p = _parameters(
        np.broadcast_to(zenith_deg[:, None], dhi.shape), dni, dhi, extraterrestrial_w_m2[:, None], coefficients
    )
    dull_shape = _spread(np.ones(1), _overcast_shape(sky), sky)[0]
    weight, own2 = sky.horizontal_sr.astype(np.float32), (own**2).astype(np.float32)
    clear, dull = (np.asarray(x * dhi, dtype=np.float32)[..., None] for x in (1 - p.overcast, p.overcast))
    rise, per_row = _gradation(p.a, p.b, _row_sines(sky)), np.bincount(sky.row)
    radiance = np.empty((*dhi.shape, sky.solid_angle_sr.size), dtype=np.float32)
    for start in range(0, zenith_deg.size, CHUNK_SUNS):
        part = slice(start, start + CHUNK_SUNS)
        cosine = np.clip(sun[part] @ sky.direction.T, -1.0, 1.0).astype(np.float32)[:, None, :]
        light = _circumsolar(p, part, np.sqrt(np.arccos(cosine) ** 2 + own2), cosine)
        light *= np.repeat(rise[part], per_row, axis=-1)
        np.maximum(light, 0.0, out=light)
        total = (light @ weight)[..., None]
        lost = total <= 0  # far outside the skies the model was fitted to: overcast instead
        light *= np.where(lost, 0.0, clear[part]) / np.where(lost, 1.0, total)
        np.multiply(dull[part] + np.where(lost, clear[part], 0.0), dull_shape, out=radiance[part])
        radiance[part] += light
    return radiance.reshape(*np.shape(dhi_w_m2), -1)
