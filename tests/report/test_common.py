"""The closing remarks of an answer: short unless all are asked for, carbon monoxide never left out."""

from __future__ import annotations

from tenhour.model.results import Basis
from tenhour.report.common import basis_lines
from tenhour.words.style import METRIC, Style

GAS = "A carbon monoxide alarm in every heated house."
BASIS = Basis(
    {}, tuple(f"Thing {n}." for n in range(12)), ("One.", "Two.", "Three."), ("Wet.", "Hot.", "Bright.", "High.", GAS)
)


def test_short_remarks_fit_and_keep_the_gas() -> None:
    assert basis_lines(BASIS, 80, METRIC, "Light calibrated by 12 pairs.") == [
        "", "Warnings", "- One.", "- Two.", "- 1 more: --cautions.",
        "", "Cautions", f"- {GAS}", "- Wet.", "- Hot.", "- 2 more that may touch you: --cautions.",
        "", "Light calibrated by 12 pairs.",
        "12 things assumed: tenhour check tells those of the house, --cautions all.",
    ]  # fmt: skip


def test_all_remarks_are_there_when_asked_for() -> None:
    text = "\n".join(basis_lines(BASIS, 80, Style(all_notes=True)))
    assert all(note in text for note in (*BASIS.assumptions, *BASIS.warnings, *BASIS.cautions))
    assert "--cautions" not in text


def test_nothing_to_remark_says_nothing() -> None:
    assert basis_lines(Basis({}), 80, METRIC) == []
