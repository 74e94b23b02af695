"""``tenhour crops``: the crop table, and one crop with the source of each value."""

from __future__ import annotations

from typing import Annotated

import typer

from tenhour.cli.common import CropsOption, HouseOption, JsonOption, user_errors
from tenhour.cli.output import CautionsOption, CsvOption, DatesOption, UnitsOption, house_units, output_of


def crops(
    name: Annotated[
        str | None, typer.Argument(help="One crop, to see the source of each value.", show_default=False)
    ] = None,
    crops: CropsOption = None,
    house: HouseOption = None,
    as_json: JsonOption = False,
    csv: CsvOption = None,
    units: UnitsOption = None,
    dates: DatesOption = "iso",
    all_notes: CautionsOption = False,
) -> None:
    """Show the crop table, or one crop with the source of each value."""
    with user_errors():
        from tenhour.files.crop import find_crop, load_all_facts, load_crops, load_facts, load_sources
        from tenhour.model.crop_answer import crop_answer, crops_answer
        from tenhour.report.common import noted
        from tenhour.report.crops import crop_tables, crop_text, crops_tables, crops_text

        out = output_of(house_units(house, units), units, dates, as_json=as_json, csv=csv, cautions=all_notes)
        table = load_crops(crops)
        if name is None:
            facts = load_all_facts(table)
            every = crops_answer(table, facts)
            out.give(
                every,
                lambda width: noted(crops_text(table, facts, width, out.style), every.basis, width, out.style),
                lambda: crops_tables(table),
            )
            return
        crop = find_crop(table, name)
        found, sources = load_facts(crop), load_sources(crops)
        answer = crop_answer(crop, found, sources)
        out.give(
            answer,
            lambda width: noted(crop_text(crop, found, sources, width, out.style), answer.basis, width, out.style),
            lambda: crop_tables(crop),
        )
