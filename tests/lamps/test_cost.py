"""Energy and money as sums over the clock."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from helpers_lamps import cases
from tenhour.lamps import cost, timer
from tenhour.lamps.timer import Window


@cases("lamps_cost.csv")
def test_running_cost_of_plant_lights(row: dict[str, str]) -> None:
    power, hours, price = (float(row[k]) for k in ("power_w", "lit_h", "price"))
    assert float(cost.energy_kwh(power, 1.0)) * price == pytest.approx(float(row["expected_h"]), abs=5e-8)
    rounding = 5e-8 * hours  # the source multiplies its rounded hourly cost
    assert float(cost.energy_kwh(power, hours)) * price == pytest.approx(float(row["expected_day"]), abs=rounding)
    days = [date(2026, 1, 1) + timedelta(days=n) for n in range(30)]
    slots = timer.run_slots_s(days, [[Window(6.0, 6.0 + hours)]] * 30, "America/Detroit")
    bill = cost.bill(slots, power, np.full(24, price), "America/Detroit")
    assert bill.cost_currency == pytest.approx(float(row["expected_month"]), abs=0.006)


def test_energy_is_the_sum_over_the_clock_across_change_days() -> None:
    first = date(2026, 10, 1)
    days = [first + timedelta(days=n) for n in range(200)]
    windows = [[Window(5.0, 8.25), Window(16.5, 21.0)] if d.month != 12 else [Window(22.0, 30.0)] for d in days]
    slots = timer.run_slots_s(days, windows, "Europe/Berlin")
    bill = cost.bill(slots, 240.0, None, "Europe/Berlin")
    by_clock = sum(w.off_h - w.on_h for today in windows for w in today) * 0.24
    assert bill.energy_kwh == pytest.approx(by_clock, rel=1e-12)
    assert bill.month_energy_kwh.sum() == pytest.approx(bill.energy_kwh, rel=1e-12)
    assert np.isnan(bill.cost_currency)
    over_change = timer.run_slots_s([date(2026, 10, 24)], [[Window(22.0, 30.0)]], "Europe/Berlin")
    assert cost.bill(over_change, 1000.0, None, "Europe/Berlin").energy_kwh == pytest.approx(9.0)


def test_time_of_use_prices_follow_the_local_hour() -> None:
    prices = np.zeros(24)
    prices[7] = 1.0
    slots = timer.run_slots_s([date(2026, 6, 1)], [[Window(6.5, 8.5)]], "America/Anchorage")
    bill = cost.bill(slots, 1000.0, prices, "America/Anchorage")
    assert bill.cost_currency == pytest.approx(1.0)
    assert bill.month_cost_currency[5] == pytest.approx(1.0)


def test_no_hours_cost_nothing() -> None:
    bill = cost.bill(timer.run_slots_s([], [], "UTC"), 100.0, np.ones(24), "UTC")
    assert bill.energy_kwh == 0.0
    assert bill.cost_currency == 0.0


def test_heat_and_warming() -> None:
    """300 W warm a house that loses 102 W/K by 2.9 K, one that loses 252 W/K by 1.2 K (derived, steady state)."""
    assert float(cost.heat_w(300.0, closed=True)) == 300.0
    assert float(cost.heat_w(300.0, closed=False)) == pytest.approx(270.0)
    assert float(cost.warming_k(300.0, 102.0)) == pytest.approx(2.9, abs=0.05)
    assert float(cost.warming_k(300.0, 252.0)) == pytest.approx(1.2, abs=0.05)
