"""What stands by the log: when it is ready, what to do with it, and what should long have been ready."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from tenhour.model.log import LogLine, LogStand, Sowing, Stand, sowings
from tenhour.words import log as words
from tenhour.words.text import joined
from tenhour.year.answers.sow import verdict_of
from tenhour.year.answers.week import stand_of
from tenhour.year.crops.grown import Table


def stands_of_log(table: Table, lines: Sequence[LogLine], on: date) -> tuple[LogStand, ...]:
    """Every sowing that stands on a day, oldest first, with its forecast.

    Parameters: table, grown for the crops of the log; lines; on.
    Method: the dates of the growth table for that crop, bed and day of sowing, as ``season`` and ``sow`` have them.
    """
    open_ones = (one for one in sowings(lines, on) if one.cleared is None)
    return tuple(_stand(table, one, on) for one in open_ones)


def _stand(table: Table, one: Sowing, on: date) -> LogStand:
    base = (one.crop, one.bed, one.sown)
    found = stand_of(table, Stand(one.crop, one.bed, one.sown, one.plants_per_m2, one.fresh_g, one.set_out), on)
    raised = words.RAISED(on=one.set_out) if one.set_out is not None else ""
    dates = (found.ready_from, found.ready_to, found.flowers_from)
    text = joined([found.text, raised], "; ")
    return LogStand(
        *base, found.do, text, *dates, _verdict(table, one), one.set_out, one.variety, _ask(one, found.ready_to, on)
    )


def _verdict(table: Table, one: Sowing) -> str:
    keys, names = [crop.key for crop in table.crops], table.world.bed_names
    if one.crop not in keys or one.bed not in names:
        return ""
    return verdict_of(table, keys.index(one.crop), names.index(one.bed), one.sown).verdict


def _ask(one: Sowing, due: date | None, on: date) -> str:
    """Ask whether it still stands: past its last day, never harvested, and not answered since."""
    if due is None or on <= due or one.first_harvest is not None or one.ready is not None:
        return ""
    if one.stands is not None and one.stands > due:
        return ""
    return words.STILL_THERE(crop=one.crop, bed=one.bed or "-", sown=one.sown, due=due)
