"""Each verdict's sentence names a date, a number and what would mend it, as far as they are known."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import pytest

from tenhour.words.sowing import VERDICTS, Facts, sentence
from tenhour.words.style import Style
from tenhour.words.text import written

A, B = date(2027, 3, 5), date(2027, 4, 1)
SAID: dict[str, tuple[dict[str, Any], str]] = {
    "not-here": ({}, "Not in this house: no sowing of the year comes to a harvest here without more light or warmth."),
    "too-hot": (
        {"seed_max_degc": 30.0, "again_from": A},
        "Too hot: the seed fails above about 86 °F on average. Sow from 5 Mar 2027, or start it somewhere cooler.",
    ),
    "raise": (
        {"where": "on the sill", "set_out": A, "harvest_from": B},
        "Sow it on the sill now and set it out about 5 Mar 2027: ready from 1 Apr 2027, in a dull season not within "
        "a year.",
    ),
    "too-cold": (
        {"coldest_night_degc": -6.0, "limit_degc": -4.0, "again_from": A},
        "Too cold at night: expect about 21 °F before it is ready; below 25 °F it is harmed. Sow from 5 Mar 2027, or "
        "keep its nights above 25 °F.",
    ),
    "stand-small": (
        {"harvest_from": A, "harvest_to": B},
        "Sow now to stand small through the dark: ready between 5 Mar 2027 and 1 Apr 2027.",
    ),
    "set-out-grown": (
        {"sow_by": date(2026, 9, 20)},
        "Too late to sow for this winter: plants that feed you now were sown by 20 Sep 2026. Next time sow by then and "
        "pick through the dark.",
    ),
    "cut-young": (
        {"young_from": A, "young_to": B},
        "Full size never comes from this sowing: sow thickly and cut it young between 5 Mar 2027 and 1 Apr 2027.",
    ),
    # 2.52 mol over 14 h is 50 µmol m⁻² s⁻¹, by definition of the integral.
    "needs-lamps": (
        {"missing_dli_mol_m2_d": 2.52, "pays_from": A},
        "Needs lamps: 2.5 mol of light a day are missing in the first weeks, that is 14 h of lamps at 50 µmol m⁻² s⁻¹; "
        "without more light sow from 5 Mar 2027.",
    ),
    "wait": (
        {"pays_from": A, "later_d": 1.0, "wait_d": 20, "stretch_score": 50.0},
        "Wait until 5 Mar 2027 and harvest only 1 day later than from a sowing today, with sturdier seedlings.",
    ),
    "slow": (
        {"harvest_from": A, "harvest_to": B, "days_median": 90, "best_days": 45},
        "Slow: ready between 5 Mar 2027 and 1 Apr 2027, after about 90 days where good light would take 45.",
    ),
    "sow": ({"harvest_from": A, "harvest_to": B}, "Sow now: ready between 5 Mar 2027 and 1 Apr 2027."),
}


@pytest.mark.parametrize("verdict", VERDICTS)
def test_every_verdict(verdict: str) -> None:
    facts, said = SAID[verdict]
    text = written(sentence(verdict, Facts("kale", "pick", **facts)), Style(True, "long"))
    # the number without a unit is of days, as the one before it
    assert text == said


@pytest.mark.parametrize("verdict", [verdict for verdict in VERDICTS if verdict not in ("wait", "too-hot", "too-cold")])
def test_what_is_not_known_is_left_out(verdict: str) -> None:
    text = sentence(verdict, Facts("kale", "pick"))
    assert text.endswith(".")
    assert not re.search(r"None|nan|never and|never to|  ", text)


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"pays_from": A}, "sown today it comes to nothing without more light"),
        ({"pays_from": A, "later_d": 0.0, "wait_d": 20}, "harvest no later than from a sowing today."),
        ({"pays_from": A, "later_d": 12.0, "wait_d": 20}, "Slow now, but waiting wins little: sown on 2027-03-05"),
        ({"again_from": A}, "Wait until 2027-03-05: sown today it comes to nothing"),
    ],
)
def test_waiting(facts: dict[str, Any], said: str) -> None:
    assert said in sentence("wait", Facts("kale", "pick", **facts))
