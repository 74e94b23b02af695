"""The lamp answer as text; its tables are made in ``lamps_data``."""

from __future__ import annotations

from tenhour.model.lamp_answer import LampAnswer, LampLayout
from tenhour.model.results import BedMap
from tenhour.report.common import GAS, MOST_CAUTIONS, basis_lines, doubts, style_of, told, weather_lines
from tenhour.report.lamps_data import (
    absent_text,
    budget_table,
    clock_table,
    days_table,
    heights_table,
    knee_table,
    ladder_caption,
    ladder_table,
    lamps_tables,
    nursery_table,
    own_table,
    places_table,
    remedies_table,
)
from tenhour.report.light import map_lines
from tenhour.report.tables import Table
from tenhour.report.terminal import bold, heading, table_lines, wrap
from tenhour.words import lamps as words
from tenhour.words.remarks import CONFLICT
from tenhour.words.style import MONTH_NAMES, Style, date_text, quantity_text
from tenhour.words.text import joined, written

__all__ = ["lamps_tables", "lamps_text"]

MOST_LINES = 30
"""One screen."""
WAITS = 4
"""Ranks of sentences that can wait."""
MOST_PLACES = 12
"""More fixtures than this are told by their grid, not one by one."""


def lamps_text(
    answer: LampAnswer, width: int, *, style: Style | None = None, with_map: bool = False, everything: bool = False
) -> str:
    """Answer as text: what must be said first, whether it pays, the ladder, the plan, the cautions.

    Parameters: everything, with light, fixtures, heights, clock and power as well; else one screen.
    """
    chosen = style_of(answer.us_units, style)
    lines = _first(answer, width, chosen)
    if answer.kept is not None:
        lines += wrap(written(words.KEPT(bed=answer.bed, file=answer.kept), chosen), width)
    if answer.verdict is not None:
        lines += wrap(written(answer.verdict, chosen), width)
    lines += _tables(answer, width, chosen)
    conflicts = [line for one in answer.conflicts for line in wrap(written(CONFLICT(what=one), chosen), width)]
    if answer.layout is not None and not (everything or chosen.all_notes or with_map):
        closing = [*conflicts, *_closing(answer, width, chosen)]
        room = MOST_LINES - len(lines) - len(closing)
        return "\n".join([*lines, *_plan_lines(answer, answer.layout, width, chosen, room), *closing])
    brief = [] if answer.layout is None or everything else [one for one, _ in _brief(answer, answer.layout)]
    lines += wrap(written(joined([answer.headline, *brief]), chosen), width) + conflicts
    if answer.layout is not None and everything:
        lines += ["", *_light_lines(answer, answer.layout, width, chosen)]
        lines += ["", *_layout_lines(answer, answer.layout, width, chosen)]
        lines += ["", *_clock_lines(answer, width, chosen)]
        lines += ["", *_power_lines(answer, width, chosen)]
        if answer.knee:
            lines += ["", *_table(knee_table(answer), width, chosen)]
    if with_map and answer.map is not None:
        when = f"mean day of {MONTH_NAMES[answer.size_month - 1]} with the lamps"
        grid = BedMap(answer.bed, when, answer.map.x_m, answer.map.y_m, answer.map.dli_mol_m2_d)
        lines += ["", *map_lines(grid, width, chosen)]
    if everything or chosen.all_notes or answer.layout is None:
        return "\n".join(lines + basis_lines(answer.basis, width, chosen))
    return "\n".join(lines + _closing(answer, width, chosen))


def _tables(answer: LampAnswer, width: int, style: Style) -> list[str]:
    """What lamps that are there can do, or the ladder and what it leaves out."""
    if answer.own or answer.budget:
        table = own_table(answer) if answer.own else budget_table(answer)
        return ["", *table_lines(table, width, style), *wrap(written(table.caption, style), width), ""]
    if not answer.ladder:
        return []
    lines = ["", *table_lines(nursery_table(answer), width, style)] if answer.nursery else []
    lines = lines or [""]
    lines += table_lines(ladder_table(answer), width, style)
    said = [ladder_caption(answer), *([absent_text(answer)] if _tells_absent(answer) else [])]
    return [*lines, *(line for text in said for line in wrap(written(text, style), width)), ""]


def _tells_absent(answer: LampAnswer) -> bool:
    """Rungs that are missing are told where harvest is counted: plants and trays are seedlings themselves."""
    return bool(answer.absent) and any(rung.extra_kg is not None for rung in answer.ladder)


def _plan_lines(answer: LampAnswer, layout: LampLayout, width: int, style: Style, room_count: int) -> list[str]:
    """The plan, without the sentences that can wait where it would not stand on one screen; ``--all`` has them."""
    brief = _brief(answer, layout)
    lines: list[str] = []
    for waits in range(WAITS + 1):
        kept = [text for text, rank in brief if rank == 0 or rank > waits]
        lines = wrap(written(joined([answer.headline, *kept]), style), width)
        if len(lines) <= room_count:
            break
    return lines


def _brief(answer: LampAnswer, layout: LampLayout) -> list[tuple[str, int]]:
    """The plan in a few sentences: clock, dimming, circuit, evenness, what must be warned of; and which can wait.

    Returns: sentences with their rank: the lowest waits first where room is short, 0 never.
    """
    said: list[tuple[str, int]] = [(text, 0) for text in answer.urgent]
    if not answer.dark:  # else the same every day, and said already
        said.append((words.CLOCK(times=joined(_months(answer), ", ")), 0))
    if answer.dim_frac is not None:
        said.append((words.DIMMED(share=answer.dim_frac), 3))
    circuit = answer.circuit
    if not circuit.overloaded:
        drawn = words.CIRCUIT(
            power=answer.power_w, drawn=circuit.total_a, mains=circuit.mains_v, breaker=circuit.breaker_a,
            allowed=circuit.allowed_a)  # fmt: skip
        said.append((drawn, 0))
    if circuit.power_factor_ratio < 1.0:
        said.append((words.POWER_FACTOR(factor=circuit.power_factor_ratio), 2))
    said += [(text, 0) for text in _heating(answer)]
    said.append((words.EVEN(share=f"{layout.min_mean_frac:.2f}", corner=f"{layout.corner_mean_frac:.2f}"), 1))
    if answer.turned is not None:
        turned = answer.turned
        text = words.TURNED(power=turned.power_w, now=answer.power_w, share=f"{turned.min_mean_frac:.2f}")
        said.append((text, WAITS))
    return said


def _heating(answer: LampAnswer) -> list[str]:
    """How much of the current is heating, and what that is worth."""
    share = answer.heat_replaced_frac
    if not share:
        return []
    rung = next((one for one in answer.ladder if one.name == answer.chosen), None)
    if rung is None or rung.heating_saved_currency is None:
        return [words.REPLACED(share=share)]
    return [words.SAVED(share=share, saved=(rung.heating_saved_currency, answer.currency or ""))]


def _months(answer: LampAnswer) -> list[str]:
    """Clock by month, from the month that comes first; neighbours with the same times together."""
    start = answer.counted_from.month if answer.counted_from is not None else answer.size_month
    rows = [row for row in answer.clock[start - 1 :] + answer.clock[: start - 1] if row.windows and row.days_count]
    runs: list[tuple[int, int, str]] = []
    for row in rows:
        times = " and ".join(f"{on}-{off}" for on, off in row.windows)
        if runs and runs[-1][2] == times and (row.month - runs[-1][1]) % 12 == 1:
            runs[-1] = (runs[-1][0], row.month, times)
        else:
            runs.append((row.month, row.month, times))
    return [f"{MONTH_NAMES[a - 1]}{'' if a == b else f' to {MONTH_NAMES[b - 1]}'} {times}" for a, b, times in runs]


def _closing(answer: LampAnswer, width: int, style: Style) -> list[str]:
    """The three cautions that apply, and where the rest is."""
    basis = answer.basis
    warned = basis.warnings[1:] if answer.circuit.overloaded else basis.warnings
    gas = [text for text in basis.cautions if GAS in text]
    others = [text for text in basis.cautions if GAS not in text]
    shown = [*others[: max(MOST_CAUTIONS - len(gas[:1]), 0)], *gas[:1]]
    lines = told("Cautions", shown, width, style)
    rest = len(warned) - len(doubts(basis)) - len(answer.urgent) + len(basis.cautions) - len(shown)
    lines += weather_lines(basis, width, style)
    return lines + wrap(written(words.MORE(count=max(rest, 0)), style), width)


def _first(answer: LampAnswer, width: int, style: Style) -> list[str]:
    """An overloaded circuit comes before everything else."""
    if not answer.circuit.overloaded or not answer.basis.warnings:
        return []
    return [bold(line) for line in wrap(written(answer.basis.warnings[0], style), width)]


def _table(data: Table, width: int, style: Style) -> list[str]:
    return [*wrap(data.caption, width), *table_lines(data, width, style)]


def _light_lines(answer: LampAnswer, layout: LampLayout, width: int, style: Style) -> list[str]:
    lit = not answer.dark
    counted = (
        f"a dull day in {MONTH_NAMES[answer.size_month - 1]} is counted on for {answer.daylight_dli_mol_m2_d:.1f} "
        f"(10 % margin and {_percent(layout.shade_frac)} fixture shade taken off); missing "
        f"{answer.missing_dli_mol_m2_d:.1f}"
        if lit
        else "there is no daylight"
    )
    text = (
        f"Wanted {answer.target_dli_mol_m2_d:.1f} mol m⁻² d⁻¹; {counted}. In {answer.hours_h:g} h that takes "
        f"{answer.ppfd_umol_m2_s:.0f} µmol m⁻² s⁻¹ at the canopy, {answer.ppf_umol_s:.0f} µmol s⁻¹ from the lamps."
    )
    lines = [*heading("Light", "", width), *wrap(text, width)]
    if not lit:
        return lines
    half = answer.half_enough_from
    enough = f"on mean days from {date_text(half, style)}" if half is not None else "never"
    return [*lines, *_table(days_table(answer), width, style), *wrap(f"Half the lamps would do {enough}.", width)]


def _layout_lines(answer: LampAnswer, layout: LampLayout, width: int, style: Style) -> list[str]:
    size = f"{quantity_text('length', layout.size_m[0], style)} by {quantity_text('length', layout.size_m[1], style)}"
    tiers = f" on each of {answer.tiers_count} tiers" if answer.tiers_count > 1 else ""
    text = (
        f"{layout.each_count} of {size}, {layout.fixture_w:g} W and {layout.fixture_ppf_umol_s:.0f} µmol s⁻¹ each"
        f"{tiers}: {layout.columns_count} along the bed by {layout.rows_count} across, lying along {layout.along}, "
        f"{quantity_text('length', layout.height_m, style)} above the canopy. Mean "
        f"{layout.delivered_ppfd_umol_m2_s:.0f} µmol m⁻² s⁻¹ at full power after ageing, darkest over mean "
        f"{layout.min_mean_frac:.2f}, {_percent(layout.cu_frac)} of the photons land on the bed"
    )
    if layout.bounced_share > 0:
        text += f", {_percent(layout.bounced_share)} of its light by way of walls or panels"
    text += "."
    lines = [*heading("Fixtures", "", width), *wrap(text, width)]
    if not layout.even_enough:
        lines += wrap(
            f"This does not reach the {layout.evenness_wanted_frac:.2f} darkest over mean wanted. What would:", width
        )
        lines += table_lines(remedies_table(answer), width, style)
    lines += _table(heights_table(answer), width, style)
    if layout.each_count <= MOST_PLACES:
        lines += _table(places_table(layout), width, style)
    return lines


def _clock_lines(answer: LampAnswer, width: int, style: Style) -> list[str]:
    lines = [*heading("Clock", "", width), *_table(clock_table(answer), width, style)]
    if answer.on_from is not None and answer.off_from is not None:
        first, off = date_text(answer.on_from, style), date_text(answer.off_from, style)
        lines += wrap(f"Lamps from {first}, off from {off}.", width)
    for change in answer.changes:
        way = "on" if change.shift_h > 0 else "back"
        lines += wrap(
            f"{date_text(change.on, style)}: the clock is put {way} {abs(change.shift_h):g} h; set the timer with it.",
            width,
        )
    row = next((r for r in answer.clock if r.month == answer.size_month and r.windows), None)
    if row is not None and answer.sensor_on_umol_m2_s is not None and answer.sensor_off_umol_m2_s is not None:
        lines += wrap(
            f"With a light sensor at the canopy: within these times on below {answer.sensor_on_umol_m2_s:.0f} "
            f"µmol m⁻² s⁻¹ of daylight, off above {answer.sensor_off_umol_m2_s:.0f}. Without one: set the timer to the "
            "table and change it each month.",
            width,
        )
    if answer.bright_day_rest_dli_mol_m2_d is not None:
        rest = f"After a bright day {answer.bright_day_rest_dli_mol_m2_d:.1f} mol suffice on the next."
        lines += wrap(rest, width)
    if answer.dim_frac is not None:
        dimmed = _percent(answer.dim_frac)
        lines += wrap(f"Dimmed to {dimmed} the same hours do; that is gentler than fewer hours.", width)
    return lines


def _power_lines(answer: LampAnswer, width: int, style: Style) -> list[str]:
    circuit = answer.circuit
    others = f" with {circuit.others_a:.1f} A of other loads {circuit.total_a:.1f} A," if circuit.others_a > 0 else ""
    state = "more than" if circuit.overloaded else "within"
    text = (
        f"{answer.power_w:.0f} W, {circuit.lamps_a:.1f} A at {circuit.mains_v:g} V;{others} {state} the "
        f"{circuit.allowed_a:.1f} A that a {circuit.breaker_a:g} A breaker may carry for hours (80 %). "
        f"{answer.energy_day_kwh:.2f} kWh on a day of {answer.hours_h:g} h, {answer.energy_season_kwh:.0f} kWh a season"
    )
    text += f", {answer.cost_season_currency:.2f} {answer.currency or ''}".rstrip() + "." if _priced(answer) else "."
    facts = []
    if answer.photons_mol_kwh is not None:
        facts.append(words.PER_KWH(light=answer.photons_mol_kwh))
    if answer.growth_g_kwh is not None:
        facts.append(words.GROWTH_PER_KWH(growth=answer.growth_g_kwh))
    if answer.warming_k is None:
        facts.append(words.HEAT(heat=answer.heat_w))
    else:
        facts.append(words.WARMING(heat=answer.heat_w, warming=answer.warming_k))
    lines = [*heading("Power", "", width), *wrap(text, width)]
    lines += wrap(written(joined(facts, "; ") + ".", style), width)
    if not _priced(answer):
        lines += wrap("No price given: add --price for the cost.", width)
    return lines


def _percent(share: float) -> str:
    return f"{share * 100:.0f} %"


def _priced(answer: LampAnswer) -> bool:
    return answer.cost_season_currency is not None
