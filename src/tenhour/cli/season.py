"""``tenhour season``: a year of every crop on every bed."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Annotated

import typer

from tenhour.cli.common import (
    CropsOption,
    ElevOption,
    HouseOption,
    JsonOption,
    LatOption,
    LonOption,
    OnlyBedsOption,
    OnlyCropsOption,
    PlaceOption,
    WordsArgument,
    load_house_in_use,
    number_option,
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
    save_ics,
    save_plot,
)
from tenhour.cli.planning import LampsOption, lamp_plans, wanted_lamps
from tenhour.cli.progress import working
from tenhour.cli.quick import load_by_module
from tenhour.cli.raising import (
    RaiseBedOption,
    RaiseDayOption,
    RaiseDliOption,
    RaiseHoursOption,
    RaiseNightOption,
    with_nursery,
)

if TYPE_CHECKING:
    from tenhour.model.season import SeasonAnswer
    from tenhour.report.pictures.picture import Picture
    from tenhour.words.style import Style


def season(
    words: WordsArgument = None,
    bed: OnlyBedsOption = None,
    house: HouseOption = None,
    crop: OnlyCropsOption = None,
    start: Annotated[
        str | None,
        typer.Option("--from", help="First day of the year shown; today if not given.", show_default=False),
    ] = None,
    every: Annotated[
        str | None,
        typer.Option("--every", help="Plan a steady supply: a harvest every 2w, or 10d.", show_default=False),
    ] = None,
    meals: Annotated[
        str | None,
        typer.Option(
            "--meals",
            help="Plan a steady supply of so many servings of each crop a week (2 if only --every is given).",
            show_default=False,
        ),
    ] = None,
    last_frost: Annotated[
        str | None,
        typer.Option(
            "--last-frost", help="Day after which half of the springs still freeze in your garden.", show_default=False
        ),
    ] = None,
    raise_bed: RaiseBedOption = None,
    raise_dli: RaiseDliOption = None,
    raise_hours: RaiseHoursOption = None,
    raise_day: RaiseDayOption = None,
    raise_night: RaiseNightOption = None,
    crops: CropsOption = None,
    lat: LatOption = None,
    lon: LonOption = None,
    elev: ElevOption = None,
    place: PlaceOption = None,
    everything: Annotated[
        bool, typer.Option("--all", help="Every bed with every crop, its weeks and sentence, not one screen.")
    ] = False,
    as_json: JsonOption = False,
    csv: CsvOption = None,
    ics: IcsOption = None,
    lamps: LampsOption = None,
    plot: PlotOption = None,
    force: ForceOption = False,
    units: UnitsOption = None,
    dates: DatesOption = "iso",
    all_notes: CautionsOption = False,
) -> None:
    """A year of every bed: sow-by dates for winter, what stands and is picked, when sowing pays again."""
    with user_errors():
        load_by_module()
        from tenhour.cli.loading import (
            beds_and_crops,
            choose_crops,
            first_day,
            known_beds,
            log_of,
            parse_date,
            parse_interval,
            sources,
        )
        from tenhour.report.season import season_tables, season_text
        from tenhour.year.crops.supply import Wishes

        outputs = Outputs(force, ("--plot", plot, PLOT_ENDINGS), ("--ics", ics, ICS_ENDINGS))
        in_use = with_nursery(
            load_house_in_use(house, lat, lon, elev, place), raise_bed, raise_dli, raise_hours, raise_day, raise_night
        )
        more_beds, more_crops = beds_and_crops(crops, in_use, words)
        shown = known_beds(in_use, [*(bed or ()), *more_beds])
        out = output_of(in_use.us_units, units, dates, as_json=as_json, csv=csv, cautions=all_notes)
        wishes = Wishes.of(
            parse_interval("--every", every),
            number_option("--meals", meals, 0.1, 100.0),
            parse_date("--last-frost", last_frost),
        )
        begin = first_day("--from", start) or date.today()
        wanted = wanted_lamps(in_use, lamps)
        chosen = choose_crops(crops, [*(crop or ()), *more_crops], all_types=True)
        logged = log_of(in_use, chosen, crops)
        with working("Growing every crop on every bed through a year"):
            from tenhour.year.year import Year

            year = Year(in_use, sources(in_use), chosen)
            outputs.apart_from_inputs()
            plans = lamp_plans(year, crops, wanted, lamp="led-bar", price=None, volts="230", today=begin)
            answer = year.lit(plans).season(begin, beds=shown, wishes=wishes, logged=logged)
        out.give(
            answer,
            lambda width: season_text(
                answer, width, style=out.style, everything=everything or bool(shown or crop or more_crops)
            ),
            lambda: season_tables(answer),
        )
        save_plot(plot, force, lambda: _picture(answer, out.style))
        save_ics(ics, force, answer, in_use, out.style, plans)


def _picture(answer: SeasonAnswer, style: Style) -> Picture:
    from tenhour.report.pictures.picture import together
    from tenhour.report.pictures.season import season_picture

    today = date.today()
    beds = [season_picture(answer, bed, f"season-{n}", today, style) for n, bed in enumerate(answer.beds)]
    return together(beds, "The season")
