"""Wrong weather is told from right by the normals of its place: one trap, one sentence."""

import json
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pvlib
import pytest

from helpers_cli import tenhour
from helpers_weather import Spot, made_up, place_head, plain
from tenhour.cli.loading import sources
from tenhour.door.weather import load_weather
from tenhour.errors import FileProblem
from tenhour.files import packaged
from tenhour.files.house.read import house_from_text, load_house
from tenhour.files.weather.table import table_text
from tenhour.model.weather import WeatherYear
from tenhour.sky import normals as skynormals
from tenhour.units import dli_from_ghi
from tenhour.year.outside.weather import held_to_normals

PVLIB = Path(pvlib.__file__).parent / "data"
NORMALS = packaged.normals()


def station_files() -> list[Path]:
    """Station years that travel with published packages: pvlib, and the energy engine of the test extra."""
    files = [PVLIB / name for name in ("703165TY.csv", "723170TYA.CSV", "12839.tm2")]
    try:
        import pyenergyplus
    except ImportError:
        return files
    return files + sorted((Path(str(pyenergyplus.__file__)).parent / "data" / "weather").glob("*.epw"))


def judged(weather: WeatherYear, trust: bool = False) -> WeatherYear:
    return held_to_normals(weather, NORMALS, "w.csv", elevation_m=0.0, trust=trust)


def finding(weather: WeatherYear, name: str) -> tuple[str, str]:
    return next((check.finding, check.sentence) for check in weather.checks if check.name == name)


@pytest.mark.parametrize("path", station_files(), ids=lambda path: path.stem[:24])
def test_a_station_file_gives_no_alarm(path):
    found = judged(load_weather(path))
    assert [check for check in found.checks[-3:] if check.finding != "passed"] == []
    assert [check.name for check in found.checks[-3:]] == ["light", "clear days", "air"]


def test_there_are_at_least_eighteen_station_files():
    pytest.importorskip("pyenergyplus")
    assert len(station_files()) >= 18


# A station at 36° N in the open (Greensboro, TMY3), spoilt in one way at a time.
GOOD = PVLIB / "723170TYA.CSV"


@pytest.fixture(scope="module")
def good() -> WeatherYear:
    return load_weather(GOOD)


def through_a_file(weather: WeatherYear, folder: Path, **spoilt: object) -> WeatherYear:
    """The series with some columns changed, written and read again as a user's file is."""
    lean = replace(weather, dni_w_m2=None, dhi_w_m2=None, wind_m_s=None, dew_degc=None, cloud_frac=None)
    path = folder / "w.csv"
    path.write_text(table_text(replace(lean, **spoilt)), encoding="utf-8")
    return load_weather(path)


def refused(weather: WeatherYear) -> str:
    with pytest.raises(FileProblem) as problem:
        judged(weather)
    assert "trust = true" in str(problem.value)
    return str(problem.value)


def test_fahrenheit_is_refused_by_name(good, tmp_path):
    assert "Fahrenheit" in refused(through_a_file(good, tmp_path, temp_degc=good.temp_degc * 1.8 + 32.0))


def test_half_a_year_off_is_named(good, tmp_path):
    text = refused(through_a_file(good, tmp_path, temp_degc=np.roll(good.temp_degc, 4380)))
    assert "half a year" in text


def test_par_for_global_is_refused_by_name(good, tmp_path):
    assert "PAR" in refused(through_a_file(good, tmp_path, ghi_w_m2=good.ghi_w_m2 * 0.45))


def test_half_the_light_is_refused_or_remarked(good, tmp_path):
    half = judged(through_a_file(good, tmp_path, ghi_w_m2=good.ghi_w_m2 * 0.5), trust=True)
    assert finding(half, "light")[0] == "note"
    assert finding(half, "clear days")[0] == "note"


def test_diffuse_in_the_column_of_global_light(good, tmp_path):
    spoilt = judged(through_a_file(good, tmp_path, ghi_w_m2=good.dhi_w_m2), trust=True)
    assert "diffuse light" in finding(spoilt, "light")[1]


@pytest.mark.parametrize(("factor", "word"), [(0.75, "dirty, shaded"), (1.2, "tilted")])
def test_a_quarter_less_and_a_fifth_more_are_told_by_clear_days(good, tmp_path, factor, word):
    spoilt = judged(through_a_file(good, tmp_path, ghi_w_m2=good.ghi_w_m2 * factor))
    found, sentence = finding(spoilt, "clear days")
    assert found == "note"
    assert word in sentence


def spoilt_days(values: np.ndarray, change: Callable[[np.ndarray], np.ndarray], days: int = 45) -> np.ndarray:
    out = values.copy()
    span = slice(24 * 200, 24 * (200 + days))
    out[span] = change(out[span])
    return out


def test_forty_five_days_of_zero_are_missing_and_named(good, tmp_path):
    with pytest.raises(FileProblem, match="45 whole days without light while the sun is up"):
        through_a_file(good, tmp_path, ghi_w_m2=spoilt_days(good.ghi_w_m2, np.zeros_like))


def test_forty_five_days_of_one_value_are_missing_and_named(good, tmp_path):
    with pytest.raises(FileProblem, match="stand still at one value"):
        through_a_file(good, tmp_path, ghi_w_m2=spoilt_days(good.ghi_w_m2, lambda part: np.full(part.size, 180.0)))


def test_a_few_dead_days_are_left_out_with_a_note(good, tmp_path):
    light = good.ghi_w_m2.copy()
    light[24 * 100 : 24 * 104] = 0.0
    found = through_a_file(good, tmp_path, ghi_w_m2=light)
    assert finding(found, "sensor")[0] == "note"
    assert finding(found, "sensor")[1].startswith("4 whole days without light")
    assert found.gaps.lost_days_count == 4


def test_a_temperature_that_stands_still_is_missing(good, tmp_path):
    temp = good.temp_degc.copy()
    temp[2400:2500] = 7.0
    found = through_a_file(good, tmp_path, temp_degc=temp)
    assert any("temperatures that stand still" in note for note in found.notes)


HOUSE = """schema = 1
[site]
latitude_deg = 36.1
longitude_deg = -79.95
elevation_m = 273
{site}
[weather]
{weather}
[house]
shape = "gable"
length_m = 4
width_m = 3
eaves_m = 1.8
ridge_m = 2.6
cover = "glass-1"
[[bed]]
name = "front"
at_m = [0.5, 0.5]
size_m = [3, 0.8]
"""


def test_the_house_file_names_the_file_and_trusts_it(good, tmp_path):
    through_a_file(good, tmp_path, temp_degc=good.temp_degc * 1.8 + 32.0)
    house = tmp_path / "house.toml"
    house.write_text(HOUSE.format(site="", weather='file = "w.csv"'), encoding="utf-8")
    with pytest.raises(FileProblem, match="Fahrenheit"):
        sources(load_house(house))
    house.write_text(HOUSE.format(site="", weather='file = "w.csv"\ntrust = true'), encoding="utf-8")
    weather = sources(load_house(house)).weather
    assert weather is not None
    assert finding(weather, "air")[0] == "note"


def test_half_a_year_off_is_told_by_a_mild_coast_too(good, tmp_path):
    """By the sea winter and summer lie 8 K apart: months are few degrees off, but their order stands on its head."""
    coast = replace(good, latitude_deg=-45.9, longitude_deg=170.5, elevation_m=20.0)
    normal = skynormals.temperature_at(skynormals.ClimateGrid(**NORMALS), -45.9, 170.5, 20.0)
    for months, told in ((normal, "passed"), (np.roll(normal, 6), "note")):
        daily = replace(coast.monthly, temp_degc=months)
        found, sentence = finding(judged(replace(coast, monthly=daily), trust=True), "air")
        assert found == told
        assert ("half a year" in sentence) == (told == "note")


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda good: {"temp_degc": good.temp_degc * 1.8 + 32.0}, "it looks like degrees Fahrenheit"),
        (lambda good: {"ghi_w_m2": good.ghi_w_m2 * 0.5}, "it looks like PAR"),
        (lambda good: {"ghi_w_m2": good.dhi_w_m2}, "diffuse light in the place of global light"),
        (lambda good: {"ghi_w_m2": good.ghi_w_m2 * 0.75}, "is the sensor shaded or dirty"),
        (lambda good: {"ghi_w_m2": spoilt_days(good.ghi_w_m2, np.zeros_like, days=9)}, "9 whole days without light"),
        (lambda good: {}, ""),
    ],
    ids=["fahrenheit", "half", "diffuse", "three quarters", "dead sensor", "sound"],
)
def test_doubts_of_the_file_stand_in_check_and_open_in_answers(good, tmp_path, monkeypatch, spoil, said):
    """Trusted or only remarked on, no screen counts them among its other notes."""
    monkeypatch.chdir(tmp_path)
    through_a_file(good, tmp_path, **spoil(good))
    named = f"{said.replace(' ', '-') or 'sound'}.csv"
    (tmp_path / "w.csv").rename(tmp_path / named)  # years are kept by the text of the house
    (tmp_path / "house.toml").write_text(
        HOUSE.format(site="", weather=f'file = "{named}"\ntrust = true'), encoding="utf-8"
    )
    done = tenhour("check")
    assert done.status == 0, done.err
    text = " ".join(done.out.split())
    assert ("one thing to look at" in text) == bool(said)
    assert f"Weather file {named}: " in text if said else "nothing wrong" in text
    assert said in text
    light = " ".join(tenhour("light").out.split())
    assert (f"Weather file {named}: " in light) == bool(said)
    assert said in light


def test_a_file_named_twice_is_an_error():
    with pytest.raises(FileProblem, match=r"weather\.file"):
        house_from_text(HOUSE.format(site='climate = "a.csv"', weather='file = "b.csv"'), "house.toml")


def test_the_outdoor_light_of_the_answers_is_the_files(tmp_path, monkeypatch):
    """By month to half a per cent, through the house file and ``light``: what a file says is what the house gets."""
    monkeypatch.chdir(tmp_path)
    found, own = outdoors_of(GOOD, tmp_path)
    assert found == pytest.approx(own, rel=0.005)


def test_so_it_is_where_the_sun_hardly_rises(tmp_path, monkeypatch):
    """At 69.7° N January holds ten days without sun and twenty with: the month is theirs together."""
    monkeypatch.chdir(tmp_path)
    truth = made_up(Spot(69.7, 19.0, 20.0, 1))
    dimmer = {name: 0.8 * getattr(truth, name) for name in ("ghi_w_m2", "dni_w_m2", "dhi_w_m2")}
    truth = replace(truth, **dimmer)  # no month clearer than any can be
    path = tmp_path / "arctic.csv"
    path.write_text(plain(truth, place_head(truth.spot)), encoding="utf-8")
    found, own = outdoors_of(path, tmp_path, "\ntrust = true")
    assert min(own) < 0.1
    assert found == pytest.approx(own, rel=0.005, abs=0.0006)  # three decimals


def outdoors_of(path: Path, folder: Path, more: str = "") -> tuple[list[float], list[float]]:
    """Outdoor light by month as ``light`` has it in a house that names a file, and as the file itself has it."""
    weather = load_weather(path)
    site = f"latitude_deg = {weather.latitude_deg}\nlongitude_deg = {weather.longitude_deg}\n"
    text = HOUSE.format(site="", weather=f'file = "{path}"{more}')
    text = re.sub(r"latitude_deg = .*\nlongitude_deg = .*\n", site, text)
    (folder / "house.toml").write_text(text, encoding="utf-8")
    done = tenhour("light", "--json")
    assert done.status == 0, done.err
    found = [month["outdoor"]["dli_mol_m2_d"] for month in json.loads(done.out)["months"]]
    return found, [float(dli_from_ghi(ghi)) for ghi in weather.monthly.ghi_w_m2]
