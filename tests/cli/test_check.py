"""``tenhour check``: everything wrong at once, or the house as it was understood."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner, Result

from tenhour.cli.check import check
from tenhour.cli.new import new

app = typer.Typer()
app.command()(check)
app.command()(new)

FILES = Path(__file__).parents[1] / "files"


@pytest.fixture(autouse=True)
def in_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def run(*arguments: str) -> Result:
    return CliRunner().invoke(app, list(arguments), catch_exceptions=False)


@pytest.mark.parametrize("path", sorted((FILES / "good").glob("*.toml")), ids=lambda path: path.stem)
def test_good_files_are_described(path: Path) -> None:
    done = run("check", str(path))
    assert (done.exit_code, done.stderr) == (0, "")
    verdict = (
        "one thing to look at" if path.stem == "least" else "nothing wrong"
    )  # the least file is a box without window
    assert done.stdout.splitlines()[0] == f"{path}: {verdict}."
    assert "Glazed: " in done.stdout


@pytest.mark.parametrize("path", sorted((FILES / "bad").glob("*.toml")), ids=lambda path: path.stem)
@pytest.mark.parametrize("options", [[], ["--json"]], ids=["text", "json"])
def test_bad_files_exit_2_with_one_line_for_each_problem(path: Path, options: list[str]) -> None:
    done = run("check", str(path), *options)
    assert (done.exit_code, done.stdout) == (2, "")
    expected = path.with_suffix(".txt").read_text("utf-8").replace(f"{path.name}: ", f"{path}: ")
    assert done.stderr == expected


def test_without_a_file_it_takes_the_one_here_and_else_the_demo_house() -> None:
    done = run("check")
    assert done.exit_code == 0
    assert len(done.stderr.splitlines()) == 1
    assert "demo house" in done.stderr
    assert run("new", "--lat", "50", "--lon", "10", "--shape", "hoop").exit_code == 0
    done = run("check")
    assert (done.exit_code, done.stderr) == (0, "")
    assert done.stdout.startswith("house.toml: nothing wrong.\n")


def test_the_description_in_numbers() -> None:
    done = run("check", str(FILES / "good" / "full.toml"), "--json")
    answer = json.loads(done.stdout)
    assert answer["command"] == "check"
    assert {"tenhour", "inputs", "assumptions", "warnings", "cautions"} <= answer.keys()
    assert answer["dimensions"] == {"length_m": 5.0, "width_m": 3.0, "eaves_m": 1.8, "ridge_m": 2.6}
    faces = {face["name"]: face for face in answer["faces"]}
    assert faces["south"] == {
        "name": "south", "cover": "twin-wall-8", "area_m2": 9.0, "glazed_m2": 9.0, "looks_deg": 180.0
    }  # fmt: skip
    assert faces["north"]["glazed_m2"] == 0.0
    assert faces["floor"]["looks_deg"] is None
    ends = 2 * (3.0 * 1.8 + 3.0 * 0.8 / 2)
    roof = 2 * 5.0 * 1.7
    assert answer["glazed_m2"] == pytest.approx(9.0 + ends + roof)
    assert answer["skin_m2"] == pytest.approx(2 * 9.0 + ends + roof)
    assert [bed["area_m2"] for bed in answer["beds"]] == pytest.approx([4.6 * 0.8, 1.2 * 0.4])


def test_windows_in_an_opaque_wall_are_its_glazed_part() -> None:
    answer = json.loads(run("check", str(FILES / "good" / "window-sill.toml"), "--json").stdout)
    assert answer["glazed_m2"] == pytest.approx(2.0 * 1.2)
    south = next(face for face in answer["faces"] if face["name"] == "south")
    assert (south["cover"], south["glazed_m2"], south["looks_deg"]) == ("opaque", 2.4, 0.0)


def test_custom_surfaces_are_measured() -> None:
    answer = json.loads(run("check", str(FILES / "good" / "custom.toml"), "--json").stdout)
    assert answer["glazed_m2"] == pytest.approx(4.0 * 1.3)
    assert {face["name"]: face["area_m2"] for face in answer["faces"]}["ceiling"] == 12.0


def test_us_units_are_printed_in_feet() -> None:
    text = run("check", str(FILES / "good" / "us.toml")).stdout
    assert "long 16.0 ft" in text
    assert "1100 ft up" in text
    assert "ft²" in text


def test_a_room_that_does_not_close_is_named_by_its_surfaces() -> None:
    path = Path("open.toml")
    text = (FILES / "good" / "custom.toml").read_text("utf-8")
    start, end = text.index('[[surface]]\nname = "ceiling"'), text.index("[[bed]]")
    path.write_text(text[:start] + text[end:], encoding="utf-8")
    done = run("check", "open.toml")
    assert (done.exit_code, done.stdout) == (2, "")
    assert all(line.startswith("open.toml: ") for line in done.stderr.splitlines())


def test_a_house_that_lets_no_light_in_is_said_to() -> None:
    dark = (FILES / "good" / "least.toml").read_text("utf-8").replace("[house]", '[house]\ncover = "opaque"')
    Path("dark.toml").write_text(dark, "utf-8")
    done = run("check", "dark.toml")
    assert done.exit_code == 0
    assert done.stdout.splitlines()[:2] == [
        "dark.toml: one thing to look at.",
        "Nothing lets light in: every bed is dark without lamps. Name a cover that is not",
    ]
    assert json.loads(run("check", "dark.toml", "--json").stdout)["warnings"][0].startswith("Nothing lets light in")


def test_what_light_would_refuse_check_refuses_too() -> None:
    least = (FILES / "good" / "least.toml").read_text("utf-8")
    sea = re.sub(r"latitude_deg = \S+\nlongitude_deg = \S+", "latitude_deg = -41.5\nlongitude_deg = -7.56", least)
    assert sea != least
    Path("sea.toml").write_text(sea, "utf-8")
    done = run("check", "sea.toml")
    assert (done.exit_code, done.stdout) == (2, "")
    assert "no light normals near -41.50, -7.56" in done.stderr
    Path("weather.csv").write_text("no weather", "utf-8")
    broken = least.replace("[site]", '[site]\nclimate = "weather.csv"')
    Path("broken.toml").write_text(broken, "utf-8")
    done = run("check", "broken.toml")
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith("weather.csv: ")


def test_an_empty_nursery_is_a_nursery_without_light() -> None:
    Path("raised.toml").write_text((FILES / "good" / "least.toml").read_text("utf-8") + "\n[nursery]\n", "utf-8")
    done = run("check", "raised.toml")
    assert done.exit_code == 2
    assert "nursery: found no light; allowed: light from lamps, as a daily sum, or of a bed." in done.stderr


def test_a_missing_file_and_a_folder() -> None:
    assert run("check", "none.toml").stderr == (
        "none.toml: no such file. Check the name, or write one with 'tenhour new'.\n"
    )
    done = run("check", ".")
    assert (done.exit_code, done.stderr) == (2, ".: found a folder; allowed: a text file. Name a file.\n")
