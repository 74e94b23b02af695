"""``tenhour log``: note sowings and harvests in a CSV, and see what stands where."""

from __future__ import annotations

from dataclasses import replace
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
from tenhour.words.style import FT_PER_M

if TYPE_CHECKING:
    from tenhour.model.log import LogLine


def log(
    what: Annotated[
        str | None,
        typer.Argument(help="sown, set-out, ready, harvested, stands, cleared; nothing to see what stands."),
    ] = None,
    crop: Annotated[str | None, typer.Argument(help="The crop, as in 'tenhour crops'.")] = None,
    bed: Annotated[str | None, typer.Option("--bed", help="The bed.", show_default=False)] = None,
    on: Annotated[str | None, typer.Option("--on", help="The day; today if not given.", show_default=False)] = None,
    density: Annotated[str | None, typer.Option("--density", help="Plants a square metre.", show_default=False)] = None,
    grams: Annotated[str | None, typer.Option("--grams", help="Fresh mass harvested (g).", show_default=False)] = None,
    area: Annotated[
        str | None, typer.Option("--area", help='Area sown or cut (m²; "20 sq ft").', show_default=False)
    ] = None,
    plants: Annotated[str | None, typer.Option("--plants", help="Plants in all.", show_default=False)] = None,
    variety: Annotated[str, typer.Option("--variety", help="Its variety.", show_default=False)] = "",
    because: Annotated[
        str | None,
        typer.Option(
            "--because",
            help="Why it was cleared: frost, flower, slugs, mould, not-up, eaten or other.",
            show_default=False,
        ),
    ] = None,
    of: Annotated[
        str | None, typer.Option("--of", help="Day of the sowing meant, where several stand.", show_default=False)
    ] = None,
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
    """Note what was sown, set out, ready, harvested or cleared; without arguments, show what stands where."""
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
            line = _with_more(line, area, plants, variety, because, parse_date("--of", of))
            append_log(path, line)
            remark(f"Added to {path}.")
            when = date.today()
        else:
            _refuse_unused(
                {
                    "--bed": bed, "--density": density, "--grams": grams, "--note": note or None, "--area": area,
                    "--plants": plants, "--variety": variety or None, "--because": because, "--of": of,
                }
            )  # fmt: skip
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


def _with_more(
    line: LogLine, area: str | None, plants: str | None, variety: str, because: str | None, of: date | None
) -> LogLine:
    """Add what helps to learn from a line: how much was sown, which variety, why it ended, which sowing is meant."""
    from tenhour.cli.loading import unknown
    from tenhour.model.log import BECAUSES

    reason = next((word for word in BECAUSES if because is not None and word == because.strip().lower()), None)
    if because is not None and reason is None:
        raise FileProblem([unknown("--because", because, BECAUSES)])
    if reason is not None and line.what != "cleared":
        do = "Say why with: tenhour log cleared CROP --because ..."
        raise FileProblem([Problem("command line", "--because", f"beside {line.what}", "cleared", do)])
    if of is not None and (line.what == "sown" or of > line.on):
        allowed = f"a day up to {line.on.isoformat()}, with what was done to that sowing"
        raise FileProblem([Problem("command line", "--of", of.isoformat(), allowed, "")])
    count = number_option("--plants", plants, 1.0, 1e6)
    return replace(
        line,
        area_m2=None if area is None else _area_m2(area),
        plants_count=None if count is None else round(count),
        variety=variety,
        because=reason or "",
        sown_on=of,
    )


def _area_m2(text: str) -> float | None:
    """An area in square metres, or in square feet where it says so."""
    plain = " ".join(text.lower().replace("²", "2").split())
    feet = next((unit for unit in ("sq ft", "sqft", "ft2", "square feet") if plain.endswith(unit)), "")
    metres = "" if feet else next((unit for unit in ("sq m", "m2", "square metres") if plain.endswith(unit)), "")
    number = plain.removesuffix(feet or metres).strip()
    scale = FT_PER_M**2 if feet else 1.0
    found = number_option("--area", number, 0.01 * scale, 10_000.0 * scale)
    return None if found is None else found / scale
