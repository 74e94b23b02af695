"""Data sets on disk: written beside their place and moved there whole."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from tenhour.errors import FileProblem, Problem

if TYPE_CHECKING:
    import xarray as xr

CHUNK_CELLS: Final = 100_000
"""Numbers in a chunk of Zarr at most, where no chunk of the first axis is smaller. Practice."""


def load_hdf() -> None:
    """Run the library of HDF files now where the command line has put that off, for others ask it for its version."""
    import h5py

    assert h5py.File


def save_netcdf(path: Path, found: xr.Dataset) -> None:
    """Write a data set as NetCDF 4. Errors: FileProblem for a full disk."""
    draft = path.with_name(f".{path.name}.new")
    load_hdf()
    encoding = {name: {"zlib": True, "complevel": 4} for name in found.data_vars}
    try:
        found.to_netcdf(draft, engine="h5netcdf", encoding=encoding)
        draft.replace(path)
    except OSError as error:
        draft.unlink(missing_ok=True)
        raise _unwritten(path, error) from None


def save_zarr(path: Path, found: xr.Dataset) -> None:
    """Write a data set as Zarr, format 2. Errors: FileProblem for a full disk."""
    draft, old = (path.with_name(f".{path.name}.{what}") for what in ("new", "old"))
    shutil.rmtree(draft, ignore_errors=True)
    try:
        found.to_zarr(draft, mode="w", zarr_format=2, consolidated=True, encoding=_chunks(found))
        shutil.rmtree(old, ignore_errors=True)
        if path.exists():
            path.replace(old)  # a folder takes no other's place in one step: whatever happens, one of the two is whole
        draft.replace(path)
        shutil.rmtree(old, ignore_errors=True)
    except OSError as error:
        shutil.rmtree(draft, ignore_errors=True)
        raise _unwritten(path, error) from None


def _chunks(found: xr.Dataset) -> dict[Any, dict[str, Any]]:
    out: dict[Any, dict[str, Any]] = {}
    for name, values in found.data_vars.items():
        rest = max(int(values.size // values.shape[0]), 1)
        out[name] = {"chunks": (min(max(CHUNK_CELLS // rest, 1), values.shape[0]), *values.shape[1:])}
    return out


def _unwritten(path: Path, error: OSError) -> FileProblem:
    found = f"cannot be written ({error.strerror or error})"
    do = "Make room and run it again: what is whole in the folder is kept."
    return FileProblem([Problem(str(path), "", found, "", do)])
