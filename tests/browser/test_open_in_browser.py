"""The local page in a real browser, played by hand: mouse, keyboard, two tabs, an editor beside it."""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from importlib import resources
from pathlib import Path

import pytest

import helpers_browser
from helpers_browser import Browser, Page
from helpers_cli import tenhour
from helpers_long import LONG, many
from helpers_open import Served, served

pytestmark = pytest.mark.skipif(
    helpers_browser.BINARY is None and not helpers_browser.IN_CI, reason="Chromium is not installed"
)
CUSTOM = Path(__file__).parents[1] / "files" / "good" / "custom.toml"
DEMO = (resources.files("tenhour") / "_data" / "demo-house.toml").read_text("utf-8")


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with helpers_browser.browser() as started:
        yield started


@pytest.fixture(autouse=True)
def no_tab_stays_open(chromium: Browser) -> Iterator[None]:
    """A tab that nobody looks at any more would still ask for the light of every house that comes after."""
    yield
    while chromium.pages:
        chromium.pages.pop().close()


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("page")


@pytest.fixture(scope="module")
def running(folder: Path) -> Iterator[Served]:
    (folder / "house.toml").write_text(DEMO, "utf-8")
    with served(folder, few=not LONG) as one:
        yield one


@pytest.fixture
def house(folder: Path) -> Path:
    path = folder / "house.toml"
    path.write_text(DEMO, "utf-8")
    return path


SOON = "const every = setInterval; window.setInterval = (work, after_ms) => every(work, after_ms / 10)"


@pytest.fixture
def empty(folder: Path, running: Served, tmp_path: Path) -> Iterator[tuple[Path, Served]]:
    """An empty folder and its server; in the short form that of the other tests, with its files taken away."""
    if LONG:
        with served(tmp_path) as own:
            yield tmp_path, own
        return
    for left in folder.iterdir():
        left.unlink()
    yield folder, running
    for left in folder.iterdir():
        left.unlink()


def opened(chromium: Browser, running: Served, screen: str, width: int = 1280, *, soon: bool = False) -> Page:
    """A page on a screen; ``soon``: it looks after its file as often as it would in a tenth of the time."""
    page = chromium.page()
    if soon:
        page.call("Page.addScriptToEvaluateOnNewDocument", source=SOON)
    page.size(width, 900)
    page.media()
    page.open(running.address + f"#{screen}")
    page.until("document.querySelector('.screen h2')")
    return page


def asked_elsewhere(page: Page, running: Served) -> list[str]:
    """Requests that went anywhere but to the server; the browser's own signs come as data: and go nowhere."""
    return [url for url in page.requests() if not url.startswith((running.origin + "/", "data:"))]


def bed(path: Path, number: int) -> dict[str, list[float]]:
    found: dict[str, list[float]] = tomllib.loads(path.read_text("utf-8"))["bed"][number]
    return found


def taken_back(page: Page, house: Path) -> None:
    text = house.read_text("utf-8")
    page.click("#undo")
    page.when(lambda: house.read_text("utf-8") != text)


def test_a_bed_is_dragged_stretched_and_taken_back(chromium: Browser, running: Served, house: Path) -> None:
    page = opened(chromium, running, "beds")
    page.until("document.querySelector('.screen').dataset.traced", 120)
    before = page.run("document.querySelector('[data-bed=\"1\"]').getAttribute('aria-label')")
    scale = page.run("document.querySelector('.plan-drawing').getScreenCTM().a") * 100
    page.drag('[data-bed="1"] .bed-text', 0, -0.4 * scale)
    page.until("document.getElementById('undo').title === 'bed middle moved'")
    assert bed(house, 1)["at_m"] == pytest.approx([0.2, 1.9], abs=0.026)  # half a step of 5 cm
    page.call("Page.reload")
    page.until("document.querySelector('.screen h2')?.textContent === 'Beds'")
    page.until("document.getElementById('undo').title === 'bed middle moved'")
    page.until("document.querySelector('.screen').dataset.traced", 120)
    page.until(f"document.querySelector('[data-bed=\"1\"]').getAttribute('aria-label') !== {before!r}")
    for _ in range(2):
        page.run("document.querySelector('[data-bed=\"1\"]').focus()")
        page.press("ArrowRight")
    page.until("[...document.querySelectorAll('.panel input')].some(i => i.value === '0.3')")
    page.until("document.activeElement.dataset.bed === '1'")
    assert bed(house, 1)["at_m"][0] == pytest.approx(0.3, abs=1e-6)
    for _ in range(3):
        taken_back(page, house)
    page.until("document.getElementById('undo').disabled")
    assert house.read_text("utf-8") == DEMO
    assert page.complaints() == []
    assert asked_elsewhere(page, running) == []


def test_a_tab_learns_of_an_editor_and_never_overwrites_it(chromium: Browser, running: Served, house: Path) -> None:
    page = opened(chromium, running, "beds")
    page.until("document.querySelectorAll('.bed').length === 4")
    by_hand = DEMO.replace("size_m = [5.6, 0.8]\nheight_m = 0.6", "size_m = [5.0, 0.8]\nheight_m = 0.6")
    house.write_text(by_hand, "utf-8")
    page.run("document.querySelector('[data-bed=\"1\"]').focus()")
    page.press("ArrowUp")
    page.until("!document.getElementById('notice').hidden")
    assert "changed elsewhere" in page.run("document.getElementById('notice').innerText")
    assert house.read_text("utf-8") == by_hand
    page.until("[...document.querySelectorAll('.bed')].some(b => b.getAttribute('aria-label').includes('5.00 m by'))")
    assert set(page.complaints()) == {"Failed to load resource: the server responded with a status of 409 (Conflict)"}


def test_a_file_broken_by_hand_is_told_and_the_page_goes_on_once_it_is_mended(
    chromium: Browser, running: Served, house: Path
) -> None:
    page = opened(chromium, running, "beds", soon=not LONG)
    page.until("document.querySelectorAll('.bed').length === 4")
    broken = DEMO.replace("eaves_m = 1.6", "eaves_m = 1.6\nhight_m = 2", 1)
    house.write_text(broken, "utf-8")
    page.until("document.querySelector('.screen h2')?.textContent === 'Place'")
    told = page.run("document.getElementById('notice').innerText")
    assert "cannot be read as a house" in told
    assert "hight_m" in told
    assert "mend it there" in page.run("document.querySelector('.screen').innerText")
    assert page.run("document.querySelectorAll('.screen button, .screen input').length") == 0
    assert house.read_text("utf-8") == broken
    house.write_text(DEMO, "utf-8")
    page.until("document.querySelector('.screen h2')?.textContent === 'Beds'")
    page.press("Escape")
    assert page.run("document.getElementById('notice').hidden")
    page.until("document.querySelectorAll('.bed').length === 4")


def test_a_house_drawn_face_by_face_is_kept_while_its_beds_are_moved(
    chromium: Browser, running: Served, house: Path
) -> None:
    own = CUSTOM.read_text("utf-8")
    house.write_text(own, "utf-8")
    page = opened(chromium, running, "house")
    page.until("document.querySelector('.screen').dataset.traced", 120)
    assert "drawn face by face in its file" in page.run("document.querySelector('.screen').innerText")
    assert page.run(CUT) == []
    shown(page, "beds")
    page.run("document.querySelector('[data-bed=\"0\"]').focus()")
    page.press("ArrowUp")
    page.until("document.getElementById('undo').title.endsWith(' moved')")
    after, before = (tomllib.loads(text) for text in (house.read_text("utf-8"), own))
    assert after["surface"] == before["surface"]
    moved = after["bed"][0].pop("at_m")[1] - before["bed"][0].pop("at_m")[1]
    assert moved == pytest.approx(0.05, abs=0.026)
    assert after == before
    assert page.complaints() == []


WISHES = many(
    '\n[household]\npeople = 1\nmeals = { salad = 2 }\nlikes = ["spinach", "leaf-lettuce", "pea-shoots"]\n', ""
)
"""Few, so that a plan is soon made; the usual ones in the long form."""


def test_what_the_plan_says_is_ticked_off_into_the_log(chromium: Browser, empty: tuple[Path, Served]) -> None:
    at, running = empty
    assert running.ask("POST", "api/new", {"words": {"place": "Ulm, Germany", "shape": "cold-frame"}})[0] == 200
    with (at / "house.toml").open("a", encoding="utf-8") as file:
        file.write(WISHES)
    page = opened(chromium, running, "plan")
    page.run("document.querySelector('.fields .field:nth-child(2) input').id = 'seconds'")
    page.write("#seconds", "1")
    page.run(
        "(el => { el.value = '2'; el.dispatchEvent(new Event('change')) })(document.querySelector('.fields select'))"
    )
    page.run("document.querySelector('.main-button').focus()")
    page.press("Enter")
    page.until("document.querySelector('.screen').dataset.answered", 240)
    count = page.run("document.querySelectorAll('.tick').length")
    if count:
        page.run("document.querySelector('.tick').focus()")
        page.press(" ")
        page.until("document.getElementById('undo').title.match(/ (sown|set-out)$/)")
        assert (at / "sown.csv").read_text("utf-8").count("\n") == 2
        page.until(f"document.querySelectorAll('.tick').length === {count - 1}")
        assert "in the log" in page.run("document.querySelector('.jobs').innerText")
    assert page.run(CUT) == []
    assert page.complaints() == []


def test_what_check_refuses_is_said_and_not_written(chromium: Browser, running: Served, house: Path) -> None:
    page = opened(chromium, running, "beds")
    page.until("document.querySelectorAll('.panel input').length > 5")
    page.run("document.querySelectorAll('.panel input')[4].id = 'deep'")
    page.write("#deep", "9")
    page.until("!document.getElementById('notice').hidden")
    assert "bed" in page.run("document.getElementById('notice').innerText")
    assert house.read_text("utf-8") == DEMO


def test_the_day_slider_redraws_from_what_is_there(chromium: Browser, running: Served, house: Path) -> None:
    page = opened(chromium, running, "beds")
    page.until("document.querySelector('.screen').dataset.traced", 120)
    asked = len(page.requests())
    took_ms = page.run(
        """(() => { const slider = document.getElementById('day-slider'); const took = [];
             for (let day = 0; day < 365; day += 7) {
               const began = performance.now(); slider.value = day;
               slider.dispatchEvent(new Event('input')); document.body.getBoundingClientRect();
               took.push(performance.now() - began) }
             return took.sort((a, b) => a - b) })()"""
    )
    assert took_ms[len(took_ms) // 2] < 50
    assert len([url for url in page.requests()[asked:] if "version" not in url]) == 0
    january = page.run(
        "document.getElementById('day-slider').value = 14;"
        "document.getElementById('day-slider').dispatchEvent(new Event('input'));"
        "document.querySelector('[data-bed=\"0\"]').getAttribute('aria-label')"
    )
    now = running.ask("GET", "api/version")[1]["version"]
    told = running.ask("POST", "api/ask", {"version": now, "question": "light", "words": {"on": "2027-01-15"}})[1]
    assert f", {told['json']['day']['beds'][0]['dli_mol_m2_d']:.1f} mol a day" in january


def light_of(page: Page, screen_words: str, name: str) -> float:
    """Light of a bed as the words of a screen tell it."""
    found = re.search(rf"{name} ([0-9.]+)", page.run(f"document.querySelector({screen_words!r}).textContent"))
    assert found is not None
    return float(found[1])


def test_a_dragged_wall_shows_its_light_before_it_is_let_go(chromium: Browser, running: Served, house: Path) -> None:
    page = opened(chromium, running, "house")
    page.until("document.querySelector('.screen').dataset.traced", 120)
    page.run("document.querySelector('.drawings').scrollIntoView()")
    words = page.run("document.querySelector('.lit-words span').textContent")
    asked = len(page.requests())
    x, y = page.middle('[data-size="ridge"]')
    page.mouse("Pressed", x, y)
    for n in range(1, 6):
        page.mouse("Moved", x, y - 12 * n)
    page.until(f"document.querySelector('.lit-words span').textContent !== {words!r}", 60)
    assert house.read_text("utf-8") == DEMO, "nothing is written while it is dragged"
    assert any("api/day" in url for url in page.requests()[asked:])
    held = light_of(page, ".lit-words span", "front")
    page.mouse("Released", x, y - 60)
    page.until("document.getElementById('undo').title === 'height of the ridge'")
    page.until("!document.querySelector('.lit-words .quiet').textContent", 120)
    assert light_of(page, ".lit-words span", "front") == pytest.approx(held, rel=0.1), "coarse first, then fine"
    page.drag(".needle .arrow", 120, 0)
    page.until("document.getElementById('undo').title === 'where the front looks'")
    assert tomllib.loads(house.read_text("utf-8"))["house"]["length_azimuth_deg"] != 95
    assert page.complaints() == []


def test_two_tabs_show_one_file_and_the_second_change_waits(chromium: Browser, running: Served, house: Path) -> None:
    first, second = (opened(chromium, running, "place") for _ in range(2))
    first.click("input[name=units][value=us]")
    first.until("document.getElementById('undo').title === 'units us'")
    second.click("fieldset:last-of-type input[type=checkbox]")
    second.until("!document.getElementById('notice').hidden")
    assert "changed elsewhere" in second.run("document.getElementById('notice').innerText")
    now = tomllib.loads(house.read_text("utf-8"))
    assert now["units"] == "us"
    assert now["site"].get("snow_months") == tomllib.loads(DEMO)["site"].get("snow_months")
    second.until("document.querySelector('input[name=units][value=us]').checked")


STOPS = """(() => [...document.querySelectorAll('a[href], button, input, select, summary, [tabindex="0"]')].filter(el =>
  el.getClientRects().length && !el.disabled && !el.closest('details:not([open]) > :not(summary)')
  && (el.type !== 'radio' || el.checked || ![...document.getElementsByName(el.name)].some(o => o.checked))).length)()"""
FOCUS = """el => el === document.body ? '' :
  (el.matches(':focus-visible') || getComputedStyle(el).outlineStyle !== 'none')
  + el.outerHTML.slice(0, 60) + [...document.querySelectorAll('*')].indexOf(el)"""
DATE_STOPS = 12
"""A field for a day and a time is several stops of its own."""
MOVED = {
    "warmth": (".floor-line", "at night"),
    "house": ('[data-size="width"]', "front to back"),
    "place": (".dot", "the horizon"),
}


def test_everything_is_reached_and_moved_by_keyboard_alone(chromium: Browser, running: Served, house: Path) -> None:
    page = opened(chromium, running, "place")
    page.run(f"window.reached = new Set(); document.addEventListener('focusin', e => reached.add(({FOCUS})(e.target)))")
    for screen in many((*MOVED, "readings"), SCREENS):
        shown(page, screen)
        page.run("document.activeElement.blur(); document.body.tabIndex = -1; document.body.focus()")
        wanted = page.run(STOPS)
        page.run("reached.clear()")
        for _ in range(wanted + DATE_STOPS):
            page.press("Tab")
        reached = set(page.run("[...reached]")) - {""}
        assert len(reached) >= wanted, (screen, wanted, len(reached))
        unseen = [mark for mark in reached if not mark.startswith("true")]
        assert unseen == [], f"{screen}: what has the focus shows it"
        if screen in MOVED:
            what, label = MOVED[screen]
            page.run(f"document.querySelector({what!r}).focus()")
            page.press("ArrowUp")
            page.until(f"document.getElementById('undo').title.includes({label!r})", 120)
            page.until(f"document.activeElement.matches({what!r})", 120)
    page.run("document.querySelector('[data-bed=\"1\"]').focus()")
    page.press(" ")
    page.until("document.querySelector('.spot')")
    before = page.run("document.querySelector('.spot').getAttribute('cx')")
    page.press("ArrowRight")
    page.until(f"document.querySelector('.spot').getAttribute('cx') !== {before!r}")
    assert page.complaints() == []


SEEN = "[...document.querySelectorAll({!r})].filter(el => el.getClientRects().length).map(el => el.textContent)"


def on_paper(page: Page) -> list[str]:
    """What of a screen is for pressing or dragging alone and yet is printed, and what is cut there."""
    page.media("print")
    found: list[str] = page.run(SEEN.format("button, nav, .dot, .handle, .how")) + page.run(CUT)
    page.media()
    return found


def test_on_paper_stands_what_was_answered_without_what_is_pressed(
    chromium: Browser, running: Served, house: Path
) -> None:
    page = opened(chromium, running, "beds")
    page.until("document.querySelector('.screen').dataset.traced", 120)
    assert on_paper(page) == []
    page.media("print")
    seen = SEEN.replace("!r", "")
    assert page.run(seen.format("'input, nav'")) == []
    assert page.run(seen.format("'.screen h2'")) == ["Beds"]
    assert page.run(seen.format("'tbody th'")) == ["front", "middle", "back", "shelf"]
    assert page.pdf(8.27, 11.69).startswith(b"%PDF")


SCREENS = ("place", "house", "beds", "warmth", "week", "plan", "lamps", "why", "readings")
READY = {
    "house": "document.querySelector('.screen').dataset.traced",
    "beds": "document.querySelector('.screen').dataset.traced",
    "warmth": "document.querySelector('.screen').dataset.answered",
    "week": "document.querySelector('.screen').dataset.answered",
    "lamps": "document.querySelector('.screen').dataset.answered",
    "why": "document.querySelector('.screen').dataset.answered",
    **({"plan": "document.querySelector('.screen').dataset.answered"} if LONG else {}),
}
TITLES = {"week": "This week", "why": "Why are they leggy?"}
CUT = """(() => {
  const bad = [];
  const seen = el => el.getClientRects().length > 0 && !el.closest('.skip')
    && !el.closest('details:not([open])');
  if (document.documentElement.scrollWidth > innerWidth) bad.push('the page scrolls sideways');
  for (const el of document.querySelectorAll('button, label, legend, h1, h2, h3, h4, p, dt, dd, figcaption, nav a')) {
    if (seen(el) && el.scrollWidth > el.clientWidth + 1 && el.clientWidth > 0 && !el.closest('.scroll'))
      bad.push('cut: ' + el.textContent.slice(0, 40));
  }
  const pen = document.createElement('canvas').getContext('2d');
  for (const el of document.querySelectorAll('select')) {
    const look = getComputedStyle(el), words = el.selectedOptions[0]?.textContent ?? '';
    pen.font = look.font;
    const room = el.clientWidth - parseFloat(look.paddingLeft) - parseFloat(look.paddingRight);
    const besides = [...el.parentElement.querySelectorAll('.hint')].some(hint => hint.textContent === words);
    if (seen(el) && pen.measureText(words).width > room + 1 && !besides) bad.push('cut: ' + words);
  }
  for (const el of document.querySelectorAll('input'))
    if (seen(el) && el.scrollWidth > el.clientWidth + 1) bad.push('cut: ' + el.value);
  const apart = (list, name) => { for (let i = 0; i < list.length; i++) for (let j = i + 1; j < list.length; j++) {
    const a = list[i].getBoundingClientRect(), b = list[j].getBoundingClientRect();
    const w = Math.min(a.right, b.right) - Math.max(a.left, b.left);
    const h = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
    const both = [list[i], list[j]].map(el => el.textContent.slice(0, 20) || el.name || el.type);
    if (w > 2 && h > 2) bad.push(`${name} overlap: ${both.join(' / ')}`);
  } };
  apart([...document.querySelectorAll('button, input, select, .field > label, h2, h3, nav a')].filter(seen), 'parts');
  for (const svg of document.querySelectorAll('svg.plan-drawing, svg.picture')) {
    const frame = svg.getBoundingClientRect(), words = [...svg.querySelectorAll('text')].filter(t => t.textContent);
    if (!frame.width) continue;
    apart(words, 'words');
    for (const t of words) { const b = t.getBoundingClientRect();
      if (b.left < frame.left - 1 || b.right > frame.right + 1 || b.top < frame.top - 1 || b.bottom > frame.bottom + 1)
        bad.push('outside its picture: ' + t.textContent); }
  }
  return bad })()"""


def shown(page: Page, screen: str) -> None:
    """Go to a screen and wait for its answer."""
    page.run(f"location.hash = '{screen}'")
    page.until(f"document.querySelector('.screen h2')?.textContent === {TITLES.get(screen, screen.capitalize())!r}")
    if screen in ("lamps", "why") or (screen == "plan" and LONG):
        page.click(".main-button")
    if screen in READY:
        page.until(READY[screen], 240)


WIDTHS = many((1280, 375), (1280, 768, 375))
SCHEMES = many((("dark", 375),), (("dark", 375), ("light", 1280)))
AXE = "axe.run({resultTypes: ['violations']}).then(r => r.violations.map(v => [v.id, v.nodes[0].html]))"


@dataclass
class Looked:
    """What was found on every screen: cut or overlapping by width, on paper, by axe in each scheme of colours."""

    cut: dict[tuple[str, int], list[str]] = field(default_factory=dict)
    paper: dict[tuple[str, int], list[str]] = field(default_factory=dict)
    axe: dict[tuple[str, str], list[list[str]]] = field(default_factory=dict)
    complaints: list[str] = field(default_factory=list)
    elsewhere: list[str] = field(default_factory=list)


@pytest.fixture(scope="module")
def looked(chromium: Browser, running: Served, folder: Path) -> Looked:
    """Every screen with its answer, shown once and looked at in all ways."""
    (folder / "house.toml").write_text(DEMO, "utf-8")
    found, axe = Looked(), helpers_browser.axe_source()
    page = opened(chromium, running, "place", WIDTHS[0])
    page.run(f"{axe or ''}; true")
    for screen in SCREENS:
        page.size(WIDTHS[0], 900)
        shown(page, screen)
        page.run("document.querySelectorAll('details').forEach(d => d.open = false)")
        for width in WIDTHS:
            page.size(width, 900)
            found.cut[screen, width], found.paper[screen, width] = page.run(CUT), on_paper(page)
            _pictured(page, screen, width)
        for scheme, width in SCHEMES if axe else ():
            page.size(width, 900)
            page.media(scheme=scheme)
            found.axe[screen, scheme] = page.run(AXE)
        page.media()
    found.complaints, found.elsewhere = page.complaints(), asked_elsewhere(page, running)
    return found


def _pictured(page: Page, screen: str, width: int) -> None:
    """A picture of a screen, for who asks for them."""
    pictures = os.environ.get("TENHOUR_PICTURES")
    if pictures:
        page.size(width, min(page.run("document.documentElement.scrollHeight"), 3000))
        page.picture(Path(pictures) / f"{screen}-{width}.png")
        page.size(width, 900)


@pytest.mark.parametrize("width", WIDTHS)
def test_no_screen_cuts_or_overlaps_anything(looked: Looked, width: int) -> None:
    for screen in SCREENS:
        assert looked.cut[screen, width] == [], screen
        assert looked.paper[screen, width] == [], screen
    assert looked.complaints == []
    assert looked.elsewhere == []


@pytest.mark.parametrize("scheme", [scheme for scheme, _ in SCHEMES])
def test_accessibility_has_no_finding_on_any_screen(looked: Looked, scheme: str) -> None:
    if helpers_browser.axe_source() is None and not helpers_browser.IN_CI:
        pytest.skip("axe-core is not installed (npm install axe-core)")
    assert looked.axe, "the project's own checks install axe-core"
    for screen in SCREENS:
        assert looked.axe[screen, scheme] == [], screen


def test_a_newcomer_comes_from_an_empty_folder_to_the_answer_of_the_week(
    chromium: Browser, empty: tuple[Path, Served], tmp_path: Path
) -> None:
    from tenhour.files.house.read import load_house

    (at, running), actions = empty, 0
    path = at / "house.toml"
    page = chromium.page()
    page.size(1280, 900)
    page.media()
    page.open(running.address)
    page.until("document.querySelector('input[type=search]')")

    def act(what: str, *words: str) -> None:
        nonlocal actions
        actions += 1
        getattr(page, what)(*words)

    def choose(selector: str, value: str) -> None:
        nonlocal actions
        actions += 1
        page.run(
            f"(el => {{ el.value = {value!r}; el.dispatchEvent(new Event('change')) }})"
            f"(document.querySelector({selector!r}))"
        )

    act("click", "input[name=units][value=us]")
    act("write", "input[type=search]", "Duluth, Minnesota")
    act("click", ".search button")
    page.until("document.querySelector('.found button')")
    act("click", ".found button")
    act("write", "input[name=length]", "16")
    act("write", "input[name=width]", "10")
    act("click", ".main-button")
    page.until("document.querySelector('.faces')")
    choose("#cover-north", "opaque")
    page.until("document.getElementById('undo').title === 'back: opaque'")
    act("click", "nav a[href='#beds']")
    page.until("document.querySelector('.panel .buttons button')")
    act("click", ".panel .buttons button")
    page.until("document.querySelectorAll('.bed').length === 2")
    act("click", "nav a[href='#week']")
    page.until("document.querySelector('.screen').dataset.answered", 240)
    assert page.run("document.querySelector('.answer .today').innerText").startswith(("Sow now", "Nothing to sow"))
    act("click", ".answer details summary")
    act("click", ".answer details button")
    page.until("document.getElementById('undo').title.endsWith(' sown')")
    assert (at / "sown.csv").read_text("utf-8").count("\n") == 2
    assert actions <= 25
    if LONG:
        running.kill()
    beds = tomllib.loads(path.read_text("utf-8"))["bed"]
    sizes = [",".join(str(v) for v in (*bed["at_m"], *bed["size_m"], bed["height_m"])) for bed in beds]
    flags = [f"--bed={bed['name']},{size}" for bed, size in zip(beds, sizes, strict=True)]
    told = tenhour(
        "new", "-o", tmp_path / "typed.toml", "--place", "Duluth, Minnesota, United States", "--shape", "gable",
        "--length", "16 ft", "--width", "10 ft", "--eaves", "6 ft", "--ridge", "8.5 ft", "--opaque", "north",
        "--units", "us", *flags,
    )  # fmt: skip
    assert told.status == 0, told.err
    drawn, typed = load_house(path), load_house(tmp_path / "typed.toml")
    assert replace(drawn, path="") == replace(typed, path="")
    assert [bed.name for bed in drawn.beds] == ["front", "back"]
    assert drawn.dimensions_m["length"] == pytest.approx(16 * 0.3048, abs=1e-9)
