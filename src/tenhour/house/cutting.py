"""Cut the faces of a room, and the things in it, into patches."""

from __future__ import annotations

import itertools
from collections.abc import Collection, Sequence
from typing import Final, NamedTuple

import numpy as np

from tenhour.house.patches import FAR_M, IntArray, Piece, Room
from tenhour.house.shapes import (
    OPAQUE,
    TOLERANCE_M,
    Block,
    FloatArray,
    Frame,
    Opening,
    Surface,
    frame_of,
    inside_convex,
    on_plane_m,
    opening_corners_m,
)

PATCHES: Final = 450
"""Patches aimed at in a room; bed means no longer move beyond (docs/method/house.md)."""

NEAR_M: Final = 0.5
"""A wall this near a bed is cut finely where the bed sees it: a spot of sun beside plants must not be smeared over half
the wall. Judgement."""

FINER: Final = 2
"""Patches of such faces, and of walls beside beds, have a side so many times smaller."""

FLATTER: Final = 4
"""Where a shelf hangs over the bed patches are so many times lower than elsewhere: sun that comes in under the shelf is
a level stripe on the wall, and how low it lies decides what the bed has of it (a bed 0.1 m from its wall between
tiers 0.35 m apart came out 5 % too bright at 2, 2 % at 4, 1 % at 6)."""

CORNERS: Final = 14
"""Most corners a patch can have: a cell clipped by an outline of ten corners, such as the end of a hoop."""

PLAIN_CORNERS: Final = 6
"""Outlines with at most this many corners lend their corners to the grid, so that few cells are clipped."""

LIFT_M: Final = 2e-6
"""How far a bed lies above what carries it [m], so that light never finds it half hidden."""

SMALLEST_PATCH_M2: Final = 1e-7
"""Cells of less area are left out [m²]."""


class _Outline(NamedTuple):
    piece: int
    corners_m: FloatArray
    holes: tuple[tuple[int, FloatArray], ...]


class _Face(NamedTuple):
    frame: Frame
    outlines: tuple[_Outline, ...]


def room_centre_m(surfaces: Sequence[Surface]) -> FloatArray:
    """A point inside a convex room: the mean of all corners [3]."""
    return np.asarray(np.concatenate([s.vertices_m for s in surfaces]).mean(axis=0))


def build_room(
    surfaces: Sequence[Surface],
    openings: Sequence[Opening],
    blocks: Sequence[Block],
    pane_refl_frac: Sequence[float],
    patches: int = PATCHES,
    fine_panes: Collection[int] = (),
    near_m: FloatArray | None = None,
) -> Room:
    """Cut a convex closed room into patches.

    Parameters: surfaces, the skin; openings, windows cut into it; blocks, what stands inside (a block without height
    is a bed or a shelf); pane_refl_frac, inside reflectance of each pane [-]; patches, about how many; fine_panes,
    panes that need finer patches, for they spread light and a shadow may cross them; near_m [k, 3], corners of what
    may throw it, where the face is turned to any of them.
    Returns: Room.
    Method: geometry (docs/method/house.md, "Geometry").
    """
    pieces: list[Piece] = []
    faces = _plane_faces(surfaces, openings, pane_refl_frac, pieces)
    planes = len(faces)
    for block in blocks:
        pieces.append(Piece(block.name, OPAQUE, block.refl_frac, len(faces)))
        faces.extend(_block_faces(block, len(pieces) - 1))
    area = sum(_area(o.corners_m) for face in faces for o in face.outlines)
    fine = {p.face_index for p in pieces if p.pane_index in fine_panes and _turned(faces[p.face_index].frame, near_m)}
    side = float(np.sqrt(area / patches))
    walls = {p.face_index for p in pieces if p.pane_index == OPAQUE and p.face_index < planes}
    beds = [block for block in blocks if block.low_m[2] == block.high_m[2]]
    under = [bed for bed in beds if any(_hangs_over(other, bed) for other in beds)]
    beside, flat = ({k: _beside(faces[k].frame, which) for k in walls} for which in (beds, under))
    cuts = [_Cut(side / FINER if k in fine else side, beside.get(k, ()), flat.get(k, ())) for k in range(len(faces))]
    return _assemble(pieces, faces, planes, blocks, cuts)


class _Cut(NamedTuple):
    """How finely a face is cut: side of its patches [m], and rectangles (low, high corner) that are cut finer, some
    of them in flat stripes."""

    side_m: float
    finer_m: tuple[FloatArray, ...]
    flat_m: tuple[FloatArray, ...]


def _hangs_over(shelf: Block, bed: Block) -> bool:
    """Whether a bed lies above some part of another."""
    apart = (np.array(shelf.low_m) < bed.high_m) & (np.array(bed.low_m) < shelf.high_m)
    return bool(apart[:2].all() and shelf.low_m[2] > bed.low_m[2] + TOLERANCE_M)


def _beside(frame: Frame, beds: Sequence[Block]) -> tuple[FloatArray, ...]:
    """Rectangles [2, 2] of a face, in its own axes, close by and above the level of a bed (a block without height)."""
    found = []
    for bed in beds:
        low = np.array(bed.low_m) - [NEAR_M, NEAR_M, 0.0]
        high = np.array(bed.high_m) + NEAR_M
        corners = np.array(list(itertools.product(*zip(low, high, strict=True))))
        if ((corners - frame.origin_m) @ frame.normal).min() < 0.0:
            flat = on_plane_m(frame, corners)
            found.append(np.array([flat.min(axis=0), flat.max(axis=0)]))
    return tuple(found)


def _turned(frame: Frame, near_m: FloatArray | None) -> bool:
    """Whether a face of the skin is turned to any of some points outside."""
    return near_m is not None and bool(((near_m - frame.origin_m) @ frame.normal < -TOLERANCE_M).any())


def _plane_faces(
    surfaces: Sequence[Surface], openings: Sequence[Opening], pane_refl_frac: Sequence[float], pieces: list[Piece]
) -> list[_Face]:
    centre = room_centre_m(surfaces)
    floor = min(float(s.vertices_m[:, 2].min()) for s in surfaces)
    faces: list[_Face] = []
    for members in _coplanar(surfaces, centre):
        frame = frame_of(np.concatenate([surfaces[m].vertices_m for m in members[:1]]), centre)
        everything = on_plane_m(frame, np.concatenate([surfaces[m].vertices_m for m in members]))
        low = everything.min(axis=0)
        frame = frame._replace(origin_m=frame.origin_m + low[0] * frame.u + low[1] * frame.v)
        outlines = []
        for m in members:
            surface = surfaces[m]
            piece = _add_piece(pieces, surface.name, surface.pane_index, surface.refl_frac, pane_refl_frac, len(faces))
            own = frame_of(surface.vertices_m, centre)
            holes = []
            for number, opening in enumerate(openings, start=1):
                if opening.on != surface.name:
                    continue
                hole = _add_piece(pieces, f"window {number}", opening.pane_index, 0.0, pane_refl_frac, len(faces))
                corners = opening_corners_m(own, opening, floor)
                shift = on_plane_m(frame, own.origin_m)
                holes.append((hole, corners + shift))
            outlines.append(_Outline(piece, on_plane_m(frame, surface.vertices_m), tuple(holes)))
        faces.append(_Face(frame, tuple(outlines)))
    return faces


def _add_piece(
    pieces: list[Piece], name: str, pane: int, refl_frac: float, pane_refl_frac: Sequence[float], face: int
) -> int:
    pieces.append(Piece(name, pane, refl_frac if pane == OPAQUE else float(pane_refl_frac[pane]), face))
    return len(pieces) - 1


def _coplanar(surfaces: Sequence[Surface], centre_m: FloatArray) -> list[list[int]]:
    groups: list[tuple[FloatArray, float, list[int]]] = []
    for index, surface in enumerate(surfaces):
        frame = frame_of(surface.vertices_m, centre_m)
        offset = float(surface.vertices_m.mean(axis=0) @ frame.normal)
        for normal, other, members in groups:
            if normal @ frame.normal > 1 - TOLERANCE_M**2 and abs(other - offset) < TOLERANCE_M:
                members.append(index)
                break
        else:
            groups.append((frame.normal, offset, [index]))
    return [members for _, _, members in groups]


def _block_faces(block: Block, piece: int) -> list[_Face]:
    low, high = np.array(block.low_m, dtype=np.float64), np.array(block.high_m, dtype=np.float64)
    faces = []
    for axis in range(3):
        u_axis, v_axis = (axis + 1) % 3, (axis + 2) % 3
        u, v = np.eye(3)[u_axis], np.eye(3)[v_axis]
        size = (high - low)[[u_axis, v_axis]]
        corners = np.array([[0.0, 0.0], [size[0], 0.0], size, [0.0, size[1]]])
        for sign in (-1.0, 1.0):
            origin = low.copy()
            origin[axis] = low[axis] if sign < 0 else high[axis]
            outline = (_Outline(piece, corners, ()),) if size.min() > 0.0 else ()
            faces.append(_Face(Frame(origin, u, v, sign * np.eye(3)[axis]), outline))
    return faces


class _Tables:
    """Lists that grow face by face and end as the arrays of a Room."""

    def __init__(self) -> None:
        self.u_lines: list[FloatArray] = []
        self.v_lines: list[FloatArray] = []
        self.cell_patch: list[IntArray] = []
        self.cells: list[int] = []
        self.piece: list[int] = []
        self.face: list[int] = []
        self.corner: list[FloatArray] = []
        self.area: list[float] = []
        self.whole: list[bool] = []

    def add_face(self, index: int, face: _Face, cut: _Cut) -> None:
        u_lines, v_lines = _grid_lines(face, cut)
        shift = index * FAR_M
        self.u_lines.append(u_lines + shift)
        self.v_lines.append(v_lines + shift)
        self.cells.append((len(u_lines) - 1) * (len(v_lines) - 1))
        for outline in face.outlines:
            self.cell_patch.append(self._fill(index, outline, u_lines, v_lines))
        if not face.outlines:
            self.cell_patch.append(np.zeros(1, dtype=np.int64))

    def _fill(self, index: int, outline: _Outline, u_lines: FloatArray, v_lines: FloatArray) -> IntArray:
        u1, v1 = np.meshgrid(u_lines[:-1], v_lines[:-1], indexing="ij")
        u2, v2 = np.meshgrid(u_lines[1:], v_lines[1:], indexing="ij")
        cells = np.stack(
            [np.stack([u1, v1], -1), np.stack([u2, v1], -1), np.stack([u2, v2], -1), np.stack([u1, v2], -1)], 2
        )
        cells = cells.reshape(-1, 4, 2)
        corner_in = inside_convex(cells.reshape(-1, 2), outline.corners_m, TOLERANCE_M**2)
        whole = np.asarray(corner_in.reshape(-1, 4).all(axis=1))
        sizes = (cells[:, 2] - cells[:, 0]).prod(axis=1)
        padding = np.repeat(cells[:, 3:], CORNERS - 4, axis=1)
        padded = np.concatenate([cells, padding], axis=1)
        found = np.full(len(cells), -1, dtype=np.int64)
        owners = _owners(outline, cells.mean(axis=1))
        for k, cell in enumerate(cells):
            if whole[k]:
                found[k] = len(self.area)
                self._add_patch(index, owners[k], padded[k], float(sizes[k]), whole=True)
                continue
            corners = clipped(outline.corners_m, cell[0], cell[2])
            area = _area(corners) if len(corners) >= 3 else 0.0
            if area > SMALLEST_PATCH_M2:
                found[k] = len(self.area)
                filled = np.concatenate([corners, np.repeat(corners[-1:], CORNERS, axis=0)])[:CORNERS]
                self._add_patch(index, owners[k], filled, area, whole=False)
        return _nearest(found, cells.mean(axis=1))

    def _add_patch(self, face: int, piece: int, corners_m: FloatArray, area_m2: float, *, whole: bool) -> None:
        self.piece.append(piece)
        self.face.append(face)
        self.corner.append(corners_m)
        self.area.append(area_m2)
        self.whole.append(whole)


def _owners(outline: _Outline, middle_m: FloatArray) -> list[int]:
    """Piece of each cell: the outline's own, or that of the window it lies in."""
    owners = np.full(len(middle_m), outline.piece)
    for piece, (low, high) in outline.holes:
        owners[np.all((middle_m > low) & (middle_m < high), axis=1)] = piece
    return [int(o) for o in owners]


def _nearest(found: IntArray, centres_m: FloatArray) -> IntArray:
    """Fill cells outside the outline with the nearest patch, for rays that graze the outline by rounding."""
    have = np.flatnonzero(found >= 0)
    for k in np.flatnonzero(found < 0):
        found[k] = found[have[np.argmin(((centres_m[have] - centres_m[k]) ** 2).sum(axis=1))]]
    return found


def _grid_lines(face: _Face, cut: _Cut) -> tuple[FloatArray, FloatArray]:
    if not face.outlines:
        return np.array([0.0, 1.0]), np.array([0.0, 1.0])
    corners = np.concatenate([o.corners_m for o in face.outlines])
    fixed = [corners.min(axis=0)[None], corners.max(axis=0)[None]]
    fixed += [hole for o in face.outlines for _, hole in o.holes]
    if len(corners) <= PLAIN_CORNERS or len(face.outlines) > 1:
        fixed.append(corners)
    marks = np.concatenate(fixed)
    finer = [np.array([part[:, k] for part in cut.finer_m]).reshape(-1, 2) for k in (0, 1)]
    flat = np.array([part[:, 1] for part in cut.flat_m]).reshape(-1, 2)
    none = np.zeros((0, 2))
    return _lines(marks[:, 0], cut.side_m, finer[0], none), _lines(marks[:, 1], cut.side_m, finer[1], flat)


def _lines(marks_m: FloatArray, target_m: float, ends: FloatArray, flat_m: FloatArray) -> FloatArray:
    """Lines about so far apart through all marks, and closer in the ranges (low, high) that are to be finer."""
    low, high = float(marks_m.min()), float(marks_m.max())
    inner = ends[(ends > low + target_m / FINER) & (ends < high - target_m / FINER)]
    marks: FloatArray = np.sort(np.concatenate([marks_m, inner]))
    gaps: FloatArray = np.diff(marks, prepend=-np.inf)
    marks = marks[gaps > TOLERANCE_M]
    middle = (marks[:-1] + marks[1:]) / 2
    near, low_lying = (
        np.asarray(((middle[:, None] > own[:, 0]) & (middle[:, None] < own[:, 1])).any(axis=1))
        for own in (ends, flat_m)
    )
    finer = np.where(low_lying, FLATTER, np.where(near, FINER, 1))
    steps = [max(1, round(float(gap) * part / target_m)) for gap, part in zip(np.diff(marks), finer, strict=True)]
    parts = [np.linspace(a, b, n, endpoint=False) for a, b, n in zip(marks[:-1], marks[1:], steps, strict=True)]
    return np.concatenate([*parts, marks[-1:]])


def clipped(outline_m: FloatArray, low_m: FloatArray, high_m: FloatArray) -> FloatArray:
    """The part of a convex outline inside a rectangle.

    Parameters: outline_m [k, 2]; low_m, high_m [2], corners of the rectangle.
    Returns: corners [n, 2], n may be 0.
    Method: cut by one side of the rectangle after the other (Sutherland & Hodgman 1974).
    """
    corners = list(outline_m)
    for axis in (0, 1):
        for limit, sign in ((low_m[axis], 1.0), (high_m[axis], -1.0)):
            corners = _cut(corners, axis, float(limit), sign)
    return np.array(corners).reshape(-1, 2)


def _cut(corners: list[FloatArray], axis: int, limit_m: float, sign: float) -> list[FloatArray]:
    kept: list[FloatArray] = []
    for here, there in zip(corners, corners[1:] + corners[:1], strict=True):
        a, b = sign * (here[axis] - limit_m), sign * (there[axis] - limit_m)
        if a >= 0:
            kept.append(here)
        if a * b < 0:
            kept.append(here + (there - here) * (a / (a - b)))
    return kept


def _area(corners_m: FloatArray) -> float:
    x, y = corners_m[:, 0], corners_m[:, 1]
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2)


def _assemble(
    pieces: list[Piece], faces: list[_Face], planes: int, blocks: Sequence[Block], cuts: Sequence[_Cut]
) -> Room:
    tables = _Tables()
    for index, (face, cut) in enumerate(zip(faces, cuts, strict=True)):
        tables.add_face(index, face, cut)
    normals = np.array([f.frame.normal for f in faces])
    origins = np.array([f.frame.origin_m for f in faces])
    sizes = [max(1, len(f.outlines)) * c for f, c in zip(faces, tables.cells, strict=True)]
    return Room(
        pieces=tuple(pieces),
        plane_normal=normals[:planes],
        plane_offset_m=np.einsum("ij,ij->i", normals[:planes], origins[:planes]),
        block_low_m=np.array([b.low_m for b in blocks], dtype=np.float64).reshape(-1, 3),
        block_high_m=np.array([b.high_m for b in blocks], dtype=np.float64).reshape(-1, 3),
        face_origin_m=origins,
        face_u=np.array([f.frame.u for f in faces]),
        face_v=np.array([f.frame.v for f in faces]),
        face_normal=normals,
        u_lines_m=np.concatenate(tables.u_lines),
        v_lines_m=np.concatenate(tables.v_lines),
        u_start=_starts([len(x) for x in tables.u_lines]),
        v_start=_starts([len(x) for x in tables.v_lines]),
        v_cells=np.array([len(x) - 1 for x in tables.v_lines], dtype=np.int64),
        cell_start=_starts(sizes),
        cell_patch=np.concatenate(tables.cell_patch),
        outlines={k: tuple(o.corners_m for o in f.outlines) for k, f in enumerate(faces) if len(f.outlines) > 1},
        cells=np.array(tables.cells, dtype=np.int64),
        patch_piece=np.array(tables.piece, dtype=np.int64),
        patch_face=np.array(tables.face, dtype=np.int64),
        patch_corner_m=np.array(tables.corner),
        patch_area_m2=np.array(tables.area),
        patch_whole=np.array(tables.whole),
    )


def _starts(lengths: Sequence[int]) -> IntArray:
    return np.concatenate([[0], np.cumsum(lengths)[:-1]]).astype(np.int64)
