"""The local page in a real browser, played by hand: mouse, keyboard, two tabs, an editor beside it."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from importlib import resources
from pathlib import Path
from urllib.parse import urlsplit

import pytest

import helpers_browser
from helpers_browser import Browser, Page
from helpers_open import Served, served

pytestmark = pytest.mark.skipif(
    helpers_browser.BINARY is None and not helpers_browser.IN_CI, reason="Chromium is not installed"
)
DEMO = (resources.files("tenhour") / "_data" / "demo-house.toml").read_text("utf-8")


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with helpers_browser.browser() as started:
        yield started


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("page")


@pytest.fixture(scope="module")
def running(folder: Path) -> Iterator[Served]:
    (folder / "house.toml").write_text(DEMO, "utf-8")
    with served(folder) as one:
        yield one


@pytest.fixture
def house(folder: Path) -> Path:
    path = folder / "house.toml"
    path.write_text(DEMO, "utf-8")
    return path


def opened(chromium: Browser, running: Served, screen: str, width: int = 1280) -> Page:
    page = chromium.page()
    page.size(width, 900)
    page.media()
    page.open(running.address + f"#{screen}")
    page.until("document.querySelector('.screen h2')")
    return page


def bed(path: Path, number: int) -> dict[str, list[float]]:
    found: dict[str, list[float]] = tomllib.loads(path.read_text("utf-8"))["bed"][number]
    return found


def test_a_bed_is_dragged_stretched_and_taken_back(chromium: Browser, running: Served, house: Path) -> None:
    page = opened(chromium, running, "beds")
    page.until("document.querySelector('.screen').dataset.traced", 120)
    before = page.run("document.querySelector('[data-bed=\"1\"]').getAttribute('aria-label')")
    scale = page.run("document.querySelector('.plan-drawing').getScreenCTM().a") * 100
    page.drag('[data-bed="1"] .bed-text', 0, -0.4 * scale)
    page.until("document.getElementById('undo').title === 'bed middle moved'")
    assert bed(house, 1)["at_m"] == pytest.approx([0.2, 1.9], abs=0.026)  # half a step of 5 cm
    page.until(f"document.querySelector('[data-bed=\"1\"]').getAttribute('aria-label') !== {before!r}")
    for _ in range(2):
        page.run("document.querySelector('[data-bed=\"1\"]').focus()")
        page.press("ArrowRight")
    page.until("[...document.querySelectorAll('.panel input')].some(i => i.value === '0.3')")
    page.until("document.activeElement.dataset.bed === '1'")
    assert bed(house, 1)["at_m"][0] == pytest.approx(0.3, abs=1e-6)
    for _ in range(3):
        page.click("#undo")
        page.run("new Promise(done => setTimeout(done, 300))")
    page.until("document.getElementById('undo').disabled")
    assert house.read_text("utf-8") == DEMO
    assert page.complaints() == []
    assert {urlsplit(url).netloc for url in page.requests()} == {urlsplit(running.address).netloc}


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
