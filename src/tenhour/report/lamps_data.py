"""The lamp answer as tables."""

from __future__ import annotations

from dataclasses import replace

from tenhour.model.lamp import RUNGS
from tenhour.model.lamp_answer import (
    BudgetRow,
    ClockMonth,
    HeightRow,
    LampAnswer,
    LampLayout,
    LampRung,
    LampStep,
    LitDay,
    NurseryRow,
    OwnRow,
    Remedy,
)
from tenhour.report.tables import Field, Table, columns, table_of
from tenhour.words import lamps as words
from tenhour.words.text import joined, listed

DAY_WORDS = {"dull": "dull (1 in 5 darker)", "mean": "mean", "bright": "bright (1 in 5 brighter)"}


def lamps_tables(answer: LampAnswer) -> tuple[Table, ...]:
    """Every table of the answer."""
    tables = [days_table(answer), clock_table(answer)]
    if answer.budget:
        tables = [budget_table(answer), *tables]
    if answer.nursery:
        tables = [nursery_table(answer), *tables]
    if answer.own:
        tables = [own_table(answer), *tables]
    if answer.ladder:
        tables = [ladder_table(answer), knee_table(answer), *tables]
    if answer.layout is not None:
        tables += [heights_table(answer), places_table(answer.layout)]
    if answer.remedies:
        tables.append(remedies_table(answer))
    return tuple(tables)


def ladder_table(answer: LampAnswer) -> Table:
    """The rungs: light, lamps, days, electricity and what they add."""
    rungs = answer.ladder
    names = ["dli_mol_m2_d", "dull_dli_mol_m2_d", "bright_dli_mol_m2_d", "power_w", "fixtures_count"]
    names += ["days_to_harvest", "energy_season_kwh"]
    chances = ["cost_season_currency", "extra_kg", "cost_per_kg_currency", "energy_per_kg_kwh"]
    chances += ["cost_per_hundred_plants_currency", "cost_per_tray_currency", "days_saved", "heat_kwh"]
    chances += ["heat_replaced_frac", "heating_saved_currency", "min_mean_frac", "pays"]
    names += [name for name in chances if any(getattr(rung, name) is not None for rung in rungs)]
    fields = [_in_money(field, answer.currency) for field in columns(LampRung, " ".join(names)).fields]
    rows = (
        (f"{'*' if rung.name == answer.chosen else ' '} {_rung_name(rung)}", *(getattr(rung, n) for n in names))
        for rung in rungs
    )
    return table_of("ladder", ladder_caption(answer), rows, Field("rung", "light"), *fields)


def budget_table(answer: LampAnswer) -> Table:
    """What every bed gets of a budget."""
    names = ["order", "power_w", "energy_season_kwh"]
    names += ["cost_season_currency"] if any(row.cost_season_currency is not None for row in answer.budget) else []
    names.append("extra_kg")
    fields = [_in_money(field, answer.currency) for field in columns(BudgetRow, " ".join(names)).fields]
    rows = (
        (row.bed, "unlit" if row.rung is None else words.RUNGS[row.rung], *(getattr(row, n) for n in names))
        for row in answer.budget
    )
    caption = ""
    if answer.counted_from is not None and answer.counted_to is not None:
        caption = words.BUDGET_TABLE(first=answer.counted_from, last=answer.counted_to)
    return table_of("budget", caption, rows, Field("bed", "bed"), Field("rung", "light"), *fields)


def nursery_table(answer: LampAnswer) -> Table:
    """Plants that are wanted, their trays, and when they are sown."""
    rows = ((row,) for row in answer.nursery)
    return table_of("nursery", "", rows, columns(NurseryRow, "crop plants_count trays_count sow_on ready_on"))


def own_table(answer: LampAnswer) -> Table:
    """What lamps that are there can do: each row changes one thing more."""
    names = ["fixtures_count", "height_m", "hours_h", "dli_mol_m2_d", "min_mean_frac", "days_to_harvest"]
    names.append("energy_season_kwh")
    chances = ["cost_season_currency", "extra_kg", "cost_per_kg_currency", "cost_per_hundred_plants_currency"]
    chances += ["cost_per_tray_currency", "power_w", "dull_dli_mol_m2_d"]
    names += [name for name in chances if any(getattr(row, name) is not None for row in answer.own)]
    fields = [_in_money(field, answer.currency) for field in columns(OwnRow, " ".join(names)).fields]
    rows = ((words.OWN_STEPS[row.step], *(getattr(row, n) for n in names)) for row in answer.own)
    caption = ""
    if answer.counted_from is not None and answer.counted_to is not None:
        caption = words.OWN_TABLE(first=answer.counted_from, last=answer.counted_to)
    return table_of("own", caption, rows, Field("step", "your lamps"), *fields)


def _rung_name(rung: LampRung) -> str:
    """Its name, with those of the rungs that are one with it in their order."""
    return ", ".join(words.RUNGS[name].split(",")[0] if rung.also else words.RUNGS[name] for name in
                     sorted((rung.name, *rung.also), key=RUNGS.index))  # fmt: skip


def absent_text(answer: LampAnswer) -> str:
    """Which rungs this bed has not, and why; those of one reason together."""
    whys = list(dict.fromkeys(one.why for one in answer.absent))
    rungs = [
        words.ABSENT_RUNG(rung=listed([words.RUNGS[one.name] for one in answer.absent if one.why == why]), why=why)
        for why in whys
    ]
    return words.ABSENT(rungs=joined(rungs, "; "))


def ladder_caption(answer: LampAnswer) -> str:
    """What the ladder counts, and over which days."""
    if answer.counted_from is None or answer.counted_to is None:
        return ""
    return words.LADDER(first=answer.counted_from, last=answer.counted_to)


def _in_money(field: Field, currency: str | None) -> Field:
    if field.kind != "money":
        return field
    label = "" if field.key == "cost_season" else field.label
    return replace(field, label=f"{currency or 'money'} {label}".strip())


def knee_table(answer: LampAnswer) -> Table:
    """The steps in light by which the steady rung was found."""
    caption = "Steps in light: what one more kilo (or raising) takes at each."
    rows = ((step,) for step in answer.knee)
    return table_of("knee", caption, rows, columns(LampStep, "dli_mol_m2_d energy_kwh harvest_count each_kwh"))


def days_table(answer: LampAnswer) -> Table:
    """What the lamps do on a dull, a mean and a bright day, and half of them."""
    names = "daylight_dli_mol_m2_d lamp_dli_mol_m2_d total_dli_mol_m2_d half_dli_mol_m2_d"
    rows = ((DAY_WORDS[day.kind], day) for day in answer.days)
    caption = "Days of the darkest month under the lamps, in mol m⁻² d⁻¹, the fixtures' own shade taken off."
    return table_of("days", caption, rows, Field("day", "day"), columns(LitDay, names))


def clock_table(answer: LampAnswer) -> Table:
    """Lamp times of every month."""
    names = ["lamp_h", "lit_h", "photoperiod_h", "days_count", "energy_kwh"]
    if any(month.cost_currency is not None for month in answer.clock):
        names.append("cost_currency")
    fields = {field.key: field for field in columns(ClockMonth, " ".join(names)).fields}
    if "cost" in fields:
        fields["cost"] = replace(fields["cost"], label=f"cost {answer.currency or ''}".strip())
    rows = (
        (month, ", ".join(f"{on}-{off}" for on, off in month.windows) or "off", *_lamp_cells(month, names))
        for month in answer.clock
    )
    caption = "Lamp times on the local clock, for the 15th of each month."
    clock = Field("clock", "on and off")
    return table_of("clock", caption, rows, columns(ClockMonth, "month"), clock, *fields.values())


def _lamp_cells(month: ClockMonth, names: list[str]) -> list[object]:
    """Nothing is said of lamps in a month in which they stay off."""
    always = ("lit_h", "photoperiod_h")
    return [getattr(month, name) if month.windows or name in always else None for name in names]


def heights_table(answer: LampAnswer) -> Table:
    """The layout at other heights."""
    caption = "The same fixtures at other heights above the canopy, at full power."
    rows = ((row, "chosen" if row.chosen else "") for row in answer.heights)
    names = "height_m ppfd_umol_m2_s min_mean_frac cu_frac"
    return table_of("heights", caption, rows, columns(HeightRow, names), *columns(HeightRow, "chosen").fields)


def places_table(layout: LampLayout) -> Table:
    """Where the fixtures hang."""
    rows = ((n, x, y) for n, (x, y) in enumerate(zip(layout.x_m, layout.y_m, strict=True), start=1))
    caption = "Middle of each fixture from the bed's south-west corner."
    fixture = Field("fixture", "fixture", "count")
    return table_of("places", caption, rows, fixture, *columns(LampLayout, "x_m y_m").fields)


def remedies_table(answer: LampAnswer) -> Table:
    """What would make the light more even."""
    rows = ((remedy,) for remedy in answer.remedies)
    names = "change min_mean_frac ppfd_ratio reaches"
    return table_of("remedies", "What would make the light more even.", rows, columns(Remedy, names))
