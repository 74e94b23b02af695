"""A house from a few answers: the draft, its commented file, and its problems named by the option that caused them."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, fields
from datetime import date
from typing import Any, Final

from tenhour.errors import FileProblem, Problem
from tenhour.files.covers import shipped_covers
from tenhour.files.house.eaters import animals_of, buys_of, crops_of, meals_of, season_of
from tenhour.files.house.read import house_from_tables, house_from_text
from tenhour.files.house.schema import SIZE
from tenhour.files.house.shape import DEFAULT_COVER, NEEDED
from tenhour.files.house.typed import FULL_TURN_DEG, QUARTER_TURN_DEG, cover_key, direction_deg, months
from tenhour.files.problems import show
from tenhour.files.units_text import BadValueError
from tenhour.model.cover import OPAQUE

FILE: Final = "command line"
BED_FORM: Final = "name,x,y,length,width or name,x,y,length,width,height"
WINDOW_FORM: Final = "face,left,sill,width,height or face,left,sill,width,height,cover"
DEFAULTS: Final[Mapping[str, Mapping[str, str]]] = {
    "gable": {"length": "5", "width": "3", "eaves": "1.8", "ridge": "2.6"},
    "lean-to": {"length": "4", "width": "2", "front": "1.7", "back": "2.4"},
    "hoop": {"length": "8", "width": "4", "ridge": "2.2"},
    "box": {"length": "4", "width": "3", "eaves": "2.3"},
    "cold-frame": {"length": "1.2", "width": "0.9", "front": "0.25", "back": "0.4"},
    "window-sill": {"length": "4", "width": "4", "eaves": "2.5"},
}
"""Usual small sizes [m]: judgement."""
SHAPES: Final = tuple(DEFAULTS)
OPAQUE_FACES: Final[Mapping[str, tuple[str, ...]]] = {"lean-to": ("north",), "cold-frame": ("walls",)}
"""The wall a lean-to leans on, the boards of a frame."""
MARGIN_M: Final = 0.15
BED_DEPTH_M: Final = 0.8
"""As far as an arm reaches: common practice."""
SILL_BED_M: Final = 0.3
SILL_HEIGHT_M: Final = 0.85
WINDOW_SHARE: Final = 0.6
WINDOW_HEIGHT_M: Final = 1.2

_FLAGS: Final = {
    "site.latitude_deg": "--lat",
    "site.longitude_deg": "--lon",
    "site.place": "--place",
    "site.elevation_m": "--elev",
    "site.snow_months": "--snow",
    "house.shape": "--shape",
    "house.length_azimuth_deg": "--azimuth",
    "house.cover": "--cover",
    "air.day_set_degc": "--day",
    "air.night_set_degc": "--night",
    "household.to": "--until",
    **{f"household.{key}": f"--{key.replace('_', '-')}" for key in ("from", "people", "meals", "likes", "leave_out")},
    **{f"household.{key}": f"--{key.replace('_', '-')}" for key in ("may_buy", "budget")},
    **{f"house.{side}_m": f"--{side}" for side in ("length", "width", "eaves", "ridge", "front", "back")},
}
_GROUPS: Final = {
    "bed": "--bed", "window": "--window", "face": "--opaque", "name": "--name", "units": "--units",
    "household": "--people", "meals": "--meals", "animal": "--animals",
}  # fmt: skip


@dataclass(frozen=True)
class Draft:
    """Answers as they were typed; None where nothing was said."""

    name: str | None = None
    place: str | None = None
    lat: str | None = None
    lon: str | None = None
    elev: str | None = None
    shape: str | None = None
    length: str | None = None
    width: str | None = None
    eaves: str | None = None
    ridge: str | None = None
    front: str | None = None
    back: str | None = None
    azimuth: str | None = None
    faces: str | None = None
    cover: str | None = None
    opaque: tuple[str, ...] = ()
    window: tuple[str, ...] = ()
    bed: tuple[str, ...] = ()
    snow: str | None = None
    day: str | None = None
    night: str | None = None
    units: str | None = None
    people: str | None = None
    since: str | None = None
    """First day with something on the table, and the last."""
    until: str | None = None
    meals: str | None = None
    likes: str | None = None
    leave_out: str | None = None
    animals: str | None = None
    may_buy: str | None = None
    budget: str | None = None

    @property
    def complete(self) -> bool:
        """Whether all that has no default was said: the place and the shape."""
        return (self.place is not None or (self.lat is not None and self.lon is not None)) and self.shape is not None


def number_or_text(text: str) -> object:
    """A bare number as a number, anything else as it stands, to be read as a number with its unit."""
    try:
        return int(text) if re.fullmatch(r"[+-]?\d{1,9}", text.strip()) else float(text)
    except ValueError:
        return text.strip()


def azimuth_of(looks: float) -> str:
    """Compass direction along the front [°] of a house whose front looks in a direction [°]."""
    return f"{(looks - QUARTER_TURN_DEG) % FULL_TURN_DEG:g}"


def looks_of(azimuth: float) -> float:
    """Compass direction [°] a front looks in that runs along another [°]."""
    return (azimuth + QUARTER_TURN_DEG) % FULL_TURN_DEG


def problems_of(draft: Draft) -> list[Problem]:
    """Return everything wrong with a draft, each problem named by its option."""
    problems: list[Problem] = []
    tables = _tables(draft, problems)
    try:
        house_from_tables(tables, FILE)
    except FileProblem as error:
        problems += [_by_flag(problem) for problem in error.problems]
    return problems


def draft_text(draft: Draft) -> str:
    """Return the commented house file of a draft.

    Errors: FileProblem with everything wrong, named by option.
    """
    problems = problems_of(draft)
    if problems:
        raise FileProblem(problems)
    tables = _tables(draft, [])
    text = (
        "\n".join([
            *_head(tables), *_site(tables["site"]), *_house(tables), *_beds(tables), *_air(tables["air"]),
            *_household(tables.get("household")),
        ])
        + "\n"
    )  # fmt: skip
    house_from_text(text, FILE)
    return text


def _by_flag(problem: Problem) -> Problem:
    top, _, rest = problem.key.partition(".")
    group = top.split("[")[0]
    if rest.startswith(("animal", "meals")):
        group = "meals" if rest.startswith("meals") else "animal"
    flag = _FLAGS.get(re.sub(r"\[\d+\]$", "", problem.key)) or _GROUPS.get(group, problem.key)
    if group == "bed" and rest:
        flag = f"{flag} {rest}"
    do = f"Add {flag}." if problem.found == "nothing" and flag.startswith("--") else problem.do
    if problem.key.startswith("site.") and problem.found == "nothing":
        flag, do = "--place", 'Give --place "name, region", or --lat and --lon.'
    return Problem(FILE, flag, problem.found, problem.allowed, do)


def _tables(draft: Draft, problems: list[Problem]) -> dict[str, Any]:
    """The draft as the tables of a house file; options that cannot be taken apart are noted."""
    site = {
        "place": draft.place,
        "latitude_deg": _value(draft.lat),
        "longitude_deg": _value(draft.lon),
        "elevation_m": _value(draft.elev),
        "snow_months": None if draft.snow is None else _months(draft.snow),
    }
    shape = draft.shape or ""
    sizes = {side: getattr(draft, side) or DEFAULTS.get(shape, {}).get(side) for side in _sides()}
    house = {"shape": draft.shape, **{f"{side}_m": _value(size) for side, size in sizes.items()}}
    house["length_azimuth_deg"] = _value(_azimuth(draft, problems))
    house["cover"] = _cover(draft.cover) if draft.cover else DEFAULT_COVER.get(shape)
    faces = (*OPAQUE_FACES.get(shape, ()), *draft.opaque)
    tables = {
        "schema": 1,
        "name": draft.name,
        "units": draft.units,
        "site": _said(site),
        "house": _said(house),
        "face": {face: {"cover": OPAQUE} for face in faces},
        "window": _windows(draft, house, problems),
        "bed": _bed_tables(draft, house, problems),
        "air": _said({"day_set_degc": _value(draft.day), "night_set_degc": _value(draft.night)}),
        "household": _household_table(draft, problems),
    }
    return _said(tables)


def _household_table(draft: Draft, problems: list[Problem]) -> dict[str, Any] | None:
    """The table of who eats, or None where nothing of it was said."""
    said = _said({name: getattr(draft, name) for name in EATERS})
    if not said:
        return None
    table: dict[str, Any] = {"people": _value(draft.people)}
    for name, read in (("meals", meals_of), ("likes", crops_of), ("leave_out", crops_of), ("may_buy", buys_of)):
        if name in said:
            table[name] = _taken(f"--{name.replace('_', '-')}", said[name], read, problems)
    if draft.since is not None or draft.until is not None:
        both = f"{draft.since or USUAL_SEASON[0]} to {draft.until or USUAL_SEASON[1]}"
        days = _taken("--from and --until", both, _season, problems)
        table |= {} if days is None else {"from": days[0].isoformat(), "to": days[1].isoformat()}
    if draft.budget is not None:
        table["budget"] = _value(draft.budget)
    animals = None if draft.animals is None else _taken("--animals", draft.animals, animals_of, problems)
    if animals:
        table["animal"] = [{"kind": kind, "count": round(count)} for kind, count in animals.items()]
    return {key: list(value) if isinstance(value, tuple) else value for key, value in _said(table).items()}


def _season(text: str) -> tuple[date, date]:
    first, _, last = text.partition(" to ")
    return season_of(first, last, date.today())


EATERS: Final = ("people", "since", "until", "meals", "likes", "leave_out", "animals", "may_buy", "budget")
USUAL_SEASON: Final = ("1 October", "31 May")


def _taken(flag: str, text: str, read: Callable[[str], Any], problems: list[Problem]) -> Any:
    """What an option means; one that means nothing is noted."""
    try:
        return read(text)
    except BadValueError as error:
        problems.append(Problem(FILE, flag, show(text), error.allowed, error.do))
        return None


def _months(text: str) -> list[object]:
    """Months in words or numbers; what is neither is left for the reader of house files to name."""
    try:
        return list(months(text))
    except BadValueError:
        return [_value(part) for part in text.split(",") if part.strip()]


def _cover(text: str) -> str:
    """Key of a cover, also from everyday words; what nobody knows is left for the reader of house files to name."""
    return text if text in shipped_covers() else cover_key(text) or text


def _azimuth(draft: Draft, problems: list[Problem]) -> str:
    """Direction along the front, as given or from where the front looks."""
    if draft.faces is None:
        return draft.azimuth or "90"
    if draft.azimuth is not None:
        problems.append(Problem(FILE, "--faces and --azimuth", "both", "one of them", "Leave one out."))
    try:
        return azimuth_of(direction_deg(draft.faces))
    except BadValueError as error:
        problems.append(Problem(FILE, "--faces", show(draft.faces), error.allowed, error.do))
        return "90"


def _sides() -> list[str]:
    return [
        field.name for field in fields(Draft) if f"{field.name}_m" in {key for keys in NEEDED.values() for key in keys}
    ]


def _said(values: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in values.items() if value is not None}


def _value(text: str | None) -> object:
    return None if text is None else number_or_text(text)


def _split(
    flag: str, form: str, texts: Iterable[str], counts: tuple[int, int], problems: list[Problem]
) -> list[list[str]]:
    """Take options apart at their commas."""
    rows = []
    for text in texts:
        parts = [part.strip() for part in text.split(",")]
        if len(parts) in counts and all(parts):
            rows.append(parts)
        else:
            problems.append(Problem(FILE, flag, show(text), form, "Separate the parts by commas."))
    return rows


def _bed_tables(draft: Draft, house: Mapping[str, Any], problems: list[Problem]) -> list[dict[str, Any]]:
    rows = _split("--bed", BED_FORM, draft.bed, (5, 6), problems)
    beds = [
        {
            "name": row[0],
            "at_m": [_value(row[1]), _value(row[2])],
            "size_m": [_value(row[3]), _value(row[4])],
            "height_m": _value(row[5]) if len(row) > 5 else 0,
        }
        for row in rows
    ]
    return beds or [_default_bed(house)]


def _length_m(value: object) -> float:
    try:
        return SIZE(value)
    except BadValueError:
        return 1.0


def _default_bed(house: Mapping[str, Any]) -> dict[str, Any]:
    """One bed along the front, or on the sill of the window; in a hoop it keeps away from the low edge."""
    length, width = _length_m(house.get("length_m")), _length_m(house.get("width_m"))
    on_sill = house["shape"] == "window-sill"
    side = min(MARGIN_M, length / 4, width / 4)
    front = width / 8 if house["shape"] == "hoop" else side
    left = length * (1 - WINDOW_SHARE) / 2 if on_sill else side
    deep = min(SILL_BED_M if on_sill else BED_DEPTH_M, width - front - side)
    return {
        "name": "front",
        "at_m": [round(left, 3), round(front, 3)],
        "size_m": [round(length - 2 * left, 3), round(deep, 3)],
        "height_m": SILL_HEIGHT_M if on_sill else 0,
    }


def _windows(draft: Draft, house: Mapping[str, Any], problems: list[Problem]) -> list[dict[str, Any]]:
    rows = _split("--window", WINDOW_FORM, draft.window, (5, 6), problems)
    keys = ("left_m", "sill_m", "width_m", "height_m")
    windows = [
        {
            "on": row[0],
            **dict(zip(keys, map(_value, row[1:5]), strict=True)),
            "cover": row[5] if len(row) > 5 else "glass-2",
        }
        for row in rows
    ]
    if not draft.window and house["shape"] in ("box", "window-sill"):
        length, high = _length_m(house.get("length_m")), _length_m(house.get("eaves_m"))
        wide = round(WINDOW_SHARE * length, 3)
        sill = round(min(SILL_HEIGHT_M, 0.4 * high), 3)
        tall = round(min(WINDOW_HEIGHT_M, 0.9 * (high - sill)), 3)
        left = round((length - wide) / 2, 3)
        windows = [
            {"on": "south", "left_m": left, "sill_m": sill, "width_m": wide, "height_m": tall, "cover": "glass-2"}
        ]
    return windows


def _toml(value: object) -> str:
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    if isinstance(value, list):
        return f"[{', '.join(_toml(part) for part in value)}]"
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {_toml(part)}" for key, part in value.items()) + " }"
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return repr(value)


def _line(key: str, value: object, comment: str = "") -> str:
    text = f"{key} = {_toml(value)}"
    return f"{text:<33} # {comment}" if comment else text


def _head(tables: Mapping[str, Any]) -> list[str]:
    lines = [
        "# A house file for tenhour. Bare numbers are metres, degrees C, degrees and shares from 0 to 1; text may",
        '# carry a unit: "9 ft", "20 in", "50 F". After a change run: tenhour check FILE',
        "schema = 1",
    ]
    if "name" in tables:
        lines.append(_line("name", tables["name"]))
    lines.append(_line("units", tables.get("units", "metric"), 'what answers are printed in: "metric" or "us"'))
    return lines


def _site(site: Mapping[str, Any]) -> list[str]:
    comments = {
        "latitude_deg": "north is positive, south negative",
        "longitude_deg": "east is positive, west negative",
        "place": "or latitude_deg and longitude_deg",
        "elevation_m": "above the sea",
        "snow_months": "months with white ground",
    }
    lines = ["", "[site]", *(_line(key, value, comments[key]) for key, value in site.items())]
    if "elevation_m" not in site:
        lines.append("# elevation_m = 120               # above the sea; taken from a coarse map while it is not given")
    lines.append(
        "# skyline = [[90, 10], [180, 4], [270, 12]]   # compass direction and height of what hides the sky, degrees"
    )
    if "snow_months" not in site:
        lines.append("# snow_months = [1, 2]            # months with white ground")
    lines.append("# ground_reflectance = 0.07       # without snow, in the light plants use")
    lines.append('# climate = "weather.epw"         # a weather file; without it the embedded normals of the place')
    return lines


def _house(tables: Mapping[str, Any]) -> list[str]:
    comments = {
        "shape": "gable, lean-to, hoop, box, cold-frame, window-sill or custom",
        "length_m": "along the front",
        "width_m": "from the front to the back",
        "eaves_m": "height of the walls",
        "ridge_m": "height of the ridge",
        "front_m": "height of the front wall",
        "back_m": "height of the back wall",
        "length_azimuth_deg": "compass direction along the front; 90 means the front faces south",
        "cover": 'what faces are made of that are not named below; "opaque" for walls',
    }
    lines = ["", "[house]", *(_line(key, value, comments[key]) for key, value in tables["house"].items())]
    lines.append("# reflectance = 0.5               # of opaque faces inside; white paint 0.8, bare boards 0.4")
    for name, face in tables["face"].items():
        lines += ["", f"[face.{name}]", _line("cover", face["cover"], "lets no light in")]
        lines.append("# reflectance = 0.8               # white paint")
    window_comments = {
        "on": "the face it is cut into",
        "left_m": "from the left corner as seen from inside",
        "sill_m": "from the floor to its lower edge",
    }
    for window in tables["window"]:
        lines += ["", "[[window]]", *(_line(key, value, window_comments.get(key, "")) for key, value in window.items())]
    return lines


def _beds(tables: Mapping[str, Any]) -> list[str]:
    lines = ["", "# Beds. The corner of the house at the left end of the front, seen from outside, is [0, 0]."]
    comments = {
        "at_m": "its corner: along the front, and away from it",
        "size_m": "along the front, and away from it",
        "height_m": "of the soil above the floor",
    }
    for bed in tables["bed"]:
        lines += ["[[bed]]", *(_line(key, value, comments.get(key, "")) for key, value in bed.items()), ""]
    return lines[:-1]


def _air(air: Mapping[str, Any]) -> list[str]:
    lines = ["", "[air]", "# Set points: the heater comes on below them. Without them the house is unheated."]
    for key, example in (("day_set_degc", 15), ("night_set_degc", 6)):
        lines.append(_line(key, air[key]) if key in air else f"# {key} = {example}")
    lines.append(
        "# night_min_degc = 1              # the coldest night you have seen inside; one number or twelve by month"
    )
    return lines


def _household(table: Mapping[str, Any] | None) -> list[str]:
    """Who eats, with what was not said as remarks that can be switched on."""
    if table is None:
        return ["", "# Who eats from the beds stands in a table [household]: docs/guide/feeding.md, tenhour feed."]
    said = "# Who eats from the beds: tenhour feed plans what to sow so that every week has its meals."
    lines = ["", said, "[household]"]
    for key, example, comment in EATER_LINES:
        lines.append(_line(key, table[key], comment) if key in table else _line(f"# {key}", example, comment))
    for animal in table.get("animal", ()):
        lines += ["", "[[household.animal]]", _line("kind", animal["kind"], "hen or rabbit")]
        lines += [_line("count", animal["count"]), "# greens_g_d = 25                 # of each; never a ration"]
    return lines


EATER_LINES: Final[tuple[tuple[str, object, str], ...]] = (
    ("people", 2, ""),
    ("from", "2026-10-01", "first day something should be on the table; 1 October if not given"),
    ("to", "2027-05-31", "the last; 31 May if not given"),
    ("meals", {"salad": 4, "cooked": 2, "herbs": 3}, "a week and person; also roots"),
    ("portions_g", {"salad": 60}, "only what differs from the crop's own serving"),
    ("likes", ["spinach", "kale"], "without it: all that suit"),
    ("leave_out", ["mustard-greens"], "never sown"),
    ("surety", 0.75, "share of seasons in which each sowing is to be in time"),
    ("work_h_week", 3, "most hours of work a week"),
    ("most_sowings", 25, "most sowings in all"),
    ("may_buy", ["lamp", "tray", "cover"], "what the plan may spend on"),
    ("budget", "120 EUR", "most money in all"),
    ("price_kg", "12 EUR", "what a kilo of greens costs in the shop"),
)
"""Keys of the table, an example of each, and what it means."""
