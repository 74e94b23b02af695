"""``tenhour report`` and the ways other answers leave the program: PDF, pictures, CSV, calendar, units, dates, JSON."""

from __future__ import annotations

import csv
import io
import json
import os
import re
import shutil
import stat
from collections.abc import Callable
from pathlib import Path

import pytest
from icalendar import Calendar
from typer.testing import CliRunner, Result

from helpers_once import few_winters
from helpers_schema import schema_faults
from tenhour.cli import printing, progress
from tenhour.cli.main import app

ROOT = Path(__file__).parents[2]
FEW = ("--crop", "spinach", "--crop", "pea-shoots")
ON = ("--on", "2027-01-15")
needs_browser = pytest.mark.skipif(
    printing.find_browser() is None and not os.environ.get("TENHOUR_CI"), reason="no Chromium"
)


@pytest.fixture(autouse=True)
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    few_winters(monkeypatch)
    return tmp_path


def run(*arguments: str) -> Result:
    return CliRunner().invoke(app, list(arguments))


def good(*arguments: str) -> Result:
    done = run(*arguments)
    assert done.exit_code == 0, done.stderr
    return done


def test_writes_one_page_and_says_so(elsewhere: Path) -> None:
    done = good("report", *ON, *FEW)
    assert done.stdout == ""
    assert "Wrote tenhour.html." in done.stderr
    assert [path.name for path in elsewhere.iterdir()] == ["tenhour.html"]
    page = Path("tenhour.html").read_text("utf-8")
    assert page.startswith("<!DOCTYPE html>")
    for bed in ("front", "middle", "back", "shelf"):
        assert f"Bed {bed}" in page
    assert "15 Jan 2027" in page
    assert "spinach" in page
    # the season twice, for desk and phone; three plans of the house; what the marks mean; the warm year, a cold night
    assert page.count("<svg") == 4 * (2 + 1 + 3 + 1) + 3 + 2 + 2


def test_never_replaces_a_page_unasked(elsewhere: Path) -> None:
    Path("mine.html").write_text("mine")
    done = run("report", "-o", "mine.html", *ON, *FEW)
    assert done.exit_code == 2
    assert done.stderr.strip() == "mine.html: already there. Use --force to replace it, or -o for another name."
    assert Path("mine.html").read_text() == "mine"
    good("report", "-o", "mine.html", "--force", "--bed", "front", *ON, *FEW)
    assert Path("mine.html").read_text("utf-8").startswith("<!DOCTYPE html>")


@pytest.mark.parametrize(
    ("arguments", "line"),
    [
        (("report", "--units", "furlongs"), "command line: --units: found 'furlongs'; allowed: metric or us."),
        (("sow", "--dates", "roman"), "command line: --dates: found 'roman'; allowed: one of iso, long, us, locale."),
        (("light", "--plot", "a.gif"), "command line: --plot: found 'a.gif'; allowed: a name that ends in .svg or"),
        (("light", "--json", "--csv", "beds"), "command line: --json and --csv: found both; allowed: one of them."),
        (("report", "-o", "no/such/a.html"), "no/such/a.html: cannot be written: there is no such folder"),
        (("report", "--lamps", "front"), "command line: --lamps: found 'front'; allowed: BED=CROP, as front=spinach."),
        (("report", "--lamps", "frnt=kale"), "command line: --lamps: found 'frnt'; allowed: one of front, middle"),
        (("season", "--lamps", "front"), "command line: --lamps: found 'front'; allowed: BED=CROP, as front=spinach."),
        (("report", "--on", "2027-02-30"), "command line: --on: found '2027-02-30'; allowed: a day that exists"),
    ],
)  # fmt: skip
def test_bad_options_are_one_line_and_write_nothing(arguments: tuple[str, ...], line: str, elsewhere: Path) -> None:
    done = run(*arguments)
    assert done.exit_code == 2
    said = [text for text in done.stderr.splitlines() if "demo house" not in text]
    assert len(said) == 1
    assert said[0].startswith(line)
    assert list(elsewhere.iterdir()) == []


HOSTILE_HOUSE = """
schema = 1
name = '<script>alert("x")</script> & "quotes" 🥬'
site = {latitude_deg = 57.1, longitude_deg = -4.7, elevation_m = 40}
house = {shape = "gable", length_m = 5, width_m = 3, eaves_m = 1.8, ridge_m = 2.6}
[[bed]]
name = "<img src=x onerror=alert(1)>"
at_m = [0.2, 0.2]
size_m = [4.6, 0.8]
[[bed]]
name = "=cmd|' /C calc'!A0"
at_m = [0.2, 1.2]
size_m = [4.6, 0.8]
"""


def test_hostile_house_file() -> None:
    Path("house.toml").write_text(HOSTILE_HOUSE, "utf-8")
    good("report", "--crop", "spinach")
    page = Path("tenhour.html").read_text("utf-8")
    assert "<script" not in page
    assert "<img" not in page
    assert "&lt;script&gt;alert(&quot;x&quot;)&lt;/script&gt; &amp; &quot;quotes&quot; 🥬" in page
    rows = list(csv.DictReader(io.StringIO(good("light", "--csv", "beds").stdout)))
    assert {row["bed"] for row in rows} == {"<img src=x onerror=alert(1)>", "'=cmd|' /C calc'!A0"}
    good("season", "--crop", "spinach", "--ics", "a.ics")
    assert Calendar.from_ical(Path("a.ics").read_bytes()).walk("VEVENT")


def test_lamp_plans_stand_on_the_page_and_in_the_calendar() -> None:
    good("report", "--bed", "back", "--lamps", "back=spinach", "--price", "0.30 EUR", *ON, *FEW)
    page = Path("tenhour.html").read_text("utf-8")
    plan = page[page.index('class="plan"') :]
    assert "spinach" in plan
    assert "licensed electrician" in plan
    assert "EUR" in plan
    good("season", "back", "--ics", "winter.ics", "--lamps", "back=spinach", *FEW)
    assert b"SUMMARY:Lamps on over back" in Path("winter.ics").read_bytes()


@needs_browser
def test_pdf_is_printed_whole() -> None:
    good("report", "--pdf", "-o", "page.pdf", "--bed", "front", *ON, *FEW)
    data = Path("page.pdf").read_bytes()
    assert data.startswith(b"%PDF-")
    assert 20_000 < len(data) < 3_000_000
    assert run("report", "--pdf", "-o", "page.pdf", "--bed", "front", *ON, *FEW).exit_code == 2


def test_without_a_browser_pdf_says_what_to_do(monkeypatch: pytest.MonkeyPatch, elsewhere: Path) -> None:
    monkeypatch.setenv("PATH", "/nowhere")
    done = run("report", "--pdf", "-o", "page.pdf", "--bed", "front", *ON, *FEW)
    assert done.exit_code == 2
    assert "command line: --pdf: no Chromium on this machine." in done.stderr
    assert "print the page from your own browser" in done.stderr
    assert list(elsewhere.iterdir()) == []


def test_a_browser_that_prints_nothing_is_said(monkeypatch: pytest.MonkeyPatch, elsewhere: Path) -> None:
    fake = elsewhere / "bin" / "chromium"
    fake.parent.mkdir()
    fake.write_text("#!/bin/sh\necho no screen >&2\nexit 1\n")
    fake.chmod(fake.stat().st_mode | stat.S_IXUSR)
    monkeypatch.setenv("PATH", f"{fake.parent}:/usr/bin:/bin")
    done = run("report", "--pdf", "-o", "page.pdf", "--bed", "front", *ON, *FEW)
    assert done.exit_code == 2
    assert "printed nothing (no screen)" in done.stderr
    assert not Path("page.pdf").exists()


def test_plots_and_calendar() -> None:
    good("light", "--plot", "light.svg", *ON)
    good("light", "--plot", "map.png", "--map", "back", *ON)
    good("season", "front", "--plot", "season.svg", "--ics", "winter.ics", "--from", "2026-09-01", *FEW)
    assert "Light through the year" in Path("light.svg").read_text("utf-8")
    assert Path("map.png").read_bytes().startswith(b"\x89PNG")
    season = Path("season.svg").read_text("utf-8")
    assert "The season on bed front" in season
    assert "pea shoots" in season
    assert run("light", "--plot", "light.svg").exit_code == 2
    first = Calendar.from_ical(Path("winter.ics").read_bytes())
    good("season", "front", "--ics", "winter.ics", "--force", "--from", "2026-09-02", *FEW)
    second = Calendar.from_ical(Path("winter.ics").read_bytes())
    uids = [sorted(str(event["uid"]) for event in one.walk("VEVENT")) for one in (first, second)]
    assert set(uids[0]) <= set(uids[1])  # a second harvest of the later sowing may come in
    assert len(uids[0]) >= 3


def test_csv_goes_to_stdout_and_names_its_tables(elsewhere: Path) -> None:
    listed = good("light", "--csv", "list").stdout
    assert [line.split(":")[0] for line in listed.splitlines()] == ["outdoors", "beds"]
    rows = list(csv.DictReader(io.StringIO(good("light", "--csv", "beds").stdout)))
    assert len(rows) == 4 * 12
    assert rows[0]["month"] == "1"
    wrong = run("light", "--csv", "nothing")
    assert wrong.exit_code == 2
    assert "found 'nothing'; allowed: one of outdoors, beds" in wrong.stderr
    assert list(elsewhere.iterdir()) == []


def test_units_and_dates_change_text_and_csv_but_not_json() -> None:
    us = ("--units", "us", "--dates", "us")
    text = good("light", *ON, "--months", *us).stdout
    assert "Jan 15, 2027: " in text
    assert "ft above the sea" in text
    assert "°C" not in text
    metric = list(csv.DictReader(io.StringIO(good("light", "--csv", "outdoors").stdout)))
    american = list(csv.DictReader(io.StringIO(good("light", "--csv", "outdoors", *us).stdout)))
    assert float(american[0]["temp_degf"]) == pytest.approx(float(metric[0]["temp_degc"]) * 1.8 + 32, abs=0.01)
    assert json.loads(good("light", "--json", *us).stdout) == json.loads(good("light", "--json").stdout)


JSON_ANSWERS: dict[str, tuple[str, ...]] = {
    "light": ("light", "--json", "--map", "back", *ON),
    "sow": ("sow", "--json", "--month", "January", "--bed", "back"),
    "season": ("season", "back", "--json", "--every", "2w"),
    "lamps": ("lamps", "back", "--json", "--crop", "spinach", "--price", "0.30 EUR"),
    "check": ("check", "--json"),
    "crops": ("crops", "--json"),
    "crop": ("crops", "spinach", "--json"),
    "why": ("why", "spinach", "--json", "--sown", "2027-01-05", "--seen", "2027-02-05", "--bed", "back"),
}


@pytest.mark.parametrize("name", JSON_ANSWERS)
def test_real_answers_keep_to_the_published_schema(name: str) -> None:
    answer = json.loads(good(*JSON_ANSWERS[name]).stdout)
    assert schema_faults(name, answer) == []


class Terminal(io.StringIO):
    """Stands for stderr on a terminal."""

    def isatty(self) -> bool:
        return True


def test_long_work_shows_a_sign_of_life_on_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    import time

    shown = Terminal()
    monkeypatch.setattr("sys.stderr", shown)
    with progress.working("Growing every crop", patience_s=0.01):
        time.sleep(0.3)
    assert "Growing every crop" in shown.getvalue()


def test_long_work_tells_how_far_it_is_and_what_is_left(monkeypatch: pytest.MonkeyPatch) -> None:
    import time

    from tenhour.pace import tell

    shown = Terminal()
    monkeypatch.setattr("sys.stderr", shown)
    tell(1, 2, "crops")  # nobody listens
    with progress.working("Growing", patience_s=0.01):
        time.sleep(0.1)
        for done in range(1, 5):
            tell(done, 40, "crops")
            tell(1, 7, "sites")
            time.sleep(0.1)
    said = re.sub(r"\x1b\[[\d;?]*[a-zA-Z]", "", shown.getvalue())
    assert " 4/40 crops" in said
    assert re.search(r"\d\d:\d\d left", said)
    assert "sites" not in said


@pytest.mark.parametrize("stream", [Terminal, io.StringIO])
def test_quick_or_piped_work_is_silent(monkeypatch: pytest.MonkeyPatch, stream: Callable[[], io.StringIO]) -> None:
    shown = stream()
    monkeypatch.setattr("sys.stderr", shown)
    with progress.working("Growing", patience_s=5.0 if stream is Terminal else 0.0):
        pass
    assert shown.getvalue() == ""


def test_work_that_fails_ends_its_sign_of_life(monkeypatch: pytest.MonkeyPatch) -> None:
    def work() -> None:
        with progress.working("Growing", patience_s=0.0):
            raise ValueError("stop")

    monkeypatch.setattr("sys.stderr", Terminal())
    with pytest.raises(ValueError, match="stop"):
        work()


def test_browser_is_looked_for_by_its_usual_names(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "which", lambda name: "/x/" + name if name == "google-chrome" else None)
    assert printing.find_browser() == "/x/google-chrome"
