"""Stopped from the keyboard: one line and the status of a signal, while it works and while it loads."""

from __future__ import annotations

import sys
from types import ModuleType
from typing import NoReturn

import pytest

import tenhour.__main__ as started
import tenhour.cli.sow as sow_command
from helpers_cli import tenhour

STOPPED = "Stopped; nothing was changed.\n"


def _stop(*_: object, **__: object) -> NoReturn:
    raise KeyboardInterrupt


def test_stopped_while_it_works(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sow_command, "load_house_in_use", _stop)
    done = tenhour("sow")
    assert (done.status, done.out, done.err) == (130, "", STOPPED)


def test_stopped_while_it_loads(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    class Loading(ModuleType):
        def __getattr__(self, name: str) -> NoReturn:
            raise KeyboardInterrupt

    monkeypatch.setitem(sys.modules, "tenhour.cli.main", Loading("tenhour.cli.main"))
    with pytest.raises(SystemExit) as leaving:
        started.main()
    assert leaving.value.code == 130
    assert capsys.readouterr().err == STOPPED
