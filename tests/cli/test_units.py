"""Whole answers in US units hold no metric number: a sentence that lost its gaps on the way would show one."""

from __future__ import annotations

import re

import pytest

from helpers_cli import tenhour

METRIC = re.compile(r"°C|\d (?:m|cm|mm|kg|g|K)\b(?![⁻²³])|\d m²|g m⁻²|per m²|square metre|\d{4}-\d\d-\d\d")
"""Quantities in SI, but for light, which keeps the units of its trade; and dates as ISO has them."""
COVERS = re.compile(r"\d mm(?= panes|,|\))|\d+ g/m²")
"""Thickness is part of the name of a pane or a fleece."""
ASKED = (
    "sow --on 2027-01-15 --bed front --all",
    "season front --from 2026-09-01 --crop kale --crop pea-shoots --crop tomato-plants",
    "why leaf-lettuce --sown 2027-01-05 --seen 2027-01-25 --bed back",
    "lamps front --crop spinach --from 2027-01-15",
    "light --on 2027-01-15 --map front",
)


@pytest.mark.parametrize("words", ASKED, ids=lambda words: words.split()[0])
def test_no_metric_number_is_left(words: str) -> None:
    done = tenhour(*words.split(), "--units", "us", "--dates", "us", "--cautions")
    assert done.status == 0
    left = [line for line in done.out.splitlines() if METRIC.search(COVERS.sub("", line))]
    assert left == []


def test_the_rule_sees_a_lost_gap() -> None:
    for text in (
        "at 16 °C by day",
        "hang it 0.3 m up",
        "sow 2.4 m² of it",
        "by 2027-01-15",
        "2.0 K warmer",
        "12 g of seed",
    ):
        assert METRIC.search(text)
    assert not METRIC.search("2.5 mol m⁻² d⁻¹ at 187 µmol m⁻² s⁻¹ on Jan 5, 2027")
