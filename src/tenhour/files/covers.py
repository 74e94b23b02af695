"""The catalogue of covers: strict reading of a TOML file into checked objects, with every problem at once."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any, Final, Literal, cast

from tenhour.files.problems import Problems, Section, dotted, show, suggest
from tenhour.files.textfile import packaged_text, packed_tables, parse_toml
from tenhour.model.cover import OPAQUE, Cover, Source

SCHEMA: Final = 1
CATALOGUE: Final = "covers.toml"
LIGHT_FIELDS: Final = ("normal_trans_frac", "hemispherical_trans_frac")


class Number(Section):
    """A sourced number as the file writes it."""

    value: float | int
    low: float | int
    high: float | int
    source: str
    mark: Literal["read", "second-hand", "memory", "practice", "judgement", "derived"]
    where: str = ""


class CoverRow(Section):
    """One cover as the file writes it."""

    title: str
    kind: Literal["pane", "layer"] = "pane"
    note: str = ""
    panes: Number | None = None
    refractive_index: Number | None = None
    internal_trans_frac: Number | None = None
    normal_trans_frac: Number | None = None
    hemispherical_trans_frac: Number | None = None
    straight_share: Number | None = None
    inside_refl_frac: Number | None = None
    frame_share: Number | None = None
    dirt_share: Number | None = None
    condensation_share: Number | None = None
    snow_share: Number | None = None
    u_w_m2_k: Number | None = None


class CatalogueFile(Section):
    """The whole file; covers and sources are read one by one."""

    schema_: int
    sources: dict[str, str]
    cover: dict[str, Any]


def shipped_covers() -> dict[str, Cover]:
    """Return the covers that travel with the program, by key."""
    return dict(_shipped())


@cache
def _shipped() -> Mapping[str, Cover]:
    text = packaged_text(CATALOGUE)
    known = packed_tables(text)
    if known is None:
        return read_covers(text, CATALOGUE)
    return {key: _made(key, table, known["sources"]) for key, table in known["cover"].items()}


def read_covers(text: str, file: str) -> dict[str, Cover]:
    """Return the covers of a catalogue file by key.

    Parameters: text, TOML; file, its name for messages.
    Raises: FileProblem with every problem found.
    """
    problems = Problems(file)
    raw = dict(parse_toml(text, file))
    raw["schema_"] = raw.pop("schema", None)
    whole = problems.read(CatalogueFile, raw, "")
    problems.check()
    if whole is None or whole.schema_ != SCHEMA:
        problems.add("schema", show(raw["schema_"]), str(SCHEMA), "This program reads only this version.")
        problems.check()
        return {}
    covers = {key: _cover(key, table, whole.sources, problems) for key, table in whole.cover.items()}
    problems.check()
    return {key: cover for key, cover in covers.items() if cover is not None}


def _cover(key: str, table: object, sources: Mapping[str, str], problems: Problems) -> Cover | None:
    at = dotted(["cover", key])
    before = len(problems.found)
    row = problems.read(CoverRow, table, at)
    if row is None:
        return None
    numbers = {name: value for name, value in row if isinstance(value, Number)}
    for name, number in numbers.items():
        _check_number(f"{at}.{name}", name, number, sources, problems)
    _check_light(at, key, numbers, problems)
    if len(problems.found) > before:
        return None
    return _made(key, cast("Mapping[str, Any]", table), sources)


def _made(key: str, table: Mapping[str, Any], sources: Mapping[str, str]) -> Cover:
    """A cover of a checked table."""
    numbers = {name: value for name, value in table.items() if isinstance(value, Mapping)}
    values: dict[str, Any] = {name: float(number["value"]) for name, number in numbers.items()}
    if "panes" in values:
        values["panes"] = int(values["panes"])
    spread = {
        name: Source(float(n["low"]), float(n["high"]), sources[n["source"]], n["mark"], n.get("where", ""))
        for name, n in numbers.items()
    }
    words = {name: value for name, value in table.items() if name not in numbers}
    return Cover(key, sources=spread, **words, **values)


def _check_number(at: str, name: str, number: Number, sources: Mapping[str, str], problems: Problems) -> None:
    if number.source not in sources:
        problems.add(f"{at}.source", show(number.source), "a key of [sources]", suggest(number.source, sorted(sources)))
    if not number.low <= number.value <= number.high:
        problems.add(at, show(number.value), f"{show(number.low)} to {show(number.high)}", "Mend the spread.")
    if (name.endswith(("_frac", "_share"))) and not 0.0 <= number.low <= number.high <= 1.0:
        do = "Fractions, not per cent: did you mean a hundredth of it?"
        problems.add(at, f"{show(number.low)} to {show(number.high)}", "0 to 1", do)


def _check_light(at: str, key: str, numbers: Mapping[str, Number], problems: Problems) -> None:
    measured = [name for name in LIGHT_FIELDS if name in numbers]
    layered = {"refractive_index", "internal_trans_frac"} <= set(numbers)
    if key == OPAQUE:
        if numbers:
            problems.add(at, "numbers for the opaque cover", "a title alone", "Take them out.")
        return
    if len(measured) == 1 or not (measured or layered):
        missing = [name for name in LIGHT_FIELDS if name not in numbers]
        problems.add(at, f"no {' and no '.join(missing)}", "both transmittances, or layers", "Add them.")
        return
    if measured and numbers["hemispherical_trans_frac"].value > numbers["normal_trans_frac"].value:
        found = show(numbers["hemispherical_trans_frac"].value)
        problems.add(f"{at}.hemispherical_trans_frac", found, "at most the normal one", "Did you swap the two?")
    if measured and not layered and "inside_refl_frac" not in numbers:
        problems.add(at, "no inside_refl_frac", "a reflectance, or layers to compute it from", "Add it.")
