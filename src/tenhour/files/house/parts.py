"""The tables of one house file, each checked on its own, so that one bad table hides nothing in the others."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final, TypeVar

from tenhour.files.house.schema import (
    SCHEMA,
    AirTable,
    BedTable,
    BoxTable,
    CalibrationTable,
    CoverTable,
    FaceTable,
    HouseholdTable,
    HouseTable,
    LampsTable,
    LearnedTable,
    NurseryTable,
    OutsideTable,
    SiteTable,
    SurfaceTable,
    WeatherTable,
    WindowTable,
    seen_name,
)
from tenhour.files.house.warmtables import CurtainTable, DraughtTable, HeaterTable, MatTable, StoreTable
from tenhour.files.problems import MOST_KEYS, Problems, Section, dotted, show
from tenhour.files.units_text import BadValueError

S = TypeVar("S", bound=Section)

TOP_KEYS: Final = (
    "schema",
    "name",
    "units",
    "site",
    "weather",
    "house",
    "face",
    "window",
    "surface",
    "box",
    "outside",
    "bed",
    "air",
    "lamps",
    "heat",
    "store",
    "curtain",
    "heater",
    "mat",
    "nursery",
    "cover",
    "calibration",
    "household",
    "learned",
)
MOST_TABLES: Final = 200
"""Beds, windows, boxes and surfaces one house may have of each. Judgement."""
UNITS: Final = ("metric", "us")

Listed = tuple[tuple[str, S], ...]
"""Tables of a list with the dotted key each goes by."""


@dataclass
class Parts:
    """What could be read of a house file; a table with problems is left out."""

    name: str = ""
    us_units: bool = False
    given: frozenset[str] = frozenset()
    site: SiteTable | None = None
    weather: WeatherTable = field(default_factory=WeatherTable)
    house: HouseTable | None = None
    house_cover: str | None = None
    """The cover [house] names, even where its other keys have problems."""
    faces: dict[str, FaceTable] = field(default_factory=dict)
    windows: Listed[WindowTable] = ()
    surfaces: Listed[SurfaceTable] = ()
    boxes: Listed[BoxTable] = ()
    outside: Listed[OutsideTable] = ()
    beds: Listed[BedTable] = ()
    air: AirTable = field(default_factory=AirTable)
    lamps: Listed[LampsTable] = ()
    heat: DraughtTable = field(default_factory=DraughtTable)
    stores: Listed[StoreTable] = ()
    curtain: CurtainTable | None = None
    heaters: Listed[HeaterTable] = ()
    mats: Listed[MatTable] = ()
    nursery: NurseryTable | None = None
    covers: dict[str, CoverTable] = field(default_factory=dict)
    calibration: CalibrationTable | None = None
    household: HouseholdTable | None = None
    learned: LearnedTable = field(default_factory=LearnedTable)
    learned_crops: dict[str, LearnedTable] = field(default_factory=dict)
    bad_covers: frozenset[str] = frozenset()
    """Own covers with problems: named, so naming them elsewhere is no problem of its own."""


def read_parts(raw: Mapping[str, Any], problems: Problems) -> Parts:
    """Check every table of a house file.

    Parameters: raw, the file as TOML reads it; problems, where whatever is wrong is noted.
    """
    if len(raw) > MOST_KEYS:
        problems.add("", f"{len(raw)} keys", f"up to {MOST_KEYS}", "Is this the right file?")
        raw = {key: value for key, value in raw.items() if key in TOP_KEYS}
    for key in raw:
        if key not in TOP_KEYS:
            problems.unknown(dotted([key]), TOP_KEYS)
    parts = Parts(given=frozenset(raw))
    _read_head(raw, parts, problems)
    if _present(raw, "site", problems):
        parts.site = problems.read(SiteTable, raw["site"], "site")
    parts.weather = problems.read(WeatherTable, raw.get("weather", {}), "weather") or WeatherTable()
    if _present(raw, "house", problems):
        parts.house = problems.read(HouseTable, raw["house"], "house")
        cover = raw["house"].get("cover") if isinstance(raw["house"], Mapping) else None
        parts.house_cover = cover if isinstance(cover, str) else None
    parts.faces = _named(raw, "face", FaceTable, problems)
    parts.covers = _named(raw, "cover", CoverTable, problems)
    parts.windows = _listed(raw, "window", WindowTable, problems)
    parts.surfaces = _listed(raw, "surface", SurfaceTable, problems)
    parts.boxes = _listed(raw, "box", BoxTable, problems)
    parts.outside = _listed(raw, "outside", OutsideTable, problems)
    parts.beds = _listed(raw, "bed", BedTable, problems)
    parts.lamps = _listed(raw, "lamps", LampsTable, problems)
    _read_warmth(raw, parts, problems)
    for key, section in (("nursery", NurseryTable), ("calibration", CalibrationTable), ("household", HouseholdTable)):
        if key in raw:
            setattr(parts, key, problems.read(section, raw[key], key))
    _read_learned(raw.get("learned", {}), parts, problems)
    own = raw.get("cover")
    parts.bad_covers = frozenset(own) - frozenset(parts.covers) if isinstance(own, Mapping) else frozenset()
    if not raw.get("bed") and not isinstance(raw.get("bed"), Mapping):
        do = "Add [[bed]] with name, at_m = [x, y] and size_m = [length, width]."
        problems.add("bed", "nothing", "at least one bed", do)
    return parts


def _read_learned(given: object, parts: Parts, problems: Problems) -> None:
    """[learned], whose tables [learned.crop.NAME] go by crop."""
    if not isinstance(given, Mapping):
        problems.add("learned", show(given), "a table", "tenhour learn --keep writes it.")
        return
    own = {key: value for key, value in given.items() if key != "crop"}
    parts.learned = problems.read(LearnedTable, own, "learned") or LearnedTable()
    crops = given.get("crop", {})
    if not isinstance(crops, Mapping) or not all(isinstance(entry, Mapping) for entry in crops.values()):
        problems.add(
            "learned.crop", show(crops), "tables like [learned.crop.spinach]", "tenhour learn --keep writes them."
        )
        return
    read = {
        name: problems.read(LearnedTable, entry, dotted(["learned", "crop", name])) for name, entry in crops.items()
    }
    parts.learned_crops = {name: entry for name, entry in read.items() if entry is not None}


def _read_warmth(raw: Mapping[str, Any], parts: Parts, problems: Problems) -> None:
    parts.stores = _listed(raw, "store", StoreTable, problems)
    parts.heaters = _listed(raw, "heater", HeaterTable, problems)
    parts.mats = _listed(raw, "mat", MatTable, problems)
    if "heat" in raw:
        parts.heat = problems.read(DraughtTable, raw["heat"], "heat") or DraughtTable()
    if "curtain" in raw:
        parts.curtain = problems.read(CurtainTable, raw["curtain"], "curtain")
    if "air" in raw:
        parts.air = problems.read(AirTable, raw["air"], "air") or AirTable()


def _read_head(raw: Mapping[str, Any], parts: Parts, problems: Problems) -> None:
    schema = raw.get("schema", SCHEMA)
    if schema != SCHEMA or isinstance(schema, bool):
        problems.add("schema", show(schema), str(SCHEMA), f"Write schema = {SCHEMA}, or use a newer tenhour.")
    name = raw.get("name", "")
    if not isinstance(name, str):
        problems.add("name", show(name), "text on one line", "Put it in double quotes.")
    elif name.strip():
        try:
            parts.name = seen_name(name)
        except BadValueError as error:
            problems.add("name", show(name), error.allowed, error.do)
    units = raw.get("units", UNITS[0])
    if units in UNITS:
        parts.us_units = units == UNITS[1]
    else:
        problems.add("units", show(units), '"metric" or "us"', "It sets what answers are printed in.")


def _present(raw: Mapping[str, Any], key: str, problems: Problems) -> bool:
    if key in raw:
        return True
    problems.add(key, "nothing", "this table is needed", f"Add [{key}] and its keys.")
    return False


def _named(raw: Mapping[str, Any], kind: str, section: type[S], problems: Problems) -> dict[str, S]:
    """Read tables like [face.north]."""
    tables = raw.get(kind, {})
    if not isinstance(tables, Mapping) or not all(isinstance(entry, Mapping) for entry in tables.values()):
        problems.add(kind, show(tables), f"tables with a name, like [{kind}.NAME]", "Name each.")
        return {}
    if len(tables) > MOST_TABLES:
        problems.add(kind, f"{len(tables)} tables", f"up to {MOST_TABLES}", "Is this the right file?")
        return {}
    read = {name: problems.read(section, entry, dotted([kind, name])) for name, entry in tables.items()}
    return {name: entry for name, entry in read.items() if entry is not None}


def _listed(raw: Mapping[str, Any], kind: str, section: type[S], problems: Problems) -> Listed[S]:
    """Read tables like [[bed]]."""
    tables = raw.get(kind, [])
    if not isinstance(tables, list):
        problems.add(kind, show(tables), "a list of tables", f"Write [[{kind}]] with double brackets.")
        return ()
    if len(tables) > MOST_TABLES:
        problems.add(kind, f"{len(tables)} tables", f"up to {MOST_TABLES}", "Is this the right file?")
        return ()
    keys = [_table_key(kind, number, entry) for number, entry in enumerate(tables)]
    read = [(key, problems.read(section, entry, key)) for key, entry in zip(keys, tables, strict=True)]
    return tuple((key, entry) for key, entry in read if entry is not None)


def _table_key(kind: str, number: int, entry: object) -> str:
    """A table goes by its name, or else by its place in the list, counted from 1."""
    name = entry.get("name") if isinstance(entry, Mapping) else None
    return dotted([kind, name.strip()]) if isinstance(name, str) and name.strip() else dotted([kind, number])
