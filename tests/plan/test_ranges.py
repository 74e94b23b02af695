"""Medians and ranges over draws: a draw that never gets there counts as longer than any."""

from __future__ import annotations

import numpy as np
import pytest

from tenhour.plan.ranges import at_share, median_days, percentile_days, sorted_draws


def test_shares_lie_on_a_straight_line_between_draws() -> None:
    draws = np.array([30.0, 10.0, 20.0, 40.0, 50.0])
    assert median_days(draws) == 30.0
    assert at_share(sorted_draws(draws), 0.1) == pytest.approx(14.0)
    assert percentile_days(draws, 90) == 46
    values = np.linspace(3.0, 80.0, 15)
    assert at_share(values, 0.9) == pytest.approx(np.percentile(values, 90))


def test_a_never_is_longer_than_any() -> None:
    draws = np.array([[10.0, np.nan, 20.0], [np.nan, 10.0, np.nan]])
    assert median_days(draws)[0] == 20.0
    assert np.isnan(median_days(draws)[1])
    assert percentile_days(draws[0], 90) is None
    assert percentile_days(draws[0], 10) == 12
