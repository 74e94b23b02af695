"""Fields declared once: what is said around a type overrides it, and everything that writes an answer follows."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Literal

import pytest
from build_schemas import ANSWERS

from tenhour.files.lamp_kinds import ceilings, load_cautions, load_kinds
from tenhour.files.signs import load_signs
from tenhour.files.spectra import load_meters, load_spectra
from tenhour.model.fields import HIDDEN, About, Count, Hours, Light, Prose, Temp, entries, entry, shape_of
from tenhour.model.results import Answer, Basis
from tenhour.report.answers import answer_json, json_text, value_json
from tenhour.report.frames import empty_frames, frames_of
from tenhour.report.tables import columns, table_of
from tenhour.units import SUFFIXES


@dataclass(frozen=True)
class Night:
    """One made-up night."""

    on: Annotated[date, About(name="date", heading="night of", heads=True)]
    lowest_degc: Annotated[Temp | None, About(heading="lowest", digits=2)]
    lamps: Annotated[tuple[tuple[str, str], ...], About(keys=("on", "off"))] = ()
    hidden_h: Annotated[Hours, HIDDEN] = 3.0


@dataclass(frozen=True)
class Place:
    """Where it is."""

    elevation_m: float
    names: tuple[str, ...] = ()


@dataclass(frozen=True)
class MadeUp(Answer):
    """A made-up answer."""

    COMMAND = "made-up"

    place: Annotated[Place, About(merged=True)]
    kind: Literal["cold", "warm"]
    before_dark: Annotated[date | None, About(inside="ten_hour")]
    nights: tuple[Night, ...] = ()
    note: Annotated[Prose, About(empty_null=True)] = ""
    extra: Annotated[Place | None, About(optional=True)] = None
    light_mol_m2_d: Annotated[Light, About(nan=True)] = float("nan")

    @property
    def nights_count(self) -> Annotated[Count, About(name="nights_told")]:
        """How many there are."""
        return len(self.nights)

    @property
    def unsaid(self) -> int:
        """Not part of the answer: it says nothing About itself."""
        return 0


ANSWER = MadeUp(
    Basis({"asked": 1}, ("so",)), Place(40.0, ("a", "b")), "cold", None,
    (Night(date(2027, 1, 15), -3.14159, (("06:00", "08:30"),)), Night(date(2027, 1, 16), None)),
)  # fmt: skip


def test_json_has_each_field_by_its_name_and_place() -> None:
    made = answer_json(ANSWER)
    del made["tenhour"]
    assert made == {
        "command": "made-up", "inputs": {"asked": 1}, "assumptions": ["so"], "warnings": [], "cautions": [],
        "elevation_m": 40.0, "names": ["a", "b"], "kind": "cold", "ten_hour": {"before_dark": None},
        "nights": [
            {"date": "2027-01-15", "lowest_degc": -3.14, "lamps": [{"on": "06:00", "off": "08:30"}]},
            {"date": "2027-01-16", "lowest_degc": None, "lamps": []},
        ],
        "note": None, "light_mol_m2_d": None, "nights_told": 2,
    }  # fmt: skip
    night = ANSWER.nights[0]
    assert (ANSWER.nights_count, ANSWER.unsaid, night.lowest_degc, night.hidden_h) == (2, 0, -3.14159, 3.0)
    assert ANSWER.light_mol_m2_d != ANSWER.light_mol_m2_d, "no number"
    assert json.loads(json_text(ANSWER)) == {"tenhour": answer_json(ANSWER)["tenhour"], **made}


def test_tables_and_frames_follow_from_the_same_declaration() -> None:
    table = table_of("nights", "", ((night,) for night in ANSWER.nights), columns(Night, "on lowest_degc"))
    assert [(field.key, field.label, field.kind) for field in table.fields] == [
        ("date", "night of", "date"), ("lowest_degc", "lowest", "temp"),
    ]  # fmt: skip
    assert table.rows == ((date(2027, 1, 15), -3.14159), (date(2027, 1, 16), None))
    frames = frames_of(ANSWER)
    assert list(frames) == ["nights", "lamps"]
    assert list(frames["nights"].columns) == ["date", "lowest_degc"]
    assert frames["nights"]["lowest_degc"].isna().tolist() == [False, True]
    assert frames["lamps"].to_dict("list") == {
        "date": [frames["nights"]["date"][0]], "on": ["06:00"], "off": ["08:30"],
    }  # fmt: skip
    assert {name: list(frame) for name, frame in empty_frames(MadeUp).items()} == {
        n: list(f) for n, f in frames.items()
    }


def test_what_stands_around_a_type_overrides_it() -> None:
    assert entry(Night, "lowest_degc").about.digits == 2
    assert shape_of(Temp).about.digits == 1
    listed = shape_of(Annotated[tuple[Temp, ...], About(digits=4, size=12)])
    assert (listed.item.about.digits, listed.item.about.kind, listed.about.size) == (4, "temp", 12)
    assert entry(Night, "hidden_h").about.hidden
    assert "hidden_h" not in [item.attribute for item in entries(Night)]
    assert value_json(float("inf"), shape_of(float)) is None
    assert str(value_json(-0.0001, shape_of(Temp))) == "0.0"
    with pytest.raises(TypeError, match="no answer can hold"):
        shape_of(complex)
    with pytest.raises(KeyError):
        entry(Night, "nothing")


# Counts of days and years have no ending of their own in JSON; parts of the sky and of money are named by it.
PLAIN = {
    "days",
    "cost",
    "cost_season",
    "value",
    "low",
    "high",
    "again_d",
    "month",
    "wet_leaf_nights",
    "rows",
    "harvest",
    "cost_per_kg",
    "cost_per_hundred_plants",
    "cost_per_tray",
}


@pytest.mark.parametrize("name", ANSWERS)
def test_columns_of_numbers_end_in_their_unit(name: str) -> None:
    for frame in empty_frames(ANSWERS[name]).values():
        for column, dtype in frame.dtypes.items():
            parts = str(column).split("_")
            ends = any("_".join(parts[i:]) in SUFFIXES for i in range(len(parts)))
            days = parts[0] == "days" or parts[-1] in ("days", "low", "median", "high")
            assert ends or days or dtype.kind not in "if" or column in PLAIN, f"{column} ({dtype})"


def test_packaged_tables_cannot_be_changed() -> None:
    signs, checks = load_signs()
    for table in (signs, checks, load_spectra(), load_meters(), load_kinds(), ceilings(), *load_cautions()):
        with pytest.raises(TypeError):
            table["new"] = None  # type: ignore[index]
