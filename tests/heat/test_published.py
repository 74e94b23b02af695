"""Ground, films, wood and vapour against tables and measurements from outside."""

from __future__ import annotations

import csv
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import psychrolib
import pytest

import helpers_heat as h
from tenhour.files import packaged
from tenhour.files.covers import shipped_covers
from tenhour.heat import balance, films, fire, ground, moist
from tenhour.heat import build as parts
from tenhour.sky.extremes import extremes_of
from tenhour.year.warm.heathouse import LEAK_PER_H
from tenhour.year.warm.helps import CURTAIN_M2_K_W

ROWS = list(csv.DictReader((Path(__file__).parents[1] / "published" / "heat_checks.csv").read_text().splitlines()))

FILM_CURTAIN_M2_K_W = 0.17
"""Of a dry film with the still air above it: two films of still air, 0.11-0.20."""


def close(found: float, row: dict[str, str]) -> bool:
    wanted = float(row["expected"])
    tol = max(float(row["tol_abs"] or 0.0), abs(wanted) * float(row["tol_rel"] or 0.0))
    return abs(found - wanted) <= tol


def rows(start: str) -> list[dict[str, str]]:
    found = [row for row in ROWS if row["id"].startswith(start)]
    assert found
    return found


def test_the_slab_formula_meets_all_65_values_of_the_floor_table() -> None:
    table = rows("ground-")
    assert len(table) == 65
    for row in table:
        edge, floor = re.findall(r"P/A = ([\d.]+).*R = ([\d.]+)", row["inputs"])[0]
        assert close(float(ground.slab_u_w_m2_k(float(edge), float(floor), 1.5, 0.3)), row), row["id"]


def test_wood_gives_what_the_table_of_a_stove_says() -> None:
    for row in rows("wood-net"):
        moisture = float(re.findall(r"[\d.]+", row["inputs"])[0])
        assert close(float(fire.wood_kwh_kg(moisture)), row), row["id"]


def test_saturation_is_that_of_psychrolib() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    temps = np.arange(-40.0, 45.1, 2.5)
    expected = [psychrolib.GetSatVapPres(float(t)) for t in temps]
    # one set of formulas: only the freezing point (triple point there, 0 °C here) and rounding differ
    np.testing.assert_allclose(moist.saturation_pa(temps), expected, rtol=2e-4)
    row = rows("psat-20")[0]
    assert close(float(moist.saturation_pa(20.0)), row)


def test_wet_ground_evaporates_as_priestley_and_taylor_have_it() -> None:
    """Δ of FAO 56, table 2.4 of its annex [kPa/K]: 0.082 at 10, 0.145 at 20 °C; γ 0.066 (from memory)."""
    for temp, slope_kpa in ((10.0, 0.082), (20.0, 0.145)):
        ratio = slope_kpa / 0.066
        assert float(moist.vapour_slope_ratio(temp)) == pytest.approx(ratio, rel=0.02)
        assert float(moist.evaporating_frac(temp)) == pytest.approx(1.26 * ratio / (1.0 + ratio), rel=0.01)
    assert (np.diff(moist.evaporating_frac(np.arange(-10.0, 31.0))) > 0.0).all()


def test_dew_point_of_a_damp_house() -> None:
    row = rows("dew-8-90")[0]
    at = np.interp(0.9 * moist.saturation_pa(8.0), moist.saturation_pa(np.arange(0, 20, 0.1)), np.arange(0, 20, 0.1))
    assert close(float(at), row)


def k_w_m2_k(wind: float, sky_below_k: float, curtain: float = 0.0) -> float:
    """Heat through the covers and draughts of a small glasshouse whose soil is as warm as its air, per cover area."""
    none = np.zeros(0)
    warm = ground.Column(1e12, none, none, none, none)
    base = h.house(skin=h.skin(films.LEAST_PANE_M2_K_W))
    build = replace(base, zones=(base.zones[0]._replace(column=warm, area_m2=21.6, damp_w_m2_k=parts.DAMP_W_M2_K),))
    made = h.drive(build, 240, 1)
    flat = np.zeros((240, 1))
    made = replace(
        made, temp_out_degc=flat, temp_sky_degc=flat - sky_below_k, wind_m_s=flat + wind,
        zone_sun_w=made.zone_sun_w * 0.0, skin_sun_w_m2=made.skin_sun_w_m2 * 0.0, set_degc=10.0,
        extra_m2_k_w=np.full((240, 6), curtain),
    )  # fmt: skip
    begin = parts.State(np.full((1, 2), 10.0), np.zeros((1, 0)), np.zeros((1, 1)))
    account = balance.run_accounted(build, made, begin)[1]
    return -float(account["covers_w"][0] + account["leak_w"][0]) / 10.0 / float(build.skin.area_m2.sum())


# Not met: bare covers at 3 and 5 m/s, and film curtains at 3 m/s behind PE, 2-25 % above the range. Their houses leaked
# more in wind than the ordinary one here, and dry film lets heat rays through (docs/method/heat.md).
WINDY = {"k-glass-3", "k-glass-5", "k-pvc-3", "k-pvc-5", "k-glass+pe-3", "k-pvc+pe-3"}


@pytest.mark.parametrize(
    "row", [r for r in ROWS if r["id"].startswith("k-") and r["id"] not in WINDY], ids=lambda r: r["id"]
)
def test_a_house_loses_at_night_what_was_measured_under_a_sky_that_was_not_stated(row: dict[str, str]) -> None:
    """Between overcast (the sky 3 K below the air) and clear (22 K below, a dry night near 0 °C)."""
    wind = float(re.findall(r"wind (\d)", row["inputs"])[0])
    curtain = 0.0 if "+" not in row["id"] else FILM_CURTAIN_M2_K_W
    measured, tol = float(row["expected"]), float(row["tol_rel"])
    low, high = (k_w_m2_k(wind, below, curtain) for below in (3.0, 22.0))
    assert low * (1.0 - tol) <= measured <= high * (1.0 + tol), (low, measured, high)
    assert high < 2.2 * low


@pytest.mark.parametrize("row", [r for r in ROWS if r["id"] in WINDY], ids=lambda r: r["id"])
def test_windy_nights_lose_less_here_than_was_measured(row: dict[str, str]) -> None:
    """How far the named rows are off: four tenths at most (PVC in wind), and on the side that is told."""
    wind = float(re.findall(r"wind (\d)", row["inputs"])[0])
    clear = k_w_m2_k(wind, 22.0, 0.0 if "+" not in row["id"] else FILM_CURTAIN_M2_K_W)
    assert 0.6 <= clear / float(row["expected"]) < 1.0


def test_savings_of_screens_and_of_a_second_film() -> None:
    """Named: none meets its row, all lie within 0.12 of it (0.36, 0.46, 0.23 for 0.30, 0.55, 0.34).

    The rows are of hot boxes and of another model; here a house has draughts and a sky that neither screen nor second
    film keeps off. By the catalogue's own covers, half clear, at 1 m/s.
    """
    catalogue = shipped_covers()
    film, double, screen = (catalogue[key].u_w_m2_k for key in ("film-1", "film-2", "energy-screen"))
    assert film is not None
    assert double is not None
    assert screen is not None
    bare = k_w_m2_k(1.0, 12.0)
    more = {"screen-hotbox": 1.0 / screen, "screen-alu": CURTAIN_M2_K_W, "double-glazing": 1.0 / double - 1.0 / film}
    for row, resistance in more.items():
        assert 1.0 - k_w_m2_k(1.0, 12.0, resistance) / bare == pytest.approx(float(rows(row)[0]["expected"]), abs=0.12)


def test_draughts_lie_about_what_tracer_gas_found() -> None:
    """Ten commercial houses, 0.34 to below 1 change an hour: between the tight house in a calm and the ordinary one."""
    row = rows("ach-commercial")[0]
    tight, ordinary = LEAK_PER_H["tight"], LEAK_PER_H["ordinary"]
    wind = 2.0
    assert close((tight[0] + ordinary[0]) / 2.0 + (tight[1] + ordinary[1]) / 2.0 * wind, row)


def test_design_cold_of_yellowknife() -> None:
    """Named: by its coldest month and the span of its year 2 to 5 K colder than ASHRAE publishes.

    One of the coldest places, twice the error of 45 stations (2.3 and 2.6 K), to the safe side; tests/sky has the 45.
    """
    span = 42.6
    found = extremes_of(np.linspace(-25.5, -25.5 + span, 12), packaged.weather_hours()["cold"])
    row_99, row_996 = (next(row for row in ROWS if row["id"] == name) for name in ("yk-99", "yk-99.6"))
    assert 2.0 < float(row_996["expected"]) - found.temp_996_degc < 5.0
    assert 2.0 < float(row_99["expected"]) - found.temp_99_degc < 5.0


def test_every_row_says_which_test_holds_it_or_why_none_does() -> None:
    there = "".join(path.read_text("utf-8") for path in Path(__file__).parents[1].rglob("test_*.py"))
    for row in ROWS:
        assert row["test"].startswith("none: ") or f"def {row['test']}(" in there, row["id"]


def test_saving_of_a_film_curtain() -> None:
    """Of polyethylene; a PVC curtain saved 0.37, less heat rays pass it."""
    row = rows("save-pe")[0]
    bare, hung = (k_w_m2_k(1.0, 12.0, r) for r in (0.0, FILM_CURTAIN_M2_K_W))
    assert close(1.0 - hung / bare, row), 1.0 - hung / bare


def test_soil_outdoors_is_calmer_and_later_the_deeper() -> None:
    day = np.arange(365)
    air = 8.0 - 10.0 * np.cos(2 * np.pi * (day - 20) / 365)
    soil = ground.soil_year_degc(air, [0.0, 1.0, 2.0])
    np.testing.assert_allclose(soil[:, 0], air, atol=1e-9)
    # Kusuda & Achenbach 1965: damping depth √(2a/ω) = 2.34 m for a = λ/c = 5.5e-7 m² s⁻¹
    depth = np.sqrt(2 * 1.2 / 2.2e6 * 365 * 86400 / (2 * np.pi))
    assert np.ptp(soil[:, 2]) == pytest.approx(20.0 * np.exp(-2.0 / depth), rel=1e-3)
    assert soil[:, 2].argmin() - 20 == pytest.approx(2.0 / depth * 365 / (2 * np.pi), abs=1.0)


def test_a_board_round_the_edge_saves_a_third_of_the_loss() -> None:
    """0.6 m deep, 1.5 m² K/W on a house of 6 x 3.6 m: the trade halves F from 1.38 to 0.69 W/m K (from memory)."""
    whole = float(ground.slab_u_w_m2_k(19.2 / 21.6)) * 21.6
    saved = -ground.edge_board_w_m_k(0.6, 1.5) * 19.2
    assert 0.2 < saved / whole < 0.55


def test_a_heat_pump_gives_less_in_the_cold() -> None:
    assert (np.diff(fire.pump_ratio(np.array([-30.0, -15.0, 0.0, 10.0]))) > 0.0).all()


def test_a_column_carries_what_the_floor_table_says() -> None:
    for loss in (0.2, 0.5, 1.0, 1.2):
        column = ground.soil_column(loss)
        assert column.steady_w_m2_k() == pytest.approx(1.0 / (1.0 / loss - ground.INSIDE_M2_K_W), rel=1e-6)
    assert column.depth_m[ground.SEED_LAYER] == pytest.approx(0.055, abs=0.01)


def test_temperatures_lie_between_air_and_outdoors() -> None:
    build = h.house(skin=h.skin(float(films.pane_resistance_m2_k_w(6.2))))
    made = h.drive(build, 24 * 60, 1, set_degc=10.0)
    made = replace(made, zone_sun_w=made.zone_sun_w * 0.0, skin_sun_w_m2=made.skin_sun_w_m2 * 0.0)
    found = balance.run(build, made)
    air, cold = found.air_degc, made.temp_out_degc < 5.0
    assert (found.cover_degc < air[..., None])[cold].all()
    assert (found.leaf_degc[..., 0] <= air + 1e-9)[cold].all()
    assert np.std(found.soil_degc[..., 0]) < np.std(found.zone_degc[..., 0])


def test_wind_takes_heat_off_a_pane_as_measured_on_a_plate() -> None:
    """h = 2.8 + 3.0 v (Watmuff, Charters & Proctor 1977, from memory)."""
    assert films.wind_film_w_m2_k([0.0, 1.0, 5.0]) == pytest.approx([2.8, 5.8, 17.8])


def test_the_constant_of_radiation_is_that_of_the_tables() -> None:
    """CODATA 2018 as scipy has it."""
    from scipy.constants import Stefan_Boltzmann

    from tenhour.heat.films import STEFAN_W_M2_K4

    assert pytest.approx(Stefan_Boltzmann, rel=1e-6) == STEFAN_W_M2_K4
