"""Settings of the whole suite."""

import functools
import os

import pytest
import typer.testing

from helpers_long import LONG

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
