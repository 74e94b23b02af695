"""The shape of a house as given: which lengths it needs, what its faces are made of, where windows may be cut."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from tenhour.files.house.covers import check_cover, drawn
from tenhour.files.house.parts import Parts
from tenhour.files.house.schema import FaceTable, HouseTable, WindowTable
from tenhour.files.problems import Problems, dotted, show, suggest
from tenhour.model.cover import OPAQUE, Cover
from tenhour.model.house import Face, Window
from tenhour.model.outline import (
    STRIPS,
    TWO_ROOFS,
    UNTURNED_AZIMUTH_DEG,
    WALLS,
    Flat,
    face_names,
    face_outline_m,
    holds,
)
from tenhour.words import remarks as words

SLACK_M: Final = 0.002
"""Lengths closer than this count as equal: nobody builds to 2 mm. Judgement."""
NEEDED: Final[Mapping[str, tuple[str, ...]]] = {
    "gable": ("length_m", "width_m", "eaves_m", "ridge_m"),
    "lean-to": ("length_m", "width_m", "front_m", "back_m"),
    "hoop": ("length_m", "width_m", "ridge_m"),
    "box": ("length_m", "width_m", "eaves_m"),
    "cold-frame": ("length_m", "width_m", "front_m", "back_m"),
    "window-sill": ("length_m", "width_m", "eaves_m"),
    "custom": (),
}
"""Lengths each shape must have."""
WELCOME: Final[Mapping[str, tuple[str, ...]]] = {"hoop": ("eaves_m",), "box": ("back_m", "roof")}
"""Lengths a shape may have besides."""
EXAMPLES: Final = {"length_m": 5, "width_m": 3, "eaves_m": 1.8, "ridge_m": 2.6, "front_m": 1.8, "back_m": 2.4}
DEFAULT_COVER: Final = {
    "gable": "twin-wall-8",
    "lean-to": "twin-wall-8",
    "hoop": "film-1",
    "box": OPAQUE,
    "cold-frame": "glass-1",
    "window-sill": OPAQUE,
    "custom": OPAQUE,
}
"""What each shape is most often closed with: common practice."""
WINDOW_COVER: Final = "glass-2"
WALL_REFLECTANCE: Final = 0.5
"""Light paint, timber and soil together, PAR: judgement."""
FLOOR_REFLECTANCE: Final = 0.2
"""Soil, gravel or paving, PAR (check values: dry soil 0.22-0.33 over the whole spectrum, less in PAR): judgement."""
ANY_LENGTHS: Final = {"eaves": 1.0}
"""Stands in for lengths with problems where only the names of the faces matter."""
SILL_M: Final = 0.8
"""Usual height of a window sill: common practice."""


def dimensions(house: HouseTable, problems: Problems, notes: list[str]) -> dict[str, float] | None:
    """Return the lengths of the shape by key without unit, complete; or None with problems noted."""
    before = len(problems.found)
    needed, welcome = NEEDED[house.shape], WELCOME.get(house.shape, ())
    for name in (*EXAMPLES, "roof"):
        value = getattr(house, name)
        if name in needed and value is None:
            do = f"Add for example {name} = {EXAMPLES[name]}."
            problems.add(f"house.{name}", "nothing", f"this key is needed for shape {house.shape}", do)
        elif value is not None and name not in (*needed, *welcome):
            allowed = f"{', '.join((*needed, *welcome)) or 'no lengths'} for shape {house.shape}"
            problems.add(f"house.{name}", show(value), allowed, "Take it out, or choose another shape.")
    if len(problems.found) > before:
        return None
    lengths = {key.removesuffix("_m"): float(getattr(house, key)) for key in needed}
    _complete(house, lengths, problems, notes)
    _check_heights(house.shape, lengths, problems)
    return lengths if len(problems.found) == before else None


def _complete(house: HouseTable, lengths: dict[str, float], problems: Problems, notes: list[str]) -> None:
    if house.shape == "hoop":
        lengths["eaves"] = house.eaves_m or 0.0
        if house.eaves_m is None:
            notes.append("The hoop springs from the ground: no eaves_m was given.")
    if house.shape == "box":
        lengths["back"] = house.back_m if house.back_m is not None else lengths["eaves"]
        if house.roof and house.back_m is not None and house.back_m != house.eaves_m:
            problems.add("house.roof", '"flat" beside a back_m', "one of the two", "Take one of them out.")
        if house.roof is None and house.back_m is None:
            notes.append("Flat roof: no back_m was given.")


def _check_heights(shape: str, lengths: Mapping[str, float], problems: Problems) -> None:
    if "ridge" in lengths and lengths["ridge"] <= lengths["eaves"] + SLACK_M:
        allowed = f"above the eaves, {show(lengths['eaves'])} m"
        problems.add("house.ridge_m", show(lengths["ridge"]), allowed, "Did you swap ridge_m and eaves_m?")
    if shape in ("lean-to", "cold-frame") and lengths["front"] > lengths["back"] + SLACK_M:
        allowed = f"at least front_m, {show(lengths['front'])}"
        do = "The back is the wall the roof leans on. Did you swap front_m and back_m?"
        problems.add("house.back_m", show(lengths["back"]), allowed, do)


def azimuth_deg(house: HouseTable, problems: Problems, notes: list[str]) -> float:
    """Return the compass direction of +x; both names of the key mean the same."""
    given = [value for value in (house.length_azimuth_deg, house.ridge_azimuth_deg) if value is not None]
    if len(set(given)) > 1:
        found = f"{show(house.ridge_azimuth_deg)} beside length_azimuth_deg = {show(house.length_azimuth_deg)}"
        problems.add("house.ridge_azimuth_deg", found, "one direction", "Take one of them out.")
    if given:
        return given[0]
    if house.shape == "custom":
        notes.append("The first number of each corner runs east and the second north.")
    else:
        notes.append("The long front faces south (length_azimuth_deg 90): no direction was given.")
    return UNTURNED_AZIMUTH_DEG


def face_choices(shape: str, lengths: Mapping[str, float]) -> tuple[str, ...]:
    """Names that [face.NAME] may take: the faces, a strip of a hoop, and the groups "walls" and "roof"."""
    if shape == "custom":
        return ()
    names = face_names(shape, lengths)
    groups = ("walls", "roof") if TWO_ROOFS[0] in names else ("walls",)
    return (*names, *groups, *(STRIPS if shape == "hoop" else ()))


def build_faces(
    parts: Parts,
    house: HouseTable,
    lengths: Mapping[str, float] | None,
    known: Mapping[str, Cover],
    problems: Problems,
    notes: list[str],
) -> dict[str, Face]:
    """Return what every face is made of, the floor included; names are checked even while lengths are missing."""
    lengths = lengths or ANY_LENGTHS
    choices = face_choices(house.shape, lengths)
    for name, given in parts.faces.items():
        key = dotted(["face", name])
        if name not in choices:
            do = suggest(name, choices) or "In a custom house each [[surface]] has its own cover and reflectance."
            problems.add(key, "unknown face", "", do)
        check_cover(f"{key}.cover", given.cover, known, parts, problems)
    default = default_face(house, notes)
    names = [*face_names(house.shape, lengths), *(name for name in STRIPS if name in parts.faces)] if choices else []
    faces = {name: _face(name, parts.faces, default, house) for name in names}
    _check_faces(parts, faces, known, problems)
    if names and (parts.faces.get("floor") is None or parts.faces["floor"].reflectance is None):
        why = "as [house] reflectance" if house.reflectance is not None else "soil or paving; none was given"
        notes.append(f"Floor reflectance {faces['floor'].reflectance_frac:g} ({why}).")
    if parts.faces.get("floor") is not None and parts.faces["floor"].u_w_m2_k is not None:
        notes.append("The u_w_m2_k of the floor is not used: the ground below is reckoned by itself.")
    return faces


def default_face(house: HouseTable, notes: list[str]) -> Face:
    """Return what unnamed faces are made of."""
    cover = house.cover or DEFAULT_COVER[house.shape]
    if house.cover is None and house.shape == "custom":
        notes.append("Surfaces without a cover are opaque: no [house] cover was given.")
    elif house.cover is None:
        notes.append(f"Unnamed faces are made of {cover}: no [house] cover was given.")
    elif house.shape == "window-sill" and cover != OPAQUE:
        notes.append(
            f"The room of the window sill is opaque; its [house] cover {cover} is what the windows are made of."
        )
        cover = OPAQUE
    reflectance = house.reflectance if house.reflectance is not None else WALL_REFLECTANCE
    if house.reflectance is None:
        notes.append(f"Opaque faces reflect {reflectance:g} of the light (PAR): no [house] reflectance was given.")
    return Face(cover, reflectance)


def groups_of(name: str) -> tuple[str, ...]:
    """Names under which a face may be overridden, the nearest first."""
    if name in WALLS:
        return name, "walls"
    if name in STRIPS:
        return name, name.rsplit("-", 1)[0], "roof"
    return (name, "roof") if name in TWO_ROOFS else (name,)


def _face(name: str, given: Mapping[str, FaceTable], default: Face, house: HouseTable) -> Face:
    wishes = [given[group] for group in groups_of(name) if group in given]
    is_floor = name == "floor"
    base = Face(
        OPAQUE if is_floor else default.cover,
        FLOOR_REFLECTANCE if is_floor and house.reflectance is None else default.reflectance_frac,
    )
    return Face(
        next((wish.cover for wish in wishes if wish.cover is not None), base.cover),
        next((wish.reflectance for wish in wishes if wish.reflectance is not None), base.reflectance_frac),
        next((wish.u_w_m2_k for wish in wishes if wish.u_w_m2_k is not None), None),
        next((wish.wall_kg_m2 for wish in wishes if wish.wall_kg_m2 is not None), None),
    )


def _check_faces(parts: Parts, faces: Mapping[str, Face], known: Mapping[str, Cover], problems: Problems) -> None:
    """Refuse a floor of glass, and a reflectance on a face that is no wall."""
    if faces and faces["floor"].cover != OPAQUE:
        problems.add("face.floor.cover", show(faces["floor"].cover), "an opaque floor", "Take it out.")
    for name, given in parts.faces.items():
        made_of = {face.cover for key, face in faces.items() if name in groups_of(key)}
        if given.reflectance is None or not made_of or OPAQUE in made_of or not made_of <= known.keys():
            continue
        at = f"{dotted(['face', name])}.reflectance"
        found = f"{show(given.reflectance)} on a face of {min(made_of)}"
        problems.add(at, found, "on opaque faces only", 'Add cover = "opaque", or take it out.')


def build_windows(
    parts: Parts,
    house: HouseTable,
    lengths: Mapping[str, float] | None,
    known: dict[str, Cover],
    problems: Problems,
    notes: list[str],
) -> tuple[Window, ...]:
    """Return the windows, their covers without frame share, each checked against its face and the others."""
    windows: list[tuple[str, Window]] = []
    for key, given in parts.windows:
        check_cover(f"{key}.cover", given.cover, known, parts, problems)
        outline = _outline(given, key, house.shape, lengths, parts, problems)
        if outline is None and house.shape != "custom":
            continue
        window = _window(key, given, house, outline, notes)
        if outline is not None:
            _check_inside(key, window, outline, problems)
        windows.append((key, window))
    _check_overlaps(windows, problems)
    if any(known.get(window.cover) and known[window.cover].frame_share > 0 for _, window in windows):
        notes.append("No frame share is taken off windows: their glass is drawn.")
    return tuple(
        Window(w.on, w.left_m, w.sill_m, w.width_m, w.height_m, drawn(w.cover, known, parts)) for _, w in windows
    )


def _outline(
    given: WindowTable, key: str, shape: str, lengths: Mapping[str, float] | None, parts: Parts, problems: Problems
) -> Flat | None:
    """Outline of the face a window is cut into; a custom surface is looked at later."""
    if shape == "custom":
        names = tuple(surface.name for _, surface in parts.surfaces if surface.name)
        if given.on not in names:
            problems.choice(f"{key}.on", given.on, "a surface this house has not", names)
        return None
    flat = tuple(name for name in face_names(shape, lengths or ANY_LENGTHS) if name != "floor")
    if shape == "hoop":
        flat = (*(name for name in flat if name not in TWO_ROOFS), *STRIPS)
    if given.on not in flat:
        what = "a curved face" if given.on in TWO_ROOFS and shape == "hoop" else "a face this house has not"
        problems.choice(f"{key}.on", given.on, what, flat)
        return None
    return None if lengths is None else face_outline_m(shape, lengths, given.on)


def _window(key: str, given: WindowTable, house: HouseTable, outline: Flat | None, notes: list[str]) -> Window:
    across = max(u for u, _ in outline) if outline else given.width_m
    up = max(v for _, v in outline) if outline else given.height_m
    left_m, sill_m, cover = given.left_m, given.sill_m, given.cover
    if left_m is None:
        left_m = max(0.0, (across - given.width_m) / 2)
        notes.append(f"{key} stands in the middle of its face: no left_m was given.")
    if sill_m is None:
        sill_m = max(0.0, min(SILL_M if given.on in WALLS else (up - given.height_m) / 2, up - given.height_m))
        notes.append(words.WINDOW_SILL(window=key, sill=sill_m))
    if cover is None:
        own = house.cover if house.shape == "window-sill" and house.cover != OPAQUE else None
        cover = own or WINDOW_COVER
        notes.append(f"{key} is of {cover}: no cover was given.")
    return Window(given.on, left_m, sill_m, given.width_m, given.height_m, cover)


def _check_inside(key: str, window: Window, outline: Flat, problems: Problems) -> None:
    across, up = max(u for u, _ in outline), max(v for _, v in outline)
    allowed = f"inside the {window.on} face, {across:.2f} m wide and {up:.2f} m high"
    right, top = window.left_m + window.width_m, window.sill_m + window.height_m
    fits = True
    for name, start, end, most in (("width", window.left_m, right, across), ("height", window.sill_m, top, up)):
        if end <= most + SLACK_M:
            continue
        fits = False
        size = end - start
        from_where = "from the left corner" if name == "width" else "up"
        found = f"{show(round(size, 4))} m, starting {show(round(start, 4))} m {from_where}"
        room = most - start
        do = f"Make it at most {room:.2f} m, or move it." if room > SLACK_M else "Move it."
        problems.add(f"{key}.{name}_m", found, allowed, do)
    corners = ((window.left_m, top), (right, top), (window.left_m, window.sill_m), (right, window.sill_m))
    if fits and not all(holds(outline, corner, SLACK_M) for corner in corners):
        problems.add(key, "a corner above the slope of the roof", allowed, "Make the window lower or narrower.")


def _check_overlaps(windows: list[tuple[str, Window]], problems: Problems) -> None:
    for index, (key, window) in enumerate(windows):
        for other, earlier in windows[:index]:
            if window.on == earlier.on and _overlap(window, earlier):
                problems.add(key, f"overlaps {other} on {window.on}", "", "Move or shrink one of them.")


def _overlap(a: Window, b: Window) -> bool:
    across = min(a.left_m + a.width_m, b.left_m + b.width_m) - max(a.left_m, b.left_m)
    up = min(a.sill_m + a.height_m, b.sill_m + b.height_m) - max(a.sill_m, b.sill_m)
    return across > SLACK_M and up > SLACK_M
