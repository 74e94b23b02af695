import numpy as np
import pytest

from tenhour.errors import OutOfRange
from tenhour.model.crop import Climate, Crop, Fact, Harvest, Light, Sourced, growth_columns, honesty


def number(value: float = 1.0, mark: str = "read", source: str = "X") -> Sourced:
    return Sourced(value, value - 1, value + 1, source, mark)


def tomato() -> Crop:
    return Crop("tomato", "tomato", "fruiting", Climate(number(0.0)), Light(dli_min_mol_m2_d=number(20.0, "judgement")))


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((5.0, 6.0, 7.0, "X", "read"), "value: 5.0 is outside 6.0 to 7.0"),
        ((float("nan"), 0.0, 1.0, "X", "read"), "value"),
        ((0.5, 0.0, 1.0, "X", "guess"), "mark: 'guess' is none of"),
        ((0.5, 0.0, 1.0, "", "read"), "source"),
    ],
)
def test_a_number_is_checked_on_entry(arguments: tuple[float, float, float, str, str], message: str) -> None:
    with pytest.raises(OutOfRange, match=message):
        Sourced(*arguments)


def test_a_way_needs_its_sections() -> None:
    with pytest.raises(OutOfRange, match="needs emergence, growth, harvest"):
        Crop("x", "x", "cut", Climate(number(0.0)), Light())
    with pytest.raises(OutOfRange, match="'boiled' is none of"):
        Crop("x", "x", "boiled", Climate(number(0.0)), Light())
    with pytest.raises(OutOfRange, match="harvest needs target_g or leaves_count"):
        Crop(
            "x", "x", "fruiting", Climate(number(0.0)), Light(), harvest=Harvest(number(9.0), number(1.0), number(1.0))
        )


def test_fruit_has_no_columns_and_says_so() -> None:
    with pytest.raises(OutOfRange, match="no growth numbers, because of their way of cropping: tomato"):
        growth_columns([tomato()])
    assert not tomato().grows_by_carbon
    assert not tomato().grows_by_reserves


def test_honesty_counts_numbers_and_findings() -> None:
    fact = Fact("dli", "", "20", "mol", "X", "read")
    counted = honesty([tomato()], [fact])
    assert counted.count == 3
    assert counted.count_by_mark["read"] == 2
    assert np.isclose(counted.judgement_share, 1 / 3)
    assert honesty([]).judgement_share == 0.0
    assert [key for key, _ in tomato().numbers()] == ["climate.kill_degc", "light.dli_min_mol_m2_d"]
