"""The readings answer as text and as JSON."""

from __future__ import annotations

from typing import Any, Final

from tenhour.model.readings import BedFactor, DayOfLight, LampSpot, ReadAnswer, SpotMonth
from tenhour.report.common import basis_json, rounded
from tenhour.report.terminal import Column, bold, notes, number, table, wrap

MONTHS: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
PERCENT: Final = 100.0
MOST_DAYS: Final = 20
"""Days shown in the terminal."""
WHOLE_HOUSE: Final = "whole house"


def read_json(answer: ReadAnswer) -> dict[str, Any]:
    """Answer as a JSON object."""
    out = basis_json("read", answer.basis)
    out |= {
        "file": answer.file,
        "readings": answer.readings_count,
        "first": answer.first.isoformat(),
        "last": answer.last.isoformat(),
        "beds": [_bed_json(bed) for bed in answer.beds],
        "days": [_day_json(day) for day in answer.days],
        "lamps": [_lamp_json(lamp) for lamp in answer.lamps],
        "months": [_month_json(month) for month in answer.months],
        "spots": [
            {
                "place": spot.place,
                "day_k": rounded(spot.day_k, 2),
                "night_k": rounded(spot.night_k, 2),
                "error_k": rounded(spot.error_k, 2),
                "days": spot.days_count,
                "verdict": spot.verdict,
                "suits": list(spot.suits),
            }
            for spot in answer.spots
        ],
        "thermostat": answer.thermostat,
        "proposal": None
        if answer.proposal is None
        else {"lines": list(answer.proposal.lines), "kept_in": answer.proposal.kept_in or None},
    }
    return out


def _bed_json(bed: BedFactor) -> dict[str, Any]:
    return {
        "bed": bed.bed,
        "pairs": bed.pairs_count,
        "used": bed.used_count,
        "days": bed.days_count,
        "factor_ratio": rounded(bed.factor, 3),
        "low_ratio": rounded(bed.low, 3),
        "high_ratio": rounded(bed.high, 3),
        "assumed_ratio": rounded(bed.assumed_factor, 3),
        "refused": bed.refused or None,
        "next_reading": bed.next_reading or None,
        "remarks": list(bed.remarks),
    }


def _day_json(day: DayOfLight) -> dict[str, Any]:
    return {
        "date": day.on.isoformat(),
        "place": day.place,
        "read_dli_mol_m2_d": rounded(day.dli_mol_m2_d, 2),
        "dli_mol_m2_d": rounded(day.whole_dli_mol_m2_d, 2),
        "covered_share": rounded(day.covered_share, 2),
        "gaps": list(day.gaps),
    }


def _lamp_json(lamp: LampSpot) -> dict[str, Any]:
    return {
        "place": lamp.place,
        "light": lamp.light,
        "ppfd_umol_m2_s": rounded(lamp.ppfd_umol_m2_s, 1),
        "low_ppfd_umol_m2_s": rounded(lamp.low_umol_m2_s, 1),
        "high_ppfd_umol_m2_s": rounded(lamp.high_umol_m2_s, 1),
        "min_mean_frac": rounded(lamp.min_mean_frac, 2),
        "readings": lamp.readings_count,
    }


def _month_json(month: SpotMonth) -> dict[str, Any]:
    return {
        "month": month.month,
        "place": month.place,
        "day_degc": rounded(month.day_degc, 1),
        "night_degc": rounded(month.night_degc, 1),
        "coldest_degc": rounded(month.coldest_degc, 1),
        "days": month.days_count,
    }


def read_text(answer: ReadAnswer, width: int) -> str:
    """Answer as text."""
    head = f"{answer.readings_count} readings, {answer.first.isoformat()} to {answer.last.isoformat()}"
    lines = [bold(head)]
    for bed in answer.beds:
        lines += ["", *_bed_lines(bed, width)]
    lines += _day_lines(answer, width) + _lamp_lines(answer, width) + _warm_lines(answer, width)
    lines += _proposal_lines(answer, width)
    lines += notes("Warnings", answer.basis.warnings, width)
    lines += notes("Assumed", answer.basis.assumptions, width)
    return "\n".join(lines)


def _bed_lines(bed: BedFactor, width: int) -> list[str]:
    lines = [bold(f"Bed {bed.bed}: {bed.pairs_count} pairs")]
    if bed.factor is None or bed.low is None or bed.high is None:
        lines += wrap(f"No factor: {bed.refused}.", width)
    else:
        days = "day" if bed.days_count == 1 else "days"
        text = (
            f"The bed gets {bed.factor:.2f} of what clean panes without a frame would give "
            f"({bed.low:.2f} to {bed.high:.2f}, nine times in ten; {bed.used_count} pairs, {bed.days_count} {days})."
        )
        if bed.assumed_factor is not None:
            text += f" Assumed so far: {bed.assumed_factor:.2f}."
        lines += wrap(text, width)
    for remark in bed.remarks:
        lines += wrap(remark, width)
    if bed.next_reading:
        lines += wrap(f"Most useful next: {bed.next_reading}.", width)
    return lines


def _day_lines(answer: ReadAnswer, width: int) -> list[str]:
    if not answer.days:
        return []
    columns = [
        Column("day", right=False),
        Column("place", right=False),
        Column("read mol"),
        Column("whole day mol"),
        Column("of the day"),
        Column("gaps", right=False, wrap=True),
    ]
    rows = [
        [
            day.on.isoformat(),
            day.place,
            number(day.dli_mol_m2_d, 2),
            number(day.whole_dli_mol_m2_d, 2),
            f"{PERCENT * day.covered_share:.0f} %",
            ", ".join(day.gaps) or "none",
        ]
        for day in answer.days[-MOST_DAYS:]
    ]
    lines = ["", bold("Light of whole days"), *table(columns, rows, width)]
    if len(answer.days) > MOST_DAYS:
        lines.append(f"and {len(answer.days) - MOST_DAYS} earlier ones (--json lists all)")
    return lines


def _lamp_lines(answer: ReadAnswer, width: int) -> list[str]:
    lines = []
    for lamp in answer.lamps:
        text = (
            f"{lamp.place} under {lamp.light}: {lamp.ppfd_umol_m2_s:.0f} µmol m⁻² s⁻¹ "
            f"({lamp.low_umol_m2_s:.0f} to {lamp.high_umol_m2_s:.0f}, nine times in ten), dimmest over mean "
            f"{lamp.min_mean_frac:.2f}, {lamp.readings_count} readings."
        )
        lines += wrap(text, width)
    return ["", bold("Under lamps"), *lines] if lines else []


def _warm_lines(answer: ReadAnswer, width: int) -> list[str]:
    if not answer.months:
        return []
    columns = [
        Column("month", right=False),
        Column("place", right=False),
        Column("day °C"),
        Column("night °C"),
        Column("coldest °C"),
        Column("days"),
    ]
    rows = [
        [
            MONTHS[month.month - 1],
            month.place or WHOLE_HOUSE,
            number(month.day_degc),
            number(month.night_degc),
            number(month.coldest_degc),
            str(month.days_count),
        ]
        for month in sorted(answer.months, key=lambda month: (month.month, month.place))
    ]
    return ["", bold("Warmth"), *table(columns, rows, width), *_spot_lines(answer, width)]


def _spot_lines(answer: ReadAnswer, width: int) -> list[str]:
    if not answer.spots:
        return []
    lines = [""]
    for spot in answer.spots:
        suits = f" Suits best of all places: {'; '.join(spot.suits)}." if spot.suits else ""
        text = (
            f"{spot.place or WHOLE_HOUSE}: {spot.verdict} ({spot.day_k:+.1f} K by day, {spot.night_k:+.1f} K at night "
            f"against the middle of all places, ± {spot.error_k:.1f})."
        )
        lines += wrap(text + suits, width)
    return lines + (wrap(answer.thermostat, width) if answer.thermostat else [])


def _proposal_lines(answer: ReadAnswer, width: int) -> list[str]:
    proposal = answer.proposal
    if proposal is None:
        return []
    if proposal.kept_in:
        head = f"Written to {proposal.kept_in}; later answers use it:"
    else:
        head = "For the house file (--keep writes it; nothing was written):"
    return ["", *wrap(head, width), *[f"  {line}" for line in proposal.lines]]
