"""Drawing in a second process: the same pictures, and pictures in any case."""

from __future__ import annotations

import io
import os
import pickle
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

import helpers_report as made_up
from tenhour.cli import aside
from tenhour.report.page.drawing import draw
from tenhour.report.page.drawn import Drawings
from tenhour.words.style import Style

STYLE = Style(dates="long")
ANSWER = made_up.report_answer(("front",), 2, lamps=True)


@cache
def drawn() -> Drawings:
    return draw(ANSWER, STYLE)


@pytest.fixture(autouse=True)
def worth_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """The tests have the library loaded; pretend that they had not."""
    monkeypatch.setattr(aside, "_worth_it", lambda: True)


def test_a_second_process_draws_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(aside, "_draw", lambda *_: pytest.fail("drawn here"))
    with aside.drawing_aside() as helper:
        helper.begin(ANSWER, STYLE)
        assert helper.finish() == drawn()


@pytest.mark.parametrize(
    "code", ["pass", "import sys; sys.stdin.buffer.read(); print('no pictures')", "raise SystemExit(3)"]
)
def test_pictures_come_even_if_the_second_process_fails(monkeypatch: pytest.MonkeyPatch, code: str) -> None:
    monkeypatch.setattr(aside, "SERVE", code)
    with aside.drawing_aside() as helper:
        helper.begin(ANSWER, STYLE)
        assert helper.finish() == drawn()


def test_the_text_of_a_page_does_without_the_plotting_library() -> None:
    code = "import sys, tenhour.report.page.build; print('matplotlib' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


def test_pictures_come_where_no_second_process_can_start(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(sys, "executable", str(tmp_path / "nothing-here"))
    with aside.drawing_aside() as helper:
        helper.begin(ANSWER, STYLE)
        assert helper.finish() == drawn()


def test_a_module_in_the_users_folder_is_not_run(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    for name in ("matplotlib", "numpy", "tenhour", "pickle"):
        (tmp_path / f"{name}.py").write_text("open('ran', 'w').close()\n", "utf-8")
    monkeypatch.chdir(tmp_path)
    with aside.drawing_aside() as helper:
        helper.begin(ANSWER, STYLE)
        assert helper.finish() == drawn()
    assert not (tmp_path / "ran").exists()


def test_the_second_process_ends_with_an_error_of_the_first() -> None:
    children = []

    def fail() -> None:
        with aside.drawing_aside() as helper:
            children.append(helper._child)
            raise RuntimeError

    with pytest.raises(RuntimeError):
        fail()
    assert [child.poll() is None for child in children if child] == [False]


def test_the_second_process_leaves_when_nothing_is_asked() -> None:
    out = io.BytesIO()
    aside.serve(io.BytesIO(), out)
    assert out.getvalue() == b""
    aside.serve(io.BytesIO(pickle.dumps((ANSWER, STYLE))), out)
    assert pickle.loads(out.getvalue()) == drawn()


@pytest.mark.parametrize(
    ("processors", "loaded", "pays"), [({0}, False, False), ({0, 1}, True, False), ({0, 1}, False, True)]
)
def test_it_pays_with_a_free_processor_and_the_library_not_loaded(
    monkeypatch: pytest.MonkeyPatch, processors: set[int], loaded: bool, pays: bool
) -> None:
    monkeypatch.undo()
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: processors, raising=False)
    if not loaded:
        monkeypatch.delitem(sys.modules, aside.LIBRARY)
    assert aside._worth_it() is pays
