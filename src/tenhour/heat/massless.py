"""What holds no heat, eliminated for all hours at once: covers, links of surfaces, an inner cover over a bed."""

from __future__ import annotations

from collections.abc import Iterator
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
    """Covers eliminated: what they do to air and star, [H, W] each."""

    air: Array
    star: Array
    across: Array
    air_w: Array
    star_w: Array
    wet_air: Array
    wet_star: Array
    """Share of heat set free on the inner faces that goes to air and star."""


class _Outside(NamedTuple):
    """What every cover has before it [H, W]: resistance of the outer film, and by how much a level one is colder for
    the sky."""

    film_m2_k_w: Array
    sky_k: Array


def _outside(build: Build, drive: Drive) -> _Outside:
    out, sky = drive.temp_out_degc, drive.temp_sky_degc
    radiation = films.radiation_film_w_m2_k((out + sky) / 2.0) * build.emissivity_frac
    film = 1.0 / (films.wind_film_w_m2_k(drive.wind_m_s) + radiation)
    return _Outside(film, radiation * (sky - out) * film)


def _onward(build: Build, drive: Drive, before: _Outside, j: int, sun_w_m2: Array) -> tuple[Array, Array]:
    """U from the inner face of a cover outward, and the one temperature that drives it from there [H, W]."""
    skin = build.skin
    depth, own = skin.sun_depth_frac[j], skin.resistance_m2_k_w[j]
    warm = sun_w_m2 * (before.film_m2_k_w + depth * own)
    warm += films.sky_share(skin.tilt_deg[j]) * before.sky_k
    warm += drive.temp_out_degc
    r = own if drive.extra_m2_k_w is None else own + drive.extra_m2_k_w[:, j : j + 1]
    return 1.0 / (before.film_m2_k_w + r), warm


def _alike(build: Build, drive: Drive, star: Array) -> list[list[int]]:
    """Covers that differ in area and sun alone, together."""
    kinds: dict[object, list[int]] = {}
    skin, extra = build.skin, drive.extra_m2_k_w
    for j in range(len(skin.area_m2)):
        over = None if extra is None else extra[:, j].tobytes()
        kind = (skin.resistance_m2_k_w[j], skin.tilt_deg[j], skin.sun_depth_frac[j], star[j], over)
        kinds.setdefault(kind, []).append(j)
    return list(kinds.values())


def eliminated_covers(build: Build, drive: Drive, star: Array) -> Covers:
    """All covers between air, star and outdoors. Parameters: star, radiation of each cover to the star [J].

    Method: docs/method/heat.md. With d = film + star + u of a cover, all that air and star feel of it are sums of
    film/d and of u film/d: film (star + u)/d is film - film²/d.
    """
    skin, film = build.skin, build.cover_film_w_m2_k
    before = _outside(build, drive)
    share, to_star, both, air_w, star_w = (np.zeros(drive.temp_out_degc.shape) for _ in range(5))
    for numbers in _alike(build, drive, star):
        area, own = skin.area_m2[numbers], float(star[numbers[0]])
        sun = sum(drive.skin_sun_w_m2[..., j] * (a / area.sum()) for j, a in zip(numbers, area, strict=True))
        u, warm = _onward(build, drive, before, numbers[0], np.asarray(sun))
        part = float(area.sum()) * film / (u + (film + own))
        share += part
        driven = u * warm
        driven *= part
        air_w += driven
        driven *= own / film
        star_w += driven
        part *= own
        to_star += part
        part *= own / film
        both += part
    area, total = skin.area_m2, float(skin.area_m2.sum())
    return Covers(
        air=total * film - film * share, star=float(area @ star[: len(area)]) - both, across=to_star, air_w=air_w,
        star_w=star_w, wet_air=share / total, wet_star=to_star / (film * total),
    )  # fmt: skip


class Eliminated(NamedTuple):
    """What held no heat in a run, to be read back from what did."""

    build: Build
    drive: Drive
    covers: Covers
    nets: list[Net]
    star_w: Array
    """Heat that the star itself gets [H, W]."""

    def read(self, what: str, air: Array, zone: Array) -> Array:
        """Temperatures by name [H, W, ...]. Parameters: what; air [H, W]; zone [H, W, K], surfaces."""
        if what == "cover_degc":
            return self._cover_degc(air, self._radiant_degc(air, zone))
        kind = what.split("_")[0]
        return self._follows(kind, zone.shape) if what.endswith("follows_frac") else self._mixed(kind, air, zone)

    @property
    def _whole(self) -> Array:
        return np.asarray(self.covers.star + sum(net.to_star + net.across for net in self.nets))

    @property
    def _across(self) -> Array:
        return np.asarray(self.covers.across + sum(net.across for net in self.nets))

    def _radiant_degc(self, air: Array, zone: Array) -> Array:
        """Of the star."""
        found = self.star_w + self._across * air + sum(net.to_star * zone[..., k] for k, net in enumerate(self.nets))
        return np.asarray(found / self._whole)

    def faces(self) -> Iterator[tuple[float, Array, Array]]:
        """Of every cover its radiation to the star per area, its U outward and what drives it from there."""
        before, skin = _outside(self.build, self.drive), self.build.skin
        star = star_of(self.build)
        for j in range(len(skin.area_m2)):
            yield float(star[j]), *_onward(self.build, self.drive, before, j, self.drive.skin_sun_w_m2[..., j])

    def _cover_degc(self, air: Array, radiant: Array) -> Array:
        """Inner face of each cover [H, W, J]. Parameters: air, radiant [H, W], of the star."""
        film, drive = self.build.cover_film_w_m2_k, self.drive
        wet = drive.condensing_frac * vapour_w(drive) / float(self.build.skin.area_m2.sum())
        both = film * air + wet
        found = [(both + star * radiant + u * warm) / (film + star + u) for star, u, warm in self.faces()]
        return np.stack(found, axis=-1)

    @property
    def bare(self) -> bool:
        """Whether nothing ever lies over any zone."""
        return all(over is None for over in self.drive.inner_m2_k_w)

    def _mixed(self, what: str, air: Array, zone: Array) -> Array:
        if self.bare and what != "leaf":
            return np.broadcast_to(air[..., None], zone.shape)
        radiant = self._radiant_degc(air, zone)
        mixes = [getattr(net, what) for net in self.nets]
        parts = [mix[0] * zone[..., k] + mix[1] * air + mix[2] * radiant for k, mix in enumerate(mixes)]
        return np.stack(parts, axis=-1)

    def _follows(self, what: str, shape: tuple[int, ...]) -> Array:
        """Of a quick change of the air, what the air under covers makes while surfaces stay [H, W, K]."""
        if self.bare:
            return np.broadcast_to(1.0, shape)
        with_air = self._across / self._whole
        mixes = [getattr(net, what) for net in self.nets]
        return np.stack([np.broadcast_to(mix[1] + mix[2] * with_air, shape[:2]) for mix in mixes], axis=-1)


def star_of(build: Build) -> Array:
    """Radiation of covers and zones to the star, per area [J + K]."""
    areas = np.concatenate([build.skin.area_m2, [zone.area_m2 for zone in build.zones]])
    return films.star_w_m2_k(areas, emissivity_frac=build.emissivity_frac)


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
