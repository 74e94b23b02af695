"""Light on the beds per unit of sky, ground and sun: computed once per house, then a year is a matrix product.

A bed point's light is what comes straight through the panes, what diffusing panes send on, and what bounced.
All of it is linear in the radiance of the sky patches, of the ground, and in the beam of the sun.

>>> import numpy as np
>>> from tenhour.house import bedlight, outside, shapes
>>> corners = shapes.faces_m("lean-to", {"length": 4.0, "width": 2.5, "front": 1.4, "back": 2.4})
>>> made_of = {"south": 0, "roof": 0}                                            # pane 0, all else opaque
>>> skin = [shapes.Surface(k, at, made_of.get(k, shapes.OPAQUE), 0.6) for k, at in corners.items()]
>>> panes = bedlight.Panes(np.full((1, 91), 0.8), np.zeros((1, 91)), np.array([0.1]))  # straight, scattered, inside
>>> bed = bedlight.BedPlane("front", (0.2, 0.2), (3.8, 1.0), 0.3)
>>> scene = bedlight.Scene(tuple(skin), (), (), (bed,), panes, azimuth_deg=90.0)
>>> dome = outside.Dome(*bedlight.plain_dome(2000))
>>> light = bedlight.daylight(scene, dome, latitude_deg=52.0, sun=np.array([[0.0, -0.97, 0.243]]))
>>> sky = light.sky_direct_sr[0] + light.sky_bounced_sr[0]          # [points, sky patches]
>>> bool(0.3 < sky.sum(axis=1).mean() / np.pi < 0.8)                # share of a uniform sky
True
>>> weights = light.sun_weights(np.array([[0.0, -0.97, 0.243]]))     # sparse [steps, nodes]
>>> beam = weights @ (light.sun_direct_ratio[0] + light.sun_bounced_ratio[0]).T   # [steps, points] per unit of beam
>>> beam.shape == (1, len(light.point_m))
True
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields, replace
from typing import Final, NamedTuple

import numpy as np
from scipy import sparse

from tenhour.house.cutting import LIFT_M, PATCHES, build_room
from tenhour.house.glint import glints
from tenhour.house.outside import Dome, Emitters, Outside, emitters, house_axes
from tenhour.house.passing import Passing
from tenhour.house.patches import BLOCK_FACES, IntArray, Room
from tenhour.house.radiosity import RAYS, Exchange, exchange
from tenhour.house.shapes import OPAQUE, Block, FloatArray, Opening, Surface
from tenhour.house.suntable import SunNodes, sun_nodes
from tenhour.house.tiles import hull_of
from tenhour.house.trace import patch_at
from tenhour.house.transfer import (
    PANE_RAYS,
    Diffused,
    Source,
    Tables,
    gather,
    joined,
    pane_light,
    pane_tables,
    point_straight,
    scatter_light,
)

PEEPING_FRAC: Final = 0.5
"""Points that fewer of the suns reach straight have closer suns: above it nine points in ten are within 10 % without
(docs/method/speed.md)."""

BED_POINTS: Final = 60
"""Points on a bed, about, whatever its size: a house of twice the size has the same light."""

FEWEST_POINTS: Final = 12
"""Points on a bed at least, see ``HOUSE_POINTS``."""

FEWEST_ACROSS: Final = 3
"""Points across a bed at least: of a narrow one under a shelf two rows miss its month by up to 4.7 %, three by 1.5."""

HOUSE_POINTS: Final = 1200
"""Points of all beds of a house at most, down to the fewest a bed has: what is held of a point for every sun and patch
of sky would otherwise fill the memory. Only houses of more than twenty beds feel it (docs/method/speed.md)."""

SIDESTEP: Final = 0.6180339887498949
"""Step by which the points of neighbouring rows lie aside, the golden section, so that no two of a bed lie level. What
bounds light runs along a bed (a shelf over it, the sill before it), and points in three level rows are all in or out of
it at once."""

LOWEST_POINT_M: Final = 1e-3
"""A light point lies at least so far above the soil [m]."""


class Panes(NamedTuple):
    """Curves of all panes of a house on incidence angles 0, 1, ... 90 degrees."""

    straight_frac: FloatArray
    """[c, 91]."""
    scattered_frac: FloatArray
    """[c, 91]."""
    inside_refl_frac: FloatArray
    """[c], of light from all sides, mirrored and diffuse together."""
    mirrored_frac: FloatArray | None = None
    """[c, 91], mirrored back inside; None if panes reflect in all directions only."""

    def tables(self) -> Tables:
        """Curves over the cosine of incidence."""
        mirrored = np.zeros_like(self.straight_frac) if self.mirrored_frac is None else self.mirrored_frac
        return pane_tables(self.straight_frac, self.scattered_frac, mirrored)

    def diffuse_refl_frac(self, mirrors: FloatArray) -> FloatArray:
        """Reflectance [c] of what a pane does not mirror, from its table of mirrored shares.

        Method: (whole - m) / (1 - m), at least 0, with m = ∫ mirrored sin 2t dt (docs/method/house.md).
        """
        cosine = np.linspace(0.0, 1.0, mirrors.shape[1])
        thrown = np.trapezoid(mirrors * 2 * cosine, cosine, axis=1)
        return np.asarray(np.maximum(self.inside_refl_frac - thrown, 0.0) / (1.0 - thrown))


class BedPlane(NamedTuple):
    """A bed: a level rectangle that absorbs light and shades what lies below it."""

    name: str
    low_m: tuple[float, float]
    high_m: tuple[float, float]
    height_m: float
    canopy_m: float = 0.05
    refl_frac: float = 0.1


@dataclass(frozen=True)
class Scene:
    """All that is needed of one house, in house axes (see ``shapes``)."""

    surfaces: tuple[Surface, ...]
    openings: tuple[Opening, ...]
    blocks: tuple[Block, ...]
    beds: tuple[BedPlane, ...]
    panes: Panes
    outside: Outside = field(default_factory=Outside)
    azimuth_deg: float = 90.0
    """Compass direction of +x [degree]."""
    bed_points: int = BED_POINTS
    """Points on each bed, about."""
    patches: int = PATCHES
    rays: int = RAYS

    def room(self) -> Room:
        """Cut the room into patches, beds included."""
        slabs = [
            Block(
                f"bed {b.name}",
                (*b.low_m, b.height_m + LIFT_M),
                (*b.high_m, b.height_m + LIFT_M),
                b.refl_frac,
            )
            for b in self.beds
        ]
        refl = self.panes.diffuse_refl_frac(self.panes.tables().mirrored)
        spread = self.panes.scattered_frac.any(axis=1) if self.outside.near else np.zeros(0, dtype=bool)
        fine = [int(k) for k in np.flatnonzero(spread)]
        near = self.outside.corners_m()
        return build_room(self.surfaces, self.openings, [*self.blocks, *slabs], list(refl), self.patches, fine, near)


@dataclass(frozen=True)
class BedLight:
    """Coefficients of one house. First axis of every array: the pane states asked for."""

    point_m: FloatArray
    """[p, 3] light points in house axes [m]."""
    cell_m: FloatArray
    """[p, 2], middles of the cells of their beds."""
    bed_index: IntArray
    """[p], bed of each point."""
    sky_direct_sr: FloatArray
    """[states, p, sky patches]: irradiance per unit radiance of a sky patch, before any bounce."""
    sky_bounced_sr: FloatArray
    ground_direct_sr: FloatArray
    """[states, p]: per unit radiance of the ground (the same everywhere)."""
    ground_bounced_sr: FloatArray
    sun_direct_ratio: FloatArray
    """[states, p, nodes]: horizontal irradiance per unit of beam at normal incidence, at the sun nodes, closer ones
    last."""
    sun_bounced_ratio: FloatArray
    absorbed_by: tuple[str, ...]
    """Pieces of the room: faces, windows, boxes and "bed NAME"."""
    sky_absorbed_m2_sr: FloatArray
    """[states, pieces, sky patches]: light each opaque piece absorbs in the end, per unit radiance; 0 for panes."""
    ground_absorbed_m2_sr: FloatArray
    """[states, pieces]."""
    sun_absorbed_m2: FloatArray
    """[states, pieces, nodes]: per unit of beam."""
    nodes: SunNodes
    outside: Outside

    def sun_weights(self, sun: FloatArray) -> sparse.csr_array:
        """Weights that turn values at the sun nodes into values at sun positions.

        Parameters: sun [n, 3], unit vectors in east, north, up; each within the range the nodes were made for.
        Returns: sparse [n, nodes]; rows are zero while the sun is behind the skyline or below the horizon.
        """
        return self.nodes.weights(sun, self.outside)


@dataclass(frozen=True)
class Solver:
    """A room with everything that does not depend on panes' transmittance: rays, form factors, bounces."""

    scene: Scene
    room: Room
    emitters: Emitters
    exchange: Exchange
    point_m: FloatArray
    cell_m: FloatArray
    bed_index: IntArray
    factor: FloatArray
    """[p, n], form factors from points to patches."""
    bounced_per_m2: FloatArray
    """[p, n], irradiance at points after at least one reflection, per light first arriving on each patch."""
    straight: Source
    """Light of sky and ground that reaches points straight, by direction (``Emitters.by_direction``)."""
    tables: Tables
    soil_patch: IntArray
    """[p], patch of the bed below each point."""
    absorbed_frac: FloatArray
    """[pieces, n], share of the light first arriving on each patch that each opaque piece absorbs in the end."""

    def bounce(self, first_w_m2: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Extra light by reflection, given direct light on the patches; for lamps as well as for tests.

        Parameters: first_w_m2 [n] or [n, k], direct irradiance of each patch of ``room`` (any flux unit).
        Returns: extra irradiance at the points [p(, k)] and at the patches [n(, k)], same unit.
        Method: E = F (ρ/A) (I - Sᵀ ρ)⁻¹ Φ0 (docs/method/house.md, "What happens to a ray").
        """
        area = self.exchange.area_m2.reshape(-1, *[1] * (first_w_m2.ndim - 1))
        arrived = first_w_m2 * area
        settled = self.exchange.settled(arrived) - arrived
        return self.bounced_per_m2 @ arrived, settled / np.where(area > 0, area, np.inf)


class BedPoints(NamedTuple):
    """Light points of a bed, one in each of its cells."""

    point_m: FloatArray
    """[p, 3] [m], row by row from the south-west corner."""
    cell_m: FloatArray
    """[p, 2], middles of their cells."""


def bed_points(bed: BedPlane, count: int = BED_POINTS) -> BedPoints:
    """Light points of a bed, in cells.

    Parameters: bed; count, how many, about.
    Returns: BedPoints; its cells are about square, three of them across the bed or more.
    Method: geometry. Along the bed points lie in the middle of their cells; across it each row is moved aside within
    its cells, so that no two points lie level and as many lie on the one side as on the other (docs/method/house.md).
    """
    size = np.array(bed.high_m) - np.array(bed.low_m)
    nx, ny = _cells(size, count)
    i, j = np.meshgrid(np.arange(nx), np.arange(ny))
    middle = np.column_stack([i.ravel(), j.ravel()]) + 1 / 2
    aside = np.zeros(middle.shape)
    across = 1 if nx >= ny else 0
    aside[:, across] = _aside((nx, ny)[1 - across])[(i, j)[1 - across].ravel()]
    point, cell = (bed.low_m + size * part / (nx, ny) for part in (middle + aside, middle))
    height = np.full((nx * ny, 1), bed.height_m + max(bed.canopy_m, LOWEST_POINT_M))
    return BedPoints(np.concatenate([point, height], axis=1), cell)


def _cells(size_m: FloatArray, count: int) -> tuple[int, int]:
    """Cells along x and along y."""
    counts = np.maximum(1, np.round(size_m / np.sqrt(size_m.prod() / count))).astype(int)
    short = int(counts.argmin())
    if counts[short] < FEWEST_ACROSS:
        counts[short] = FEWEST_ACROSS
        counts[1 - short] = max(1, count // FEWEST_ACROSS)
    return int(counts[0]), int(counts[1])


def _aside(rows: int) -> FloatArray:
    """How far the points of each row lie aside of their cells' middles, in cells [rows]; evenly spread, and on the one
    side of the middle row as much to the left as on the other to the right."""
    step = np.mod((np.arange(rows) - (rows - 1) / 2) * SIDESTEP + 1 / 2, 1.0)
    return np.asarray((step.argsort().argsort() + 1 / 2) / rows - 1 / 2)


def shared_points(count: int, beds_count: int) -> int:
    """Points on a bed, about, of the count wished for and the beds_count of its house.

    Parameters: count, beds_count. Method: judgement, see ``HOUSE_POINTS``.
    """
    return min(count, max(HOUSE_POINTS // max(beds_count, 1), FEWEST_POINTS))


def plain_dome(samples: int) -> tuple[FloatArray, FloatArray, IntArray]:
    """A sky of one patch in evenly spread samples, for uniform skies and for trials.

    Parameters: samples, how many.
    Returns: directions [s, 3] (east, north, up), solid angles [s] [sr], patch numbers [s] (all 0).
    Method: a spiral by the golden angle, evenly spread in the sine of the height (geometry).
    """
    k = np.arange(samples) + 1 / 2
    up = k / samples
    turn = k * np.pi * (1.0 + np.sqrt(5.0))
    flat = np.sqrt(1.0 - up**2)
    direction = np.column_stack([flat * np.cos(turn), flat * np.sin(turn), up])
    return direction, np.full(samples, 2 * np.pi / samples), np.zeros(samples, dtype=np.int64)


class Entered(NamedTuple):
    """Light through the panes whatever walls reflect, of the sky by direction or of suns."""

    landed: Source
    """By patch of the room."""
    mirrored: Source
    """The part of it that came by way of two panes' mirrors or more."""
    panes: Diffused
    """What diffusing panes send on, by emitter."""
    straight: Source
    """Light that reaches the points straight."""
    glints: Source
    """Light that reaches them by way of one pane's mirror, of suns; that of the sky is with the straight."""


def solver(scene: Scene, dome: Dome, beds: Sequence[int] | None = None, around: Emitters | None = None) -> Solver:
    """Trace a house once: points to sky and patches, patches to patches.

    Parameters: scene; dome; beds, numbers of those whose points are traced, all if none are given; around, what a
    house that differs in its beds alone sees outside (its ``emitters``), where that is known.
    Returns: Solver, good for any pane state and any sun.
    """
    room, between, around, tables = room_alone(scene, dome, around)
    which = np.arange(len(scene.beds)) if beds is None else np.array(beds, dtype=np.int64)
    point, cell, each = _points_of(scene, [scene.beds[number] for number in which])
    bed_index = np.repeat(which, each)
    factor, straight = _seen(room, around, tables, point)
    top = room.planes_count + BLOCK_FACES * (len(scene.blocks) + bed_index) + BLOCK_FACES - 1
    soil = patch_at(room, top.astype(np.int16), point)
    bounced, kept = between.gathered(factor, room.patch_piece, room.piece_pane == OPAQUE)
    return Solver(
        scene, room, around, between, point, cell, bed_index, factor, bounced, straight, tables, soil, kept
    )  # fmt: skip


def _points_of(scene: Scene, beds: Sequence[BedPlane]) -> tuple[FloatArray, FloatArray, list[int]]:
    """Points of some beds, the middles of their cells, and how many each bed has."""
    count = shared_points(scene.bed_points, len(scene.beds))
    found = [bed_points(bed, count) for bed in beds]
    point, cell = (np.concatenate(part) for part in zip(*found, strict=True))
    return point, cell, [len(own.cell_m) for own in found]


def _seen(room: Room, around: Emitters, tables: Tables, point_m: FloatArray) -> tuple[FloatArray, Source]:
    """Form factors from points to patches, and light of sky and ground that reaches them straight, by direction."""
    fine = around.by_direction()
    factor, straight = gather(room, fine, tables, point_m)
    return factor, joined([straight, glints(room, fine, tables, point_m)])


def elsewhere(solved: Solver, beds: Sequence[tuple[int, BedPlane]]) -> Solver:
    """The same room seen from beds that are lifted or moved, each by itself; nothing in it is traced again.

    Parameters: solved, with the points of all its beds; beds, the number of each moved one among those of the scene,
    and where it lies then. They are counted on from the beds of the scene, in this order.
    Returns: Solver of their points alone.
    Method: a bed's points look up from it, so it hides nothing from them wherever it lies; what it throws back, and
    what it hides from the floor, stays where it was (docs/method/speed.md).
    """
    scene, room = solved.scene, solved.room
    point, cell, each = _points_of(scene, [plane for _, plane in beds])
    bed_index = np.repeat(len(scene.beds) + np.arange(len(beds)), each)
    factor, straight = _seen(room, solved.emitters, solved.tables, point)
    bounced, kept = solved.exchange.gathered(factor, room.patch_piece, room.piece_pane == OPAQUE)
    soil = np.concatenate([solved.soil_patch[solved.bed_index == number] for number, _ in beds])
    return replace(
        solved, point_m=point, cell_m=cell, bed_index=bed_index, factor=factor, bounced_per_m2=bounced,
        straight=straight, soil_patch=soil, absorbed_frac=kept,
    )  # fmt: skip


def under(solved: Solver, outside: Outside, dome: Dome) -> Solver:
    """The same house under another skyline, without tracing anything again.

    Parameters: solved; outside, which differs in its skyline alone; dome, as it was solved for.
    """
    around = emitters(outside, dome, solved.scene.azimuth_deg, solved.emitters.hull)
    return replace(solved, scene=replace(solved.scene, outside=outside), emitters=around)


def room_alone(scene: Scene, dome: Dome, around: Emitters | None = None) -> tuple[Room, Exchange, Emitters, Tables]:
    """A house as :func:`solver` traces it, without any points: its patches, where their light goes, what is around.

    Parameters: scene; dome; around, as there.
    """
    room = scene.room()
    tables = scene.panes.tables()
    if around is None:
        around = emitters(scene.outside, dome, scene.azimuth_deg, hull_of(room, tables.straight + tables.scattered))
    return room, _exchanged(scene, room, tables), around, tables


def _exchanged(scene: Scene, room: Room, tables: Tables) -> Exchange:
    """Form factors of the room, kept until another one is asked for: lamps ask again for the one of the daylight."""
    digest = hashlib.sha256(f"{scene.rays} {room.pieces}".encode())
    for part in (*(getattr(room, own.name) for own in fields(room)), tables.mirrored):
        if isinstance(part, np.ndarray):
            digest.update(f"{part.dtype} {part.shape}".encode() + part.tobytes())
    key = digest.digest()
    found = _EXCHANGED.get(key)
    if found is None:
        found = exchange(room, tables.mirrored, scene.rays)
        _EXCHANGED.clear()
        _EXCHANGED[key] = found
    return found


_EXCHANGED: Final[dict[bytes, Exchange]] = {}


def repainted(solved: Solver, refl_frac: Mapping[str, float]) -> Solver:
    """The same house with other reflectances, without tracing anything again.

    Parameters: solved; refl_frac, new reflectance [-] by name of surface, box or "bed NAME".
    Returns: Solver; give it to :func:`coefficients`.
    """
    pieces = tuple(p._replace(refl_frac=refl_frac.get(p.name, p.refl_frac)) for p in solved.room.pieces)
    room = replace(solved.room, pieces=pieces)
    between = replace(solved.exchange, refl_frac=room.patch_refl_frac)
    bounced, kept = between.gathered(solved.factor, room.patch_piece, room.piece_pane == OPAQUE)
    return replace(solved, room=room, exchange=between, bounced_per_m2=bounced, absorbed_frac=kept)


def daylight(
    scene: Scene,
    dome: Dome,
    latitude_deg: float,
    sun: FloatArray,
    states: Sequence[Mapping[str, float]] = ({},),
    beds: Sequence[int] | None = None,
) -> BedLight:
    """Coefficients of a house for every bed point.

    Parameters: scene; dome; latitude_deg, only used to lay the sun nodes along the sun's daily paths; sun [n, 3],
    all sun positions that will be asked for (east, north, up); states, for each state of the panes a factor on what
    passes by name of surface or window (a name also stands for its strips: roof-south for roof-south-1, ...); beds,
    numbers of those asked for, all if none are given.
    Returns: BedLight with one set of coefficients per state.
    """
    return coefficients(solver(scene, dome, beds), sun_nodes(latitude_deg, sun), states)


def coefficients(
    solved: Solver,
    nodes: SunNodes,
    states: Sequence[Mapping[str, float]] = ({},),
    sun_rays: int = PANE_RAYS,
    came: tuple[Entered, Entered] | None = None,
) -> BedLight:
    """Coefficients for given pane states and sun nodes; see :func:`daylight`.

    Parameters: solved; nodes; states; sun_rays, rays spent on where the suns' light lands: fewer for fewer suns; came,
    what :func:`entered` has found for these nodes in the same room.
    """
    factors = np.array([pane_factors(solved.room, state) for state in states])
    of_sky, of_suns = entered(solved, nodes, sun_rays) if came is None else came
    sky = _sky_coefficients(solved, of_sky, factors)
    nodes, sun = _sun_coefficients(solved, of_suns, nodes, factors, sky[3])
    count = solved.emitters.sky_count
    return BedLight(
        point_m=solved.point_m,
        cell_m=solved.cell_m,
        bed_index=solved.bed_index,
        sky_direct_sr=sky[0][:, :, :count],
        sky_bounced_sr=sky[1][:, :, :count],
        ground_direct_sr=sky[0][:, :, count],
        ground_bounced_sr=sky[1][:, :, count],
        sun_direct_ratio=sun[0],
        sun_bounced_ratio=sun[1],
        absorbed_by=tuple(piece.name for piece in solved.room.pieces),
        sky_absorbed_m2_sr=sky[2][:, :, :count],
        ground_absorbed_m2_sr=sky[2][:, :, count],
        sun_absorbed_m2=sun[2],
        nodes=nodes,
        outside=solved.scene.outside,
    )


def entered(solved: Solver, nodes: SunNodes, sun_rays: int = PANE_RAYS) -> tuple[Entered, Entered]:
    """What enters a house of sky and ground, and of suns at some nodes.

    Parameters: solved; nodes; sun_rays, as of :func:`coefficients`. Returns: of sky and ground, of suns.
    Method: ``pane_light`` and ``scatter_light``.
    """
    room, around, tables = solved.room, solved.emitters, solved.tables
    suns = _suns(solved, nodes)
    of_sky = pane_light(room, around.by_direction(), tables), scatter_light(room, around, tables)
    of_suns = pane_light(room, suns, tables, sun_rays, nodes.often), scatter_light(room, suns, tables)
    seen = _suns_seen(solved, suns)
    return Entered(*of_sky[0], of_sky[1], solved.straight, joined([])), Entered(*of_suns[0], of_suns[1], *seen)


def _suns(solved: Solver, nodes: SunNodes) -> Emitters:
    """Suns at some nodes as the only emitters."""
    return solved.emitters.as_suns(house_axes(nodes.direction, solved.scene.azimuth_deg))


def _suns_seen(solved: Solver, suns: Emitters) -> tuple[Source, Source]:
    """Beam that reaches the points straight, and by way of one pane's mirror."""
    room, tables, point = solved.room, solved.tables, solved.point_m
    return point_straight(room, suns, tables, point), glints(room, suns, tables, point)


def entered_elsewhere(solved: Solver, nodes: SunNodes, came: tuple[Entered, Entered]) -> tuple[Entered, Entered]:
    """The same with the points of beds that lie :func:`elsewhere`.

    Parameters: solved, the house seen from there; nodes; came, what entered it, as the beds saw it before.
    """
    straight, mirrored = _suns_seen(solved, _suns(solved, nodes))
    return came[0]._replace(straight=solved.straight), came[1]._replace(straight=straight, glints=mirrored)


def entered_under(solved: Solver, came: tuple[Entered, Entered]) -> tuple[Entered, Entered]:
    """The same for the house :func:`under` another skyline.

    Parameters: solved, the house there; came, what entered it before.
    """
    panes = scatter_light(solved.room, solved.emitters, solved.tables)
    return came[0]._replace(panes=panes), came[1]


def pane_factors(room: Room, state: Mapping[str, float]) -> FloatArray:
    """Factor on what passes through each piece of the skin [pieces], from factors by name; its own name comes first."""
    strips = {name: factor for name, factor in state.items() if name not in {piece.name for piece in room.pieces}}
    factors = np.ones(len(room.pieces))
    for k, piece in enumerate(room.pieces):
        of_strips = [factor for name, factor in strips.items() if piece.name.startswith(name + "-")]
        factors[k] = state.get(piece.name, of_strips[-1] if of_strips else 1.0)
    return factors


def _sky_coefficients(
    solved: Solver, came: Entered, factors: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray, tuple[FloatArray, ...]]:
    """Direct, bounced and absorbed [states, p or pieces, sky + 1], and what comes from each reflecting emitter."""
    around = solved.emitters
    straight, landed, mirrored = (
        rays._replace(emitter=around.emitter_of(rays.emitter)) for rays in (came.straight, came.landed, came.mirrored)
    )
    came = came._replace(landed=landed, mirrored=mirrored)
    parts = _states(solved, straight, came, factors, around.count)
    own = around.sky_count + 1
    folding = around.folding
    reflected = tuple(part[:, :, own:] for part in parts)
    direct, bounced, absorbed = (part[:, :, :own] + back @ folding for part, back in zip(parts, reflected, strict=True))
    return direct, bounced, absorbed, reflected


def _sun_coefficients(
    solved: Solver, came: Entered, nodes: SunNodes, factors: FloatArray, reflected: tuple[FloatArray, ...]
) -> tuple[SunNodes, tuple[FloatArray, FloatArray, FloatArray]]:
    """Direct, bounced and absorbed [states, p or pieces, nodes], and the nodes: with the closer ones where needed."""
    sun = house_axes(nodes.direction, solved.scene.azimuth_deg)
    straight = came.straight
    peeping = _peeping(solved, straight, sun)
    if nodes.close is None or not len(peeping):
        nodes = nodes._replace(close=None)
    else:
        straight = straight.picked(~np.isin(straight.receiver, peeping))
    parts = _states(solved, joined([straight, came.glints]), came, factors, len(sun))
    lit = solved.emitters.sun_folding(sun)
    shining = lit.any(axis=1)
    for part, back in zip(parts, reflected, strict=True):
        part += back[:, :, shining] @ lit[shining]
    direct, bounced, absorbed = parts
    if nodes.close is None:
        return nodes, (direct, bounced, absorbed)
    extra = _close_straight(solved, nodes.close, peeping, factors)
    whole = ((0, 0), (0, 0), (0, extra.shape[2]))
    return nodes, (np.concatenate([direct, extra], axis=2), np.pad(bounced, whole), np.pad(absorbed, whole))


def _peeping(solved: Solver, straight: Source, sun: FloatArray) -> IntArray:
    """Points that few of the suns reach straight, in a house that any does: a pane's edge is much of their light."""
    if not len(straight.receiver):
        return straight.receiver
    reached = np.bincount(straight.receiver, minlength=len(solved.point_m)) / np.count_nonzero(sun[:, 2] > 0)
    return np.flatnonzero(reached < PEEPING_FRAC)


def _close_straight(solved: Solver, close: SunNodes, points: IntArray, factors: FloatArray) -> FloatArray:
    """Beam that reaches some points straight, at the closer nodes [states, p, close nodes]; 0 at the others."""
    beam = solved.emitters.as_suns(house_axes(close.direction, solved.scene.azimuth_deg))
    found = point_straight(solved.room, beam, solved.tables, solved.point_m[points])
    shape = len(solved.point_m), len(close.cell)
    seen = found._replace(receiver=points[found.receiver])
    return np.array([seen._replace(weight=seen.weight * own[seen.piece]).summed(shape).toarray() for own in factors])


def _states(
    solved: Solver, straight: Source, came: Entered, factors: FloatArray, count: int
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Light at the points by emitter, before and after bounces, and what pieces absorb, for each pane state.

    Returns: [states, p, emitters] twice, [states, pieces, emitters].
    """
    panes, mirrored = came.panes, came.mirrored
    area = solved.exchange.area_m2
    soil, place = np.unique(solved.soil_patch, return_inverse=True)
    at = np.minimum(np.searchsorted(soil, mirrored.receiver), max(len(soil) - 1, 0))
    # what each patch has first of the light that the groups of panes send on
    sent = (solved.exchange.share.T * area) @ panes.patches
    return Passing(
        straight=straight,
        landed=came.landed,
        mirrored=mirrored._replace(receiver=at).picked(soil[at] == mirrored.receiver),
        panes=panes,
        place=place,
        soil_m2=np.where(area > 0, area, np.inf)[soil],
        to_points=solved.factor @ panes.patches,
        by_bounce=solved.bounced_per_m2 @ sent,
        bounced_per_m2=solved.bounced_per_m2,
        absorbed=solved.absorbed_frac,
        absorbed_by_panes=solved.absorbed_frac @ sent,
        emitters=count,
    ).by_state(factors)
