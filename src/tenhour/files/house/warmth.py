"""What keeps a house warm: air, draughts, water, curtains and heaters, each checked against the rest of the house."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from tenhour.files.house.inside import check_names
from tenhour.files.house.parts import Listed, Parts
from tenhour.files.house.schema import BoxTable
from tenhour.files.house.shape import groups_of
from tenhour.files.house.warmtables import CurtainTable, HeaterTable, MatTable
from tenhour.files.problems import Problems, show, suggest
from tenhour.model.cover import Cover
from tenhour.model.house import Air, Bed, Curtain, Draughts, Heater, HeaterKind, Mat, Store
from tenhour.model.site import MONTHS
from tenhour.words import remarks as words

EFFICIENCY: Final[Mapping[HeaterKind, float]] = {"electric": 1.0, "gas-flued": 0.8, "heat-pump": 1.0, "stove": 0.6}
"""Where the file says nothing; a stove must say. Flued gas heaters 0.75-0.9: memory."""
MAT_DEGC: Final = 20.0
MAT_W_M2: Final = 70.0
"""Held among the roots, 18-24 °C, and what suffices on the coldest night: 47-79 W per m² of bench. Practice; read in a
trade paper that quotes a university's extension service."""
WATER_REFLECTANCE: Final = 0.1
"""Dark drums: practice."""


def build_air(parts: Parts, problems: Problems, notes: list[str]) -> Air:
    """Return the air the grower states or asks for; what contradicts itself is noted."""
    given = parts.air
    vent = Air.vent_degc if given.vent_degc is None else given.vent_degc
    for half in ("day", "night"):
        mean, set_point = f"{half}_degc", f"{half}_set_degc"
        if getattr(given, mean) is not None and getattr(given, set_point) is not None:
            found = f"{mean} and {set_point}"
            do = f"{mean} is how warm it is; {set_point} is where the heater comes on. Keep one."
            problems.add(f"air.{set_point}", found, "one of the two", do)
        if getattr(given, mean) is None and getattr(given, set_point) is None:
            notes.append(f"Unheated by {half}: neither {mean} nor {set_point} was given.")
        above = [value for value in getattr(given, set_point) or () if value > vent]
        if above:
            found = f"{above[0]:g} °C, above the {vent:g} °C at which the vents open"
            do = "Lower it, or say at what warmth the vents open: [air] vent_degc."
            problems.add(f"air.{set_point}", found, f"up to {vent:g} °C", do)
    if given.night_degc is not None and given.night_min_degc is not None:
        colder = [m + 1 for m in range(MONTHS) if given.night_min_degc[m] > given.night_degc[m]]
        if colder:
            found = f"above night_degc in month {', '.join(map(str, colder))}"
            problems.add("air.night_min_degc", found, "the coldest night of each month", "Lower it.")
    if given.night_min_degc is None:
        notes.append("The coldest nights come from the heat of the house by the hour: no night_min_degc was given.")
    swing = Air.swing_k if given.swing_k is None else given.swing_k
    held = given.held is not False
    if not held and given.day_degc is None and given.night_degc is None:
        do = "It goes with day_degc and night_degc that were read where nobody heats. Leave it out."
        problems.add("air.held", "false without means", "beside day_degc or night_degc", do)
    return Air(
        given.day_degc, given.night_degc, given.day_set_degc, given.night_set_degc, given.night_min_degc, vent, swing,
        held,
    )  # fmt: skip


def build_draughts(parts: Parts, problems: Problems, notes: list[str]) -> Draughts:
    """Return how the house leaks; a default is noted."""
    given = parts.heat
    if given.leak is not None and given.leak_ach is not None:
        problems.add("heat.leak_ach", "beside leak", "one of the two", "Keep the number if it was measured.")
    if given.leak is None and given.leak_ach is None:
        notes.append(
            "Draughts as in an ordinary house, half an air change an hour and more in wind: no leak was given."
        )
    loss = 1.0 if given.loss_factor is None else given.loss_factor
    wind, edge, paths = given.wind or "sheltered", given.edge or "bare", given.paths or "soil"
    return Draughts(given.leak or "ordinary", given.leak_ach, wind, edge, paths, loss)


def build_stores(parts: Parts, problems: Problems, notes: list[str]) -> tuple[Store, ...]:
    """Return the water; those that have a place are boxes of the house too (:func:`store_boxes`)."""
    check_names("store", parts.stores, problems)
    stores = []
    for number, (key, given) in enumerate(parts.stores):
        if (given.at_m is None) != (given.size_m is None):
            missing = "size_m" if given.size_m is None else "at_m"
            problems.add(key, f"no {missing}", "at_m and size_m, or neither", f"Add {missing} = [x, y, z].")
        name = given.name or f"water {number + 1}"
        stores.append(Store(name, given.litres, given.at_m is not None))
    if any(not store.in_sun for store in stores):
        notes.append("Water without a place (at_m, size_m) stands in the shade and takes no room.")
    return tuple(stores)


def store_boxes(parts: Parts) -> Listed[BoxTable]:
    """The places of stores as boxes."""
    return tuple(
        (key, BoxTable(name=given.name or f"water {number + 1}", at_m=given.at_m, size_m=given.size_m,
                       reflectance=WATER_REFLECTANCE))
        for number, (key, given) in enumerate(parts.stores)
        if given.at_m is not None and given.size_m is not None
    )  # fmt: skip


def build_curtains(
    given: CurtainTable | None, faces: Iterable[str], known: Mapping[str, Cover], problems: Problems
) -> tuple[Curtain, ...]:
    """Return the night curtain; a face that is not there and a cover nobody knows are noted."""
    if given is None:
        return ()
    names = list(faces)
    for name in given.faces:
        if name not in names:
            problems.add("curtain.faces", f"{show(name)}, a face this house has not", "", suggest(name, names))
    if (given.kind is None) == (given.resistance_m2_k_w is None):
        do = 'Write kind = "night-curtain", or resistance_m2_k_w = 0.3.'
        problems.add("curtain", "kind and resistance_m2_k_w" if given.kind else "neither kind nor resistance_m2_k_w",
                     "one of the two", do)  # fmt: skip
        return ()
    resistance = given.resistance_m2_k_w
    if given.kind is not None:
        cover = known.get(given.kind)
        if cover is None or cover.u_w_m2_k is None:
            found = f"{show(given.kind)}, no cover with a U-value"
            problems.add("curtain.kind", found, "", suggest(given.kind, [k for k, c in known.items() if c.u_w_m2_k]))
            return ()
        resistance = 1.0 / cover.u_w_m2_k
    assert resistance is not None
    hung = tuple(name for name in names if any(group in given.faces for group in groups_of(name)))
    return (Curtain(hung, resistance),)


def build_heaters(given: Listed[HeaterTable], problems: Problems) -> tuple[Heater, ...]:
    """Return the heaters; a stove without flue or efficiency is noted."""
    heaters = []
    for key, table in given:
        if table.kind == "stove":
            missing = [name for name in ("flue_mm", "efficiency_frac") if getattr(table, name) is None]
            if missing:
                do = "Read them off the plate: the flue's width decides where it may stand, the efficiency the wood."
                problems.add(key, f"a stove without {' and '.join(missing)}", "flue_mm and efficiency_frac", do)
        share = EFFICIENCY[table.kind] if table.efficiency_frac is None else table.efficiency_frac
        heaters.append(Heater(table.kind, table.power_w, share, table.price, table.flue_mm))
    return tuple(heaters)


def build_mats(given: Listed[MatTable], beds: Sequence[Bed], problems: Problems, notes: list[str]) -> tuple[Mat, ...]:
    """Return the mats under roots, one under a bed; a bed that is not there is noted, and what was taken."""
    known = [bed.name for bed in beds]
    found: list[Mat] = []
    for key, table in given:
        if table.bed not in known:
            problems.add(f"{key}.bed", f"{show(table.bed)}, a bed this house has not", "", suggest(table.bed, known))
            continue
        if table.bed in {other.bed for other in found}:
            problems.add(f"{key}.bed", f"a second [[mat]] under {show(table.bed)}", "one under each bed", "Join them.")
            continue
        if table.months is None:
            notes.append(words.MAT_ALL_YEAR(bed=table.bed))
        if table.set_degc is None or table.power_w_m2 is None:
            notes.append(words.MAT_USUAL(bed=table.bed))
        found.append(Mat(
            table.bed, MAT_DEGC if table.set_degc is None else table.set_degc,
            MAT_W_M2 if table.power_w_m2 is None else table.power_w_m2,
            tuple(range(1, MONTHS + 1)) if table.months is None else table.months, table.price,
        ))  # fmt: skip
    return tuple(found)
