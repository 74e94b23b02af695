"""``tenhour weather``: judge a file, fetch one, name it; no network but loopback."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner, Result

from helpers_fetch import Answer, closed_port_url, service
from helpers_schema import schema_faults
from helpers_weather import EAST, NORTH, epw, made_up, mixed_years, place_head, plain, pvgis_hourly_json, pvgis_tmy_json
from tenhour.cli.weather import weather_app

app = typer.Typer()
app.add_typer(weather_app)

HOUSE = """schema = 1
[site]  # my place
latitude_deg = 57.1
longitude_deg = -4.7
elevation_m = 40
climate = "normals"  # for now
[house]
shape = "gable"
length_m = 5.0
width_m = 3.0
eaves_m = 1.8
ridge_m = 2.6
[[bed]]
name = "front"
at_m = [0.2, 0.2]
size_m = [4.6, 0.8]
"""


@pytest.fixture(autouse=True)
def in_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("NO_PROXY", "127.0.0.1")
    monkeypatch.setenv("TENHOUR_PVGIS_URL", closed_port_url())
    monkeypatch.setenv("TENHOUR_POWER_URL", closed_port_url())


def run(*arguments: str) -> Result:
    return CliRunner().invoke(app, ["weather", *arguments], catch_exceptions=False)


@pytest.fixture
def good_file(tmp_path: Path) -> str:
    (tmp_path / "mine.epw").write_text(epw(made_up()), encoding="utf-8")
    return "mine.epw"


@pytest.fixture
def house(tmp_path: Path) -> Path:
    path = tmp_path / "house.toml"
    path.write_text(HOUSE, encoding="utf-8")
    return path


def test_a_good_file_as_text(good_file: str) -> None:
    done = run(good_file)
    assert (done.exit_code, done.stderr) == (0, "")
    lines = done.stdout.splitlines()
    assert lines[0] == "mine.epw"
    assert lines[1] == "EPW: Madeup, XXX, TEST"
    assert lines[2] == "57.10 N 4.70 W, 40 m; a typical year, in hours, clock UTC+0."
    assert sum(line.startswith("fine ") for line in lines) >= 6
    assert all(len(line) <= 80 for line in lines)
    assert any(line.startswith("Dec ") for line in lines)


def test_a_good_file_as_json(good_file: str) -> None:
    done = run("--json", good_file)
    answer = json.loads(done.stdout)
    assert done.exit_code == 0
    assert (answer["command"], answer["format"], answer["typical"]) == ("weather", "EPW", True)
    assert answer["site"] == {"latitude_deg": 57.1, "longitude_deg": -4.7, "elevation_m": 40.0}
    assert [month["month"] for month in answer["months"]] == list(range(1, 13))
    assert schema_faults("weather", answer) == []
    december = made_up().ghi_w_m2[-31 * 24 :].mean()
    assert answer["months"][11]["ghi_w_m2"] == pytest.approx(december, abs=0.01)
    assert answer["months"][11]["dli_mol_m2_d"] == pytest.approx(december * 0.0864 * 2.018, abs=0.01)
    assert {check["finding"] for check in answer["checks"]} == {"passed"}
    assert json.loads(run("judge", good_file, "--json").stdout) == answer


def test_a_file_with_gaps_and_a_fetched_one_keep_to_the_schema(tmp_path: Path, house: Path) -> None:
    (tmp_path / "t.csv").write_text(plain(made_up()), encoding="utf-8")
    assert schema_faults("weather", json.loads(run("t.csv", "--json").stdout)) == []
    done = fetched("--write", "--json")
    answer = json.loads(done.stdout)
    assert answer["named_in"] is not None
    assert schema_faults("weather", answer) == []


def test_units_and_tables_follow_the_options_and_the_house(good_file: str, tmp_path: Path, house: Path) -> None:
    metric = run(good_file).stdout
    american = run(good_file, "--units", "us").stdout
    assert "N 4.70 W, 40 m;" in metric
    assert "N 4.70 W, 131 ft;" in american
    assert "°F" in american
    assert "°C" not in american
    house.write_text('units = "us"\n' + HOUSE, encoding="utf-8")
    assert run(good_file).stdout == american
    assert run(good_file, "--units", "metric").stdout == metric
    assert run(good_file, "--json").stdout == run(good_file, "--json", "--units", "metric").stdout
    assert run(good_file, "--csv", "months").stdout.splitlines()[0].startswith("month,dli_mol_m2_d,ghi_w_m2,temp_degf,")
    assert len(run(good_file, "--csv", "months").stdout.splitlines()) == 13
    house.write_text("nonsense", encoding="utf-8")
    assert run(good_file, "--lat", "57.1", "--lon", "-4.7").exit_code == 0


def test_a_refused_file_names_every_reason_and_ends_with_2(tmp_path: Path) -> None:
    text = epw(made_up(EAST)).replace(f",{EAST.offset_h:.1f},", ",0.0,", 1)
    (tmp_path / "wrong.epw").write_text(text, encoding="utf-8")
    for options in ([], ["--json"]):
        done = run("wrong.epw", *options)
        assert (done.exit_code, done.stdout) == (2, "")
        assert len(done.stderr.splitlines()) == 1
        assert "wrong.epw: clock: light comes 7.0 h later than the sun" in done.stderr


@pytest.mark.parametrize("name", ["none.epw", ".", "house"])
def test_what_is_no_file(name: str) -> None:
    done = run(name)
    assert (done.exit_code, done.stdout) == (2, "")
    assert len(done.stderr.splitlines()) == 1


def test_a_table_takes_its_place_from_the_house_and_its_stamps_from_the_option(tmp_path: Path, house: Path) -> None:
    (tmp_path / "log.csv").write_text(plain(made_up(), shift_h=1.0), encoding="utf-8")
    assert run("log.csv", "--house", str(house), "--stamp", "end").exit_code == 0
    assert run("log.csv", "--stamp", "end").exit_code == 0
    assert "wrong time zone" in run("log.csv", "--stamp", "start").stderr
    house.unlink()
    done = run("log.csv")
    assert "no place in the file; allowed: latitude and longitude" in done.stderr
    assert run("log.csv", "--lat", "57.1", "--lon", "-4.7", "--stamp", "end").exit_code == 0
    assert run("log.csv", "--lat", "north", "--lon", "-4.7").exit_code == 2


def test_a_file_far_from_the_house_is_remarked(tmp_path: Path, house: Path) -> None:
    (tmp_path / "far.csv").write_text(plain(made_up(EAST), place_head(EAST)), encoding="utf-8")
    answer = json.loads(run("far.csv", "--json").stdout)
    assert any("km from the house" in warning for warning in answer["warnings"])
    assert house.read_text(encoding="utf-8") == HOUSE


def fetched(*options: str, answer: str | None = None) -> Result:
    body = pvgis_hourly_json(made_up(NORTH, 2019, 2019)) if answer is None else answer
    with service(Answer(body)) as running, pytest.MonkeyPatch.context() as patch:
        patch.setenv("TENHOUR_PVGIS_URL", running.url)
        return run("fetch", "--years", "2019", "--tries", "1", *options)


def kept(tmp_path: Path) -> Path:
    return tmp_path / "cache" / "tenhour" / "weather" / "pvgis_57.100_-4.700_2019-2019.csv"


def test_fetch_keeps_the_file_and_says_how_to_use_it(tmp_path: Path, house: Path) -> None:
    done = fetched()
    assert done.exit_code == 0
    assert "Asking PVGIS for 57.100, -4.700, 2019-2019." in done.stderr
    assert f"To use it, write under [site] in house.toml: climate = '{kept(tmp_path)}'" in done.stderr
    assert done.stdout.splitlines()[0] == str(kept(tmp_path))
    assert house.read_text(encoding="utf-8") == HOUSE


def test_fetch_with_write_names_it_and_keeps_every_remark(tmp_path: Path, house: Path) -> None:
    done = fetched("--write", "--json")
    answer = json.loads(done.stdout)
    assert (answer["file"], answer["named_in"]) == (str(kept(tmp_path)), "house.toml")
    assert "house.toml now names it under [site] climate (before: 'normals')." in done.stderr
    expected = HOUSE.replace('climate = "normals"  # for now', f'climate = "{kept(tmp_path)}"  # for now')
    assert house.read_text(encoding="utf-8") == expected
    again = run("fetch", "--years", "2019", "--json")
    assert json.loads(again.stdout)["named_in"] == "house.toml"
    assert house.read_text(encoding="utf-8") == expected


def test_what_is_kept_is_used_without_a_network_unless_asked_again(tmp_path: Path, house: Path) -> None:
    assert fetched("--no-write").exit_code == 0
    done = run("fetch", "--years", "2019")
    assert done.exit_code == 0
    assert f"{kept(tmp_path)} is kept from before and was used; --again fetches it anew." in done.stderr
    done = run("fetch", "--years", "2019", "--again", "--tries", "1")
    assert (done.exit_code, done.stdout) == (1, "")
    assert kept(tmp_path).exists()
    assert house.read_text(encoding="utf-8") == HOUSE


def test_without_a_network_one_line_and_1(tmp_path: Path, house: Path) -> None:
    done = run("fetch", "--tries", "1", "--write")
    assert (done.exit_code, done.stdout) == (1, "")
    assert done.stderr.splitlines()[-1] == (
        "No weather from PVGIS: no connection (is there a network?). "
        "Nothing was changed; without a weather file the embedded normals serve."
    )
    assert house.read_text(encoding="utf-8") == HOUSE
    assert not (tmp_path / "cache").exists()


def test_a_broken_answer_changes_nothing(tmp_path: Path, house: Path) -> None:
    done = fetched("--write", answer="<html>")
    assert (done.exit_code, done.stdout) == (1, "")
    assert "broken or cut off" in done.stderr
    assert house.read_text(encoding="utf-8") == HOUSE
    assert not (tmp_path / "cache").exists()


def test_fetch_for_a_place_given_by_options_touches_no_house(tmp_path: Path) -> None:
    done = fetched("--lat", "57.1", "--lon", "-4.7", "--write")
    assert done.exit_code == 0
    assert kept(tmp_path).exists()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["cache"]


def test_a_typical_year(tmp_path: Path, house: Path) -> None:
    body = pvgis_tmy_json(made_up(), mixed_years(made_up()))
    done = fetched("--from", "pvgis-typical", "--json", answer=body)
    assert json.loads(done.stdout)["typical"] is True
    assert house.exists()


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (["--years", "1990-2000"], "--years: found '1990-2000'; allowed: whole years from 2005 to the last one"),
        (["--years", "2015-2099"], "allowed: whole years from 2005 to the last one, first to last."),
        (["--years", "2015-2010"], "Write them as 2011-2020."),
        (["--years", "lately"], "--years: found 'lately'"),
        (["--from", "power", "--years", "2000"], "allowed: whole years from 2001 to the last"),
    ],
)
def test_years_that_cannot_be(house: Path, options: list[str], says: str) -> None:
    done = run("fetch", *options)
    assert (done.exit_code, done.stdout) == (2, "")
    assert says in done.stderr
    assert house.exists()


def test_no_house_to_fetch_for() -> None:
    done = run("fetch")
    assert (done.exit_code, done.stdout) == (2, "")
    assert (
        "no house file and no ./house.toml; allowed: a place to fetch for. Name the house with --house" in done.stderr
    )


def test_the_group_shows_its_help() -> None:
    for arguments in ([], ["--help"]):
        done = run(*arguments)
        assert "fetch" in done.output
        assert "judge" in done.output


def test_help_loads_no_heavy_library() -> None:
    code = (
        "import sys, typer; from typer.testing import CliRunner; from tenhour.cli.weather import weather_app\n"
        "app = typer.Typer(); app.add_typer(weather_app)\n"
        "assert CliRunner().invoke(app, ['weather', 'fetch', '--help']).exit_code == 0\n"
        "sys.exit(any(name in sys.modules for name in ('numpy', 'pandas', 'pvlib', 'requests')))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
