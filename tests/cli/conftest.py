"""Commands of these tests share the house-years of the houses they speak of."""

from __future__ import annotations

import pytest

from helpers_once import build_once


@pytest.fixture(autouse=True)
def house_years_built_once(monkeypatch: pytest.MonkeyPatch) -> None:
    build_once(monkeypatch)
