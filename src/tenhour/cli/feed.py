"""``tenhour feed``: what to sow where and when, so that every week has its meals."""

from __future__ import annotations

from typing import Annotated

import typer

from tenhour.cli.common import (
    CropsOption,
    ElevOption,
    HouseOption,
    JsonOption,
    LatOption,
    LonOption,
    PlaceOption,
    load_house_in_use,
    number_option,
    remark,
    user_errors,
)
from tenhour.cli.output import CsvOption, DatesOption, UnitsOption, output_of
from tenhour.cli.progress import working
from tenhour.cli.quick import load_by_module

MOST_SECONDS = 3600.0


def feed(
    house: HouseOption = None,
    on: Annotated[
        str | None,
        typer.Option("--on", help="Plan from this day on (ISO); today if not given.", show_default=False),
    ] = None,
    people: Annotated[
        str | None, typer.Option("--people", help="People to feed, if not those of the house file.", show_default=False)
    ] = None,
    week: Annotated[bool, typer.Option("--week", help="Only this week: what to do and what to eat.")] = False,
    every: Annotated[
        str, typer.Option("--every", help="Offer sowings every week (1w) or every second (2w, quicker).")
    ] = "1w",
    seconds: Annotated[
        str, typer.Option("--seconds", help="Most time for the search; the plan is the best found, with its gap.")
    ] = "60",
    crops: CropsOption = None,
    lat: LatOption = None,
    lon: LonOption = None,
    elev: ElevOption = None,
    place: PlaceOption = None,
    as_json: JsonOption = False,
    csv: CsvOption = None,
    units: UnitsOption = None,
    dates: DatesOption = "iso",
) -> None:
    """Feed the household: sowings for every week's meals, proof of how good the plan is, and what would mend it."""
    with user_errors():
        load_by_module()
        from dataclasses import replace

        from tenhour.cli.loading import all_at_once, choose_crops, parse_interval, sources, sowing_date
        from tenhour.files.house.household import household_data, usual_household
        from tenhour.report.feed import feed_tables, feed_text, week_text

        today, in_use, chosen, fed, limit, step = all_at_once(
            lambda: sowing_date(None, on),
            lambda: load_house_in_use(house, lat, lon, elev, place),
            lambda: choose_crops(crops, None),
            lambda: number_option("--people", people, 1, 50),
            lambda: number_option("--seconds", seconds, 1, MOST_SECONDS),
            lambda: parse_interval("--every", every),
        )
        out = output_of(in_use.us_units, units, dates, as_json=as_json, csv=csv)
        household = in_use.household or usual_household()
        if in_use.household is None:
            remark("No [household] in the house file: sensible wishes for two people stand in.")
        if fed is not None:
            household = replace(household, people_count=round(fed))
        with working("Planning the household's year"):
            from tenhour.year.year import Year

            year = Year(in_use, sources(in_use), chosen)
            answer = year.feed(
                today, household, household_data(), step_weeks=max(1, round((step or 7) / 7)), seconds_s=limit
            )
        to_text = week_text if week else None
        out.give(
            answer,
            (lambda width: to_text(answer, today, width, style=out.style))
            if to_text is not None
            else (lambda width: feed_text(answer, width, style=out.style)),
            lambda: feed_tables(answer),
        )
