import numpy as np
import pytest

from tenhour.growth.flags import bolting_d, first_day_above, heat_bolting_d, nights_below

NAN = float("nan")


def year(low: float, high: float) -> np.ndarray:
    """One bed whose value swings from low on 1 January to high at midsummer."""
    return (low + (high - low) * (1 - np.cos(2 * np.pi * np.arange(365) / 365)) / 2)[None]


def test_nights_below_counts_the_span_only() -> None:
    night = np.full((1, 365), 5.0)
    night[0, 10:20] = -6.0
    found = nights_below(night, [-4.0, -10.0, NAN], [0, 5, 30], 0.0, 15.0)
    assert found[0, 0].tolist() == [5.0, 10.0, 0.0]
    assert found[1:].sum() == 0.0


def test_spinach_stays_leafy_under_13_hours_and_bolts_under_16() -> None:
    # HortScience 36(5):889 (2001): plugs at 10 h did not bolt, at 16 h more than 85 % did; 13 h stayed leafy
    for hours, bolts in ((10.0, False), (13.0, False), (16.0, True)):
        found = bolting_d(np.full((1, 365), hours), year(15, 15), [0], limit_h=[13.5], cold_degc=[NAN], cold_d=[NAN])
        assert np.isfinite(found.item()) == bolts


@pytest.mark.parametrize(("temp", "bolts"), [(10.0, True), (18.0, False)])
def test_celery_bolts_at_ten_degrees_and_not_at_eighteen(temp: float, bolts: bool) -> None:
    # Glasshouse celery sown in November: bolts at 10, some at 14, vegetative at 18 °C (1990)
    found = bolting_d(
        year(9, 16), np.full((1, 365), temp), [310], limit_h=[NAN], cold_degc=[14.0], cold_d=[10.0], grown_d=60.0
    )
    assert np.isfinite(found.item()) == bolts
    if bolts:
        assert found.item() == 69.0  # ten cold days counted from the end of youth


def test_biennials_need_cold_first_and_long_days_after() -> None:
    warm = bolting_d(year(9, 17), year(15, 22), [250], limit_h=[13.0], cold_degc=[10.0], cold_d=[42.0])
    cold = bolting_d(year(9, 17), year(2, 20), [250], limit_h=[13.0], cold_degc=[10.0], cold_d=[42.0])
    assert np.isnan(warm.item())
    day = (250 + cold.item()) % 365
    assert 60 < day < 180  # the following spring, not the autumn of sowing
    assert year(9, 17)[0, int(day)] >= 13.0


def test_crops_without_a_rule_never_bolt() -> None:
    found = bolting_d(year(9, 20), year(2, 20), [0, 100], limit_h=[NAN], cold_degc=[NAN], cold_d=[NAN])
    assert np.isnan(found).all()


def test_lettuce_runs_to_flower_by_heat() -> None:
    # Iwama & Motai 1954: 1500-1700 °C d above 5 °C to flower buds
    found = heat_bolting_d(np.full((1, 365), 20.0), [0], [5.0, NAN], [1500.0, NAN])
    assert found[0, 0, 0] == 100.0
    assert np.isnan(found[1]).all()


def test_onion_seedlings_bulb_under_fourteen_lamp_hours() -> None:
    # Oregon State University Extension 2006: long-day types bulb at 14 h or more
    lamps, short = np.full((1, 365), 16.0), np.full((1, 365), 12.0)
    assert first_day_above(lamps, [14.0], [0], 5.0, 70.0).item() == 5.0
    assert np.isnan(first_day_above(short, [14.0], [0], 5.0, 70.0).item())
    assert np.isnan(first_day_above(lamps, [NAN], [0], 5.0, 70.0).item())
