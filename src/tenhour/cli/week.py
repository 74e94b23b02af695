"""``tenhour`` by itself, and ``tenhour week``: what to do this week."""

from __future__ import annotations

from datetime import date
from typing import Annotated

import typer

from tenhour.cli.common import CropsOption, HouseOption, JsonOption, load_house_in_use, user_errors
from tenhour.cli.output import CautionsOption, CsvOption, DatesOption, UnitsOption, output_of
from tenhour.cli.progress import working
from tenhour.cli.quick import load_by_module


def week(
    house: HouseOption = None,
    on: Annotated[
        str | None, typer.Option("--on", help="First day of the week; today if not given.", show_default=False)
    ] = None,
    crops: CropsOption = None,
    as_json: JsonOption = False,
    csv: CsvOption = None,
    units: UnitsOption = None,
    dates: DatesOption = "iso",
    all_notes: CautionsOption = False,
) -> None:
    """This week: what to sow, what to do with what stands, cover and heater, lamps, water. The same as bare tenhour."""
    with user_errors():
        load_by_module()
        from tenhour.cli.loading import all_at_once, choose_crops, log_of, parse_date, sources
        from tenhour.report.week import week_tables, week_text

        when, in_use, chosen = all_at_once(
            lambda: parse_date("--on", on), lambda: load_house_in_use(house), lambda: choose_crops(crops, None)
        )
        out = output_of(in_use.us_units, units, dates, as_json=as_json, csv=csv, cautions=all_notes)
        lines = log_of(in_use, chosen, crops)
        with working("Growing every crop on every bed"):
            from tenhour.year.year import Year

            answer = Year(in_use, sources(in_use), chosen).week(when or date.today(), log=lines)
        out.give(answer, lambda width: week_text(answer, width, style=out.style), lambda: week_tables(answer))
