"""Data sets on disk: written beside their place and moved there whole."""

from __future__ import annotations

import io
import shutil
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from tenhour.errors import FileProblem, Problem
from tenhour.files.write import flush_folder, save_bytes

if TYPE_CHECKING:
    import xarray as xr

CHUNK_CELLS: Final = 100_000
"""Numbers in a chunk of Zarr at most, where no chunk of the first axis is smaller. Practice."""


def load_hdf() -> None:
    """Run the library of HDF files now where the command line has put that off, for others ask it for its version."""
    import h5py

    assert h5py.File


def save_netcdf(path: Path, found: xr.Dataset) -> None:
    """Write a data set as NetCDF 4, whole or not at all.

    Method: made in memory (some MB for ten thousand sites), for on a full disk the library of HDF files brings the
    program down.
    Errors: FileProblem for a full disk.
    """
    load_hdf()
    import h5netcdf
    from xarray.backends import H5NetCDFStore

    encoding = {name: {"zlib": True, "complevel": 4} for name in found.data_vars}
    made = io.BytesIO()
    with h5netcdf.File(made, "w") as file:
        found.dump_to_store(H5NetCDFStore(file), encoding=encoding)
    save_bytes(path, made.getvalue(), force=True)


def save_zarr(path: Path, found: xr.Dataset) -> None:
    """Write a data set as Zarr, format 2, a folder.

    Method: made in memory too, for on a full disk some of its writers would go on where others have failed.
    Errors: FileProblem for a full disk.
    """
    from zarr.storage import MemoryStore

    made: dict[str, Any] = {}
    store = MemoryStore(store_dict=made)
    found.to_zarr(store, mode="w", zarr_format=2, consolidated=True, encoding=_chunks(found))
    draft, old = (path.with_name(f".{path.name}.{what}") for what in ("new", "old"))
    shutil.rmtree(draft, ignore_errors=True)
    try:
        for name, data in made.items():
            (draft / name).parent.mkdir(parents=True, exist_ok=True)
            (draft / name).write_bytes(data.to_bytes())
        flush_folder(draft)
        shutil.rmtree(old, ignore_errors=True)
        if path.exists():
            path.replace(old)  # a folder takes no other's place in one step: whatever happens, one of the two is whole
        draft.replace(path)
        shutil.rmtree(old, ignore_errors=True)
    except OSError as error:
        raise _unwritten(path, error) from None
    finally:
        shutil.rmtree(draft, ignore_errors=True)


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
