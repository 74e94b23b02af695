"""The whole lamp answer on made-up beds: identities, order, honesty, household cases."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import lru_cache

import numpy as np
import pytest

from tenhour.errors import FileProblem, NoAnswer
from tenhour.files.lamp_kinds import load_cautions, load_kinds
from tenhour.lamps.layout import BedSize
from tenhour.model.lamp import Circuit, LampNeed, LampRequest, Tariff
from tenhour.model.lamp_answer import LampAnswer
from tenhour.model.results import Basis
from tenhour.plan import lighting
from tenhour.plan.lamp_clock import SunClock
from tenhour.plan.lamp_hang import Place
from tenhour.plan.lamp_job import BedUnderLamps, dark_bed

TODAY = date(2026, 11, 25)
DAY = np.arange(365)
TYPICAL = 9 - 7 * np.cos(2 * np.pi * (DAY - 354) / 365)
CLASSES = TYPICAL[:, None] * np.array([0.4, 0.7, 1.0, 1.3, 1.6, 0.55, 1.4])
LENGTH = 12 - 5 * np.cos(2 * np.pi * (np.arange(12) * 30.4 + 15 - 354) / 365)
SUN = SunClock(12 - LENGTH / 2 - 0.6, LENGTH + 1.2, 12 - LENGTH / 2, LENGTH, "Europe/London")
NEED = LampNeed("leaf-lettuce", "lettuce", 12.0, longest_h=24.0)
POINTS = np.meshgrid(0.2 + (np.arange(6) + 0.5) / 6 * 2.4, 0.3 + (np.arange(3) + 0.5) / 3 * 0.8)


def made_bed(**changes: object) -> BedUnderLamps:
    place = Place(BedSize(2.4, 0.8), (0.2, 0.3), 0.45, headroom_m=1.4, spare_m=0.2)
    bed = BedUnderLamps(
        "front", place, CLASSES, POINTS[0].ravel(), POINTS[1].ravel(), np.repeat(TYPICAL[:, None], 18, axis=1), SUN,
        loss_w_k=60.0,
    )  # fmt: skip
    return replace(bed, **changes)  # type: ignore[arg-type]


def ask(
    request: LampRequest | None = None, kind: str = "led-bar", bed: BedUnderLamps | None = None, **need: object
) -> LampAnswer:
    wanted = replace(NEED, **need)  # type: ignore[arg-type]
    job = lighting.job_of(bed or made_bed(), [wanted], load_kinds()[kind], request or LampRequest(), TODAY)
    return lighting.answer_of(job, lighting.basis_of(job, Basis({}), load_cautions()), lighting.size_bed(job))


@lru_cache(maxsize=1)
def plain() -> LampAnswer:
    return ask(LampRequest(tariff=Tariff((0.3,) * 24, "EUR", "0.30 EUR")))


def test_the_chain_holds_together() -> None:
    a = plain()
    layout = a.layout
    assert layout is not None
    assert a.missing_dli_mol_m2_d == pytest.approx(a.target_dli_mol_m2_d - a.daylight_dli_mol_m2_d)
    assert a.ppfd_umol_m2_s == pytest.approx(a.missing_dli_mol_m2_d * 1e6 / 3600 / a.hours_h)
    assert a.ppf_umol_s == pytest.approx(a.ppfd_umol_m2_s * a.area_m2 / layout.cu_frac / layout.maintenance_frac)
    assert a.fixtures_count * layout.fixture_ppf_umol_s >= a.ppf_umol_s * 0.995
    assert a.power_w == a.fixtures_count * layout.fixture_w
    assert a.energy_day_kwh == pytest.approx(a.power_w * (a.dim_frac or 1.0) * a.hours_h / 1000)
    assert layout.delivered_ppfd_umol_m2_s >= a.ppfd_umol_m2_s * 0.995
    assert a.circuit.lamps_a == pytest.approx(a.power_w / 230)


def test_the_dull_day_of_the_darkest_month_sets_the_size() -> None:
    """One day in five is duller; 10 % margin on it; the fixtures' shade off (facts of the normals)."""
    a = plain()
    assert a.size_month in (12, 1)
    month = slice(334, 365) if a.size_month == 12 else slice(0, 31)
    assert a.layout is not None
    dull = CLASSES[month, 5].mean() * 0.9 * (1 - a.layout.shade_frac)
    assert a.daylight_dli_mol_m2_d == pytest.approx(dull, rel=1e-9)
    kinds = {row.kind: row for row in a.days}
    assert kinds["dull"].total_dli_mol_m2_d >= a.target_dli_mol_m2_d
    assert kinds["dull"].total_dli_mol_m2_d < kinds["mean"].total_dli_mol_m2_d < kinds["bright"].total_dli_mol_m2_d
    for row in a.days:
        assert row.total_dli_mol_m2_d == pytest.approx(row.daylight_dli_mol_m2_d + row.lamp_dli_mol_m2_d)
        assert row.daylight_dli_mol_m2_d < row.half_dli_mol_m2_d < row.total_dli_mol_m2_d


def test_clock_energy_and_cost_add_up() -> None:
    a = plain()
    assert len(a.clock) == 12
    assert sum(row.energy_kwh for row in a.clock) == pytest.approx(a.energy_season_kwh)
    assert a.cost_season_currency == pytest.approx(0.3 * a.energy_season_kwh)
    assert sum(row.cost_currency or 0.0 for row in a.clock) == pytest.approx(a.cost_season_currency)
    drawn_w = a.power_w * (a.dim_frac or 1.0)
    assert a.energy_season_kwh == pytest.approx(sum(row.days_count * row.lamp_h for row in a.clock) * drawn_w / 1000)
    assert sum(row.days_count for row in a.clock) == (a.off_from - TODAY).days if a.off_from else False
    dark = next(row for row in a.clock if row.month == a.size_month)
    assert dark.lamp_h == pytest.approx(a.hours_h, abs=0.25)
    assert all(row.on is None and row.off is None for row in a.clock if not row.windows)
    assert a.on_from is not None
    assert a.off_from is not None
    assert a.on_from < TODAY < a.off_from
    assert [(c.on, c.shift_h) for c in a.changes] == [(date(2026, 10, 25), -1.0), (date(2027, 3, 28), 1.0)]


def test_no_lamp_day_is_longer_than_the_crop_stands() -> None:
    spinach = ask(longest_h=13.0, bolt_h=13.5)
    for row in spinach.clock:
        if row.windows:
            natural = float(SUN.photoperiod_h[row.month - 1])
            assert row.photoperiod_h <= max(13.0, natural) + 1e-6
            assert row.lit_h <= row.photoperiod_h + 0.26


def test_half_the_lamp_serves_later() -> None:
    a = plain()
    assert a.half_enough_from is not None
    assert a.off_from is not None
    assert TODAY < a.half_enough_from < a.off_from


def test_photons_grams_and_heat() -> None:
    a = plain()
    layout = a.layout
    assert layout is not None
    efficacy = layout.fixture_ppf_umol_s / layout.fixture_w
    assert a.photons_mol_kwh == pytest.approx(3.6 * efficacy * layout.cu_frac * layout.maintenance_frac)
    assert a.heat_w == pytest.approx(0.9 * a.power_w * (a.dim_frac or 1.0))
    assert a.warming_k == pytest.approx(a.heat_w / 60.0)


def test_cautions_come_with_every_answer() -> None:
    text = " ".join(plain().basis.cautions)
    for word in (
        "licensed electrician",
        "local code",
        "RCD",
        "GFCI",
        "IP65",
        "80 %",
        "two supports",
        "look into",
        "stove",
    ):
        assert word in text
    assert "carbon monoxide" not in text
    assert "carbon monoxide" in " ".join(ask(LampRequest(circuit=Circuit(others_w=500.0))).basis.cautions)
    assert "cool 15 minutes" in " ".join(ask(kind="hps").basis.cautions)


def test_an_overloaded_circuit_is_named_first_and_answered_all_the_same() -> None:
    a = ask(LampRequest(circuit=Circuit(120.0, 15.0, 1500.0)))
    assert a.circuit.overloaded
    assert a.basis.warnings[0].startswith("Circuit overloaded: lamps")
    assert "a 20 A circuit would carry it" in a.basis.warnings[0]
    assert a.fixtures_count > 0


def test_hours_asked_for_are_kept_and_surplus_is_dimmed() -> None:
    a = ask(LampRequest(hours_h=10.0))
    assert a.hours_h == 10.0
    assert a.dim_frac is None or 0.3 < a.dim_frac < 0.97
    short = ask(LampRequest(hours_h=5.0))
    assert short.power_w > a.power_w


def test_more_light_wanted_never_takes_fewer_watts() -> None:
    powers = [ask(LampRequest(hours_h=12.0, target_dli_mol_m2_d=dli)).power_w for dli in (6.0, 9.0, 12.0, 15.0)]
    assert powers == sorted(powers)


def test_white_panels_save_power() -> None:
    open_bed = ask(LampRequest(hours_h=12.0))
    white = ask(LampRequest(hours_h=12.0, panels_refl_frac=0.9))
    assert open_bed.layout is not None
    assert white.layout is not None
    assert white.layout.bounced_share > 0.05
    assert white.ppf_umol_s < open_bed.ppf_umol_s
    assert white.layout.cu_frac > open_bed.layout.cu_frac


def test_unevenness_is_admitted_with_what_would_help() -> None:
    a = ask(LampRequest(hours_h=12.0, evenness_frac=0.95, headroom_m=0.4))
    assert a.layout is not None
    assert not a.layout.even_enough
    assert a.layout.min_mean_frac < 0.95
    changes = " ".join(row.change for row in a.remedies)
    assert "white side panels" in changes
    assert "trays turned" in changes


def test_heights_keep_to_headroom_and_clearance() -> None:
    a = ask(LampRequest(headroom_m=0.5))
    assert a.layout is not None
    assert 0.2 <= a.layout.height_m <= 0.5
    assert all(0.2 - 1e-9 <= row.height_m <= 0.5 + 1e-9 for row in a.heights)
    means = [row.ppfd_umol_m2_s for row in a.heights]
    assert means == sorted(means, reverse=True)
    assert sum(row.chosen for row in a.heights) == 1


def test_no_room_for_the_lamp_is_said() -> None:
    low = made_bed(place=Place(BedSize(2.4, 0.8), headroom_m=0.8))
    with pytest.raises(NoAnswer, match=r"needs 90 cm above the leaves and 50 cm below .*only 80 cm are there"):
        ask(kind="hps", bed=low)


def test_lamps_without_a_gap_are_not_sold() -> None:
    bright = made_bed(class_dli_mol_m2_d=CLASSES + 20.0)
    a = ask(bed=bright)
    assert a.fixtures_count == 0
    assert a.layout is None
    assert a.headline.startswith("No lamp is needed over front for lettuce")
    assert a.energy_season_kwh == 0.0
    assert all(row.on is None for row in a.clock)


def test_a_cellar_shelf_burns_all_year_by_day() -> None:
    none = np.zeros(12)
    bed = dark_bed("the shelf", Place(BedSize(1.2, 0.6)), SunClock(none, none, none, none, "Europe/Berlin"), 3)
    a = ask(bed=bed)
    assert a.layout is not None
    assert a.off_from is None
    assert a.daylight_dli_mol_m2_d == 0.0
    assert a.missing_dli_mol_m2_d == 12.0
    assert a.fixtures_count == 3 * a.layout.each_count
    assert a.area_m2 == pytest.approx(3 * 0.72)
    assert {(row.on, row.off) for row in a.clock} == {(a.clock[0].on, a.clock[0].off)}
    assert a.clock[0].lamp_h == pytest.approx(a.hours_h)
    assert sum(row.days_count for row in a.clock) == 365
    assert a.heat_w == pytest.approx(a.power_w * (a.dim_frac or 1.0))
    assert a.sensor_on_umol_m2_s is None
    assert "Every day on" in a.headline


def test_a_polar_night_and_a_midnight_sun_are_answers() -> None:
    dark = np.where(
        (np.arange(12) < 1) | (np.arange(12) > 10),
        0.0,
        np.where((np.arange(12) > 4) & (np.arange(12) < 7), 24.0, LENGTH),
    )
    sun = SunClock(np.zeros(12), dark, np.zeros(12), dark, "Europe/Oslo")
    a = ask(bed=made_bed(sun=sun))
    january = a.clock[0]
    assert january.photoperiod_h == pytest.approx(january.lamp_h)
    assert january.windows


def test_time_of_use_shifts_the_lamps_and_saves() -> None:
    prices = tuple(0.12 if hour < 7 else 0.35 for hour in range(24))
    cheap = ask(LampRequest(hours_h=8.0, tariff=Tariff(prices, "EUR")))
    late = ask(LampRequest(hours_h=8.0, tariff=Tariff((0.35,) * 24, "EUR")))
    assert cheap.cost_season_currency is not None
    assert late.cost_season_currency is not None
    assert cheap.cost_season_currency < 0.75 * late.cost_season_currency
    assert cheap.energy_season_kwh == pytest.approx(late.energy_season_kwh, rel=0.02)


def test_days_asked_about_bound_the_season() -> None:
    request = LampRequest(first=date(2027, 2, 1), last=date(2027, 3, 10))
    a = ask(request)
    assert a.size_month == 2
    assert (a.on_from, a.off_from) == (date(2027, 2, 1), date(2027, 3, 11))
    assert {row.month for row in a.clock if row.windows} == {2, 3}
    assert a.power_w < plain().power_w


def test_the_map_is_the_bed_with_its_lamps() -> None:
    a = plain()
    assert a.map is not None
    assert len(a.map.x_m) == 6
    assert len(a.map.y_m) == 3
    lamp = np.array(a.map.lamp_ppfd_umol_m2_s)
    assert lamp.mean() == pytest.approx(a.ppfd_umol_m2_s, rel=0.12)
    assert (np.array(a.map.dli_mol_m2_d) > lamp * 3600e-6 * a.hours_h).all()


def test_hours_that_harm_are_refused() -> None:
    with pytest.raises(FileProblem, match="up to 17 h for tomato"):
        ask(LampRequest(hours_h=24.0), name="tomato", longest_h=17.0)


def test_a_bed_too_small_for_its_demand_says_so() -> None:
    small = made_bed(place=Place(BedSize(0.5, 0.3), headroom_m=0.6))
    a = ask(LampRequest(hours_h=4.0, target_dli_mol_m2_d=50.0), kind="led-bulb", bed=small)
    assert any(w.startswith("Not enough light") for w in a.basis.warnings)
    assert a.days[0].total_dli_mol_m2_d < 50.0


def test_neighbours_that_see_the_lamps_are_named() -> None:
    near = np.array([[0.5, 1.5, 0.45], [2.0, 1.5, 0.45]])
    above = np.array([[0.5, 0.7, 3.0]])
    a = ask(LampRequest(hours_h=12.0), bed=made_bed(neighbours=(("back", near), ("loft", above))))
    spilled = [warning for warning in a.basis.warnings if warning.startswith("Lamp light spills")]
    assert len(spilled) == 1
    assert "back (" in spilled[0]
    assert "loft" not in spilled[0]
