"""``tenhour light``: day length, sun, outdoor and per-bed light through the year."""

from __future__ import annotations

from typing import Annotated

import typer

from tenhour.cli.common import (
    ElevOption,
    HouseOption,
    JsonOption,
    LatOption,
    LonOption,
    PlaceOption,
    load_house_in_use,
    print_answer,
    user_errors,
)


def light(
    house: HouseOption = None,
    lat: LatOption = None,
    lon: LonOption = None,
    elev: ElevOption = None,
    place: PlaceOption = None,
    on: Annotated[str | None, typer.Option("--on", help="Also show one day (ISO date).", show_default=False)] = None,
    map_bed: Annotated[
        str | None,
        typer.Option("--map", help="Also show this bed's grid (with --on: of that day).", show_default=False),
    ] = None,
    spread: Annotated[
        bool, typer.Option("--spread", help="Show bright days, gloomy weeks and 1-in-10 errors.")
    ] = False,
    brighter: Annotated[bool, typer.Option("--brighter", help="Rank cheap gains by the light they add.")] = False,
    as_json: JsonOption = False,
) -> None:
    """Day length, sun height, outdoor light and the light on every bed through the year."""
    with user_errors():
        from tenhour.cli.loading import parse_date, sources
        from tenhour.pipeline.light import light_answer
        from tenhour.report.light import light_json, light_text

        in_use = load_house_in_use(house, lat, lon, elev, place)
        answer = light_answer(in_use, sources(in_use), on=parse_date("--on", on), map_bed=map_bed, with_gains=brighter)
        print_answer(as_json, lambda: light_json(answer), lambda width: light_text(answer, width, spread=spread))
