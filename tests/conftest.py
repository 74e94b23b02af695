"""Settings of the whole suite."""

import os

# Two workers on two processors: a worker that shares its small matrices among both only gets in the other's way.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
