"""Put the page together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from tenhour import __version__
from tenhour.model.report import ReportAnswer
from tenhour.report.page import sections
from tenhour.report.page.html import Html, around, tag
from tenhour.report.page.style import css
from tenhour.report.page.warmth import warmth
from tenhour.words.style import Style, date_text, quantity_text

POLICY: Final = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
"""Nothing is fetched and no script runs, whatever a name in a house file holds."""


def page_html(answer: ReportAnswer, style: Style, *, notices: Sequence[str] = ()) -> str:
    """Return the whole page as one HTML document; see :func:`page_pieces`."""
    return "".join(page_pieces(answer, style, notices=notices))


def page_pieces(answer: ReportAnswer, style: Style, *, notices: Sequence[str] = ()) -> Iterator[str]:
    """Return the page piece by piece: that of many beds is long.

    Parameters: answer; style; notices, whose data the page rests on and on what terms.
    """
    parts = [
        ("today", "Today", sections.today(answer, style)),
        ("sow", "What to sow now", sections.sow_now(answer, style)),
        ("season", "The season", sections.season(answer, style)),
        ("light", "Light through the year", sections.light(answer, style)),
        ("maps", "Light over the beds", sections.maps(answer, style)),
        ("sun", "The sun over the year", sections.sun(answer, style)),
        *([("lamps", "Lamps", sections.lamps(answer, style))] if answer.lamps else []),
        *([] if answer.heat is None else [("warmth", "Warm enough?", warmth(answer.heat, answer, style))]),
        ("sure", "What was assumed, how sure it is", sections.sure(answer, style)),
    ]
    yield "<!DOCTYPE html>\n"
    yield from around("html", _whole(answer, style, parts, notices), lang="en")
    yield "\n"


def _whole(
    answer: ReportAnswer, style: Style, parts: Sequence[tuple[str, str, Iterable[Html]]], notices: Sequence[str]
) -> Iterator[Html]:
    yield _head(answer)
    yield from around("body", _body(answer, style, parts, notices))


def _body(
    answer: ReportAnswer, style: Style, parts: Sequence[tuple[str, str, Iterable[Html]]], notices: Sequence[str]
) -> Iterator[Html]:
    yield tag("a", "Skip to the answer", href="#main", class_="skip")
    yield _header(answer, style)
    yield _contents([(key, title) for key, title, _ in parts])
    yield from around("main", (piece for part in parts for piece in _section(*part)), id="main")
    yield tag(
        "footer",
        tag("p", f"Made by tenhour {__version__} for {date_text(answer.on, style)}."),
        *([tag("p", "Data of others in this page:")] if notices else []),
        *([tag("ul", *(tag("li", notice) for notice in notices))] if notices else []),
    )


def _head(answer: ReportAnswer) -> Html:
    return tag(
        "head",
        tag("meta", charset="utf-8"),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("meta", name="color-scheme", content="light dark"),
        tag("meta", http_equiv="Content-Security-Policy", content=POLICY),
        tag("meta", name="generator", content=f"tenhour {__version__}"),
        tag("title", f"{answer.house or 'Greenhouse'}: light and sowing"),
        tag("style", Html(css())),
    )


def _header(answer: ReportAnswer, style: Style) -> Html:
    light = answer.light
    height = quantity_text("elevation", light.elevation_m, style)
    where = f"{light.latitude_deg:.2f}°, {light.longitude_deg:.2f}°, {height} above the sea"
    place = f"{light.place} ({where})" if light.place and light.place != answer.house else where
    return tag(
        "header",
        tag("h1", answer.house or "The greenhouse"),
        tag("p", f"{place}. {date_text(answer.on, style)}.", class_="quiet"),
    )


def _contents(entries: Sequence[tuple[str, str]]) -> Html:
    items = [tag("li", tag("a", title, href=f"#{key}")) for key, title in entries]
    return tag("nav", tag("ul", *items), aria_label="On this page")


def _section(key: str, title: str, inner: Iterable[Html]) -> Iterator[Html]:
    yield from around("section", _under(key, title, inner), id=key, aria_labelledby=f"{key}-heading")


def _under(key: str, title: str, inner: Iterable[Html]) -> Iterator[Html]:
    yield tag("h2", title, id=f"{key}-heading")
    yield from inner
