import numpy as np
import pytest

from tenhour.growth.flags import FULL_H, LONG_DAYS_D, bolting_d, heat_bolting_d

NAN = float("nan")


def year(low: float, high: float) -> np.ndarray:
    """One bed whose value swings from low on 1 January to high at midsummer."""
    return (low + (high - low) * (1 - np.cos(2 * np.pi * np.arange(365) / 365)) / 2)[None]


def test_spinach_stays_leafy_under_13_hours_and_bolts_under_16() -> None:
    # HortScience 36(5):889 (2001): plugs at 10 h did not bolt, at 16 h more than 85 % did; 13 h stayed leafy
    for hours, bolts in ((10.0, False), (13.0, False), (16.0, True)):
        found = bolting_d(np.full((1, 365), hours), year(15, 15), [0], limit_h=[13.5], cold_degc=[NAN], cold_d=[NAN])
        assert np.isfinite(found.item()) == bolts


def test_a_few_long_days_at_the_end_of_summer_bring_no_stalk() -> None:
    """Kim et al. 2000 (HortScience 35:43): short days hold back what long ones began; three weeks are judgement."""
    hours = year(9.0, 16.5)
    limit = {"limit_h": [13.5], "cold_degc": [NAN], "cold_d": [NAN]}
    last_long = int(np.flatnonzero(hours[0] >= 13.5)[-1])
    june, late = bolting_d(hours, year(5, 15), [150, last_long - 9], **limit).ravel()
    assert june == LONG_DAYS_D
    spring = (last_long - 9 + late) % 365
    counts = np.clip((hours[0] - 13.5) / FULL_H, 0.0, 1.0)
    before = counts[last_long - 9 : last_long + 1].sum()  # what the last ten long days before the winter count
    assert 1.0 < before < 10.0
    assert spring == int((before + np.cumsum(counts) > LONG_DAYS_D).argmax())


def test_days_a_little_longer_than_the_limit_count_by_how_far_they_pass_it() -> None:
    # spinach: 13 h not at all, 16 h whole (HortScience 36:889, 2001); between them by degree, as rates of bolting go
    days = [
        bolting_d(np.full((1, 365), hours), year(15, 15), [0], limit_h=[14.5], cold_degc=[NAN], cold_d=[NAN]).item()
        for hours in (14.5 + FULL_H / 2, 14.5 + FULL_H, 20.0)
    ]
    assert days == [2 * LONG_DAYS_D, LONG_DAYS_D, LONG_DAYS_D]


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


def test_days_colder_than_the_base_bring_flowers_no_nearer() -> None:
    """Sixty days at 5.5 degrees above a base of 5, then cold: 30 degree days, and the rest after the cold."""
    temp = np.where(np.arange(365) < 60, 5.5, np.where(np.arange(365) < 160, 2.0, 15.0))[None, :]
    found = heat_bolting_d(temp, [0], [5.0], [330.0])
    assert found.item() == 60 + 100 + 300 / 10


@pytest.mark.parametrize("key", ["corn-salad", "claytonia"])
def test_overwintered_salads_flower_in_late_april_at_52_north(key: str) -> None:
    """Winter salads finish by flowering, mostly in late April (British gardening practice)."""
    from tenhour.files.crop import load_crops

    crop = next(crop for crop in load_crops() if crop.key == key)
    assert crop.bolting is not None
    assert crop.bolting.photoperiod_h is not None
    limit = {"limit_h": [crop.bolting.photoperiod_h.value], "cold_degc": [NAN], "cold_d": [NAN]}
    day = year(9.0, 17.9)  # civil twilight at 52° N, round figures
    flower = (258 + bolting_d(day, year(5, 18), [258], **limit).item()) % 365
    assert 100 <= flower <= 125  # 10 April to 5 May
