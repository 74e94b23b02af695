"""The readings answer as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from tenhour.model.readings import BedFactor, DayOfLight, LampSpot, ReadAnswer, SpotMonth
from tenhour.report.common import basis_json, basis_lines, rounded
from tenhour.report.tables import Field, Table
from tenhour.report.terminal import bold, table_lines, wrap
from tenhour.report.units import METRIC, QUANTITIES, Style, date_text, localise

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


def read_text(answer: ReadAnswer, width: int, style: Style = METRIC) -> str:
    """Answer as text."""
    span = f"{date_text(answer.first, style)} to {date_text(answer.last, style)}"
    lines = [bold(f"{answer.readings_count} readings, {span}")]
    for bed in answer.beds:
        lines += ["", *_bed_lines(bed, width, style)]
    lines += _day_lines(answer, width, style) + _lamp_lines(answer, width) + _warm_lines(answer, width, style)
    lines += _proposal_lines(answer, width)
    return "\n".join(lines + basis_lines(answer.basis, width, style))


def read_tables(answer: ReadAnswer) -> tuple[Table, ...]:
    """Return factors, days of light, warmth by month and spots as data."""
    return factors_table(answer), light_days_table(answer.days), warmth_table(answer), spots_table(answer)


def factors_table(answer: ReadAnswer) -> Table:
    """Return the factor fitted for each bed."""
    fields = (
        Field("bed", "bed"),
        Field("pairs_count", "pairs", "count"),
        Field("used_count", "used", "count"),
        Field("factor_ratio", "factor", "plain", 2),
        Field("low_ratio", "low", "plain", 2),
        Field("high_ratio", "high", "plain", 2),
    )
    rows = tuple((b.bed, b.pairs_count, b.used_count, b.factor, b.low, b.high) for b in answer.beds)
    return Table("factors", "Light of each bed against clean panes without a frame", fields, rows)


def light_days_table(days: Sequence[DayOfLight]) -> Table:
    """Return the light of whole days."""
    fields = (
        Field("date", "day", "date"),
        Field("place", "place"),
        Field("read_dli_mol_m2_d", "read mol", "dli", 2),
        Field("dli_mol_m2_d", "whole day mol", "dli", 2),
        Field("covered_share", "of the day", "share"),
        Field("gaps", "gaps", "prose", wrap=True),
    )
    rows = tuple(
        (day.on, day.place, day.dli_mol_m2_d, day.whole_dli_mol_m2_d, day.covered_share, ", ".join(day.gaps) or "none")
        for day in days
    )
    return Table("days", "Light of whole days", fields, rows)


def warmth_table(answer: ReadAnswer) -> Table:
    """Return the warmth of each month and place."""
    fields = (
        Field("month", "month", "month"),
        Field("place", "place"),
        Field("day_degc", "day", "temp", 1),
        Field("night_degc", "night", "temp", 1),
        Field("coldest_degc", "coldest", "temp", 1),
        Field("days_count", "days", "count"),
    )
    rows = tuple(
        (m.month, m.place or WHOLE_HOUSE, m.day_degc, m.night_degc, m.coldest_degc, m.days_count)
        for m in sorted(answer.months, key=lambda month: (month.month, month.place))
    )
    return Table("warmth", "Warmth", fields, rows)


def spots_table(answer: ReadAnswer) -> Table:
    """Return how each place differs from the middle of all places."""
    fields = (
        Field("place", "place"),
        Field("day_k", "by day", "temp_difference"),
        Field("night_k", "at night", "temp_difference"),
        Field("error_k", "error", "temp_difference"),
        Field("days_count", "days", "count"),
        Field("verdict", "verdict", "prose"),
        Field("suits", "suits best", wrap=True),
    )
    rows = tuple(
        (s.place or WHOLE_HOUSE, s.day_k, s.night_k, s.error_k, s.days_count, s.verdict, ", ".join(s.suits))
        for s in answer.spots
    )
    return Table("spots", "Warm and cold places", fields, rows)


def _bed_lines(bed: BedFactor, width: int, style: Style) -> list[str]:
    lines = [bold(f"Bed {bed.bed}: {bed.pairs_count} pairs")]
    if bed.factor is None or bed.low is None or bed.high is None:
        lines += wrap(localise(f"No factor: {bed.refused}.", style), width)
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
        lines += wrap(localise(remark, style), width)
    if bed.next_reading:
        lines += wrap(localise(f"Most useful next: {bed.next_reading}.", style), width)
    return lines


def _day_lines(answer: ReadAnswer, width: int, style: Style) -> list[str]:
    if not answer.days:
        return []
    days = light_days_table(answer.days[-MOST_DAYS:])
    lines = ["", bold(days.caption), *table_lines(days, width, style)]
    if len(answer.days) > MOST_DAYS:
        lines.append(f"and {len(answer.days) - MOST_DAYS} earlier ones (--csv days lists all)")
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


def _warm_lines(answer: ReadAnswer, width: int, style: Style) -> list[str]:
    if not answer.months:
        return []
    warmth = warmth_table(answer)
    return ["", bold(warmth.caption), *table_lines(warmth, width, style), *_spot_lines(answer, width, style)]


def _spot_lines(answer: ReadAnswer, width: int, style: Style) -> list[str]:
    if not answer.spots:
        return []
    lines = [""]
    for spot in answer.spots:
        suits = f" Suits best of all places: {'; '.join(spot.suits)}." if spot.suits else ""
        day, night = (_signed(value, style) for value in (spot.day_k, spot.night_k))
        error = QUANTITIES["temp_difference"].text(spot.error_k, style)
        text = (
            f"{spot.place or WHOLE_HOUSE}: {localise(spot.verdict, style)} ({day} by day, {night} at night "
            f"against the middle of all places, ± {error})."
        )
        lines += wrap(text + suits, width)
    return lines + (wrap(localise(answer.thermostat, style), width) if answer.thermostat else [])


def _signed(difference_k: float, style: Style) -> str:
    text = QUANTITIES["temp_difference"].text(difference_k, style)
    return text if text.startswith("-") else f"+{text}"


def _proposal_lines(answer: ReadAnswer, width: int) -> list[str]:
    proposal = answer.proposal
    if proposal is None:
        return []
    if proposal.kept_in:
        head = f"Written to {proposal.kept_in}; later answers use it:"
    else:
        head = "For the house file (--keep writes it; nothing was written):"
    return ["", *wrap(head, width), *[f"  {line}" for line in proposal.lines]]
