"""Stopped from the keyboard: one line and the status of a signal, while it works and while it loads."""

from __future__ import annotations

import signal
import subprocess
import sys
import time
from pathlib import Path
from types import ModuleType
from typing import NoReturn

import pytest

import tenhour.__main__ as started
import tenhour.cli.sow as sow_command
from helpers_cli import tenhour
from helpers_long import many
from helpers_options import contents, fill

STOPPED = "Stopped; nothing was changed.\n"
NOT_BEGUN = ("Fatal Python error: init_import_site", "Could not import runpy module")
"""What the interpreter says of itself on a busy machine."""


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


LONG_WORK = {
    "lamps": ["lamps", "front", "--crop", "leaf-lettuce", "--json"],
    "season": ["season", "--json"],
    "report": ["report", "-o", "page.html"],
    "heat": ["heat", "--on", "2027-01-15", "--helps"],
    "read": ["read", "readings.csv", "--keep"],
    "atlas": ["atlas", "--box", "48,9,52,13", "--step", "1", "--ask", "light", "--workers", "0", "-o", "region"],
}
"""Seconds of work each; ``feed`` gives the best plan found so far when it is stopped."""


@pytest.mark.parametrize("wait_s", many([1.0], [0.3, 1.0, 2.0, 3.5]))
@pytest.mark.parametrize("command", many(["season"], sorted(LONG_WORK)))
def test_a_signal_ends_the_work_in_one_line_and_writes_nothing(command: str, wait_s: float, tmp_path: Path) -> None:
    fill(tmp_path)
    before = contents(tmp_path)
    words = [sys.executable, "-m", "tenhour", *LONG_WORK[command]]
    with subprocess.Popen(words, cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as run:
        time.sleep(wait_s)
        run.send_signal(signal.SIGINT)
        out, err = run.communicate(timeout=60)
    if run.returncode == 0 or err.startswith(NOT_BEGUN):  # it was done before, or nothing of ours had begun
        return
    # Python ends by the signal itself, which a shell calls 130, where it came while a record was being made
    assert run.returncode in (130, -signal.SIGINT)
    assert out == ""
    assert err.splitlines()[-1:] == [STOPPED.strip()]
    assert "Traceback" not in err
    assert contents(tmp_path) == before
