"""What a run over a region did, as text and as tables of its places."""

from __future__ import annotations

from collections.abc import Sequence

from tenhour.model.atlas import HIGHEST_M, AtlasAnswer
from tenhour.report.common import basis_lines
from tenhour.report.tables import Table
from tenhour.report.terminal import heading, wrap
from tenhour.words import atlas as words
from tenhour.words.style import Style
from tenhour.words.text import written


def atlas_tables(answer: AtlasAnswer) -> Sequence[Table]:
    """None: the tables of a run are files."""
    return ()


def atlas_text(answer: AtlasAnswer, width: int, style: Style) -> str:
    """Answer as text."""
    told = words.RUN(
        sites=answer.sites, holes=answer.holes, limit=HIGHEST_M, chunks=answer.chunks, kept=answer.chunks_kept
    )
    lines = [*heading("Atlas", "", width), "", *wrap(written(told, style), width), ""]
    lines += [*wrap(words.FILES(), width), *(f"  {name}" for name in answer.files)]
    return "\n".join([*lines, *basis_lines(answer.basis, width, style)])
