import json
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from helpers_cli import tenhour
from tenhour.cli.crops import crops

APP = typer.Typer()
APP.command()(crops)


@APP.callback()
def _root() -> None:
    """Keep the command a sub-command."""


def run(*arguments: str) -> tuple[int, str, str]:
    found = CliRunner().invoke(APP, ["crops", *arguments])
    return found.exit_code, found.stdout, found.stderr


def test_table_and_one_crop() -> None:
    status, out, _ = run()
    assert status == 0
    assert "baby-lettuce" in out
    status, out, _ = run("rocket")
    assert status == 0
    assert "arugula" in out
    assert "sources" in out


def test_json() -> None:
    status, out, _ = run("kale", "--json")
    assert status == 0
    assert json.loads(out)["crop"] == "kale"


def test_unknown_crop_is_one_line_with_a_suggestion() -> None:
    status, out, err = run("spinnach")
    assert status == 2
    assert out == ""
    assert err.count("\n") == 1
    assert "Did you mean spinach" in err


def test_a_bad_folder_is_status_two(tmp_path: Path) -> None:
    status, _, err = run("--crops", str(tmp_path / "none"))
    assert status == 2
    assert "no such folder" in err


@pytest.mark.parametrize("name", ["mine", "radish"])
def test_own_crops_are_shown(tmp_path: Path, name: str) -> None:
    shipped = (Path(__file__).parents[2] / "crops" / "radish.toml").read_text("utf-8")
    (tmp_path / f"{name}.toml").write_text(shipped.replace('name = "radish"', 'name = "round ones"'), "utf-8")
    status, out, _ = run(name, "--crops", str(tmp_path))
    assert status == 0
    assert "round ones" in out


def test_units_and_tables_follow_the_options_and_the_house(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    american = tenhour("crops", "--units", "us").out
    assert "°F" in american
    assert "°C" not in american
    kale = tenhour("crops", "kale", "--units", "us").out
    assert "per ft²" in kale
    assert "°F d" in kale
    head, first, *_ = tenhour("crops", "--csv", "crops").out.splitlines()
    assert head.startswith("crop,name,latin,way,dli_min_mol_m2_d,dli_target_mol_m2_d,best_mean_low_degc")
    assert first.startswith("arugula,")
    assert "kill_degf" in tenhour("crops", "--csv", "crops", "--units", "us").out.splitlines()[0]
    values = tenhour("crops", "kale", "--csv", "values").out.splitlines()[0]
    assert values == "key,value,low,high,unit,mark,source,where"
    (tmp_path / "house.toml").write_text("nonsense", encoding="utf-8")
    assert tenhour("crops").status == 0
    assert tenhour("crops", "--house", "house.toml").status == 2
