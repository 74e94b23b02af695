"""The lamp answer as tables."""

from __future__ import annotations

from dataclasses import replace

from tenhour.model.lamp_answer import ClockMonth, HeightRow, LampAnswer, LampLayout, LitDay, Remedy
from tenhour.report.tables import Field, Table, columns, table_of

DAY_WORDS = {"dull": "dull (1 in 5 darker)", "mean": "mean", "bright": "bright (1 in 5 brighter)"}


def lamps_tables(answer: LampAnswer) -> tuple[Table, ...]:
    """Every table of the answer."""
    tables = [days_table(answer), clock_table(answer)]
    if answer.layout is not None:
        tables += [heights_table(answer), places_table(answer.layout)]
    if answer.remedies:
        tables.append(remedies_table(answer))
    return tuple(tables)


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
