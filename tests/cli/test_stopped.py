"""Stopped from the keyboard: one line and the status of a signal, while it works and while it loads."""

from __future__ import annotations

import contextlib
import json
import os
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
from helpers_long import LONG, many
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
    "light": ["light", "--brighter", "--json"],
    "learn": ["learn", "--keep"],
    "feed": ["feed", "--on", "2026-11-29", "--every", "4w", "--keep", "plan.json"],
    "heat": ["heat", "--on", "2027-01-15", "--helps"],
    "read": ["read", "readings.csv", "--keep"],
    "atlas": ["atlas", "--box", "48,9,52,13", "--step", "1", "--ask", "light", "--workers", "0", "-o", "region"],
}
"""Seconds of work each; what is stopped here of ``feed`` and ``atlas`` is what comes before anything is found."""


@pytest.mark.parametrize("again_s", many([None], [None, 0.05]))
@pytest.mark.parametrize("wait_s", many([1.0], [0.3, 1.0, 2.0]))
@pytest.mark.parametrize("command", many(["season"], sorted(LONG_WORK)))
def test_a_signal_ends_the_work_in_one_line_and_writes_nothing(
    command: str, wait_s: float, again_s: float | None, tmp_path: Path
) -> None:
    fill(tmp_path)
    before = contents(tmp_path)
    words = [sys.executable, "-m", "tenhour", *LONG_WORK[command]]
    with subprocess.Popen(words, cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as run:
        time.sleep(wait_s)
        run.send_signal(signal.SIGINT)
        if again_s is not None:
            time.sleep(again_s)
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


@pytest.mark.long
@pytest.mark.skipif(not LONG, reason="searches for a minute")
@pytest.mark.parametrize("wait_s", [0.0, 2.0])
def test_a_search_that_is_stopped_gives_its_best_plan_with_its_gap(wait_s: float, tmp_path: Path) -> None:
    """Whatever comes first, there are three ends: nothing yet, the plan so far, or a search that was over."""
    fill(tmp_path)
    words = [
        sys.executable,
        "-c",
        SAYS_SO,
        "feed",
        "--on",
        "2026-11-29",
        "--seconds",
        "300",
        "--keep",
        "plan.json",
        "--json",
    ]
    with subprocess.Popen(words, cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as run:
        assert run.stderr is not None
        while "a plan is there" not in (line := run.stderr.readline()):
            assert line, "it ended without a plan"
        time.sleep(wait_s)
        begin = time.monotonic()
        run.send_signal(signal.SIGINT)
        out, err = run.communicate(timeout=240)
    assert time.monotonic() - begin < 200.0, "the search went on"
    assert run.returncode == 0, err
    assert "Traceback" not in err
    proof = json.loads(out)["proof"]
    assert proof["stopped"]
    assert proof["gap_frac"] >= 0.0
    assert json.loads((tmp_path / "plan.json").read_text("utf-8"))["sowings"]


SAYS_SO = """
import sys
import tenhour.plan.feed.solve as solving
keep = solving._Clock.keep
def told(clock, best, known):
    keep(clock, best, known)
    print("a plan is there", file=sys.stderr, flush=True)
solving._Clock.keep = told
from tenhour.__main__ import main
main()
"""


@pytest.mark.long
@pytest.mark.skipif(not LONG, reason="starts servers")
@pytest.mark.parametrize("again_s", [None, 0.05])
def test_a_page_that_is_stopped_ends_its_server(again_s: float | None, tmp_path: Path) -> None:
    fill(tmp_path)
    words = [sys.executable, "-m", "tenhour", "open", "--no-browser", "--port", "0"]
    with subprocess.Popen(words, cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as run:
        assert run.stdout is not None
        assert "http://" in run.stdout.readline()
        time.sleep(0.5)
        run.send_signal(signal.SIGINT)
        if again_s is not None:
            time.sleep(again_s)
            run.send_signal(signal.SIGINT)
        _, err = run.communicate(timeout=60)
    assert run.returncode in (0, -signal.SIGINT)
    assert "Traceback" not in err
    assert err.splitlines()[-1:] == ["The page is closed; everything done on it stands in the file."]


ATLAS = ["atlas", "--box", "46,8,50,13", "--step", "1", "--ask", "light", "--house", "tunnel", "--workers", "2",
         "--chunk", "4", "-o", "region"]  # fmt: skip


def alive(session: int) -> list[int]:
    """The processes that a command started, itself among them, as the system lists them."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):
            state, _, _, of = stat.read_text("utf-8", "replace").rpartition(")")[2].split()[:4]
            found += [int(stat.parent.name)] if int(of) == session and state != "Z" else []
    return found


@pytest.mark.long
@pytest.mark.skipif(not LONG or not Path("/proc/self/stat").exists(), reason="starts clusters; asks Linux what runs")
@pytest.mark.parametrize("again", [False, True])
@pytest.mark.parametrize("whole", [False, True])
@pytest.mark.parametrize("sites", [0, 12])
def test_an_atlas_of_several_processes_is_stopped_as_one_and_goes_on(
    sites: int, whole: bool, again: bool, tmp_path: Path
) -> None:
    """As a terminal does it, which tells the whole group, or by its own number; while its workers start or work."""
    words = [sys.executable, "-m", "tenhour", *ATLAS]
    with subprocess.Popen(
        words, cwd=tmp_path, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True, start_new_session=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    ) as run:  # fmt: skip
        if sites:
            assert run.stderr is not None
            while not (line := run.stderr.readline()).startswith(f"{sites} of "):
                assert line, "it ended before"
        else:
            while len(alive(run.pid)) < 3:
                time.sleep(0.02)
                assert run.poll() is None
            time.sleep(0.2)
        for _ in range(1 + again):
            (os.killpg if whole else os.kill)(run.pid, signal.SIGINT)
            time.sleep(0.1)
        _, err = run.communicate(timeout=60)
    said = [line for line in err.splitlines() if " sites, " not in line and not line.startswith("No house given")]
    assert said == ["Stopped; what is done stands whole in region, and the same command goes on from there."]
    assert run.returncode == 130
    until = time.monotonic() + 20.0
    while alive(run.pid) and time.monotonic() < until:
        time.sleep(0.1)
    assert alive(run.pid) == []
    assert not [path for path in tmp_path.rglob("*") if path.name.endswith(".new")]
    one = ["0" if word == "2" else word for word in ATLAS[:-1]]
    done = tenhour(*one, str(tmp_path / "region"))
    assert done.status == 0, done.err
    assert (tmp_path / "region" / "atlas.html").exists()
