"""``tenhour report``: one self-contained page with pictures, to look at and to print."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from tenhour.cli.common import (
    CropsOption,
    ElevOption,
    HouseOption,
    LatOption,
    LonOption,
    OnlyBedsOption,
    OnlyCropsOption,
    PlaceOption,
    load_house_in_use,
    remark,
    user_errors,
)
from tenhour.cli.output import CautionsOption, DatesOption, ForceOption, Outputs, UnitsOption, output_of, print_notes
from tenhour.cli.planning import (
    LampOption,
    LampsOption,
    PriceOption,
    VoltsOption,
    check_lamps_wanted,
    lamp_plans,
    wanted_lamps,
)
from tenhour.cli.printing import need_browser, print_pdf
from tenhour.cli.progress import working
from tenhour.cli.quick import load_by_module


def report(
    house: HouseOption = None,
    output: Annotated[
        Path | None,
        typer.Option("--output", "-o", help="File to write; tenhour.html or tenhour.pdf.", show_default=False),
    ] = None,
    pdf: Annotated[
        bool, typer.Option("--pdf", help="Write a PDF instead, printed by Chromium, if that is installed.")
    ] = False,
    on: Annotated[
        str | None, typer.Option("--on", help="Day the page is for; today if not given.", show_default=False)
    ] = None,
    bed: OnlyBedsOption = None,
    crop: OnlyCropsOption = None,
    lamps: LampsOption = None,
    lamp: LampOption = "led-bar",
    price: PriceOption = None,
    volts: VoltsOption = "230",
    crops: CropsOption = None,
    lat: LatOption = None,
    lon: LonOption = None,
    elev: ElevOption = None,
    place: PlaceOption = None,
    units: UnitsOption = None,
    dates: DatesOption = "long",
    force: ForceOption = False,
    all_notes: CautionsOption = False,
) -> None:
    """One self-contained page: today, what to sow, the season, light, maps, sun, how sure; to look at and to print."""
    with user_errors():
        from datetime import date

        from tenhour.cli.loading import choose_crops, known_beds, log_of, parse_date, sources
        from tenhour.files.crop import load_sources
        from tenhour.files.versions import notice_lines
        from tenhour.files.write import write_pieces
        from tenhour.model.log import standing_by_bed

        out = output or Path("tenhour.pdf" if pdf else "tenhour.html")
        outputs = Outputs(force, ("--output", out, (".pdf",) if pdf else (".html", ".htm")))
        load_by_module()
        browser = need_browser() if pdf else None
        in_use = load_house_in_use(house, lat, lon, elev, place)
        shown = known_beds(in_use, bed)
        style = output_of(in_use.us_units, units, dates).style
        chosen = choose_crops(crops, crop, all_types=True)
        wanted = wanted_lamps(in_use, lamps)
        check_lamps_wanted(
            wanted, {"--lamp": lamp != "led-bar", "--price": price is not None, "--volts": volts != "230"}
        )
        day = parse_date("--on", on) or date.today()
        logged = log_of(in_use, chosen, crops)
        there = standing_by_bed(logged, day)
        with working("Working out the year of every bed"):
            from tenhour.pace import give_back_memory
            from tenhour.year.year import Year

            year = Year(in_use, sources(in_use), chosen)
            outputs.apart_from_inputs()
            plans = lamp_plans(year, crops, wanted, lamp=lamp, price=price, volts=volts, today=day)
            cited = load_sources(crops)
            answer = year.lit(plans).report(day, beds=shown, standing=there, cited=cited, lamps=plans, logged=logged)
            del year  # a page of many beds is long: what it was made of is let go before
            give_back_memory()
            from tenhour.report.page.build import page_html, page_pieces

            if browser is not None:
                print_pdf(browser, page_html(answer, style, notices=notice_lines()), out, force)
            else:
                write_pieces(out, page_pieces(answer, style, notices=notice_lines()), force)
        remark(f"Wrote {out}.")
        if all_notes:
            print_notes(answer.basis, style)
