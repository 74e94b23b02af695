"""The readings answer: light and warmth as measured, against the model, and what to write in the house file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

import numpy as np
import pandas as pd

from tenhour.model.house import House, cautions_of
from tenhour.model.readings import BedFactor, Change, Proposal, ReadAnswer, Readings
from tenhour.model.results import Basis
from tenhour.year.inside.panes import fitted_factor
from tenhour.year.readings.readheat import heat_found
from tenhour.year.readings.readlight import LightTools, light_found
from tenhour.year.readings.readwarmth import warmth_found
from tenhour.year.year import Year


def read_answer(year: Year, readings: Readings, tools: LightTools) -> ReadAnswer:
    """What readings say of a house; warmth by place is held against the crops of the year.

    Errors: FileProblem for readings that cannot be; OutOfRange where there are no climate data near.
    """
    house = year.house
    light = light_found(house, year.sources, readings, tools)
    warm = warmth_found(year, readings)
    heat, loss = heat_found(year, readings.temperature)
    changes = (*_calibration(light.beds, readings, house), *warm.changes, *loss)
    times = [part.time for part in (readings.light, readings.temperature) if part is not None]
    first, last = (_local(pick(np.concatenate([t.asi8 for t in times])), house) for pick in (np.min, np.max))
    notes = (*readings.notes, *light.notes, *warm.notes)
    return ReadAnswer(
        basis=Basis(_inputs(house, readings), notes, warm.warnings, cautions_of(house)),
        file=readings.file,
        readings_count=sum(len(t) for t in times),
        first=first,
        last=last,
        beds=light.beds,
        days=light.days,
        lamps=light.lamps,
        months=warm.months,
        spots=warm.spots,
        heat=heat,
        hang=warm.hang,
        thermostat=warm.thermostat,
        proposal=Proposal(changes, tuple(line for change in changes for line in change_lines(change, house)))
        if changes
        else None,
    )


def kept(answer: ReadAnswer, where: str) -> ReadAnswer:
    """Return the answer with its proposal marked as written."""
    if answer.proposal is None:
        return answer
    return replace(answer, proposal=replace(answer.proposal, kept_in=where))


def _local(microseconds: np.int64, house: House) -> date:
    stamp = pd.Timestamp(int(microseconds), unit="us", tz="UTC").tz_convert(house.site.timezone)
    return date(stamp.year, stamp.month, stamp.day)


def _inputs(house: House, readings: Readings) -> dict[str, object]:
    return {"house": house.path or "built-in demo house", "file": readings.file}


def _calibration(beds: Sequence[BedFactor], readings: Readings, house: House) -> tuple[Change, ...]:
    good = [bed for bed in beds if bed.factor is not None]
    if not good or readings.light is None:
        return ()
    before = {bed.name: fitted_factor(house, bed.name) for bed in house.beds}
    factor = {name: value for name, value in before.items() if value is not None}
    factor |= {bed.bed: round(float(bed.factor or 0.0), 3) for bed in good}
    day = _local(np.max(readings.light.time.asi8), house)
    values = {"factor": factor, "readings": sum(bed.used_count for bed in good), "date": day}
    spans = ", ".join(f"{bed.bed} {bed.low:.2f}-{bed.high:.2f}" for bed in good)
    return (Change("calibration", values, remark=f"90 % intervals: {spans}"),)


def change_lines(change: Change, house: House) -> list[str]:
    """Return a change as lines of a house file."""
    if change.table == "bed" and change.bed_index is not None:
        head = f'[[bed]]  # name = "{house.beds[change.bed_index].name}"'
    else:
        head = f"[{change.table}]"
    lines = [head + (f"  # {change.remark}" if change.remark and change.table != "bed" else "")]
    return lines + [f"{key} = {_toml(value)}" for key, value in change.values.items()]


def _toml(value: object) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{_key(str(key))} = {_toml(item)}" for key, item in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(_toml(item) for item in value) + "]"
    if isinstance(value, bool):
        return str(value).lower()
    return value.isoformat() if isinstance(value, date) else f"{value}"


def _key(text: str) -> str:
    plain = text.isascii() and text.replace("-", "").replace("_", "").isalnum()
    quoted = text.replace("\\", "\\\\").replace('"', '\\"')
    return text if plain else f'"{quoted}"'
