"""The house hour by hour: air, surfaces, soil, stores, covers, heater and vents, all winters in one run.

Covers, the room's mean radiant temperature and an inner cover over a bed hold no heat: they are eliminated beforehand
for all hours at once. What is left each hour is a small linear system (air and a few surfaces) whose inverse is known,
legs with memory that have constant factors (soil layers, walls, water), and corrections by one heat flow (heater,
freezing water) or one conductance (vents), each exact in closed form. No step iterates.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.heat.build import Build, Drive, Run, State
from tenhour.heat.massless import (
    Covers,
    Eliminated,
    Net,
    by_hour,
    eliminated_covers,
    eliminated_nets,
    star_of,
    vapour_w,
)

Array = NDArray[np.float64]

HOUR_S: Final = 3600.0
FREEZING_J_KG: Final = 334e3
BLOCK_H: Final = 240
"""Hours of all houses that are laid side by side at a time. Practice."""
NEVER_DEGC: Final = 1e6
"""Where vents that nobody opens would open."""


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


class _Ready(NamedTuple):
    """One house with its weather, unpacked for the march."""

    build: Build
    drive: Drive
    eliminated: Eliminated
    legs: _Legs
    leak: Array
    inverse: Array
    """Of the nodes' system [H, W, k, k]."""
    known: Array
    """Right side [H, W, k]."""
    capacity: Array
    begin: State


def run(build: Build, drive: Drive, start: State | None = None, step_s: float = HOUR_S) -> Run:
    """Run the house through the hours of a drive.

    Parameters: build; drive, H steps of W winters; start, where it begins; step_s, length of a step.
    Returns: Run. Method: backward Euler, docs/method/heat.md.
    """
    return run_together([(build, drive)], None if start is None else [start], step_s)[0]


def run_accounted(
    build: Build, drive: Drive, start: State | None = None, step_s: float = HOUR_S
) -> tuple[Run, dict[str, Array]]:
    """Run the house, and say where its heat came from and went: what proves a run.

    Parameters: as :func:`run`.
    Returns: Run; mean flows of each winter [W] by name, in is positive, summed from temperatures and not from the
    system that gave them, so that they add up to nothing only if it was solved.
    """
    one = _ready(build, drive, start, step_s)
    found = _march([one], step_s, whole=True)[0]
    done = _read(one, found)
    return done, _account(one, found, (done.air_degc, done.cover_degc), step_s)


def run_together(
    houses: Sequence[tuple[Build, Drive]], starts: Sequence[State] | None = None, step_s: float = HOUR_S
) -> list[Run]:
    """Run several houses side by side through equally many hours and winters, as :func:`run` would one by one.

    Parameters: houses, each with its drive; starts, where each begins; step_s, length of a step.
    Returns: their runs. Method: backward Euler, docs/method/heat.md.
    """
    begins: Sequence[State | None] = [None] * len(houses) if starts is None else starts
    ready = [_ready(build, drive, start, step_s) for (build, drive), start in zip(houses, begins, strict=True)]
    return [_read(one, found) for one, found in zip(ready, _march(ready, step_s), strict=True)]


def _ready(build: Build, drive: Drive, start: State | None, step_s: float) -> _Ready:
    star = star_of(build)
    covers = eliminated_covers(build, drive, star)
    nets = eliminated_nets(build, drive, star[len(build.skin.area_m2) :])
    legs = _legs(build, drive, step_s)
    leak = build.change_w_k * (build.leak_per_h + build.leak_per_wind_ratio * drive.wind_m_s)
    capacity = np.array([build.air_j_k, *(z.column.surface_j_m2_k * z.area_m2 for z in build.zones)])
    inverse = _inverse(covers, nets, leak, capacity / step_s + legs.diagonal)
    known, star_w = _known(drive, covers, nets, leak)
    begin = start_state(build, drive) if start is None else start
    return _Ready(
        build, drive, Eliminated(build, drive, covers, nets, star_w), legs, leak, inverse, known, capacity, begin
    )


def _inverse(covers: Covers, nets: list[Net], leak: Array, own_w_k: Array) -> Array:
    """Inverse of the nodes' system [H, W, k, k].

    Parameters: covers; nets; leak; own_w_k, what each node has on itself [k].
    Method: every surface is tied to the air and to the star alone, so it is eliminated by itself; what is left are two
    nodes, whose inverse is known; from them back to the surfaces. The part of air and surfaces is the one wanted.
    """
    air = covers.air + leak + own_w_k[0] + sum(net.to_air + net.across for net in nets)
    star = covers.star + sum(net.to_star + net.across for net in nets)
    both = covers.across + sum(net.across for net in nets)
    alone = [1.0 / (net.to_air + net.to_star + own) for net, own in zip(nets, own_w_k[1:], strict=True)]
    by_air = [net.to_air * one for net, one in zip(nets, alone, strict=True)]
    by_star = [net.to_star * one for net, one in zip(nets, alone, strict=True)]
    for net, to_air, to_star in zip(nets, by_air, by_star, strict=True):
        air, star, both = air - net.to_air * to_air, star - net.to_star * to_star, both + net.to_air * to_star
    over = 1.0 / (air * star - both * both)
    out = np.empty((len(nets) + 1, len(nets) + 1, *air.shape))
    out[0, 0], star_star, air_star = star * over, air * over, both * over
    for k, (to_air, to_star) in enumerate(zip(by_air, by_star, strict=True), start=1):
        out[0, k] = to_air * out[0, 0] + to_star * air_star
        out[k, 0] = out[0, k]
        feels = to_air * air_star + to_star * star_star
        for other in range(1, k + 1):
            out[k, other] = by_air[other - 1] * out[0, k] + by_star[other - 1] * feels
            out[other, k] = out[k, other]
        out[k, k] += alone[k - 1]
    return np.moveaxis(out, (0, 1), (-2, -1))


def _known(drive: Drive, covers: Covers, nets: list[Net], leak: Array) -> tuple[Array, Array]:
    """Right side of the nodes' system with the star eliminated [H, W, k], and what the star gets [H, W]."""
    wet = drive.condensing_frac * vapour_w(drive)
    star_w = covers.star_w + wet * covers.wet_star + drive.gain_radiant_w
    air_w = covers.air_w + wet * covers.wet_air + drive.gain_w + leak * drive.temp_out_degc
    whole = covers.star + sum(net.to_star + net.across for net in nets)
    radiant = star_w / whole
    out = np.empty((len(nets) + 1, *leak.shape))
    out[0] = air_w + (covers.across + sum(net.across for net in nets)) * radiant
    for k, net in enumerate(nets, start=1):
        dry = 1.0 - by_hour(drive.latent_frac[k - 1]) if drive.latent_frac else 1.0
        out[k] = drive.zone_sun_w[..., k - 1] * dry + net.to_star * radiant
    return np.moveaxis(out, 0, -1), np.asarray(star_w)


class _March(NamedTuple):
    node: Array
    upper: Array
    """First layer below each zone's surface, or the surface where there is none [H, W, K]."""
    leg: Array
    """All layers [H, W, M] where they are asked for, else none of them."""
    heat: Array
    vent: Array
    mat: Array
    froze: Array
    """Heat set free by freezing [W], mean of the run."""
    final: State


class _Together(NamedTuple):
    """What all houses share in every hour, side by side: B houses, W winters, k nodes, m layers; what a house has not
    stays at 0."""

    turn: Array
    """From one hour's layers and nodes to the next, before the nodes' own system [B, m + k, m + k]."""
    begin: Array
    """[B, W, m + k]."""
    ice_w: Array
    most_w: Array
    """Ice, and the most there can be of it, as the heat that sets it free in one step [B, W, k] and [B, 1, k]."""
    share: Array
    """Of a heater's watt to each node [B, 1, k, 1]."""
    layers: int


def _together(ready: Sequence[_Ready], step_s: float) -> _Together:
    winters = ready[0].known.shape[1]
    nodes = max(one.known.shape[2] for one in ready)
    layers = max(len(one.legs.capacity_j_k) for one in ready)
    shape = (len(ready), winters)
    turn, begin = np.zeros((len(ready), layers + nodes, layers + nodes)), np.zeros((*shape, layers + nodes))
    ice_w, most_w = np.zeros((*shape, nodes)), np.zeros((len(ready), 1, nodes))
    share = np.zeros((len(ready), 1, nodes, 1))
    for b, one in enumerate(ready):
        legs, k, m = one.legs, one.known.shape[2], len(one.legs.capacity_j_k)
        node = slice(layers, layers + k)
        # new layers = (old layers + what nodes sent) turned, and nodes feel them within the hour
        from_node = legs.push @ legs.step
        turn[b, :m, :m], turn[b, node, :m] = legs.step, from_node
        turn[b, :m, node] = legs.step @ legs.pull
        turn[b, node, node] = from_node @ legs.pull + np.diag(one.capacity / step_s)
        begin[b, :, node] = one.begin.node_degc
        begin[b, :, :m] = one.begin.leg_degc - one.begin.node_degc @ legs.push
        ice_w[b, :, 1:k] = one.begin.ice_j / step_s
        most_w[b, 0, 1:k] = [zone.water_kg * FREEZING_J_KG / step_s for zone in one.build.zones]
        share[b, 0, 1:k] = one.build.heater.radiant_frac / (k - 1) if k > 1 else 0.0
        share[b, 0, 0] = 1.0 - one.build.heater.radiant_frac
    return _Together(turn, begin, ice_w, most_w, share, layers)


class _Block(NamedTuple):
    """Some hours of all houses side by side: few enough to stay in the processor's cache."""

    inverse: Array
    """[T, B, W, k, k]."""
    state: Array
    """What acts on layers and nodes [T, B, W, m + k]; becomes what they are."""
    own: Array
    """What a watt does to the node it goes to [T, B, W, k]; 1 where no water can freeze."""
    wanted: Array
    limit: Array
    out: Array
    """Set point, warmth at which vents open, and outdoors [T, B, W]."""


def _block(ready: Sequence[_Ready], every: _Together, hours: slice) -> _Block:
    winters, count = every.begin.shape[1], hours.stop - hours.start
    nodes = every.ice_w.shape[2]
    shape = (count, len(ready), winters)
    inverse, state = np.zeros((*shape, nodes, nodes)), np.zeros((*shape, every.layers + nodes))
    for b, one in enumerate(ready):
        legs, k, m = one.legs, one.known.shape[2], len(one.legs.capacity_j_k)
        forced = legs.forced[hours]
        inverse[:, b, :, :k, :k] = one.inverse[hours]
        state[:, b, :, :m] = forced
        state[:, b, :, every.layers : every.layers + k] = one.known[hours] + forced @ legs.pull
    own = np.where(every.most_w > 0.0, np.diagonal(inverse, axis1=-2, axis2=-1), 1.0)
    wanted, limit = (
        _by_hour([_cut(getattr(one.drive, name), hours) for one in ready], shape) for name in ("set_degc", "vent_degc")
    )
    out = np.stack([one.drive.temp_out_degc[hours] for one in ready], axis=1)
    return _Block(inverse, state, own, wanted, np.minimum(limit, NEVER_DEGC), out)


def _cut(value: Array | float, hours: slice) -> Array | float:
    """Some hours of a number, [H] or [H, W]; the same in all hours where it has none."""
    found = np.asarray(value, dtype=np.float64)
    return found[hours] if found.ndim else float(found)


def _by_hour(values: Sequence[Array | float], shape: tuple[int, int, int]) -> Array:
    """Numbers, [H] or [H, W], of each house as [H, B, W]."""
    out = np.empty(shape)
    for b, value in enumerate(values):
        found = np.asarray(value, dtype=np.float64)
        out[:, b] = found[:, None] if found.ndim == 1 else found
    return out


def _march(ready: Sequence[_Ready], step_s: float, whole: bool = False) -> list[_March]:
    """All hours of all houses. whole, whether every layer is kept."""
    every = _together(ready, step_s)
    count = len(ready[0].known)
    kept = [_Kept.of(one, whole) for one in ready]
    power_w = np.array([[one.build.heater.power_w] for one in ready])
    most_w_k = np.array([[one.build.vent_per_h * one.build.change_w_k] for one in ready])
    wet = np.flatnonzero(every.most_w.max(axis=(0, 1)) > 0.0).tolist()
    ice, icy, z = every.ice_w.copy(), bool(every.ice_w.any()), every.begin
    froze = np.zeros(ice.shape[:2])
    mat_count = max((len(one.build.mats) for one in ready), default=0)
    for start in range(0, count, BLOCK_H):
        hours = slice(start, min(start + BLOCK_H, count))
        p = _block(ready, every, hours)
        shape = p.out.shape
        mats, mat = _mats(ready, p, every, hours, step_s), np.zeros((*shape, mat_count))
        heat, vent = np.zeros(shape), np.zeros(shape)
        to_air = p.inverse[..., 0]
        thermostat = _Thermostat(p.wanted, power_w, (p.inverse @ every.share)[..., 0])
        most_wanted, least_limit = p.wanted.max(axis=(1, 2)).tolist(), p.limit.min(axis=(1, 2)).tolist()
        for t in range(shape[0]):
            now = p.state[t]
            now += z @ every.turn
            y = np.vecdot(p.inverse[t], now[..., None, every.layers :])
            low = np.minimum.reduce(y, axis=None)
            if wet and (icy or low < 0.0):
                for at in wet:
                    y, flow_w = _freeze(y, ice[..., at], at, p.inverse[t], p.own[t], every.most_w[..., at])
                    froze += flow_w
                icy = bool(ice.any())
            if mats or low < most_wanted[t]:
                y, heat[t] = thermostat.held(t, y)
            if mats:
                for warmed in mats:
                    y, mat[t, warmed.house, :, warmed.number] = warmed.held(t, y, now)
                y, heat[t] = thermostat.eased(t, y, heat[t])
            if np.maximum.reduce(y[..., 0], axis=None) > least_limit[t]:
                y, vent[t] = _vent(y, to_air[t], p.out[t], p.limit[t], most_w_k)
            now[..., every.layers :] = y
            z = now
        for b, (one, own) in enumerate(zip(ready, kept, strict=True)):
            own.take(one, hours, p.state[:, b], every.layers, (heat[:, b], vent[:, b], mat[:, b]))
    return [
        own.done(one, froze[b] / count, ice[b] * step_s) for b, (one, own) in enumerate(zip(ready, kept, strict=True))
    ]


class _Kept(NamedTuple):
    """One house's own columns again, block by block."""

    node: Array
    upper: Array
    leg: Array
    heat: Array
    vent: Array
    mat: Array
    last: Array
    """Layers of the last hour of a block [W, M]."""

    @classmethod
    def of(cls, one: _Ready, whole: bool) -> _Kept:
        hours, winters, nodes = one.known.shape
        layers = len(one.legs.capacity_j_k)
        shape = (hours, winters)
        return cls(
            np.empty(one.known.shape), np.empty((*shape, nodes - 1)), np.empty((*shape, layers if whole else 0)),
            np.empty(shape), np.empty(shape), np.empty((*shape, len(one.build.mats))), np.empty((winters, layers)),
        )  # fmt: skip

    def take(self, one: _Ready, hours: slice, state: Array, layers: int, flows: tuple[Array, Array, Array]) -> None:
        """Take in a block: state [T, W, m + k]."""
        legs, k, m = one.legs, one.known.shape[2], len(one.legs.capacity_j_k)
        node = state[..., layers : layers + k]
        self.node[hours] = node
        for zone, part in enumerate(one.build.zones):
            first = legs.first[zone]
            found = node[..., zone + 1]
            if len(part.column.layer_j_m2_k):
                found = state[..., first] + node @ legs.push[:, first]
            self.upper[hours, :, zone] = found
        if self.leg.shape[2]:
            self.leg[hours] = state[..., :m] + node @ legs.push
        self.last[:] = state[-1, :, :m] + node[-1] @ legs.push
        self.heat[hours], self.vent[hours] = flows[0], flows[1]
        self.mat[hours] = flows[2][..., : self.mat.shape[2]]

    def done(self, one: _Ready, froze_w: Array, ice_j: Array) -> _March:
        """The whole march. Parameters: froze_w [W]; ice_j [W, k]."""
        final = State(self.node[-1], self.last, ice_j[:, 1 : one.known.shape[2]])
        return _March(self.node, self.upper, self.leg, self.heat, self.vent, self.mat, froze_w, final)


class _Thermostat(NamedTuple):
    """Heaters of all houses: each gives what its air lacks."""

    wanted: Array
    power_w: Array
    by_heat: Array

    def held(self, t: int, y: Array) -> tuple[Array, Array]:
        """Nodes and heat [W] of an hour, from the nodes without heat."""
        lack = (self.wanted[t] - y[..., 0]) / self.by_heat[t, ..., 0]
        heat = np.minimum(np.maximum(lack, 0.0), self.power_w)
        return y + heat[..., None] * self.by_heat[t], heat

    def eased(self, t: int, y: Array, heat: Array) -> tuple[Array, Array]:
        """The same after mats have warmed the air too: what they gave the heater need not."""
        over = (y[..., 0] - self.wanted[t]) / self.by_heat[t, ..., 0]
        less = np.where(heat > 0.0, np.clip(over, 0.0, heat), 0.0)
        return y - less[..., None] * self.by_heat[t], heat - less


class _Warmed(NamedTuple):
    """One mat of one house, with what a watt of it does."""

    house: int
    number: int
    power_w: float
    wanted: Array
    """[H]."""
    layers: Array
    """Rise of the column's layers before nodes answer [m], K per W."""
    layer: int
    to_layer: Array
    """What nodes do to its layer [k]."""
    by_mat: Array
    """What a watt does to the nodes [H, W, k]."""
    own: Array
    """What a watt does to its layer [H, W]."""

    def held(self, t: int, y: Array, now: Array) -> tuple[Array, Array]:
        """Nodes and power [W] of an hour; its column's layers in ``now`` are brought up to date."""
        layers, nodes = now[self.house], y[self.house]
        found = layers[:, self.layer] + nodes @ self.to_layer
        power = np.clip((self.wanted[t] - found) / self.own[t], 0.0, self.power_w)
        layers[:, : len(self.layers)] += power[:, None] * self.layers
        y = y.copy()
        y[self.house] = nodes + power[:, None] * self.by_mat[t]
        return y, power


def _mats(ready: Sequence[_Ready], p: _Block, every: _Together, hours: slice, step_s: float) -> list[_Warmed]:
    """Mats that are on in some hour."""
    out = []
    count, nodes = len(p.out), every.ice_w.shape[2]
    for b, one in enumerate(ready):
        for number, (mat, wanted) in enumerate(zip(one.build.mats, one.drive.mat_degc, strict=False)):
            legs, layer, node = one.legs, one.legs.first[mat.zone], mat.zone + 1
            rise = legs.step[layer] / (legs.capacity_j_k[layer] / step_s) * (1.0 - mat.to_air_frac)
            to_layer = np.zeros(nodes)
            to_layer[: len(legs.push)] = legs.push[:, layer]
            sent = float(rise @ legs.pull[:, node])
            by_mat = p.inverse[:, b, :, :, node] * sent + p.inverse[:, b, :, :, 0] * mat.to_air_frac
            own = rise[layer] + by_mat @ to_layer
            degc = np.broadcast_to(np.asarray(_cut(wanted, hours), dtype=np.float64), (count,))
            out.append(_Warmed(b, number, mat.power_w, degc, rise, layer, to_layer, by_mat, own))
    return out


def _vent(y: Array, pull: Array, out: Array, limit: Array, most: Array) -> tuple[Array, Array]:
    """Open vents as far as the limit needs: one more conductance to outdoors, solved exactly."""
    air, reach, gap = y[..., 0], pull[..., 0], limit - out
    need = np.where(gap > 0.0, (air - limit) / np.maximum(reach * gap, 1e-12), np.inf)
    open_w_k = np.where((air > limit) & (air > out), np.minimum(need, most), 0.0)
    drop = open_w_k * (air - out) / (1.0 + open_w_k * reach)
    return y - drop[..., None] * pull, open_w_k


def _freeze(y: Array, ice_w: Array, at: int, inverse: Array, own: Array, most_w: Array) -> tuple[Array, Array]:
    """Hold water at 0 °C while some of it freezes or thaws: one more heat flow [W]; ice_w is brought up to date."""
    flow_w = np.minimum(np.maximum(y[..., at] / -own[..., at], -ice_w), most_w - ice_w)
    ice_w += flow_w
    return np.asarray(y + flow_w[..., None] * inverse[..., at]), flow_w


def _read(one: _Ready, found: _March) -> Run:
    """Temperatures of all, what was eliminated when it is asked for."""
    air, zone = found.node[..., 0], found.node[..., 1:]
    read = partial(one.eliminated.read, air=air, zone=zone)
    return Run(air, zone, found.upper, found.heat, found.vent, found.mat, found.final, read)


def _account(one: _Ready, found: _March, faces: tuple[Array, Array], step_s: float) -> dict[str, Array]:
    """Mean flows of each winter [W]: in is positive."""
    build, drive, legs, leak = one.build, one.drive, one.legs, one.leak
    air, cover = faces
    out = drive.temp_out_degc
    panes = sum(
        area * u * (cover[..., j] - warm)
        for j, (area, (_, u, warm)) in enumerate(zip(build.skin.area_m2, one.eliminated.faces(), strict=True))
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
    stored = ((found.final.node_degc - one.begin.node_degc) * one.capacity).sum(-1)
    stored = stored + ((found.final.leg_degc - one.begin.leg_degc) * legs.capacity_j_k).sum(-1)
    gain = np.broadcast_to(np.asarray(drive.gain_w + drive.gain_radiant_w, dtype=np.float64), shape)
    return {
        "heater_w": found.heat.mean(axis=0),
        "mats_w": found.mat.sum(axis=-1).mean(axis=0),
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
