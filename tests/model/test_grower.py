"""What every grower is told: with its source, only where it applies, at most two lines."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from datetime import date
from importlib import resources

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenhour.files.grower import load_grower_lines
from tenhour.model.grower import MOST_LINES, GrowerFacts, applies, lines_for

LINES = load_grower_lines()
RAW = tomllib.loads((resources.files("tenhour") / "_data" / "grower.toml").read_text("utf-8"))["line"]
TOPICS = {
    "soil-temperature", "depth", "depth-light", "thinning", "watering", "airing", "trays-mould", "slugs", "aphids",
    "picking", "cutting", "nitrate", "variety-hardy", "variety-slow", "hardening", "handover",
}  # fmt: skip
JANUARY = GrowerFacts(
    "log", date(2027, 1, 12), ways=("pick", "cut"), latins=("Brassica oleracea", "Spinacia oleracea"), night_degc=1.0,
    dli_mol_m2_d=3.0, harvest=True,
)  # fmt: skip


def keys(facts: GrowerFacts) -> set[str]:
    return {line.key for line in LINES if applies(line, facts)}


def test_every_line_says_where_it_is_from() -> None:
    assert {line.key for line in LINES} == TOPICS
    assert len({row["text"] for row in RAW}) == len(RAW)
    for row in RAW:
        assert row["source"]
        assert row["mark"] in ("read", "second-hand", "memory", "practice", "judgement")
        assert set(row["answers"]) <= {"sow", "season", "log", "why"}
        assert len(row["text"]) <= 125


def test_january_of_a_cold_house() -> None:
    assert keys(JANUARY) == {"watering", "airing", "slugs", "aphids", "picking", "cutting", "nitrate"}
    told = lines_for(JANUARY, LINES)
    assert len(told) == 2
    assert any("never frozen" in text for text in told)


@pytest.mark.parametrize(
    ("change", "gone"),
    [
        ({"harvest": False}, "picking"),
        ({"night_degc": 9.0}, "picking"),
        ({"night_degc": None}, "airing"),
        ({"dli_mol_m2_d": 9.0}, "nitrate"),
        ({"on": date(2027, 7, 12)}, "watering"),
        ({"south": True}, "slugs"),
        ({"ways": ("seed-fed",)}, "airing"),
        ({"latins": ("Allium porrum",)}, "aphids"),
        ({"answer": "why"}, "slugs"),
    ],
)
def test_a_line_is_gone_where_it_does_not_apply(change: dict[str, object], gone: str) -> None:
    assert gone in keys(JANUARY)
    assert gone not in keys(replace(JANUARY, **change))  # type: ignore[arg-type]


def test_the_south_has_its_months_half_a_year_later() -> None:
    july = replace(JANUARY, on=date(2027, 7, 12), south=True)
    assert keys(july) == keys(JANUARY)


def test_raised_plants_are_hardened() -> None:
    sow = GrowerFacts("sow", date(2027, 2, 20), ways=("head",), latins=("Lactuca sativa",), night_degc=3.0, raised=True)
    assert "hardening" in keys(sow)
    assert "hardening" not in keys(replace(sow, raised=False))
    assert any("Harden" in text for text in lines_for(sow, LINES))


@given(
    st.sampled_from(["sow", "season", "log", "why"]), st.dates(date(2026, 1, 1), date(2027, 12, 31)), st.booleans(),
    st.lists(st.sampled_from(["head", "root", "cut", "pick", "seed-fed", "transplant"]), max_size=3),
    st.floats(-20.0, 20.0) | st.none(), st.booleans(),
)  # fmt: skip
@settings(deadline=None, derandomize=True, max_examples=200)
def test_never_more_than_two_and_each_applies(
    answer: str, on: date, south: bool, ways: list[str], night: float | None, harvest: bool
) -> None:
    facts = GrowerFacts(answer, on, south, tuple(ways), ("Lactuca sativa",), night, 4.0, harvest)
    told = lines_for(facts, LINES)
    assert len(told) <= MOST_LINES
    assert set(told) <= {line.text for line in LINES if applies(line, facts)}
    assert len(set(told)) == len(told)
