"""The answer on warmth as text and tables."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from tenhour.model.heat_answer import HeatAnswer, HeatMonth, Measure, Tonight
from tenhour.report.common import basis_lines, style_of
from tenhour.report.tables import Table, columns, table_of
from tenhour.report.terminal import heading, table_lines, wrap
from tenhour.words import heat as words
from tenhour.words.style import Style
from tenhour.words.text import written

MOST_NAMED: Final = 6
"""Crops named of those a night harms."""
MOST_MEASURES: Final = 2
LEAST_SAVED_KWH: Final = 5.0
LEAST_GAIN_K: Final = 0.2
"""Measures that do less are left out of the text. Judgement."""


def heat_tables(answer: HeatAnswer) -> list[Table]:
    """Months and measures."""
    months = columns(
        HeatMonth,
        "month day_degc night_degc lowest_degc covered_lowest_degc soil_degc energy_kwh hours_below_0_h water_l_d "
        "wet_leaf_nights",
    )
    helps = columns(Measure, "measure saved_kwh lowest_gain_k light_lost_frac")
    return [
        table_of(
            "months",
            "Month by month: mean day and night, lowest hour, soil, heat, frost, water.",
            ((month,) for month in answer.months),
            months,
        ),
        table_of("measures", "What helps.", ((measure,) for measure in answer.measures), helps),
    ]


def heat_text(answer: HeatAnswer, width: int, style: Style | None = None) -> str:
    """Answer as text."""
    chosen = style_of(answer.us_units, style)
    tables = heat_tables(answer)
    lines = list(heading("Warm enough?", "", width))
    if answer.tonight is not None:
        lines += ["", *_paragraph(_tonight(answer.tonight), width, chosen)]
    lines += ["", *_paragraph(_winter(answer), width, chosen)]
    if answer.tonight is None:
        lines += ["", *table_lines(_cold_half(tables[0]), width, chosen)]
    lines += ["", *_paragraph(_heater(answer), width, chosen)]
    helps = [
        words.MEASURE(name=m.measure, saved=round(m.saved_kwh), gain=m.lowest_gain_k)
        for m in answer.measures[:MOST_MEASURES]
        if m.saved_kwh >= LEAST_SAVED_KWH or m.lowest_gain_k >= LEAST_GAIN_K
    ]
    lines += _paragraph([words.HELPS(), *helps], width, chosen) if helps else []
    basis = answer.basis
    if not chosen.all_notes:
        basis = replace(basis, cautions=basis.cautions[: answer.cautions_here])
    lines += basis_lines(basis, width, chosen)
    return "\n".join(lines)


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


def _tonight(night: Tonight) -> list[str]:
    out = [words.TONIGHT(out=night.outdoor_lowest_degc, low=night.lowest_air_degc, hour=round(night.lowest_hour_h))]
    if night.lowest_covered_degc is not None:
        out.append(words.UNDER(low=night.lowest_covered_degc))
    if night.heat_kwh > 0.0:
        out.append(words.BARE(low=night.lowest_unheated_degc))
        out.append(words.NEEDS(energy=night.heat_kwh, power=night.largest_hour_w, hour=round(night.heat_from_h or 0)))
    if night.wood_kg is not None and night.wood_low_kg is not None and night.wood_high_kg is not None:
        out.append(words.WOOD(kg=round(night.wood_kg), low=round(night.wood_low_kg), high=round(night.wood_high_kg)))
    if night.cost_currency is not None:
        out.append(words.COSTS(cost=(night.cost_currency, "")))
    if night.harmed:
        named = ", ".join(night.harmed[:MOST_NAMED])
        out.append(words.HARMED(count=len(night.harmed), names=named))
    return list(out)


def _winter(answer: HeatAnswer) -> list[str]:
    w = answer.winter
    out = [words.WINTER(low=w.lowest_air_degc, tenth=w.lowest_air_1in10_degc, hours=round(w.hours_below_0_h))]
    if w.energy_kwh > 0.0:
        held = words.HELD() if answer.held else words.SET()
        out.append(words.ENERGY(what=held, kwh=round(w.energy_kwh), low=round(w.energy_low_kwh),
                                high=round(w.energy_high_kwh), power=w.largest_hour_w))  # fmt: skip
    if answer.wood_kg is not None and answer.wood_low_kg is not None and answer.wood_high_kg is not None:
        out.append(words.WINTER_WOOD(kg=round(answer.wood_kg), low=round(answer.wood_low_kg),
                                     high=round(answer.wood_high_kg)))  # fmt: skip
    return list(out)


def _heater(answer: HeatAnswer) -> list[str]:
    size = answer.heater
    out = [words.HEATER(hold=size.hold_degc, out=size.design_outdoor_degc, power=size.power_w)]
    if size.enough is not None:
        out.append(words.ENOUGH() if size.enough else words.NOT_ENOUGH())
    cut = answer.power_cut
    if cut is not None:
        out.append(
            words.CUT_NEVER(low=cut.floor_degc)
            if cut.hours_to_limit_h is None
            else words.CUT(hours=cut.hours_to_limit_h, low=cut.floor_degc)
        )
    return list(out)
