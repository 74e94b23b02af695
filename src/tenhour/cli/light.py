"""``tenhour light``: day length, sun, outdoor and per-bed light through the year."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenhour.cli.common import (
    ElevOption,
    HouseOption,
    JsonOption,
    LatOption,
    LonOption,
    PlaceOption,
    load_house_in_use,
    user_errors,
)
from tenhour.cli.output import (
    PLOT_ENDINGS,
    CautionsOption,
    CsvOption,
    DatesOption,
    ForceOption,
    Outputs,
    PlotOption,
    UnitsOption,
    output_of,
    save_plot,
)
from tenhour.cli.progress import working
from tenhour.cli.quick import load_by_module

if TYPE_CHECKING:
    from tenhour.model.results import LightAnswer
    from tenhour.report.pictures.picture import Picture
    from tenhour.words.style import Style


def light(
    file: Annotated[Path | None, typer.Argument(help="House file, as --house.", show_default=False)] = None,
    house: HouseOption = None,
    lat: LatOption = None,
    lon: LonOption = None,
    elev: ElevOption = None,
    place: PlaceOption = None,
    on: Annotated[str | None, typer.Option("--on", help="Also show one day.", show_default=False)] = None,
    map_bed: Annotated[
        str | None,
        typer.Option("--map", help="Also show this bed's grid (with --on: of that day).", show_default=False),
    ] = None,
    spread: Annotated[
        bool, typer.Option("--spread", help="Show bright days, gloomy weeks and 1-in-10 errors.")
    ] = False,
    months: Annotated[bool, typer.Option("--months", help="Show every month of every bed, not a row per bed.")] = False,
    brighter: Annotated[bool, typer.Option("--brighter", help="Rank cheap gains by the light they add.")] = False,
    as_json: JsonOption = False,
    csv: CsvOption = None,
    plot: PlotOption = None,
    force: ForceOption = False,
    units: UnitsOption = None,
    dates: DatesOption = "iso",
    all_notes: CautionsOption = False,
) -> None:
    """Day length, sun height, outdoor light and the light on every bed through the year."""
    with user_errors():
        load_by_module()
        from tenhour.cli.loading import parse_date, sources
        from tenhour.report.light import light_tables, light_text

        outputs = Outputs(force, ("--plot", plot, PLOT_ENDINGS))
        in_use = load_house_in_use(house or file, lat, lon, elev, place)
        out = output_of(in_use.us_units, units, dates, as_json=as_json, csv=csv, cautions=all_notes)
        day = parse_date("--on", on)
        with working("Tracing the light through the house"):
            from tenhour.year.answers.light import check_map_bed
            from tenhour.year.year import Year

            check_map_bed(in_use, map_bed)
            year = Year(in_use, sources(in_use))
            outputs.apart_from_inputs()
            answer = year.light(on=day, map_bed=map_bed, with_gains=brighter, today=day or date.today())
        out.give(
            answer,
            lambda width: light_text(
                answer, width, spread=spread, style=out.style, months=months, now=day or date.today()
            ),
            lambda: light_tables(answer),
        )
        save_plot(plot, force, lambda: _picture(answer, day or date.today(), out.style))


def _picture(answer: LightAnswer, today: date, style: Style) -> Picture:
    """Draw the map if one was asked for, otherwise the year of every bed."""
    from tenhour.report.pictures.bedmap import map_picture
    from tenhour.report.pictures.light import light_picture
    from tenhour.report.pictures.picture import together

    if answer.map is not None:
        return map_picture(answer.map, "map", style)
    beds = [light_picture(answer, bed, f"light-{n}", today, style) for n, bed in enumerate(answer.beds)]
    return together(beds, "Light through the year")
