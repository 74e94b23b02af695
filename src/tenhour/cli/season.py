"""``tenhour season``: a year of every crop on every bed."""

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
    print_answer,
    user_errors,
)


def season(
    bed: Annotated[str | None, typer.Argument(help="Only this bed.", show_default=False)] = None,
    house: HouseOption = None,
    crop: Annotated[
        list[str] | None, typer.Option("--crop", help="Only this crop; may be repeated.", show_default=False)
    ] = None,
    start: Annotated[
        str | None,
        typer.Option("--from", help="First day of the year shown (ISO); today if not given.", show_default=False),
    ] = None,
    every: Annotated[
        str | None,
        typer.Option("--every", help="Plan a steady supply: a harvest every 2w, or 10d.", show_default=False),
    ] = None,
    meals: Annotated[
        str, typer.Option("--meals", help="Servings a week for which the steady supply is planned.")
    ] = "2",
    last_frost: Annotated[
        str | None,
        typer.Option("--last-frost", help="Last spring frost of your garden (ISO date).", show_default=False),
    ] = None,
    crops: CropsOption = None,
    lat: LatOption = None,
    lon: LonOption = None,
    elev: ElevOption = None,
    place: PlaceOption = None,
    as_json: JsonOption = False,
) -> None:
    """A year of every bed: sow-by dates for winter, what stands and is picked, when sowing pays again."""
    with user_errors():
        from datetime import date

        from tenhour.cli.loading import choose_beds, choose_crops, parse_date, parse_interval, sources
        from tenhour.pipeline.season import season_answer
        from tenhour.pipeline.supply import Wishes
        from tenhour.report.season import season_json, season_text

        in_use = choose_beds(load_house_in_use(house, lat, lon, elev, place), [bed] if bed else None)
        wishes = Wishes(
            every_d=parse_interval("--every", every),
            meals_per_week_count=number_option("--meals", meals, 0.1, 100.0) or 0.0,
            last_frost=parse_date("--last-frost", last_frost),
        )
        answer = season_answer(
            in_use,
            sources(in_use),
            choose_crops(crops, crop),
            start=parse_date("--from", start) or date.today(),
            wishes=wishes,
        )
        print_answer(as_json, lambda: season_json(answer), lambda width: season_text(answer, width))
