"""The lamp answer as JSON and as tables."""

from __future__ import annotations

from typing import Any

from tenhour.model.lamp_answer import ClockMonth, LampAnswer, LampCircuit, LampLayout, LampMap
from tenhour.report.common import basis_json, iso, rounded
from tenhour.report.tables import Cell, Field, Table

DAY_WORDS = {"dull": "dull (1 in 5 darker)", "mean": "mean", "bright": "bright (1 in 5 brighter)"}


def lamps_json(answer: LampAnswer) -> dict[str, Any]:
    """Answer as the JSON object of the contract."""
    layout = answer.layout
    return {
        **basis_json("lamps", answer.basis),
        "bed": answer.bed,
        "crops": list(answer.crops),
        "sentence": answer.headline,
        "area_m2": rounded(answer.area_m2, 3),
        "tiers": answer.tiers_count,
        "target_dli_mol_m2_d": rounded(answer.target_dli_mol_m2_d, 3),
        "daylight_dli_mol_m2_d": rounded(answer.daylight_dli_mol_m2_d, 3),
        "missing_dli_mol_m2_d": rounded(answer.missing_dli_mol_m2_d, 3),
        "size_month": answer.size_month,
        "ppfd_umol_m2_s": rounded(answer.ppfd_umol_m2_s, 2),
        "hours_h": rounded(answer.hours_h, 2),
        "ppf_umol_s": rounded(answer.ppf_umol_s, 1),
        "fixtures": answer.fixtures_count,
        "height_m": rounded(layout.height_m, 3) if layout else None,
        "min_mean_frac": rounded(layout.min_mean_frac, 3) if layout else None,
        "power_w": rounded(answer.power_w, 1),
        "circuit_a": rounded(answer.circuit.lamps_a, 3),
        "energy_day_kwh": rounded(answer.energy_day_kwh, 3),
        "energy_season_kwh": rounded(answer.energy_season_kwh, 2),
        "cost_season": rounded(answer.cost_season_currency, 2),
        "currency": answer.currency,
        "clock": [_month_json(row) for row in answer.clock],
        "on_from": iso(answer.on_from),
        "off_from": iso(answer.off_from),
        "half_enough_from": iso(answer.half_enough_from),
        "layout": _layout_json(layout) if layout else None,
        "heights": [
            {
                "height_m": rounded(row.height_m, 3),
                "ppfd_umol_m2_s": rounded(row.ppfd_umol_m2_s, 1),
                "min_mean_frac": rounded(row.min_mean_frac, 3),
                "cu_frac": rounded(row.cu_frac, 3),
                "chosen": row.chosen,
            }
            for row in answer.heights
        ],
        "days": [
            {
                "kind": row.kind,
                "daylight_dli_mol_m2_d": rounded(row.daylight_dli_mol_m2_d, 2),
                "lamp_dli_mol_m2_d": rounded(row.lamp_dli_mol_m2_d, 2),
                "total_dli_mol_m2_d": rounded(row.total_dli_mol_m2_d, 2),
                "half_lamp_dli_mol_m2_d": rounded(row.half_dli_mol_m2_d, 2),
            }
            for row in answer.days
        ],
        "circuit": _circuit_json(answer.circuit),
        "clock_changes": [{"on": iso(row.on), "shift_h": rounded(row.shift_h, 2)} for row in answer.changes],
        "remedies": [
            {
                "change": row.change,
                "min_mean_frac": rounded(row.min_mean_frac, 3),
                "ppfd_ratio": rounded(row.ppfd_ratio, 3),
                "reaches": row.reaches,
            }
            for row in answer.remedies
        ],
        "conflicts": list(answer.conflicts),
        "photons_mol_kwh": rounded(answer.photons_mol_kwh, 2),
        "growth_g_kwh": rounded(answer.growth_g_kwh, 1),
        "heat_w": rounded(answer.heat_w, 0),
        "warming_k": rounded(answer.warming_k, 2),
        "sensor": None
        if answer.sensor_on_umol_m2_s is None
        else {
            "on_below_umol_m2_s": rounded(answer.sensor_on_umol_m2_s, 0),
            "off_above_umol_m2_s": rounded(answer.sensor_off_umol_m2_s, 0),
        },
        "after_bright_day_dli_mol_m2_d": rounded(answer.bright_day_rest_dli_mol_m2_d, 2),
        "dim_frac": rounded(answer.dim_frac, 3),
        "map": _map_json(answer.map) if answer.map else None,
    }


def _month_json(row: ClockMonth) -> dict[str, Any]:
    return {
        "month": row.month,
        "on": row.on,
        "off": row.off,
        "windows": [{"on": on, "off": off} for on, off in row.windows],
        "lamp_h": rounded(row.lamp_h, 2),
        "lit_h": rounded(row.lit_h, 2),
        "photoperiod_h": rounded(row.photoperiod_h, 2),
        "days": row.days_count,
        "energy_kwh": rounded(row.energy_kwh, 2),
        "cost": rounded(row.cost_currency, 2),
    }


def _layout_json(layout: LampLayout) -> dict[str, Any]:
    return {
        "lamp": layout.lamp,
        "length_m": rounded(layout.size_m[0], 3),
        "width_m": rounded(layout.size_m[1], 3),
        "fixture_w": rounded(layout.fixture_w, 1),
        "fixture_ppf_umol_s": rounded(layout.fixture_ppf_umol_s, 1),
        "fixtures_each": layout.each_count,
        "columns": layout.columns_count,
        "rows": layout.rows_count,
        "along": layout.along,
        "x_m": [rounded(v, 3) for v in layout.x_m],
        "y_m": [rounded(v, 3) for v in layout.y_m],
        "height_m": rounded(layout.height_m, 3),
        "cu_ratio": rounded(layout.cu_frac, 3),
        "maintenance_frac": rounded(layout.maintenance_frac, 3),
        "delivered_ppfd_umol_m2_s": rounded(layout.delivered_ppfd_umol_m2_s, 1),
        "min_mean_frac": rounded(layout.min_mean_frac, 3),
        "variation_ratio": rounded(layout.variation_ratio, 3),
        "bounced_share": rounded(layout.bounced_share, 3),
        "shade_frac": rounded(layout.shade_frac, 3),
        "even_enough": layout.even_enough,
        "evenness_wanted_frac": rounded(layout.evenness_wanted_frac, 3),
    }


def _circuit_json(circuit: LampCircuit) -> dict[str, Any]:
    return {
        "mains_v": rounded(circuit.mains_v, 1),
        "breaker_a": rounded(circuit.breaker_a, 1),
        "lamps_a": rounded(circuit.lamps_a, 3),
        "others_a": rounded(circuit.others_a, 3),
        "total_a": rounded(circuit.total_a, 3),
        "allowed_a": rounded(circuit.allowed_a, 2),
        "overloaded": circuit.overloaded,
        "smallest_breaker_a": rounded(circuit.smallest_breaker_a, 1),
        "circuits": circuit.circuits_count,
    }


def _map_json(grid: LampMap) -> dict[str, Any]:
    return {
        "x_m": [rounded(v, 3) for v in grid.x_m],
        "y_m": [rounded(v, 3) for v in grid.y_m],
        "dli_mol_m2_d": [[rounded(v, 2) for v in row] for row in grid.dli_mol_m2_d],
        "lamp_ppfd_umol_m2_s": [[rounded(v, 1) for v in row] for row in grid.lamp_ppfd_umol_m2_s],
    }


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
    fields = (
        Field("day", "day"),
        Field("daylight_dli_mol_m2_d", "daylight", "dli"),
        Field("lamp_dli_mol_m2_d", "lamps", "dli"),
        Field("total_dli_mol_m2_d", "together", "dli"),
        Field("half_lamp_dli_mol_m2_d", "with half the lamps", "dli"),
    )
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (
            DAY_WORDS[row.kind], row.daylight_dli_mol_m2_d, row.lamp_dli_mol_m2_d, row.total_dli_mol_m2_d,
            row.half_dli_mol_m2_d,
        )
        for row in answer.days
    )  # fmt: skip
    caption = "Days of the darkest month under the lamps, in mol m⁻² d⁻¹, the fixtures' own shade taken off."
    return Table("days", caption, fields, rows)


def clock_table(answer: LampAnswer) -> Table:
    """Lamp times of every month."""
    money = any(row.cost_currency is not None for row in answer.clock)
    fields = [
        Field("month", "month", "month"),
        Field("clock", "on and off"),
        Field("lamp_h", "lamps", "hours", 2),
        Field("lit_h", "lit", "hours"),
        Field("photoperiod_h", "day the plants see", "hours"),
        Field("days", "days", "count", wide_only=True),
        Field("energy_kwh", "energy", "energy", 0),
    ]
    if money:
        fields.append(Field("cost", f"cost {answer.currency or ''}".strip(), "money"))
    rows = []
    for row in answer.clock:
        times = ", ".join(f"{on}-{off}" for on, off in row.windows) or "off"
        cells: list[Cell] = [
            row.month, times, row.lamp_h if row.windows else None, row.lit_h, row.photoperiod_h,
            row.days_count if row.windows else None, row.energy_kwh if row.windows else None,
        ]  # fmt: skip
        rows.append(tuple([*cells, row.cost_currency if row.windows else None] if money else cells))
    caption = "Lamp times on the local clock, for the 15th of each month."
    return Table("clock", caption, tuple(fields), tuple(rows))


def heights_table(answer: LampAnswer) -> Table:
    """The layout at other heights."""
    fields = (
        Field("height_m", "height", "length"),
        Field("ppfd_umol_m2_s", "light", "ppfd"),
        Field("min_mean_frac", "darkest over mean", "plain", 2),
        Field("cu_frac", "photons that land", "share"),
        Field("chosen", "", "text"),
    )
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (row.height_m, row.ppfd_umol_m2_s, row.min_mean_frac, row.cu_frac, "chosen" if row.chosen else "")
        for row in answer.heights
    )
    return Table("heights", "The same fixtures at other heights above the canopy, at full power.", fields, rows)


def places_table(layout: LampLayout) -> Table:
    """Where the fixtures hang."""
    fields = (
        Field("fixture", "fixture", "count"),
        Field("x_m", "along the bed", "length"),
        Field("y_m", "across the bed", "length"),
    )
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (n, x, y) for n, (x, y) in enumerate(zip(layout.x_m, layout.y_m, strict=True), start=1)
    )
    return Table("places", "Middle of each fixture from the bed's south-west corner.", fields, rows)


def remedies_table(answer: LampAnswer) -> Table:
    """What would make the light more even."""
    fields = (
        Field("change", "change", wrap=True),
        Field("min_mean_frac", "darkest over mean", "plain", 2),
        Field("ppfd_ratio", "light, of now", "share"),
        Field("reaches", "enough"),
    )
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (row.change, row.min_mean_frac, row.ppfd_ratio, "yes" if row.reaches else "no") for row in answer.remedies
    )
    return Table("remedies", "What would make the light more even.", fields, rows)
