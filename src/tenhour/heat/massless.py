"""What holds no heat, eliminated for all hours at once: covers, links of surfaces, an inner cover over a bed."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.heat import films
from tenhour.heat.build import (
    AROUND_W_M2_K,
    COVER_FILM_W_M2_K,
    FLOOR_FILM_W_M2_K,
    LAID_DAMP_FRAC,
    LEAF_FILM_W_M2_K,
    Build,
    Drive,
    Zone,
)

Array = NDArray[np.float64]

LEAST_M2_K_W: Final = 1e-6
"""Keeps a sheet of nothing a number."""


class Net(NamedTuple):
    """A zone's massless links: to air, to the radiant star, between those two; [H, 1] each, and shares for reading."""

    to_air: Array
    to_star: Array
    across: Array
    under: tuple[Array, Array, Array]
    """Air beside the leaves as a mean of surface, air and star."""
    leaf: tuple[Array, Array, Array]
    laid: tuple[float, float, float]
    """The same as ``under`` in any hour as if its cover lay; the house's air where it has none."""


def _bare(zone: Zone, star: float, damp_ratio: Array | float = 1.0) -> Array:
    """Without an inner cover: links, and the leaves' place between surface and air; hours first if the damp has any."""
    to_star = star + zone.damp_w_m2_k * np.asarray(damp_ratio, dtype=np.float64)
    leaf_air = (1.0 + zone.film_w_m2_k / (zone.film_w_m2_k + to_star)) / 2.0
    film, none, one = (np.full_like(to_star, value) for value in (zone.film_w_m2_k, 0.0, 1.0))
    return np.stack([film, to_star, none, none, one, none, 1.0 - leaf_air, leaf_air, none], axis=-1)


def _under(zone: Zone, star: float, outer_film: float, resistance: float) -> tuple[float, ...]:
    """With an inner cover: air below it, leaves and the cover's two faces eliminated.

    Terminals s (soil), a (house air), r (star); unknown b (air below), l (leaves), f (inner face), o (outer face).
    """
    leaf, rad = zone.leaf_frac, float(films.radiation_film_w_m2_k(5.0)) * films.EMISSIVITY_FRAC
    sheet = 1.0 / max(resistance, LEAST_M2_K_W)
    links = {
        ("b", "s"): FLOOR_FILM_W_M2_K, ("b", "l"): 2.0 * LEAF_FILM_W_M2_K * leaf, ("b", "f"): COVER_FILM_W_M2_K,
        ("l", "s"): rad * leaf, ("l", "f"): rad * leaf,
        ("s", "f"): rad * (1.0 - leaf) + LAID_DAMP_FRAC * zone.damp_w_m2_k,
        ("f", "o"): sheet, ("o", "a"): outer_film, ("o", "r"): star, ("b", "a"): AROUND_W_M2_K,
    }  # fmt: skip
    names = ["b", "l", "f", "o", "s", "a", "r"]
    whole = np.zeros((7, 7))
    for (one, two), value in links.items():
        i, j = names.index(one), names.index(two)
        whole[[i, j], [i, j]] += value
        whole[[i, j], [j, i]] -= value
    inner = -np.linalg.solve(whole[:4, :4], whole[:4, 4:])
    outer = whole[4:, 4:] + whole[4:, :4] @ inner
    return -outer[0, 1], -outer[0, 2], -outer[1, 2], *inner[0], *inner[1]


def eliminated_nets(build: Build, drive: Drive, star: Array) -> list[Net]:
    """Links of every zone. Parameters: star, radiation of each zone to the star [K]. Method: docs/method/heat.md."""
    hours = len(drive.temp_out_degc)
    nets = []
    for k, zone in enumerate(build.zones):
        parts = np.broadcast_to(_bare(zone, star[k], drive.damp_ratio), (hours, 9))
        laid = _bare(zone, star[k])
        over = drive.inner_m2_k_w[k] if drive.inner_m2_k_w else None
        if over is not None:
            kinds, which = np.unique(over, return_inverse=True)
            table = [
                np.array(_under(zone, star[k], build.cover_film_w_m2_k, float(r))) if r > 0.0 else laid for r in kinds
            ]
            parts, laid = np.where((over > 0.0)[:, None], np.array(table)[which], parts), table[-1]
        c = [parts[:, i : i + 1] for i in range(9)]
        area = zone.area_m2
        nets.append(
            Net(c[0] * area, c[1] * area, c[2] * area, (c[3], c[4], c[5]), (c[6], c[7], c[8]), tuple(laid[3:6]))
        )
    return nets


class Covers(NamedTuple):
    """Covers eliminated: what they do to air and star, [H, W] each, and what reads their temperature back."""

    air: Array
    star: Array
    across: Array
    air_w: Array
    star_w: Array
    outward: list[Array]
    """U from the inner face outward, by cover."""
    driving_degc: list[Array]
    to_star: Array
    """Radiation per area by cover [J]."""
    wet_air: Array
    wet_star: Array
    """Share of heat set free on the inner faces that goes to air and star."""


def eliminated_covers(build: Build, drive: Drive, star: Array) -> Covers:
    """All covers between air, star and outdoors. Parameters: star, radiation of each cover to the star [J].

    Method: docs/method/heat.md.
    """
    skin, film = build.skin, build.cover_film_w_m2_k
    out, sky = drive.temp_out_degc, drive.temp_sky_degc
    wind = films.wind_film_w_m2_k(drive.wind_m_s)
    radiation = films.radiation_film_w_m2_k((out + sky) / 2.0) * build.emissivity_frac
    outer = wind + radiation
    total = float(skin.area_m2.sum())
    parts: list[Array] = [np.zeros(out.shape) for _ in range(7)]
    outward, driving = [], []
    for j, area in enumerate(skin.area_m2):
        to_sky = radiation * films.sky_share(skin.tilt_deg[j])
        caught_m2_k_w = 1.0 / outer + skin.sun_depth_frac[j] * skin.resistance_m2_k_w[j]
        warm = out + to_sky * (sky - out) / outer + drive.skin_sun_w_m2[..., j] * caught_m2_k_w
        r = np.full((len(out), 1), skin.resistance_m2_k_w[j])
        if drive.extra_m2_k_w is not None:
            r = r + drive.extra_m2_k_w[:, j : j + 1]
        u = 1.0 / (r + 1.0 / outer)
        d = film + star[j] + u
        for n, value in enumerate(
            (
                area * film * (star[j] + u) / d, area * star[j] * (film + u) / d, area * film * star[j] / d,
                area * film * u / d * warm, area * star[j] * u / d * warm, area / total * film / d,
                area / total * star[j] / d,
            )
        ):  # fmt: skip
            parts[n] += value
        outward.append(u)
        driving.append(warm)
    air, to_star, across, air_w, star_w, wet_air, wet_star = parts
    return Covers(air, to_star, across, air_w, star_w, outward, driving, star, wet_air, wet_star)


def vapour_w(drive: Drive) -> Array | float:
    """Heat that leaves the zones with vapour [H, W]."""
    if not drive.latent_frac:
        return 0.0
    parts = (drive.zone_sun_w[..., k] * by_hour(share) for k, share in enumerate(drive.latent_frac))
    return np.asarray(sum(parts))


def by_hour(share: Array | float) -> Array:
    """A share [H] against hours and winters, or a number as it is."""
    found = np.asarray(share, dtype=np.float64)
    return found[:, None] if found.ndim else found
