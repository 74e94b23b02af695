"""Pictures as the page takes them: finished, so that they may be drawn elsewhere while the text is written."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final, Literal, NamedTuple

from tenhour.report.page.html import Html, join, tag

MARK: Final = "\0"
"""Stands round the name of a gap in the text; no text of a user holds it, for control characters are dropped."""


Form = Literal["", "wide", "narrow"]
"""Whether a picture is for every width, or one of a pair for a desk and paper, and for a phone."""


class Drawn(NamedTuple):
    """One picture: title, SVG element, and for which width it is."""

    title: str
    svg: str
    form: Form


Drawings = Mapping[str, Sequence[Drawn]]
"""All pictures of a page, by the gap they belong into."""


def gap(name: str) -> Html:
    """Return a place in the text that pictures go into later."""
    return Html(f"{MARK}{name}{MARK}")


def filled(page: str, drawings: Drawings) -> str:
    """Put the pictures into their gaps. Errors: KeyError for a gap without pictures."""
    pieces = page.split(MARK)
    pieces[1::2] = [join(*(_figure(drawn) for drawn in drawings[name])) for name in pieces[1::2]]
    return "".join(pieces)


def _figure(drawn: Drawn) -> Html:
    """Return a picture in its frame."""
    return tag("figure", Html(drawn.svg), class_=drawn.form or None)
