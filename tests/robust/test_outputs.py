"""What leaves the program: encodings, closed and broken streams, and outputs that are inputs or one another."""

from __future__ import annotations

import csv
import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from helpers_cli import tenhour
from helpers_long import many

HOUSE = """
schema = 1
name = "Träume 🧑‍🌾"
[site]
latitude_deg = 48.4
longitude_deg = 10.0
elevation_m = 480
timezone = "Europe/Berlin"
[house]
shape = "gable"
length_m = 4
width_m = 3
eaves_m = 1.8
ridge_m = 2.6
[[bed]]
name = "vorn ü ≈ 🥬"
at_m = [0.2, 0.2]
size_m = [3.6, 0.8]
"""
LOG = "date,what,crop,bed,plants_per_m2,fresh_g,note\n2026-10-01,sown,kale,vorn ü ≈ 🥬,,,Grünkohl → Schüssel\n"
PRINTS = [(["check", "--json"], "json"), (["log", "--json"], "json"), (["log", "--csv", "lines"], "csv")]


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("house-years")


@pytest.fixture
def folder(tmp_path: Path, kept: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a house and a log; the programs started there keep its house-year."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("TENHOUR_CACHE", str(kept))
    (tmp_path / "house.toml").write_text(HOUSE, "utf-8")
    (tmp_path / "sown.csv").write_text(LOG, "utf-8")
    return tmp_path


def started(*words: str, encoding: str = "", before: str = "", **streams: int) -> subprocess.CompletedProcess[bytes]:
    """Run in a process of its own, with a console of some encoding, after lines of shell that change its streams."""
    path = os.pathsep.join(part for part in sys.path if part)
    environment = {**os.environ, "PYTHONPATH": path, "PYTHONUTF8": "0"}
    environment |= {"PYTHONIOENCODING": encoding} if encoding else {}
    command = [sys.executable, "-m", "tenhour", *words]
    if before:
        command = ["sh", "-c", f'"$@" {before}', "sh", *command]
    wanted = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "stdin": subprocess.DEVNULL, **streams}
    return subprocess.run(command, env=environment, check=False, timeout=60, **wanted)  # type: ignore[call-overload,no-any-return]


@pytest.mark.parametrize("encoding", many(["utf-16"], ["cp1252", "ascii", "utf-16", "utf-8"]))
@pytest.mark.parametrize(("words", "form"), many(PRINTS[::2], PRINTS))
def test_json_and_csv_are_utf_8_on_every_console(folder: Path, words: list[str], form: str, encoding: str) -> None:
    done = started(*words, encoding=encoding)
    assert done.returncode == 0, done.stderr
    text = done.stdout.decode("utf-8")
    assert "vorn ü ≈ 🥬" in text
    if form == "json":
        json.loads(text)
    else:
        assert next(csv.DictReader(io.StringIO(text)))["note"] == "Grünkohl → Schüssel"


def test_words_on_a_narrow_console_lose_signs_and_nothing_else(folder: Path) -> None:
    done = started("check", encoding="ascii")
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"vorn ? ? ?" in done.stdout


@pytest.mark.parametrize("closed", many(["<&- >&- 2>&-"], ["<&-", ">&-", "2>&-", "<&- >&- 2>&-"]))
def test_closed_streams_are_no_bug(folder: Path, closed: str) -> None:
    for words, statuses in ((["check"], {0}), (["new", "-o", "mine.toml"], {2}), (["log", "--json"], {0})):
        done = started(*words, before=closed)
        assert b"Traceback" not in done.stderr + done.stdout
        assert done.returncode in statuses, done.stderr
    assert not (folder / "mine.toml").exists()


def test_a_reader_of_remarks_who_went_away_costs_no_answer(folder: Path) -> None:
    """Without ./house.toml a remark comes first, on a stderr that nobody reads any more."""
    (folder / "house.toml").unlink()
    reader, writer = os.pipe()
    os.close(reader)
    try:
        done = started("check", stderr=writer)
    finally:
        os.close(writer)
    assert done.returncode == 0
    assert b"nothing wrong" in done.stdout


def test_other_libraries_keep_their_remarks_to_themselves() -> None:
    code = (
        "import logging, sys, warnings; from tenhour.cli.main import _ours_alone; _ours_alone();"
        "warnings.warn('a column of mixed kinds', RuntimeWarning); logging.getLogger('drawing').warning('no folder')"
    )
    quiet = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert quiet.stderr == ""
    asked = subprocess.run([sys.executable, "-W", "default", "-c", code], capture_output=True, text=True, check=True)
    assert "mixed kinds" in asked.stderr


def test_a_picture_where_nothing_can_be_kept_says_nothing_else(folder: Path) -> None:
    done = started("light", "--plot", "year.svg", before="2>said", stderr=subprocess.DEVNULL)
    assert done.returncode == 0
    (folder / "year.svg").unlink()
    path = os.pathsep.join(part for part in sys.path if part)
    environment = {
        **os.environ,
        "PYTHONPATH": path,
        "HOME": "/proc",
        "XDG_CACHE_HOME": "/proc",
        "XDG_CONFIG_HOME": "/proc",
    }
    environment.pop("MPLCONFIGDIR", None)
    done = subprocess.run(
        [sys.executable, "-m", "tenhour", "light", "--plot", "year.svg"],
        env=environment, capture_output=True, check=False, stdin=subprocess.DEVNULL,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, b"Wrote year.svg.\n")


def refused(*words: str) -> str:
    """One refusal, before any work: nothing is printed, and no file is new or changed."""
    before = {path: path.read_bytes() for path in Path().iterdir() if path.is_file()}
    done = tenhour(*words)
    assert (done.status, done.out) == (2, ""), done.err
    assert {path: path.read_bytes() for path in Path().iterdir() if path.is_file()} == before
    return done.err


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["report", "-o", "house.toml", "--force"], "--output: found 'house.toml'; allowed: a name that ends in .html"),
        (["report", "--pdf", "-o", "x.html"], "--output: found 'x.html'; allowed: a name that ends in .pdf."),
        (["report", "-o", "x.pdf"], "--output: found 'x.pdf'; allowed: a name that ends in .html or .htm."),
        (["season", "--ics", "dates.txt"], "--ics: found 'dates.txt'; allowed: a name that ends in .ics."),
        (["season", "--ics", "b.svg", "--plot", "b.svg", "--force"], "--ics: found 'b.svg'; allowed: a name that ends"),
        (["light", "--plot", "house"], "--plot: found 'house'; allowed: a name that ends in .svg or .png."),
        (["new", "--place", "Ulm", "--shape", "gable", "-o", "mine"], "allowed: a name that ends in .toml."),
        (["season", "--ics", "none/x.ics", "--plot", "none/y.svg"], "none/y.svg: cannot be written: there is no such"),
    ],
)
def test_names_of_outputs_are_checked_before_the_work(folder: Path, words: list[str], says: str) -> None:
    assert says in refused(*words)


def test_every_output_is_named_at_once(folder: Path) -> None:
    (folder / "a.svg").write_text("mine")
    said = refused("season", "--ics", "none/x.ics", "--plot", "a.svg")
    assert [line.split(":")[0] for line in said.splitlines()] == ["a.svg", "none/x.ics"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["log", "--density", "40"], "--density: nothing it belongs to. Say what was done: tenhour log sown kale"),
        (["log", "--note", "frost"], "--note: nothing it belongs to."),
        (["report", "--price", "0.3 EUR"], "--price: no --lamps it belongs to. Add --lamps BED=CROP, or leave it out."),
        (["lamps", "--shelf", "1x0.5", "--crop", "kale", "--place", "Ulm"], "--place and --shelf: found both; allowed"),
        (["sow", "--month", "1_0"], "--month: found '1_0'"),
        (["lamps", "--crop", "kale", "--even", "0,7"], "allowed: a number from 0 to 0.95. Did you mean 0.7?"),
        (["lamps", "--crop", "kale", "--hours", "1_2"], "--hours: found '1_2'; allowed: a number from 0.25 to 24."),
    ],
)
def test_words_that_would_be_lost_are_refused(folder: Path, words: list[str], says: str) -> None:
    assert says in refused(*words)


def test_a_file_saved_as_utf_16_is_told_from_a_binary_one(folder: Path) -> None:
    (folder / "house.toml").write_bytes(HOUSE.encode("utf-16"))
    assert refused("check") == (
        "house.toml: found text in UTF-16; allowed: plain text in UTF-8. Save the file as UTF-8.\n"
    )


@pytest.mark.parametrize("link", ["symlink", "hardlink", "itself"])
def test_an_output_is_never_an_input_by_whatever_name(folder: Path, link: str) -> None:
    own = folder / "mine.html"
    (folder / "house.toml").rename(own)
    name = folder / "page.html"
    if link == "symlink":
        name.symlink_to(own)
    elif link == "hardlink":
        name.hardlink_to(own)
    else:
        name = own
    said = refused("report", "--house", "mine.html", "-o", name.name, "--force", "--crop", "kale")
    assert f'--output: found "{name.name}", a file that is read here; allowed: a name of its own.' in said


def test_a_weather_file_is_an_input_too(folder: Path) -> None:
    from helpers_fuzz import seeds

    weather = folder / "weather.svg"
    weather.write_bytes(seeds("weather")[0])
    house = (folder / "house.toml").read_text("utf-8").replace("[house]", 'climate = "weather.svg"\n[house]')
    (folder / "house.toml").write_text(house, "utf-8")
    assert "a file that is read here" in refused("light", "--plot", "weather.svg", "--force")


def test_two_outputs_are_never_one_file(folder: Path) -> None:
    from tenhour.errors import FileProblem
    from tenhour.files.write import check_apart

    (folder / "b.svg").symlink_to("A.svg")
    with pytest.raises(FileProblem, match=r'--ics: found "a.svg", the file of --plot; allowed: a name of its own\.'):
        check_apart([("--plot", Path("b.svg")), ("--ics", Path("./a.svg"))])
    check_apart([("--plot", Path("b.svg")), ("--ics", Path("c.svg"))])


def test_a_second_call_may_replace_what_the_first_one_read(folder: Path) -> None:
    assert tenhour("check").status == 0
    done = tenhour("new", "--lat", "48", "--lon", "10", "--elev", "9", "--shape", "hoop", "-o", "house.toml", "--force")
    assert done.status == 0, done.err
