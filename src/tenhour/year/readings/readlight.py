"""Light readings against the model: possible or not, the factor of each bed, sums of days, lamps at night."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tenhour.errors import FileProblem, Problem
from tenhour.model.house import House
from tenhour.model.readings import OUTSIDE, BedFactor, DayOfLight, LampSpot, LightReadings, Readings
from tenhour.model.spectrum import LightUnit, Meter, Spectrum
from tenhour.plan.daysum import LEAST_SHARE, clock_text, day_sum
from tenhour.plan.housefit import BedPairs, judge, nonsense, usable
from tenhour.plan.meter import Photons, bias_frac, pair_up, photons
from tenhour.plan.possible import NIGHT_DEG, SHIFTS_H, ClockCheck, clock_check, impossible
from tenhour.units import UMOL_PER_J_GLOBAL
from tenhour.words import readings as words
from tenhour.words.text import joined
from tenhour.year.inside.moments import moments_inside, sun_at
from tenhour.year.inside.panes import common_losses_frac, fitted_factor
from tenhour.year.outside.sunlight import CLASSES, Sources, house_clock_h, usual_light

Array = NDArray[np.float64]
Index = NDArray[np.intp]

MOST_PAIRS: Final = 4000
"""More pairs of a logger are thinned evenly: they say no more. Judgement."""
MOST_CHECKED: Final = 1500
LAMP_UMOL_M2_S: Final = 3.0
"""Indoor light at night beyond this means that lamps burn; some 200 lux. Judgement."""
LAMP_COUNT: Final = 3
DAYLIGHT: Final = "daylight"
STEP_S: Final = 600
DAY_S: Final = 86400
DAY_H: Final = 24
HALF_HOUR: Final = 0.5
SKY_SAME_FRAC: Final = 0.1
"""Light of the open nearer to the usual than this is called usual: the meter's own error. Judgement."""
LEAST_USUAL_UMOL_M2_S: Final = 20.0
"""Hours darker than this in a usual year say nothing of the sky. Judgement."""
FEWEST_DAYS: Final = 7
"""Days of readings before they are more than their own weather. Practice."""
FEWEST_A_DAY: Final = 4
LAMP_SDS: Final = 1.64
"""Half width of a 90 % interval of a normal spread in standard deviations: textbook."""


@dataclass(frozen=True)
class LightTools:
    """Packaged tables that readings are judged with, and whether one meter took them all (None: not said)."""

    spectra: Mapping[str, Spectrum]
    meters: Mapping[LightUnit, Meter]
    one_meter: bool | None = None


@dataclass(frozen=True)
class LightFound:
    """What the light readings of one file say."""

    beds: tuple[BedFactor, ...]
    days: tuple[DayOfLight, ...]
    lamps: tuple[LampSpot, ...]
    notes: tuple[str, ...]


def light_found(house: House, sources: Sources, readings: Readings, tools: LightTools) -> LightFound:
    """Compare light readings with the model.

    Errors: FileProblem for readings that cannot be: wrong clock, light at night, exchanged columns; OutOfRange for
    lux under lamps a lux meter is blind to.
    """
    taken = readings.light
    if taken is None:
        return LightFound((), (), (), ())
    light = photons(taken.value, taken.unit, taken.light, tools.spectra)
    height = sun_at(house, taken.time)[0]
    sunlit = taken.light == DAYLIGHT
    outside = np.flatnonzero(sunlit & (taken.place == OUTSIDE))
    inside = np.flatnonzero(sunlit & (taken.place != OUTSIDE))
    _check_clock(house, readings, taken, light.ppfd_umol_m2_s, outside)
    one_meter = not readings.regular if tools.one_meter is None else tools.one_meter
    notes = _notes(taken, readings, one_meter, tools)
    beds = _factors(house, sources, readings, taken, light, (inside, outside), one_meter, tools)
    lit = _lamps_on(taken, light.ppfd_umol_m2_s, inside, height)
    beds = tuple(_without_lamps(_blamed(house, sources, taken, light, outside, bed), lit) for bed in beds)
    days = _days(house, taken, light.ppfd_umol_m2_s, np.concatenate([outside, inside]))
    return LightFound(beds, days, _lamps(taken, light, ~sunlit, tools), tuple(notes))


def _notes(taken: LightReadings, readings: Readings, one_meter: bool, tools: LightTools) -> list[str]:
    notes = []
    if (taken.unit == "lux").any():
        lux = tools.spectra[DAYLIGHT].lux_umol
        if lux is not None and ((taken.unit == "lux") & (taken.light == DAYLIGHT)).any():
            notes.append(f"Lux of daylight divided by {lux.value:g} ({lux.low:g}-{lux.high:g}) to get µmol m⁻² s⁻¹.")
    if (taken.unit == "w_m2").any():
        notes.append("W m⁻² taken as global radiation: 2.018 µmol per joule, less sure behind panes.")
    if len(np.unique(taken.place)) > 1:
        same = "one meter, so its own error falls out of the ratio" if one_meter else "two meters, whose errors add"
        notes.append(f"Inside and outside taken as read with {same} (--meters one or two to say otherwise).")
    return notes


def _check_clock(house: House, readings: Readings, taken: LightReadings, ppfd: Array, which: Index) -> None:
    """Raise FileProblem where light in the open cannot be at the stamps."""
    if not len(which):
        return
    chosen = which[np.unique(np.linspace(0, len(which) - 1, min(len(which), MOST_CHECKED)).astype(np.intp))]
    time = taken.time[chosen]
    moved = np.stack([sun_at(house, time + pd.Timedelta(hours=float(shift)))[0] for shift in SHIFTS_H])
    found = clock_check(ppfd[chosen], moved)
    here = int(np.flatnonzero(SHIFTS_H == 0.0)[0])
    if found.shift_h is None and found.at_night_count < LAMP_COUNT:
        return
    worst = chosen[int(np.argmax(np.where(impossible(ppfd[chosen], moved[here]), -moved[here], -np.inf)))]
    sun = float(sun_at(house, taken.time[[worst]])[0][0])
    at = taken.time[worst].tz_convert(house.site.timezone)
    seen = f"{ppfd[worst]:.0f} µmol m⁻² s⁻¹ on {at:%Y-%m-%d} at {at:%H:%M} with the sun at {sun:.0f}°"
    key = f"line {int(taken.row[worst])}"
    raise FileProblem([Problem(readings.file, key, f"light that no sky gives: {seen}", "", _mend(found, readings))])


def _mend(found: ClockCheck, readings: Readings) -> str:
    if found.shift_h is None:
        return "Light at night in the open: a lamp near the meter, or inside and outside exchanged?"
    text = f"All readings fit the sun if {found.shift_h:+g} h are added to the stamps: wrong time zone or clock?"
    if readings.offset_h is None:
        return text
    offset = readings.offset_h - found.shift_h
    sign = "+" if offset >= 0 else "-"
    minutes = round(abs(offset) * 60.0)
    return f"{text} Try --zone {sign}{minutes // 60:02d}:{minutes % 60:02d}."


def _factors(
    house: House,
    sources: Sources,
    readings: Readings,
    taken: LightReadings,
    light: Photons,
    which: tuple[Index, Index],
    one_meter: bool,
    tools: LightTools,
) -> tuple[BedFactor, ...]:
    """Factor of every bed that was read, or the reason for none."""
    inside, outside = which
    names = [bed.name for bed in house.beds]
    seen = [name for name in names if name in set(taken.place[inside])]
    if not len(outside):
        why = "no reading in the open to compare with"
        ahead = "pairs: outside in the open, then on the bed within two minutes, under an overcast sky"
        return tuple(_none(name, int((taken.place[inside] == name).sum()), why, ahead) for name in seen)
    by_day = inside[sun_at(house, taken.time[inside])[0] > 0.0]
    pairing = pair_up(taken, light.ppfd_umol_m2_s, by_day, outside)
    keep = np.unique(np.linspace(0, len(pairing.inside) - 1, min(len(pairing.inside), MOST_PAIRS)).astype(np.intp))
    rows, partner = pairing.inside[keep], pairing.outside[keep]
    if not len(rows):
        why = "no inside reading within ten minutes of one in the open"
        return tuple(_none(name, 0, why, "pairs taken within two minutes of each other") for name in seen)
    number = np.array([names.index(str(place)) for place in taken.place[rows]])
    at = moments_inside(house, sources, taken.time[rows], pairing.outside_umol_m2_s[keep], number, taken.point_m[rows])
    pairs = BedPairs(
        light.ppfd_umol_m2_s[rows],
        pairing.outside_umol_m2_s[keep],
        at.inside_umol_m2_s,
        at.diffuse_frac,
        at.height_deg,
        at.azimuth_deg,
        np.asarray(taken.time[rows].as_unit("s").asi8, dtype=np.float64),
        _local_day(taken.time[rows], house.site.timezone),
    )
    _check_sense(readings, names, number, pairs)
    biases = {
        name: _bias(taken, rows[number == k], partner[number == k], one_meter, tools)
        for k, name in enumerate(names)
        if (number == k).any()
    }
    return tuple(
        judge(name, pairs.take(number == k), biases[name], _assumed(house, name))
        if name in biases
        else _none(name, 0, "no reading in the open near its readings", "pairs taken within two minutes")
        for k, name in enumerate(names)
        if name in seen
    )


def _blamed(
    house: House, sources: Sources, taken: LightReadings, light: Photons, outside: Index, bed: BedFactor
) -> BedFactor:
    """The bed with what its cover and the sky did, where both sides are known.

    Method: the factor against the one of the house file is the cover's; light read in the open against the mean day of
    the same hours is the sky's. Their product is what the bed lacks.
    """
    if bed.factor is None or bed.low is None or bed.high is None or bed.assumed_factor is None:
        return bed
    sky = _sky_ratio(house, sources, taken.time[outside], light.ppfd_umol_m2_s[outside])
    if sky is None:
        return bed
    cover = bed.factor / bed.assumed_factor
    dirty, cleaner = bed.high < bed.assumed_factor, bed.low > bed.assumed_factor
    dull, bright = sky < 1.0 - SKY_SAME_FRAC, sky > 1.0 + SKY_SAME_FRAC
    first = words.BOTH if dirty and dull else words.COVER_ONLY if dirty else words.SKY_ONLY if dull else words.NEITHER
    said = [
        first(),
        words.DIRTY(share=1.0 - cover) if dirty else words.CLEANER(share=cover - 1.0) if cleaner else words.CLEAN(),
        words.SKY_LESS(share=1.0 - sky) if dull else words.SKY_MORE(share=sky - 1.0) if bright else words.SKY_USUAL(),
    ]
    if bed.days_count < FEWEST_DAYS:
        said.append(words.FEW_DAYS(count=bed.days_count))
    return replace(bed, cover_ratio=cover, sky_ratio=sky, told=joined(said))


def _sky_ratio(house: House, sources: Sources, time: pd.DatetimeIndex, read_umol_m2_s: Array) -> float | None:
    """Light read in the open over the mean day's at the same hours; None where the sun was hardly up."""
    out, steps = usual_light(house, sources)
    offset_h = house_clock_h(house.site.longitude_deg)
    local = time.tz_convert("UTC").tz_localize(None) + pd.Timedelta(hours=offset_h)
    day = np.minimum(np.asarray(local.day_of_year) - 1, out.dli_mol_m2_d.size - 1)
    hour = np.asarray(local.hour) + np.asarray(local.minute) / 60.0 - HALF_HOUR
    mean = steps.ghi_w_m2[:, :CLASSES].mean(axis=1) * UMOL_PER_J_GLOBAL
    before = np.floor(hour).astype(np.intp)
    share = hour - before
    usual = (1.0 - share) * mean[day, before % DAY_H] + share * mean[day, (before + 1) % DAY_H]
    lit = usual >= LEAST_USUAL_UMOL_M2_S
    return float(read_umol_m2_s[lit].sum() / usual[lit].sum()) if lit.sum() >= FEWEST_A_DAY else None


def _none(name: str, count: int, why: str, ahead: str) -> BedFactor:
    return BedFactor(name, count, 0, 0, None, None, None, None, why, ahead)


def _local_day(time: pd.DatetimeIndex, zone: str) -> NDArray[np.int64]:
    return np.asarray(time.tz_convert(zone).tz_localize(None).as_unit("s").asi8 // DAY_S, dtype=np.int64)


def _check_sense(readings: Readings, names: Sequence[str], number: NDArray[np.int64], pairs: BedPairs) -> None:
    problems = []
    for k in np.unique(number):
        own = pairs.take(number == k)
        reason = nonsense(own.take(usable(own))) if usable(own).any() else ""
        if reason:
            problems.append(Problem(readings.file, f"bed {names[int(k)]}", reason, "", "Nothing was kept."))
    if problems:
        raise FileProblem(problems)


def _bias(taken: LightReadings, rows: Index, partner: Index, one_meter: bool, tools: LightTools) -> float:
    """Error shared by a bed's pairs: the largest among the combinations of units that occur."""
    kinds = {(str(a), str(b)) for a, b in zip(taken.unit[rows], taken.unit[partner], strict=True)}
    units: dict[str, LightUnit] = {unit: unit for unit in tools.meters}
    return max(bias_frac(units[a], units[b], one_meter, tools.meters) for a, b in kinds)


def _assumed(house: House, bed: str) -> float | None:
    """Return what stands in the house file where a fitted factor would stand; None where its panes differ in it."""
    fitted = fitted_factor(house, bed)
    return common_losses_frac(house) if fitted is None else fitted


def _lamps_on(taken: LightReadings, ppfd: Array, inside: Index, height: Array) -> set[str]:
    """Beds on which lamps burnt at night while "daylight" was read."""
    night = inside[(height[inside] < NIGHT_DEG) & (ppfd[inside] > LAMP_UMOL_M2_S)]
    places, counts = np.unique(taken.place[night], return_counts=True)
    return {str(place) for place, count in zip(places, counts, strict=True) if count >= LAMP_COUNT}


def _without_lamps(bed: BedFactor, lit: set[str]) -> BedFactor:
    if bed.bed not in lit:
        return bed
    why = "lamps burnt on this bed at night, so its readings by day may hold lamp light too"
    return _none(bed.bed, bed.pairs_count, why, "pairs with the lamps switched off")


def _days(house: House, taken: LightReadings, ppfd: Array, which: Index) -> tuple[DayOfLight, ...]:
    """Sums of the days on which enough was read at one place."""
    if not len(which):
        return ()
    zone = house.site.timezone
    local = taken.time[which].tz_convert(zone)
    frame = pd.DataFrame(
        {
            "place": taken.place[which],
            "day": local.tz_localize(None).normalize(),
            "second": local.hour * 3600.0 + local.minute * 60.0 + local.second,
            "ppfd": ppfd[which],
        }
    )
    out = []
    sines: dict[pd.Timestamp, tuple[Array, Array]] = {}
    for (key, place), group in frame.groupby(["day", "place"]):
        day = pd.Timestamp(str(key))
        if len(group) < FEWEST_A_DAY:
            continue
        ordered = group.groupby("second")["ppfd"].mean()
        if day not in sines:
            sines[day] = _sine_of_day(house, day)
        found = day_sum(np.asarray(ordered.index, dtype=np.float64), ordered.to_numpy(), *sines[day])
        if found.covered_share < LEAST_SHARE:
            continue
        gaps = tuple(f"{clock_text(a)}-{clock_text(b)}" for a, b in found.gaps_s)
        whole = None if np.isnan(found.whole_dli_mol_m2_d) else found.whole_dli_mol_m2_d
        on = date(day.year, day.month, day.day)
        out.append(DayOfLight(on, str(place), found.dli_mol_m2_d, whole, found.covered_share, gaps))
    return tuple(out)


def _sine_of_day(house: House, day: pd.Timestamp) -> tuple[Array, Array]:
    """Seconds since midnight and the sine of the sun's height through a local day."""
    second = np.arange(0, DAY_S, STEP_S, dtype=np.float64) + STEP_S / 2.0
    wall = day + pd.to_timedelta(second, unit="s")
    time = wall.tz_localize(
        house.site.timezone, ambiguous=np.ones(len(wall), dtype=np.bool_), nonexistent="shift_forward"
    )
    height = sun_at(house, pd.DatetimeIndex(time))[0]
    return second, np.maximum(np.sin(np.deg2rad(height)), 0.0)


def _lamps(taken: LightReadings, light: Photons, lamp: NDArray[np.bool_], tools: LightTools) -> tuple[LampSpot, ...]:
    """Mean and evenness under lamps, by place and kind of lamp, with the error of meter and spectrum."""
    out = []
    kinds = sorted({(str(p), str(k)) for p, k in zip(taken.place[lamp], taken.light[lamp], strict=True)})
    for place, kind in kinds:
        rows = np.flatnonzero(lamp & (taken.place == place) & (taken.light == kind))
        value = light.ppfd_umol_m2_s[rows]
        mean = float(value.mean())
        own = max(meter.own.value for unit, meter in tools.meters.items() if unit in set(taken.unit[rows]))
        spread = float(np.hypot(own, light.spectrum_frac[rows].max())) * LAMP_SDS
        even = float(value.min() / mean) if mean > 0.0 else 0.0
        out.append(
            LampSpot(
                place, tools.spectra[kind].title, mean, mean * np.exp(-spread), mean * np.exp(spread), even, len(rows)
            )
        )
    return tuple(out)
