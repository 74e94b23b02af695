"""``tenhour heat``: is it warm enough: tonight, this winter, the heater, and what it costs."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

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
    user_errors,
)
from tenhour.cli.output import CautionsOption, CsvOption, DatesOption, UnitsOption, output_of
from tenhour.cli.progress import working
from tenhour.cli.quick import load_by_module

COLDEST_DEGC, WARMEST_DEGC = -60.0, 30.0
USUAL_CUT_H, LONGEST_CUT_H = 12, 168


def heat(
    house: HouseOption = None,
    lat: LatOption = None,
    lon: LonOption = None,
    elev: ElevOption = None,
    place: PlaceOption = None,
    tonight: Annotated[
        str | None,
        typer.Option("--tonight", help="Lowest outdoors tonight by the forecast (°C).", show_default=False),
    ] = None,
    sky: Annotated[Literal["clear", "half", "overcast"], typer.Option("--sky", help="Tonight's sky.")] = "clear",
    wind: Annotated[Literal["calm", "breeze", "windy"], typer.Option("--wind", help="Tonight's wind.")] = "calm",
    on: Annotated[
        str | None, typer.Option("--on", help="Tonight's date (ISO); today if none.", show_default=False)
    ] = None,
    helps: Annotated[bool, typer.Option("--helps", help="What helps most, in full and in pairs (slower).")] = False,
    places: Annotated[bool, typer.Option("--places", help="Warm and cold places; where the thermostat goes.")] = False,
    cut: Annotated[
        str | None, typer.Option("--cut", help="If the heat fails for so many hours.", show_default=False)
    ] = None,
    everything: Annotated[bool, typer.Option("--all", help="All months, and hours too cold for each crop.")] = False,
    crops: CropsOption = None,
    as_json: JsonOption = False,
    csv: CsvOption = None,
    units: UnitsOption = None,
    dates: DatesOption = "iso",
    all_notes: CautionsOption = False,
) -> None:
    """Warm enough? The coldest nights, what heat takes tonight and in a winter, and what helps."""
    with user_errors():
        load_by_module()
        from tenhour.cli.loading import choose_crops, parse_date, sources
        from tenhour.report.heat import Part, heat_tables, heat_text

        in_use = load_house_in_use(house, lat, lon, elev, place)
        out = output_of(in_use.us_units, units, dates, as_json=as_json, csv=csv, cautions=all_notes)
        lowest = number_option("--tonight", tonight, COLDEST_DEGC, WARMEST_DEGC)
        day = parse_date("--on", on) or date.today()
        length = number_option("--cut", cut, 1, LONGEST_CUT_H)
        part: Part = "helps" if helps else "places" if places else "cut" if length is not None else "winter"
        part = "all" if everything and part == "winter" else part
        table = choose_crops(crops, None)
        with working("Heating the house through two dozen winters"):
            from tenhour.year.year import Year

            answer = Year(in_use, sources(in_use), table).heat(
                today=day, tonight_degc=lowest, sky=sky, wind=wind,
                cut_h=USUAL_CUT_H if length is None else round(length), with_pairs=helps,
            )  # fmt: skip
        out.give(answer, lambda width: heat_text(answer, width, out.style, part), lambda: heat_tables(answer))
