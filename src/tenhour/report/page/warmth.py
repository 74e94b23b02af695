"""The section on warmth: the winter inside and under cover, fuel, a cold night, and what helps."""

from __future__ import annotations

from collections.abc import Iterator

from tenhour.model.heat_answer import HeatAnswer
from tenhour.model.report import ReportAnswer
from tenhour.report.common import nights_text
from tenhour.report.heat import heat_tables, winter_sentences
from tenhour.report.page.drawing import figures, warmth_pictures
from tenhour.report.page.html import Html, around, folded, table_html, tag
from tenhour.report.tables import find_table
from tenhour.words.style import Style
from tenhour.words.text import joined, written


def warmth(heat: HeatAnswer, answer: ReportAnswer, style: Style) -> Iterator[Html]:
    """Temperatures by month, what heat and fuel they take, a cold night hour by hour, what helps, places."""
    tables = heat_tables(heat)
    yield tag("p", written(nights_text(answer.season.nights), style))
    yield tag("p", written(joined(winter_sentences(heat)), style))
    yield from around("div", figures(warmth_pictures(heat, answer, style)), class_="pictures")
    for key, title in (
        ("months", "Warmth and heat, month by month"),
        ("night", "The cold night, hour by hour"),
        ("measures", "What helps"),
        ("spots", "Warm and cold places on a cold night"),
        ("mats", "Mats under beds"),
        ("limits", "If the heat fails: hours to each limit of crops"),
        ("crop_hours", "Hours too cold for each crop, month by month"),
    ):
        table = find_table(tables, key)
        if table is not None and table.rows:
            yield folded(title, table_html(table, style))
