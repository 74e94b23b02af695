"""Write what a run over a region found: data set, tables, maps and a page."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tenhour.door.atlasrun import Found, Job
    from tenhour.model.atlas import AtlasAnswer


def written(folder: Path, job: Job, found: Found) -> AtlasAnswer:
    """Write every file of a run and return the answer that names them.

    Errors: FileProblem for a full disk.
    """
    from datetime import UTC, datetime

    from tenhour.files.atlas.parts import DATA_FILE, PAGE_FILE, ZARR_FOLDER
    from tenhour.files.atlas.sets import save_netcdf, save_zarr
    from tenhour.files.packaged import outlines
    from tenhour.files.versions import notice_lines
    from tenhour.files.write import save_bytes
    from tenhour.model.atlas import AtlasAnswer
    from tenhour.model.house import cautions_of
    from tenhour.model.results import Basis
    from tenhour.report.atlas.dataset import data_set
    from tenhour.report.atlas.maps import drawn, ground_near, maps_of
    from tenhour.report.atlas.page import atlas_page
    from tenhour.report.atlas.sheets import place_tables
    from tenhour.report.spreadsheet import csv_text
    from tenhour.words import atlas as words
    from tenhour.words.style import METRIC

    files: list[Path] = []
    for table in place_tables(found.data):
        path = folder / f"{table.key}.csv"
        save_bytes(path, csv_text(table, METRIC).encode("utf-8"), force=True)
        files.append(path)
    made = f"{datetime.now(UTC):%Y-%m-%dT%H:%M:%SZ} tenhour atlas"
    found_set = data_set(found.data, made)
    save_zarr(folder / ZARR_FOLDER, found_set)
    save_netcdf(folder / DATA_FILE, found_set)
    files += [folder / ZARR_FOLDER, folder / DATA_FILE]
    maps, pictures, ground = maps_of(found.data), {}, ground_near(found.data, outlines())
    for one in maps:
        for ending, picture in drawn(one, found.data, ground).items():
            path = folder / f"{one.key}.{ending}"
            save_bytes(path, picture, force=True)
            files.append(path)
            pictures[one.key] = picture  # the last one stays: PNG
    own = job.sites.own_ghi_mj_m2_d is not None
    assumed = (words.OWN_GRID() if own else words.NORMALS(), words.PLACED())
    more = (words.MIDDLE(),) if "dates" in job.ask.questions and not job.ask.all_draws else ()
    inputs: dict[str, object] = {"folder": str(folder), "houses": list(found.data.houses)}
    cautions = tuple(dict.fromkeys(text for house in job.houses for text in cautions_of(house)))
    holes = int((found.data.hole != 0).sum())
    page = folder / PAGE_FILE
    files.append(page)
    answer = AtlasAnswer(
        Basis(inputs, (*assumed, *more), (), cautions), len(job.sites), holes, found.chunks, found.kept,
        found.seconds_s, tuple(str(path) for path in files),
    )  # fmt: skip
    text = atlas_page(answer, found.data, maps, pictures, notice_lines())
    save_bytes(page, text.encode("utf-8"), force=True)
    return answer
