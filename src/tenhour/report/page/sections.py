"""The sections of the page, in its order; each takes the answer and gives its markup piece by piece.

Of a house of many beds no section is ever held as a whole."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from itertools import groupby
from typing import Final

from tenhour.model.lamp_answer import LampAnswer
from tenhour.model.report import ReportAnswer
from tenhour.model.results import CropVerdict, Verdict
from tenhour.model.season import BedSeason
from tenhour.report.common import weather_texts
from tenhour.report.jobs import jobs_by_month
from tenhour.report.lamps_data import clock_table, lamps_tables
from tenhour.report.light import ten_hour_sentence
from tenhour.report.light_data import light_tables, map_table
from tenhour.report.page.drawing import (
    figures,
    key_pictures,
    lamp_pictures,
    light_pictures,
    map_pictures,
    plan_pictures,
    season_pictures,
    sun_pictures,
)
from tenhour.report.page.html import Html, around, bullets, folded, table_html, tag
from tenhour.report.page.sheet import sheet_cards
from tenhour.report.page.shown import beds_shown, crops_shown
from tenhour.report.page.today import today_sentences
from tenhour.report.season_data import crops_table, spans_table, successions_table, weeks_table
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


def today(answer: ReportAnswer, style: Style) -> Iterator[Html]:
    """The sheet to pin up: a plan, three sentences, what to sow, this month, dates to keep, the coldest nights."""
    said = [*today_sentences(answer, style), *weather_texts(answer.basis, style)]
    sentences = tag("div", *(tag("p", text) for text in said), class_="today")
    plan = [] if answer.plan is None else plan_pictures(answer.plan, answer, 0, 1)
    yield tag("div", tag("div", *figures(plan), class_="card") if plan else None, sentences, class_="lead")
    yield tag("div", *sheet_cards(answer, style), class_="sheet")
    if answer.sow.grower_lines:
        yield bullets([written(text, style) for text in answer.sow.grower_lines])


def sow_now(answer: ReportAnswer, style: Style) -> Iterator[Html]:
    """What to sow: the crops of the household, each on its best bed; behind them every crop, bed by bed."""
    yield tag(
        "p",
        "In eight seasons of ten the harvest falls between the two dates; stretch above 45 means leggy seedlings.",
        class_="quiet",
    )
    for bed in answer.sow.beds:
        if bed.standing:
            text = STANDS_THERE(what=words_in_a_row(bed.standing))
            yield tag("p", tag("b", f"{bed.name}: "), written(text, style))
    yield from _groups(_best_places(answer), style)
    for bed in answer.sow.beds:
        crops = [(crop, "") for crop in bed.crops]
        numbers = table_html(_without(sow_tables(replace(answer.sow, beds=(bed,)))[0]), style)
        yield folded(f"Every crop on bed {bed.name}", *_groups(crops, style), numbers)


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


def season(answer: ReportAnswer, style: Style) -> Iterator[Html]:
    """The year of each bed as pictures, with its dates as a table."""
    yield from figures(key_pictures())
    yield from _dates(answer, style)
    for n, bed in enumerate(beds_shown(answer)):
        pictures = season_pictures(answer, bed, n, style)
        yield tag("section", tag("h3", f"Bed {bed.name}"), *figures(pictures))
    for bed in answer.season.beds:
        yield folded(f"Dates, light and air of every crop on bed {bed.name}", *_year_of_bed(answer, bed, style))
    yield from _successions(answer, style)
    yield from _tasks(answer, style)


def _year_of_bed(answer: ReportAnswer, bed: BedSeason, style: Style) -> Iterator[Html]:
    """What does not grow on a bed, and the tables of what does."""
    absent = [crop_name(crop.crop) for crop in bed.barren]
    if absent:
        yield tag("p", f"No week of the year suits: {'; '.join(absent)}.", class_="quiet")
    alone = replace(answer.season, beds=(bed,))
    for full in (crops_table(alone), weeks_table(alone), spans_table(alone)):
        if full.rows:
            yield table_html(_of_one_bed(full), style)


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


def _of_one_bed(full: Table) -> Table:
    """A table of one bed without the name of the bed, and without keys beside names."""
    keep = [i for i, field in enumerate(full.fields) if i and not (full.key == "crops" and field.key == "crop")]
    rows = tuple(tuple(row[i] for i in keep) for row in full.rows)
    return replace(full, fields=tuple(full.fields[i] for i in keep), rows=rows)


def _successions(answer: ReportAnswer, style: Style) -> Iterator[Html]:
    table = successions_table(answer.season)
    if table.rows:
        yield tag("h3", "A steady supply")
        yield table_html(table, style)


def _tasks(answer: ReportAnswer, style: Style) -> Iterator[Html]:
    if not answer.season.tasks:
        return
    months = []
    for month, jobs in jobs_by_month(answer.season, style, crops_shown(answer)):
        items = [tag("li", f"{words}: ", tag("b", when)) for words, when in jobs]
        months.append(tag("section", tag("h4", month), tag("ul", *items)))
    yield tag("h3", "What to do, month by month")
    yield tag("div", *months, class_="months")


def light(answer: ReportAnswer, style: Style) -> Iterator[Html]:
    """The year of light on each bed."""
    tables = light_tables(answer.light)
    beds = find_table(tables, "beds")
    outdoors = find_table(tables, "outdoors")
    yield tag("p", ten_hour_sentence(answer.light, style))
    yield from around("div", figures(light_pictures(answer, style)), class_="pictures")
    if outdoors is not None:
        yield folded("Numbers outdoors, month by month", table_html(outdoors, style))
    for bed in answer.light.beds:
        if beds is not None:
            rows = tuple(row[1:] for row in beds.rows if row[0] == bed.name)
            own = replace(beds, fields=beds.fields[1:], rows=rows, caption=f"Bed {bed.name}: {beds.caption}")
            yield folded(f"Numbers on bed {bed.name}, month by month", table_html(own, style))
    yield folded("What each crop wants", table_html(needs_table(answer), style))


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


def maps(answer: ReportAnswer, style: Style) -> Iterator[Html]:
    """Light over each bed in three months."""
    yield tag("p", "Seen from above, all drawings of the page in one scale of light.", class_="quiet")
    if answer.plan is not None:
        plans = plan_pictures(answer.plan, answer, 1, len(answer.plan.months))
        yield from around("div", figures(plans), class_="pictures maps")
    yield from around("div", figures(map_pictures(answer, style)), class_="pictures maps")
    for bed, group in groupby(answer.maps, key=lambda bed_map: bed_map.bed):
        tables = (table_html(grid_table(map_table(bed_map)), style) for bed_map in group)
        yield folded(f"Numbers over bed {bed}", *tables)


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


def sun(answer: ReportAnswer, style: Style) -> Iterator[Html]:
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
    yield from around("div", figures(sun_pictures(answer)), class_="pictures")
    yield folded("Numbers: noon sun and day length", table_html(noon, style))
    yield folded("Numbers: skyline", table_html(skyline, style))


def lamps(answer: ReportAnswer, style: Style) -> Iterator[Html]:
    """Lamp plans; each plan keeps its clock and its cautions beside it, on paper too."""
    for n, plan in enumerate(answer.lamps):
        yield tag("h3", f"Bed {plan.bed}")
        yield _plan(plan, style)
        yield tag("div", *figures(lamp_pictures(plan, n, style)), class_="pictures")
        for table in lamps_tables(plan):
            if table.key != "clock":
                yield folded(f"{table.caption} Bed {plan.bed}.", table_html(table, style))


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


def sure(answer: ReportAnswer, style: Style) -> Iterator[Html]:
    """What was assumed, how sure it is, where it comes from."""
    yield tag("h3", "How sure the light is")
    yield tag("p", _how_sure(answer))
    for heading, texts, look in (
        ("Cautions", answer.basis.cautions, "caution"),
        ("Warnings", answer.basis.warnings, None),
        ("Assumed", answer.basis.assumptions, None),
    ):
        if texts:
            yield tag("h3", heading)
            yield bullets([written(text, style) for text in texts], class_=look)
    yield tag("h3", "Sources")
    yield bullets([f"Outdoor light and air: {answer.light.source}."])
    if answer.marks:
        yield tag("p", _marks(answer))
    if answer.sources:
        works = [f"{source.key}: {source.title}" for source in answer.sources]
        yield folded(f"Works behind the crop numbers ({len(works)})", bullets(works))


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
