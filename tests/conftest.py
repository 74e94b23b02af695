"""Settings of the whole suite."""

import functools
import os
import sys
from collections.abc import Iterator

import pytest
import typer.testing

from helpers_long import LONG
from helpers_once import asked_in, build_once

# Two workers on two processors: a worker that shares its small matrices among both only gets in the other's way.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# Building the command line from its signatures takes as long as many an answer; it holds nothing of a call.
typer.testing._get_command = functools.cache(typer.testing._get_command)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out the long part where nobody asked for it (``TENHOUR_LONG=1``)."""
    out = [] if LONG else [item for item in items if item.get_closest_marker("long")]
    if out:
        config.hook.pytest_deselected(items=out)
        items[:] = [item for item in items if not item.get_closest_marker("long")]


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> None:
    """Answers are kept within a file alone."""
    asked_in(item.path.as_posix())


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


@pytest.fixture(autouse=True)
def house_years_built_once(monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest) -> None:
    """Tests share the years of the houses they have in common; those of the rules need none."""
    if "tenhour.year.year" in sys.modules or not {"rules", "model"} & set(request.path.parts):
        build_once(monkeypatch)
