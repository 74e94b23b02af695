"""One house-year answers everything, and what is shown never changes the house."""

from __future__ import annotations

from datetime import date
from functools import lru_cache

import numpy as np
import pytest

from helpers_once import few_winters
from helpers_world import crops, sources
from tenhour.files.house.read import demo_house
from tenhour.files.lamp import LampChoice, find_lamp
from tenhour.files.signs import load_signs, load_troubles
from tenhour.files.spectra import load_spectra
from tenhour.model.described import describe
from tenhour.model.lamp import LampRequest
from tenhour.model.results import SowAnswer
from tenhour.model.season import SeasonAnswer
from tenhour.year.answers.whycase import Told, WhyTools
from tenhour.year.crops.grown import table_of
from tenhour.year.year import Year

ON = date(2027, 1, 15)
SOME = ("leaf-lettuce", "kale", "spinach", "radish", "pea-shoots", "tomato")
TOLD = Told(sown=date(2026, 12, 24), seen=date(2027, 1, 31), bed="middle")
BEDS = [bed.name for bed in demo_house().beds]


@lru_cache(maxsize=1)
def year() -> Year:
    return Year(demo_house(), sources(), [crops()[key] for key in SOME])


@lru_cache(maxsize=1)
def sown() -> SowAnswer:
    return year().sow(ON)


@lru_cache(maxsize=1)
def seasons() -> SeasonAnswer:
    return year().season(ON)


@pytest.fixture(autouse=True)
def _few(monkeypatch: pytest.MonkeyPatch) -> None:
    few_winters(monkeypatch)


def test_the_house_is_traced_once() -> None:
    assert year().world is year().world


def test_plans_are_judged_under_other_seasons_than_they_were_made_from() -> None:
    own, other = (
        year().table(),
        table_of(year().world, [crop for crop in year().crops if crop.way != "fruiting"], seed=1),
    )
    assert own is year().table()
    close = np.nanmedian(np.abs(other.days / own.days - 1.0))
    assert 0.0 < close < 0.08


@pytest.mark.parametrize("bed", BEDS)
def test_a_bed_asked_for_alone_is_the_bed_among_all(bed: str) -> None:
    """What the user asks to see never changes the house: the other beds go on shading and warming it."""
    number = BEDS.index(bed)
    assert year().sow(ON, beds=[bed]).beds == (sown().beds[number],)
    assert year().season(ON, beds=[bed]).beds == (seasons().beds[number],)


def test_the_page_shows_a_bed_as_it_is_among_all() -> None:
    whole, alone = year().report(ON), year().report(ON, beds=["middle"])
    at = BEDS.index("middle")
    assert alone.light.beds == (whole.light.beds[at],)
    assert alone.sow.beds == (whole.sow.beds[at],)
    assert alone.season.beds == (whole.season.beds[at],)
    assert alone.maps == tuple(one for one in whole.maps if one.bed == "middle")


def test_one_light_for_every_answer() -> None:
    """The middle bed's January in light, a week of it in season, three weeks of it in why: parts of one series."""
    at = BEDS.index("middle")
    dli = year().world.beds[at].dli_mol_m2_d
    assert year().light(today=ON).beds[at].months[0].dli_mol_m2_d == pytest.approx(dli[:31].mean())
    assert seasons().beds[at].weeks[0].dli_mol_m2_d == pytest.approx(dli[14:21].mean())
    asked = year().why(crops()["spinach"], TOLD, WhyTools(load_signs()[1], load_spectra(), load_troubles()))
    assert asked.evidence is not None
    assert asked.emerged is not None
    up = (asked.emerged - date(2027, 1, 1)).days - 1
    assert asked.evidence.dli_mol_m2_d == pytest.approx(dli[up : up + 21].mean(), rel=0.02)


def test_carbon_monoxide_stands_in_every_answer_of_a_heated_house() -> None:
    lamp = find_lamp(LampChoice("led-bar"))
    answers = {
        "check": describe(demo_house()),
        "light": year().light(today=ON),
        "sow": sown(),
        "season": seasons(),
        "report": year().report(ON),
        "lamps": year().lamps("middle", [crops()["spinach"]], lamp, LampRequest(), today=ON),
        "why": year().why(crops()["spinach"], TOLD, WhyTools(load_signs()[1], load_spectra(), load_troubles())),
    }
    for command, answer in answers.items():
        assert sum("carbon monoxide" in text for text in answer.basis.cautions) >= 1, command
