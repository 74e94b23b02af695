"""What happens to a run over many places when something breaks: killed, disk full, worker lost, scheduler away."""

from __future__ import annotations

import errno
import json
import os
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
import xarray as xr

from helpers_cli import tenhour
from helpers_long import LONG, many
from tenhour.door import atlasrun
from tenhour.door.atlasrun import cut, gaps_of
from tenhour.errors import FileProblem
from tenhour.files import write
from tenhour.files.atlas.sets import save_netcdf, save_zarr
from tenhour.report.atlas import maps

SITES = many(
    ((57.9, -5.2), (57.2, 24.9), (57.5, 8.5)),
    ((57.9, -5.2), (60.2, 24.9), (47.5, 8.5), (41.3, -73.9), (-45.9, 170.5), (64.8, -147.7)),
)
"""On one row of the net of latitudes in the short form, for that row to be worked out once."""


def words_of(folder: Path, *more: str) -> list[str]:
    places = folder / "places.csv"
    lines = [f"site {n},{lat},{lon},100" for n, (lat, lon) in enumerate(SITES)]
    places.write_text("\n".join(["place,latitude_deg,longitude_deg,elevation_m", *lines]))
    return ["atlas", "--places", str(places), "--ask", "light", "--house", "tunnel", *more]


def answer_of(folder: Path) -> xr.Dataset:
    with xr.open_dataset(folder / "atlas.nc", engine="h5netcdf") as found:
        return found.load()


def begun(words: list[str]) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "tenhour", *words]
    return subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)


def wait_for_a_part(folder: Path, seconds: float = 120.0) -> None:
    end = time.monotonic() + seconds
    while not list((folder / "parts").glob("part-*.npz")):
        assert time.monotonic() < end, "no part was written"
        time.sleep(0.02)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> xr.Dataset:
    """The answer of a run that nothing happened to."""
    folder = tmp_path_factory.mktemp("whole")
    assert tenhour(*words_of(folder, "-o", str(folder / "out"))).status == 0
    return answer_of(folder / "out")


@pytest.mark.parametrize("hands", [1, 2, 5])
def test_chunks_hold_every_site_that_is_left_once_and_end_small_for_several_workers(hands: int) -> None:
    done = [(48, 30), (400, 7)]
    gaps = gaps_of(done, 700)
    assert gaps == [(0, 48), (78, 322), (407, 293)]
    chunks = cut(gaps, 48, hands)
    sites = [site for first, count in sorted([*done, *chunks]) for site in range(first, first + count)]
    assert sites == list(range(700))
    assert max(count for _, count in chunks) == 48
    last = [count for first, count in chunks if first >= 407][:-1]
    assert last == sorted(last, reverse=True)
    assert (last[-1] == 12) == (hands > 1)


def test_a_killed_run_goes_on_from_what_is_whole(tmp_path: Path, whole: xr.Dataset) -> None:
    words = words_of(tmp_path, "--chunk", "1", "-o", str(tmp_path / "out"))
    with begun(words) as run:
        wait_for_a_part(tmp_path / "out")
        os.kill(run.pid, signal.SIGKILL)
    assert not (tmp_path / "out" / "atlas.nc").exists()
    done = tenhour(*words, "--json")
    assert done.status == 0, done.err
    assert json.loads(done.out)["chunks_kept"] >= 1
    xr.testing.assert_equal(whole, answer_of(tmp_path / "out"))


def test_a_full_disk_is_one_line_and_the_run_goes_on_later(
    tmp_path: Path, whole: xr.Dataset, monkeypatch: pytest.MonkeyPatch
) -> None:
    words = words_of(tmp_path, "--chunk", "1", "-o", str(tmp_path / "out"))
    real, parts = write._write, list[Path]()

    def full_after_one(target: Path, data: bytes, force: bool) -> None:
        if target.name.startswith("part-"):
            parts.append(target)
            if len(parts) > 1:
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        real(target, data, force)

    with monkeypatch.context() as patch:
        patch.setattr(write, "_write", full_after_one)
        done = tenhour(*words)
    assert done.status == 2
    assert "the disk is full" in done.err.splitlines()[-1]
    again = tenhour(*words, "--json")
    assert again.status == 0, again.err
    assert json.loads(again.out)["chunks_kept"] == 1
    xr.testing.assert_equal(whole, answer_of(tmp_path / "out"))


def test_a_run_stopped_while_maps_are_drawn_is_not_taken_for_a_finished_one(
    tmp_path: Path, whole: xr.Dataset, monkeypatch: pytest.MonkeyPatch
) -> None:
    words = words_of(tmp_path, "-o", str(tmp_path / "out"))

    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(maps, "maps_of", stopped)
        done = tenhour(*words)
    assert done.status == 130
    assert done.err.splitlines()[-1] == f"Stopped; {STANDS} {tmp_path / 'out'}, {GOES_ON}"
    assert (tmp_path / "out" / "atlas.nc").exists()
    again = tenhour(*words, "--json")
    assert again.status == 0, again.err
    assert json.loads(again.out)["chunks_kept"] == 1
    assert (tmp_path / "out" / "atlas.html").exists()
    xr.testing.assert_equal(whole, answer_of(tmp_path / "out"))
    assert "a finished run" in tenhour(*words).err


STANDS, GOES_ON = "what is done stands whole in", "and the same command goes on from there."


def test_of_another_question_nothing_old_stays_to_be_taken_for_its_answer(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "out"
    words = words_of(tmp_path, "-o", str(folder))
    assert tenhour(*words).status == 0
    (folder / "sow-by-kale-bed.png").write_bytes(b"a map of the first question")
    (folder / "mine.txt").write_text("notes", "utf-8")

    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    other = [*words[:-1], str(folder), "--winters", "3", "--force"]
    with monkeypatch.context() as patch:
        patch.setattr(atlasrun, "chunk_answers", stopped)
        assert tenhour(*other).status == 130
    assert {path.name for path in folder.iterdir()} == {"run.json", "parts", "mine.txt"}
    assert tenhour(*other[:-1]).status == 0  # it goes on, without --force
    assert (folder / "atlas.nc").exists()


def test_a_list_of_places_is_not_replaced_by_the_table_of_its_answers(tmp_path: Path) -> None:
    words = words_of(tmp_path, "-o", str(tmp_path), "--force")
    before = (tmp_path / "places.csv").read_text("utf-8")
    done = tenhour(*words)
    assert done.status == 2
    assert "a file that is read here" in done.err
    assert (tmp_path / "places.csv").read_text("utf-8") == before


@contextmanager
def files_of_at_most(bytes_count: int) -> Iterator[None]:
    """No file of this process grows beyond that: the system refuses as a full disk or a quota does."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (bytes_count, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, handler)


@pytest.mark.parametrize(("save", "name"), [(save_netcdf, "a.nc"), (save_zarr, "a.zarr")])
def test_data_sets_on_a_full_disk_are_whole_or_one_line(
    save: Callable[[Path, xr.Dataset], None], name: str, tmp_path: Path, whole: xr.Dataset
) -> None:
    """The library of HDF files ended the program there, and a writer of Zarr went on after the others had failed."""
    path, old = tmp_path / name, whole.isel(site=[0])
    for bytes_count in (64, 300, 1000):
        save(path, old)
        with files_of_at_most(bytes_count), pytest.raises(FileProblem, match=r"cannot be written.*\.$"):
            save(path, whole)
        assert list(tmp_path.iterdir()) == [path]
        with opened(path) as found:
            xr.testing.assert_equal(old, found.load())
    save(path, whole)
    with opened(path) as found:
        xr.testing.assert_equal(whole, found.load())


def opened(path: Path) -> xr.Dataset:
    return xr.open_dataset(path, engine="h5netcdf") if path.suffix == ".nc" else xr.open_zarr(path)


def test_a_scheduler_that_does_not_answer_is_one_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tenhour.door.atlasrun.PATIENCE", "1s")
    done = tenhour(*words_of(tmp_path, "--scheduler", "tcp://127.0.0.1:9", "-o", str(tmp_path / "out")))
    assert done.status == 2
    assert "which does not answer" in done.err.splitlines()[-1]
    assert "dask scheduler" in done.err


@pytest.mark.long
@pytest.mark.skipif(not LONG, reason="starts clusters")
def test_a_cluster_elsewhere_and_a_killed_worker_give_the_same(tmp_path: Path, whole: xr.Dataset) -> None:
    from distributed import LocalCluster

    words = words_of(tmp_path, "--chunk", "1")
    with (
        LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster,
        begun([*words, "--scheduler", cluster.scheduler_address, "-o", str(tmp_path / "out")]) as run,
    ):
        wait_for_a_part(tmp_path / "out")
        os.kill(next(iter(cluster.workers.values())).pid, signal.SIGKILL)
        assert run.wait(300) == 0
    xr.testing.assert_allclose(whole, answer_of(tmp_path / "out"), rtol=1e-6)  # stored in single precision


def test_the_places_of_a_country_are_its_sites(tmp_path: Path) -> None:
    done = tenhour("atlas", "--country", "is", "--step", "3", "--ask", "light", "--house", "tunnel", "-o",
                   tmp_path / "out")  # fmt: skip
    assert done.status == 0, done.err
    found = answer_of(tmp_path / "out")
    assert 4 <= found["latitude"].size <= 20
    assert float(found["latitude"].min()) > 63.0
    assert float(found["latitude"].max()) < 67.0  # Iceland: 63.4 to 66.5 N
    assert float(found["longitude"].max()) < -13.0
