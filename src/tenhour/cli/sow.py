"""``tenhour sow``: what to sow now, per bed."""

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
    print_answer,
    user_errors,
)


def sow(
    house: HouseOption = None,
    month: Annotated[
        str | None, typer.Option("--month", help="The next 15th of this month (January or 1).", show_default=False)
    ] = None,
    on: Annotated[
        str | None, typer.Option("--on", help="Date of sowing (ISO); today if neither is given.", show_default=False)
    ] = None,
    bed: Annotated[
        list[str] | None, typer.Option("--bed", help="Only this bed; may be repeated.", show_default=False)
    ] = None,
    crop: Annotated[
        list[str] | None, typer.Option("--crop", help="Only this crop; may be repeated.", show_default=False)
    ] = None,
    crops: CropsOption = None,
    lat: LatOption = None,
    lon: LonOption = None,
    elev: ElevOption = None,
    place: PlaceOption = None,
    as_json: JsonOption = False,
) -> None:
    """What to sow now, per bed: ranked, with dates of harvest, or what is missing."""
    with user_errors():
        from tenhour.cli.loading import choose_beds, choose_crops, sources, sowing_date
        from tenhour.pipeline.sow import sow_answer
        from tenhour.report.sow import sow_json, sow_text

        when = sowing_date(month, on)
        in_use = choose_beds(load_house_in_use(house, lat, lon, elev, place), bed)
        answer = sow_answer(in_use, sources(in_use), choose_crops(crops, crop), on=when)
        print_answer(as_json, lambda: sow_json(answer), lambda width: sow_text(answer, width))
