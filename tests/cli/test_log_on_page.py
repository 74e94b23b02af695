"""What stands by the grower's log stands on the page as it does in ``sow``."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers_cli import tenhour
from helpers_once import few_winters


def test_the_page_knows_the_log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    few_winters(monkeypatch)
    monkeypatch.chdir(tmp_path)
    assert tenhour("new", "--lat", "50", "--lon", "8", "--shape", "gable", "-o", "house.toml").status == 0
    name = "front" if "front" in Path("house.toml").read_text(encoding="utf-8") else "bed 1"
    logged = tenhour("log", "sown", "kale", "--bed", name, "--on", "2026-01-05")
    assert logged.status == 0, logged.err
    done = tenhour("report", "--crop", "kale", "--on", "2026-01-20", "-o", "page.html")
    assert done.status == 0, done.err
    assert "Stands there by your log: kale" in Path("page.html").read_text(encoding="utf-8")
