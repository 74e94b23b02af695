"""An answer as Python hands it out: text, JSON, data frames, a table in a notebook."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, Final

from tenhour.door.arguments import choice_of, number_of
from tenhour.model.fields import entries
from tenhour.report.answers import answer_json, json_text

if TYPE_CHECKING:
    import pandas as pd

    from tenhour.model.results import Answer as AnswerModel
    from tenhour.report.tables import Table
    from tenhour.words.style import Style

WIDTH: Final = 80
SHOWN_ROWS: Final = 60
"""Rows of a table that a notebook shows of an answer by itself. Judgement."""


class Answer:
    """An answer: printed it is the command's text; its lists are data frames; the rest are plain values.

    ``answer.crops`` is a data frame if the JSON has a list of that name, otherwise the value of that key.
    """

    def __init__(
        self,
        answer: AnswerModel,
        text: Callable[[int, Style], str],
        tables: Callable[[], Sequence[Table]],
        us_units: bool,
    ) -> None:
        """Hold an answer and what writes it; the methods of :class:`Year` make one."""
        self.data = answer
        self._write = text
        self._tables = tables
        self._us_units = us_units

    def to_json(self) -> str:
        """The JSON that the command prints: SI units, ISO dates (docs/schema)."""
        return json_text(self.data)

    def to_dict(self) -> dict[str, Any]:
        """The same as a dict of plain values."""
        return answer_json(self.data)

    @cached_property
    def _frames(self) -> dict[str, pd.DataFrame]:
        from tenhour.report.frames import frames_of

        return frames_of(self.data)

    @property
    def frames(self) -> dict[str, pd.DataFrame]:
        """Every list as a data frame, by name; yours to change."""
        return {name: frame.copy() for name, frame in self._frames.items()}

    def tables(self) -> Sequence[Table]:
        """The tables of the answer, as the page of ``report`` shows them."""
        return self._tables()

    def text(self, width: int = WIDTH, units: str | None = None, dates: str = "iso") -> str:
        """The command's text.

        Parameters: width, columns, 40 or more; units, "metric" or "us", that of the house file if None; dates, how
        they are written: "iso", "long", "us" or "locale".
        Errors: FileProblem.
        """
        from tenhour.report.terminal import plain
        from tenhour.words.style import DATE_STYLES, Style

        styles = {style: style for style in DATE_STYLES}
        us_units = self._us_units if units is None else choice_of("units", units, ("metric", "us")) == "us"
        style = Style(us_units, styles[choice_of("dates", dates, styles)])  # type: ignore[index]
        return plain(self._write(int(number_of("width", width, 40, 1000)), style))

    def __str__(self) -> str:
        return self.text()

    def __repr__(self) -> str:
        return f"<answer of {self.data.COMMAND}: {', '.join(self._frames)}>"

    def __getattr__(self, name: str) -> Any:
        if not name.startswith("_"):
            if name in self._frames:
                return self._frames[name].copy()
            for entry in entries(type(self.data)):
                if entry.name == name:
                    return entry.of(self.data)
        raise AttributeError(f"this answer has no {name!r}; its tables: {', '.join(self._frames)}")

    def __dir__(self) -> list[str]:
        return sorted({*super().__dir__(), *self._frames, *(entry.name for entry in entries(type(self.data)))})

    def _repr_html_(self) -> str:
        """The first table of the answer, for a notebook."""
        from tenhour.report.page.html import join, table_html, tag
        from tenhour.words.style import Style

        tables = self._tables()
        if not tables:
            return tag("pre", str(self))
        first, more = tables[0], len(tables[0].rows) - SHOWN_ROWS
        shown = table_html(replace(first, rows=first.rows[:SHOWN_ROWS]), Style(us_units=self._us_units), labels=False)
        rest = [f"{more} more rows." if more > 0 else "", f"Tables: {', '.join(self._frames)}."]
        return join(shown, tag("p", " ".join(part for part in rest if part)))
