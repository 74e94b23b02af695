"""The household's plan as one sheet of A4 to pin up: the beds as bars, a box to tick for every job, week by week."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, timedelta
from typing import Final

from tenhour.model.feed import FeedAnswer, FeedJob
from tenhour.report.page.html import Html, join, tag
from tenhour.report.pictures.feed import beds_picture
from tenhour.report.pictures.palette import FONT_STACK, LIGHT, css_variables
from tenhour.report.terminal import clean
from tenhour.words import feeding as words
from tenhour.words.crops import crop_name
from tenhour.words.style import Style, short_date
from tenhour.words.text import Text, listed, written

WEEK: Final = timedelta(days=7)
COLUMN_LINES: Final = 49.0
"""Lines of the small print in each of the two columns under the picture of the beds, a few of them spare."""
WEEK_LINES: Final = 0.3
"""Room that the rule over a week takes."""
COLUMNS: Final = 2
LINE_SIGNS: Final = 58
STYLE: Final = (
    "@page{size:A4 portrait;margin:10mm}*{box-sizing:border-box}"
    "body{margin:0 auto;max-width:190mm;color:var(--ink);background:#fff;font:7.5pt/1.3 " + FONT_STACK + "}"
    "h1{font-size:12pt;margin:0 0 1mm}p{margin:0 0 1mm}figure{margin:0 0 2mm}svg{display:block;width:100%;height:auto;"
    "max-height:78mm}.weeks{columns:2;column-gap:6mm}.week{break-inside:avoid;border-top:.3pt solid var(--line);"
    "padding:.3mm 0 .5mm}.week h2{font-size:7.5pt;margin:0;display:inline}ul{list-style:none;margin:0;padding:0}"
    "li{padding-left:4mm;text-indent:-4mm}.box{display:inline-block;width:2.4mm;height:2.4mm;border:.5pt solid "
    "var(--ink);margin-right:1.6mm;vertical-align:-.3mm;text-indent:0}.eat{color:var(--leaf)}.quiet{color:var(--quiet)}"
)
SHORT: Final = {
    "buy": words.SHEET_BUY, "sow": words.SHEET_SOW, "raise": words.SHEET_RAISE, "set-out": words.SHEET_OUT,
    "outdoors": words.SHEET_OUTDOORS, "move-in": words.SHEET_MOVE, "trays": words.SHEET_TRAYS,
    "clear": words.SHEET_CLEAR,
}  # fmt: skip


def wall_html(answer: FeedAnswer, style: Style) -> str:
    """One page to print; as many weeks as it holds, and it says from which day the next one goes on."""
    weeks, left = _weeks(answer, style)
    picture = beds_picture(answer, style, answer.weeks[0].start)
    head = written(words.WHOLE_SHEET(first=answer.weeks[0].start, last=answer.last), style)
    more = [] if left is None else [tag("p", written(words.SHEET_MORE(on=left), style), class_="quiet")]
    body = [
        tag("h1", head), tag("figure", Html(picture.svg())), tag("div", *weeks, class_="weeks"), *more,
        tag("p", written(words.SHEET_CARE(), style), class_="quiet"),
    ]  # fmt: skip
    top = [
        tag("meta", charset="utf-8"), tag("title", head),
        tag("style", Html(f":root{{{css_variables(LIGHT)}}}{STYLE}")),
    ]  # fmt: skip
    page = tag("html", tag("head", *top), tag("body", *body), lang="en")
    return f"<!doctype html>\n{page}\n"


def _weeks(answer: FeedAnswer, style: Style) -> tuple[list[Html], date | None]:
    """Weeks with their jobs and their food, and the first that finds no room."""
    names = answer.names
    out: list[Html] = []
    used, column = 0.0, 1
    for week in answer.weeks:
        jobs = [job for job in answer.jobs if week.start <= job.on < week.start + WEEK and job.do in SHORT]
        lines = _lines(answer, jobs, names, style)
        eat = listed([names.get(item.crop, item.crop) for item in week.eat])
        if not lines and not eat:
            continue
        tall = sum(math.ceil(len(line) / LINE_SIGNS) for line in lines) + math.ceil((len(eat) + 16) / LINE_SIGNS)
        used += tall + WEEK_LINES
        if used > COLUMN_LINES:  # a week is not torn apart: it begins the next column, or the next sheet
            used, column = tall + WEEK_LINES, column + 1
        if column > COLUMNS or used > COLUMN_LINES:
            return out, week.start
        out.append(_week(week.start, lines, eat, style))
    return out, None


def _week(start: date, lines: Sequence[str], eat: str, style: Style) -> Html:
    ticks = [tag("li", tag("span", class_="box"), clean(line)) for line in lines]
    food = [tag("span", f" eat {clean(eat)}", class_="eat")] if eat else []
    return tag("div", tag("h2", short_date(start, style)), join(*food), tag("ul", *ticks), class_="week")


def _lines(answer: FeedAnswer, jobs: Sequence[FeedJob], names: dict[str, str], style: Style) -> list[str]:
    """Jobs in a few words; seed to buy on one line."""
    bought = [names.get(job.crop, crop_name(job.crop)) for job in jobs if job.do == "buy"]
    out = [written(words.SHEET_BUY(names=listed(bought)), style)] if bought else []
    sizes = {(one.crop, one.bed, one.known_by): one for one in answer.sowings}
    trays = {(one.crop, one.bed, one.sow): one for one in answer.trays}
    for job in jobs:
        key, name = (job.crop, job.bed, job.sow), names.get(job.crop, crop_name(job.crop))
        if job.do in ("sow", "raise", "set-out", "outdoors", "move-in"):
            one = sizes[key]
            plants = str(one.plants_count or "")
            said: Text = SHORT[job.do](name=name, bed=job.bed, area=one.area_m2, plants=plants)
        elif job.do == "trays":
            said = words.SHEET_TRAYS(trays=words.trays_said(trays[key].trays_count), name=name, bed=job.bed)
        elif job.do == "clear":
            said = words.SHEET_CLEAR(name=name, bed=job.bed)
        else:
            continue
        out.append(written(said, style))
    return list(dict.fromkeys(out))
