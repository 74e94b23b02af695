"""The page as markup: whole, closed to the outside, in its order, with every number also in a table."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser
from pathlib import Path

import pytest

import helpers_report as made_up
from tenhour.model.sofar import SoFar
from tenhour.report.page.build import page_html
from tenhour.report.page.drawing import bed_pieces
from tenhour.report.page.html import Html, escape, join, tag
from tenhour.report.page.sections import GROUPS
from tenhour.report.page.today import today_sentences
from tenhour.report.sow import VERDICT_WORDS
from tenhour.words.style import Style

STYLE = Style(dates="long")
PAGE = page_html(made_up.report_answer(lamps=True), STYLE)
ORDER = ("today", "sow", "season", "light", "maps", "sun", "lamps", "sure")


def test_page_and_pictures_do_without_the_plotting_library() -> None:
    code = (
        "import sys, helpers_report as made_up; from tenhour.report.page.build import page_html\n"
        "from tenhour.words.style import Style\n"
        "print(page_html(made_up.report_answer(('front',), 2, lamps=True), Style()).count('<svg'))\n"
        "print('matplotlib' in sys.modules)"
    )
    where = str(Path(made_up.__file__).parent)
    done = subprocess.run(
        [sys.executable, "-c", f"import sys; sys.path.insert(0, {where!r})\n{code}"],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    drawn, loaded = done.stdout.split()
    assert int(drawn) > 5
    assert loaded == "False"


class Reader(HTMLParser):
    """Collects tags, attributes and text, and checks that elements close in order."""

    VOID = frozenset({"meta", "br", "link", "img", "hr"})

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.stack: list[str] = []
        self.text: list[str] = []

    def handle_starttag(self, name: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((name, dict(attrs)))
        if name not in self.VOID:
            self.stack.append(name)

    def handle_startendtag(self, name: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((name, dict(attrs)))

    def handle_endtag(self, name: str) -> None:
        assert self.stack.pop() == name

    def handle_data(self, text: str) -> None:
        self.text.append(text)


def read(page: str) -> Reader:
    reader = Reader()
    reader.feed(page)
    reader.close()
    assert reader.stack == []
    return reader


def test_the_sections_come_in_order() -> None:
    sections = [attrs["id"] for name, attrs in read(PAGE).tags if name == "section" and "id" in attrs]
    assert sections == list(ORDER)


def test_nothing_points_outside_and_nothing_runs() -> None:
    reader = read(PAGE)
    names = {name for name, _ in reader.tags}
    assert not names & {"script", "link", "iframe", "object", "embed", "img", "form", "base"}
    for _, attrs in reader.tags:
        assert not any(key.startswith("on") for key in attrs)
        assert all((attrs.get(key) or "#").startswith("#") for key in ("href", "src"))
    assert "@import" not in PAGE
    assert not re.search(r"url\((?!#)", PAGE)
    assert "default-src 'none'" in PAGE.replace("&#x27;", "'")


def test_ids_are_unique_and_links_lead_somewhere() -> None:
    tags = read(PAGE).tags
    ids = [attrs["id"] for _, attrs in tags if "id" in attrs]
    assert len(ids) == len(set(ids))
    for _, attrs in tags:
        if (attrs.get("href") or "").startswith("#"):
            assert (attrs["href"] or "")[1:] in ids
        for key in ("aria-labelledby",):
            assert set((attrs.get(key) or "").split()) <= set(ids)


def test_every_picture_has_words_and_tables_beside_it() -> None:
    tags = read(PAGE).tags
    pictures = [attrs for name, attrs in tags if name == "svg"]
    # two beds: season for a desk and a phone, light, maps, sun; clock, lamps; plans; twice what the marks mean
    assert len(pictures) == 2 * (2 + 1 + 3 + 1) + 2 + 3 + 2
    assert all(attrs["role"] == "img" for attrs in pictures)
    roles = {"table": "table", "tr": "row", "td": "cell", "thead": "rowgroup", "tbody": "rowgroup"}
    assert all(attrs.get("role") == roles[name] for name, attrs in tags if name in roles), "also where rows are lists"
    assert sum(name == "table" for name, _ in tags) > len(pictures) / 2
    heads = [attrs for name, attrs in tags if name == "th"]
    assert all(attrs.get("scope") in ("col", "row") for attrs in heads)


def test_numbers_of_every_picture_stand_in_tables() -> None:
    answer = made_up.report_answer()
    text = " ".join(read(PAGE).text)
    for bed in answer.light.beds:
        for month in bed.months:
            assert f"{month.dli_mol_m2_d:.1f}" in text
    for bed_map in answer.maps:
        assert f"{max(max(row) for row in bed_map.dli_mol_m2_d):.1f}" in text
    for crop in answer.season.beds[0].crops:
        assert crop.name in text


def test_three_sentences_for_today() -> None:
    light, sowing, following = today_sentences(made_up.report_answer(), STYLE)
    assert light.startswith("On 15 Jan 2027 the day is 7.0 hours long")
    assert "front" in light
    assert "back, the dimmest bed" in light
    assert sowing.startswith("Sow now: ")
    for one in made_up.report_answer().sow.now:
        assert one.crop.replace("-", " ") in sowing
    assert following.startswith("Next: 10 Feb 2027, ")


def test_today_when_nothing_can_be_sown() -> None:
    answer = made_up.report_answer(("front",), 9)
    waiting = made_up.sow_answer(("front",), 9).beds[0].crops[2:4]
    bed = answer.sow.beds[0].__class__("front", waiting)
    poor = answer.__class__(
        answer.basis, answer.house, answer.on, answer.light, answer.maps,
        answer.sow.__class__(answer.basis, answer.on, (bed,)),
        answer.season.__class__(
            answer.basis, answer.season.start, answer.season.beds, (), after_dark=made_up.date(2027, 2, 16)
        ),
        answer.sun,
    )  # fmt: skip
    _, sowing, following = today_sentences(poor, STYLE)
    assert sowing == (
        "Nothing is worth sowing today without lamps or more warmth; sowing pays again first with chard on front, "
        "from 20 Feb 2027."
    )
    assert following == "Days are ten hours long again from 16 Feb 2027."
    assert read(page_html(poor, STYLE))


def test_every_verdict_has_its_group() -> None:
    grouped = [verdict for *_, verdicts in GROUPS for verdict in verdicts]
    assert sorted(grouped) == sorted(VERDICT_WORDS)
    assert len({sign for sign, *_ in GROUPS}) == len(GROUPS), "each group has a sign of its own beside its colour"


@pytest.mark.parametrize("count", [1, 25, 26, 50, 51])
def test_crops_are_shared_among_printable_pictures(count: int) -> None:
    bed = made_up.season_answer(("front",), count).beds[0]
    pieces = bed_pieces(bed)
    assert [crop.crop for piece in pieces for crop in piece.crops] == [crop.crop for crop in bed.crops]
    sizes = [len(piece.crops) for piece in pieces]
    assert max(sizes) <= 25
    assert max(sizes) - min(sizes) <= len(sizes)


def test_hostile_house_is_safe_and_whole() -> None:
    beds = (*made_up.HOSTILE, made_up.STEERING)
    page = page_html(made_up.report_answer(beds, house=made_up.HOSTILE[0] + made_up.HOSTILE[1]), STYLE)
    reader = read(page)
    assert "script" not in {name for name, _ in reader.tags}
    text = " ".join(reader.text)
    for name in made_up.HOSTILE:
        assert name in text, "the full name stands on the page as text"
    assert not re.search(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]", page)
    assert [attrs["id"] for name, attrs in reader.tags if name == "section" and "id" in attrs] == [
        key for key in ORDER if key != "lamps"
    ]


def test_lamps_show_only_where_they_are_planned() -> None:
    assert 'id="lamps"' not in page_html(made_up.report_answer(), STYLE)
    plan = PAGE[PAGE.index('class="plan"') :]
    plan = plan[: plan.index("</div><div")]
    for words in (
        "2 white bars",
        "06:00-09:15, 15:00-20:00",
        "licensed electrician",
        "30 mA RCD",
        "36.00 EUR",
        "12.8 A",
    ):
        assert words in plan, "clock, power and cautions stand in one block with the plan"


def test_an_overloaded_circuit_comes_first() -> None:
    answer = made_up.report_answer(lamps=True)
    plan = answer.lamps[0]
    circuit = replace(plan.circuit, total_a=20.0, overloaded=True)
    basis = replace(plan.basis, warnings=("The circuit would be overloaded: 20 A.",))
    page = page_html(replace(answer, lamps=(replace(plan, circuit=circuit, basis=basis),)), STYLE)
    assert page.index("would be overloaded") < page.index("2 white bars")
    assert "more than the 12.8 A" in page


def test_units_are_the_same_everywhere_on_the_page() -> None:
    us = page_html(made_up.report_answer(us_units=True, lamps=True), Style(True, "us"))
    text = " ".join(read(us).text)
    assert "°F" in text
    assert "°C" not in text
    assert " kg m" not in text
    assert not re.search(r"\d{4}-\d{2}-\d{2}", text)
    assert not re.search(r"\b\d{1,2} (?:Jan|Feb|Mar|Sep) \d{4}", text)


def test_page_is_the_same_every_time() -> None:
    assert page_html(made_up.report_answer(lamps=True), STYLE) == PAGE


def test_markup_escapes_what_is_not_markup() -> None:
    assert tag("p", "<b>", title='"&') == '<p title="&quot;&amp;">&lt;b&gt;</p>'
    assert tag("p", Html("<b></b>"), None, hidden=True, lang=None) == "<p hidden><b></b></p>"
    assert tag("meta", charset="utf-8", http_equiv="x") == '<meta charset="utf-8" http-equiv="x">'
    assert join("a<", escape("b<")) == "a&lt;b&lt;"
    assert escape("a\x00\x1b\x85b") == "ab"


def test_what_every_grower_is_told_and_this_winter_stand_on_the_first_sheet() -> None:
    answer = made_up.report_answer()
    lines = ("Water little, in the morning.", "Air at noon.")
    winter = SoFar(date(2026, 10, 1), date(2026, 11, 27), 58, 0.66, None, (), (), sentence="Dull so far.")
    told = replace(answer, sow=replace(answer.sow, grower_lines=lines), basis=replace(answer.basis, so_far=winter))
    page = page_html(told, STYLE)
    first = page[page.index('id="today"') : page.index('id="sow"')]
    for said in (*lines, "Dull so far."):
        assert page.count(said) == 1
        assert said in first
