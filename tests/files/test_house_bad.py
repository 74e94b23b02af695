"""Bad house files: every problem at once, one line each, the text beside each file; and never any other exception."""

from __future__ import annotations

import os
import random
import socket
import string
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers_long import many
from tenhour.errors import FileProblem
from tenhour.files.house.read import MOST_HOUSE_BYTES, house_from_tables, house_from_text, load_house
from tenhour.files.textfile import parse_toml, read_text
from tenhour.model.house import House

HERE = Path(__file__).parent
BAD = sorted((HERE / "bad").glob("*.toml"))
GOOD = sorted((HERE / "good").glob("*.toml"))
FULL = (HERE / "good" / "full.toml").read_text("utf-8")
PATIENCE_S = 10.0
"""Far more than any of these takes: what runs away is caught, a busy machine is not."""


def lines_of(text: str, file: str = "x.toml") -> list[str]:
    with pytest.raises(FileProblem, match=file) as caught:
        house_from_text(text, file)
    return [problem.line() for problem in caught.value.problems]


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_every_problem_is_named_in_full(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(path.parent)
    expected = path.with_suffix(".txt").read_text("utf-8").splitlines()
    with pytest.raises(FileProblem, match=path.name) as caught:
        load_house(path.name)
    assert [problem.line() for problem in caught.value.problems] == expected


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_every_line_says_where_and_what_to_do(path: Path) -> None:
    for line in path.with_suffix(".txt").read_text("utf-8").splitlines():
        assert line.startswith(f"{path.name}: ")
        assert line.count(". ") >= 1 or line.endswith(("?", "."))
        assert len(line.split(". ", 1)[-1]) > len("Move it")
        assert "{" not in line.replace("{ key = value }", "").replace("[{ cover", "")


def test_a_share_in_per_cent_is_answered_with_the_fraction() -> None:
    text = FULL.replace("normal_transmittance = 0.82", "normal_transmittance = 85")
    assert lines_of(text, "house.toml") == [
        "house.toml: cover.my-film.normal_transmittance: found 85; allowed: 0 to 1. Did you mean 0.85?"
    ]


def test_one_bad_table_hides_nothing_in_the_others() -> None:
    text = FULL.replace("latitude_deg = 57.1", "latitude_deg = 95").replace(
        "size_m = [4.6, 0.8]", "size_m = [9.6, 0.8]"
    )
    text = text.replace('cover = "my-glass"', 'cover = "my-glas"')
    assert lines_of(text) == [
        "x.toml: site.latitude_deg: found 95; allowed: -90 to 90 degrees. Choose a number within these bounds.",
        'x.toml: window[2].cover: "my-glas", a cover nobody knows. Did you mean my-glass?',
        "x.toml: bed.front: found 0.2 to 9.8 m along x; allowed: inside the house, 0 to 5 m along x. "
        "Make it at most 4.8 m, or move it.",
    ]


def test_a_flood_of_problems_is_cut_short() -> None:
    lines = lines_of("\n".join(f"key{n} = {n}" for n in range(150)))
    assert len(lines) == 101
    assert lines[-1] == "x.toml: 53 more problems. Mend these first."


def one_line(path: Path) -> str:
    start = time.process_time()
    with pytest.raises(FileProblem, match=r".") as caught:
        load_house(path)
    assert time.process_time() - start < PATIENCE_S
    (problem,) = caught.value.problems
    line = problem.line()
    shown = str(path).replace("\0", "\\x00")  # what a terminal would act upon is written out
    assert line.startswith(f"{shown}: ")
    return line.removeprefix(f"{shown}: ")


def test_things_that_are_no_files(tmp_path: Path) -> None:
    assert one_line(tmp_path) == "found a folder; allowed: a text file. Name a file."
    assert one_line(tmp_path / "none.toml") == "no such file. Check the name, or write one with 'tenhour new'."
    (tmp_path / "file").write_text("")
    beyond = one_line(tmp_path / "file" / "x.toml")
    assert beyond == "no such file: part of its path is a file, not a folder. Check the path."
    loop = tmp_path / "loop.toml"
    loop.symlink_to(loop)
    assert one_line(loop) == "a link that leads back to itself. Name the file itself."
    assert one_line(tmp_path / ("x" * 300)) == "a name too long for this system. Check the name."
    assert one_line(tmp_path / "a\0b") == "not a file name. Check the name."


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe.toml"
    os.mkfifo(pipe)
    assert one_line(pipe) == "found a pipe; allowed: a text file. Name a file."


def test_devices_and_sockets() -> None:
    assert one_line(Path("/dev/null")) == "found a device; allowed: a text file. Name a file."


def test_a_socket(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)  # a socket's path has to be short
    with socket.socket(socket.AF_UNIX) as plug:
        plug.bind("s")
        assert one_line(Path("s")).startswith("cannot be read (")


def test_contents_that_are_no_text(tmp_path: Path) -> None:
    path = tmp_path / "x.toml"
    path.write_bytes(b"\x7fELF\0\0\1")
    assert one_line(path) == "found a binary file; allowed: plain text in UTF-8. Is this the right file?"
    path.write_bytes(b"schema = 1\nname = 'caf\xe9'\n")
    expected = "found a byte that is not UTF-8 text (line 2); allowed: plain text in UTF-8. Save the file as UTF-8."
    assert one_line(path) == expected
    path.write_bytes("name = 'x'".encode("utf-16"))
    assert "plain text in UTF-8" in one_line(path)
    path.write_bytes(b"# " + b"x" * MOST_HOUSE_BYTES)
    assert one_line(path) == "found a very large file; allowed: up to 0.5 MB. Is this the right file?"
    path.write_bytes(b"x = " + b"[" * 100_000)
    assert one_line(path) == "found lists or tables nested too deep; allowed: a few levels. Is this the right file?"
    path.write_bytes(b"x = " + b"9" * 100_000)
    assert one_line(path).startswith("not valid TOML: ")


def test_a_file_without_permission(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> int:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "open", refuse)  # the tests may run as a user who may read anything
    assert one_line(tmp_path / "x.toml") == "may not be read. Change its permissions, or copy it."


@pytest.mark.parametrize(
    "text",
    [
        ".".join("a" * 200_000) + " = 1",
        "a." * 249_000 + "a = 1",
        '"a".' * 124_000 + "a = 1",
        "[" + "a." * 249_000 + "a]",
        "x = {" + "a." * 200_000 + "a = 1}",
        "[[bed]]\n" * 60_000,
        "[[window]]\non = 'south'\n" * 20_000,
        "a" * 499_000,
        "[cover]\n" + "".join(f"k{n} = {{}}\n" for n in range(40_000)),
        "[house]\n" + "".join(f"lengh{n} = 1\n" for n in range(30_000)),
        "".join(f"lengh{n} = 1\n" for n in range(30_000)),
        "[site]\nskyline = [" + "[1, 2]," * 70_000 + "]",
        "[house]\nshape = '" + "x" * 499_000 + "'",
    ],
    ids=range(13),
)
def test_large_and_crooked_texts_are_answered_quickly(text: str) -> None:
    start = time.process_time()
    assert len(text) <= MOST_HOUSE_BYTES
    lines = lines_of(text)
    assert time.process_time() - start < PATIENCE_S
    assert max(map(len, lines)) < 1000


def test_a_dotted_comment_or_number_is_no_deep_key() -> None:
    text = FULL + "# " + "this and that. " * 50 + "\n# 1.2.3.4.5.6.7.8.9\n"
    assert isinstance(house_from_text(text, "x.toml"), House)


# Any mutated good file gives a house or a clear list of problems.


def answers(text: str) -> bool:
    """Whether a text is answered: with a house, or with problems of one line each."""
    return answered(lambda: house_from_text(text, "x.toml"))


def answered(read: Callable[[], House]) -> bool:
    try:
        return isinstance(read(), House)
    except FileProblem as error:
        return bool(error.problems) and all("\n" not in problem.line() for problem in error.problems)


KNOWN = 'longitude_deg = 12.0\nelevation_m = 440\ntimezone = "Europe/Berlin"'  # so that nothing is looked up
TEXTS = [path.read_text("utf-8").replace("longitude_deg = 12.0", KNOWN) for path in GOOD]
LINES = sorted({line for text in TEXTS for line in text.splitlines()})
STRANGE = [
    "0", "-1", "1e999", "nan", "-inf", "true", '""', '"9 ft"', '"∞ m"', "[]", "[1]", "[[]]", "{}", "{ a = 1 }",
    "9223372036854775808", "1" + "0" * 400, "2026-01-01", "07:32:00", "1979-05-27T07:32:00Z", '"' + "x" * 500 + '"',
    '"\\u0000"', "[nan, nan]", "[[1, 2], [3, 4]]", '["fleece"]', "'''x'''", "0x7f", '"opaque"', '"-0 m"', '"1e400 m"',
    '"/"', '"../.."', '"glass-2"', '"my-film"',
]  # fmt: skip


@settings(deadline=None, derandomize=True, max_examples=150)
@given(st.data())
def test_any_value_in_any_place(data: st.DataObject) -> None:
    lines = data.draw(st.sampled_from(TEXTS)).splitlines()
    for _ in range(data.draw(st.integers(1, 4))):
        where = data.draw(st.integers(0, len(lines) - 1))
        if "=" in lines[where]:
            lines[where] = lines[where].split("=")[0] + "= " + data.draw(st.sampled_from(STRANGE))
        else:
            lines[where] = data.draw(st.sampled_from(LINES))
    assert answers("\n".join(lines))


@settings(deadline=None, derandomize=True, max_examples=100)
@given(st.data())
def test_lines_lost_doubled_and_mixed(data: st.DataObject) -> None:
    lines = data.draw(st.sampled_from(TEXTS)).splitlines()
    for _ in range(data.draw(st.integers(1, 8))):
        where = data.draw(st.integers(0, len(lines) - 1))
        change = data.draw(st.sampled_from(["lose", "double", "mix"]))
        if change == "lose" and len(lines) > 1:
            del lines[where]
        else:
            lines.insert(where, lines[where] if change == "double" else data.draw(st.sampled_from(LINES)))
    assert answers("\n".join(lines))


@settings(deadline=None, derandomize=True, max_examples=100)
@given(st.integers(0, 10**9))
def test_letters_changed(seed: int) -> None:
    chance = random.Random(seed)
    letters = list(chance.choice(TEXTS))
    for _ in range(chance.randint(1, 6)):
        letters[chance.randrange(len(letters))] = chance.choice(string.printable + "é☃\u202e\u2028")
    assert answers("".join(letters))


@settings(deadline=None, derandomize=True, max_examples=60)
@given(st.binary(max_size=300))
def test_random_bytes(data: bytes) -> None:
    path = HERE / "bad" / "empty.toml"
    assert read_text(path) == ""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        return
    assert answers(text)


TOML = st.recursive(
    st.none().map(lambda _: 0) | st.booleans() | st.floats() | st.integers() | st.text(max_size=8) | st.dates(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=8,
)


@settings(deadline=None, derandomize=True, max_examples=many(50, 150))
@given(st.data())
def test_any_tables_at_all(data: st.DataObject) -> None:
    tables = parse_toml(FULL, "x.toml")
    for _ in range(data.draw(st.integers(1, 3))):
        top = data.draw(st.sampled_from(sorted(tables)))
        inner = tables[top]
        if isinstance(inner, dict) and inner and data.draw(st.booleans()):
            tables[top] = {**inner, data.draw(st.sampled_from(sorted(inner))): data.draw(TOML)}
        elif isinstance(inner, list) and inner and isinstance(inner[0], dict) and data.draw(st.booleans()):
            tables[top] = [{**inner[0], data.draw(st.sampled_from(sorted(inner[0]))): data.draw(TOML)}, *inner[1:]]
        else:
            tables[top] = data.draw(TOML)
    assert answered(lambda: house_from_tables(tables, "x.toml"))


@pytest.mark.parametrize("money", ["1" * 400, "1e400", "-1", "nan", '"1e9 EUR"'])
def test_money_beyond_all_bounds_is_one_line(money: str) -> None:
    text = (HERE / "good" / "least.toml").read_text("utf-8")
    assert len(lines := lines_of(f"{text}\n[household]\npeople = 1\nprice_kg = {money}\n")) == 1
    assert "household.price_kg" in lines[0]
    assert "an amount" in lines[0]
