"""Crop files: strict reading into checked objects, with every problem of every file at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields, replace
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, Final, Literal, cast, get_type_hints

from pydantic import create_model

from tenhour.errors import ARGUMENT, FileProblem, Problem
from tenhour.files.crop_checks import check_crop
from tenhour.files.crop_lines import read_plain
from tenhour.files.find import FACTS_FOLDER, SOURCES_FILE, check_user_folder, crop_files, shipped_folder, user_folder
from tenhour.files.problems import Problems, Section, show
from tenhour.files.textfile import packed_tables, parse_toml, read_text
from tenhour.model import crop as model
from tenhour.model.crop import Crop, Fact, Source, Sourced

SCHEMA: Final = 1
PACKED: Final = "crop_tables.jsonl"
"""Tables of the shipped crop files and of their sources, known good (scripts/pack_tables.py)."""
OWN_SOURCE: Final = "own"
"""Source key a user may give for numbers of their own records."""


class Number(Section):
    """A sourced number as a crop file writes it."""

    value: float
    low: float
    high: float
    source: str
    mark: Literal["read", "second-hand", "memory", "practice", "judgement", "derived"]
    where: str = ""


class SourceRow(Section):
    """One entry of the list of sources."""

    title: str
    kind: str


class FactRow(Section):
    """One finding of a facts file."""

    prop: str
    condition: str
    value: str
    unit: str
    source: str
    mark: Literal["read", "second-hand", "memory", "practice", "judgement", "derived"]
    note: str = ""


SECTIONS: Final = {
    "emergence": model.Emergence,
    "growth": model.Growth,
    "harvest": model.Harvest,
    "tray": model.Tray,
    "climate": model.Climate,
    "light": model.Light,
    "bolting": model.Bolting,
    "sown": model.Sown,
    "raising": model.Raising,
    "keeping": model.Keeping,
    "use": model.Use,
}


@cache
def _schema() -> type[Section]:
    """Return the checker of a whole crop file, made from the fields of the model."""
    parts: dict[str, Any] = {}
    for name, kind in SECTIONS.items():
        hints = get_type_hints(kind)
        items: dict[str, Any] = {
            item.name: (Number, ...) if hints[item.name] is Sourced else (Number | None, None) for item in fields(kind)
        }
        parts[name] = (create_model(name, __base__=Section, **items) | None, None)
    words: dict[str, Any] = {
        "name": (str, ...),
        "way": (Literal[model.WAYS], ...),
        "latin": (str, ""),
        "also": (list[str], []),
        "note": (str, ""),
        "facts": (list[str], []),
    }
    return cast("type[Section]", create_model("crop", __base__=Section, **words, **parts))


def load_crops(folder: Path | None = None) -> tuple[Crop, ...]:
    """Return the crop table in order of key: the shipped crops, overridden and added to by a user's folder.

    Parameters: folder, the user's own crop files; a file named as a shipped one takes its place. A
    ``sources.toml`` there adds sources; the source "own" needs no entry.
    Errors: FileProblem with every problem of every file.
    """
    shipped = shipped_folder()
    sources = load_sources(folder)
    found: dict[str, Crop] = {}
    wrong: list[Problems] = []
    if folder is not None:
        check_user_folder(folder, [path.stem for path in crop_files(shipped)])
    for place in (shipped, *((user_folder(folder),) if folder is not None else ())):
        for path in crop_files(place):
            problems = Problems(_shown(path, place, shipped))
            crop = _of_ours(path, problems) if place == shipped else _read_crop(path, problems, sources)
            if crop is not None:
                found[crop.key] = crop
            if problems.found:
                wrong.append(problems)
    if wrong:
        raise FileProblem([problem for each in wrong for problem in each.found])
    kinds = _kinds()
    return tuple(replace(found[key], serves=kinds.get(key, "")) for key in sorted(found))


def _kinds() -> dict[str, str]:
    """The first kind of food that each crop serves as."""
    from tenhour.files.house.household import household_data
    from tenhour.model.household import WISHES

    usual = household_data()
    tables = (usual["serves"], usual["serves_too"])
    pairs = [(key, kind) for kind in ("store", *reversed(WISHES)) for table in tables for key in table.get(kind, ())]
    return dict(pairs)


def load_sources(folder: Path | None = None) -> dict[str, Source]:
    """Return the list of sources by key: the shipped ones, the user's own, and "own"."""
    found = {OWN_SOURCE: Source(OWN_SOURCE, "The user's own records.", "own"), **_shipped_sources()}
    if folder is not None and (user_folder(folder) / SOURCES_FILE).is_file():
        found.update(_read_sources(folder / SOURCES_FILE, str(folder / SOURCES_FILE)))
    return found


@cache
def _shipped_sources() -> Mapping[str, Source]:
    return _read_sources(shipped_folder() / SOURCES_FILE, SOURCES_FILE)


def _read_sources(path: Path, shown: str) -> dict[str, Source]:
    problems = Problems(shown)
    found: dict[str, Source] = {}
    text = read_text(path)
    known = packed_tables(text, PACKED)
    if known is not None:
        return {key: Source(key, row["title"], row["kind"]) for key, row in known.items()}
    for key, raw in parse_toml(text, shown).items():
        row = problems.read(SourceRow, raw, key)
        if row is not None:
            found[key] = Source(key, row.title, row.kind)
    problems.check()
    return found


def load_facts(crop: Crop) -> tuple[Fact, ...]:
    """Return the further findings kept about a crop. Errors: FileProblem with every problem."""
    found: list[Fact] = []
    sources = load_sources()
    for name in crop.facts:
        path = shipped_folder() / FACTS_FOLDER / f"{name}.toml"
        problems = Problems(path.name)
        rows = parse_toml(read_text(path), path.name).get("fact", [])
        for number, raw in enumerate(rows if isinstance(rows, list) else [rows]):
            row = problems.read(FactRow, raw, f"fact[{number + 1}]")
            if row is None:
                continue
            if row.source not in sources:
                problems.choice(f"fact[{number + 1}].source", row.source, "no known source", list(sources))
            found.append(Fact(**row.model_dump()))
        problems.check()
    return tuple(found)


def load_all_facts(crops: Sequence[Crop]) -> tuple[Fact, ...]:
    """Return the findings kept beside the given crops, each file once."""
    seen: dict[str, Crop] = {}
    for crop in crops:
        for name in crop.facts:
            seen.setdefault(name, crop)
    return tuple(fact for name in sorted(seen) for fact in load_facts(replace(seen[name], facts=(name,))))


def crops_by_name(crops: Sequence[Crop]) -> dict[str, Crop]:
    """Return crops by key and by every other name they go by, as :func:`plain_name` writes names."""
    names = {plain_name(word): crop for crop in crops for word in (crop.name, *crop.also)}
    return names | {crop.key: crop for crop in crops}


def plain_name(text: str) -> str:
    """Return a name in small letters, words joined by hyphens."""
    return "-".join(text.lower().replace("-", " ").replace("_", " ").split())


def find_crop(crops: Sequence[Crop], name: str) -> Crop:
    """Return the crop of a key, or of another name it goes by. Errors: FileProblem with the closest names."""
    names = crops_by_name(crops)
    if plain_name(name) in names:
        return names[plain_name(name)]
    problems = Problems(ARGUMENT)
    problems.choice("crop", name, "no crop of the table", list(names))
    raise FileProblem(problems.found)


def _shown(path: Path, place: Path, shipped: Path) -> str:
    """Return the name to show: short for shipped files, the whole path for the user's."""
    return path.name if place == shipped else str(path)


def _of_ours(path: Path, problems: Problems) -> Crop | None:
    """Read a shipped crop file; the same text is checked once, however often a page or a notebook asks for crops."""
    crop, found = _checked(path, read_text(path))
    problems.found.extend(found)
    return crop


@lru_cache(maxsize=256)
def _checked(path: Path, text: str) -> tuple[Crop | None, tuple[Problem, ...]]:
    problems = Problems(path.name)
    return _crop_of(path, text, problems, load_sources()), tuple(problems.found)


def _read_crop(path: Path, problems: Problems, sources: Mapping[str, Source]) -> Crop | None:
    """Read one crop file; note its problems."""
    try:
        return _crop_of(path, read_text(path), problems, sources)
    except FileProblem as error:
        problems.found.extend(error.problems)
        return None


def _crop_of(path: Path, text: str, problems: Problems, sources: Mapping[str, Source]) -> Crop | None:
    known = packed_tables(text, PACKED)
    if known is not None:
        return _crop(path.stem, problems.file, known)
    raw = read_plain(text) or parse_toml(text, problems.file)
    if raw.pop("schema", None) != SCHEMA:
        problems.add("schema", "another or none", str(SCHEMA), f"Write schema = {SCHEMA} on the first line.")
    read = problems.read(_schema(), raw, "")
    if read is None:
        return None
    before = len(problems.found)
    check_crop(raw, problems, sources)
    _check_needs(raw["way"], raw, problems)
    return _crop(path.stem, problems.file, raw) if len(problems.found) == before else None


def _crop(key: str, origin: str, raw: Mapping[str, Any]) -> Crop:
    """A crop of checked tables."""
    parts: dict[str, Any] = {
        name: _section(kind, raw[name]) if name in raw else None for name, kind in SECTIONS.items()
    }
    words = {name: raw[name] for name in ("name", "way", "latin", "note") if name in raw}
    also, facts = (tuple(raw.get(name, ())) for name in ("also", "facts"))
    return Crop(key=key, origin=origin, also=also, facts=facts, **words, **parts)


def _check_needs(way: str, raw: Mapping[str, Any], problems: Problems) -> None:
    for section in model.NEEDED[way]:
        if section not in raw:
            problems.add(section, "nothing", f"a table, because way = {show(way)}", f"Add [{section}].")
    harvest = raw.get("harvest")
    if harvest is not None and not {"target_g", "leaves_count"} & set(harvest):
        problems.add("harvest.target_g", "nothing", "a mass, or harvest.leaves_count", "Add one of them.")


def _section(kind: type[Any], table: Mapping[str, Mapping[str, Any]]) -> Any:
    """Turn one checked table into its model object."""
    return kind(**{name: _sourced(number) for name, number in table.items()})


def _sourced(number: Mapping[str, Any]) -> Sourced:
    value, low, high = (float(number[part]) for part in ("value", "low", "high"))
    return Sourced(value, low, high, number["source"], number["mark"], number.get("where", ""))
