"""Numbers with units: against the definitions of the units, and the messages for what is none."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenhour.files.units_text import BadValueError, Quantity

LENGTH = Quantity("length", -1000.0, 1000.0)
TEMPERATURE = Quantity("temperature", -60.0, 45.0)
ANGLE = Quantity("angle", -180.0, 180.0)
TURN = Quantity("angle", 0.0, 360.0)
SHARE = Quantity("fraction", 0.0, 1.0)
LOSS = Quantity("u-value", 0.05, 20.0)


# Foot 0.3048 m and inch 25.4 mm exactly: NIST SP 811 (2008), appendix B.8. Yard 0.9144 m: the same.
@pytest.mark.parametrize(
    ("text", "expected_m"),
    [
        ("9 ft", 2.7432),
        ("9ft", 2.7432),
        ("9 feet", 2.7432),
        ("9'", 2.7432),
        ("1 foot", 0.3048),
        ("6 in", 0.1524),
        ('6"', 0.1524),
        ("6 inches", 0.1524),
        ("9 ft 6 in", 2.8956),
        ("9' 6\"", 2.8956),
        ("9'6.5\"", 2.9083),
        ("5 ft 6", 1.6764),
        ("5'6", 1.6764),
        ("5 feet and 6 inches", 1.6764),
        ("2 yards", 1.8288),
        ("120 cm", 1.2),
        ("35 mm", 0.035),
        ("0.5 km", 500.0),
        ("1.5 m", 1.5),
        (" 1.5m ", 1.5),
        (".5 m", 0.5),
        ("-2 m", -2.0),
        ("−2 m", -2.0),
        ("1e1 m", 10.0),
        ("3 Metres", 3.0),
    ],
)
def test_lengths(text: str, expected_m: float) -> None:
    assert LENGTH(text) == pytest.approx(expected_m, rel=1e-12)


# 32 F is 0 C, 212 F is 100 C, 0 C is 273.15 K, -40 on both scales: NIST SP 811 (2008), appendix B.8.
@pytest.mark.parametrize(
    ("text", "expected_degc"),
    [
        ("68 F", 20.0),
        ("32 °F", 0.0),
        ("-40 F", -40.0),
        ("20 C", 20.0),
        ("20 °C", 20.0),
        ("20 degC", 20.0),
        ("280 K", 6.85),
    ],
)
def test_temperatures(text: str, expected_degc: float) -> None:
    assert TEMPERATURE(text) == pytest.approx(expected_degc, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "expected_deg"),
    [
        ("44.5 N", 44.5),
        ("44.5°N", 44.5),
        ("12 S", -12.0),
        ("89.5 W", -89.5),
        ("15 E", 15.0),
        ("35 deg", 35.0),
        ("35°", 35.0),
    ],
)
def test_angles(text: str, expected_deg: float) -> None:
    assert ANGLE(text) == expected_deg


def test_shares_and_losses() -> None:
    assert SHARE("85 %") == 0.85
    assert LOSS("2.5 W/m2K") == 2.5
    assert LOSS("1 Btu/h/ft2/F") == pytest.approx(5.678, abs=5e-4)  # Btu(IT): NIST SP 811 (2008), appendix B.8


@pytest.mark.parametrize(
    ("quantity", "value", "do"),
    [
        (SHARE, 85, "Did you mean 0.85?"),
        (SHARE, 1.2, "Choose a number within these bounds."),
        (SHARE, "120 %", "Choose a number within these bounds."),
        (Quantity("length", 0.1, 200.0), 480, 'Did you mean "480 cm"? A bare number is in metres.'),
        (TEMPERATURE, 68, 'Did you mean "68 F"? A bare number is in degrees C.'),
        (TURN, -90, "Did you mean 270?"),
        (TURN, 400, "Did you mean 40?"),
        (LENGTH, "9", "Write 9 without quotes, or with its unit."),
        (LENGTH, "1,5 m", 'Did you mean "1.5 m"?'),
        (LENGTH, "9 furlongs", 'Write a number, or text with a unit like "9 ft".'),
        (LENGTH, "1 m 2 m", 'Write a number, or text with a unit like "9 ft".'),
        (LENGTH, "long", 'Write a number, or text with a unit like "9 ft".'),
        (LENGTH, "", 'Write a number, or text with a unit like "9 ft".'),
        (LENGTH, "9" * 60 + " m", 'Write a number, or text with a unit like "9 ft".'),
        (TEMPERATURE, "20 m", 'Write a number, or text with a unit like "68 F".'),
        (LENGTH, True, 'Write a number, or text with a unit like "9 ft".'),
        (LENGTH, None, 'Write a number, or text with a unit like "9 ft".'),
        (LENGTH, [1], 'Write a number, or text with a unit like "9 ft".'),
        (LENGTH, float("nan"), "Choose a number within these bounds."),
        (LENGTH, float("inf"), "Choose a number within these bounds."),
        (LENGTH, 10**400, "Choose a number within these bounds."),
        (LENGTH, "1e400 m", "Choose a number within these bounds."),
    ],
)
def test_what_is_no_quantity(quantity: Quantity, value: object, do: str) -> None:
    with pytest.raises(BadValueError, match="to") as caught:
        quantity(value)
    assert caught.value.do == do
    assert caught.value.allowed == quantity.allowed


@pytest.mark.parametrize("text", ["3 m m", "9 f t", "5 c m", "3 m 4", "9 ft 6 m", "1_6 m", "2 ° C"])
def test_letters_of_a_unit_stand_together(text: str) -> None:
    with pytest.raises(BadValueError, match="-1000 to 1000 m"):
        LENGTH(text)


def test_blanks_are_taken_where_people_write_them() -> None:
    assert TEMPERATURE("68 ° F") == pytest.approx(20.0)
    assert LOSS("2.5 W / m2 K") == 2.5


def test_bounds_are_said_with_their_unit() -> None:
    assert LENGTH.allowed == "-1000 to 1000 m"
    assert TEMPERATURE.allowed == "-60 to 45 degrees C"
    assert SHARE.allowed == "0 to 1"


def test_bare_text_counts_as_si_only_when_asked() -> None:
    assert LENGTH.parse("2.5", bare=True) == 2.5
    with pytest.raises(BadValueError, match="without quotes"):
        LENGTH.parse("2.5")


@settings(deadline=None, derandomize=True, max_examples=200)
@given(st.text(max_size=60) | st.integers() | st.floats() | st.binary() | st.none())
def test_anything_is_a_number_within_bounds_or_refused(value: object) -> None:
    try:
        number = LENGTH(value)
    except BadValueError:
        return
    assert -1000.0 <= number <= 1000.0


@settings(deadline=None, derandomize=True, max_examples=100)
@given(st.floats(0.01, 600.0))
def test_feet_there_and_back(feet: float) -> None:
    assert LENGTH(f"{feet:.6f} ft") == pytest.approx(float(f"{feet:.6f}") * 0.3048, abs=1e-8)
