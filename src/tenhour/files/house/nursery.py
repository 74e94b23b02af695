"""The place where plants are raised, from [nursery] of a house file or from options."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from tenhour.files.house.parts import Parts
from tenhour.files.house.schema import AIR_MEAN, DLI_MEAN, LIT_HOURS
from tenhour.files.problems import Problems, show, suggest
from tenhour.files.units_text import BadValueError, Quantity
from tenhour.model.house import Bed, House, Nursery
from tenhour.model.site import MONTHS
from tenhour.words import remarks as words

ROOM_DAY_DEGC: Final = 19.0
ROOM_NIGHT_DEGC: Final = 16.0
"""A heated room in winter, by day and by night: common practice."""
DEFAULT_NAME: Final = "nursery"


def build_nursery(parts: Parts, beds: Sequence[Bed], problems: Problems, notes: list[str]) -> Nursery | None:
    """Return the nursery of a house, or None where the file names none."""
    given = parts.nursery
    if given is None:
        return None
    bed = None
    if given.bed is not None:
        bed = next((own for own in beds if own.name == given.bed), None)
        if bed is None:
            known = [own.name for own in beds]
            problems.add("nursery.bed", f"{show(given.bed)}, a bed this house has not", "", suggest(given.bed, known))
            return None
    if (given.lamp_h is None) != (given.lamp_ppfd_umol_m2_s is None):
        key, other = (
            ("lamp_ppfd_umol_m2_s", "lamp_h") if given.lamp_h is not None else ("lamp_h", "lamp_ppfd_umol_m2_s")
        )
        problems.add(f"nursery.{key}", f"{other} alone", "both or neither", f"Add {key}.")
        return None
    if given.dli_mol_m2_d is not None and given.lamp_h is not None:
        do = "dli_mol_m2_d is all the light there, lamps included. Keep one."
        problems.add("nursery.dli_mol_m2_d", "dli_mol_m2_d and lamps", "one of the two", do)
        return None
    if given.dli_mol_m2_d is None and given.lamp_h is None and bed is None:
        do = "Add lamp_h and lamp_ppfd_umol_m2_s, dli_mol_m2_d, or bed."
        problems.add("nursery", "no light", "light from lamps, as a daily sum, or of a bed", do)
        return None
    if given.lit_h is None and given.lamp_h is None and bed is None:
        notes.append("The nursery is lit as long as the day outdoors: no lit_h was given.")
    return Nursery(
        name=given.name or (DEFAULT_NAME if bed is None else bed.name),
        bed=bed,
        dli_mol_m2_d=given.dli_mol_m2_d,
        lamp_ppfd_umol_m2_s=given.lamp_ppfd_umol_m2_s,
        lamp_h=given.lamp_h,
        lit_h=given.lit_h,
        day_degc=_air(given.day_degc, bed, "day_degc", ROOM_DAY_DEGC, notes),
        night_degc=_air(given.night_degc, bed, "night_degc", ROOM_NIGHT_DEGC, notes),
        mat_degc=given.mat_degc,
        size_m=given.size_m,
    )


def _air(
    given: tuple[float, ...] | None, bed: Bed | None, key: str, room_degc: float, notes: list[str]
) -> tuple[float, ...] | None:
    """Air as given, that of its bed, or that of a heated room."""
    if given is not None or bed is not None:
        return given
    notes.append(words.NURSERY_AIR(air=room_degc, key=key))
    return (room_degc,) * MONTHS


_TYPED: Final[Mapping[str, tuple[str, Quantity]]] = {
    "dli_mol_m2_d": ("--raise-dli", DLI_MEAN),
    "lit_h": ("--raise-hours", LIT_HOURS),
    "day_degc": ("--raise-day", AIR_MEAN),
    "night_degc": ("--raise-night", AIR_MEAN),
}
"""Options by the key they stand for."""


def typed_nursery(house: House, typed: Mapping[str, str | None]) -> Nursery:
    """Return the nursery as typed in options, over that of the house file.

    Parameters: typed, texts by key: bed, dli_mol_m2_d, lit_h, day_degc, night_degc.
    Errors: FileProblem with every problem found.
    """
    problems = Problems("command line")
    values = {key: _number(option, quantity, typed.get(key), problems) for key, (option, quantity) in _TYPED.items()}
    old = house.nursery
    bed, name = (None, DEFAULT_NAME) if old is None else (old.bed, old.name)
    asked = typed.get("bed")
    if asked is not None:
        bed = next((own for own in house.beds if own.name == asked), None)
        name = asked
        if bed is None:
            known = [own.name for own in house.beds]
            problems.add("--raise-bed", f"{show(asked)}, a bed this house has not", "", suggest(asked, known))
    lamps = (None, None) if old is None or values["dli_mol_m2_d"] else (old.lamp_ppfd_umol_m2_s, old.lamp_h)
    dli = values["dli_mol_m2_d"] or (None if old is None or asked is not None else old.dli_mol_m2_d)
    if dli is None and lamps[1] is None and bed is None and not problems.found:
        problems.add("--raise-dli", "nothing", "the light of the place", "Add --raise-dli or --raise-bed.")
    problems.check()
    room = {"day_degc": ROOM_DAY_DEGC, "night_degc": ROOM_NIGHT_DEGC}
    air = {
        key: values[key] or (getattr(old, key) if old is not None else None) or (None if bed else (degc,) * MONTHS)
        for key, degc in room.items()
    }
    lit = values["lit_h"] or (None if old is None else old.lit_h)
    mat = None if old is None or asked is not None else old.mat_degc
    size = None if old is None or asked is not None else old.size_m
    return Nursery(name, bed, dli, *lamps, lit, air["day_degc"], air["night_degc"], mat, size)


def _number(option: str, quantity: Quantity, text: str | None, problems: Problems) -> tuple[float, ...] | None:
    """Twelve times the number typed, with its unit or without."""
    if text is None:
        return None
    try:
        value = quantity(quantity.parse(text, bare=True))
    except BadValueError as error:
        problems.add(option, show(text), error.allowed, error.do)
        return None
    return (value,) * MONTHS
