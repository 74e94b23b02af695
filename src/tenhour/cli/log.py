"""``tenhour log``: note sowings and harvests in a CSV, and see what stands where."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenhour.cli.common import (
    CropsOption,
    HouseOption,
    JsonOption,
    load_house_in_use,
    number_option,
    remark,
    user_errors,
)
from tenhour.cli.output import CsvOption, DatesOption, UnitsOption, output_of
from tenhour.errors import FileProblem, Problem

if TYPE_CHECKING:
    from tenhour.model.log import LogLine


def log(
    what: Annotated[
        str | None, typer.Argument(help="sown, set-out, harvested or cleared; nothing to see what stands.")
    ] = None,
    crop: Annotated[str | None, typer.Argument(help="The crop, as in 'tenhour crops'.")] = None,
    bed: Annotated[str | None, typer.Option("--bed", help="The bed.", show_default=False)] = None,
    on: Annotated[str | None, typer.Option("--on", help="The day; today if not given.", show_default=False)] = None,
    density: Annotated[str | None, typer.Option("--density", help="Plants a square metre.", show_default=False)] = None,
    grams: Annotated[str | None, typer.Option("--grams", help="Fresh mass harvested (g).", show_default=False)] = None,
    note: Annotated[str, typer.Option("--note", help="Anything worth remembering.", show_default=False)] = "",
    file: Annotated[
        Path | None, typer.Option("--log", help="The log; sown.csv beside the house file.", show_default=False)
    ] = None,
    house: HouseOption = None,
    crops: CropsOption = None,
    as_json: JsonOption = False,
    csv: CsvOption = None,
    units: UnitsOption = None,
    dates: DatesOption = "iso",
) -> None:
    """Note what was sown, set out, harvested or cleared; without arguments, show what stands where."""
    with user_errors():
        from tenhour.cli.loading import known_beds, parse_date
        from tenhour.files.log import append_log, log_path, read_log
        from tenhour.model.log import log_answer
        from tenhour.report.log import log_tables, log_text

        in_use = load_house_in_use(house)
        out = output_of(in_use.us_units, units, dates, as_json=as_json, csv=csv)
        path = file if file is not None else log_path(in_use.path)
        when = parse_date("--on", on) or date.today()
        if what is not None:
            if bed is not None:
                known_beds(in_use, [bed])
            line = _line(what, crop, bed, when, density, grams, note, crops)
            append_log(path, line)
            remark(f"Added to {path}.")
            when = date.today()
        else:
            _refuse_unused({"--bed": bed, "--density": density, "--grams": grams, "--note": note or None})
        lines = read_log(path, must_exist=file is not None and what is None)
        out.give(
            log_answer(lines, when, str(path)),
            lambda width: log_text(lines, when, str(path), width, out.style),
            lambda: log_tables(lines, when),
        )


def _refuse_unused(typed: dict[str, str | None]) -> None:
    """Words that only belong to a line to be added, given without one, would be lost without a word."""
    lost = [option for option, text in typed.items() if text is not None]
    if lost:
        do = "Say what was done: tenhour log sown kale --bed front."
        raise FileProblem([Problem("command line", option, "nothing it belongs to", "", do) for option in lost])


def _line(
    what: str,
    crop: str | None,
    bed: str | None,
    when: date,
    density: str | None,
    grams: str | None,
    note: str,
    crops: Path | None,
) -> LogLine:
    """Check what was typed and make a line of it."""
    from tenhour.cli.loading import choose_crops, unknown
    from tenhour.files.crop import crops_by_name, plain_name
    from tenhour.model.log import WHATS, LogLine

    known = next((word for word in WHATS if word == what.strip().lower()), None)
    if known is None:
        raise FileProblem([unknown("WHAT", what, WHATS)])
    if crop is None:
        do = f"Say which crop: tenhour log {known} kale."
        raise FileProblem([Problem("command line", "CROP", "nothing", "the name of a crop", do)])
    table = choose_crops(crops, None)
    found = crops_by_name(table).get(plain_name(crop))
    if found is None:
        raise FileProblem([unknown("CROP", crop, [one.key for one in table])])
    per_m2 = number_option("--density", density, 0.0, 100_000.0)
    return LogLine(when, known, found.key, bed or "", per_m2, number_option("--grams", grams, 0.0, 1e6), note)
