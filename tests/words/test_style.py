"""Units and dates for readers: factors against NIST SP 811 (2008), tables B.8; dates against ISO 8601."""

from __future__ import annotations

from datetime import date

import pytest

from tenhour.words.style import QUANTITIES, Style, date_text, quantity_text, short_date

US = Style(us_units=True)
METRIC = Style()

# NIST SP 811 (2008), appendix B.8: factor from the customary unit to SI, seven digits as printed (exact ones in full).
NIST = (
    ("length", 1.0, "ft", 0.3048),
    ("area", 1.0, "ft2", 9.290304e-2),
    ("seed", 1000.0, "oz", 28.34952),  # the table gives kilograms
    ("yield", 1.0, "lb_ft2", 4.882428),
)


@pytest.mark.parametrize(("kind", "si", "suffix", "per_unit"), NIST, ids=lambda item: str(item))
def test_factors_are_those_of_the_standard(kind: str, si: float, suffix: str, per_unit: float) -> None:
    quantity = QUANTITIES[kind]
    assert quantity.us_suffix == suffix
    assert quantity.in_style(si, US) * per_unit == pytest.approx(si, rel=2e-7)  # half the last of seven printed digits


def test_temperature_fixed_points() -> None:
    # ITS-90 ice and steam points and the crossing of the scales, by definition of the Fahrenheit scale.
    for degc, degf in ((0.0, "32 °F"), (100.0, "212 °F"), (-40.0, "-40 °F")):
        assert quantity_text("temp", degc, US) == degf
    assert quantity_text("temp_difference", 10.0, US) == "18.0 °F"


def test_picking_follows_from_pound_and_foot() -> None:
    grams = 453.59237 / 0.3048**2  # one pound on a square foot
    assert QUANTITIES["picking"].in_style(grams, US) == pytest.approx(16.0, abs=1e-9)
    assert QUANTITIES["yield_day"].in_style(grams, US) == pytest.approx(16.0, abs=1e-9)


def test_light_keeps_its_trade_unit_everywhere() -> None:
    assert quantity_text("dli", 12.34, US) == quantity_text("dli", 12.34, METRIC) == "12.3 mol m⁻² d⁻¹"


def test_spreadsheet_names_follow_the_numbers() -> None:
    assert QUANTITIES["temp"].key("night_degc", US) == "night_degf"
    assert QUANTITIES["yield"].key("yield_kg_m2", US) == "yield_lb_ft2"
    assert QUANTITIES["temp"].key("night_degc", METRIC) == "night_degc"


def test_no_minus_zero_and_a_dash_for_nothing() -> None:
    assert quantity_text("temp", -0.2, METRIC) == "0 °C"
    assert quantity_text("temp", None, METRIC) == "-"


def test_dates() -> None:
    on = date(2027, 1, 5)
    assert [date_text(on, Style(dates=style)) for style in ("iso", "long", "us")] == [
        "2027-01-05",
        "5 Jan 2027",
        "Jan 5, 2027",
    ]
    assert date_text(None, METRIC) == "-"
    assert [short_date(on, Style(dates=style)) for style in ("iso", "long", "us")] == ["01-05", "5 Jan", "Jan 5"]


@pytest.mark.parametrize(
    ("name", "shown"),
    # Unicode CLDR, medium date of each locale; the POSIX locale is American there.
    [("de_DE.UTF-8", "05.01.2027"), ("en_GB", "5 Jan 2027"), ("fr_FR", "5 janv. 2027"), ("C.UTF-8", "Jan 5, 2027")],
)
def test_locale_dates_leave_the_locale_alone(name: str, shown: str, monkeypatch: pytest.MonkeyPatch) -> None:
    import locale

    before = locale.setlocale(locale.LC_TIME)
    monkeypatch.setenv("LC_ALL", name)
    assert date_text(date(2027, 1, 5), Style(dates="locale")) == shown
    assert locale.setlocale(locale.LC_TIME) == before


def test_an_unknown_locale_writes_the_standard(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("xx_XX", "no-such-thing", ""):
        for key in ("LANGUAGE", "LC_ALL", "LC_TIME", "LANG"):
            monkeypatch.setenv(key, name)
        assert "2027" in date_text(date(2027, 1, 5), Style(dates="locale"))


@pytest.mark.quick
@pytest.mark.parametrize(
    ("kind", "value", "told"),
    [
        ("heat_energy", 3261.4, "3300 kWh"), ("heat_energy", 96.4, "96 kWh"), ("heat_energy", 9.97, "10 kWh"),
        ("heat_energy", 4.24, "4.2 kWh"), ("heat_energy", 0.04, "0.0 kWh"),
        ("heat_power", 2912.0, "2900 W"), ("long_hours", 2446.0, "2400 hours"),
    ],
)  # fmt: skip
def test_heat_that_is_reckoned_is_told_with_two_figures(kind: str, value: float, told: str) -> None:
    """The balance holds a winter's heat to a quarter or so (docs/method/heat.md): a third figure would be made up."""
    assert quantity_text(kind, value, Style()) == told
