"""Changes to the text of a house file: what is asked for changes, every comment and every other value stays."""

from __future__ import annotations

import tomllib
from importlib import resources
from typing import Any

import pytest

from tenhour.errors import FileProblem
from tenhour.files.house.draft import Draft, draft_text
from tenhour.files.house.edit import Edit, edited_text
from tenhour.files.house.read import house_from_text

pytestmark = pytest.mark.quick
DEMO = (resources.files("tenhour") / "_data" / "demo-house.toml").read_text("utf-8")
NEW = draft_text(Draft(place="Ulm, Germany", shape="gable", length="16 ft", width="10 ft", units="us"))
WINDOW = {"on": "north", "left_m": 0.5, "sill_m": 0.5, "width_m": 1, "height_m": 0.6, "cover": "glass-2"}
BED = {"name": "new", "at_m": [0.2, "1 ft"], "size_m": [0.5, 0.3]}
CASES: list[tuple[str, list[Edit]]] = [
    (DEMO, [Edit("set", ("bed", 0, "at_m"), [0.3, 0.15])]),
    (DEMO, [Edit("set", ("bed", 1, "canopy_m"), 0.1), Edit("set", ("air", "vent_degc"), 22)]),
    (DEMO, [Edit("set", ("face", "south", "cover"), "glass-2")]),
    (DEMO, [Edit("add", ("bed",), BED), Edit("remove", ("bed", 4)), Edit("add", ("bed",), BED)]),
    (DEMO, [Edit("remove", ("window", 0)), Edit("add", ("window",), WINDOW)]),
    (DEMO, [Edit("remove", ("bed", 3)), Edit("remove", ("box", 0))]),
    (DEMO, [Edit("remove", ("site", "timezone"))]),
    (NEW, [Edit("set", ("face", "north", "cover"), "opaque"), Edit("set", ("site", "skyline"), [[0, 3], [90, 9]])]),
    (NEW, [Edit("add", ("bed",), BED), Edit("add", ("window",), WINDOW), Edit("set", ("air", "night_set_degc"), 5)]),
]


def comments(text: str) -> list[str]:
    return sorted(line.split("#", 1)[1].strip() for line in text.split("\n") if "#" in line)


def wanted(text: str, edits: list[Edit]) -> dict[str, Any]:
    """The same changes made to plain tables."""
    tables = tomllib.loads(text)
    for edit in edits:
        *way, last = edit.path
        at: Any = tables
        for step in way:
            at = at.setdefault(step, {}) if isinstance(step, str) else at[step]
        if edit.do == "add":
            at.setdefault(last, []).append(edit.value)
        elif edit.do == "remove":
            del at[last]
        else:
            at[last] = edit.value
    return {key: value for key, value in tables.items() if value != []}


@pytest.mark.parametrize(("text", "edits"), CASES, ids=range(len(CASES)))
def test_values_change_as_asked_and_comments_stay(text: str, edits: list[Edit]) -> None:
    new = edited_text(text, "house.toml", edits)
    assert tomllib.loads(new) == wanted(text, edits)
    house_from_text(new, "house.toml")
    if not any(edit.do == "remove" for edit in edits):
        assert comments(new) == comments(text)
    else:  # those of the lines that are gone go with them; those above the next table stay
        assert len(comments(text)) - len(comments(new)) <= 1


def test_a_new_table_stands_with_its_like_and_before_the_words_of_the_next() -> None:
    new = edited_text(DEMO, "house.toml", [Edit("add", ("bed",), BED)])
    assert new.index('name = "shelf"') < new.index('name = "new"') < new.index("# Heater set points")


@pytest.mark.parametrize(
    ("edit", "said"),
    [
        (Edit("set", ("bed", 9, "at_m"), [0, 0]), "cannot be edited here"),
        (Edit("set", (), 1), "cannot be edited here"),
        (Edit("set", ("bed", 0), {}), "a whole table is not set"),
        (Edit("remove", ("nothing",)), "cannot be edited here"),
        (Edit("add", ("bed",), 5), "a table is needed"),
        (Edit("set", ("bed", "front", "at_m"), 1), "cannot be edited here"),
        (Edit("set", ("a", "b", "c", "d", "e", "f", "g"), 1), "no such place"),
    ],
)
def test_paths_that_lead_nowhere_are_refused_in_one_line(edit: Edit, said: str) -> None:
    with pytest.raises(FileProblem, match=said) as told:
        edited_text(DEMO, "house.toml", [edit])
    assert len(told.value.problems) == 1


def test_beds_written_in_one_line_are_left_to_the_hand() -> None:
    text = NEW[: NEW.index("[[bed]]")].replace(
        "schema = 1", 'schema = 1\nbed = [{ name = "a", at_m = [0, 0], size_m = [1, 1] }]'
    )
    with pytest.raises(FileProblem, match=r"not written as \[\[bed\]\]"):
        edited_text(text, "house.toml", [Edit("add", ("bed",), BED)])
