"""Prices and shelf sizes as people type them."""

from __future__ import annotations

import pytest

from tenhour.errors import FileProblem
from tenhour.files.lamp_words import parse_price, parse_shelf


def test_flat_prices() -> None:
    for text, price, currency in (("0.30 EUR", 0.3, "EUR"), ("0,25€", 0.25, "€"), ("12", 12.0, "")):
        tariff = parse_price(text)
        assert tariff.flat
        assert tariff.prices[0] == price
        assert tariff.currency == currency


def test_cheap_hours_wrap_midnight() -> None:
    tariff = parse_price("0.32 EUR; 23-7=0.14; 17:00-19:00=0.45")
    assert not tariff.flat
    assert [hour for hour in range(24) if tariff.prices[hour] == 0.14] == [0, 1, 2, 3, 4, 5, 6, 23]
    assert [hour for hour in range(24) if tariff.prices[hour] == 0.45] == [17, 18]
    assert parse_price("0.3; 0-24=0.1").prices == (0.1,) * 24


def test_bad_prices_are_told_at_once() -> None:
    with pytest.raises(FileProblem, match="allowed: a price like") as caught:
        parse_price("dear; 7=0.1; 5-6=0.2")
    assert len(caught.value.problems) == 2
    with pytest.raises(FileProblem, match="below 1000"):
        parse_price("5000")


def test_shelf_sizes() -> None:
    assert parse_shelf("0.5x1.2") == (1.2, 0.5)
    assert parse_shelf("4ft x 2ft") == pytest.approx((1.2192, 0.6096))
    assert parse_shelf("120 cm × 60 cm") == pytest.approx((1.2, 0.6))
    with pytest.raises(FileProblem, match="allowed: length x width"):
        parse_shelf("1.2")
    with pytest.raises(FileProblem, match=r"allowed: 0\.05 to 20 m") as caught:
        parse_shelf("wide x 99")
    assert len(caught.value.problems) == 2
