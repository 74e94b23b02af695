"""The sections of the page, in its order; each takes the answer and returns markup."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from itertools import groupby
from typing import Final

from tenhour.model.lamp_answer import LampAnswer
from tenhour.model.report import ReportAnswer
from tenhour.model.results import CropVerdict, Verdict
from tenhour.report.common import weather_texts
from tenhour.report.jobs import jobs_by_month
from tenhour.report.lamps_data import clock_table, lamps_tables
from tenhour.report.light import ten_hour_sentence
from tenhour.report.light_data import light_tables, map_table
from tenhour.report.page.drawn import gap
from tenhour.report.page.html import Html, bullets, folded, join, table_html, tag
from tenhour.report.page.sheet import sheet_cards
from tenhour.report.page.shown import beds_shown, crops_shown
from tenhour.report.page.today import today_sentences
from tenhour.report.season_data import season_tables, successions_table
from tenhour.report.sow import sow_tables
from tenhour.report.tables import Field, Table, find_table
from tenhour.words.crops import crop_name
from tenhour.words.remarks import CONFLICT, STANDS_THERE
from tenhour.words.style import MONTH_NAMES, Style, date_text, quantity_text
from tenhour.words.text import joined, written
from tenhour.words.text import listed as words_in_a_row

GROUPS: Final[tuple[tuple[str, str, str, tuple[Verdict, ...]], ...]] = (
    ("●", "Sow now", "", ("sow",)),
    ("◒", "Sow to stand small through the dark", "", ("stand-small",)),
    ("▲", "Raise it elsewhere first", "", ("raise",)),
    ("◑", "Slow, but it comes", "", ("slow",)),
    ("✂", "Cut young", "", ("cut-young",)),
    ("☀", "Needs lamps", "later", ("needs-lamps",)),
    ("◔", "Wait", "later", ("wait",)),
    ("◀", "Should be standing by now", "later", ("set-out-grown",)),
    ("×", "Too hot, too cold, or not in this house", "no", ("too-hot", "too-cold", "not-here")),
)
"""Sign, heading, look and verdicts of each group; the sign and the words carry the meaning, not the colour."""


def today(answer: ReportAnswer, style: Style) -> Html:
    """The sheet to pin up: a plan, three sentences, what to sow, this month, dates to keep, the coldest nights."""
    said = [*today_sentences(answer, style), *weather_texts(answer.basis, style)]
    sentences = tag("div", *(tag("p", text) for text in said), class_="today")
    lines = [bullets([written(text, style) for text in answer.sow.grower_lines])] if answer.sow.grower_lines else []
    plan = None if answer.plan is None else tag("div", gap("plan"), class_="card")
    return join(
        tag("div", plan, sentences, class_="lead"),
        tag("div", *sheet_cards(answer, style), class_="sheet"),
        *lines,
    )


def sow_now(answer: ReportAnswer, style: Style) -> Html:
    """What to sow: the crops of the household, each on its best bed; behind them every crop, bed by bed."""
    parts = [
        tag(
            "p",
            "In eight seasons of ten the harvest falls between the two dates; stretch above 45 means leggy seedlings.",
            class_="quiet",
        )
    ]
    stand = [bed for bed in answer.sow.beds if bed.standing]
    for bed in stand:
        text = STANDS_THERE(what=words_in_a_row(bed.standing))
        parts.append(tag("p", tag("b", f"{bed.name}: "), written(text, style)))
    parts += _groups(_best_places(answer), style)
    full = sow_tables(answer.sow)[0]
    for bed in answer.sow.beds:
        rows = tuple(row for row in full.rows if row[0] == bed.name)
        crops = [(crop, "") for crop in bed.crops]
        numbers = table_html(_without(replace(full, rows=rows)), style)
        parts.append(folded(f"Every crop on bed {bed.name}", *_groups(crops, style), numbers))
    return join(*parts)


def _best_places(answer: ReportAnswer) -> list[tuple[CropVerdict, str]]:
    """Each crop shown, with the bed where it does best on the day; beds are named where there are several."""
    order = [verdict for *_, verdicts in GROUPS for verdict in verdicts]
    now = {one.crop: one for one in answer.sow.now}
    found: dict[str, tuple[tuple[bool, int, date], CropVerdict, str]] = {}
    for bed in answer.sow.beds:
        for crop in bed.crops:
            there = now.get(crop.crop)
            rank = (there is None or there.bed != bed.name, order.index(crop.verdict), crop.next_from or date.max)
            if crop.crop not in found or rank < found[crop.crop][0]:
                # what begins elsewhere, as trays in a warm room, is told as on the sheet to pin up
                begun = there is not None and there.bed == bed.name and bool(there.where)
                told = replace(crop, verdict="raise", sentence=there.text) if there is not None and begun else crop
                found[crop.crop] = (rank, told, bed.name)
    many, shown = len(answer.sow.beds) > 1, crops_shown(answer)
    return [(crop, bed if many else "") for key, (_, crop, bed) in found.items() if key in shown]


def _without(full: Table) -> Table:
    """Drop the columns that the heading above or the list already says."""
    keep = [i for i, field in enumerate(full.fields) if field.key not in ("bed", "crop", "sentence", "flags")]
    return replace(
        full,
        fields=tuple(full.fields[i] for i in keep),
        rows=tuple(tuple(row[i] for i in keep) for row in full.rows),
        caption=f"{full.caption} Light in mol m⁻² d⁻¹.",
    )


def _groups(crops: Sequence[tuple[CropVerdict, str]], style: Style) -> list[Html]:
    parts = []
    for sign, heading, look, verdicts in GROUPS:
        own = [pair for pair in crops if pair[0].verdict in verdicts]
        if own:
            listed = tag("ul", *(_crop(crop, bed, style) for crop, bed in own), class_="crops")
            parts += [tag("p", f"{sign} {heading}", class_=f"verdict {look}".strip()), listed]
    return parts


def _crop(crop: CropVerdict, bed: str, style: Style) -> Html:
    said = joined([crop.sentence, *crop.flags])
    return tag(
        "li",
        tag("b", crop_name(crop.crop)),
        f" ({bed}): " if bed else ": ",
        written(said, style),
        tag("span", _facts(crop, style), class_="facts"),
    )


def _facts(crop: CropVerdict, style: Style) -> str:
    facts = []
    if crop.dli_mol_m2_d is not None:
        facts.append(f"light {crop.dli_mol_m2_d:.1f} mol")
    if crop.needs_dli_mol_m2_d is not None:
        facts.append(f"needs {crop.needs_dli_mol_m2_d:.1f}")
    if crop.stretch_score is not None:
        facts.append(f"stretch {crop.stretch_score:.0f}")
    if crop.yield_kg_m2 is not None:
        facts.append(quantity_text("yield", crop.yield_kg_m2, style))
    return ", ".join(facts)


def season(answer: ReportAnswer, style: Style) -> Html:
    """The year of each bed as pictures, with its dates as a table."""
    tables = season_tables(answer.season)
    parts: list[Html | None] = [gap("key"), *_dates(answer, style)]
    for n, bed in enumerate(beds_shown(answer)):
        parts.append(tag("section", tag("h3", f"Bed {bed.name}"), gap(f"season-{n}")))
    for bed in answer.season.beds:
        absent = [crop_name(crop.crop) for crop in bed.barren]
        inner: list[Html] = []
        if absent:
            inner.append(tag("p", f"No week of the year suits: {'; '.join(absent)}.", class_="quiet"))
        for key in ("crops", "weeks", "spans"):
            own = _of_bed(tables, key, bed.name)
            if own is not None and own.rows:
                inner.append(table_html(own, style))
        parts.append(folded(f"Dates, light and air of every crop on bed {bed.name}", *inner))
    parts.append(_successions(answer, style))
    parts.append(_tasks(answer, style))
    return join(*parts)


def _dates(answer: ReportAnswer, style: Style) -> list[Html]:
    """Dates of the crops in the pictures, by the day by which they must be sown."""
    found = [
        (crop_name(crop.crop), bed.name, crop.sow_from, crop.sow_by, crop.hold_to, crop.pays_from)
        for bed in beds_shown(answer)
        for crop in bed.crops
        if crop.sow_by is not None or crop.pays_from is not None
    ]
    fields = (
        Field("name", "crop"),
        Field("bed", "bed"),
        Field("sow_from", "sow for winter from", "date"),
        Field("sow_by", "by", "date"),
        Field("hold_to", "stands to", "date"),
        Field("pays_from", "sow again from", "date"),
    )
    rows = tuple(sorted(found, key=lambda row: (row[3] or row[5] or date.max, row[0])))
    return [table_html(Table("shown", "Dates of the crops drawn here.", fields, rows), style)] if rows else []


def _of_bed(tables: Sequence[Table], key: str, bed: str) -> Table | None:
    full = find_table(tables, key)
    if full is None:
        return None
    keep = [i for i, field in enumerate(full.fields) if i and not (key == "crops" and field.key == "crop")]
    rows = tuple(tuple(row[i] for i in keep) for row in full.rows if row[0] == bed)
    return replace(full, fields=tuple(full.fields[i] for i in keep), rows=rows)


def _successions(answer: ReportAnswer, style: Style) -> Html | None:
    table = successions_table(answer.season)
    if not table.rows:
        return None
    return join(tag("h3", "A steady supply"), table_html(table, style))


def _tasks(answer: ReportAnswer, style: Style) -> Html | None:
    if not answer.season.tasks:
        return None
    months = []
    for month, jobs in jobs_by_month(answer.season, style, crops_shown(answer)):
        items = [tag("li", f"{words}: ", tag("b", when)) for words, when in jobs]
        months.append(tag("section", tag("h4", month), tag("ul", *items)))
    return join(tag("h3", "What to do, month by month"), tag("div", *months, class_="months"))


def light(answer: ReportAnswer, style: Style) -> Html:
    """The year of light on each bed."""
    tables = light_tables(answer.light)
    beds = find_table(tables, "beds")
    outdoors = find_table(tables, "outdoors")
    parts = [
        tag("p", ten_hour_sentence(answer.light, style)),
        tag("div", gap("light"), class_="pictures"),
    ]
    if outdoors is not None:
        parts.append(folded("Numbers outdoors, month by month", table_html(outdoors, style)))
    for bed in answer.light.beds:
        if beds is not None:
            rows = tuple(row[1:] for row in beds.rows if row[0] == bed.name)
            own = replace(beds, fields=beds.fields[1:], rows=rows, caption=f"Bed {bed.name}: {beds.caption}")
            parts.append(folded(f"Numbers on bed {bed.name}, month by month", table_html(own, style)))
    parts.append(folded("What each crop wants", table_html(needs_table(answer), style)))
    return join(*parts)


def needs_table(answer: ReportAnswer) -> Table:
    """Light every crop wants on every bed."""
    fields = (
        Field("name", "crop"),
        *(Field(f"bed_{n}_dli_mol_m2_d", bed.name, "dli") for n, bed in enumerate(answer.sow.beds)),
    )
    names = {crop_name(crop.crop): None for bed in answer.sow.beds for crop in bed.crops}
    wants = [{crop_name(crop.crop): crop.needs_dli_mol_m2_d for crop in bed.crops} for bed in answer.sow.beds]
    rows = tuple((name, *(want.get(name) for want in wants)) for name in names)
    caption = (
        "Light wanted, mol m⁻² d⁻¹: the larger of what keeps seedlings sturdy at the bed's temperature and what brings "
        "the crop in within one and a half times its days from the best month."
    )
    return Table("needs", caption, fields, rows)


def maps(answer: ReportAnswer, style: Style) -> Html:
    """Light over each bed in three months."""
    drawn = tag("div", gap("maps"), class_="pictures maps")
    tables = [
        folded(f"Numbers over bed {bed}", *(table_html(grid_table(map_table(bed_map)), style) for bed_map in group))
        for bed, group in groupby(answer.maps, key=lambda bed_map: bed_map.bed)
    ]
    return join(
        tag("p", "Seen from above, all drawings of the page in one scale of light.", class_="quiet"),
        *([] if answer.plan is None else [tag("div", gap("plans"), class_="pictures maps")]),
        drawn,
        *tables,
    )


def grid_table(points: Table) -> Table:
    """Lay a list of grid points out as rows from the front of the bed to its back."""
    along = sorted({float(str(row[2])) for row in points.rows})
    back = sorted({float(str(row[3])) for row in points.rows})
    value = {(float(str(row[2])), float(str(row[3]))): row[4] for row in points.rows}
    fields = (
        Field("y_m", "from the front", "length"),
        *(Field(f"x_{n}_dli_mol_m2_d", f"{x_m:.2f} m", "dli") for n, x_m in enumerate(along)),
    )
    rows = tuple((y_m, *(value.get((x_m, y_m)) for x_m in along)) for y_m in back)
    return Table("grid", points.caption, fields, rows)


def sun(answer: ReportAnswer, style: Style) -> Html:
    """The sun against skyline and house."""
    fields = (
        Field("month", "15th of", "month"),
        Field("noon_height_deg", "noon sun", "angle"),
        Field("daylength_h", "day", "hours"),
    )
    rows = tuple((m.month, m.noon_height_deg, m.daylength_h) for m in answer.light.months)
    noon = Table("noon", "Height of the noon sun and length of the day.", fields, rows)
    line = [
        (azimuth, height)
        for azimuth, height in zip(answer.sun.skyline_azimuth_deg, answer.sun.skyline_height_deg, strict=True)
        if azimuth % 15 == 0
    ]
    skyline = Table(
        "skyline",
        "Height of the skyline by compass direction.",
        (Field("azimuth_deg", "direction", "angle"), Field("height_deg", "height", "angle")),
        tuple(line),
    )
    return join(
        tag("div", gap("sun"), class_="pictures"),
        folded("Numbers: noon sun and day length", table_html(noon, style)),
        folded("Numbers: skyline", table_html(skyline, style)),
    )


def lamps(answer: ReportAnswer, style: Style) -> Html:
    """Lamp plans; each plan keeps its clock and its cautions beside it, on paper too."""
    parts = []
    for n, plan in enumerate(answer.lamps):
        parts.append(tag("h3", f"Bed {plan.bed}"))
        parts.append(_plan(plan, style))
        parts.append(tag("div", gap(f"lamps-{n}"), class_="pictures"))
        others = [table for table in lamps_tables(plan) if table.key != "clock"]
        parts += [folded(f"{table.caption} Bed {plan.bed}.", table_html(table, style)) for table in others]
    return join(*parts)


def _plan(plan: LampAnswer, style: Style) -> Html:
    overload = [text for text in plan.basis.warnings if plan.circuit.overloaded][:1]
    return tag(
        "div",
        *(tag("p", tag("strong", written(text, style))) for text in overload),
        tag("p", written(plan.headline, style)),
        *(tag("p", written(CONFLICT(what=text), style)) for text in plan.conflicts),
        tag("p", _power(plan, style)),
        table_html(clock_table(plan), style),
        tag("h4", "Cautions"),
        bullets([written(text, style) for text in plan.basis.cautions], class_="caution"),
        class_="plan",
    )


def _power(plan: LampAnswer, style: Style) -> str:
    circuit = plan.circuit
    load = "more than" if circuit.overloaded else "within"
    text = (
        f"{plan.power_w:.0f} W, {circuit.total_a:.1f} A on the circuit: {load} the {circuit.allowed_a:.1f} A that a "
        f"{circuit.breaker_a:g} A breaker may carry for hours. {plan.energy_season_kwh:.0f} kWh a season"
    )
    if plan.cost_season_currency is not None:
        text += f", {plan.cost_season_currency:.2f} {plan.currency or ''}".rstrip()
    if plan.on_from is not None and plan.off_from is not None:
        text += f"; lamp season {date_text(plan.on_from, style)} to {date_text(plan.off_from, style)}"
    return text + "."


def sure(answer: ReportAnswer, style: Style) -> Html:
    """What was assumed, how sure it is, where it comes from."""
    parts: list[Html | None] = [tag("h3", "How sure the light is"), tag("p", _how_sure(answer))]
    for heading, texts, look in (
        ("Cautions", answer.basis.cautions, "caution"),
        ("Warnings", answer.basis.warnings, None),
        ("Assumed", answer.basis.assumptions, None),
    ):
        if texts:
            parts += [tag("h3", heading), bullets([written(text, style) for text in texts], class_=look)]
    outdoors = f"Outdoor light and air: {answer.light.source}."
    parts += [tag("h3", "Sources"), bullets([outdoors])]
    if answer.marks:
        parts.append(tag("p", _marks(answer)))
    if answer.sources:
        works = [f"{source.key}: {source.title}" for source in answer.sources]
        parts.append(folded(f"Works behind the crop numbers ({len(works)})", bullets(works)))
    return join(*parts)


def _marks(answer: ReportAnswer) -> str:
    total = sum(count for _, count in answer.marks)
    said = ", ".join(f"{count} {mark}" for mark, count in answer.marks)
    return f"Of {total} numbers behind these crops: {said}. 'tenhour crops NAME' shows where each one comes from."


def _how_sure(answer: ReportAnswer) -> str:
    months = answer.light.months
    best = min(months, key=lambda month: month.spread_frac)
    worst = max(months, key=lambda month: month.spread_frac)
    fitted = answer.light.calibration
    return (
        f"Monthly light outdoors is typically off by {100 * best.spread_frac:.0f} % in {MONTH_NAMES[best.month - 1]} "
        f"and {100 * worst.spread_frac:.0f} % in {MONTH_NAMES[worst.month - 1]}; in one place of ten by "
        f"{100 * worst.spread_p90_frac:.0f} % or more. Harvest dates are ranges: eight of ten seasons fall inside. "
        "The one measurement that makes every answer better is a pair of light readings, inside and out."
        + (f" {fitted}" if fitted else "")
    )
