"""Lamps that hang in the house, from [[lamps]] of a house file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final

from tenhour.errors import FileProblem
from tenhour.files.house.parts import Parts
from tenhour.files.house.schema import LampsTable
from tenhour.files.lamp import TOML, read_lamp
from tenhour.files.lamp_kinds import load_kinds
from tenhour.files.problems import Problems, show, suggest
from tenhour.model.house import Bed, HungLamps
from tenhour.model.lamp import Lamp, LampSize

SAME_POWER_FRAC: Final = 0.05
"""Powers that differ by less are of one size. Judgement."""


def build_lamps(
    parts: Parts, beds: Sequence[Bed], folder: Path | None, problems: Problems, notes: list[str]
) -> tuple[HungLamps, ...]:
    """Return the lamps of a house; a lamp file is looked for beside the house file."""
    known = {bed.name: bed for bed in beds}
    found: list[HungLamps] = []
    for key, given in parts.lamps:
        before = len(problems.found)
        if given.bed not in known:
            do = suggest(given.bed, list(known))
            problems.add(f"{key}.bed", f"{show(given.bed)}, a bed this house has not", "", do)
        if given.bed in {other.bed for other in found}:
            problems.add(f"{key}.bed", f"a second [[lamps]] over {show(given.bed)}", "one over each bed", "Join them.")
        _check_times(key, given, problems)
        lamp = _lamp(key, given, folder, problems)
        if lamp is None or len(problems.found) > before:
            continue
        one = replace(lamp, sizes=(_size(key, lamp, known[given.bed], given.power_w, notes),))
        times = given.hours or (), given.clock or (), given.burn_from, given.burn_to
        more = given.longest_h, given.ppfd_umol_m2_s
        found.append(HungLamps(given.bed, one, given.count, given.height_m, *times, key, *more))
        if given.burn_from is None:
            notes.append(f"{key}: they burn while daylight on the bed is below 12 mol: no burn_from was given.")
    return tuple(found)


def _check_times(key: str, given: LampsTable, problems: Problems) -> None:
    if (given.hours is None) == (given.clock is None):
        found = "neither hours nor clock" if given.hours is None else "hours and clock"
        do = 'Add hours = 14, or clock = "06:00-20:00".' if given.hours is None else "Keep one."
        problems.add(key, found, "one of the two", do)
    if (given.burn_from is None) != (given.burn_to is None):
        missing = "burn_to" if given.burn_to is None else "burn_from"
        problems.add(f"{key}.{missing}", "nothing", "both or neither", f'Add {missing} = "03-15".')


def _lamp(key: str, given: LampsTable, folder: Path | None, problems: Problems) -> Lamp | None:
    if (given.kind is None) == (given.file is None):
        found = "neither kind nor file" if given.kind is None else "kind and file"
        problems.add(key, found, "one of the two", 'Add kind = "led-bar", or file with your own lamp.')
        return None
    if given.kind is not None:
        kinds = load_kinds()
        if given.kind not in kinds:
            problems.add(f"{key}.kind", show(given.kind), "a kind of lamp", suggest(given.kind, list(kinds)))
        return kinds.get(given.kind)
    path = Path(given.file or "")
    if path.suffix.lower() != TOML:
        do = "It may name a photometric file."
        problems.add(f"{key}.file", show(given.file), "a lamp file, NAME.toml", do)
        return None
    try:
        return read_lamp(path if folder is None else folder / path)
    except FileProblem as error:
        problems.found.extend(error.problems)
        return None


def _size(key: str, lamp: Lamp, bed: Bed, power_w: float | None, notes: list[str]) -> LampSize:
    """The size whose power was given, or else the longest that is no longer than the bed."""
    if power_w is None:
        fitting = [size for size in lamp.sizes if size.length_m <= max(bed.size_m)]
        if fitting:
            found = max(fitting, key=lambda size: size.length_m)
        else:
            found = min(lamp.sizes, key=lambda size: size.length_m)
        if len(lamp.sizes) > 1:
            notes.append(f"{key}: {lamp.title} of {found.power_w:g} W and {found.length_m:g} m: no power_w was given.")
        return found
    found = min(lamp.sizes, key=lambda size: abs(size.power_w - power_w))
    if abs(found.power_w - power_w) <= SAME_POWER_FRAC * power_w:
        return found
    notes.append(f"{key}: {lamp.title} of {power_w:g} W is taken to be as long as that of {found.power_w:g} W.")
    return replace(found, power_w=power_w, ppf_umol_s=found.ppf_umol_s * power_w / found.power_w)
