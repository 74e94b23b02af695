"""What stands in and around a house: beds, boxes, surfaces and neighbours, each checked for where it lies."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final, Protocol

from tenhour.files.house.covers import check_cover, drawn
from tenhour.files.house.parts import Parts
from tenhour.files.house.schema import BedTable, HouseTable, LayerTable
from tenhour.files.house.shape import SLACK_M, WALL_REFLECTANCE
from tenhour.files.problems import Problems, show
from tenhour.model.cover import OPAQUE, Cover
from tenhour.model.house import Bed, Box, Layer, Point, Surface
from tenhour.model.outline import profile_m, roof_height_m
from tenhour.model.site import MONTHS
from tenhour.words import remarks as words

BOX_REFLECTANCE: Final = 0.3
"""Timber, plastic, masonry, PAR: judgement."""
CANOPY_M: Final = 0.05
BED_REFLECTANCE: Final = 0.1
FEWEST_SURFACES: Final = 4
"""No room closes with fewer."""
EVERY_MONTH: Final = tuple(range(1, MONTHS + 1))

MOST_COVERED_SHARE: Final = 0.8
"""A bed under boxes to more than this is a mistake: judgement."""


class _Named(Protocol):
    @property
    def name(self) -> str | None: ...


def check_names(kind: str, tables: Iterable[tuple[str, _Named]], problems: Problems) -> None:
    """Note names given twice."""
    seen: set[str] = set()
    for key, table in tables:
        if table.name is not None and table.name in seen:
            problems.add(f"{key}.name", f"a second {kind} named {show(table.name)}", "each name once", "Rename one.")
        seen.add(table.name or "")


def build_beds(
    parts: Parts, house: HouseTable | None, known: Mapping[str, Cover], problems: Problems, notes: list[str]
) -> tuple[Bed, ...]:
    """Return the beds with their layers; covers nobody knows are noted."""
    check_names("bed", parts.beds, problems)
    over_all = house_layers(parts, house, known, Problems(problems.file))
    beds = []
    for number, (key, given) in enumerate(parts.beds):
        name = given.name or f"bed {number + 1}"
        layers = _layers(key, given.layers, known, parts, problems)
        beds.append(_bed(name, given, (*layers, *over_all)))
    _note_defaults(parts, notes)
    return tuple(beds)


def house_layers(
    parts: Parts, house: HouseTable | None, known: Mapping[str, Cover], problems: Problems
) -> tuple[Layer, ...]:
    """Return the layers that hang under the panes of the whole house; covers nobody knows are noted."""
    return _layers("house", house.layers if house else (), known, parts, problems)


def _bed(name: str, given: BedTable, layers: tuple[Layer, ...]) -> Bed:
    return Bed(
        name=name,
        at_m=given.at_m,
        size_m=given.size_m,
        height_m=given.height_m or 0.0,
        canopy_m=CANOPY_M if given.canopy_m is None else given.canopy_m,
        reflectance_frac=BED_REFLECTANCE if given.reflectance is None else given.reflectance,
        layers=layers,
        day_degc=given.day_degc,
        night_degc=given.night_degc,
        headroom_m=given.headroom_m,
    )


def _layers(
    key: str, given: tuple[LayerTable, ...], known: Mapping[str, Cover], parts: Parts, problems: Problems
) -> tuple[Layer, ...]:
    for number, layer in enumerate(given):
        check_cover(f"{key}.layers[{number + 1}].cover", layer.cover, known, parts, problems)
        if layer.cover == OPAQUE and layer.by_day:
            do = "Add by_day = false for a night curtain."
            problems.add(f"{key}.layers[{number + 1}].cover", '"opaque" by day', "a cover that lets light through", do)
    return tuple(Layer(layer.cover, layer.months or EVERY_MONTH, layer.by_day) for layer in given)


def _note_defaults(parts: Parts, notes: list[str]) -> None:
    """One sentence for each default, whatever the number of beds that take it."""
    sentences = (
        ("name", "without a name are numbered in the order of the file"),
        ("height_m", "have their soil on the floor: no height_m was given"),
        ("canopy_m", ""),
        ("reflectance", f"reflect {BED_REFLECTANCE:g} of the light (leaves and soil, PAR): no reflectance was given"),
    )
    for field, sentence in sentences:
        names = [bed.name or key for key, bed in parts.beds if getattr(bed, field) is None]
        if names:
            which = "All beds" if len(names) == len(parts.beds) else f"The beds {', '.join(names)}"
            notes.append(f"{which} {sentence}." if sentence else words.CANOPY(beds=which, canopy=CANOPY_M))


def build_boxes(parts: Parts, problems: Problems, notes: list[str]) -> tuple[Box, ...]:
    """Return the boxes inside the house."""
    check_names("box", parts.boxes, problems)
    _note_box_reflectance(parts, notes)
    return tuple(
        Box(given.name or f"box {number + 1}", given.at_m, given.size_m, _box_reflectance(given.reflectance))
        for number, (_, given) in enumerate(parts.boxes)
    )


def _box_reflectance(given: float | None) -> float:
    return BOX_REFLECTANCE if given is None else given


def _note_box_reflectance(parts: Parts, notes: list[str]) -> None:
    keys = [key for key, box in parts.boxes if box.reflectance is None]
    keys += [key for key, thing in parts.outside if thing.reflectance is None]
    if keys:
        notes.append(f"Reflectance {BOX_REFLECTANCE:g} for {', '.join(keys)}: none was given.")


def build_outside(parts: Parts, problems: Problems) -> tuple[tuple[Box, ...], tuple[Surface, ...]]:
    """Return neighbouring boxes and polygons."""
    check_names("neighbour", parts.outside, problems)
    boxes: list[Box] = []
    surfaces: list[Surface] = []
    for number, (key, given) in enumerate(parts.outside):
        name = given.name or f"outside {number + 1}"
        reflectance = _box_reflectance(given.reflectance)
        if given.vertices_m is not None and given.at_m is None and given.size_m is None:
            surfaces.append(Surface(name, given.vertices_m, OPAQUE, reflectance))
        elif given.vertices_m is None and given.at_m is not None and given.size_m is not None:
            boxes.append(Box(name, given.at_m, given.size_m, reflectance))
        else:
            given_keys = [k for k in ("at_m", "size_m", "vertices_m") if getattr(given, k) is not None]
            do = "Give at_m and size_m for a box, or vertices_m for a wall."
            problems.add(key, f"{' and '.join(given_keys) or 'no place'}", "a box or a polygon", do)
    return tuple(boxes), tuple(surfaces)


def build_surfaces(
    parts: Parts, house: HouseTable, known: dict[str, Cover], problems: Problems, notes: list[str]
) -> tuple[Surface, ...]:
    """Return the polygons of a custom house; other shapes have none."""
    if house.shape != "custom":
        if parts.surfaces:
            found = f"[[surface]] in a house of shape {house.shape}"
            problems.add("surface", found, 'only with shape = "custom"', "Take them out, or change the shape.")
        return ()
    check_names("surface", parts.surfaces, problems)
    if len(parts.surfaces) < FEWEST_SURFACES:
        found = f"{len(parts.surfaces)} good surfaces"
        problems.add("surface", found, f"at least {FEWEST_SURFACES}, closed all round", "Add the missing [[surface]].")
    surfaces = []
    default = house.cover or OPAQUE
    wall = WALL_REFLECTANCE if house.reflectance is None else house.reflectance
    for number, (key, given) in enumerate(parts.surfaces):
        check_cover(f"{key}.cover", given.cover, known, parts, problems)
        cover = given.cover or (OPAQUE if given.reflectance is not None else default)
        if given.reflectance is not None and cover != OPAQUE:
            found = f"{show(given.reflectance)} on a surface of {cover}"
            problems.add(f"{key}.reflectance", found, "a cover or a reflectance", "Take one of them out.")
        reflectance = wall if given.reflectance is None else given.reflectance
        name = given.name or f"surface {number + 1}"
        surfaces.append(Surface(name, given.vertices_m, drawn(cover, known, parts), reflectance))
    if any(surface.cover != OPAQUE for surface in surfaces):
        notes.append("No frame share is taken off the surfaces: their glass is drawn.")
    return tuple(surfaces)


class Room:
    """Where things may stand: the space under the roof of a shape, or around a custom house its bounds."""

    def __init__(self, shape: str, lengths: Mapping[str, float] | None, surfaces: tuple[Surface, ...]) -> None:
        self._shape = shape
        self._lengths = lengths
        if lengths is not None and shape != "custom":
            highest = max(z for _, z in profile_m(shape, lengths))
            self.low: Point = (0.0, 0.0, 0.0)
            self.high: Point = (lengths["length"], lengths["width"], highest)
        else:
            corners = [corner for surface in surfaces for corner in surface.vertices_m]
            self.low = (min(c[0] for c in corners), min(c[1] for c in corners), min(c[2] for c in corners))
            self.high = (max(c[0] for c in corners), max(c[1] for c in corners), max(c[2] for c in corners))

    def _roof(self, y_m: float) -> float:
        if self._shape == "custom" or self._lengths is None:
            return self.high[2]
        return roof_height_m(self._shape, self._lengths, y_m)

    def lowest_roof_m(self, y0_m: float, y1_m: float) -> float:
        """Lowest height of the roof [m] between two distances from the front wall; a roof sags nowhere."""
        return min(self._roof(max(y0_m, self.low[1])), self._roof(min(y1_m, self.high[1])))

    def highest_roof_m(self, y0_m: float, y1_m: float) -> float:
        """Greatest height of the roof [m] between two distances from the front wall."""
        middle = (self.low[1] + self.high[1]) / 2
        inner = [middle] if y0_m < middle < y1_m else []
        return max(self._roof(y) for y in (max(y0_m, self.low[1]), min(y1_m, self.high[1]), *inner))


def check_places(
    parts: Parts, beds: tuple[Bed, ...], boxes: tuple[Box, ...], room: Room, problems: Problems, notes: list[str]
) -> None:
    """Note beds and boxes that stand outside the house or stick through its roof, and beds inside boxes."""
    for (key, _), box in zip(parts.boxes, boxes, strict=True):
        if _check_plan(key, box.at_m[:2], box.size_m[:2], room, problems):
            _check_floor(f"{key}.at_m", box.at_m[2], room, problems)
            _check_top(f"{key}.size_m", box.at_m[2] + box.size_m[2], box.at_m[1], box.size_m[1], room, problems)
    for (key, _), bed in zip(parts.beds, beds, strict=True):
        if _check_plan(key, bed.at_m, bed.size_m, room, problems):
            _check_floor(f"{key}.height_m", bed.height_m, room, problems)
            top = bed.height_m + bed.canopy_m
            _check_top(f"{key}.height_m", top, bed.at_m[1], bed.size_m[1], room, problems, bed)
        _check_free(key, bed, boxes, problems, notes)


def _check_plan(key: str, at: tuple[float, ...], size: tuple[float, ...], room: Room, problems: Problems) -> bool:
    good = True
    for axis, letter in enumerate("xy"):
        start, end = at[axis], at[axis] + size[axis]
        low, high = room.low[axis], room.high[axis]
        if start >= low - SLACK_M and end <= high + SLACK_M:
            continue
        good = False
        found = f"{show(round(start, 4))} to {show(round(end, 4))} m along {letter}"
        most = high - max(start, low)
        do = f"Make it at most {show(round(most, 3))} m, or move it." if most > SLACK_M else "Move it."
        if start < low - SLACK_M:
            do = f"Start it at {show(low)} m or beyond."
        problems.add(key, found, f"inside the house, {show(low)} to {show(high)} m along {letter}", do)
    return good


def _check_floor(key: str, bottom_m: float, room: Room, problems: Problems) -> None:
    if bottom_m < room.low[2] - SLACK_M:
        found = f"{show(round(bottom_m, 4))} m up"
        problems.add(key, found, f"on the floor or above it, {show(room.low[2])} m up", "Raise it.")


def _check_top(
    key: str, top_m: float, y_m: float, deep_m: float, room: Room, problems: Problems, bed: Bed | None = None
) -> None:
    roof = room.lowest_roof_m(y_m, y_m + deep_m)
    if top_m <= roof + SLACK_M:
        return
    what = "its top" if bed is None else f"soil at {show(bed.height_m)} m and canopy"
    found = f"{what} at {show(round(top_m, 4))} m"
    problems.add(key, found, f"below the roof, {roof:.2f} m high at its lowest there", "Lower it, or move it inwards.")


def _check_free(key: str, bed: Bed, boxes: tuple[Box, ...], problems: Problems, notes: list[str]) -> None:
    """A box may stand on part of a bed, not on nearly all of it."""
    covered = {box.name: _covered_share(bed, box) for box in boxes}
    if sum(covered.values()) > MOST_COVERED_SHARE:
        names = ", ".join(show(name) for name, share in covered.items() if share > 0)
        do = "Raise the bed above the box or move one of them."
        problems.add(key, f"its canopy lies inside the box {names}", "beds in the open", do)
        return
    notes.extend(
        f"The box {name} stands on part of bed {bed.name}; that part is dark and is left out of the bed's means."
        for name, share in covered.items()
        if share > 0
    )


def _covered_share(bed: Bed, box: Box) -> float:
    """Share of a bed's canopy that lies inside a box."""
    canopy = bed.height_m + bed.canopy_m
    if not box.at_m[2] + SLACK_M < canopy < box.at_m[2] + box.size_m[2] - SLACK_M:
        return 0.0
    spans = [
        min(bed.at_m[i] + bed.size_m[i], box.at_m[i] + box.size_m[i]) - max(bed.at_m[i], box.at_m[i]) for i in (0, 1)
    ]
    if min(spans) <= SLACK_M:
        return 0.0
    return spans[0] * spans[1] / (bed.size_m[0] * bed.size_m[1])


def check_outside(parts: Parts, boxes: tuple[Box, ...], room: Room, problems: Problems) -> None:
    """Note a neighbouring building that stands in the house."""
    keys = {table.name or f"outside {number + 1}": key for number, (key, table) in enumerate(parts.outside)}
    for box in boxes:
        overlaps = all(
            min(box.at_m[i] + box.size_m[i], room.high[i]) - max(box.at_m[i], room.low[i]) > SLACK_M for i in range(3)
        )
        if overlaps and room.highest_roof_m(box.at_m[1], box.at_m[1] + box.size_m[1]) > box.at_m[2] + SLACK_M:
            do = "Measure from the same corner as the beds; what stands in the house is a [[box]]."
            problems.add(keys[box.name], "a building that reaches into the house", "outside the house", do)


def note_overlaps(beds: tuple[Bed, ...], notes: list[str]) -> None:
    """Say which beds share ground: each is answered as if it were alone there."""
    for index, bed in enumerate(beds):
        for other in beds[:index]:
            level = abs(bed.height_m - other.height_m) < SLACK_M
            spans = (
                min(bed.at_m[i] + bed.size_m[i], other.at_m[i] + other.size_m[i]) - max(bed.at_m[i], other.at_m[i])
                for i in (0, 1)
            )
            if level and all(span > SLACK_M for span in spans):
                notes.append(f"The beds {other.name} and {bed.name} overlap; each is answered on its own.")
