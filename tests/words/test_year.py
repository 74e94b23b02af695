"""Sentences about a year read as a grower would say them."""

from __future__ import annotations

from datetime import date

from tenhour.files.crop import load_crops
from tenhour.words.crops import crop_name
from tenhour.words.year import (
    RouteWords,
    TrayWords,
    YearWords,
    flag_sentences,
    route_sentence,
    tray_sentence,
    year_sentence,
)

SOW_FROM, SOW_BY = date(2026, 8, 21), date(2026, 9, 4)
DARK, SPRING = date(2026, 11, 21), date(2027, 4, 9)


def test_no_two_crops_are_said_alike() -> None:
    names = [crop_name(crop.key) for crop in load_crops()]
    assert len(set(names)) == len(names)
    assert all("," not in name for name in names)


def test_a_head_for_winter() -> None:
    text = year_sentence(
        YearWords("head", sow_from=SOW_FROM, sow_by=SOW_BY, sow_by_sure=date(2026, 8, 28), stands_from=DARK,
                  stands_to=date(2027, 1, 9), pays_from=date(2027, 2, 6))
    )  # fmt: skip
    assert text == (
        "For winter sow from 2026-08-21 to 2026-09-04 (by 2026-08-28 to be sure in nine seasons of ten): it stands "
        "grown on 2026-11-21 and keeps to about 2027-01-09. Sowing pays again from 2027-02-06."
    )


def test_picking_through_the_dark() -> None:
    text = year_sentence(
        YearWords("pick", sow_from=SOW_FROM, sow_by=SOW_BY, stands_from=DARK, stands_to=SPRING,
                  picking_dark=(44.6, 90.2), picking_most_g_m2_week=310.0, plants_per_meal_count=11.6)
    )  # fmt: skip
    assert text == (
        "For winter sow from 2026-08-21 to 2026-09-04. From plants that stand grown on 2026-11-21 pick week by week: "
        "some 45-90 g per m² and week through the dark, up to 310 g per m² and week later, to "
        "2027-04-09; 12 plants give a serving a week in the leanest month."
    )


def test_a_winter_that_was_missed() -> None:
    text = year_sentence(YearWords("root", sow_by=date(2027, 6, 14), stands_from=DARK, stands_to=SPRING))
    assert text == (
        "If it was sown in time it stands grown on 2026-11-21 and keeps to about 2027-04-09. "
        "Too late now for the winter ahead; for the one after it sow by 2027-06-14."
    )


def test_waste_and_the_dearest_week() -> None:
    text = year_sentence(
        YearWords(
            "cut", waste=((date(2026, 10, 10), date(2026, 12, 18)),), dearest=date(2026, 9, 12), dearest_cost_d=17.4
        )
    )
    assert text == (
        "Do not be late around 2026-09-12: one week's delay then costs 17 days. "
        "Not worth sowing from 2026-10-10 to 2026-12-18: waiting costs little or nothing."
    )


def test_nothing_to_say_is_said() -> None:
    assert year_sentence(YearWords("head")).startswith("No sowing for winter here")
    assert year_sentence(YearWords("head", always=True)).startswith("No dark to beat here")


def test_trays() -> None:
    assert tray_sentence(TrayWords(8, 8, 2, 2, (), True)) == (
        "All year a tray takes 8 days, by warmth and not by light; for one a week keep 2 going."
    )
    some = tray_sentence(TrayWords(20, 44, 3, 7, ((SOW_FROM, SOW_BY),), False))
    assert some.startswith("Started from 2026-08-21 to 2026-09-04, a tray takes 20 to 44 days")
    assert "keep 3-7 going" in some
    assert tray_sentence(None).startswith("Too cold for trays")


def test_routes() -> None:
    both = RouteWords("in the cellar", SOW_BY, date(2026, 10, 2), 24, date(2027, 1, 2), date(2027, 1, 30), False)
    assert route_sentence(both) == (
        "Raised in the cellar: sow by 2026-09-04, set out by 2026-10-02, which leaves the bed free 24 days longer. "
        "After the dark: sow there from 2027-01-02, set out from 2027-01-30."
    )
    assert route_sentence(RouteWords("in the cellar", None, None, None, None, None, False)) == (
        "Raising it in the cellar does not bring it in either."
    )
    drawn = RouteWords("on the sill", SOW_BY, date(2026, 10, 2), None, None, None, True)
    assert "drawn" in route_sentence(drawn)


def test_threats() -> None:
    spans = ((SOW_FROM, SOW_BY),)
    assert flag_sentences([("bolts", spans), ("hot", ())], 52) == (
        "Sown from 2026-08-21 to 2026-09-04 it runs to flower before it is ready.",
    )
    year = ((date(2026, 8, 1), date(2027, 7, 30)),)
    assert flag_sentences([("chilled", year)], 52) == ("Sown in any week nights chill it before it is ready.",)


def test_weeks_too_warm_for_seed_are_told() -> None:
    spans = ((date(2027, 5, 5), date(2027, 9, 7)),)
    assert flag_sentences([("seed", ())], 52) == ()
    assert flag_sentences([("seed", spans)], 52) == (
        "Sown from 2027-05-05 to 2027-09-07 the seed lies too warm to come up: start it somewhere cooler.",
    )


def test_a_window_of_a_day_or_two_is_one_date() -> None:
    text = year_sentence(YearWords("head", sow_from=date(2026, 9, 3), sow_by=SOW_BY))
    assert text == "For winter sow about 2026-09-04."
