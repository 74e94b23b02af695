"""The answer on warmth as text and tables."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Sequence
from dataclasses import replace
from typing import Final, Literal

from tenhour.model.heat_answer import (
    CropLimit,
    HeatAnswer,
    HeaterCircuit,
    HeatMat,
    HeatMonth,
    Measure,
    NightHour,
    NightSpot,
    Pair,
    PowerCut,
    Tonight,
)
from tenhour.report.common import basis_lines, style_of
from tenhour.report.tables import Field, Table, columns, table_of
from tenhour.report.terminal import heading, table_lines, wrap
from tenhour.units import GENERIC_YEAR
from tenhour.words import heat as words
from tenhour.words.style import MONTH_NAMES, Style
from tenhour.words.text import counted, joined, written

Part = Literal["winter", "helps", "places", "cut", "all"]
MOST_NAMED: Final = 6
"""Crops named of those a night harms."""
MOST_MEASURES: Final = 2
MOST_PAIRS: Final = 4
LEAST_SAVED_KWH: Final = 5.0
LEAST_BACKUP_KWH: Final = 0.05
LEAST_LITRES: Final = 1.0
LEAST_GAIN_K: Final = 0.2
"""Measures that do less are left out of the text. Judgement."""


def heat_tables(answer: HeatAnswer) -> list[Table]:
    """Months and measures."""
    months = columns(
        HeatMonth,
        "month day_degc night_degc lowest_degc covered_lowest_degc soil_degc energy_kwh hours_below_0_h water_l_d "
        "wet_leaf_nights melt_kwh",
    )
    helps = columns(Measure, "measure saved_kwh lowest_gain_k frost_hours_less_h light_lost_frac saved_currency")
    pairs = columns(Pair, "measure saved_kwh sum_saved_kwh lowest_gain_k sum_gain_k together")
    spots = columns(NightSpot, "spot still_k still_error_k fan_k fan_error_k set_degc")
    hours = columns(NightHour, "hour_h outdoor_degc air_degc unheated_degc covered_degc heat_w")
    mats = columns(HeatMat, "bed set_degc root_degc root_lowest_degc energy_kwh largest_hour_w cost_currency")
    limits = columns(CropLimit, "limit_degc hours_h covered_hours_h crops")
    by_month = [Field(f"{name.lower()}_h", name, "plain", 0) for name in MONTH_NAMES]
    reached = () if answer.power_cut is None else answer.power_cut.limits
    cut = [limit for limit in reached if limit.hours_h is not None or limit.covered_hours_h is not None]
    return [
        table_of(
            "months",
            "Month by month: mean day and night, lowest hour, soil, heat, frost, water.",
            ((month,) for month in answer.months),
            months,
        ),
        table_of("measures", "What helps.", ((measure,) for measure in answer.measures), helps),
        table_of("pairs", "Two changes together, and their sum.", ((pair,) for pair in answer.pairs), pairs),
        table_of("spots", "Places on a cold night, against the middle.", ((spot,) for spot in answer.spots), spots),
        table_of("night", "A cold night hour by hour.", ((hour,) for hour in answer.cold_night), hours),
        table_of("limits", "Hours from a failure to each limit of crops.", ((limit,) for limit in cut), limits),
        table_of("mats", "Mats under beds.", ((mat,) for mat in answer.mats), mats),
        table_of(
            "crop_hours",
            "Hours in which the air of the house is below what a crop stands.",
            ((one.crop, *one.hours_h) for one in answer.crop_hours),
            Field("crop", "crop", wrap=True),
            *by_month,
        ),
    ]


def winter_sentences(answer: HeatAnswer) -> list[str]:
    """The winter, its fuel, the heater, a failure and what the lamps' heat does, a sentence each."""
    return [*_winter(answer), *_mats(answer), *_heater(answer), *_lamps(answer)]


def heat_text(answer: HeatAnswer, width: int, style: Style | None = None, part: Part = "winter") -> str:
    """Answer as text: the winter (or tonight), or one part of it in full."""
    chosen = style_of(answer.us_units, style)
    months, helps, pairs, spots, _, limits, _, by_crop = heat_tables(answer)
    lines = list(heading("Warm enough?", "", width))
    if part == "helps":
        lines += ["", *_paragraph(_helps_in_full(answer), width, chosen), "", *table_lines(helps, width, chosen)]
        lines += ["", *table_lines(replace(pairs, rows=pairs.rows[:MOST_PAIRS]), width, chosen)] if answer.pairs else []
    elif part == "places":
        advice = _paragraph([words.SPOTS(hold=answer.heater.hold_degc), *_alarm(answer)], width, chosen)
        lines += ["", *table_lines(spots, width, chosen), "", *advice]
    elif part == "cut" and answer.power_cut is not None:
        lines += ["", *_paragraph([*_cut(answer.power_cut), *_alarm(answer), words.CUT_FIRST()], width, chosen)]
        lines += ["", *table_lines(limits, width, chosen)] if answer.power_cut.limits else []
    elif part == "all":
        lines += _usual(answer, months, width, chosen, whole_year=True)
        if by_crop.rows:
            lines += ["", *wrap(by_crop.caption, width), *table_lines(by_crop, width, chosen)]
    else:
        lines += _usual(answer, months, width, chosen)
    basis = answer.basis
    if not chosen.all_notes:
        basis = replace(basis, cautions=basis.cautions[: answer.cautions_here])
    lines += basis_lines(basis, width, chosen)
    return "\n".join(lines)


def _usual(
    answer: HeatAnswer, months: Table, width: int, style: Style, *, whole_year: bool = False
) -> list[str]:  # fmt: skip
    lines: list[str] = []
    if answer.tonight is not None:
        lines += ["", *_paragraph(_tonight(answer, answer.tonight), width, style)]
    lines += ["", *_paragraph([*_winter(answer), *_mats(answer)], width, style)]
    if answer.tonight is None or whole_year:
        lines += ["", *table_lines(months if whole_year else _cold_half(months), width, style)]
    lines += ["", *_paragraph(_heater(answer), width, style)]
    helps = [
        _measure(m, heated=answer.winter.energy_kwh > 0.0)
        for m in answer.measures[:MOST_MEASURES]
        if m.saved_kwh >= LEAST_SAVED_KWH or m.lowest_gain_k >= LEAST_GAIN_K
    ]
    return [*lines, *(_paragraph([words.HELPS(what=joined(helps, "; "))], width, style) if helps else [])]


def _measure(measure: Measure, *, heated: bool) -> str:
    if not heated:
        return words.MEASURE_UNHEATED(name=measure.measure, gain=measure.lowest_gain_k)
    return words.MEASURE(name=measure.measure, saved=round(measure.saved_kwh), gain=measure.lowest_gain_k)


def _helps_in_full(answer: HeatAnswer) -> list[str]:
    out: list[str] = [words.HELPS_TITLE()]
    return [*out, *_lamps(answer)]


def _lamps(answer: HeatAnswer) -> list[str]:
    """What the lamps' heat is worth, where some burn."""
    lamps = answer.lamps
    if lamps is None:
        return []
    return [words.LAMPS(kwh=round(lamps.lamps_kwh), share=lamps.replaces_frac, gain=lamps.lowest_gain_k,
                        moved=round(lamps.moved_saved_kwh))]  # fmt: skip


def _cold_half(months: Table) -> Table:
    """The six months with the coldest nights, in the order of the winter."""
    lowest = [row[2] for row in months.rows]
    order = sorted(range(len(lowest)), key=lambda n: float(str(lowest[n])))
    cold = set(order[: len(lowest) // 2])
    first = next((n for n in range(len(lowest)) if n in cold and (n - 1) % len(lowest) not in cold), 0)
    turned = [(first + n) % len(lowest) for n in range(len(lowest))]
    return replace(months, rows=tuple(months.rows[n] for n in turned if n in cold))


def _paragraph(sentences: list[str], width: int, style: Style) -> list[str]:
    return wrap(" ".join(written(sentence, style) for sentence in sentences), width)


def _tonight(answer: HeatAnswer, night: Tonight) -> list[str]:
    out: list[str] = [
        words.TONIGHT(out=night.outdoor_lowest_degc, low=night.lowest_air_degc, hour=round(night.lowest_hour_h))
    ]
    if night.lowest_covered_degc is not None:
        out.append(words.UNDER(low=night.lowest_covered_degc))
    if night.heat_kwh > 0.0:
        out += [_bare(answer.cold_night, night), _needs(answer.cold_night, night)]
    else:
        out += _below(answer, words.THE_AIR())
    if night.wood_kg is not None and night.wood_low_kg is not None and night.wood_high_kg is not None:
        out.append(words.WOOD(kg=night.wood_kg, low=night.wood_low_kg, high=night.wood_high_kg))
    out += _stove(night, answer.heater.hold_degc)
    if night.cost_currency is not None:
        out.append(words.COSTS(cost=(night.cost_currency, "")))
    if night.harmed:
        out.append(words.HARMED(crops=counted(len(night.harmed), "crop"), names=_crops(night.harmed)))
    return out


def _winter(answer: HeatAnswer) -> list[str]:
    w = answer.winter
    out: list[str] = [
        words.WINTER(low=w.lowest_air_degc, tenth=w.lowest_air_1in10_degc, hours=round(w.hours_below_0_h))
    ]
    if w.energy_kwh > 0.0:
        held = words.HELD() if answer.held else words.SET()
        out.append(words.ENERGY(what=held, kwh=round(w.energy_kwh), low=round(w.energy_low_kwh),
                                high=round(w.energy_high_kwh), power=w.largest_hour_w))  # fmt: skip
        if w.brought_up and w.largest_hour_w > answer.heater.power_w:
            out.append(words.BROUGHT_UP())
    if answer.wood_kg is not None and answer.wood_low_kg is not None and answer.wood_high_kg is not None:
        out.append(words.WINTER_WOOD(kg=answer.wood_kg, low=answer.wood_low_kg, high=answer.wood_high_kg))
    return [*out, *_snow(answer)]


def _heater(answer: HeatAnswer) -> list[str]:
    size = answer.heater
    out: list[str] = [words.HEATER(hold=size.hold_degc, out=size.design_outdoor_degc, power=size.power_w)]
    if size.enough is not None:
        out.append(words.ENOUGH() if size.enough else words.NOT_ENOUGH())
    out += _circuit(size.circuit)
    if answer.power_cut is not None:
        out += _cut(answer.power_cut)
    return [*out, *_alarm(answer)]


def _circuit(circuit: HeaterCircuit | None) -> list[str]:
    """What the heaters draw with all else on one circuit; nothing where that is theirs alone and carries them."""
    if circuit is None:
        return []
    over = circuit.drawn_a > circuit.allowed_a
    if not over and circuit.others_w == 0.0:
        return []
    said = words.CIRCUIT_OVER if over else words.CIRCUIT
    return [said(others=circuit.others_w, drawn=circuit.drawn_a, mains=circuit.mains_v, allowed=circuit.allowed_a,
                 breaker=circuit.breaker_a)]  # fmt: skip


def _snow(answer: HeatAnswer) -> list[str]:
    """What the beds' water of the frozen months takes if it comes as snow, where a stove stands."""
    if answer.wood_kg is None:
        return []
    frozen = [month for month in answer.months if month.melt_kwh is not None]
    litres = sum(month.water_l_d * monthrange(GENERIC_YEAR, month.month)[1] for month in frozen)
    if litres < LEAST_LITRES:
        return []
    return [words.SNOW(litres=litres, kwh=sum(month.melt_kwh or 0.0 for month in frozen))]


def _mats(answer: HeatAnswer) -> list[str]:
    """What each mat does and costs."""
    out: list[str] = []
    for mat in answer.mats:
        out.append(words.MAT(bed=mat.bed, root=mat.root_degc, low=mat.root_lowest_degc, kwh=mat.energy_kwh,
                             power=mat.largest_hour_w))  # fmt: skip
        if mat.cost_currency is not None:
            out.append(words.COSTS(cost=(mat.cost_currency, "")))
        if not mat.holds:
            out.append(words.MAT_SHORT(set=mat.set_degc))
    return out


def _alarm(answer: HeatAnswer) -> list[str]:
    """What a frost alarm is set to; with heat, how long after a failure it rings, without, when on a cold night."""
    alarm = answer.alarm
    if answer.power_cut is None:
        return [] if answer.tonight is not None else _below(answer, words.COLDEST_AIR())
    if alarm.rings_h is None:
        return []
    if alarm.left_h is None:
        return [words.ALARM_LATE(set=alarm.set_degc, rings=alarm.rings_h)]
    return [words.ALARM(set=alarm.set_degc, rings=alarm.rings_h, left=alarm.left_h)]


def _crops(names: Sequence[str]) -> str:
    """Names that may hold commas, as many as are told, and how many more there are."""
    left = len(names) - MOST_NAMED
    more = [words.MORE_CROPS(count=left)] if left > 0 else []
    return "; ".join([*names[:MOST_NAMED], *more])


def _bare(hours: Sequence[NightHour], night: Tonight) -> str:
    """How far the air falls without heat, and from when it freezes."""
    frost, low = [hour for hour in hours if hour.unheated_degc < 0.0], night.lowest_unheated_degc
    if not frost:
        return words.BARE(low=low)
    if len(frost) == len(hours):
        return words.BARE_FROST_ALL(low=low)
    return words.BARE_FROST(low=low, hour=round(frost[0].hour_h), hours=float(len(frost)))


def _needs(hours: Sequence[NightHour], night: Tonight) -> str:
    """What heat a night takes, and from when."""
    told = {"energy": night.heat_kwh, "power": night.largest_hour_w}
    if all(hour.heat_w > 0.0 for hour in hours):
        return words.NEEDS_ALL(**told)
    return words.NEEDS(**told, hour=round(night.heat_from_h or 0))


def _below(answer: HeatAnswer, night: str) -> list[str]:
    """From which hour of the cold night the air is below what the alarm is set to."""
    alarm = answer.alarm
    if alarm.from_h is None:
        return []
    if alarm.below_h >= len(answer.cold_night):
        return [words.BELOW_ALL(night=night, set=alarm.set_degc)]
    return [words.BELOW(night=night, set=alarm.set_degc, hour=round(alarm.from_h), hours=alarm.below_h)]


def _cut(cut: PowerCut) -> list[str]:
    told = {"low": cut.floor_degc, "length": round(cut.length_h), "covered": cut.covered_floor_degc}
    if cut.hours_to_limit_h is None:
        return [words.CUT_NEVER(**told)]
    return [words.CUT(hours=cut.hours_to_limit_h, **told)]


def _stove(night: Tonight, hold_degc: float) -> list[str]:
    """When to load, how long the last load holds, and what a second heater must give."""
    if not night.loads or night.stove_lowest_degc is None:
        return []
    hours = ", ".join(_clock(load.hour_h) for load in night.loads)
    out: list[str] = [words.LOADS(hours=hours, kg=night.loads[0].wood_kg, low=night.stove_lowest_degc)]
    if night.alone_h is not None:
        out.append(words.ALONE(hold=hold_degc, hour=_clock(night.alone_h)))
    else:
        out.append(words.ALONE_HOLDS())
    if night.backup_kwh is not None and night.backup_kwh > LEAST_BACKUP_KWH:
        out.append(words.BACKUP(kwh=night.backup_kwh))
    return out


def _clock(hour_h: float) -> str:
    minutes = round(hour_h * 4.0) * 15 % (24 * 60)
    return f"{minutes // 60}:{minutes % 60:02d}"
