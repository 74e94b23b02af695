"""HTML from text and elements: everything is escaped unless it was made here."""

from __future__ import annotations

import html
import re
from functools import lru_cache
from typing import Final

from tenhour.report.tables import Field, Table
from tenhour.words.style import MONTH_NAMES, Style

SHORT: Final = 14
"""Cells of so few signs are never broken."""
VOID: Final = frozenset({"meta", "link", "br", "hr", "img"})
_DROPPED: Final = {n: None for n in range(32) if n not in (9, 10)} | dict.fromkeys(range(127, 160))
"""Control characters have no place in HTML; tab and line feed stay."""

_TOGETHER: Final = re.compile(
    rf"\b\d{{1,2}} (?:{'|'.join(MONTH_NAMES)})\b(?: \d{{4}}\b)?|(?:[\d.]+ )?(?:µmol|mol|kg|g|W) m⁻²(?: [ds]⁻¹)?"
)
"""Dates as people write them, and units with a power."""


class Html(str):
    """Markup made by this module or by the drawing room; any other string is text and gets escaped."""

    __slots__ = ()


Child = Html | str | None


@lru_cache(maxsize=4096)
def escape(text: str) -> Html:
    """Text as markup: safe between tags and inside a quoted attribute; no line breaks inside dates and units."""
    whole = text.translate(_DROPPED)
    if len(whole) > SHORT:
        whole = _TOGETHER.sub(lambda found: found[0].replace(" ", "\N{NO-BREAK SPACE}"), whole)
    return Html(html.escape(whole, quote=True))


def tag(name: str, /, *children: Child, **attributes: str | int | bool | None) -> Html:
    """One element. ``class_`` loses its underscore, other names turn theirs into hyphens; None leaves one out."""
    parts = [name]
    for key, value in attributes.items():
        if value is None or value is False:
            continue
        shown = key.rstrip("_").replace("_", "-")
        parts.append(shown if value is True else f'{shown}="{escape(str(value))}"')
    head = f"<{' '.join(parts)}>"
    if name in VOID:
        return Html(head)
    return Html(f"{head}{join(*children)}</{name}>")


def join(*children: Child) -> Html:
    """Join elements and text, text escaped."""
    return Html("".join(child if isinstance(child, Html) else escape(child) for child in children if child is not None))


def table_html(table: Table, style: Style, *, caption: bool = True) -> Html:
    """Return a data table in a frame that scrolls sideways and takes the keyboard; the first column heads its rows."""
    head = tag(
        "tr",
        *(tag("th", field.heading(style), scope="col", class_="n" if field.right else None) for field in table.fields),
    )
    rows = []
    for cells in table.text_rows(style):
        first = tag("th", cells[0], scope="row", class_=_look(table.fields[0], cells[0]))
        rest = [
            tag("td", cell, class_=_look(field, cell)) for field, cell in zip(table.fields[1:], cells[1:], strict=True)
        ]
        rows.append(tag("tr", first, *rest))
    title = tag("caption", table.caption) if caption else None
    inner = tag("table", title, tag("thead", head), tag("tbody", *rows))
    return scroll(inner, table.caption)


def _look(field: Field, cell: str) -> str | None:
    """Numbers stand at the right; dates, times and other short words stay on one line."""
    if field.right:
        return "n"
    return "w" if len(cell) <= SHORT else None


def scroll(inner: Html, label: str) -> Html:
    """Frame that scrolls sideways where there is no room, with a name and a place in the tab order."""
    return tag("div", inner, class_="scroll", tabindex=0, role="region", aria_label=label)


def bullets(texts: tuple[str, ...] | list[str], *, class_: str | None = None) -> Html:
    """Return a list of remarks."""
    return tag("ul", *(tag("li", text) for text in texts), class_=class_)


def folded(summary: str, *children: Child, class_: str | None = None) -> Html:
    """Return something a reader may unfold."""
    return tag("details", tag("summary", summary), *children, class_=class_)
