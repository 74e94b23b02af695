"""``tenhour new``: by flags, by questions, never over a file that is there, nothing on bad input."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner, Result

from helpers_long import many
from tenhour.cli.new import new
from tenhour.files.house import typed
from tenhour.files.house.beds import placed
from tenhour.files.house.draft import SHAPES, Draft, draft_text
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


ANSWERS = "metres\nUlm, Germany\ngable\n6\n\n1.7\n2.5\n185\nglass-1\n\n5\nno\n12,1\nfront\nback 80 cm\n\n10 cm\nno\n"


def test_by_questions() -> None:
    done = run(answers=ANSWERS)
    assert done.exit_code == 0
    assert done.stdout == "Wrote house.toml. Look at it, then run: tenhour check house.toml\n"
    house = load_house("house.toml")
    assert house.dimensions_m == {"length": 6.0, "width": 3.0, "eaves": 1.7, "ridge": 2.5}
    assert (house.azimuth_deg, house.cover) == (95.0, "glass-1")
    assert house.air.night_set_degc == (5.0,) * 12
    assert house.air.day_set_degc is None
    assert house.site.snow_months == (1, 12)
    assert [(bed.name, bed.at_m, bed.size_m, bed.height_m) for bed in house.beds] == [
        ("front", (0.15, 0.15), (5.7, 0.8), 0.1),
        ("back", (0.15, 2.05), (5.7, 0.8), 0.1),
    ]


NEWCOMER = """feet
Deluth
Duluth
Duluth, Minnesota
leantoo
?
lean to
16 feets
back
gabel
gable
back
lean-to
16
8'
5 ft 6
8 foot
up
south
wood
10 mm twin wall
floor
both ends
none of them
<
none
warm
40
no
smarch
Nov to March
ceiling 3 ft
front 30 ft
front 12 x 3 ft
back 2 1/2 ft
middle 4 ft

18 in
no
"""
"""A house in feet and in words with its mistakes: typing errors in town, shape, unit and month; a change of mind about
the shape, seen only at the next question; words that mean nothing; solid ends said and taken back; beds too large."""


def test_a_newcomer_in_feet_with_mistakes_gets_the_house_that_was_meant() -> None:
    done = run(answers=NEWCOMER)
    assert done.exit_code == 0, done.stderr
    house = load_house("house.toml")
    assert (house.shape, house.us_units, house.cover) == ("lean-to", True, "twin-wall-10")
    assert house.site.place == "Duluth, Minnesota, United States"
    assert house.site.snow_months == (1, 2, 3, 11, 12)
    assert house.dimensions_m == pytest.approx({"length": 4.8768, "width": 2.4384, "front": 1.6764, "back": 2.4384})
    assert house.azimuth_deg == 90.0
    assert [name for name, face in house.faces.items() if face.cover == "opaque"] == ["north", "floor"]
    assert house.air.night_set_degc == pytest.approx((4.4444,) * 12, abs=1e-3)
    assert house.air.day_set_degc is None
    front, back = house.beds
    assert (front.name, back.name) == ("front", "back")
    assert front.size_m == pytest.approx((3.6576, 0.9144), abs=2e-3)
    assert back.size_m == pytest.approx((4.577, 0.762), abs=2e-3)
    assert back.at_m[1] + back.size_m[1] == pytest.approx(2.4384 - 0.15, abs=2e-3)
    assert front.height_m == back.height_m == pytest.approx(0.4572, abs=1e-3)


def test_every_mistake_is_told_in_words_and_every_answer_said_back() -> None:
    said = run(answers=NEWCOMER).stderr
    for words in (
        'No place named "Deluth" in the gazetteer. Did you mean Duluth, Minnesota',
        "names ",
        "Type one of: Duluth, Minnesota",
        "Did you mean lean-to?",
        "gable: two roofs and a ridge; lean-to: one roof against a wall",
        "Write a number, or text with a unit like",
        "Did you mean gable?",
        "Not taken: up. Write south, SW, south-west, or degrees from north clockwise: 180.",
        '"wood", a cover nobody knows.',
        "Not taken: smarch. Did you mean March?",
        "Not taken: ceiling 3 ft. Write where and how wide, like front 3 ft",
        "Not taken: front 30 ft. At most",
        "Not taken: middle 4 ft. It would lie on the bed",
        "16 ft = 4.88 m = 16.0 ft.",
        "The front looks south, the back north.",
        "twin-wall-10: twin-wall polycarbonate, 10 mm.",
        "No light through: left, right.",
        "Never below 40 F at night.",
        "Snow on the ground: Nov, Dec, Jan, Feb, Mar.",
        "Bed front: 12.0 ft along, 3.0 ft deep, its corner 0.5 ft from the left end and 0.5 ft from the front.",
        "The house and its beds from above:",
        "┌ front ───",
        "16.0 ft by 8.0 ft, north ↑",
    ):
        assert words in said, words
    for jargon in ("command line", "--", "latitude_deg", "_m:", "azimuth"):
        assert jargon not in said, jargon


@pytest.mark.parametrize(
    ("said", "direction_deg"),
    [
        ("south", 180), ("S", 180), ("SW", 225), ("south-west", 225), ("South West", 225),
        ("southwest", 225), ("sse", 157.5),
        ("180", 180), ("200 deg", 200), ("215°", 215), ("southern", 180), ("North", 0), ("360", 0),
    ],
)  # fmt: skip
def test_directions_as_people_say_them(said: str, direction_deg: float) -> None:
    assert typed.direction_deg(said) == direction_deg
    assert run(*PLACE, "--shape", "gable", "--faces", said).exit_code == 0
    assert load_house("house.toml").azimuth_deg == (direction_deg - 90) % 360


@pytest.mark.parametrize(
    ("said", "numbers"),
    [
        ("Nov to March", (11, 12, 1, 2, 3)), ("november to march", (11, 12, 1, 2, 3)), ("11-3", (11, 12, 1, 2, 3)),
        ("Nov, Dec, Jan", (11, 12, 1)), ("12,1,2", (12, 1, 2)), ("Dec until Feb", (12, 1, 2)), ("none", ()), ("no", ()),
        ("Jan and Feb", (1, 2)), ("[12, 1]", (12, 1)), ("Dec.", (12,)), ("Nov-Dec, Feb", (11, 12, 2)),
    ],
)  # fmt: skip
def test_months_as_people_say_them(said: str, numbers: tuple[int, ...]) -> None:
    assert typed.months(said) == numbers
    assert run(*PLACE, "--shape", "gable", "--snow", said).exit_code == 0
    assert set(load_house("house.toml").site.snow_months) == set(numbers)


@pytest.mark.parametrize(
    ("said", "key"),
    [
        ("10 mm twin-wall", "twin-wall-10"), ("10mm polycarbonate", "twin-wall-10"), ("polycarbonate", "twin-wall-6"),
        ("16 mm triple wall", "multi-wall-16"), ("glass", "glass-1"), ("single glazing", "glass-1"),
        ("Double glazing", "glass-2"),
        ("triple glass", "glass-3"), ("film", "film-1"), ("double plastic", "film-2"), ("polythene", "film-1"),
        ("twin-wall 8 mm", "twin-wall-8"), ("corrugated polycarbonate", "polycarbonate-1"), ("4", "twin-wall-10"),
        ("plexiglas", "acrylic-1"), ("fiberglass", "fibreglass-1"), ("25 mm polycarbonate", "multi-wall-25"),
    ],
)  # fmt: skip
def test_covers_as_people_say_them(said: str, key: str) -> None:
    assert typed.cover_key(said) == key
    assert run(*PLACE, "--shape", "gable", "--cover", said).exit_code == 0
    assert load_house("house.toml").cover == key


@pytest.mark.parametrize(
    ("looks", "said", "faces"),
    [
        (180, "back", ("north",)), (180, "north", ("north",)), (225, "north-east wall", ("north",)),
        (90, "west", ("north",)),
        (180, "left and right", ("west", "east")), (180, "both ends", ("west", "east")),
        (0, "north", ("south",)), (180, "none", ()),
    ],
)  # fmt: skip
def test_sides_as_people_say_them(looks: float, said: str, faces: tuple[str, ...]) -> None:
    assert typed.faces_of(said, (looks - 90) % 360, ("south", "north", "east", "west")) == faces


@pytest.mark.parametrize(
    "sides", [["front", "back", "left", "right", "middle"], ["left", "right", "middle"], ["back 3 x 0.7"]]
)
def test_beds_by_side_lie_in_the_house_and_not_on_one_another(sides: list[str]) -> None:
    draft = Draft(lat="48", lon="10", elev="9", shape="gable", length="6", width="4")
    for side in sides:
        draft = replace(draft, bed=(*draft.bed, placed(draft, side, "m")))
    Path("house.toml").write_text(draft_text(draft), "utf-8")
    beds = load_house("house.toml").beds
    assert len(beds) == len(sides)
    for n, one in enumerate(beds):
        for other in beds[:n]:
            gaps = [
                max(one.at_m[k], other.at_m[k]) - min(one.at_m[k] + one.size_m[k], other.at_m[k] + other.size_m[k])
                for k in (0, 1)
            ]
            assert max(gaps) >= -1e-6, (one.name, other.name)


@pytest.mark.parametrize("count", many((0, 9, 19), range(20)))
def test_every_question_has_a_way_out(count: int) -> None:
    """After any number of answers: help is help, back is one question back, quit writes nothing."""
    answers = ANSWERS.splitlines(keepends=True)
    if count < len(answers):
        asked = run(answers="".join([*answers[:count], "?\n", "quit\n"]))
        assert asked.exit_code == 1
        assert asked.stderr.count("Not taken") == 0
        assert names() == []
    for step in ("<\n", ""):
        wander = [
            *answers[:count],
            *([step, answers[count - 1]] if step and 0 < count <= len(answers) else []),
            *answers[count:],
        ]
        assert run("-o", f"{count}{len(step)}.toml", answers="".join(wander)).exit_code == 0
    assert Path(f"{count}0.toml").read_text() == Path(f"{count}2.toml").read_text()


TURN = ("feet", "metres")


@pytest.mark.parametrize(
    ("shape", "units"),
    many([(shape, TURN[n % 2]) for n, shape in enumerate(SHAPES)], [(s, units) for s in SHAPES for units in TURN]),
)
def test_enter_at_every_question_gives_a_house(shape: str, units: str) -> None:
    done = run(answers=f"{units}\nUlm, Germany\n{shape}\n" + "\n" * 20)
    assert done.exit_code == 0, done.stderr
    assert "Not taken" not in done.stderr
    assert load_house("house.toml").shape == shape


def test_metres_and_feet_are_asked_first_and_guessed_by_the_country(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LC_ALL", "en_US.UTF-8")
    assert run(answers="quit\n").stderr.splitlines()[1].startswith("Feet or metres? [feet]")
    monkeypatch.setenv("LC_ALL", "de_DE.UTF-8")
    assert run(answers="quit\n").stderr.splitlines()[1].startswith("Feet or metres? [metres]")


def test_a_bad_answer_is_asked_for_again() -> None:
    answers = "m\n\nninety\n48.4 N\n10\ngabel\ncold-frame\n480\n480 cm\n" + "\n" * 20
    done = run(answers=answers)
    assert done.exit_code == 0
    said = done.stderr
    assert 'Found "ninety"; allowed: -90 to 90 degrees.' in said
    assert "Did you mean gable?" in said
    house = load_house("house.toml")
    assert (house.shape, house.dimensions_m["length"]) == ("cold-frame", 4.8)
    assert len(house.beds) == 1


def test_only_what_flags_left_open_is_asked() -> None:
    done = run("--shape", "hoop", "--length", "10", "--bed", "all,1,1,8,2", answers="\nUlm, Germany\n" + "\n" * 14)
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


EATERS = """3 people
?
15 Oct to sometime
15 Oct - April
cakes 2
salad 5 and cooked greens 2
spinnach
spinach, Kale, pak choi
<
spinach, kale
no
2 cats
4 hens, 1 rabbit
a car
lamps and trays
lots
120 EUR
"""
"""The household with its mistakes: a day, a meal, a crop, an animal and a purchase nobody knows; a change of mind."""


def test_the_household_is_asked_for_and_its_table_written_with_remarks() -> None:
    done = run(answers=ANSWERS.removesuffix("no\n") + EATERS)
    assert done.exit_code == 0, done.stderr
    fed = load_house("house.toml").household
    assert fed is not None
    assert (fed.people_count, fed.meals_per_week) == (3, {"salad": 5.0, "cooked": 2.0})
    assert (fed.likes, fed.leave_out) == (("spinach", "kale"), ())
    assert [(one.kind, one.count) for one in fed.animals] == [("hen", 4), ("rabbit", 1)]
    assert (fed.may_buy, fed.budget_currency, fed.currency) == (("lamp", "tray"), 120.0, "EUR")
    assert fed.start is not None
    assert fed.end is not None
    assert (fed.start.month, fed.start.day, fed.end.month, fed.end.day) == (10, 15, 4, 30)
    assert 0 < (fed.end - fed.start).days < 220
    for words in ("Write 1 October to 31 May", "Write salad 4, cooked 2", "did you mean spinach?", "Write 4 hens",
                  "Write lamps, trays", "an amount, like 6", "3 people eat from it."):  # fmt: skip
        assert words in done.stderr, words
    assert "--" not in done.stderr
    text = Path("house.toml").read_text("utf-8")
    lines = text[text.index("[household]") :].splitlines()
    assert sum("#" in line for line in lines) > len(lines) / 2
    for hint in (line[2:] for line in lines if line.startswith("# ") and "greens_g_d" not in line):
        Path("with-hint.toml").write_text(text.replace("[household]\n", f"[household]\n{hint}\n"), "utf-8")
        assert load_house("with-hint.toml").household is not None


def test_enter_is_two_people_and_no_is_no_household() -> None:
    run("-o", "two.toml", answers=ANSWERS.removesuffix("no\n") + "\n" * 8)
    run("-o", "none.toml", answers=ANSWERS)
    two = load_house("two.toml").household
    assert two is not None
    assert (two.people_count, two.meals_per_week, two.start) == (2, {"salad": 4.0, "cooked": 2.0, "herbs": 3.0}, None)
    assert load_house("none.toml").household is None


def test_a_southern_household_eats_from_april() -> None:
    run(answers="metres\n\n43 S\n172\nhoop\n" + "\n" * 20)
    fed = load_house("house.toml").household
    assert fed is not None
    assert fed.start is not None
    assert fed.end is not None
    assert (fed.start.month, fed.end.month) == (4, 11)


def test_every_bad_word_about_the_household_is_named_by_its_option() -> None:
    done = run(
        *PLACE, "--shape", "gable", "--people", "0", "--from", "1 Oct", "--until", "never", "--meals", "cakes 2",
        "--likes", "spinnach", "--animals", "2 cats", "--may-buy", "cars", "--budget", "lots",
    )  # fmt: skip
    assert (done.exit_code, done.stdout) == (2, "")
    said = done.stderr.splitlines()
    for flag in ("--people", "--from and --until", "--meals", "--likes", "--animals", "--may-buy", "--budget"):
        assert sum(f" {flag}:" in line for line in said) == 1, (flag, said)
    assert run(*PLACE, "--shape", "gable", "--meals", "salad 3").stderr.strip().endswith("Add --people.")
    swapped = run(*PLACE, "--shape", "gable", "--people", "2", "--from", "2026-10-01", "--until", "2026-09-01").stderr
    assert swapped.startswith("command line: --until: found 2026-09-01, before from;")


@pytest.mark.parametrize(
    ("option", "bad"),
    [
        ("--meals", "salad -2"), ("--meals", "salad 50"), ("--animals", "0 hens"), ("--animals", "2.5 hens"),
        ("--animals", "9000 hens"),
    ],
)  # fmt: skip
def test_counts_that_cannot_be_are_named_by_the_option_that_holds_them(option: str, bad: str) -> None:
    done = run(*PLACE, "--shape", "gable", "--people", "2", option, bad)
    assert (done.exit_code, done.stdout) == (2, "")
    assert len(done.stderr.splitlines()) == 1
    assert f"command line: {option}: found" in done.stderr


def test_a_file_that_is_there_is_seen_before_any_question() -> None:
    Path("house.toml").write_text("mine")
    done = run(answers=ANSWERS)
    assert done.exit_code == 2
    assert done.stderr == "house.toml: already there. Use --force to replace it, or -o for another name.\n"
