"""The questions a page may ask of the house-year: the words of the page, checked, to the door's own methods."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Mapping
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from tenhour.door import Answer, Year
from tenhour.door.arguments import day_of, number_of
from tenhour.errors import ARGUMENT, FileProblem, Problem
from tenhour.files.keptplan import read_plan
from tenhour.model.feed import FeedAnswer
from tenhour.model.heat_answer import HeatAnswer
from tenhour.model.house import House
from tenhour.model.lamp_answer import LampAnswer
from tenhour.model.log import LogLine
from tenhour.model.results import Answer as AnswerModel
from tenhour.report.page.html import join, table_html, tag
from tenhour.words.style import DATE_STYLES, DateStyle, Style
from tenhour.words.text import Text, written

if TYPE_CHECKING:
    from tenhour.report.page.drawing import Drawn

WIDTH: Final = 78
READINGS: Final = "readings.csv"
PLAN: Final = "plan.json"
MOST: Final = 1e6
"""Numbers are heard up to here; whether one makes sense the answer says."""
READINGS_HEAD: Final = "time,place,x_m,y_m,lux"
Words = Mapping[str, Any]


def _day(words: Words, name: str, today: date) -> str:
    return str(words.get(name) or today.isoformat())


def _light(year: Year, words: Words, today: date) -> Answer:
    return year.light(on=_day(words, "on", today))


def _week(year: Year, words: Words, today: date) -> Answer:
    return year.week(_day(words, "on", today))


def _sow(year: Year, words: Words, today: date) -> Answer:
    return year.sow(_day(words, "on", today), beds=_names(words, "beds"))


def _season(year: Year, words: Words, today: date) -> Answer:
    return year.season(_day(words, "start", today), beds=_names(words, "beds"))


def _heat(year: Year, words: Words, today: date) -> Answer:
    from tenhour.report.heat import heat_tables, heat_text

    answer = year.model.heat(today=day_of("on", _day(words, "on", today)))
    us_units = year.house.model.us_units
    return Answer(answer, lambda w, s: heat_text(answer, w, s), lambda: heat_tables(answer), us_units)


def _lamps(year: Year, words: Words, today: date) -> Answer:
    given = {key: words[key] for key in ("lamp", "price", "hours_h", "dli_mol_m2_d", "harvest_by") if words.get(key)}
    bed, crop = str(words.get("bed", "")), str(words.get("crop", ""))
    return year.lamps(bed, crop, start=_day(words, "on", today), over_bed=words.get("over_bed") is True, **given)


def _feed(year: Year, words: Words, today: date) -> Answer:
    given = {key: words[key] for key in ("people_count", "step_weeks", "seconds_s") if words.get(key)}
    path = plan_path(Path(year.house.model.path))
    return year.feed(_day(words, "on", today), kept=path if _is_plan(path) else None, **given)


def plan_path(house: Path) -> Path:
    """Where the page keeps the household's plan: beside the house file."""
    return house.parent / PLAN


def _is_plan(path: Path) -> bool:
    """Whether a plan was kept there; what else may bear its name is left alone."""
    try:
        return path.exists() and read_plan(path) is not None
    except FileProblem:
        return False


def plan_text(path: Path, answer: Answer) -> str:
    """The text to keep a plan by. Errors: FileProblem where a file of that name holds anything but a plan."""
    if path.exists():
        read_plan(path)
    return answer.to_json() + "\n"


def lamps_kept(year: Year, text: str, path: Path, words: Words, today: date) -> str:
    """The text of the house file with the lamps of a plan over their bed, as ``tenhour lamps --keep`` writes them.

    Parameters: year; text, of the house file; path, its own; words, of the question; today.
    Errors: FileProblem; NoAnswer where no lamps are needed.
    """
    from tenhour.files.keep import with_lamps
    from tenhour.files.lamp import LampChoice, find_lamp
    from tenhour.year.inside.lit import hung_values

    plan = _lamps(year, {**words, "over_bed": True}, today).data
    assert isinstance(plan, LampAnswer)
    lamp = find_lamp(LampChoice(str(words.get("lamp") or "led-bar")))
    remark = f"planned by tenhour lamps for {' and '.join(plan.crops)}"
    return with_lamps(text, path, hung_values(plan, lamp), remark)


def _why(year: Year, words: Words, today: date) -> Answer:
    keys = ("day_degc", "night_degc", "density_per_m2", "dli_mol_m2_d")
    numbers: dict[str, Any] = {
        key: number_of(key, words[key], -MOST, MOST) for key in keys if words.get(key) is not None
    }
    return year.why(
        str(words.get("crop", "")), _day(words, "sown", today), _day(words, "seen", today),
        bed=words.get("bed") or None, up=words.get("up") or None, signs=_names(words, "signs"), **numbers,
    )  # fmt: skip


ASKED: Final[Mapping[str, Callable[[Year, Words, date], Answer]]] = {
    "light": _light,
    "week": _week,
    "sow": _sow,
    "season": _season,
    "heat": _heat,
    "feed": _feed,
    "lamps": _lamps,
    "why": _why,
}


def asked(year: Year, question: str, words: Words, today: date) -> Answer:
    """The answer of a command.

    Parameters: year; question, a key of ``ASKED``; words, arguments of the door's method; today.
    Errors: FileProblem, NoAnswer, as the door.
    """
    if question not in ASKED:
        raise FileProblem([Problem(ARGUMENT, "question", repr(question), f"one of {', '.join(ASKED)}", "")])
    return ASKED[question](year, words, today)


def told(answer: Answer, house: House, words: Words, today: date) -> dict[str, Any]:
    """An answer as the page takes it: its JSON with sentences for this reader, its text, its tables, its pictures.

    Parameters: answer; house; words, with the reader's way of writing dates under ``dates``; today.
    """
    dates: DateStyle = next((style for style in DATE_STYLES if style == words.get("dates")), "iso")
    style = Style(house.us_units, dates)
    return {
        "json": _for_reader(answer.to_dict(), style),
        "text": answer.text(WIDTH, dates=dates),
        "html": join(*(tag("section", table_html(table, style)) for table in answer.tables())),
        "pictures": [
            {"title": drawn.title, "svg": drawn.svg, "form": drawn.form}
            for drawn in (pictures(answer.data, style, today, house.site.latitude_deg) if words.get("pictures") else ())
        ],
        "cautions": list(answer.data.basis.cautions),
    }


def pictures(answer: AnswerModel, style: Style, today: date, latitude_deg: float) -> list[Drawn]:
    """The drawings of the report's page of an answer; none of most.

    Parameters: answer; style; today; latitude_deg, of the house, which tells the winter [°].
    """
    from tenhour.report.page.drawing import drawn
    from tenhour.report.pictures.feed import beds_picture, meals_picture
    from tenhour.report.pictures.lamps import clock_picture, hang_picture
    from tenhour.report.pictures.warmth import months_picture, night_picture

    found = []
    if isinstance(answer, FeedAnswer):
        for picture in (meals_picture, beds_picture):
            found += [picture(answer, style, today, narrow=narrow) for narrow in (False, True)]
    if isinstance(answer, LampAnswer):
        found.append(clock_picture(answer, "clock"))
        if answer.layout is not None:
            found.insert(0, hang_picture(answer, answer.layout, "hang", style))
    if isinstance(answer, HeatAnswer):
        found.append(months_picture(answer.months, "warm-year", today, latitude_deg, style))
        found.append(night_picture(answer.cold_night, "warm-night", style))
    return [drawn(picture) for picture in found]


def _for_reader(value: Any, style: Style) -> Any:
    """The same with its sentences in this reader's units and dates; numbers and dates alone stay as they are."""
    if isinstance(value, dict):
        return {key: _for_reader(part, style) for key, part in value.items()}
    if isinstance(value, list):
        return [_for_reader(part, style) for part in value]
    return written(value, style) if isinstance(value, Text) else value


def log_line(words: Words, today: date) -> LogLine:
    """A line for the log from what was ticked off. Errors: FileProblem."""
    from tenhour.model.log import WHATS

    what = next((known for known in WHATS if known == words.get("what")), None)
    if what is None:
        raise FileProblem([Problem(ARGUMENT, "what", repr(words.get("what")), f"one of {', '.join(WHATS)}", "")])
    crop, bed = str(words.get("crop", "")), str(words.get("bed", ""))
    on = day_of("on", _day(words, "on", today))
    most = {"fresh_g": 1e6, "area_m2": 1e4, "plants_count": 1e6}
    n = {key: None if words.get(key) is None else number_of(key, words[key], 0, top) for key, top in most.items()}
    count = n["plants_count"]
    return LogLine(
        on, what, crop, bed, fresh_g=n["fresh_g"], area_m2=n["area_m2"],
        plants_count=None if count is None else round(count),
        sown_on=day_of("sown_on", words["sown_on"]) if words.get("sown_on") else None,
    )  # fmt: skip


def readings(year: Year, path: Path, words: Words) -> Answer:
    """Readings in a file against the model, as ``tenhour read`` compares them. Errors: FileProblem."""
    from tenhour.files.readings.read import Wishes, read_readings
    from tenhour.files.spectra import load_meters, load_spectra
    from tenhour.report.read import read_tables, read_text
    from tenhour.year.readings.read import read_answer
    from tenhour.year.readings.readlight import LightTools

    house, lights = year.house.model, load_spectra()
    one_meter = {"one": True, "two": False}.get(str(words.get("meters")))
    wishes = Wishes(house.site.timezone, "", None, "", "", "", tuple(lights), house.beds)
    answer = read_answer(year.model, read_readings(path, wishes), LightTools(lights, load_meters(), one_meter))
    return Answer(answer, lambda w, s: read_text(answer, w, s), lambda: read_tables(answer), house.us_units)


def with_reading(text: str | None, words: Words) -> str:
    """The text of a table of readings with one more at its end.

    Parameters: text, None for a new table; words, of the reading: ``time``, ``place``, ``x_m`` and ``y_m``, ``lux``.
    Errors: FileProblem for a table with other columns, or a reading that is none.
    """
    head = (text or READINGS_HEAD).split("\n", 1)[0].strip()
    if head != READINGS_HEAD:
        do = "Add the reading there by hand."
        raise FileProblem([Problem(READINGS, "", f"columns {head[:80]}", READINGS_HEAD, do)])
    lux = number_of("lux", words.get("lux", ""), 0, 200_000)
    time = str(words.get("time", ""))
    try:
        datetime.fromisoformat(time)
    except ValueError:
        raise FileProblem([Problem(ARGUMENT, "time", repr(time), "a day and a time: 2027-01-15 11:40", "")]) from None
    spot = ["" if words.get(key) is None else f"{number_of(key, words[key], 0, 200):.2f}" for key in ("x_m", "y_m")]
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerow([time, str(words.get("place", ""))[:60], *spot, f"{lux:g}"])
    return (text or READINGS_HEAD + "\n").rstrip("\n") + "\n" + out.getvalue()


def _names(words: Words, key: str) -> tuple[str, ...]:
    given = words.get(key) or ()
    if not isinstance(given, list | tuple):
        raise FileProblem([Problem(ARGUMENT, key, repr(given), "a list of names", "")])
    return tuple(str(name) for name in given)
