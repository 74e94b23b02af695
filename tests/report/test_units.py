"""Units and dates for readers: factors against NIST SP 811 (2008), tables B.8; dates against ISO 8601."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenhour.report.units import (
    DATE_STYLES,
    QUANTITIES,
    Style,
    date_text,
    localise,
    quantity_text,
    short_date,
)

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


def test_locale_dates_leave_the_locale_alone() -> None:
    import locale

    before = locale.setlocale(locale.LC_TIME)
    shown = date_text(date(2027, 1, 5), Style(dates="locale"))
    assert "27" in shown
    assert "5" in shown
    assert locale.setlocale(locale.LC_TIME) == before


@pytest.mark.parametrize(
    ("text", "us"),
    [
        ("Too cold at night: about -3 °C.", "Too cold at night: about 27 °F."),
        ("from 5 to 8 °C", "from 41 to 46 °F"),
        ("5-8 °C", "41-46 °F"),
        ("cooler by 4 °C", "cooler by 7 °F"),
        ("the outdoor mean + 2 °C", "the outdoor mean + 4 °F"),
        ("warmer by 2 K", "warmer by 4 °F"),
        ("hang it 0.3 m up on 5 m²", "hang it 1.0 ft up on 53.8 ft²"),
        ("0.2 cm of snow", "0.1 in of snow"),
        ("2.5 kg m⁻² and 120 g m⁻²", "0.51 lb ft⁻² and 0.39 oz ft⁻²"),
        ("12 g seed", "0.4 oz seed"),
        ("14 mol m⁻² d⁻¹ at 200 µmol m⁻² s⁻¹", "14 mol m⁻² d⁻¹ at 200 µmol m⁻² s⁻¹"),
        ("U 3.5 W m⁻² K⁻¹", "U 3.5 W m⁻² K⁻¹"),
        ("in 15 min, 16 h", "in 15 min, 16 h"),
    ],
)
def test_sentences_in_us_units(text: str, us: str) -> None:
    assert localise(text, US) == us
    assert localise(text, METRIC) == text


@pytest.mark.parametrize(
    ("text", "long"),
    [
        ("ready between 5 Mar and 2 Apr 2027.", "ready between 5 Mar 2027 and 2 Apr 2027."),
        ("ready between 5 Dec 2026 and 2 Apr 2027.", "ready between 5 Dec 2026 and 2 Apr 2027."),
        ("by 2026-09-28", "by 28 Sep 2026"),
        ("no date: 2026-13-40, 12026-01-01", "no date: 2026-13-40, 12026-01-01"),
    ],
)
def test_sentences_with_dates(text: str, long: str) -> None:
    assert localise(text, Style(dates="long")) == long
    assert localise(long, Style(dates="iso")).count("-") >= text.count("Mar") + text.count("Apr")


@settings(deadline=None, derandomize=True, max_examples=100)
@given(st.dates(date(1900, 1, 1), date(2200, 1, 1)), st.sampled_from(DATE_STYLES[:3]))
def test_a_date_goes_there_and_back(on: date, style: str) -> None:
    chosen = Style(dates=style)  # type: ignore[arg-type]
    if style != "us":  # the American form is only written, never read
        assert localise(localise(f"on {on.isoformat()}.", chosen), METRIC) == f"on {on.isoformat()}."
    assert date_text(on, chosen) in localise(f"on {on.isoformat()}.", chosen)


@settings(deadline=None, derandomize=True, max_examples=200)
@given(st.text())
def test_any_text_survives_localising(text: str) -> None:
    assert isinstance(localise(text, Style(True, "us")), str)


@pytest.mark.parametrize(
    ("metric", "us"),
    [
        ("some 68-136 g per m² and week", "some 0.22-0.45 oz per ft² and week"),
        ("up to 1630 g per m² later", "up to 5.34 oz per ft² later"),
        ("12 plants per m²", "1.1 plants per ft²"),
        ("16 a square metre", "1.5 a square foot"),
        ("10-20 g m⁻² d⁻¹", "0.03-0.07 oz ft⁻² d⁻¹"),
        ("3-5 kg of it", "6.6-11.0 lb of it"),
        ("1.5 to 2 m high", "4.9 to 6.6 ft high"),
        ("2.5 mol m⁻² d⁻¹", "2.5 mol m⁻² d⁻¹"),
    ],
)  # fmt: skip
def test_ranges_and_rates_follow_the_reader(metric: str, us: str) -> None:
    # 1 oz = 28.349523125 g and 1 ft = 0.3048 m exactly (NIST SP 811, 2008, appendix B.8); 68 / 28.3495 * 0.0929 = 0.22.
    assert localise(metric, Style(us_units=True)) == us
