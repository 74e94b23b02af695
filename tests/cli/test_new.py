"""``tenhour new``: by flags, by questions, never over a file that is there, nothing on bad input."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner, Result

from tenhour.cli.new import new
from tenhour.files.house.draft import SHAPES
from tenhour.files.house.read import load_house

app = typer.Typer()
app.command()(new)

PLACE = ["--lat", "48.4", "--lon", "10", "--elev", "480"]


@pytest.fixture(autouse=True)
def in_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def run(*arguments: str, answers: str = "") -> Result:
    return CliRunner().invoke(app, list(arguments), input=answers, catch_exceptions=False)


def names() -> list[str]:
    return sorted(path.name for path in Path().iterdir())


@pytest.mark.parametrize("shape", SHAPES)
def test_a_place_and_a_shape_are_enough_and_ask_nothing(shape: str) -> None:
    done = run(*PLACE, "--shape", shape)
    assert (done.exit_code, done.stderr) == (0, "")
    assert done.stdout == "Wrote house.toml. Look at it, then run: tenhour check house.toml\n"
    house = load_house("house.toml")
    assert house.shape == shape
    assert [bed.name for bed in house.beds] == ["front"]
    assert names() == ["house.toml"]


def test_all_by_flags() -> None:
    done = run(
        *PLACE, "--name", 'The "old" one', "--shape", "gable", "--length", "20 ft", "--width", "3.2", "--eaves", "1.7",
        "--ridge", "8.5ft", "--azimuth", "100", "--cover", "twin-wall-10", "--opaque", "north", "--window",
        "north,1,0.8,1.2,0.6,glass-1", "--bed", "front, 0.2, 0.2, 5.5, 0.8, 0.6", "--bed", "back,0.2,2,5.5,0.8",
        "--snow", "12,1", "--day", "15", "--night", "45 F", "--units", "us", "-o", "mine.toml",
    )  # fmt: skip
    assert (done.exit_code, done.stderr) == (0, "")
    house = load_house("mine.toml")
    assert house.name == 'The "old" one'
    assert house.us_units
    assert house.dimensions_m == pytest.approx({"length": 6.096, "width": 3.2, "eaves": 1.7, "ridge": 2.5908})
    assert house.azimuth_deg == 100.0
    assert house.cover == "twin-wall-10"
    assert house.faces["north"].cover == "opaque"
    assert (house.windows[0].on, house.windows[0].width_m) == ("north", 1.2)
    assert [(bed.name, bed.at_m, bed.size_m, bed.height_m) for bed in house.beds] == [
        ("front", (0.2, 0.2), (5.5, 0.8), 0.6),
        ("back", (0.2, 2.0), (5.5, 0.8), 0.0),
    ]
    assert house.site.snow_months == (1, 12)
    assert house.air.day_set_degc == (15.0,) * 12
    assert house.air.night_set_degc == pytest.approx((7.2222,) * 12, abs=1e-3)


def test_the_file_is_commented_and_its_hints_can_be_switched_on() -> None:
    run(*PLACE, "--shape", "gable")
    lines = Path("house.toml").read_text("utf-8").splitlines()
    assert sum("#" in line for line in lines) > len(lines) / 2
    assert max(map(len, lines)) <= 120
    hints = [line[2:] for line in lines if line.startswith("# ") and " = " in line and "weather.epw" not in line]
    assert len(hints) >= 6
    for hint in hints:
        assert tomllib.loads(hint)
        table = "air" if "degc" in hint else "house" if hint.startswith("reflectance") else "site"
        text = "\n".join(lines).replace(f"[{table}]\n", f"[{table}]\n{hint}\n")
        Path("with-hint.toml").write_text(text, encoding="utf-8")
        assert load_house("with-hint.toml").beds


def test_a_place_by_name() -> None:
    assert run("--place", "Ulm, Germany", "--shape", "hoop").exit_code == 0
    assert load_house("house.toml").site.place.startswith("Ulm, ")


def test_every_bad_flag_is_named_at_once_and_nothing_is_written() -> None:
    done = run(
        "--lat", "ninety", "--lon", "nan", "--shape", "gabel", "--length", "-3", "--azimuth", "-90", "--snow", "13",
        "--bed", "front,1", "--bed", "b,x,0.2,1,1", "--window", "south", "--cover", "glas-1", "--day", "68",
        "--units", "feet", "-o", "none/x.toml",
    )  # fmt: skip
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.splitlines() == [
        "none/x.toml: cannot be written: there is no such folder. Make the folder first.",
        'command line: --window: found "south"; allowed: face,left,sill,width,height or '
        "face,left,sill,width,height,cover. Separate the parts by commas.",
        'command line: --bed: found "front,1"; allowed: name,x,y,length,width or name,x,y,length,width,height. '
        "Separate the parts by commas.",
        'command line: --units: found "feet"; allowed: "metric" or "us". It sets what answers are printed in.',
        'command line: --lat: found "ninety"; allowed: -90 to 90 degrees. Write a number, or text with a unit like '
        '"35 deg".',
        "command line: --lon: found nan; allowed: -180 to 180 degrees. Choose a number within these bounds.",
        "command line: --snow: found 13; allowed: month numbers, 1 to 12. Write them like [12, 1, 2].",
        'command line: --shape: found "gabel"; allowed: one of gable, lean-to, hoop, box, cold-frame, window-sill, '
        "custom. Did you mean gable?",
        "command line: --length: found -3; allowed: 0.1 to 200 m. Choose a number within these bounds.",
        "command line: --azimuth: found -90; allowed: 0 to 360 degrees. Did you mean 270?",
        'command line: --bed b.at_m[1]: found "x"; allowed: -1000 to 1000 m. Write a number, or text with a unit '
        'like "9 ft".',
        'command line: --day: found 68; allowed: -10 to 38 degrees C. Did you mean "68 F"? A bare number is in '
        "degrees C.",
        'command line: --cover: "glas-1", a cover nobody knows. Did you mean glass-1 or glass-3 or glass-2?',
    ]
    assert names() == []


def test_what_only_shows_in_the_whole_house() -> None:
    done = run(*PLACE, "--shape", "gable", "--ridge", "1.5", "--cover", "glas-1", "--opaque", "up")
    assert done.exit_code == 2
    assert done.stderr.splitlines() == [
        'command line: --cover: "glas-1", a cover nobody knows. Did you mean glass-1 or glass-3 or glass-2?',
        "command line: --ridge: found 1.5; allowed: above the eaves, 1.8 m. Did you swap ridge_m and eaves_m?",
        "command line: --opaque: unknown face. Choose from: south, north, east, west, roof-south, roof-north, floor, "
        "walls, roof.",
    ]
    done = run(*PLACE, "--shape", "gable", "--bed", "front,0.2,0.2,9,0.8", "--window", "south,0,0,9,1")
    assert done.stderr.splitlines() == [
        "command line: --window: found 9 m, starting 0 m from the left corner; allowed: inside the south face, 5.00 m "
        "wide and 1.80 m high. Make it at most 5.00 m, or move it.",
        "command line: --bed front: found 0.2 to 9.2 m along x; allowed: inside the house, 0 to 5 m along x. Make it "
        "at most 4.8 m, or move it.",
    ]
    assert names() == []


def test_a_file_that_is_there_is_kept_unless_told() -> None:
    Path("house.toml").write_text("mine")
    done = run(*PLACE, "--shape", "hoop", "--length", "0")
    assert done.exit_code == 2
    assert done.stderr.splitlines() == [
        "house.toml: already there. Use --force to replace it, or -o for another name.",
        "command line: --length: found 0; allowed: 0.1 to 200 m. Choose a number within these bounds.",
    ]
    assert Path("house.toml").read_text() == "mine"
    assert run(*PLACE, "--shape", "hoop", "--force").exit_code == 0
    assert load_house("house.toml").shape == "hoop"


def test_a_folder_that_is_not_there() -> None:
    done = run(*PLACE, "--shape", "hoop", "-o", "none/x.toml")
    assert done.exit_code == 2
    assert done.stderr == "none/x.toml: cannot be written: there is no such folder. Make the folder first.\n"


ANSWERS = (
    "Ulm, Germany\ngable\n6\n\n1.7\n2.5\n95\nglass-1\n5\n\n12,1\nfront,0.2,0.2,5.5,0.8\nback,0.2,1.8,5.5,0.8,0.1\n\n"
)


def test_by_questions() -> None:
    done = run(answers=ANSWERS)
    assert done.exit_code == 0
    assert done.stdout == "Wrote house.toml. Look at it, then run: tenhour check house.toml\n"
    house = load_house("house.toml")
    assert house.dimensions_m == {"length": 6.0, "width": 3.0, "eaves": 1.7, "ridge": 2.5}
    assert (house.azimuth_deg, house.cover) == (95.0, "glass-1")
    assert house.air.night_set_degc == (5.0,) * 12
    assert house.air.day_set_degc is None
    assert [bed.name for bed in house.beds] == ["front", "back"]


def test_a_bad_answer_is_asked_for_again() -> None:
    answers = "\nninety\n48.4\n10\ngabel\ncold-frame\n480\n480 cm\n\n\n\n\n\n\n\n\nbig,0,0,9,9\n\n"
    done = run(answers=answers)
    assert done.exit_code == 0
    said = done.stderr
    assert 'command line: --lat: found "ninety"; allowed: -90 to 90 degrees.' in said
    assert "Did you mean gable?" in said
    assert 'Did you mean "480 cm"? A bare number is in metres.' in said
    assert "inside the house, 0 to 4.8 m along x" in said
    house = load_house("house.toml")
    assert (house.shape, house.dimensions_m["length"]) == ("cold-frame", 4.8)
    assert len(house.beds) == 1


def test_only_what_flags_left_open_is_asked() -> None:
    done = run("--shape", "hoop", "--length", "10", "--bed", "all,1,1,8,2", answers="Ulm, Germany\n" + "\n" * 7)
    assert done.exit_code == 0
    assert "Shape" not in done.stderr
    assert "Length" not in done.stderr
    assert "Bed" not in done.stderr
    assert load_house("house.toml").beds[0].name == "all"


@pytest.mark.parametrize("lines", range(3))
def test_answers_that_end_too_soon_write_nothing(lines: int) -> None:
    done = run(answers="".join(ANSWERS.splitlines(keepends=True)[:lines]))
    assert (done.exit_code, done.stdout) == (2, "")
    last = done.stderr.splitlines()[-1]
    assert last.startswith("command line: ")
    assert last.endswith("no answer. Answer it, or give --place and --shape as options.")
    assert names() == []


def test_a_file_that_is_there_is_seen_before_any_question() -> None:
    Path("house.toml").write_text("mine")
    done = run(answers=ANSWERS)
    assert done.exit_code == 2
    assert done.stderr == "house.toml: already there. Use --force to replace it, or -o for another name.\n"
