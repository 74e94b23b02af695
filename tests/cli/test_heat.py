"""``tenhour heat`` through the command line."""

from __future__ import annotations

import json
from datetime import date
from functools import lru_cache
from itertools import pairwise
from pathlib import Path
from typing import Literal

import pytest

from helpers_cli import tenhour
from helpers_long import many
from tenhour.cli.loading import choose_crops
from tenhour.door import sources_of
from tenhour.files.house.read import house_from_text
from tenhour.model.crop import Crop
from tenhour.model.heat_answer import HeatAnswer
from tenhour.model.house import House
from tenhour.report.heat import heat_text
from tenhour.year.answers import heat
from tenhour.year.outside.sunlight import Sources
from tenhour.year.warm.heathouse import loss_w_k
from tenhour.year.warm.helps import Helps
from tenhour.year.year import Year

HOUSE = """
[site]
latitude_deg = 57.1
longitude_deg = -4.7
elevation_m = 40
[house]
shape = "gable"
length_m = 5
width_m = 3
eaves_m = 1.8
ridge_m = 2.6
cover = "twin-wall-8"
[[bed]]
name = "front"
at_m = [0.2, 0.2]
size_m = [4.6, 0.8]
layers = [{ cover = "fleece", by_day = false }]
[air]
night_set_degc = 3
[[store]]
litres = 400
"""


@pytest.fixture(autouse=True)
def _few(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tenhour.year.answers.heat.WINTERS", COUNT)


COUNT = many(6, 24)
"""Winters that heating is told of."""
STOVE = '[[heater]]\nkind = "stove"\npower_w = 3000\nflue_mm = 120\nefficiency_frac = 0.65\nprice = 0.08\n'


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The house with a stove, as a file."""
    found = tmp_path_factory.mktemp("heat") / "house.toml"
    found.write_text(HOUSE + STOVE)
    return found


def test_a_night_a_winter_and_the_heater(path: Path) -> None:
    done = tenhour("heat", "--house", str(path), "--tonight", "-9", "--on", "2027-01-20", "--json")
    assert done.status == 0, done.err
    answer = json.loads(done.out)
    winter, night, months = answer["winter"], answer["tonight"], answer["months"]
    # a floor of 3 °C holds at all hours, less what a thermostat lets it swing
    assert winter["lowest_air_degc"] == pytest.approx(2.0, abs=0.01)
    assert winter["hours_below_0_h"] == 0
    assert winter["energy_low_kwh"] < winter["energy_kwh"] < winter["energy_high_kwh"]
    assert sum(month["energy_kwh"] for month in months) == pytest.approx(winter["energy_kwh"], rel=0.01)
    assert night["lowest_unheated_degc"] < 0.0 < night["lowest_air_degc"]
    # 0.65 of 4.0 kWh from each kilogram of dry wood
    assert night["wood_kg"] == pytest.approx(night["heat_kwh"] / (0.65 * 4.0), rel=0.02)
    assert night["wood_low_kg"] < night["wood_kg"] < night["wood_high_kg"]
    assert answer["heater"]["hold_degc"] == 3.0
    assert answer["heater"]["power_w"] > 1.2 * night["largest_hour_w"] * 0.8
    assert answer["power_cut"]["floor_degc"] < 0.0
    assert any("carbon monoxide" in text for text in answer["cautions"])
    assert len(answer["cautions"]) >= 4
    # no heater is on electricity, and this place does not freeze on the mean of a month
    assert answer["heater"]["circuit"] is None
    assert {month["melt_kwh"] for month in months} == {None}
    assert {measure["measure"] for measure in answer["measures"]}


@pytest.mark.parametrize("night", [(), ("--tonight", "-9", "--on", "2027-01-20")], ids=["winter", "tonight"])
def test_the_text_fits_a_screen(path: Path, night: tuple[str, ...]) -> None:
    done = tenhour("heat", "--house", str(path), *night)
    assert done.status == 0, done.err
    lines = done.out.splitlines()
    # forty and five: a stove and water have the longest cautions, which are never cut (judgement)
    assert len(lines) <= 45
    assert max(map(len, lines)) <= 80
    assert "carbon monoxide" in " ".join(done.out.split())


@pytest.mark.parametrize(
    ("more", "line"),
    [
        (
            '[[heater]]\nkind = "stove"\npower_w = 3000\n',
            "heater[1]: found a stove without flue_mm and",
        ),
        ('[curtain]\nfaces = ["loft"]\nkind = "night-curtain"\n', '"loft", a face this house has not'),
        ('[curtain]\nfaces = ["roof"]\n', "curtain: found neither kind nor resistance_m2_k_w"),
        ('[heat]\nleak = "tight"\nleak_ach = 0.3\n', "heat.leak_ach: found beside leak"),
        ("[[store]]\nlitres = 200\nat_m = [0.2, 2.2, 0]\n", "no size_m"),
    ],
    ids=["stove", "face", "curtain", "leak", "store"],
)
def test_one_line_for_what_cannot_be(tmp_path: Path, more: str, line: str) -> None:
    path = tmp_path / "house.toml"
    path.write_text(HOUSE + more)
    done = tenhour("heat", "--house", str(path))
    assert done.status == 2
    said = [text for text in done.err.splitlines() if "house.toml" in text]
    assert len(said) == 1
    assert line in said[0]


def test_a_set_point_above_the_vents_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "house.toml"
    path.write_text(HOUSE.replace("night_set_degc = 3", "night_set_degc = 20\nvent_degc = 18"))
    done = tenhour("heat", "--house", str(path))
    assert done.status == 2
    assert "air.night_set_degc: found 20 °C, above the 18 °C at which the vents open" in done.err


def nothing_helps(monkeypatch: pytest.MonkeyPatch) -> None:
    """In the short form what would help is not looked for where a test does not ask."""
    monkeypatch.setattr("tenhour.year.answers.heat._helps", many(lambda *_: Helps((), (), None), heat._helps))


@lru_cache(maxsize=1)
def _full() -> HeatAnswer:
    """Everything at once about the house with a stove: one run for many tests."""
    year = Year(*_house(HOUSE + STOVE))
    return year.heat(today=date(2027, 1, 20), tonight_degc=-12.0, cut_h=30, with_pairs=True)


def _house(text: str) -> tuple[House, Sources, list[Crop]]:
    house = house_from_text(text, "house.toml")
    return house, sources_of(house), choose_crops(None, None)


def test_the_stove_is_loaded_in_time_and_by_full_loads() -> None:
    night = _full().tonight
    assert night is not None
    # the largest load whose peak E / (e τ) stays within 3000 W, at 4.0 kWh/kg and 0.65
    assert [load.wood_kg for load in night.loads] == pytest.approx(
        [3.0 * 2.71828 / (0.65 * 4.0)] * len(night.loads), rel=0.01
    )
    hours = [(load.hour_h - 12.0) % 24.0 for load in night.loads]
    assert hours == sorted(hours)
    assert min(b - a for a, b in pairwise(hours)) >= 0.75 - 1e-9
    # in time: the air never falls much below the 3 °C it is held at, and nothing is left to another heater
    assert night.stove_lowest_degc is not None
    assert night.backup_kwh is not None
    assert night.stove_lowest_degc > 2.5
    assert night.backup_kwh < 0.5
    assert night.alone_h is None or night.alone_h >= 22.0 or night.alone_h <= 12.0


def test_a_cut_reaches_milder_limits_first_and_a_fleece_puts_them_off() -> None:
    cut = _full().power_cut
    assert cut is not None
    assert cut.length_h == 30
    assert cut.covered_floor_degc > cut.floor_degc + 1.0
    never = 99.0
    open_h = [never if limit.hours_h is None else limit.hours_h for limit in cut.limits]
    laid_h = [never if limit.covered_hours_h is None else limit.covered_hours_h for limit in cut.limits]
    limits = [limit.limit_degc for limit in cut.limits]
    assert limits == sorted(limits, reverse=True)
    assert open_h == sorted(open_h)
    assert laid_h == sorted(laid_h)
    assert all(laid >= open_ for laid, open_ in zip(laid_h, open_h, strict=True) if open_ > 1.0)
    assert cut.hours_to_limit_h is not None
    assert all((hours < cut.hours_to_limit_h) == (limit > 0.0) for hours, limit in zip(open_h, limits, strict=True))


def test_what_helps_is_sorted_by_heat_if_heated_and_by_degrees_if_not(tmp_path: Path) -> None:
    heated = _full()
    saved = [measure.saved_kwh for measure in heated.measures]
    assert saved == sorted(saved, reverse=True)
    by_name = {str(measure.measure): measure for measure in heated.measures}
    curtain = by_name["a tight curtain under all panes at night"]
    assert curtain.saved_currency == pytest.approx(curtain.saved_kwh * 0.08 / 0.65, abs=0.02)
    assert 0.0 < by_name["bubble film under the panes all winter"].light_lost_frac < 0.2
    assert 0.0 < by_name["the north wall and roof insulated, foam a hand wide"].light_lost_frac < 0.3
    # ten pairs of the five best: no better together than their sum unless said why
    assert len(heated.pairs) == 10
    for pair in heated.pairs:
        sums = pair.saved_kwh <= pair.sum_saved_kwh + 1.0 and pair.lowest_gain_k <= pair.sum_gain_k + 0.1
        assert sums or pair.together.startswith("more than")
    bare = HOUSE.replace("[air]\nnight_set_degc = 3\n", "")
    path = tmp_path / "bare.toml"
    path.write_text(bare)
    unheated = json.loads(tenhour("heat", "--house", str(path), "--json").out)
    gains = [measure["lowest_gain_k"] for measure in unheated["measures"]]
    assert gains == sorted(gains, reverse=True)
    assert unheated["power_cut"] is None
    # hours too cold for a crop: more than those of frost for what frost is too warm a limit, fewer for what stands some
    hours = {row["crop"]: row for row in unheated["crop_hours"]}
    frost = [month["hours_below_0_h"] for month in unheated["months"]]
    warm = {"basil, cut", "cucumber", "tomato"}
    assert warm <= set(hours)
    assert all(h >= f - 1.0 for name in warm for h, f in zip(hours[name]["hours_h"], frost, strict=True))
    hardy = [row for row in unheated["crop_hours"] if sum(row["hours_h"]) < sum(frost) / 2.0]
    assert hardy
    assert all(h <= f + 1.0 for row in hardy for h, f in zip(row["hours_h"], frost, strict=True))
    assert max(hours["cucumber"]["hours_h"]) <= 744
    # under a fleece by night, and by day while it freezes
    assert all(sum(row["covered_hours_h"]) < sum(row["hours_h"]) for row in hardy)


def test_places_differ_most_where_the_glass_is_and_a_fan_evens_them() -> None:
    spots = {str(spot.spot): spot for spot in _full().spots}
    assert spots["in a corner, at the floor"].still_k < spots["a hand from the glass"].still_k < 0.0
    cold = [spots[name] for name in ("in a corner, at the floor", "a hand from the glass", "under the ridge")]
    assert all(abs(spot.fan_k) < abs(spot.still_k) for spot in cold)
    assert all(spot.still_error_k > 0.0 for spot in spots.values())
    # hung in the warm, it must be set higher to keep the coldest place at 3 °C
    middle, corner = spots["in the middle, at the crops"], spots["in a corner, at the floor"]
    assert middle.set_degc is not None
    assert corner.set_degc is not None
    assert middle.set_degc - corner.set_degc == pytest.approx(-corner.still_k, abs=0.1)
    assert corner.set_degc == pytest.approx(4.0, abs=0.05)


LAMPS = '[[lamps]]\nbed = "front"\nkind = "led-bar"\ncount = 4\nheight_m = 0.5\nhours = 14\n'


def test_lamps_heat_is_part_of_the_balance() -> None:
    dark, lit = _full(), Year(*_house(HOUSE + STOVE + LAMPS)).heat(today=date(2027, 1, 20))
    assert dark.lamps is None
    assert lit.lamps is not None
    saved = dark.winter.energy_kwh - lit.winter.energy_kwh
    assert 0.0 < lit.lamps.replaces_frac < 1.0
    # four winters against twenty-four, October to April against the year
    assert lit.lamps.replaces_frac * lit.lamps.lamps_kwh == pytest.approx(saved, rel=0.3)
    assert lit.lamps.moved_saved_kwh >= 0.0


@lru_cache(maxsize=1)
def _matted() -> HeatAnswer:
    """A thermostat that swings by 2 K, and a mat under the front bed from January to March."""
    mat = '[[mat]]\nbed = "front"\nset_degc = 16\npower_w_m2 = 120\nmonths = [1, 2, 3]\nprice = 0.25\n'
    text = HOUSE.replace("night_set_degc = 3", "night_set_degc = 5\nswing_k = 2") + mat
    with pytest.MonkeyPatch.context() as patch:
        nothing_helps(patch)
        return Year(*_house(text)).heat(today=date(2027, 1, 20), tonight_degc=-9.0)


def test_a_thermostat_swings_alike_tonight_and_in_winter() -> None:
    found = _matted()
    assert found.tonight is not None
    assert found.winter.lowest_air_degc == pytest.approx(3.0, abs=0.01)
    assert found.tonight.lowest_air_degc == pytest.approx(3.0, abs=0.01)


def test_a_mat_keeps_roots_warm_and_costs_what_it_takes() -> None:
    found = _matted()
    (mat,) = found.mats
    assert mat.holds
    assert mat.root_degc >= 16.0 - 0.1
    assert 16.0 - 1.0 <= mat.root_lowest_degc <= mat.root_degc
    assert mat.largest_hour_w <= 120.0 * 4.6 * 0.8 + 0.1
    assert mat.cost_currency == pytest.approx(mat.energy_kwh * 0.25)
    # what 90 days of that bed take: more than nothing, less than the mat can give
    assert 20.0 < mat.energy_kwh < 120.0 * 4.6 * 0.8 * 90 * 24 / 1000.0
    assert any("residual-current" in text for text in found.basis.cautions[: found.cautions_here])
    assert "mat under front" in " ".join(heat_text(found, 80).split())


def test_a_frost_alarm_rings_below_what_the_heater_keeps_and_before_frost() -> None:
    alarm, cut = _matted().alarm, _matted().power_cut
    assert cut is not None
    assert cut.hours_to_limit_h is not None
    # 5 °C less the swing of 2 K, less 1 K that such an alarm may be wrong by
    assert alarm.set_degc == pytest.approx(2.0)
    assert alarm.rings_h is not None
    assert alarm.left_h is not None
    assert alarm.rings_h + alarm.left_h == pytest.approx(cut.hours_to_limit_h)
    bare = [hour.hour_h for hour in _matted().cold_night if hour.unheated_degc < 2.0]
    assert (alarm.from_h, alarm.below_h) == (bare[0], len(bare))


@pytest.mark.parametrize(("part", "first"), [("helps", "each change"), ("places", "thermostat"), ("cut", "freezes")])
def test_every_part_fits_a_screen(part: Literal["helps", "places", "cut"], first: str) -> None:
    text = heat_text(_full(), 80, None, part)
    assert first in " ".join(text.split())
    assert max(map(len, text.splitlines())) <= 80
    assert len(text.splitlines()) <= 60
    assert "carbon monoxide" in " ".join(text.split())


@pytest.mark.parametrize("hours", ["0", "400", "long"])
def test_a_cut_beyond_a_week_is_refused_in_a_line(hours: str) -> None:
    done = tenhour("heat", "--cut", hours)
    assert done.status == 2
    assert "--cut" in done.err
    assert "168" in done.err


def test_nights_of_three_thermometers_fit_the_loss_and_place_the_thermostat(tmp_path: Path) -> None:
    """Five nights made up: outdoors, the middle 1 K above it as bare glass is, a corner 2 K and a ridge 3 K apart."""
    path, nights = tmp_path / "house.toml", tmp_path / "nights.csv"
    path.write_text(HOUSE.replace("[air]\nnight_set_degc = 3\n", "").replace("layers =", "# layers ="))
    rows = ["time,place,temp_degc"]
    for day, low in zip(range(11, 16), (-6.0, -2.0, -9.0, 0.0, -4.0), strict=True):
        for hour in (22, 2, 6):
            out = low + (6 - hour % 22 if hour < 22 else 4) * 0.3
            date_ = f"2027-01-{day if hour < 22 else day - 1:02d}T{hour:02d}:00"
            wobble = 0.1 * (day % 3)
            places = {"outside": out, "middle": out + 2, "corner": out + wobble, "ridge": out + 5 + 3 * wobble}
            rows += [f"{date_},{place},{degc:.2f}" for place, degc in places.items()]
    nights.write_text("\n".join(rows) + "\n")
    done = tenhour("read", str(nights), "--house", str(path), "--json", "--keep")
    assert done.status == 0, done.err
    answer = json.loads(done.out)
    fit, hang = answer["heat"], answer["hang"]
    assert fit["nights"] == 5
    assert fit["low"] < fit["loss_factor"] < fit["high"]
    assert "cannot tell draughts" in fit["told"]
    assert fit["leak_ach"] is None
    assert (hang["coldest"], hang["place"]) == ("corner", "middle")
    assert hang["set_degc"] == pytest.approx(3.0 + 2.0 - 0.1, abs=0.3)
    assert {f"2027-01-{day}" for day in range(11, 16)} <= set(hang["backup_on"])
    text = path.read_text()
    assert "2027-01-15, 5 nights" in text
    kept, plain = (house_from_text(one, "house.toml") for one in (text, text.replace("loss_factor =", "# ")))
    # draughts stay as they were, so panes and walls take up all of what the nights say of the whole
    assert loss_w_k(kept) / loss_w_k(plain) == pytest.approx(fit["loss_factor"], abs=0.06)


def test_means_that_were_read_where_nobody_heats_hold_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A kept thermometer must not turn an unheated house into one that is held at what was read."""
    nothing_helps(monkeypatch)
    path, nights = tmp_path / "house.toml", tmp_path / "nights.csv"
    path.write_text(HOUSE.replace("[air]\nnight_set_degc = 3\n", ""))
    rows = [f"2027-01-{day},{place},{low + lift:.1f},{low + lift + 8:.1f}"
            for day, low in zip(range(11, 17), (-6.0, -2.0, -9.0, 0.0, -4.0, -5.0), strict=True)
            for place, lift in (("outside", 0.0), ("ridge", 4.0))]  # fmt: skip
    nights.write_text("\n".join(["date,place,min_degc,max_degc", *rows]) + "\n")
    done = tenhour("read", str(nights), "--house", str(path), "--keep")
    assert done.status == 0, done.err
    assert max(map(len, done.out.splitlines())) <= 80
    text = path.read_text()
    assert "held = false" in text
    assert "night_degc" in text
    after = json.loads(tenhour("heat", "--house", str(path), "--json").out)
    assert after["winter"]["energy_kwh"] == 0.0
    assert after["power_cut"] is None
    assert after["heater"]["hold_degc"] == 3.0


def test_a_house_that_loses_more_takes_more_heat(tmp_path: Path) -> None:
    plain, worse = (_house(HOUSE + f"[heat]\nloss_factor = {factor}\n")[0] for factor in (1.0, 1.5))
    assert loss_w_k(worse) > 1.3 * loss_w_k(plain)
