"""``tenhour atlas``: many places at once, for advisers."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final, Literal

import typer

from tenhour.cli.common import (
    EXIT_STOPPED,
    CropsOption,
    JsonOption,
    OnlyCropsOption,
    number_option,
    remark,
    user_errors,
)
from tenhour.cli.output import CautionsOption, ForceOption, UnitsOption, output_of
from tenhour.cli.progress import working
from tenhour.cli.quick import load_by_module
from tenhour.errors import FileProblem, Problem
from tenhour.pace import tell

if TYPE_CHECKING:
    from tenhour.model.atlas import Sites
    from tenhour.model.house import House
    from tenhour.year.answers.atlas import Question

MOST_WORKERS: Final = 256
LOADING: Final = "from tenhour.cli.quick import load_by_module\nload_by_module()\n"
"""What workers run first: of large libraries they then load what they use, as this process does."""


def atlas(
    box: Annotated[
        str | None, typer.Option("--box", help="SOUTH,WEST,NORTH,EAST in degrees.", show_default=False)
    ] = None,
    places: Annotated[
        Path | None, typer.Option("--places", help="A list of places, or a CSV of coordinates.", show_default=False)
    ] = None,
    outline: Annotated[
        Path | None, typer.Option("--outline", help="Polygons in a GeoJSON file.", show_default=False)
    ] = None,
    country: Annotated[
        str | None, typer.Option("--country", help="The known places of a country (NO).", show_default=False)
    ] = None,
    step: Annotated[
        str | None, typer.Option("--step", help="Degrees between points, or a place each.", show_default=False)
    ] = None,
    folder: Annotated[Path, typer.Option("-o", "--folder", help="Folder to write to.")] = Path("atlas"),
    house: Annotated[
        list[str] | None,
        typer.Option("--house", "-H", help="A house file or the name of a standard house; repeat.", show_default=False),
    ] = None,
    ask: Annotated[
        list[str] | None,
        typer.Option("--ask", help="light, dates or heat; repeat; all three if none.", show_default=False),
    ] = None,
    crop: OnlyCropsOption = None,
    crops: CropsOption = None,
    draws: Annotated[
        Literal["middle", "all"], typer.Option("--draws", help="Dates by the middle draw, or the median of all.")
    ] = "middle",
    winters: Annotated[
        int | None,
        typer.Option(
            "--winters",
            help="Winters followed by the hour: 5, or 10 with all draws, if not named.",
            min=1,
            max=24,
            show_default=False,
        ),
    ] = None,
    workers: Annotated[
        int, typer.Option("--workers", help="Processes on this machine; 0 for none beside this.", min=0)
    ] = 0,
    scheduler: Annotated[
        str | None, typer.Option("--scheduler", help="Address of a Dask cluster.", show_default=False)
    ] = None,
    chunk: Annotated[int, typer.Option("--chunk", help="Sites computed and kept together.", min=1, max=1000)] = 48,
    grid: Annotated[
        Path | None, typer.Option("--grid", help="Monthly means of your own (NetCDF or Zarr).", show_default=False)
    ] = None,
    force: ForceOption = False,
    as_json: JsonOption = False,
    units: UnitsOption = None,
    all_notes: CautionsOption = False,
) -> None:
    """Many places at once: light, sow-by dates and heat of a house over a region, as data, tables and maps."""
    with user_errors():
        load_by_module()
        from tenhour.cli.loading import choose_crops
        from tenhour.door.atlasrun import Job, check_extra, check_job, run

        check_extra()
        from tenhour.files.atlas.parts import TABLE_FILES, Parts
        from tenhour.files.write import check_not_read
        from tenhour.report.atlas.text import atlas_tables, atlas_text
        from tenhour.year.answers.atlas import Ask

        out = output_of(False, units, "iso", as_json=as_json, cautions=all_notes)
        chosen = choose_crops(crops, crop)
        sites = _sites(box, places, outline, country, number_option("--step", step, 0.0, 30.0), grid)
        job = Job(sites, _houses(house), chosen, Ask.usual(_questions(ask), draws == "all", winters))
        check_job(job)
        check_not_read([("-o", folder / name) for name in TABLE_FILES])
        parts = Parts(folder, job.asked(), force)
        with _goes_on(folder):
            with working("Working out the atlas", of="sites"):
                found = run(
                    job, parts, _told, workers=min(workers, MOST_WORKERS), scheduler=scheduler, chunk=chunk,
                    preload=LOADING,
                )  # fmt: skip
            for first, _ in found.damaged:
                remark(f"{folder}: the part from site {first + 1} on was damaged and is computed anew.")
            from tenhour.cli.atlas_files import written

            answer = written(folder, job, found)
        out.give(answer, lambda width: atlas_text(answer, width, out.style), lambda: atlas_tables(answer))


@contextmanager
def _goes_on(folder: Path) -> Iterator[None]:
    """Say what stays when the work is stopped from the keyboard."""
    try:
        yield
    except KeyboardInterrupt:
        remark(f"Stopped; what is done stands whole in {folder}, and the same command goes on from there.")
        sys.exit(EXIT_STOPPED)


def _questions(names: list[str] | None) -> tuple[Question, ...]:
    """What is asked, in the order of the answers; light always."""
    from tenhour.cli.loading import unknown
    from tenhour.year.answers.atlas import QUESTIONS

    problems = [unknown("--ask", name, QUESTIONS) for name in names or () if name not in QUESTIONS]
    if problems:
        raise FileProblem(problems)
    return tuple(name for name in QUESTIONS if not names or name in names)


def _sites(
    box: str | None,
    places: Path | None,
    outline: Path | None,
    country: str | None,
    step_deg: float | None,
    grid: Path | None,
) -> Sites:
    from tenhour.files.atlas import regions

    given = {"--box": box, "--places": places, "--outline": outline, "--country": country, "--grid": grid}
    named = [name for name, value in given.items() if value is not None]
    if len(named) != 1:
        found = " and ".join(named) or "no region"
        allowed = "one of " + ", ".join(given)
        raise FileProblem([Problem("command line", "atlas", found, allowed, "")])
    if step_deg is not None and named[0] in ("--places", "--grid"):
        found = f"{step_deg:g} beside {named[0]}, which has its own points"
        allowed = "a step beside --box, --outline or --country"
        raise FileProblem([Problem("command line", "--step", found, allowed, "Take it out.")])
    if box is not None:
        return regions.box_sites(box, step_deg)
    if outline is not None:
        return regions.outline_sites(outline, step_deg)
    if country is not None:
        return regions.country_sites(country, step_deg)
    if places is not None:
        return regions.listed_sites(places)
    assert grid is not None
    from tenhour.door.atlasrun import check_means
    from tenhour.files.atlas.grids import grid_sites

    sites = grid_sites(grid)
    check_means(sites, str(grid))
    return sites


def _houses(names: list[str] | None) -> tuple[House, ...]:
    """House files and standard houses by name; the small glasshouse where none is named."""
    from tenhour.door.atlasrun import plain_house
    from tenhour.files.house.read import load_house
    from tenhour.files.house.standard import standard_houses

    known = standard_houses()
    if not names:
        first = next(iter(known))
        remark(f"No house given: this atlas is for the standard house {first!r}; others: {', '.join(known)}.")
        return (plain_house(known[first]),)
    return tuple(plain_house(known[name] if name in known else load_house(Path(name))) for name in names)


def _told(done: int, count: int, seconds_s: float) -> None:
    """How far the atlas is: to the line on the terminal, or as lines on stderr."""
    tell(done, count, "sites")
    if not sys.stderr.isatty():
        rate = done / seconds_s if seconds_s > 0.0 else 0.0
        left_s = (count - done) / rate if rate > 0.0 else 0.0
        remark(f"{done} of {count} sites, {rate:.2f} sites a second, {left_s / 60.0:.0f} min left")
