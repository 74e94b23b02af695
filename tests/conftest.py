"""Settings of the whole suite."""

import functools
import os

import typer.testing

# Two workers on two processors: a worker that shares its small matrices among both only gets in the other's way.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# Building the command line from its signatures takes as long as many an answer; it holds nothing of a call.
typer.testing._get_command = functools.cache(typer.testing._get_command)
