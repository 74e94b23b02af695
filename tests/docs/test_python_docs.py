"""Every example of docs/python.md runs as it stands; docs/api.md is what the docstrings say."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import build_api_docs
import pytest

import tenhour as th
from helpers_long import many
from helpers_once import few_winters
from helpers_weather import NORTH, epw, made_up
from helpers_world import demo_text

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "python.md").read_text("utf-8")
EXAMPLES = re.findall(r"^## (\d+)\. (.*?)\n.*?^```python\n(.*?)^```", PAGE, re.MULTILINE | re.DOTALL)


@pytest.fixture(autouse=True)
def _few(monkeypatch: pytest.MonkeyPatch) -> None:
    few_winters(monkeypatch)


def test_examples_run_one_after_the_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "house.toml").write_text(demo_text(*many(("front", "middle"), ())), "utf-8")
    (tmp_path / "station.epw").write_text(epw(made_up(NORTH)), "utf-8")
    assert [int(number) for number, _, _ in EXAMPLES] == list(range(1, 13))
    names: dict[str, Any] = {}
    for number, _, code in EXAMPLES:
        exec(compile(code, f"python.md, example {number}", "exec"), names)
        assert capsys.readouterr().out.strip(), f"example {number} shows nothing"
    assert not names["sow"].crops.empty
    assert set(names["season"].crops["crop"]) == {"spinach", "kale", "claytonia"}
    assert set(names["season"].spans["bed"]) == {"front"}
    assert 0.1 < names["share"] < 1.0
    assert (names["both"]["north"] < names["both"]["here"])[[0, 10, 11]].all(), "darker in a northern winter"
    assert names["keys"]["verdict"] in set(names["sow"].crops["verdict"])
    assert "fornt" in str(names.get("error", "fornt"))
    assert (names["region"]["bed_dli_mol_m2_d"].isel(month=11) < 5.0).all()


def test_the_page_of_names_is_in_step(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr("sys.argv", ["build_api_docs.py", "--check"])
    status = build_api_docs.main()
    assert status == 0, capsys.readouterr().out


def test_every_public_name_and_argument_is_explained() -> None:
    page = (ROOT / "docs" / "api.md").read_text("utf-8")
    for name in th.__all__:
        assert f"th.{name}" in page
    for method in ("light", "sow", "season", "lamps", "why"):
        text = getattr(th.Year, method).__doc__ or ""
        for argument in getattr(th.Year, method).__annotations__:
            assert argument == "return" or re.search(rf"\b{argument}\b", text), f"{method}: {argument}"
        assert "Returns:" in text
        assert "Errors:" in text
