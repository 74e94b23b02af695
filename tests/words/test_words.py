"""Every sentence that can be said, in both systems of units and every way of writing dates."""

from __future__ import annotations

import copy
import json
import pickle
import pkgutil
import re
import tomllib
from datetime import date
from importlib import import_module, resources
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tenhour.words
from helpers_long import many
from tenhour.words.style import DATE_STYLES, METRIC, QUANTITIES, Style
from tenhour.words.text import KINDS, SAID, WHOLES, Gap, Hole, Sentence, Text, after, joined, listed, written

ON = date(2027, 3, 5)
SAMPLES: dict[str, Any] = {"date": ON, "day": ON, "month": 3, "mon": 3, "money": (12.5, "GBP"), "": "kale"}
STYLES = [Style(us, dates) for us in (False, True) for dates in DATE_STYLES]
NOT_IN_US = re.compile(r"°C|\bK\b|\b(?:m|cm|mm|km|kg|g|m²|m2|lx|metres?)\b(?![⁻²³])|m⁻²|per m²|square metre")
NOT_IN_SI = re.compile(r"°F|\b(?:ft|ft²|lb|oz)\b|square foot")
TRADE = re.compile(r"µ?mol m⁻² [ds]⁻¹|W m⁻²")
"""Light keeps the units of its trade everywhere."""
BETWEEN_TWO = re.compile(r"-|–| to | and | or |/")


def all_sentences() -> list[tuple[str, Sentence]]:
    found = []
    for module in pkgutil.iter_modules(tenhour.words.__path__):
        room = import_module(f"tenhour.words.{module.name}")
        for name, thing in vars(room).items():
            each = thing if isinstance(thing, dict) else {"": thing}
            found += [(f"{module.name}.{name}{key}", item) for key, item in each.items() if isinstance(item, Sentence)]
    found += [(f"signs.{cause}", Sentence(row["check"])) for cause, row in _checks()]
    return found


def _checks() -> list[tuple[str, dict[str, str]]]:
    raw = tomllib.loads((resources.files("tenhour") / "_data" / "signs.toml").read_text(encoding="utf-8"))
    return [(row["cause"], row) for row in raw["cause"]]


def filled(pattern: Sentence) -> Text:
    holes = [piece for piece in pattern.pieces if isinstance(piece, Hole)]
    named = {hole.name: SAMPLES.get(hole.kind, 7.25) for hole in holes if not _constant(hole.name)}
    return pattern(**named)


def _constant(name: str) -> bool:
    return re.fullmatch(r"-?[\d.]+", name) is not None


EVERY = all_sentences()
modules = pytest.mark.parametrize("module", sorted({name.split(".")[0] for name, _ in EVERY}))


def of_module(module: str) -> list[tuple[str, Sentence]]:
    return [(name, pattern) for name, pattern in EVERY if name.split(".")[0] == module]


@modules
def test_words_hold_no_number_and_no_unit(module: str) -> None:
    for name, pattern in of_module(module):
        check_words(name, pattern)


def check_words(name: str, pattern: Sentence) -> None:
    words = [piece for piece in pattern.pieces if isinstance(piece, str)]
    assert not [text for text in words if re.search(r"\d", text)], f"{name}: a number stands in a gap"
    assert not [text for text in words if NOT_IN_US.search(text)], f"{name}: a unit belongs to its gap"


@modules
def test_a_gap_without_its_unit_stands_by_one_with_it(module: str) -> None:
    for name, pattern in of_module(module):
        check_bare_gaps(name, pattern)


def check_bare_gaps(name: str, pattern: Sentence) -> None:
    for n, piece in enumerate(pattern.pieces):
        if isinstance(piece, Hole) and piece.bare:
            after, before = pattern.pieces[n + 1 : n + 3], pattern.pieces[max(n - 2, 0) : n]
            if piece.kind in WHOLES:  # "after 90 days where good light would take 45"
                assert any(isinstance(other, Hole) and other.kind == piece.kind for other in [*before, *after]), name
                continue
            assert isinstance(after[0], str), name
            assert BETWEEN_TWO.fullmatch(after[0]), name
            assert isinstance(after[1], Hole), name
            assert (after[1].kind, after[1].bare) == (piece.kind, False), name


@modules
def test_every_sentence_in_every_style(module: str) -> None:
    for name, pattern in of_module(module):
        check_styles(name, pattern)


def check_styles(name: str, pattern: Sentence) -> None:
    said = filled(pattern)
    for style in STYLES:
        text = written(said, style)
        wrong = (NOT_IN_US if style.us_units else NOT_IN_SI).search(TRADE.sub("", text))
        assert wrong is None, (name, style, text)
        assert "  " not in text, (name, style)
        dated = style.dates == "iso" and any(_is(part, "date") for part in said.parts)
        assert (ON.isoformat() in text) == dated, (name, style, text)
        assert "None" not in text, (name, style)


def _is(part: str | Gap, kind: str) -> bool:
    return isinstance(part, Gap) and part.kind == kind


@pytest.mark.parametrize("bad", ["at 16 °C", "up to {h:length} or some cm"])
def test_the_rule_of_words_bites(bad: str) -> None:
    with pytest.raises(AssertionError):
        check_words("", Sentence(bad))


@pytest.mark.parametrize("bad", ["{t:temp bare} by day and {u:temp} at night", "{t:temp bare} to {u:length}"])
def test_the_rule_of_bare_gaps_bites(bad: str) -> None:
    with pytest.raises(AssertionError):
        check_bare_gaps("", Sentence(bad))


def test_a_text_is_its_si_string_and_keeps_its_gaps() -> None:
    said = Sentence("{name}: harmed below {limit:temp} on {on:date}.")(name="kale", limit=-2.0, on=ON)
    us = Style(True, "us")
    assert json.loads(json.dumps({"sentence": said})) == {"sentence": "kale: harmed below -2 °C on 2027-03-05."}
    for same in (pickle.loads(pickle.dumps(said)), copy.deepcopy(said), said + "", "" + said, joined([said])):
        assert written(same, us) == "kale: harmed below 28 °F on Mar 5, 2027."
    assert written("a note of the user's, 5 °C", us) == "a note of the user's, 5 °C"


@pytest.mark.parametrize(
    ("pattern", "values", "si", "us"),
    [
        # 16 °C is 60.8 °F, 8 °C is 46.4 °F; differences without the offset (NIST SP 811, 2008, appendix B.8)
        ("{a:temp} by day and {b:temp} at night", {"a": 16, "b": 8}, "16 °C by day and 8 °C at night",
         "61 °F by day and 46 °F at night"),
        ("{a:warmer} warmer", {"a": 2.0}, "2.0 °C warmer", "4 °F warmer"),
        ("{a:temp bare} to {b:temp}", {"a": -0.2, "b": 8}, "0 to 8 °C", "32 to 46 °F"),
        ("{a:height} above", {"a": 0.3048}, "30 cm above", "12 in above"),
        ("{a:weight}, {b:weekly}", {"a": 0.45359237, "b": 100}, "0.5 kg, 100 g per m² and week",
         "1.0 lb, 0.33 oz per ft² and week"),
        ("{a:days}, {b:days}, {c:leaves}", {"a": 1, "b": 9.6, "c": 1}, "1 day, 10 days, 1 true leaf",
         "1 day, 10 days, 1 true leaf"),
        ("{0.9:length 1} and {3:months_}", {}, "", ""),
        ("{m:month} {n:mon} {p:percent} {c:money}", {"m": 1, "n": 12, "p": 0.125, "c": (3, "CHF")},
         "January Dec 12% CHF 3.00", "January Dec 12% CHF 3.00"),
    ],
)  # fmt: skip
def test_gaps(pattern: str, values: dict[str, Any], si: str, us: str) -> None:
    if not si:
        with pytest.raises(ValueError, match="no kind of gap named 'months_'"):
            Sentence(pattern)
        return
    said = Sentence(pattern)(**values)
    assert str(said) == si
    assert written(said, Style(us_units=True)) == us


def test_opening_words_are_left_out_and_gaps_stay() -> None:
    inner = Sentence("ready from {on:date}")(on=ON)
    said = Sentence("Sow now: {ready}.")(ready=inner)
    assert written(after("sow now: ", said), Style(dates="long")) == "Ready from 5 Mar 2027."
    assert after("slow: ", said) is said
    assert after("slow: ", "Slow: about a day.") == "About a day."


def test_a_missing_value_is_said() -> None:
    pattern = Sentence("from {on:date} at {t:temp}")
    for values, match in (
        ({"on": None, "t": 1.0}, "nothing to fill 'on'"),
        ({"on": ON, "t": float("nan")}, "nothing to fill 't'"),
        ({"on": ON}, "'t' is not given"),
    ):
        with pytest.raises(ValueError, match=match):
            pattern(**values)


def test_every_kind_has_a_use_in_both_systems() -> None:
    assert set(QUANTITIES) <= set(SAID)
    for kind in KINDS:
        gap = Gap(kind, SAMPLES.get(kind, 7.25))
        assert gap.write(METRIC)
        assert gap.write(Style(True, "us"))


@settings(deadline=None, derandomize=True, max_examples=many(30, 100))
@given(st.lists(st.text(max_size=5), max_size=5))
def test_rows_of_words(parts: list[str]) -> None:
    assert str(joined(parts, ", ")) == ", ".join(part for part in parts if part)
    assert all(part in listed(parts) for part in parts if part)
