"""Crops under one lamp: the most light any wants, the shortest day any needs, and conflicts by name."""

from __future__ import annotations

import pytest

from tenhour.errors import FileProblem
from tenhour.model.lamp import LampNeed, LampRequest
from tenhour.plan.lamp_needs import USUAL_H, demand

LETTUCE = LampNeed("leaf-lettuce", "lettuce", 17.0, most_dli_mol_m2_d=17.0, longest_h=24.0)
SPINACH = LampNeed("spinach", "spinach", 12.0, longest_h=13.0, bolt_h=13.5)
TOMATO = LampNeed("tomato", "tomato", 30.0, longest_h=17.0)
ONION = LampNeed("onion-plants", "onion plants", 12.5, longest_h=14.0, bulb_h=14.0)
PLAIN = LampNeed("kale", "kale", 12.0)


def test_a_leafy_crop_gets_the_usual_hours_and_its_own_light() -> None:
    found = demand([LETTUCE], LampRequest())
    assert found.target_dli_mol_m2_d == 17.0
    assert found.hours_h == found.limit_h == USUAL_H
    assert not found.conflicts
    assert found.assumptions == ("Lamp hours not given: up to 16 h a day.",)


def test_spinach_and_onions_keep_their_day_short() -> None:
    assert demand([SPINACH], LampRequest()).limit_h == 13.0
    onion = demand([ONION], LampRequest())
    assert onion.limit_h == 13.5
    assert "makes bulbs" in onion.assumptions[0]


def test_more_hours_than_spinach_stands_are_cut_and_said() -> None:
    found = demand([SPINACH], LampRequest(hours_h=16.0))
    assert found.hours_h == 13.0
    assert found.warnings == ("16 h of lamps asked for, 13 h planned: spinach runs to flower in longer days.",)


@pytest.mark.parametrize("hours", [24.0, 18.0])
def test_tomato_does_not_get_a_day_without_night(hours: float) -> None:
    """Demers & Gosselin 2002: best at 14 h, safe at 17 h with an unbroken night, harmed at 20 to 24 h."""
    with pytest.raises(FileProblem, match=r"^hours_h: found \d+; allowed: up to 17 h for tomato.*Ask for 17 or less"):
        demand([TOMATO], LampRequest(hours_h=hours))
    assert demand([TOMATO], LampRequest(hours_h=17.0)).hours_h == 17.0
    assert demand([LETTUCE], LampRequest(hours_h=24.0)).hours_h == 24.0


def test_crops_under_one_lamp_disagree_by_name() -> None:
    found = demand([SPINACH, LETTUCE, TOMATO], LampRequest())
    assert found.target_dli_mol_m2_d == 30.0
    assert found.limit_h == 13.0
    text = " ".join(found.conflicts)
    assert "spinach asks for 12.0 mol and is lit to 30.0" in text
    assert "lettuce suffers from more than 17.0 mol" in text
    assert (
        "spinach runs to flower in days beyond 13 h, so all share that day; lettuce and tomato could have 16 h" in text
    )


def test_crops_that_agree_have_no_conflict() -> None:
    assert demand([PLAIN, LampNeed("mizuna", "mizuna", 12.0)], LampRequest()).conflicts == ()


def test_light_asked_for_comes_before_the_crops_own() -> None:
    request = LampRequest(target_dli_mol_m2_d=8.0, target_reason="because of a date")
    found = demand([LETTUCE], request)
    assert found.target_dli_mol_m2_d == 8.0
    assert "because of a date" in found.assumptions
