"""Settings of the whole suite."""

import functools
import os
import shutil
import sys
from collections.abc import Iterator

import pytest
import typer.testing

from helpers_long import LONG
from helpers_once import FOLDER, asked_in, build_once, trace_once

FIRST = ("browser", "year", "cli", "docs", "keys", "robust", "house", "atlas", "plan", "heat", "growth")
"""Rooms of tests by what their files take, the longest first."""
ONCE = "once"
"""Folder of the run that its workers share."""

# Two workers on two processors: a worker that shares its small matrices among both only gets in the other's way.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# Building the command line from its signatures takes as long as many an answer; it holds nothing of a call.
typer.testing._get_command = functools.cache(typer.testing._get_command)
typer.main.get_command = functools.cache(typer.main.get_command)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out the long part where nobody asked for it (``TENHOUR_LONG=1``)."""
    out = [] if LONG else [item for item in items if item.get_closest_marker("long")]
    if out:
        config.hook.pytest_deselected(items=out)
        items[:] = [item for item in items if not item.get_closest_marker("long")]
    items.sort(key=_turn)


def _turn(item: pytest.Item) -> int:
    """Rooms whose files take long come first, so that neither worker waits long for the other in the end."""
    return min((FIRST.index(room) for room in item.path.parts if room in FIRST), default=len(FIRST))


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Nothing of some hundred megabytes stays behind, once both workers are through."""
    if not os.environ.get("PYTEST_XDIST_WORKER"):
        shutil.rmtree(session.config._tmp_path_factory.getbasetemp() / ONCE, ignore_errors=True)  # type: ignore[attr-defined]


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> None:
    """Answers are kept within a file alone."""
    asked_in(item.path.as_posix())


@pytest.hookimpl(trylast=True)
def pytest_runtest_teardown(item: pytest.Item, nextitem: pytest.Item | None) -> None:
    """What a file has kept for its own tests, whole house-years among it, is let go of with the last of them."""
    if isinstance(item, pytest.Function) and (nextitem is None or nextitem.path != item.path):
        for own in vars(item.module).values():
            if getattr(own, "__module__", "") == item.module.__name__ and hasattr(own, "cache_clear"):
                own.cache_clear()


@pytest.fixture(scope="session", autouse=True)
def compiled_once(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Programs that tests start find modules compiled: in the run's folder, where none may lie beside the sources."""
    with pytest.MonkeyPatch.context() as patch:
        if os.environ.get("PYTHONDONTWRITEBYTECODE"):
            own = tmp_path_factory.getbasetemp()
            shared = own.parent if os.environ.get("PYTEST_XDIST_WORKER") else own
            patch.delenv("PYTHONDONTWRITEBYTECODE")
            patch.setenv("PYTHONPYCACHEPREFIX", str(shared / "compiled"))
        yield


@pytest.fixture(scope="session", autouse=True)
def folder_of_the_run(tmp_path_factory: pytest.TempPathFactory) -> None:
    """What one worker traced or grew the other finds."""
    own = tmp_path_factory.getbasetemp()
    FOLDER[:] = [(own.parent if os.environ.get("PYTEST_XDIST_WORKER") else own) / ONCE]
    FOLDER[0].mkdir(exist_ok=True)


@pytest.fixture(scope="module", autouse=True)
def house_years_built_once(request: pytest.FixtureRequest) -> Iterator[None]:
    """Tests, and what a file makes for all of its own, share the years of houses they have in common.

    Those of the rules need none.
    """
    with pytest.MonkeyPatch.context() as patch:
        if "tenhour.year.year" in sys.modules or not {"rules", "model"} & set(request.path.parts):
            build_once(patch)
            if "house" not in request.path.parts:  # where tracing itself is tested
                trace_once(patch)
        yield
