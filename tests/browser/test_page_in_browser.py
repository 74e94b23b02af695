"""The page in a real browser: Chromium as Debian packages it, headless.

Skipped only where no Chromium is installed, and never in the project's own checks.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

import helpers_browser
import helpers_report as made_up
from helpers_browser import Browser, Page
from helpers_cli import tenhour
from helpers_long import LONG, many
from tenhour.report.page.build import page_html
from tenhour.report.pictures.palette import DARK, LIGHT
from tenhour.words.style import Style

pytestmark = pytest.mark.skipif(
    helpers_browser.BINARY is None and not helpers_browser.IN_CI, reason="Chromium is not installed"
)
BEDS = ("front", "back")
HOUSE = Path(__file__).parents[1] / "screens" / "houses" / "twin52.toml"
CROPS = 30
MM_PER_INCH = 25.4
PAPERS = {"A4": (210 / MM_PER_INCH, 297 / MM_PER_INCH), "Letter": (8.5, 11.0)}
MARGIN_MM = 14.0
SCALE = 1.0
"""Pixels per point when a printed page is looked at."""


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with helpers_browser.browser() as started:
        yield started


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("page") / "page.html"
    answer = made_up.report_answer(BEDS, CROPS, lamps=True)
    every = replace(answer, season=replace(answer.season, chosen=()))  # all crops on all beds
    path.write_text(page_html(every, Style(dates="long")), "utf-8")
    return path


@pytest.fixture(scope="module")
def loaded(chromium: Browser, written: Path) -> Page:
    """The page, loaded once for all that only look at it."""
    opened = chromium.page()
    opened.open(written)
    opened.run("window.first = [...document.querySelectorAll('details')].map(d => d.open)")
    return opened


@pytest.fixture
def page(loaded: Page) -> Page:
    """The same as it was when it was loaded."""
    loaded.size(1100)
    loaded.media()
    loaded.run("document.querySelectorAll('details').forEach((d, n) => d.open = first[n])")
    loaded.run("scrollTo(0, 0); document.activeElement.blur()")
    return loaded


def test_opens_without_a_complaint_and_asks_for_nothing(page: Page, written: Path) -> None:
    page.run("document.querySelectorAll('details').forEach(d => d.open = true)")
    assert page.complaints() == []
    assert page.requests() == [written.as_uri()]


def test_pictures_are_there_and_not_empty(page: Page) -> None:
    boxes: list[dict[str, Any]] = page.run(
        """[...document.querySelectorAll('svg.picture')].map(svg => {
             const box = svg.getBoundingClientRect();
             const paths = [...svg.querySelectorAll(':scope > path')];
             const seen = paths.filter(p => { const b = p.getBBox(); return b.width > 0 || b.height > 0 });
             const words = svg.querySelectorAll('text').length;
             return {width: box.width, height: box.height, seen: seen.length, words: words};
           })"""
    )
    shown = [box for box in boxes if box["width"] > 0]
    # 30 crops need two season pictures a bed, each also for a phone; three plans; what the marks mean
    assert len(shown) == 2 * (2 + 1 + 3 + 1) + 2 + 3 + 1
    assert len(boxes) - len(shown) == 2 * 2 + 1
    assert all(box["width"] > 250 and box["height"] > 90 for box in shown)
    assert all(box["seen"] >= 4 and box["words"] >= 6 for box in shown)


@pytest.mark.parametrize("width", many([320, 1280], [320, 375, 768, 1280]))
def test_nothing_scrolls_sideways(page: Page, width: int) -> None:
    page.size(width)
    page.run("document.querySelectorAll('details').forEach(d => d.open = true)")
    assert page.run("document.documentElement.scrollWidth") <= width
    wide = page.run(
        """[...document.querySelectorAll('body *')].filter(el => !el.closest('thead') && !el.closest('.skip'))
             .filter(el => el.getBoundingClientRect().right > innerWidth + 0.5
               || (el.scrollWidth > el.clientWidth + 1 && getComputedStyle(el).overflowX !== 'visible'))
             .map(el => el.outerHTML.slice(0, 80))"""
    )
    assert wide == []


@pytest.mark.parametrize("width", many([375, 1280], [375, 768, 1280]))
def test_words_in_pictures_are_large_enough_and_apart(page: Page, width: int) -> None:
    page.size(width)
    seen = """[...document.querySelectorAll('svg.picture')].filter(s => s.getBoundingClientRect().width > 0)"""
    small = page.run(
        f"""Math.min(...{seen}.flatMap(svg => [...svg.querySelectorAll('text')]).map(t =>
             parseFloat(getComputedStyle(t).fontSize) * t.getScreenCTM().a))"""
    )
    assert small >= 11.0
    touching = page.run(
        f"""{seen}.flatMap(svg => {{
             const own = [...svg.querySelectorAll('text')].map(t => [t.textContent, t.getBoundingClientRect()]);
             const out = [];
             own.forEach(([said, a], i) => own.slice(i + 1).forEach(([other, b]) => {{
               const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
               const tall = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
               if (wide > 2 && tall > 4) out.push([svg.querySelector('title').textContent, said, other]);
             }}));
             return out;
           }})"""
    )
    assert touching == [], "words lie on words"


def test_the_first_screen_has_the_picture(page: Page) -> None:
    for width, height in ((1280, 800), (768, 1024), (375, 720)):
        page.size(width, height)
        top, bottom = page.run(
            "(b => [b.top + scrollY, b.bottom + scrollY])(document.querySelector('.lead svg').getBoundingClientRect())"
        )
        assert 0 <= top < bottom <= height


def test_words_in_pictures_stay_inside_them(page: Page) -> None:
    outside = page.run(
        """[...document.querySelectorAll('svg.picture')].flatMap(svg => {
             const frame = svg.getBoundingClientRect();
             if (!frame.width) return [];
             return [...svg.querySelectorAll('text')].filter(t => {
               const b = t.getBoundingClientRect();
               return b.left < frame.left - 1 || b.right > frame.right + 1
                 || b.top < frame.top - 1 || b.bottom > frame.bottom + 1;
             }).map(t => svg.querySelector('title').textContent + ': ' + t.textContent);
           })"""
    )
    assert outside == []


def test_keyboard_reaches_every_link_and_fold(page: Page) -> None:
    page.run("document.querySelectorAll('details').forEach(d => d.open = true)")
    page.run("window.all = [...document.querySelectorAll('a[href], summary')]")
    wanted = page.run("all.length")
    page.run("window.seen = new Set(); document.addEventListener('focusin', e => seen.add(e.target))")
    for _ in range(wanted):
        page.press("Tab")
    assert page.run("[...document.querySelectorAll('a[href], summary')].filter(el => !seen.has(el)).length") == 0
    assert page.run("getComputedStyle(document.activeElement).outlineStyle") != "none"


def test_rows_are_lists_with_their_headings_where_room_is_short(page: Page) -> None:
    count = "[...document.querySelectorAll('td i')].filter(i => i.getBoundingClientRect().width > 0).length"
    page.run("document.querySelectorAll('details').forEach(d => d.open = true)")
    page.size(375)
    narrow = page.run(count)
    assert narrow == page.run(
        "[...document.querySelectorAll('td')].filter(td => td.getBoundingClientRect().width > 0).length"
    )
    page.size(1280)
    assert page.run(count) < narrow / 2, "on a desk only the widest tables are lists"


def rgb(colour: str) -> str:
    """Colour as a browser writes it."""
    return "rgb({}, {}, {})".format(*(int(colour[i : i + 2], 16) for i in (1, 3, 5)))


@pytest.mark.parametrize(("scheme", "colours"), [("light", LIGHT), ("dark", DARK)])
def test_both_colour_schemes(page: Page, scheme: str, colours: dict[str, str]) -> None:
    page.media(scheme=scheme)
    assert page.run("getComputedStyle(document.body).backgroundColor") == rgb(colours["paper"])
    drawn = page.run(
        """[...document.querySelectorAll('svg.picture > *')].flatMap(el => {
             const look = getComputedStyle(el); return [look.fill, look.stroke] })"""
    )
    allowed = {rgb(colour) for colour in colours.values()}
    strange = {
        colour for colour in drawn if colour != "none" and not colour.startswith("url(") and colour not in allowed
    }
    assert strange <= {"rgb(0, 0, 0)"}, "black is the default of elements that are not painted"


@pytest.mark.parametrize(("scheme", "width"), many([("light", 360)], [("light", 360), ("dark", 1100)]))
def test_accessibility_has_no_serious_finding(chromium: Browser, tmp_path: Path, scheme: str, width: int) -> None:
    axe = helpers_browser.axe_source()
    if axe is None and not helpers_browser.IN_CI:
        pytest.skip("axe-core is not installed (npm install axe-core)")
    assert axe is not None, "the project's own checks install axe-core"
    path = tmp_path / "small.html"
    path.write_text(page_html(made_up.report_answer(BEDS[: many(1, 2)], many(3, 8), lamps=True), Style()), "utf-8")
    page = chromium.page()
    page.open(path)
    page.size(width)
    page.media(scheme=scheme)
    page.run("document.querySelectorAll('details').forEach(d => d.open = true)")
    page.run(axe + "; true")
    asked = "axe.run({resultTypes: ['violations']})"  # of what passes, only the rules are told
    found = page.run(asked + ".then(r => ({bad: r.violations, passed: r.passes.length}))")
    serious = [
        (rule["id"], rule["impact"], [node["html"][:100] for node in rule["nodes"][:3]])
        for rule in found["bad"]
        if rule["impact"] in ("serious", "critical")
    ]
    assert serious == []
    assert found["passed"] > 20, "the rules were really run"


@pytest.mark.parametrize("paper", many(["A4"], list(PAPERS)))
def test_print_stays_inside_the_margins(page: Page, paper: str) -> None:
    width, height = PAPERS[paper]
    room_px = round((width * MM_PER_INCH - 2 * MARGIN_MM) / MM_PER_INCH * 96)
    page.size(room_px)
    page.media("print")
    assert page.run("document.documentElement.scrollWidth") <= room_px, "nothing is cut off at the right edge"
    document = pypdfium2.PdfDocument(page.pdf(width, height))
    assert 5 <= len(document) <= 16, "thirty crops on two beds with lamps"
    band = int(MARGIN_MM / MM_PER_INCH * 72 * SCALE) - 2
    for number in range(len(document)):
        picture = document[number].render(scale=SCALE).to_numpy()
        assert picture.shape[1] == pytest.approx(width * 72 * SCALE, abs=2)
        edges = (picture[:band], picture[-band:], picture[:, :band], picture[:, -band:])
        assert all((edge > 250).all() for edge in edges), f"ink in the margin of page {number + 1}"
        assert (picture < 160).any(), f"page {number + 1} is blank"


def test_print_has_whole_pictures_and_no_navigation(page: Page) -> None:
    document = pypdfium2.PdfDocument(page.pdf(*PAPERS["A4"]))
    pages = [part.get_textpage().get_text_range() for part in document]
    for number, text in enumerate(pages):
        # The head of a season picture and its key are on one page, as often as it is drawn.
        assert text.count("day over night") == text.count("dashed: dull day"), f"cut on page {number + 1}"
    assert sum(text.count("day over night") for text in pages) == 2 * len(BEDS)
    assert sum(text.count("plants raised to set out") for text in pages) == 1
    lamps = [text for text in pages if "white bars" in text]
    assert len(lamps) == 1
    flat = " ".join(lamps[0].split())
    for words in ("06:00-09:15", "Cautions", *(caution[:25] for caution in made_up.lamp_answer().basis.cautions)):
        assert words in flat, "a lamp plan is not split from its clock and cautions"
    assert "Skip to the answer" not in " ".join(pages)
    assert "Every crop on bed" not in " ".join(pages), "nothing is printed closed"


@pytest.mark.parametrize("paper", many(["Letter"], list(PAPERS)))
def test_the_sheet_to_pin_up_is_the_first_printed_page_and_no_more(
    chromium: Browser, tmp_path: Path, paper: str
) -> None:
    path = tmp_path / "chosen.html"
    path.write_text(page_html(made_up.report_answer(BEDS, CROPS, lamps=True), Style(dates="long")), "utf-8")
    page = chromium.page()
    page.open(path)
    document = pypdfium2.PdfDocument(page.pdf(*PAPERS[paper]))
    pages = [" ".join(part.get_textpage().get_text_range().split()) for part in document]
    for heading in ("Sow now", "In the diary: sow by, for winter", "Coldest night", "All beds, mean of December"):
        assert heading in pages[0], heading
    assert "What to sow now" not in pages[0]
    assert pages[1].startswith("What to sow now"), "the sheet is one page"


@pytest.mark.parametrize("width", many([1280, 375], [1280, 768, 375]))
def test_cards_of_the_sheet_do_not_overlap_nor_cut_their_words(page: Page, width: int) -> None:
    page.size(width)
    boxes = page.run(
        """[...document.querySelectorAll('.card')].map(card => { const b = card.getBoundingClientRect();
             return [b.left, b.top, b.right, b.bottom, card.scrollWidth - card.clientWidth] })"""
    )
    assert len(boxes) >= 5
    for n, (left, top, right, bottom, cut) in enumerate(boxes):
        assert cut <= 0
        assert 0 <= left < right <= width
        for other in boxes[n + 1 :]:
            apart = other[0] >= right - 1 or other[2] <= left + 1 or other[1] >= bottom - 1 or other[3] <= top + 1
            assert apart, "two cards overlap"
    small = page.run(
        "Math.min(...[...document.querySelectorAll('.card li')].map(t => parseFloat(getComputedStyle(t).fontSize)))"
    )
    assert small >= 14.0


@pytest.mark.skipif(not LONG, reason="a whole house is worked out")
@pytest.mark.parametrize("width", [1280, 768, 375])
def test_words_of_a_real_page_are_legible_whole_and_apart(chromium: Browser, tmp_path: Path, width: int) -> None:
    """With its pictures of warmth, which the made-up page has none of."""
    path = tmp_path / "page.html"
    done = tenhour("report", "--house", HOUSE, "--on", "2026-12-05", "-o", path)
    assert done.status == 0, done.err
    page = chromium.page()
    page.size(width)
    page.open(path)
    page.run("document.querySelectorAll('details').forEach(d => d.open = true)")
    assert page.run("document.documentElement.scrollWidth") <= width
    found = page.run(
        """[...document.querySelectorAll('svg')].flatMap(svg => {
             const box = svg.getBoundingClientRect();
             const all = [...svg.querySelectorAll('text')].map(t => [t.textContent, t.getBoundingClientRect(),
               parseFloat(getComputedStyle(t).fontSize) * t.getScreenCTM().a]).filter(t => t[1].width > 0);
             return all.flatMap(([text, a, size], n) => [
               ...(size < 11 ? [`small: ${text}`] : []),
               ...(a.left < box.left - 1 || a.right > box.right + 1 ? [`cut: ${text}`] : []),
               ...all.slice(n + 1).filter(([, b]) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 2
                 && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 4).map(b => `over: ${text}, ${b[0]}`)])
           })"""
    )
    assert found == []


def test_hostile_house_opens_safely(chromium: Browser, tmp_path: Path) -> None:
    path = tmp_path / "hostile.html"
    beds = (*made_up.HOSTILE, made_up.STEERING)
    path.write_text(page_html(made_up.report_answer(beds, 5, house=made_up.HOSTILE[0]), Style()), "utf-8")
    page = chromium.page()
    page.size(360)
    page.open(path)
    page.run("document.querySelectorAll('details').forEach(d => d.open = true)")
    assert page.complaints() == []
    assert page.requests() == [path.as_uri()]
    assert page.run("document.scripts.length") == 0
    assert page.run("document.querySelector('h1').textContent") == made_up.HOSTILE[0]
    assert page.run("document.documentElement.scrollWidth") <= 360
    assert page.run("[...document.querySelectorAll('main > section')].map(s => s.id)") == [
        "today", "sow", "season", "light", "maps", "sun", "sure",
    ]  # fmt: skip
