"""The readings answer as text and as tables."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import Final

from tenhour.model.readings import BedFactor, DayOfLight, ReadAnswer, Spot, SpotMonth
from tenhour.report.common import basis_lines
from tenhour.report.tables import Field, Table, columns, table_of
from tenhour.report.terminal import bold, table_lines, wrap
from tenhour.words import heat as heatwords
from tenhour.words.remarks import NEXT_READING, NO_FACTOR
from tenhour.words.style import METRIC, QUANTITIES, Style, date_text
from tenhour.words.text import written

MOST_DAYS: Final = 20
"""Days shown in the terminal."""
WHOLE_HOUSE: Final = "whole house"


def read_text(answer: ReadAnswer, width: int, style: Style = METRIC) -> str:
    """Answer as text."""
    span = f"{date_text(answer.first, style)} to {date_text(answer.last, style)}"
    lines = [bold(f"{answer.readings_count} readings, {span}")]
    for bed in answer.beds:
        lines += ["", *_bed_lines(bed, width, style)]
    lines += _day_lines(answer, width, style) + _lamp_lines(answer, width) + _warm_lines(answer, width, style)
    lines += _heat_lines(answer, width, style) + _proposal_lines(answer, width)
    return "\n".join(lines + basis_lines(answer.basis, width, style))


def read_tables(answer: ReadAnswer) -> tuple[Table, ...]:
    """Return factors, days of light, warmth by month and spots as data."""
    return factors_table(answer), light_days_table(answer.days), warmth_table(answer), spots_table(answer)


def factors_table(answer: ReadAnswer) -> Table:
    """Return the factor fitted for each bed."""
    names = "bed pairs_count used_count factor low high"
    caption = "Light of each bed against clean panes without a frame"
    return table_of("factors", caption, ((bed,) for bed in answer.beds), columns(BedFactor, names))


def light_days_table(days: Sequence[DayOfLight]) -> Table:
    """Return the light of whole days."""
    (gaps,) = columns(DayOfLight, "gaps").fields
    rows = ((day, ", ".join(day.gaps) or "none") for day in days)
    names = "on place dli_mol_m2_d whole_dli_mol_m2_d covered_share"
    return table_of("days", "Light of whole days", rows, columns(DayOfLight, names), gaps)


def warmth_table(answer: ReadAnswer) -> Table:
    """Return the warmth of each month and place."""
    rows = (
        (month, month.place or WHOLE_HOUSE, month)
        for month in sorted(answer.months, key=lambda month: (month.month, month.place))
    )
    names = "day_degc night_degc coldest_degc days_count"
    month, place = columns(SpotMonth, "month"), Field("place", "place")
    return table_of("warmth", "Warmth", rows, month, place, columns(SpotMonth, names))


def spots_table(answer: ReadAnswer) -> Table:
    """Return how each place differs from the middle of all places."""
    (suits,) = columns(Spot, "suits").fields
    rows = ((spot.place or WHOLE_HOUSE, spot, ", ".join(spot.suits)) for spot in answer.spots)
    names = "day_k night_k error_k days_count verdict"
    return table_of("spots", "Warm and cold places", rows, Field("place", "place"), columns(Spot, names), suits)


def _bed_lines(bed: BedFactor, width: int, style: Style) -> list[str]:
    lines = [bold(f"Bed {bed.bed}: {bed.pairs_count} pairs")]
    if bed.factor is None or bed.low is None or bed.high is None:
        lines += wrap(written(NO_FACTOR(why=bed.refused), style), width)
    else:
        days = "day" if bed.days_count == 1 else "days"
        text = (
            f"The bed gets {bed.factor:.2f} of what clean panes without a frame would give "
            f"({bed.low:.2f} to {bed.high:.2f}, nine times in ten; {bed.used_count} pairs, {bed.days_count} {days})."
        )
        if bed.assumed_factor is not None:
            text += f" Assumed so far: {bed.assumed_factor:.2f}."
        lines += wrap(text, width)
        lines += wrap(written(bed.told, style), width) if bed.told else []
    for remark in bed.remarks:
        lines += wrap(written(remark, style), width)
    if bed.next_reading:
        lines += wrap(written(NEXT_READING(what=bed.next_reading), style), width)
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


def _heat_lines(answer: ReadAnswer, width: int, style: Style) -> list[str]:
    fit = answer.heat
    if fit is None:
        return []
    said = [fit.told]
    if fit.leak_per_h is not None:
        parts = (fit.leak_per_h, fit.leak_low_per_h or 0.0, fit.leak_high_per_h or 0.0)
        said.insert(
            0, heatwords.LEAKS(**dict(zip(("leak", "low", "high"), (f"{part:.2f}" for part in parts), strict=True)))
        )
    if fit.loss_factor is not None:
        told = {"factor": f"{fit.loss_factor:.2f}", "low": f"{fit.low or 0.0:.2f}", "high": f"{fit.high or 0.0:.2f}"}
        said.insert(0, heatwords.FITTED(nights=fit.nights_count, **told))
    return ["", bold("Heat it loses"), *wrap(" ".join(written(text, style) for text in said), width)]


def _spot_lines(answer: ReadAnswer, width: int, style: Style) -> list[str]:
    if not answer.spots and answer.hang is None:
        return []
    lines = [""]
    for spot in answer.spots:
        suits = f" Suits best of all places: {'; '.join(spot.suits)}." if spot.suits else ""
        day, night = (_signed(value, style) for value in (spot.day_k, spot.night_k))
        error = QUANTITIES["temp_difference"].text(spot.error_k, style)
        text = (
            f"{spot.place or WHOLE_HOUSE}: {written(spot.verdict, style)} ({day} by day, {night} at night "
            f"against the middle of all places, ± {error})."
        )
        lines += wrap(text + suits, width)
    said = [text for text in (answer.thermostat, "" if answer.hang is None else answer.hang.told) if text]
    return [*lines, *(line for text in said for line in wrap(written(text, style), width))]


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
    return ["", *wrap(head, width), *[part for line in proposal.lines for part in _line_of_file(line, width)]]


def _line_of_file(line: str, width: int) -> list[str]:
    """A line of a house file as it may stand in one: a long list goes over several."""
    if len(line) + 2 <= width or "#" in line:
        return [f"  {line}"]
    return textwrap.wrap(line, width, initial_indent="  ", subsequent_indent="    ", break_long_words=False)
