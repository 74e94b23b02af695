"""Sentences of the lamp answer: the headline, the warnings, the cautions that apply."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from tenhour.lamps.circuit import CONTINUOUS_SHARE, CircuitLoad
from tenhour.model.lamp import Lamp, LampRequest
from tenhour.model.lamp_answer import LampAnswer

MONTHS: Final = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
HOT: Final = ("hps", "metal-halide", "incandescent")
COLOURED: Final = ("red-blue-led", "red-led", "red-white-led")
COUNTS_AS_DAY_UMOL_M2_S: Final = 1.5
"""Light that plants take for day when it lasts (threshold about 1 to 2). Memory."""
SHORT_RATIO: Final = 0.99
WASTE_RATIO: Final = 1.5


def headline(answer: LampAnswer) -> str:
    """The answer in one sentence, or two."""
    month = MONTHS[answer.size_month - 1]
    where = f"{answer.bed}" if answer.tiers_count == 1 else f"each of {answer.tiers_count} tiers of {answer.bed}"
    target, what = answer.target_dli_mol_m2_d, " and ".join(answer.crops)
    if answer.layout is None:
        return (
            f"No lamp is needed over {where} for {what}: the mean day keeps to the {target:.1f} mol m⁻² d⁻¹ wanted, "
            f"even in {month} (a dull day then counts on {answer.daylight_dli_mol_m2_d:.1f})."
        )
    layout = answer.layout
    each = layout.each_count
    lamps = (
        f"{each} x {layout.lamp} of {layout.fixture_w:g} W"
        if each != 1
        else f"one {layout.lamp} of {layout.fixture_w:g} W"
    )
    row = next(r for r in answer.clock if r.month == answer.size_month)
    times = " and ".join(f"{on}-{off}" for on, off in row.windows)
    until = f", off from {answer.off_from.isoformat()}" if answer.off_from is not None else ", all year"
    when, day = ("Every day", "A day") if answer.dark else (f"In {month}", "A dull day")
    return (
        f"Over {where} for {what}: {lamps}, {layout.height_m:.2f} m above the canopy, {answer.power_w:.0f} W in all. "
        f"{when} on {times}{until}. {day} then brings {answer.days[0].total_dli_mol_m2_d:.1f} of the "
        f"{target:.1f} mol m⁻² d⁻¹ wanted."
    )


def warnings_of(
    load: CircuitLoad,
    request: LampRequest,
    bright_enough: bool,
    lamp: Lamp,
    needed_umol_m2_s: float,
    delivered_umol_m2_s: float,
) -> Iterator[str]:
    """What must be said first: an overloaded circuit, light that falls short, light in excess.

    Parameters: needed_umol_m2_s, delivered_umol_m2_s, level flux on the bed [µmol m⁻² s⁻¹].
    """
    circuit = request.circuit
    if load.overloaded:
        advice = (
            f"a {load.smallest_breaker_a:g} A circuit would carry it"
            if load.smallest_breaker_a is not None
            else "no common single circuit carries it"
        )
        count = load.circuits_count
        split = (
            ", or one for the lamps alone" if count == 1 else f", or {count} of {circuit.breaker_a:g} A for the lamps"
        )
        yield (
            f"Circuit overloaded: lamps {load.lamps_a:.1f} A and others {load.total_a - load.lamps_a:.1f} A make "
            f"{load.total_a:.1f} A; a {circuit.breaker_a:g} A breaker at {circuit.mains_v:g} V may carry "
            f"{load.allowed_a:.1f} A for hours on end ({CONTINUOUS_SHARE * 100:.0f} %); {advice}{split}."
        )
    if not bright_enough and delivered_umol_m2_s < needed_umol_m2_s * SHORT_RATIO:
        yield (
            f"Not enough light: hung full of this lamp the bed gets {delivered_umol_m2_s:.0f} of the "
            f"{needed_umol_m2_s:.0f} µmol m⁻² s⁻¹ needed. A stronger lamp, more hours, or less light wanted."
        )
    if delivered_umol_m2_s > needed_umol_m2_s * WASTE_RATIO:
        yield (
            f"One size too big: {lamp.title} gives {delivered_umol_m2_s:.0f} where {needed_umol_m2_s:.0f} "
            "µmol m⁻² s⁻¹ would do; a smaller fixture would save power."
        )
    if lamp.note:
        yield f"{lamp.title}: {lamp.note}."


def spill_warning(spill: Sequence[tuple[str, float]]) -> Iterator[str]:
    """Neighbours that see the lamps long enough to count it as day."""
    seen = [f"{name} ({light:.0f} µmol m⁻² s⁻¹)" for name, light in spill if light >= COUNTS_AS_DAY_UMOL_M2_S]
    if seen:
        yield (
            f"Lamp light spills onto {', '.join(seen)}: a few µmol already count as day, so crops there see the long "
            "day too."
        )


def cautions_for(rows: Sequence[Mapping[str, str]], lamp: Lamp, heater: bool) -> Iterator[str]:
    """Texts of the cautions that apply to this lamp and house."""
    there = {
        "always": True,
        "heater": heater,
        "discharge": lamp.spectrum in HOT,
        "coloured": lamp.spectrum in COLOURED,
    }
    for row in rows:
        if there.get(row["when"], True):
            yield row["text"]
