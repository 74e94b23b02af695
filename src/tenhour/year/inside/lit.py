"""Lamps as light by day of the year: what they add to a bed, how long they make its day, what their fixtures shade."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import ARGUMENT, FileProblem, NoAnswer, Problem
from tenhour.lamps.cost import heat_w
from tenhour.lamps.timer import DayPlan, Window, lamp_season, lit_union_h, span_h
from tenhour.model.house import BedLamps, House, HungLamps
from tenhour.model.lamp import Lamp
from tenhour.plan.dates import DAYS, MONTH_OF_DAY, day_index
from tenhour.plan.lamp_clock import MONTHS, SunClock, month_plans
from tenhour.plan.lamp_hang import Hanging, hang_given
from tenhour.units import dli_from_ppfd
from tenhour.words import lamps as words
from tenhour.year.inside.beds import BedYear
from tenhour.year.inside.lampplace import place_of, standard_offset_h, sun_clock
from tenhour.year.inside.scene import no_light_leaves, scene_of
from tenhour.year.outside.sunlight import CLOCK_YEAR, house_clock_h

if TYPE_CHECKING:
    from tenhour.model.lamp_answer import ClockMonth, LampAnswer

Array = NDArray[np.float64]
Days = NDArray[np.bool_]

SHORT_OF_MOL_M2_D: Final = 12.0
"""Lamps without dates burn while daylight on the bed is below this (Plants 13:652, 2024: leafy greens 12 or more)."""
LONGEST_H: Final = 16.0
"""Lamps with hours, but no clock, do not make the day longer than this with the sun's. Practice."""


DAY_H: Final = 24


class _Month(NamedTuple):
    """One month with lamps: hours they burn, hours lit by sun or lamps, civil daylight and lamps together."""

    lamp_h: float = 0.0
    lit_h: float = 0.0
    photoperiod_h: float = 0.0


def lit_house(house: House, plans: Sequence[LampAnswer]) -> House:
    """The house with the lamps of some plans over its beds, in the place of what hangs there."""
    return replace(house, planned=tuple(planned_lamps(plan) for plan in plans))


def planned_lamps(plan: LampAnswer) -> BedLamps:
    """Lamps of one plan by day, as they are run.

    Errors: NoAnswer for lamps over trays, which light no bed of the house.
    """
    if plan.chosen == "seedlings":
        raise NoAnswer(words.NOT_OVER_A_BED())
    shade = 0.0 if plan.layout is None else plan.layout.shade_frac
    return clocked_lamps(plan.bed, plan.clock, plan.on_from, plan.off_from, shade)


def hung_values(plan: LampAnswer, lamp: Lamp) -> dict[str, object]:
    """The lamps of a plan as the keys and values of one [[lamps]] of a house file, with the light they are run at.

    Parameters: plan, with lamps; lamp, the kind or file it was made with.
    Errors: FileProblem or NoAnswer for a lamp that no house file can name, or shelves above one another.
    """
    layout = plan.layout
    if layout is None:
        raise NoAnswer("Nothing to keep, and nothing was written: no lamp is needed.")
    if plan.chosen == "seedlings":
        raise NoAnswer(words.NOT_OVER_A_BED())
    if lamp.origin and not lamp.origin.endswith(".toml"):
        do = "Write it into a lamp file, NAME.toml, beside the house file first."
        raise FileProblem([Problem(ARGUMENT, "lamp", lamp.title, "a kind of lamp, or a lamp file", do)])
    if plan.tiers_count > 1:
        raise FileProblem([Problem(ARGUMENT, "tiers", str(plan.tiers_count), "one bed", "Keep them bed by bed.")])
    ends = plan.on_from, plan.off_from
    first, last = (date(CLOCK_YEAR, 1, 1), date(CLOCK_YEAR, 12, 31)) if ends[0] is None or ends[1] is None else (
        ends[0], ends[1] - timedelta(days=1))  # fmt: skip
    return {
        "bed": plan.bed,
        **({"file": lamp.origin} if lamp.origin else {"kind": lamp.key}),
        "power_w": layout.fixture_w,
        "count": layout.each_count,
        "height_m": round(layout.height_m, 2),
        "hours": [round(month.lamp_h, 2) for month in plan.clock],
        **({} if plan.longest_h is None else {"longest_h": round(plan.longest_h, 2)}),
        "ppfd_umol_m2_s": round(max(month.ppfd_umol_m2_s for month in plan.clock), 1),
        "burn_from": f"{first:%m-%d}",
        "burn_to": f"{last:%m-%d}",
    }


def clocked_lamps(
    bed: str, clock: Sequence[ClockMonth], on_from: date | None, off_from: date | None, shade_frac: float
) -> BedLamps:
    """Lamps over a bed by day, from their clock.

    Parameters: bed, its name; clock of twelve months; on_from, off_from, days between which they hang; shade_frac, of
        daylight that they then take.
    """
    clock = sorted(clock, key=lambda month: month.month)
    burns = np.array([bool(month.windows) for month in clock])
    hang = _days_between(on_from, off_from)
    months = [_Month(month.lamp_h, month.lit_h, month.photoperiod_h) for month in clock]
    flux = np.array([month.ppfd_umol_m2_s for month in clock])[MONTH_OF_DAY - 1]
    return _by_day(bed, hang & burns[MONTH_OF_DAY - 1], hang, months, flux, shade_frac)


def lamps_over(house: House, beds: Sequence[BedYear]) -> tuple[BedLamps, ...]:
    """Lamps planned for a house and, over its other beds, those of its file.

    Parameters: house; beds, their daylight with nothing hung over them.
    Errors: FileProblem for lamps that do not fit where they are said to hang.
    """
    taken = {lamps.bed for lamps in house.planned}
    by_name = {bed.name: bed for bed in beds}
    own = [hung for hung in house.lamps if hung.bed in by_name and hung.bed not in taken]
    return (*house.planned, *(_hung_lamps(house, hung, by_name[hung.bed]) for hung in own))


def with_lamps(bed: BedYear, over: Sequence[BedLamps]) -> BedYear:
    """The bed with the light its lamps add, and without what their fixtures take away while they hang."""
    for lamps in over:
        if lamps.bed == bed.name:
            left, more = 1.0 - np.array(lamps.shade_frac), np.array(lamps.dli_mol_m2_d)
            bed = replace(
                bed,
                class_dli_mol_m2_d=bed.class_dli_mol_m2_d * left[:, None] + more[:, None],
                point_dli_mol_m2_d=bed.point_dli_mol_m2_d * left[:, None] + more[:, None],
                beam_dli_mol_m2_d=bed.beam_dli_mol_m2_d * left,
                sky_dli_mol_m2_d=bed.sky_dli_mol_m2_d * left,
                bounced_dli_mol_m2_d=bed.bounced_dli_mol_m2_d * left,
                lamps_dli_mol_m2_d=more,
                unlit=bed,
            )
    return bed


def lamp_hours_h(
    house: House, beds: Sequence[BedYear], over: Sequence[BedLamps]
) -> list[tuple[HungLamps, Array, float]]:
    """Lamps of a house file with the hours they burn by day of the year [365] and the power they draw together [W].

    Parameters: house; beds, whose daylight says on which days lamps without dates burn; over, what burns over them.
    """
    found = _drawing(house, beds, over)
    sun = sun_clock(house, date(CLOCK_YEAR, 1, 1)) if found else None
    out = []
    for hung, days, power in found:
        assert sun is not None
        hours = np.array([month.lamp_h for month in _months(hung, sun)])[MONTH_OF_DAY - 1]
        out.append((hung, hours * days, power))
    return out


def lamp_heat_w(house: House, beds: Sequence[BedYear], over: Sequence[BedLamps]) -> Array | None:
    """Heat of the lamps of a house file that stays, by day of the year and hour of the sun's clock [365, 24].

    Parameters: as of :func:`lamp_hours_h`. None where none burn.
    """
    found = _drawing(house, beds, over)
    if not found:
        return None
    sun = sun_clock(house, date(CLOCK_YEAR, 1, 1))
    parts = (clock_heat_w(house, _windows_by_month(hung, sun), power, days) for hung, days, power in found)
    return np.asarray(sum(parts))


def clock_heat_w(house: House, windows: Sequence[Sequence[Window]], power_w: float, days: Days) -> Array:
    """Heat of some lamps that stays in a house, by day of the year and hour of the sun's clock [365, 24].

    Parameters: house; windows on the local clock by month (12); power_w they draw; days on which they burn [365].
    """
    ahead = standard_offset_h(house) - house_clock_h(house.site.longitude_deg)
    edge = np.arange(DAY_H + 1)
    shares = np.zeros((MONTHS, DAY_H))
    for month, of_month in enumerate(windows):
        for window in of_month:
            for turn in (-DAY_H, 0, DAY_H):
                on, off = window.on_h - ahead + turn, window.off_h - ahead + turn
                shares[month] += np.diff(np.clip(edge, on, off))
    heat = float(heat_w(power_w, no_light_leaves(scene_of(house))))
    return np.asarray(heat * shares[MONTH_OF_DAY - 1] * days[:, None])


def _drawing(house: House, beds: Sequence[BedYear], over: Sequence[BedLamps]) -> list[tuple[HungLamps, Days, float]]:
    """Lamps of a house file that burn, on which days, and the power they draw, dimmed as they are [W]."""
    by_name = {bed.name: bed.daylight for bed in beds}
    output = {lamps.key: lamps.output_frac for lamps in over}
    return [
        (hung, _burning_days(hung, by_name[hung.bed]),
         output[hung.key] * hung.count * hung.lamp.sizes[0].power_w)
        for hung in house.lamps if hung.bed in by_name and hung.key in output
    ]  # fmt: skip


def _windows_by_month(hung: HungLamps, sun: SunClock) -> list[tuple[Window, ...]]:
    if hung.windows_h:
        return [tuple(Window(*window) for window in hung.windows_h)] * MONTHS
    return [() if plan is None else plan.windows for plan in _plans(hung, sun)]


def _hung_lamps(house: House, hung: HungLamps, bed: BedYear) -> BedLamps:
    hanging = _hanging(house, hung)
    sun = sun_clock(house, date(CLOCK_YEAR, 1, 1))
    days = _burning_days(hung, bed)
    full = hanging.light.mean_umol_m2_s * hung.lamp.maintenance_frac
    ppfd = full if hung.ppfd_umol_m2_s is None else hung.ppfd_umol_m2_s
    months = _months(hung, sun)
    burns = np.array([month.lamp_h > 0 for month in months])[MONTH_OF_DAY - 1]
    found = _by_day(hung.bed, days & burns, days, months, ppfd, hanging.shade_share)
    output = min(ppfd / full, 1.0) if hung.lamp.dimmable and full > 0 else 1.0
    return replace(found, key=hung.key, output_frac=output)


def _hanging(house: House, hung: HungLamps) -> Hanging:
    bed = next(bed for bed in house.beds if bed.name == hung.bed)
    place = place_of(scene_of(house), bed)
    if place.headroom_m is not None and hung.height_m + hung.lamp.clearance_above_m > place.headroom_m:
        allowed = f"at most {max(place.headroom_m - hung.lamp.clearance_above_m, 0.0):.2f} m above the leaves there"
        raise FileProblem([Problem(house.path, f"{hung.key}.height_m", f"{hung.height_m:g} m", allowed, "Lower them.")])
    found = hang_given(place, hung.lamp, hung.count, hung.height_m)
    if found is None:
        size = hung.lamp.sizes[0]
        what = f"{hung.count} fixtures of {size.length_m:g} by {size.width_m:g} m"
        do = "Give fewer, or a smaller size (power_w)."
        raise FileProblem([Problem(house.path, f"{hung.key}.count", what, "columns and rows that fit the bed", do)])
    return found


def _months(hung: HungLamps, sun: SunClock) -> list[_Month]:
    if hung.windows_h:
        windows = tuple(Window(*window) for window in hung.windows_h)
        hours = sum(window.off_h - window.on_h for window in windows)
        spans = [span_h(windows, float(sun.dawn_h[m]), float(sun.photoperiod_h[m])) for m in range(MONTHS)]
        return [_Month(hours, _lit_h(windows, sun, m), span) for m, span in enumerate(spans)]
    plans = _plans(hung, sun)
    return [
        _Month() if plan is None else _Month(plan.lamp_h, _lit_h(plan.windows, sun, m), plan.photoperiod_h)
        for m, plan in enumerate(plans)
    ]


def windows_on(house: House, hung: HungLamps, on: date) -> tuple[Window, ...]:
    """When lamps of the house file burn on a day, on the local clock; hours without a clock join the day's."""
    if hung.windows_h:
        return tuple(Window(*window) for window in hung.windows_h)
    plan = _plans(hung, sun_clock(house, on))[on.month - 1]
    return () if plan is None else plan.windows


def _plans(hung: HungLamps, sun: SunClock) -> tuple[DayPlan | None, ...]:
    """Windows of each month of lamps that are told by their hours."""
    wanted = np.array(hung.hours_h)
    longest = hung.longest_h or max(LONGEST_H, float(wanted.max()))
    return month_plans(sun, wanted, longest, None, None)


def _lit_h(windows: Sequence[Window], sun: SunClock, month: int) -> float:
    return lit_union_h(windows, float(sun.sunrise_h[month]), float(sun.daylength_h[month]))


def _burning_days(hung: HungLamps, bed: BedYear) -> Days:
    if hung.burn_from is None or hung.burn_to is None:
        return lamp_season(bed.dli_mol_m2_d, SHORT_OF_MOL_M2_D).lamp_days
    first = date(CLOCK_YEAR, *hung.burn_from)
    last = date(CLOCK_YEAR + (hung.burn_to < hung.burn_from), *hung.burn_to)
    return _days_between(first, last + timedelta(days=1))


def _days_between(first: date | None, end: date | None) -> Days:
    """Days of the generic year from a first date up to another; all from there on where there is no end."""
    out = np.zeros(DAYS, dtype=np.bool_)
    if first is not None:
        count = DAYS if end is None else min((end - first).days, DAYS)
        out[(day_index(first) + np.arange(count)) % DAYS] = True
    return out


def _by_day(
    bed: str, on: Days, hang: Days, months: Sequence[_Month], ppfd_umol_m2_s: float | Array, shade: float
) -> BedLamps:
    lamp_h, lit_h, photoperiod_h = (np.array(part)[MONTH_OF_DAY - 1] * on for part in zip(*months, strict=True))
    return BedLamps(
        bed=bed,
        dli_mol_m2_d=tuple(np.asarray(dli_from_ppfd(ppfd_umol_m2_s, lamp_h)).tolist()),
        lit_h=tuple(lit_h.tolist()),
        photoperiod_h=tuple(photoperiod_h.tolist()),
        shade_frac=tuple((shade * hang).tolist()),
    )
