"""The sowing answer as text, tables and JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from tenhour.model.results import BedSowing, CropVerdict, Raising, SowAnswer
from tenhour.report.common import basis_lines, style_of
from tenhour.report.sow_screen import screen_lines
from tenhour.report.tables import Table, columns, table_of
from tenhour.report.terminal import ROOMY, beside, bold, heading, wrap
from tenhour.words.crops import crop_name
from tenhour.words.remarks import STANDS_THERE
from tenhour.words.style import Style, date_text, quantity_text
from tenhour.words.text import after, joined, listed, written

VERDICT_WORDS: Final = {
    "sow": "sow now",
    "stand-small": "sow to stand small",
    "raise": "raise first",
    "cut-young": "cut young",
    "slow": "slow",
    "wait": "wait",
    "needs-lamps": "needs lamps",
    "set-out-grown": "set out grown",
    "too-hot": "too hot",
    "too-cold": "too cold",
    "not-here": "not here",
}
SHOWN: Final = {
    "sow": 8,
    "stand-small": 6,
    "raise": 6,
    "cut-young": 4,
    "slow": 6,
    "wait": 6,
    "needs-lamps": 6,
    "set-out-grown": 6,
}
"""Crops of each verdict that get a line of their own unless everything is asked for."""
INDENT: Final = 2
LONGEST_NAME: Final = 24
WORTH_TELLING: Final = 25.0
"""Stretch from which it is told beside a sentence."""
LEGEND: Final = "light: daily mean in mol m⁻² d⁻¹ from sowing to harvest; stretch: 25 watch, 45 leggy, 65 stringy."


def sow_tables(answer: SowAnswer) -> tuple[Table, ...]:
    """Every table of the answer: all beds and crops, with all that is known of each."""
    names = (
        "crop name verdict sentence harvest_from harvest_to days_low days_median days_high dli_mol_m2_d "
        "needs_dli_mol_m2_d missing_dli_mol_m2_d stretch_score pays_from sow_by yield_kg_m2 yield_g_m2_d flags"
    )
    table = table_of(
        "crops",
        "What becomes of a sowing on the day asked for, best first on each bed.",
        ((bed, crop, crop.raising) for bed in answer.beds for crop in bed.crops),
        columns(BedSowing, "name"),
        columns(CropVerdict, names),
        columns(Raising, "set_out sooner_d"),
    )
    return (table,)


def sow_text(
    answer: SowAnswer, width: int, *, style: Style | None = None, everything: bool = False, by_bed: bool = True
) -> str:
    """Answer as text: per bed the crops by verdict, best first, each with its sentence; or the one screen.

    Parameters: everything, a line for every crop; by_bed, False for the one screen that says what to do.
    Unless ``everything`` is asked for, only the best of each verdict get a line of their own, the rest are named.
    """
    chosen = style_of(answer.us_units, style)
    if not by_bed and not everything:
        return "\n".join(screen_lines(answer, width, chosen))
    lines = [bold(f"Sowing on {date_text(answer.on, chosen)}")]
    for bed in answer.beds:
        lines += ["", *_bed_lines(bed, width, chosen, everything)]
    lines += ["", *wrap(LEGEND, width)]
    lines += basis_lines(answer.basis, width, chosen, answer.calibration)
    return "\n".join(lines)


def _bed_lines(bed: BedSowing, width: int, style: Style, everything: bool) -> list[str]:
    lines = heading(f"Bed {bed.name}", "", width)
    if bed.standing:
        lines += wrap(written(STANDS_THERE(what=listed(bed.standing)), style), width)
    for verdict, word in VERDICT_WORDS.items():
        crops = [crop for crop in bed.crops if crop.verdict == verdict]
        if crops:
            shown = len(crops) if everything else SHOWN.get(verdict, 0)
            lines += _verdict_lines(word, crops, shown, width, style)
    return lines


def _verdict_lines(word: str, crops: Sequence[CropVerdict], shown: int, width: int, style: Style) -> list[str]:
    lines = [f"{word[0].upper()}{word[1:]}:"]
    name_width = min(max(len(_short(crop)) for crop in crops), LONGEST_NAME)
    said = [(_short(crop), _told(crop, style, width)) for crop in crops[:shown]]
    lines += beside(said, name_width, width, " " * INDENT)
    if crops[shown:]:
        rest = ", ".join(_short(crop) for crop in crops[shown:])
        label = "also: " if shown else ""
        lines += wrap(label + rest + ".", width, " " * INDENT)
    return lines


def _short(crop: CropVerdict) -> str:
    """Key as words: short, and no two crops share it."""
    return crop_name(crop.crop)


def _told(crop: CropVerdict, style: Style, width: int) -> str:
    """Sentence, flags and, where there is room, the numbers a grower compares."""
    sentence = after(f"{VERDICT_WORDS[crop.verdict]}: ", crop.sentence)
    parts = [sentence, *crop.flags, *([] if crop.raising is None else [crop.raising.sentence])]
    parts.append(crop.moved_in)
    numbers = []
    if width >= ROOMY and crop.dli_mol_m2_d is not None:
        numbers.append(f"light {crop.dli_mol_m2_d:.1f}")
    if width >= ROOMY and crop.needs_dli_mol_m2_d is not None:
        numbers.append(f"needs {crop.needs_dli_mol_m2_d:.1f}")
    if crop.stretch_score is not None and crop.stretch_score >= WORTH_TELLING:
        numbers.append(f"stretch {crop.stretch_score:.0f}")
    if width >= ROOMY and crop.yield_kg_m2:
        numbers.append(quantity_text("yield", crop.yield_kg_m2, style))
    return written(joined(parts), style) + (f" ({', '.join(numbers)})" if numbers else "")
