"""Why seedlings are leggy: published evidence, worked cases, order of remedies, signs and their contradictions."""

from __future__ import annotations

import csv
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenhour.files.signs import load_signs, load_troubles
from tenhour.growth.stretch import CAUSES
from tenhour.model.diagnosis import Evidence
from tenhour.plan.diagnosis import diagnose, light_for, match, score, shares, terms, word_of
from tenhour.plan.remedies import Option, Situation, in_order, options, warmer
from tenhour.plan.whywords import Tale, brush_of, bury_text, not_up, paragraph, plants_of, stage_of

PUBLISHED = Path(__file__).parents[1] / "published"
SIGNS, CHECKS = load_signs()
TROUBLES = load_troubles()
DECEMBER = Evidence(2.6, 21.0, 10.0, 8.5)
PLAIN = Evidence(12.0, 20.0, 15.0, 12.0)
SITUATION = Situation(7.2, 18.3, float("nan"), 500.0)


def rows(name: str) -> list[dict[str, str]]:
    with (PUBLISHED / name).open(encoding="utf-8") as stream:
        return list(csv.DictReader(stream))


def length(evidence: Evidence) -> float:
    """Relative length (or thinness) that the model gives."""
    return float(np.exp(sum(terms(evidence).values())))


EVIDENCE = {
    "light": length(replace(PLAIN, dli_mol_m2_d=4.1)) / length(replace(PLAIN, dli_mol_m2_d=14.2)),
    "light-to-heat": length(replace(PLAIN, dli_mol_m2_d=3.0)) / length(replace(PLAIN, dli_mol_m2_d=9.0)),
    "dif": length(Evidence(12.0, 13.0, 23.0, 12.0)) / length(Evidence(12.0, 23.0, 13.0, 12.0)),
    "brushing-tomato": length(replace(PLAIN, brushing_frac=1.0)) / length(PLAIN),
    "brushing-cucumber": length(replace(PLAIN, brushing_frac=1.0)) / length(PLAIN),
    "blue": length(PLAIN) / length(replace(PLAIN, blue_frac=0.0, lamp_share=1.0)),
    "threshold-poor": float(score(Evidence(8.0, 20.0, 15.0, 24.0)) > 25.0),
    "threshold-good": float(score(Evidence(12.0, 20.0, 15.0, 24.0)) > 25.0),
}


@pytest.mark.parametrize("row", rows("stretch_evidence.csv"), ids=lambda row: row["id"])
def test_published_evidence(row: dict[str, str]) -> None:
    assert EVIDENCE[row["id"]] == pytest.approx(float(row["expected"]), abs=float(row["tol_abs"]) + 1e-9)


@pytest.mark.parametrize("row", rows("stretch_cases.csv"), ids=lambda row: row["case"])
def test_worked_cases(row: dict[str, str]) -> None:
    case = Evidence(*(float(row[name]) for name in ("dli_mol_m2_d", "day_degc", "night_degc", "lit_h")))
    for change in filter(None, row["changes"].split(";")):
        name, value = change.split("=")
        case = replace(case, **{name: float(value)})
    assert score(case) == pytest.approx(float(row["expected"]), abs=float(row["tol_abs"]))


def test_far_red_lengthens_and_the_size_is_cautious() -> None:
    """Knight & Mitchell 1988: +123 % under lamps rich in far-red; the model stays below that on purpose."""
    rich = length(replace(PLAIN, red_far_red_ratio=0.4)) / length(PLAIN)
    assert 1.2 < rich < 2.23


def test_causes_of_the_december_romaine() -> None:
    """Worked case: low light 85 %, days warmer than nights 15 %."""
    found = diagnose(DECEMBER, CHECKS)
    assert [(c.cause, round(100 * c.share_frac)) for c in found.causes] == [
        ("low light", 85),
        ("days warmer than nights", 15),
    ]
    assert found.word == "leggy"
    assert not found.conflicts


def test_light_needed_is_nearly_proportional_to_warmth() -> None:
    """Worked line of the score: sturdy (25) and leggy (45) at 8, 12, 16, 20, 24 °C with days 5 K warmer."""
    means = (8.0, 12.0, 16.0, 20.0, 24.0)
    for value, expected in ((25.0, (2.2, 4.4, 6.6, 8.8, 11.0)), (45.0, (1.4, 2.7, 4.1, 5.4, 6.8))):
        found = [light_for(value, Evidence(3.0, m + 2.5, m - 2.5, 12.0)) for m in means]
        assert found == pytest.approx(expected, abs=0.06)


def test_heat_matched_to_light_gives_the_score_it_promises() -> None:
    for dli in (1.5, 2.6, 5.0, 9.0):
        for wanted in (25.0, 45.0):
            one = match(wanted, Evidence(dli, 25.0, 20.0, 9.0), 0.0, 40.0)
            assert score(Evidence(dli, one.day_degc, one.night_degc, 9.0)) == pytest.approx(wanted, abs=0.01)
    cold = match(25.0, Evidence(1.0, 20.0, 15.0, 9.0), 7.2, 18.3)
    assert not cold.reachable
    assert match(25.0, Evidence(14.0, 20.0, 15.0, 9.0), 7.2, 18.3).any_warmth
    # crowding and dark days are no reason to cool
    crowded = Evidence(9.0, 20.0, 15.0, 9.0, leaf_area_ratio=3.0, dark_d=4.0)
    assert match(25.0, crowded, 7.2, 18.3) == match(25.0, Evidence(9.0, 20.0, 15.0, 9.0), 7.2, 18.3)


def ordered(evidence: Evidence, situation: Situation = SITUATION) -> list[tuple[str, float]]:
    found = in_order(options(evidence, situation), evidence, situation, {}, None)
    return [(remedy.key, remedy.score) for remedy in found]


def test_remedies_of_the_december_romaine_stand_in_the_order_of_their_effect() -> None:
    """Free ones first: cool to 12/6 °C (20); then lamps to 12 mol (9) and 6 mol (42); brushing (46) is an aid."""
    found = [(key, round(value)) for key, value in ordered(DECEMBER)]
    assert found[0] == ("cooler-12-6", 20)
    assert found.index(("lamps-12", 9)) < found.index(("lamps-6", 42)) < found.index(("brush", 46))
    # ten kelvins flatter: about -18 % length
    flat = replace(DECEMBER, day_degc=DECEMBER.mean_degc, night_degc=DECEMBER.mean_degc)
    assert length(flat) / length(DECEMBER) == pytest.approx(0.82, abs=0.03)


def test_every_remedy_gives_the_score_it_promises() -> None:
    sick = replace(
        DECEMBER, leaf_area_ratio=2.0, late_d=7.0, dark_d=2.0, wetness_frac=0.5, lamp_share=0.4, blue_frac=0.05,
        red_far_red_ratio=0.7,
    )  # fmt: skip
    situation = replace(
        SITUATION,
        other_beds=(("back", replace(sick, dli_mol_m2_d=4.0)),),
        resow=(date(2027, 2, 10), PLAIN),
        young="yes",
    )
    found = options(sick, situation)
    keys = {option.key for option in found}
    assert {"lamps-12", "lamps-6", "thin", "pot-on", "light-at-once", "brush", "white-lamps", "drier", "bed-back",
            "resow", "even-days"} <= keys  # fmt: skip
    remedies = in_order(found, sick, situation, {"lamps-12": 7.2}, 1.4)
    by_key = {remedy.key: remedy for remedy in remedies}
    for option in found:
        assert by_key[option.key].score == score(option.evidence) < score(sick)
    assert remedies[-1].key == "cut-young"
    assert "about 7 true leaves by now instead of 1" in by_key["lamps-12"].detail
    assert "187 µmol" in by_key["lamps-12"].detail  # (12 - 2.6) mol over 14 h
    assert "to 200 plants a square metre" in by_key["thin"].detail


def test_no_remedy_is_offered_that_cannot_help() -> None:
    keys = {key for key, _ in ordered(Evidence(14.0, 18.0, 15.0, 12.0, leaf_area_ratio=3.0))}
    assert keys == {"thin", "brush"}
    assert not any(key.startswith("lamps") for key, _ in ordered(Evidence(12.0, 28.0, 22.0, 14.0)))
    assert any(key.startswith("cooler") for key, _ in ordered(Evidence(12.0, 28.0, 22.0, 14.0)))
    assert ordered(Evidence(12.0, 16.0, 14.0, 12.0)) == []


def test_cooling_stops_where_the_crop_stops() -> None:
    warm = replace(SITUATION, least_mean_degc=14.0, bolt_degc=16.0)
    cool = [option for option in options(DECEMBER, warm) if option.key.startswith("cooler")]
    assert all(option.evidence.mean_degc >= 12.9 for option in cool)
    chilly = replace(SITUATION, bolt_degc=14.0)
    assert any("turn it to flower" in option.detail for option in options(DECEMBER, chilly))


def signs(*keys: str) -> list:  # type: ignore[type-arg]
    return [SIGNS[key] for key in keys]


def test_signs_that_fit_raise_their_cause() -> None:
    plain = diagnose(DECEMBER, CHECKS)
    seen = diagnose(DECEMBER, CHECKS, signs("pale", "leaning", "few-leaves"))
    assert seen.causes[0].cause == "low light"
    assert seen.causes[0].share_frac > plain.causes[0].share_frac
    assert seen.causes[0].model_share_frac == plain.causes[0].share_frac
    assert seen.score == plain.score
    assert seen.conflicts == ()


def test_signs_against_the_numbers_are_said_not_averaged_away() -> None:
    found = diagnose(DECEMBER, CHECKS, signs("green", "upper"))
    assert any("speaks against too little light, which by the numbers is the main thing" in c for c in found.conflicts)
    assert any('"green" and "upper" speaks for warmth' in c and "little part" in c for c in found.conflicts)
    # warmth was not measured: what is seen comes first; where it was, the numbers stand
    assert found.contradicted
    assert found.causes[0].cause == "heat"
    measured = diagnose(DECEMBER, CHECKS, signs("green", "upper"), frozenset({"low light", "heat"}))
    assert measured.causes[0].cause == "low light"
    assert not measured.contradicted


def test_signs_that_contradict_each_other_are_said_with_a_test_to_tell() -> None:
    found = diagnose(PLAIN, CHECKS, signs("pale", "green"))
    conflict = next(c for c in found.conflicts if "too little light" in c)
    assert '"pale" speaks for too little light, "green" against it. To tell: hold a hand' in conflict


@pytest.mark.parametrize(
    ("keys", "cause", "told_word"),
    [
        (("stem-base", "white-first"), "dark after emergence", "one day in the dark"),
        (("circling", "late-top"), "late to pot on", "a week late"),
        (("soft", "dark-green"), "wet and rich", "rather wet"),
        (("middle",), "crowding", "closed over the tray"),
    ],
)
def test_signs_bring_in_what_no_number_told(keys: tuple[str, ...], cause: str, told_word: str) -> None:
    found = diagnose(PLAIN, CHECKS, signs(*keys))
    assert found.causes[0].cause == cause
    assert any(told_word in word for word in found.brought_in)
    assert found.score > score(PLAIN)
    told = diagnose(PLAIN, CHECKS, signs(*keys), frozenset({cause}))
    # how a tray looks tells more of crowding than how many were sown
    assert (told.brought_in == ()) == (cause != "crowding")
    assert (told.score == score(PLAIN)) == (cause != "crowding")


def test_the_table_of_signs_fits_the_causes() -> None:
    known = {*CAUSES, "late to pot on"} - {"brushing"}
    assert set(CHECKS) == known
    for sign in SIGNS.values():
        assert set(sign.raises) | set(sign.lowers) <= known
        assert bool(sign.raises) != bool(sign.means)
        assert sign.says
        assert set(sign.means) <= set(TROUBLES)
    assert {key for sign in SIGNS.values() for key in sign.means} == set(TROUBLES)


def test_words_for_scores() -> None:
    assert [word_of(value) for value in (0, 24.4, 24.83, 25, 44.4, 44.9, 45, 64.4, 64.9)] == [
        "sturdy", "sturdy", "watch", "watch", "watch", "leggy", "leggy", "leggy", "stringy",
    ]  # fmt: skip


def test_shares_of_nothing() -> None:
    found = diagnose(Evidence(14.0, 15.0, 12.0, 12.0), CHECKS)
    assert found.score == 0.0
    assert found.causes == ()
    assert set(shares(terms(Evidence(14.0, 15.0, 12.0, 12.0))).values()) == {0.0}


@given(
    st.floats(0.0, 40.0), st.floats(-5.0, 35.0), st.floats(-10.0, 15.0), st.floats(0.0, 24.0), st.floats(0.0, 8.0),
    st.lists(st.sampled_from(sorted(SIGNS)), max_size=4, unique=True),
)  # fmt: skip
@settings(deadline=None, derandomize=True, max_examples=150)
def test_any_evidence_has_an_answer(
    dli: float, night: float, dif: float, lit: float, leaf: float, keys: list[str]
) -> None:
    case = Evidence(dli, night + dif, night, lit, leaf_area_ratio=leaf)
    found = diagnose(case, CHECKS, signs(*keys))
    assert 0.0 <= found.score <= 100.0
    assert sum(cause.share_frac for cause in found.causes) == pytest.approx(1.0 if found.causes else 0.0)
    remedies = in_order(options(found.evidence, SITUATION), found.evidence, SITUATION, {}, None)
    assert all(0.0 <= remedy.score < found.score + 1e-9 for remedy in remedies)
    treated = found.as_seen or found.evidence
    seen = in_order(options(treated, SITUATION), treated, SITUATION, {}, None)
    assert all(0.0 <= remedy.score < score(treated) + 1e-9 for remedy in seen)
    assert score(replace(case, dli_mol_m2_d=dli + 1.0)) <= found.score + 1e-9 or found.brought_in


def test_paragraph_reads_well() -> None:
    found = diagnose(DECEMBER, CHECKS)
    remedies = in_order(options(DECEMBER, SITUATION), DECEMBER, SITUATION, {}, None)
    bury = bury_text("Lactuca sativa", "head")
    text = paragraph(Tale("romaine seedlings", found, date(2026, 12, 10), 7.1, 7.2, remedies, bury))
    assert text == (
        "These romaine seedlings are leggy: stretch 61 of 100 (below 25 sturdy, above 45 leggy). Since they came up "
        "about 2026-12-10 they have had 2.6 mol of light a day at 21 °C by day and 10 °C at night; as warm as that, "
        "7.1 mol would keep them sturdy. The main reason is too little light (85%). First, without buying anything: "
        "cooler, 12 °C by day and 6 °C at night (stretch 20). The strongest step: lamps to 12 mol (stretch 9). "
        "What is long already stays long: when potting on, set them down to the seed leaves."
    )


def test_healthy_plants_are_called_so() -> None:
    cool = diagnose(Evidence(2.6, 12.0, 6.0, 8.5), CHECKS)
    text = paragraph(Tale("kale seedlings", cool, date(2026, 12, 10), 2.9, 4.4, (), ""))
    assert text.startswith("These kale seedlings should be sturdy: stretch 20 of 100")
    assert "slow because light is short, but cool enough not to stretch" in text
    bright = diagnose(Evidence(14.0, 18.0, 12.0, 12.0), CHECKS)
    text = paragraph(Tale("kale seedlings", bright, date(2026, 12, 10), 7.0, 4.4, (), ""))
    assert text.endswith("Nothing needs mending.")


def test_nobody_who_sees_trouble_or_stands_too_cold_is_told_that_nothing_needs_mending() -> None:
    bright = diagnose(Evidence(14.0, 18.0, 12.0, 12.0), CHECKS, signs("pale", "leaning"))
    remedies = in_order(options(bright.as_seen or bright.evidence, SITUATION), bright.evidence, SITUATION, {}, None)
    seen = tuple(signs("pale", "leaning"))
    text = paragraph(Tale("kale seedlings", bright, date(2026, 12, 10), 7.0, 4.4, remedies, "", seen))
    assert text.startswith("You see pale, yellow-green and leaning towards the glass: that speaks for too little light")
    assert "Measure their light for a day" in text
    assert "coldest and warmest among them" in text
    assert "how close they stand" in text
    assert score(bright.as_seen or PLAIN) == pytest.approx(45.0, abs=0.01)
    cold = diagnose(Evidence(6.6, 13.0, 11.0, 9.0, 9.0), CHECKS)
    lift = warmer(cold.evidence, 18.3)
    remedies = in_order((lift,), cold.evidence, SITUATION, {}, None)
    text = paragraph(Tale("tomato seedlings", cold, date(2026, 12, 10), 7.0, 18.3, remedies, ""))
    assert "colder than the 18 °C this crop goes on at" in text
    assert "First: warmer, a mean of 20 °C" in text
    fine = diagnose(Evidence(14.0, 18.0, 12.0, 12.0), CHECKS, signs("green"))
    text = paragraph(Tale("kale seedlings", fine, date(2026, 12, 10), 7.0, 4.4, (), "", tuple(signs("green"))))
    assert text.endswith("What you see (a fair green) fits plants that are well.")


@pytest.mark.parametrize("key", [key for key, sign in SIGNS.items() if sign.means])
def test_signs_of_other_trouble_end_in_this_is_not_stretching(key: str) -> None:
    found = diagnose(PLAIN, CHECKS, signs(key), troubles=TROUBLES)
    text = paragraph(Tale("kale seedlings", found, date(2026, 12, 10), 7.0, 4.4, (), "", tuple(signs(key))))
    assert text.startswith("This is not stretching but ")
    assert "To tell: " in text
    leggy = diagnose(DECEMBER, CHECKS, signs(key), troubles=TROUBLES)
    text = paragraph(Tale("kale seedlings", leggy, date(2026, 12, 10), 7.0, 4.4, (), "", tuple(signs(key))))
    assert "Besides, they are leggy (stretch 61)." in text


def test_free_steps_of_the_lamps_that_are_there_come_first() -> None:
    """Kale at 5 mol under lamps for 10 hours: the same lamps for 16 hours, then lower, before any are bought."""
    lit = Evidence(5.0, 20.0, 16.0, 10.0, lamp_share=0.8)
    found = ordered(lit, replace(SITUATION, lamp_dli_mol_m2_d=4.0, lamp_h=10.0))
    assert {key for key, _ in found[:2]} == {"lamp-hours", "lamps-lower"}
    assert not any(
        key == "lamp-hours" for key, _ in ordered(lit, replace(SITUATION, lamp_dli_mol_m2_d=4.0, lamp_h=16.0))
    )
    assert ordered(replace(DECEMBER, day_degc=27.0, night_degc=24.0), replace(SITUATION, mat=True))[0][0] == "mat-off"


def test_no_cooling_below_the_air_outdoors() -> None:
    july = Evidence(14.0, 32.0, 26.0, 16.0)
    found = [option for option in options(july, replace(SITUATION, outdoors_degc=20.0)) if "cooler" in option.key]
    assert found
    assert all(option.evidence.day_degc >= 23.0 and option.evidence.night_degc >= 16.0 for option in found)
    hot = options(Evidence(14.0, 28.0, 24.0, 16.0), replace(SITUATION, outdoors_degc=27.0))
    assert not any("cooler" in option.key for option in hot)


def test_peppers_are_not_brushed_by_hand() -> None:
    """Latimer 1994, HortScience 29:1002: 48-93 % of brushed pepper plants damaged."""
    assert (brush_of("Capsicum annuum"), brush_of("Lactuca sativa")) == ("fan", "hand")
    fan = next(option for option in options(DECEMBER, replace(SITUATION, brush="fan")) if option.key == "brush")
    assert "fan" in fan.remedy
    assert "damaged half to nine tenths" in fan.detail


def test_small_words() -> None:
    assert stage_of(None, 4.0) == "not known"
    assert plants_of("pea shoots", "seed-fed") == "pea shoots"
    assert "pot these deep" in bury_text("Solanum lycopersicum", "transplant")
    assert "sow again" in bury_text("Raphanus sativus", "root")
    assert "cannot come up in this cold" in not_up("basil", date(2026, 12, 1), date(2027, 1, 1), None)
    assert "expect it about 2026-12-09" in not_up("kale", date(2026, 12, 1), date(2026, 12, 3), date(2026, 12, 9))
    assert "just coming up" in not_up("kale", date(2026, 12, 1), date(2026, 12, 9), date(2026, 12, 9))


def test_an_option_that_changes_little_is_left_out() -> None:
    near = Option("brush", "brush", DECEMBER, "")
    assert near not in options(DECEMBER, SITUATION)
    shorter = [length(option.evidence) / length(DECEMBER) for option in options(DECEMBER, SITUATION)]
    assert max(shorter) < 0.975


def changed(text: str) -> Evidence:
    """Good light and warmth with some of it changed, as a published row has it."""
    pairs = (change.split("=") for change in text.split(";") if change)
    return replace(PLAIN, **{name: float(value) for name, value in pairs})


def missed_directions() -> list[str]:
    out = []
    for row in rows("stretch_directions.csv"):
        gap = float(np.log(length(changed(row["changes_a"])) / length(changed(row["changes_b"]))))
        found = "same" if abs(gap) < 0.02 else "a" if gap > 0 else "b"
        out += [row["id"]] if found != row["longer"] else []
    return out


def test_published_directions() -> None:
    """Which of two is longer, in published trials of seedlings: right in 85 of 100, the misses named in the methods."""
    missed = missed_directions()
    assert len(missed) <= 0.15 * len(rows("stretch_directions.csv")), missed
    page = (Path(__file__).parents[2] / "docs" / "method" / "stretch.md").read_text(encoding="utf-8")
    assert all(f"`{name}`" in page for name in missed), missed
