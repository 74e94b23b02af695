"""Which questions ``tenhour new`` asks, in what order and words, and how each answer is taken."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from tenhour.cli.asking import SIZE_WORDS, Question, feet_are_usual, with_field, wrong_in
from tenhour.cli.eaters import eater_question

if TYPE_CHECKING:
    from tenhour.files.house.draft import Draft

SHAPE_WORDS: Final = {
    "leanto": "lean-to", "lean": "lean-to", "lean to": "lean-to", "tunnel": "hoop", "polytunnel": "hoop",
    "hoophouse": "hoop", "hoop house": "hoop", "frame": "cold-frame", "cold frame": "cold-frame", "greenhouse": "gable",
    "ridge": "gable", "apex": "gable", "window sill": "window-sill", "windowsill": "window-sill", "sill": "window-sill",
    "room": "box",
}  # fmt: skip
SHAPE_HELP: Final = (
    "gable: two roofs and a ridge; lean-to: one roof against a wall; hoop: a tunnel; box: a flat roof; "
    "cold-frame: low, with a sloping lid; window-sill: a room with a window."
)
M_PER_FT: Final = 0.3048
HALF_FOOT_PER_M: Final = 2 / M_PER_FT


def next_question(draft: Draft, asked: frozenset[str]) -> Question | None:
    """Return what is to be asked next of a draft; ``asked`` are the fields that were asked already."""
    from tenhour.files.house.draft import DEFAULTS

    if draft.units is None and "units" not in asked:
        return _units()
    place = _place(draft, asked)
    if place is not None:
        return place
    if draft.shape is None:
        return _shape()
    for side, default in DEFAULTS.get(draft.shape, {}).items():
        if getattr(draft, side) is None:
            return _size(draft, side, float(default))
    for field, make in (("azimuth", _looks), ("cover", _cover), ("opaque", _opaque), ("night", _night), ("day", _day)):
        if not getattr(draft, field) and field not in asked:
            question = make(draft)
            if question is not None:
                return question
    if draft.snow is None and "snow" not in asked:
        return _snow()
    return _bed_or_height(draft, asked) or eater_question(draft, asked, south=_south(draft))


def _units() -> Question:
    def take(draft: Draft, text: str) -> Draft:
        from tenhour.files.house.typed import UNIT_WORDS
        from tenhour.files.units_text import BadValueError

        units = UNIT_WORDS.get(text.lower().strip(" ."))
        if units is None:
            raise BadValueError("feet or metres", "Write feet or metres.")
        return replace(draft, units=units)

    def echo(draft: Draft) -> str:
        if draft.units == "us":
            return 'Numbers are feet and °F from now on; 8 ft 6, 30 in, "2.4 m" and "5 C" are taken too.'
        return 'Numbers are metres and °C from now on; "16 ft", "30 in" and "40 F" are taken too.'

    default = "feet" if feet_are_usual() else "metres"
    return Question("units", "Feet or metres?", default, "In what do you measure? Write feet or metres.", take, echo)


def _place(draft: Draft, asked: frozenset[str]) -> Question | None:
    if draft.place or (draft.lat is not None and draft.lon is not None):
        return None
    if draft.lat is None and draft.lon is None and "place" not in asked:
        words = 'Nearest town, like "Ulm" or "Duluth, Minnesota" (Enter: by coordinates)'
        read = with_field("place", lambda text: text or None)
        help_text = "The town gives the sun, the climate and the time zone. Add the region where the name is common."
        return Question("place", words, "", help_text, lambda d, text: read(d, text) if text else d, _where)
    for field, word in (("lat", "Latitude (46.8, or 46.8 N)"), ("lon", "Longitude (-92.1, or 92.1 W)")):
        if getattr(draft, field) is None:
            help_text = "Degrees, as any map on the web shows them. Type back to give a town."
            return Question(field, word, None, help_text, with_field(field))
    return None


def _where(draft: Draft) -> str:
    if not draft.place:
        return ""
    from tenhour.files.places import one_place

    place = one_place(draft.place)
    return f"{place.label} ({place.latitude_deg:.2f}, {place.longitude_deg:.2f})."


def _latitude_deg(draft: Draft) -> float:
    if draft.place:
        from tenhour.files.places import one_place

        return one_place(draft.place).latitude_deg
    from tenhour.files.house.draft import number_or_text
    from tenhour.files.house.schema import LATITUDE

    return LATITUDE(number_or_text(draft.lat or "0"))


def _south(draft: Draft) -> bool:
    return _latitude_deg(draft) < 0.0


def _shape() -> Question:
    from tenhour.files.house.draft import SHAPES

    def read(text: str) -> str:
        plain = " ".join(text.lower().replace("_", "-").split())
        if plain.isdecimal() and 1 <= int(plain) <= len(SHAPES):
            return SHAPES[int(plain) - 1]
        return SHAPE_WORDS.get(plain, plain.replace(" ", "-"))

    words = "Shape: " + ", ".join(f"{n} {shape}" for n, shape in enumerate(SHAPES, 1))
    return Question("shape", words, "gable", SHAPE_HELP, with_field("shape", read), lambda draft: f"{draft.shape}.")


def _size(draft: Draft, side: str, default_m: float) -> Question:
    from tenhour.files.house.typed import with_unit

    us = draft.units == "us"
    default = _in_feet(default_m) if us else f"{default_m:g} m"
    read = with_field(side, lambda text: with_unit(text, "ft" if us else "m"))
    help_text = "With a tape measure, outside. Write 16, 16 ft, 5 ft 6, 66 in, 2.4 m or 240 cm."
    return Question(side, SIZE_WORDS[side], default, help_text, read, lambda new: _size_words(getattr(new, side)))


def _in_feet(size_m: float) -> str:
    halves = max(1, round(size_m * HALF_FOOT_PER_M))
    feet, rest = divmod(halves, 2)
    return " ".join([*([f"{feet} ft"] if feet else []), *(["6 in"] if rest else [])])


def _metres(text: str) -> float:
    from tenhour.files.house.draft import number_or_text
    from tenhour.files.house.schema import SIZE

    return SIZE(number_or_text(text))


def _size_words(text: str) -> str:
    size_m = _metres(text)
    return f"{text} = {size_m:.2f} m = {size_m / M_PER_FT:.1f} ft."


def _told(size_m: float, us: bool) -> str:
    return f"{size_m / M_PER_FT:.1f} ft" if us else f"{size_m:.2f} m"


def _looks(draft: Draft) -> Question:
    from tenhour.files.house.typed import HALF_TURN_DEG, compass_words, direction_deg

    default = "south" if _latitude_deg(draft) >= 0 else "north"
    what = "window" if draft.shape in ("box", "window-sill") else "front"

    def take(old: Draft, text: str) -> Draft:
        from tenhour.files.house.draft import azimuth_of

        return replace(old, azimuth=azimuth_of(direction_deg(text)))

    def echo(new: Draft) -> str:
        from tenhour.files.house.draft import looks_of

        looks = looks_of(float(new.azimuth or 0))
        return f"The {what} looks {compass_words(looks)}, the back {compass_words((looks + HALF_TURN_DEG) % 360)}."

    help_text = "The long side with most of the light. Stand with your back to it and look at a compass."
    return Question("azimuth", f"Which way does the {what} look?", default, help_text, take, echo)


def _cover(draft: Draft) -> Question | None:
    from tenhour.files.covers import shipped_covers
    from tenhour.files.house.shape import DEFAULT_COVER
    from tenhour.files.house.typed import COVER_WORDS, COVERS, cover_key

    default = DEFAULT_COVER.get(draft.shape or "", "twin-wall-8")
    if draft.shape in ("box", "window-sill"):
        return None
    covers = shipped_covers()

    def read(text: str) -> str:
        plain = text.strip().lower().replace(" ", "-")
        return plain if plain in covers else cover_key(text) or plain

    help_text = f"{COVER_WORDS}. Or in words, or a name of the catalogue: {', '.join(covers)}."
    shown = {key: number for number, key in COVERS.items()}.get(default, default)
    words = f"Made of: {COVER_WORDS}"
    echo = lambda new: f"{new.cover}: {covers[new.cover].title}." if new.cover in covers else ""  # noqa: E731
    return Question("cover", words, shown, help_text, with_field("cover", read), echo)


def _opaque(draft: Draft) -> Question | None:
    from tenhour.files.house.draft import OPAQUE_FACES
    from tenhour.files.house.typed import faces_of
    from tenhour.model.outline import WALLS

    walls = {"gable": WALLS, "lean-to": ("south", "east", "west"), "hoop": ("east", "west")}.get(draft.shape or "", ())
    if not walls:
        return None
    known = (*walls, *OPAQUE_FACES.get(draft.shape or "", ()))

    def take(old: Draft, text: str) -> Draft:
        chosen = faces_of(text, float(old.azimuth or 90), known)
        return replace(old, opaque=tuple(face for face in chosen if face in walls))

    besides = " besides the back" if draft.shape == "lean-to" else ""
    words = f"Sides that let no light in{besides} (front, back, left, right, ends or none)"
    help_text = "As you stand outside before the front. Compass words do too: north. Type < for the question before."
    return Question("opaque", words, "none", help_text, take, _solid, about_sides=True)


def _solid(draft: Draft) -> str:
    from tenhour.files.house.typed import SIDES

    names = {face: side for side, face in SIDES.items() if side != "rear"}
    return "No light through: " + (", ".join(names[face] for face in draft.opaque) or "none") + "."


def _warmth(draft: Draft, field: str, text: str) -> Draft:
    from tenhour.files.house.typed import NOTHING, with_unit

    if text.lower() in NOTHING:
        return draft
    said = {field: with_unit(text, "F" if draft.units == "us" else "C")}
    wished = replace(draft, **said)  # type: ignore[arg-type]
    wrong_in(wished, f"--{field}")
    return wished


def _night(draft: Draft) -> Question:
    unit = "°F" if draft.units == "us" else "°C"
    help_text = f"The coldest a heater lets it get at night, in {unit}; no where nothing heats."
    echo = lambda new: f"Never below {new.night} at night." if new.night else "Unheated."  # noqa: E731
    words = f"Does a heater keep frost out? Down to what at night, in {unit} (no: unheated)"
    return Question("night", words, "no", help_text, lambda d, text: _warmth(d, "night", text), echo)


def _day(draft: Draft) -> Question | None:
    if not draft.night:
        return None
    unit = "°F" if draft.units == "us" else "°C"
    take = lambda d, text: _warmth(d, "day", d.night if text == "the same" else text)  # noqa: E731
    echo = lambda new: f"Never below {new.day} by day." if new.day else "Not heated by day."  # noqa: E731
    words = f"And by day, in {unit} (no: off by day)"
    return Question("day", words, "the same", "A heater that is never switched off holds the same by day.", take, echo)


def _snow() -> Question:
    from tenhour.files.house.typed import month_words, months

    take = lambda d, text: replace(d, snow=",".join(str(n) for n in months(text)))  # noqa: E731
    echo = lambda new: f"Snow on the ground: {month_words(months(new.snow or ''))}."  # noqa: E731
    help_text = "White ground lights a house from below. Write Nov to March, or Dec, Jan, or none."
    return Question("snow", "Months with snow on the ground, like Nov to March", "none", help_text, take, echo)


def _bed_or_height(draft: Draft, asked: frozenset[str]) -> Question | None:
    if "given" in asked or draft.shape == "window-sill":
        return None
    number = len(draft.bed) + 1
    if f"bed {number}" not in asked and (number == 1 or "bed 1" in asked):
        return _bed(draft, number)
    if "height" not in asked and "bed 1" in asked and draft.bed:
        return _height(draft)
    return None


def _bed(draft: Draft, number: int) -> Question:
    from tenhour.files.house.beds import SIDE_WORDS, placed, usual_width_m

    us = draft.units == "us"
    deep_m = usual_width_m(draft)
    halves = max(1, int(deep_m * HALF_FOOT_PER_M + 0.3))
    width = _in_feet(halves / HALF_FOOT_PER_M) if us else f"{deep_m * 100:.0f} cm"

    def take(old: Draft, text: str) -> Draft:
        if text in ("no more", "no", "none", "done"):
            return old
        wished = replace(old, bed=(*old.bed, placed(old, text, "ft" if us else "m")))
        wrong_in(wished, "--bed")
        return wished

    def echo(new: Draft) -> str:
        if len(new.bed) < number:
            return f"{len(new.bed)} bed{'s' if len(new.bed) > 1 else ''}."
        name, *sizes = new.bed[-1].split(",")[:5]
        x, y, length, deep = (_told(float(size_m), us) for size_m in sizes)
        return f"Bed {name}: {length} along, {deep} deep, its corner {x} from the left end and {y} from the front."

    help_text = f"Where and how wide, like front 3 ft or left 80 cm: {SIDE_WORDS}. Or with a length: front 12 x 3 ft."
    first = f"front {width}"
    words = f"Bed {number}: side and width, like {first}" + ("" if number == 1 else " (Enter: no more)")
    default = first if number == 1 else "no more"
    return Question(f"bed {number}", words, default, help_text, take, echo, about_sides=True)


def _height(draft: Draft) -> Question:
    from tenhour.files.house.typed import with_unit

    unit = "ft" if draft.units == "us" else "m"

    def take(old: Draft, text: str) -> Draft:
        typed = with_unit(text, unit)
        height_m = 0.0 if re.match(r"(0+(\.0*)?|no|none)\b", typed) else _metres(typed)
        beds = tuple(",".join([*bed.split(",")[:5], f"{height_m:.3f}"]) for bed in old.bed)
        wished = replace(old, bed=beds)
        wrong_in(wished, "--bed")
        return wished

    help_text = "0 for soil at the floor; benches and raised beds stand higher, and get other light."
    echo = lambda new: f"Soil {float(new.bed[0].split(',')[-1]):.2f} m above the floor."  # noqa: E731
    return Question("height", "Soil of the beds above the floor", "0", help_text, take, echo)
