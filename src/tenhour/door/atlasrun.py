"""A run over many sites: chunks handed to workers, kept as they come, and put together in the end."""

from __future__ import annotations

import signal
import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass, replace
from functools import lru_cache
from hashlib import sha256
from importlib.util import find_spec
from multiprocessing import resource_tracker
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import NDArray

from tenhour import __version__
from tenhour.errors import ARGUMENT, FileProblem, NoAnswer, Problem
from tenhour.files.atlas.parts import Parts, Span
from tenhour.files.house.read import house_at
from tenhour.model.atlas import NO_DATA, AtlasData, Sites
from tenhour.model.house import House
from tenhour.model.site import OwnMeans
from tenhour.plan.dates import DAYS, month_means
from tenhour.sky.normals import DARK_SLACK_W_M2, J_PER_MJ, KT_CEILING
from tenhour.sun.position import extraterrestrial_daily
from tenhour.units import SECONDS_PER_DAY
from tenhour.year.answers.atlas import Ask, Standing, answers, empty, standing

if TYPE_CHECKING:
    from tenhour.model.crop import Crop
    from tenhour.year.outside.sunlight import Sources

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Values = dict[str, Array]
Told = Callable[[int, int, float], None]
"""Told how many sites are done, of how many, and the seconds since the beginning."""

CHUNK_SITES: Final = 48
"""Sites of a chunk: 5 s to half a minute of work, so that little is lost when a worker dies. Practice."""
ALL_HOLES: Final = "Every site of this region is a hole: sea, or above 4000 m."
NEEDED: Final = ("dask", "distributed", "xarray", "zarr", "h5netcdf")
LAST_FRAC: Final = 0.25
"""Of a chunk, what the last ones come down to, so that no worker waits long for another in the end. Practice."""
AHEAD: Final = 2
"""Chunks handed out to each worker ahead of its work: bounds what waits in memory."""
MEMORY: Final = "2GB"
HEAP_SETTINGS: Final = ("MALLOC_TRIM_THRESHOLD_", "MALLOC_MMAP_THRESHOLD_")
"""Settings of the C library in workers: those of Dask hand every large array back to the system at once, and half of a
chunk's time goes by in asking for its memory anew (docs/method/scale.md)."""
KEPT_BYTES: Final = 2**28
"""Free memory that a worker keeps, and size from which an array is asked for by itself [bytes]."""
CLOSING_S: Final = 10
PATIENCE: Final = "20s"
"""How long a scheduler may take to answer. Practice."""
TRIES: Final = 3
"""Times a chunk is tried whose worker dies."""
ANY_CLOCK: Final = "UTC"
"""No answer of an atlas is told by the clock, and zones are slow to look up."""
NORTH, EQUATOR, SOUTH = 50.0, 5.0, -50.0
"""Latitudes on either side of where months of snow change."""


@dataclass(frozen=True)
class Job:
    """What is asked of a region."""

    sites: Sites
    houses: tuple[House, ...]
    crops: tuple[Crop, ...]
    ask: Ask

    def asked(self) -> dict[str, object]:
        """Everything that bears on the result, in short."""
        digest = sha256()
        sites = self.sites
        for part in (sites.latitude_deg, sites.longitude_deg, sites.elevation_m, sites.hole, sites.own_ghi_mj_m2_d,
                     sites.own_temp_degc):  # fmt: skip
            digest.update(b"none" if part is None else np.ascontiguousarray(part).tobytes())
        houses = sha256("\n".join(repr(replace(house, path="")) for house in self.houses).encode())
        crops = sha256("\n".join(repr(crop) for crop in self.crops).encode())
        return {
            "tenhour": __version__, "sites": digest.hexdigest(), "houses": houses.hexdigest(),
            "crops": crops.hexdigest(), "ask": asdict(self.ask), "order": "from south to north",
        }  # fmt: skip


def check_extra() -> None:
    """Errors: FileProblem where what an atlas needs is not installed."""
    missing = [name for name in NEEDED if find_spec(name) is None]
    if missing:
        found = f"no {', '.join(missing)} here"
        raise FileProblem([Problem("tenhour atlas", "", found, "", "Install it: pip install 'tenhour[atlas]'")])


def plain_house(house: House) -> House:
    """A house as it is asked about in other places: without the weather and the means of its own.

    Errors: FileProblem for a house with lamps, whose hours belong to one place.
    """
    if house.lamps:
        found = f"{house.name or house.path}, a house with lamps"
        raise FileProblem([Problem(ARGUMENT, "house", found, "houses by daylight", "Take [[lamps]] out of the file.")])
    site = replace(house.site, climate="normals", weather_path="", means=None)
    return replace(house, site=site, nursery=None)


def check_job(job: Job) -> None:
    """Refuse what would not be told apart or not be answered at all.

    Errors: FileProblem for two houses of one name, whose rows and maps would be one another's, and where dates are
    asked of crops that are grown for fruit alone, which get none.
    """
    names = [_called(house) for house in job.houses]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        found = f"{names.count(twice[0])} houses named {twice[0]!r}"
        do = "Leave one out, or give its file another name."
        raise FileProblem([Problem(ARGUMENT, "house", found, "each name once", do)])
    if "dates" in job.ask.questions and job.crops and all(crop.way == "fruiting" for crop in job.crops):
        found = f"{', '.join(crop.key for crop in job.crops)}, grown for fruit, which have neither date"
        do = "Add another crop, or ask tenhour season about these at a place."
        raise FileProblem([Problem(ARGUMENT, "crop", found, "crops of other kinds", do)])


def check_means(sites: Sites, file: str) -> None:
    """Hold the user's own light against what reaches the top of the air, as a weather file's is.

    Parameters: sites; file, named in the problem.
    Errors: FileProblem with the first month that is brighter than any month on earth.
    """
    if sites.own_ghi_mj_m2_d is None:
        return
    own = np.flatnonzero(sites.hole == 0)
    lat = sites.latitude_deg[own][:, None]
    beyond = extraterrestrial_daily(lat, np.arange(1, DAYS + 1)) * SECONDS_PER_DAY / J_PER_MJ
    limit = KT_CEILING * np.stack([month_means(row) for row in beyond])
    slack = DARK_SLACK_W_M2 * SECONDS_PER_DAY / J_PER_MJ
    row, month = np.nonzero(sites.own_ghi_mj_m2_d[own] > limit + slack)
    if row.size:
        site, number = int(own[row[0]]), int(month[0])
        where = f"{sites.latitude_deg[site]:g}, {sites.longitude_deg[site]:g}"
        found = f"{sites.own_ghi_mj_m2_d[site, number]:.2f} MJ m-2 d-1 in month {number + 1} at {where}"
        allowed = f"0 to {limit[row[0], number]:.2f}, four fifths of what reaches the top of the air"
        raise FileProblem([Problem(file, "monthly light", found, allowed, "Is the unit right?")])


@lru_cache(maxsize=1)
def _sources() -> Sources:
    from tenhour.files.packaged import normals, perez_sky, weather_hours
    from tenhour.year.outside.sunlight import Sources

    return Sources(normals=normals(), perez=perez_sky(), hours=weather_hours())


def standings_of(houses: Sequence[House]) -> tuple[Standing, ...]:
    """Every house traced once, in the life of this process."""
    found = []
    for house in houses:
        key = repr(house)
        if key not in _STANDING:
            moved = [house_at(house, latitude, 10.0, 0.0) for latitude in (NORTH, EQUATOR, SOUTH)]
            _STANDING[key] = standing(house, moved)
        found.append(_STANDING[key])
    while len(_STANDING) > MOST_TRACED:
        _STANDING.pop(next(iter(_STANDING)))
    return tuple(found)


_STANDING: Final[dict[str, Standing]] = {}
MOST_TRACED: Final = 8
"""Houses whose coefficients are kept, some 15 MB each. Judgement."""


def chunk_answers(standings: Sequence[Standing], crops: Sequence[Crop], ask: Ask, sites: Mapping[str, Array]) -> Values:
    """Answers of some sites: what a worker does.

    Parameters: sites, latitude_deg, longitude_deg, elevation_m [N], and ghi_mj_m2_d, temp_degc [N, 12] where the user
    gave means of his own.
    """

    def moved(house: House, number: int) -> House:
        lat, lon, height = (float(sites[name][number]) for name in ("latitude_deg", "longitude_deg", "elevation_m"))
        here = house_at(house, lat, lon, height, ANY_CLOCK)
        if "ghi_mj_m2_d" not in sites:
            return here
        ghi, temp = (tuple(sites[name][number].tolist()) for name in ("ghi_mj_m2_d", "temp_degc"))
        return replace(here, site=replace(here.site, climate="means", means=OwnMeans(ghi_mj_m2_d=ghi, temp_degc=temp)))

    return answers(standings, moved, len(sites["latitude_deg"]), _sources(), crops, ask)


@dataclass(frozen=True)
class Found:
    """What a run found, and how it went."""

    data: AtlasData
    chunks: int
    kept: int
    damaged: tuple[Span, ...]
    seconds_s: float


def run(
    job: Job,
    parts: Parts,
    told: Told,
    *,
    workers: int = 0,
    scheduler: str | None = None,
    chunk: int = CHUNK_SITES,
    preload: str = "",
) -> Found:
    """Answer for every site of a region, from where an earlier run of the same stopped.

    Parameters: job; parts, the run's folder; told, about progress; workers, processes of a local cluster, 0 for this
    process alone; scheduler, address of a Dask cluster instead; chunk, sites of one;
    preload, Python that each process of a local cluster runs before it loads anything of ours.
    Errors: FileProblem for a scheduler that cannot be reached, a full disk; NoAnswer where every site is a hole, or a
    chunk fails again and again.
    """
    begin = time.monotonic()
    asked = asked_sites(job.sites)
    done: dict[Span, Values] = dict(parts.whole(asked.size))
    kept, ready = len(done), sum(count for _, count in done)
    gaps = gaps_of(done, asked.size)
    if gaps:
        for span, values in _computed(job, asked, gaps, chunk, workers, scheduler, preload):
            parts.keep(span, values)
            done[span] = values
            ready += span[1]
            told(ready, asked.size, time.monotonic() - begin)
    values, hole = _whole(job, asked, done)
    return Found(_data(job, values, hole), len(done), kept, tuple(parts.damaged), time.monotonic() - begin)


def asked_sites(sites: Sites) -> Index:
    """Numbers of the sites that are no holes, from south to north: a chunk then needs few latitudes of light.

    Errors: NoAnswer where every site is a hole.
    """
    asked = np.flatnonzero(sites.hole == 0)
    if not asked.size:
        raise NoAnswer(ALL_HOLES)
    return asked[np.argsort(sites.latitude_deg[asked], kind="stable")]


def gaps_of(done: Iterable[Span], count: int) -> list[Span]:
    """Sites of so many that are in no chunk yet, in order. Parameters: done, chunks that do not overlap; count."""
    gaps, free = [], 0
    for first, size in [*sorted(done), (count, 0)]:
        if first > free:
            gaps.append((free, first - free))
        free = first + size
    return gaps


def cut(gaps: Iterable[Span], chunk: int, hands: int) -> list[Span]:
    """Chunks of sites for so many workers, smaller towards the end.

    Parameters: gaps, sites to be cut; chunk, sites of one at most; hands, workers.
    Method: each takes half of what falls to one worker of what is left, within bounds (guided self-scheduling;
    Polychronopoulos & Kuck 1987, from memory); one worker alone has whole chunks.
    """
    gaps = list(gaps)
    left, found = sum(count for _, count in gaps), list[Span]()
    for first, count in gaps:
        while count:
            share = chunk if hands < 2 else max(-(-left // (2 * hands)), round(LAST_FRAC * chunk), 1)
            size = min(share, chunk, count)
            found.append((first, size))
            first, count, left = first + size, count - size, left - size
    return found


def lazy_data(job: Job, chunk: int = CHUNK_SITES) -> AtlasData:
    """What would be found for a region, as dask arrays that nobody has worked out yet.

    Parameters: job; chunk, sites worked out together.
    """
    import dask.array as da
    from dask.delayed import delayed

    count, asked = len(job.sites), asked_sites(job.sites)
    blocks = [asked[first : first + chunk] for first in range(0, asked.size, chunk)]
    standings, crops = delayed(standings_of)(job.houses), delayed(job.crops, traverse=False)
    work = [delayed(chunk_answers)(standings, crops, job.ask, _slice(job.sites, block)) for block in blocks]
    beds = sum(len(house.beds) for house in job.houses)
    nothing = empty(1, len(job.houses), beds, len(job.crops), job.ask)
    place = np.full(count, asked.size)
    place[asked] = np.arange(asked.size)
    in_order = np.array_equal(place, np.arange(asked.size))
    values: dict[str, Any] = {}
    for name, hole in nothing.items():
        parts = [
            da.from_delayed(one[name], (len(block), *hole.shape[1:]), hole.dtype)
            for one, block in zip(work, blocks, strict=True)
        ]
        whole = da.concatenate(parts)
        values[name] = whole if in_order else da.concatenate([whole, da.from_array(hole)])[place]
    dark = da.isnan(values["outdoor_dli_mol_m2_d"]).any(axis=1) & (job.sites.hole == 0)
    return _data(job, values, da.where(dark, np.int8(NO_DATA), job.sites.hole))


def _data(job: Job, values: Values, hole: NDArray[np.int8]) -> AtlasData:
    beds = tuple((_called(house), bed.name) for house in job.houses for bed in house.beds)
    houses, crops = tuple(_called(house) for house in job.houses), tuple((crop.key, crop.name) for crop in job.crops)
    return AtlasData(job.sites, houses, beds, crops, values, hole, _method(job.ask))


def _called(house: House) -> str:
    return Path(house.path).stem if house.path else house.name or "house"


def _method(ask: Ask) -> str:
    seasons = "dates medians of all drawn seasons" if ask.all_draws else "dates of the middle season"
    told = ["light by day and clearness of the sky"]
    told += [seasons] if "dates" in ask.questions else []
    told += [f"air and heat of {ask.winters} winters by the hour"] if {"dates", "heat"} & set(ask.questions) else []
    return f"tenhour {__version__}: {'; '.join(told)}"


def _whole(job: Job, asked: Index, done: dict[Span, Values]) -> tuple[Values, NDArray[np.int8]]:
    """All chunks as arrays over all sites."""
    count, some = len(job.sites), next(iter(done.values()))
    values = {name: np.full((count, *part.shape[1:]), np.nan, dtype=np.float64) for name, part in some.items()}
    for (first, size), found in done.items():
        for name, part in found.items():
            values[name][asked[first : first + size]] = part
    hole = job.sites.hole.copy()
    hole[(hole == 0) & np.isnan(values["outdoor_dli_mol_m2_d"]).any(axis=1)] = NO_DATA
    return values, hole


def _slice(sites: Sites, block: Index) -> dict[str, Array]:
    rows = {"latitude_deg": sites.latitude_deg, "longitude_deg": sites.longitude_deg, "elevation_m": sites.elevation_m}
    if sites.own_ghi_mj_m2_d is not None and sites.own_temp_degc is not None:
        rows |= {"ghi_mj_m2_d": sites.own_ghi_mj_m2_d, "temp_degc": sites.own_temp_degc}
    return {name: values[block] for name, values in rows.items()}


def _computed(
    job: Job, asked: Index, gaps: list[Span], chunk: int, workers: int, scheduler: str | None, preload: str
) -> Iterator[tuple[Span, Values]]:
    """Chunks as they are done, in any order."""
    standings = standings_of(job.houses)
    if scheduler is None and not workers:
        for first, count in cut(gaps, chunk, 1):
            sites = _slice(job.sites, asked[first : first + count])
            yield (first, count), chunk_answers(standings, job.crops, job.ask, sites)
        return
    with _client(workers, scheduler, preload) as client:
        yield from _spread(client, job, standings, asked, gaps, chunk)


@contextmanager
def _client(workers: int, scheduler: str | None, preload: str) -> Iterator[Any]:
    """A cluster: that at an address, or processes of this machine."""
    import dask
    from distributed import Client, LocalCluster

    quiet = {"distributed.scheduler.allowed-failures": TRIES, "distributed.comm.timeouts.connect": PATIENCE}
    kept = {f"distributed.nanny.pre-spawn-environ.{name}": KEPT_BYTES for name in HEAP_SETTINGS}
    first = [*dask.config.get("distributed.worker.preload", ()), preload] if preload else None
    begins = {} if first is None else {"distributed.worker.preload": first}
    with dask.config.set(quiet | kept | begins):
        if scheduler is not None:
            try:
                client = Client(scheduler, timeout=PATIENCE)
            except (OSError, ValueError, TimeoutError) as error:
                found = f"{scheduler!r}, which does not answer ({type(error).__name__})"
                do = "Start one with: dask scheduler, and dask worker ADDRESS on every machine."
                raise FileProblem([Problem("command line", "--scheduler", found, "tcp://HOST:PORT", do)]) from None
            with client:
                yield client
            return
        with _uninterrupted():
            cluster = LocalCluster(
                n_workers=0, threads_per_worker=1, memory_limit=MEMORY, dashboard_address=None, silence_logs=50,
            )  # fmt: skip
        try:
            with Client(cluster) as client:
                cluster.scale(workers)
                client.wait_for_workers(workers)
                yield client
        finally:
            _close(cluster)


@contextmanager
def _uninterrupted() -> Iterator[None]:
    """What is begun within never hears of Ctrl-C, which a terminal sends to every process: the first alone ends them.

    Method: the signal is blocked; threads and processes inherit that, and the processes of a cluster are started by
    its thread.
    """
    if not hasattr(signal, "pthread_sigmask"):  # pragma: no cover
        yield
        return
    resource_tracker.ensure_running()  # whoever starts it unblocks the signal
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _close(cluster: Any) -> None:
    """End a cluster, also one whose processes are still being started, which it cannot end in good order."""
    closed = False
    try:
        cluster.close(timeout=CLOSING_S)
        closed = True
    except (AssertionError, TimeoutError):
        pass
    finally:  # stopped again on the way too: its processes end with this one, and nothing is tried once more
        cluster.shutdown_on_close = closed


def _spread(
    client: Any, job: Job, standings: tuple[Standing, ...], asked: Index, gaps: list[Span], chunk: int
) -> Iterator[tuple[Span, Values]]:
    from distributed import KilledWorker, as_completed

    here, crops = client.scatter([standings, job.crops], broadcast=True)
    hands = max(len(client.scheduler_info(n_workers=-1)["workers"]), 1)
    left = cut(gaps, chunk, hands)
    waiting, names = iter(left), {}

    def hand_out() -> Any:
        first, count = next(waiting)
        sites = _slice(job.sites, asked[first : first + count])
        future = client.submit(chunk_answers, here, crops, job.ask, sites, pure=False)
        names[future.key] = first, count
        return future

    running = as_completed([hand_out() for _ in range(min(AHEAD * hands, len(left)))])
    for future in running:
        span = names.pop(future.key)
        try:
            values = future.result()
        except KilledWorker:
            raise NoAnswer(
                f"The chunk of sites from number {span[0] + 1} on ended its worker {TRIES} times: too little memory? "
                "Run it again with --chunk 8; what is whole is kept."
            ) from None
        yield span, values
        if len(names) < AHEAD * hands:
            try:
                running.add(hand_out())
            except StopIteration:
                continue
