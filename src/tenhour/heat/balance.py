"""The house hour by hour: air, surfaces, soil, stores, covers, heater and vents, all winters in one run.

Covers, the room's mean radiant temperature and an inner cover over a bed hold no heat: they are eliminated beforehand
for all hours at once. What is left each hour is a small linear system (air and a few surfaces) whose inverse is known,
legs with memory that have constant factors (soil layers, walls, water), and corrections by one heat flow (heater,
freezing water) or one conductance (vents), each exact in closed form. No step iterates.
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.heat import films
from tenhour.heat.build import Build, Drive, Run, State
from tenhour.heat.massless import Covers, Net, eliminated_covers, eliminated_nets, vapour_w

Array = NDArray[np.float64]

HOUR_S: Final = 3600.0
FREEZING_J_KG: Final = 334e3


class _Legs(NamedTuple):
    """All legs side by side: M layers, k nodes."""

    step: Array
    """[M, M], old layers to new."""
    forced: Array
    """[H, 1 or W, M], from edges and ends."""
    pull: Array
    """[M, k], what layers send to nodes."""
    push: Array
    """[k, M], what nodes send to layers."""
    diagonal: Array
    """[k], on the nodes."""
    first: list[int]
    """Layer each zone's column begins at."""
    capacity_j_k: Array


def _legs(build: Build, drive: Drive, step_s: float) -> _Legs:
    count = len(build.zones) + 1
    starts = np.concatenate([[0], np.cumsum([len(z.column.layer_j_m2_k) for z in build.zones])]).astype(int)
    total = int(starts[-1])
    step, pull, push = np.zeros((total, total)), np.zeros((total, count)), np.zeros((count, total))
    diagonal, capacity = np.zeros(count), np.zeros(total)
    forced: list[Array] = []
    for k, zone in enumerate(build.zones):
        part, area, own = zone.column, zone.area_m2, slice(starts[k], starts[k + 1])
        if not len(part.layer_j_m2_k):
            continue
        mass = part.layer_j_m2_k * area / step_s
        links, edge = part.between_w_m2_k * area, part.edge_w_m2_k * area
        matrix = np.diag(mass + links[:-1] + links[1:] + edge) - np.diag(links[1:-1], 1) - np.diag(links[1:-1], -1)
        inverse = np.linalg.inv(matrix)
        step[own, own] = (inverse * mass).T
        sources = edge * drive.edge_degc[k][..., :-1]
        sources[..., -1] += links[-1] * drive.edge_degc[k][..., -1]
        sent = sources @ inverse.T
        forced.append(sent if sent.ndim == 3 else sent[:, None, :])
        pull[starts[k], k + 1] = links[0]
        push[k + 1, own] = inverse[:, 0] * links[0]
        diagonal[k + 1] = links[0] - links[0] ** 2 * inverse[0, 0]
        capacity[own] = part.layer_j_m2_k * area
    wide = max((part.shape[1] for part in forced), default=1)
    hours = len(drive.temp_out_degc)
    joined = [np.broadcast_to(p, (hours, wide, p.shape[2])) for p in forced] or [np.zeros((hours, 1, 0))]
    return _Legs(step, np.concatenate(joined, axis=2), pull, push, diagonal, [int(s) for s in starts[:-1]], capacity)


def start_state(build: Build, drive: Drive) -> State:
    """A beginning: everything as the soil outdoors is at that depth."""
    winters = drive.temp_out_degc.shape[1]
    legs = [np.broadcast_to(edge[0][..., :-1], (winters, edge.shape[-1] - 1)) for edge in drive.edge_degc]
    nodes = np.full((winters, len(build.zones) + 1), float(drive.temp_out_degc[:24].mean()))
    return State(nodes, np.concatenate(legs, axis=1), np.zeros((winters, len(build.zones))))


def run(build: Build, drive: Drive, start: State | None = None, step_s: float = HOUR_S) -> Run:
    """Run the house through the hours of a drive.

    Parameters: build; drive, H steps of W winters; start, where it begins; step_s, length of a step.
    Returns: Run. Method: backward Euler, docs/method/heat.md.
    """
    winters, count = drive.temp_out_degc.shape[1], len(build.zones) + 1
    areas = np.concatenate([build.skin.area_m2, [zone.area_m2 for zone in build.zones]])
    star = films.star_w_m2_k(areas, emissivity_frac=build.emissivity_frac)
    covers = eliminated_covers(build, drive, star[: len(build.skin.area_m2)])
    nets = eliminated_nets(build, drive, star[len(build.skin.area_m2) :])
    legs = _legs(build, drive, step_s)
    leak = build.change_w_k * (build.leak_per_h + build.leak_per_wind * drive.wind_m_s)
    capacity = np.array([build.air_j_k, *(z.column.surface_j_m2_k * z.area_m2 for z in build.zones)])
    matrix, known, whole = _joined(drive, covers, nets, leak, winters, count)
    matrix[..., range(count), range(count)] += capacity / step_s + legs.diagonal
    inverse = np.asarray(np.linalg.inv(matrix), dtype=np.float64)
    begin = start_state(build, drive) if start is None else start
    found = _march(build, drive, inverse, known, legs, capacity, begin, step_s)
    return _read(build, drive, (covers, nets, legs, leak, whole), found, begin, capacity, step_s)


def _joined(
    drive: Drive, covers: Covers, nets: list[Net], leak: Array, winters: int, count: int
) -> tuple[Array, Array, Array]:
    """Matrix [H, W, k, k] and right side [H, W, k] of the nodes with the star eliminated; and the star's own sum."""
    hours = len(leak)
    vapour = vapour_w(drive)
    wet = drive.condensing_frac * vapour
    star_w = covers.star_w + wet * covers.wet_star + drive.gain_radiant_w
    air_w = covers.air_w + wet * covers.wet_air + drive.gain_w + leak * drive.temp_out_degc
    whole = covers.star + sum(net.to_star + net.across for net in nets)
    across = covers.across + sum(net.across for net in nets)
    matrix, known = np.zeros((hours, winters, count, count)), np.zeros((hours, winters, count))
    matrix[..., 0, 0] = covers.air + leak + sum(net.to_air + net.across for net in nets) - across**2 / whole
    known[..., 0] = air_w + across * star_w / whole
    for k, net in enumerate(nets, start=1):
        sun = drive.zone_sun_w[..., k - 1]
        dry = 1.0 - drive.latent_frac[k - 1] if drive.latent_frac else 1.0
        matrix[..., k, k] += net.to_air + net.to_star
        matrix[..., 0, k] = matrix[..., k, 0] = -net.to_air - across * net.to_star / whole
        known[..., k] = sun * dry + net.to_star * star_w / whole
        for other, second in enumerate(nets, start=1):
            matrix[..., k, other] -= net.to_star * second.to_star / whole
    return matrix, known, np.asarray(star_w)


class _March(NamedTuple):
    node: Array
    leg: Array
    heat: Array
    vent: Array
    froze: Array
    """Heat set free by freezing [W], mean of the run."""
    final: State


def _by_hour(value: Array | float, shape: tuple[int, int]) -> Array:
    """A number, [H] or [H, W] as [H, W]."""
    found = np.asarray(value, dtype=np.float64)
    return np.broadcast_to(found[:, None] if found.ndim == 1 else found, shape)


def _march(
    build: Build, drive: Drive, inverse: Array, known: Array, legs: _Legs, capacity: Array, begin: State, step_s: float
) -> _March:
    hours, winters, count = known.shape
    shape = (hours, winters)
    node, leg = np.empty((*shape, count)), np.empty((*shape, len(legs.capacity_j_k)))
    heat, vent, froze = np.zeros(shape), np.zeros(shape), np.zeros(winters)
    share = np.full(count, build.heater.radiant_frac / len(build.zones))
    share[0] = 1.0 - build.heater.radiant_frac
    by_heat, to_air = inverse @ share, inverse[..., 0]
    wanted, limit = _by_hour(drive.set_degc, shape), _by_hour(drive.vent_degc, shape)
    heated, vented = (np.asarray(np.isfinite(part).any(axis=1)) for part in (wanted, limit))
    wet = [(k + 1, z.water_kg * FREEZING_J_KG) for k, z in enumerate(build.zones) if z.water_kg > 0.0]
    most_w_k, per_s = build.vent_per_h * build.change_w_k, capacity / step_s
    y, x, ice = begin.node_degc, begin.leg_degc, begin.ice_j.copy()
    for t in range(hours):
        held = x @ legs.step + legs.forced[t]
        right = known[t] + per_s * y + held @ legs.pull
        y = (inverse[t] * right[:, None, :]).sum(-1)
        for at, most_j in wet:
            y, flow_w = _freeze(y, ice[:, at - 1], at, inverse[t], most_j, step_s)
            froze += flow_w
        if heated[t]:
            lack = (wanted[t] - y[:, 0]) / by_heat[t, :, 0]
            if lack.max() > 0.0:
                heat[t] = np.minimum(np.maximum(lack, 0.0), build.heater.power_w)
                y = y + heat[t][:, None] * by_heat[t]
        if vented[t] and (y[:, 0] > limit[t]).any():
            y, vent[t] = _vent(y, to_air[t], drive.temp_out_degc[t], limit[t], most_w_k)
        x = held + y @ legs.push
        node[t], leg[t] = y, x
    return _March(node, leg, heat, vent, froze / hours, State(y, x, ice))


def _vent(y: Array, pull: Array, out: Array, limit: Array, most: float) -> tuple[Array, Array]:
    """Open vents as far as the limit needs: one more conductance to outdoors, solved exactly."""
    above, gap = y[:, 0] - limit, limit - out
    need = np.where(gap > 0.0, above / np.maximum(pull[:, 0] * gap, 1e-12), np.inf)
    open_w_k = np.where((above > 0.0) & (y[:, 0] > out), np.minimum(need, most), 0.0)
    drop = open_w_k * (y[:, 0] - out) / (1.0 + open_w_k * pull[:, 0])
    return y - drop[:, None] * pull, open_w_k


def _freeze(y: Array, ice_j: Array, at: int, inverse: Array, most_j: float, step_s: float) -> tuple[Array, Array]:
    """Hold water at 0 °C while some of it freezes or thaws: one more heat flow [W]; ice_j [W] is brought up to date."""
    temp = y[:, at]
    if not ((temp < 0.0) | (ice_j > 0.0)).any():
        return y, np.zeros(len(y))
    flow_w = np.clip(-temp / inverse[:, at, at], -ice_j / step_s, (most_j - ice_j) / step_s)
    ice_j += flow_w * step_s
    return np.asarray(y + flow_w[:, None] * inverse[..., at]), flow_w


def _read(
    build: Build,
    drive: Drive,
    parts: tuple[Covers, list[Net], _Legs, Array, Array],
    found: _March,
    begin: State,
    capacity: Array,
    step_s: float,
) -> Run:
    """Temperatures of what was eliminated, and the account of all flows."""
    covers, nets, legs, leak, star_w = parts
    air, zone = found.node[..., 0], found.node[..., 1:]
    whole = covers.star + sum(net.to_star + net.across for net in nets)
    across = covers.across + sum(net.across for net in nets)
    radiant = star_w + across * air + sum(net.to_star * zone[..., k] for k, net in enumerate(nets))
    radiant = radiant / whole
    wet = drive.condensing_frac * vapour_w(drive) / float(build.skin.area_m2.sum())
    film = build.cover_film_w_m2_k
    cover = np.stack(
        [
            (film * air + covers.to_star[j] * radiant + u * warm + wet) / (film + covers.to_star[j] + u)
            for j, (u, warm) in enumerate(zip(covers.outward, covers.driving_degc, strict=True))
        ],
        axis=-1,
    )
    under, leaf = (
        np.stack(
            [
                mix[0] * zone[..., k] + mix[1] * air + mix[2] * radiant
                for k, mix in enumerate(net.under if what == 0 else net.leaf for net in nets)
            ],
            axis=-1,
        )
        for what in (0, 1)
    )
    account = _account(build, drive, (covers, legs, leak), found, begin, (air, cover), capacity, step_s)
    return Run(
        air, zone, _upper(build, found, legs), under, leaf, cover, found.heat, found.vent,
        account, found.final,
    )  # fmt: skip


def _upper(build: Build, found: _March, legs: _Legs) -> Array:
    """First layer below each surface, or the surface where there is none."""
    return np.stack(
        [
            found.leg[..., legs.first[k]] if len(zone.column.layer_j_m2_k) else found.node[..., k + 1]
            for k, zone in enumerate(build.zones)
        ],
        axis=-1,
    )


def _account(
    build: Build,
    drive: Drive,
    parts: tuple[Covers, _Legs, Array],
    found: _March,
    begin: State,
    faces: tuple[Array, Array],
    capacity: Array,
    step_s: float,
) -> dict[str, Array]:
    """Mean flows of each winter [W]: in is positive. Summed from temperatures, not from the system that gave them."""
    covers, legs, leak = parts
    air, cover = faces
    out = drive.temp_out_degc
    panes = sum(
        area * u * (cover[..., j] - warm)
        for j, (area, u, warm) in enumerate(zip(build.skin.area_m2, covers.outward, covers.driving_degc, strict=True))
    )
    ground = np.zeros_like(air)
    for k, zone in enumerate(build.zones):
        first = legs.first[k]
        if not len(zone.column.layer_j_m2_k):
            continue
        layers = found.leg[..., first : first + len(zone.column.layer_j_m2_k)]
        edge = drive.edge_degc[k] if drive.edge_degc[k].ndim == 3 else drive.edge_degc[k][:, None, :]
        ground += zone.area_m2 * ((layers - edge[..., :-1]) * zone.column.edge_w_m2_k).sum(-1)
        ground += zone.area_m2 * zone.column.between_w_m2_k[-1] * (layers[..., -1] - edge[..., -1])
    shape = air.shape
    vapour = np.broadcast_to(np.asarray(vapour_w(drive)), shape)
    stored = ((found.final.node_degc - begin.node_degc) * capacity).sum(-1)
    stored = stored + ((found.final.leg_degc - begin.leg_degc) * legs.capacity_j_k).sum(-1)
    gain = np.broadcast_to(np.asarray(drive.gain_w + drive.gain_radiant_w, dtype=np.float64), shape)
    return {
        "heater_w": found.heat.mean(axis=0),
        "gain_w": gain.mean(axis=0),
        "sun_w": drive.zone_sun_w.sum(-1).mean(axis=0),
        "freezing_w": found.froze,
        "covers_w": -np.asarray(panes).mean(axis=0),
        "leak_w": -(leak * (air - out)).mean(axis=0),
        "vents_w": -(found.vent * (air - out)).mean(axis=0),
        "ground_w": -ground.mean(axis=0),
        "vapour_w": -(vapour * (1.0 - drive.condensing_frac)).mean(axis=0),
        "stored_w": -stored / (len(air) * step_s),
    }
