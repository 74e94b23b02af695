"""``tenhour check``: every problem of a house file at once, or the house as it was understood."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from tenhour.cli.common import JsonOption, load_house_in_use, print_answer, user_errors
from tenhour.cli.output import CautionsOption, DatesOption, UnitsOption, output_of
from tenhour.cli.quick import load_by_module


def check(
    file: Annotated[
        Path | None,
        typer.Argument(help="House file. Without it ./house.toml, then the built-in demo house.", show_default=False),
    ] = None,
    as_json: JsonOption = False,
    units: UnitsOption = None,
    dates: DatesOption = "iso",
    all_notes: CautionsOption = False,
) -> None:
    """List everything wrong with a house file at once, or say how it was understood."""
    with user_errors():
        load_by_module()
        from tenhour.cli.loading import sources
        from tenhour.report.check import check_text
        from tenhour.year.answers.coldest import understood

        house = load_house_in_use(file)
        style = output_of(house.us_units, units, dates, cautions=all_notes).style
        described = understood(house, sources(house), date.today())
        print_answer(as_json, described, lambda width: check_text(described, width, style))
