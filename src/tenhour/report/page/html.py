"""HTML from text and elements: everything is escaped unless it was made here."""

from __future__ import annotations

import html
import re
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import Final

from tenhour.report.tables import MISSING, Table
from tenhour.words.style import MONTH_NAMES, Style

SHORT: Final = 14
"""Cells of so few signs are never broken."""
FEW_COLUMNS: Final = 8
"""More columns than this need a wide desk."""
MANY_COLUMNS: Final = 14
"""More columns than this fit nowhere: their rows are lists."""
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
    head = _begun(name, attributes)
    return Html(head if name in VOID else f"{head}{join(*children)}</{name}>")


def around(name: str, pieces: Iterable[Html], /, **attributes: str | int | bool | None) -> Iterator[Html]:
    """One element piece by piece, of which the whole is too long to be held; attributes as of :func:`tag`."""
    yield Html(_begun(name, attributes))
    yield from pieces
    yield Html(f"</{name}>")


def _begun(name: str, attributes: dict[str, str | int | bool | None]) -> str:
    parts = [name]
    for key, value in attributes.items():
        if value is None or value is False:
            continue
        shown = key.rstrip("_").replace("_", "-")
        parts.append(shown if value is True else f'{shown}="{escape(str(value))}"')
    return f"<{' '.join(parts)}>"


def join(*children: Child) -> Html:
    """Join elements and text, text escaped."""
    return Html("".join(child if isinstance(child, Html) else escape(child) for child in children if child is not None))


def table_html(table: Table, style: Style, *, caption: bool = True, labels: bool = True) -> Html:
    """Return a data table; the first column heads its rows.

    Where there is no room for its columns, every row becomes a list of its cells, each with its heading before it: so
    nothing scrolls sideways, and the roles keep it a table for those who hear it. ``labels``: whether cells carry their
    heading for that; without the page's style they would show twice.
    """
    heads = [field.heading(style) for field in table.fields]
    head = tag(
        "tr",
        *(
            tag("th", words, scope="col", role="columnheader", class_="n" if field.right else None)
            for words, field in zip(heads, table.fields, strict=True)
        ),
        role="row",
    )
    named = [tag("i", words, aria_hidden="true") if labels else Html("") for words in heads]
    rows = []
    for first, *rest in table.text_rows(style):
        cells = "".join(
            f'<td role="cell"{_look(field.right, cell)}>{words}<span>{escape(cell)}</span></td>'
            for words, field, cell in zip(named[1:], table.fields[1:], rest, strict=True)
        )
        look = _look(table.fields[0].right, first)
        rows.append(Html(f'<tr role="row"><th scope="row" role="rowheader"{look}>{escape(first)}</th>{cells}</tr>'))
    title = tag("caption", table.caption) if caption else None
    width = " most" if len(heads) > MANY_COLUMNS else " many" if len(heads) > FEW_COLUMNS else ""
    return tag(
        "table",
        title,
        tag("thead", head, role="rowgroup"),
        tag("tbody", *rows, role="rowgroup"),
        class_=f"rows{width}",
        role="table",
    )


def _look(right: bool, cell: str) -> str:
    """Class of a cell: numbers stand at the right; dates, times and other short words stay on one line."""
    look = "n" if right else "w" if len(cell) <= SHORT else ""
    if cell == MISSING:
        look = f"{look} none".strip()
    return f' class="{look}"' if look else ""


def bullets(texts: tuple[str, ...] | list[str], *, class_: str | None = None) -> Html:
    """Return a list of remarks."""
    return tag("ul", *(tag("li", text) for text in texts), class_=class_)


def folded(summary: str, *children: Child, class_: str | None = None) -> Html:
    """Return something a reader may unfold."""
    return tag("details", tag("summary", summary), *children, class_=class_)
