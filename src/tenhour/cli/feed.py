"""``tenhour feed``: what to sow where and when, so that every week has its meals."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenhour.cli.common import (
    CropsOption,
    ElevOption,
    HouseOption,
    JsonOption,
    LatOption,
    LonOption,
    PlaceOption,
    count_option,
    load_house_in_use,
    number_option,
    remark,
    user_errors,
)
from tenhour.cli.output import (
    ICS_ENDINGS,
    PLOT_ENDINGS,
    CautionsOption,
    CsvOption,
    DatesOption,
    ForceOption,
    IcsOption,
    Outputs,
    PlotOption,
    UnitsOption,
    output_of,
    save_plot,
)
from tenhour.cli.progress import working
from tenhour.cli.quick import load_by_module

if TYPE_CHECKING:
    from tenhour.model.feed import FeedAnswer, KeptPlan
    from tenhour.model.house import House
    from tenhour.report.pictures.picture import Picture
    from tenhour.words.style import Style

MOST_SECONDS = 3600.0
SHEET_ENDINGS = (".html",)
KEEP_ENDINGS = (".json",)


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
    seeds: Annotated[bool, typer.Option("--seeds", help="Only the seed to buy, in counts and grams.")] = False,
    shelf: Annotated[bool, typer.Option("--shelf", help="Only the trays, week by week.")] = False,
    everything: Annotated[
        bool, typer.Option("--all", help="Every sowing, change, remedy and season's shortage, not one screen.")
    ] = False,
    keep: Annotated[
        Path | None,
        typer.Option(
            "--keep",
            help="File of the plan (.json): a plan kept there is changed no more than it must, then written anew.",
            show_default=False,
        ),
    ] = None,
    every: Annotated[
        str | None,
        typer.Option(
            "--every",
            help="Offer sowings every week (1w) or every second (2w, quicker). Without it one week for each 20 beds.",
            show_default=False,
        ),
    ] = None,
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
    ics: IcsOption = None,
    sheet: Annotated[
        Path | None,
        typer.Option("--sheet", help="Also write a sheet of one A4 to pin up, to this .html file.", show_default=False),
    ] = None,
    plot: PlotOption = None,
    force: ForceOption = False,
    units: UnitsOption = None,
    dates: DatesOption = "iso",
    all_notes: CautionsOption = False,
) -> None:
    """Feed the household: sowings for every week's meals, proof of how good the plan is, and what would mend it."""
    with user_errors():
        load_by_module()
        from dataclasses import replace
        from functools import partial

        from tenhour.cli.loading import all_at_once, choose_crops, log_of, parse_interval, sources, sowing_date
        from tenhour.files.house.household import household_data, usual_household
        from tenhour.report.feed import feed_tables, feed_text, seeds_text, shelf_text, week_text

        outputs = Outputs(
            force, ("--ics", ics, ICS_ENDINGS), ("--sheet", sheet, SHEET_ENDINGS), ("--plot", plot, PLOT_ENDINGS)
        )
        Outputs(True, ("--keep", keep, KEEP_ENDINGS))
        today, in_use, chosen, fed, limit, step, plan = all_at_once(
            lambda: sowing_date(None, on),
            lambda: load_house_in_use(house, lat, lon, elev, place),
            lambda: choose_crops(crops, None),
            lambda: count_option("--people", people, 1, 50),
            lambda: number_option("--seconds", seconds, 1, MOST_SECONDS),
            lambda: parse_interval("--every", every),
            lambda: _kept(keep),
        )
        out = output_of(in_use.us_units, units, dates, as_json=as_json, csv=csv, cautions=all_notes)
        outputs.apart_from_inputs()
        household = in_use.household or usual_household()
        if in_use.household is None:
            remark("No [household] in the house file: sensible wishes for two people stand in.")
        if fed is not None:
            household = replace(household, people_count=fed)
        with working("Planning the household's year"):
            from tenhour.files.covers import shipped_covers
            from tenhour.files.lamp import LampChoice, find_lamp
            from tenhour.model.lamp import LampRequest
            from tenhour.year.feed.asked import Asked
            from tenhour.year.year import Year

            year = Year(in_use, sources(in_use), chosen)
            weeks = None if step is None else max(1, round(step / 7))
            asked = Asked(
                household, year.crops, household_data(), today, weeks, log_of(in_use), plan,
                fleece=shipped_covers().get("fleece"),
            )  # fmt: skip
            answer = year.feed(asked, find_lamp(LampChoice()), LampRequest(), seconds_s=limit)
        shown = next(
            (text for wanted, text in ((seeds, seeds_text), (shelf, shelf_text)) if wanted),
            partial(feed_text, everything=everything),
        )
        out.give(
            answer,
            lambda width: (
                week_text(answer, today, width, style=out.style) if week else shown(answer, width, style=out.style)
            ),
            lambda: feed_tables(answer),
        )
        _save(answer, plan, in_use, out.style, force, keep, ics, sheet)
        save_plot(plot, force, lambda: _picture(answer, out.style, today))


def _kept(path: Path | None) -> KeptPlan | None:
    from tenhour.files.keptplan import read_plan

    return read_plan(path) if path is not None and path.exists() else None


def _save(
    answer: FeedAnswer, plan: KeptPlan | None, house: House, style: Style, force: bool,
    keep: Path | None, ics: Path | None, sheet: Path | None,
) -> None:  # fmt: skip
    """Write the plan, its calendar and its sheet, where they were asked for."""
    from tenhour.files.write import save_bytes, write_text

    if ics is not None:
        from datetime import UTC, datetime

        from tenhour.report.feedcalendar import feed_ics

        name = house.name or house.path
        save_bytes(ics, feed_ics(answer, name, datetime.now(UTC), style), force)
        remark(f"Wrote {ics}.")
    if sheet is not None:
        from tenhour.report.feedsheet import wall_html  # draws: a second to load

        write_text(sheet, wall_html(answer, style), force)
        remark(f"Wrote {sheet}.")
    if keep is not None:
        from tenhour.report.answers import json_text

        write_text(keep, json_text(answer) + "\n", force=True)
        remark(f"{'Kept the plan anew' if plan is not None else 'Kept the plan'} in {keep}.")


def _picture(answer: FeedAnswer, style: Style, today: date) -> Picture:
    from tenhour.report.pictures.feed import beds_picture, meals_picture
    from tenhour.report.pictures.picture import together

    return together([beds_picture(answer, style, today), meals_picture(answer, style, today)], "The household's plan")
