"""``tenhour crops``: the crop table, and one crop with the source of each value."""

from __future__ import annotations

from typing import Annotated

import typer

from tenhour.cli.common import CropsOption, JsonOption, print_answer, user_errors


def crops(
    name: Annotated[
        str | None, typer.Argument(help="One crop, to see the source of each value.", show_default=False)
    ] = None,
    crops: CropsOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show the crop table, or one crop with the source of each value."""
    with user_errors():
        from tenhour.files.crop import find_crop, load_all_facts, load_crops, load_facts, load_sources
        from tenhour.report.crops import crop_json, crop_text, crops_json, crops_text

        table = load_crops(crops)
        if name is None:
            facts = load_all_facts(table)
            print_answer(as_json, lambda: crops_json(table, facts), lambda width: crops_text(table, facts, width))
            return
        crop = find_crop(table, name)
        found, sources = load_facts(crop), load_sources(crops)
        print_answer(
            as_json,
            lambda: crop_json(crop, found, sources),
            lambda width: crop_text(crop, found, sources, width),
        )
