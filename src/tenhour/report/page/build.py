"""Put the page together."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from tenhour import __version__
from tenhour.model.report import ReportAnswer
from tenhour.report.page import sections
from tenhour.report.page.drawn import Drawings, filled
from tenhour.report.page.html import Html, tag
from tenhour.report.page.style import css
from tenhour.report.page.warmth import warmth
from tenhour.words.style import Style, date_text, quantity_text

POLICY: Final = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
"""Nothing is fetched and no script runs, whatever a name in a house file holds."""


def page_html(
    answer: ReportAnswer,
    style: Style,
    wait_for: Callable[[], Drawings] | None = None,
    *,
    notices: Sequence[str] = (),
) -> str:
    """Return the whole page as one HTML document.

    Parameters: answer; style; wait_for, which brings pictures that are being drawn elsewhere; notices, whose data the
    page rests on and on what terms.
    """
    page = _text(answer, style, notices)
    return filled(page, _draw_here(answer, style) if wait_for is None else wait_for())


def _text(answer: ReportAnswer, style: Style, notices: Sequence[str]) -> str:
    """Return the page with gaps for its pictures."""
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
    body = tag(
        "body",
        tag("a", "Skip to the answer", href="#main", class_="skip"),
        _header(answer, style),
        _contents([(key, title) for key, title, _ in parts]),
        tag("main", *(_section(key, title, inner) for key, title, inner in parts), id="main"),
        tag(
            "footer",
            tag("p", f"Made by tenhour {__version__} for {date_text(answer.on, style)}."),
            *([tag("p", "Data of others in this page:")] if notices else []),
            *([tag("ul", *(tag("li", notice) for notice in notices))] if notices else []),
        ),
    )
    return f"<!DOCTYPE html>\n{tag('html', _head(answer), body, lang='en')}\n"


def _draw_here(answer: ReportAnswer, style: Style) -> Drawings:
    """Load the plotting library and draw."""
    from tenhour.report.page.drawing import draw

    return draw(answer, style)


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


def _section(key: str, title: str, inner: Html) -> Html:
    return tag("section", tag("h2", title, id=f"{key}-heading"), inner, id=key, aria_labelledby=f"{key}-heading")
