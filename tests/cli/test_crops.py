import json
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

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
