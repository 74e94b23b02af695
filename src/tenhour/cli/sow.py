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
    OnlyBedsOption,
    OnlyCropsOption,
    PlaceOption,
    complete_words,
    load_house_in_use,
    user_errors,
)
from tenhour.cli.output import CautionsOption, CsvOption, DatesOption, UnitsOption, output_of
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
from tenhour.errors import FileProblem, Problem


def sow(
    words: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[BED, CROP or DAY]...",
            help="Only these beds and crops, in any order; a day or a month to sow on.",
            show_default=False,
            autocompletion=complete_words,
        ),
    ] = None,
    house: HouseOption = None,
    month: Annotated[
        str | None,
        typer.Option("--month", "-m", help="The next 15th of this month.", show_default=False),
    ] = None,
    on: Annotated[
        str | None,
        typer.Option("--on", "--date", help="Date of sowing; today if not given.", show_default=False),
    ] = None,
    bed: OnlyBedsOption = None,
    crop: OnlyCropsOption = None,
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
    lamps: LampsOption = None,
    everything: Annotated[
        bool, typer.Option("--all", help="Every bed with a line for every crop, not one screen.")
    ] = False,
    as_json: JsonOption = False,
    csv: CsvOption = None,
    units: UnitsOption = None,
    dates: DatesOption = "iso",
    all_notes: CautionsOption = False,
) -> None:
    """What to sow now, what not yet and what is too late; with --bed, --crop or --all each crop's own sentence."""
    with user_errors():
        load_by_module()
        from tenhour.cli.loading import (
            all_at_once,
            beds_crops_and_day,
            choose_crops,
            known_beds,
            log_of,
            sources,
            sowing_date,
        )
        from tenhour.model.log import standing_by_bed
        from tenhour.report.sow import sow_tables, sow_text

        when, own, every, _ = all_at_once(
            lambda: sowing_date(month, on),
            lambda: load_house_in_use(house, lat, lon, elev, place),
            lambda: choose_crops(crops, crop),
            lambda: output_of(False, units, dates, as_json=as_json, csv=csv, cautions=all_notes),
        )
        more_beds, more_crops, day = beds_crops_and_day(crops, own, words)
        if day is not None and (month or on):
            given = f"{'--month' if month else '--on'} and a bare day"
            raise FileProblem([Problem("command line", given, "both", "one of them", "Leave one out.")])
        when = day or when
        in_use, shown, chosen = all_at_once(
            lambda: with_nursery(own, raise_bed, raise_dli, raise_hours, raise_day, raise_night),
            lambda: known_beds(own, [*(bed or ()), *more_beds]),
            lambda: choose_crops(crops, [*(crop or ()), *more_crops], all_types=True) if crop or more_crops else every,
        )
        out = output_of(in_use.us_units, units, dates, as_json=as_json, csv=csv, cautions=all_notes)
        wanted, logged = wanted_lamps(in_use, lamps), log_of(in_use, chosen, crops)
        with working("Growing every crop on every bed"):
            from tenhour.year.year import Year

            year = Year(in_use, sources(in_use), chosen)
            plans = lamp_plans(year, crops, wanted, lamp="led-bar", price=None, volts="230", today=when)
            standing = standing_by_bed(logged, when)
            answer = year.lit(plans).sow(when, beds=shown, standing=standing, logged=logged)
        out.give(
            answer,
            lambda width: sow_text(
                answer,
                width,
                style=out.style,
                everything=everything or bool(crop or more_crops),
                by_bed=bool(bed or more_beds),
            ),
            lambda: sow_tables(answer),
        )
