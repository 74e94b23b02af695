"""Many places at once for Python: answers of houses over a region as a data set that is worked out when it is read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Literal

import numpy as np

from tenhour.door.arguments import choice_of, number_of, wrong
from tenhour.door.house import House
from tenhour.errors import ARGUMENT, FileProblem, Problem

if TYPE_CHECKING:
    import xarray as xr

    from tenhour.model.atlas import Sites
    from tenhour.model.house import House as HouseModel

MOST_WINTERS: Final = 24
MOST_CHUNK: Final = 1000

Spot = tuple[float, float] | tuple[float, float, float]
"""Latitude and longitude [°], and the height [m] where it is known."""


def atlas(
    houses: House | str | Sequence[House | str] = "glasshouse",
    *,
    box: tuple[float, float, float, float] | None = None,
    step_deg: float | None = None,
    places: str | Path | Sequence[Spot] | None = None,
    outline: str | Path | None = None,
    country: str | None = None,
    grid: str | Path | None = None,
    ask: str | Sequence[str] = ("light", "dates", "heat"),
    crops: str | Path | Sequence[str] | None = None,
    draws: Literal["middle", "all"] = "middle",
    winters: int | None = None,
    chunk: int | None = None,
) -> xr.Dataset:
    """Answers of houses at many places, as arrays that are worked out when they are read (dask, xarray).

    Parameters: houses, by daylight, or names of the standard houses; one of box (south, west, north, east [°]),
    outline (a GeoJSON file), both with step_deg between points, places (a file as ``tenhour atlas --places`` takes it,
    or latitude, longitude and height of each), country (its letters; step_deg for the largest place of each square),
    grid (a file of your own monthly means); ask, of light, dates, heat; crops, as in Year; draws, of dates; winters,
    1 to 24 that are followed by the hour, 5 or with all draws 10 if None; chunk, sites worked out together.
    Returns: the data set that ``tenhour atlas`` writes, each variable in chunks of sites: ``.compute()`` works it out,
    on the cluster of a dask client if there is one; holes, sea and places without data, are NaN.
    Errors: FileProblem for an argument that cannot be used, a house with lamps, and where an extra is missing.
    """
    from tenhour.door.atlasrun import CHUNK_SITES, Job, check_extra, check_job, lazy_data
    from tenhour.door.year import crops_of
    from tenhour.report.atlas.dataset import data_set
    from tenhour.year.answers.atlas import QUESTIONS, Ask

    check_extra()
    wanted = [choice_of("ask", name, QUESTIONS) for name in ([ask] if isinstance(ask, str) else ask)]
    questions = tuple(name for name in QUESTIONS if name in wanted)
    some = None if winters is None else round(number_of("winters", winters, 1, MOST_WINTERS))
    size = CHUNK_SITES if chunk is None else round(number_of("chunk", chunk, 1, MOST_CHUNK))
    choice_of("draws", draws, ("middle", "all"))
    sites = _sites(box, step_deg, places, outline, country, grid)
    many = [houses] if isinstance(houses, House | str) else list(houses)
    job = Job(sites, tuple(_plain(own) for own in many), crops_of(crops)[1], Ask.usual(questions, draws == "all", some))
    check_job(job)
    made = f"{datetime.now(UTC):%Y-%m-%dT%H:%M:%SZ} tenhour, from Python"
    return data_set(lazy_data(job, size), made)


def _plain(own: House | str) -> HouseModel:
    from tenhour.door.atlasrun import plain_house
    from tenhour.files.house.standard import standard_houses

    if isinstance(own, House):
        return plain_house(own.model)
    known = standard_houses()
    return plain_house(known[choice_of("houses", own, known)])


def _sites(
    box: tuple[float, float, float, float] | None,
    step_deg: float | None,
    places: str | Path | Sequence[Spot] | None,
    outline: str | Path | None,
    country: str | None,
    grid: str | Path | None,
) -> Sites:
    from tenhour.door.atlasrun import check_means
    from tenhour.files.atlas import regions
    from tenhour.files.atlas.grids import grid_sites

    given = {"box": box, "places": places, "outline": outline, "country": country, "grid": grid}
    named = [name for name, value in given.items() if value is not None]
    if len(named) != 1:
        raise wrong("region", " and ".join(named) or "none", f"one of {', '.join(given)}")
    if step_deg is not None and named[0] in ("places", "grid"):
        raise wrong("step_deg", f"{step_deg:g}", f"none beside {named[0]}, which has its own points")
    try:
        if box is not None:
            return regions.box_sites(",".join(str(part) for part in box), step_deg)
        if outline is not None:
            return regions.outline_sites(Path(outline), step_deg)
        if country is not None:
            return regions.country_sites(country, step_deg)
        if grid is not None:
            sites = grid_sites(Path(grid))
            check_means(sites, str(grid))
            return sites
        assert places is not None
        return regions.listed_sites(Path(places)) if isinstance(places, str | Path) else _spots(places)
    except FileProblem as error:
        raise FileProblem([_of_argument(problem) for problem in error.problems]) from None


def _of_argument(problem: Problem) -> Problem:
    """A problem of the command line as one of an argument."""
    if problem.file != "command line":
        return problem
    name = problem.key.removeprefix("--")
    return replace(problem, file=ARGUMENT, key="step_deg" if name == "step" else name, do="")


def _spots(places: Sequence[Spot]) -> Sites:
    from tenhour.files.atlas.regions import on_the_ground

    rows: list[tuple[float, float, float]] = []
    for number, place in enumerate(places, start=1):
        found: tuple[Any, ...] = tuple(place)
        if len(found) not in (2, 3):
            raise wrong(f"places[{number}]", place, "latitude and longitude, or these and a height")
        lat = number_of(f"places[{number}]", found[0], -90.0, 90.0)
        lon = number_of(f"places[{number}]", found[1], -180.0, 180.0)
        rows.append((lat, lon, number_of(f"places[{number}]", found[2], -450.0, 6000.0) if len(found) > 2 else np.nan))
    if not rows:
        raise wrong("places", places, "one place or more")
    names = tuple(f"{lat:g}, {lon:g}" for lat, lon, _ in rows)
    lat_deg, lon_deg, height_m = np.array(rows).T
    return on_the_ground(names, lat_deg, lon_deg, height_m, sea=False)
