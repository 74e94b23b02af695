"""``tenhour read``: light and temperature readings against the model."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenhour.cli.common import CropsOption, HouseOption, JsonOption, load_house_in_use, own_file, user_errors
from tenhour.cli.output import CautionsOption, CsvOption, DatesOption, UnitsOption, output_of
from tenhour.cli.progress import working
from tenhour.cli.quick import load_by_module
from tenhour.errors import FileProblem, NoAnswer, Problem

if TYPE_CHECKING:
    from tenhour.files.readings.read import Wishes
    from tenhour.model.house import House
    from tenhour.model.readings import ReadAnswer


def read(
    file: Annotated[
        Path,
        typer.Argument(help="CSV of readings: time,place,lux or a logger's table; or date,place,min_degc,max_degc."),
    ],
    house: HouseOption = None,
    bed: Annotated[
        str | None, typer.Option("--bed", help="Bed of readings that name no place.", show_default=False)
    ] = None,
    light: Annotated[
        str | None,
        typer.Option("--light", help="Kind of light that was read: daylight, white-led ...", show_default="daylight"),
    ] = None,
    meters: Annotated[
        str | None,
        typer.Option("--meters", help="one or two: same meter inside and outside?", show_default=False),
    ] = None,
    unit: Annotated[
        str | None, typer.Option("--unit", help="C or F, for temperatures without a unit.", show_default=False)
    ] = None,
    zone: Annotated[
        str | None,
        typer.Option("--zone", help="Time zone of the stamps: UTC, +01:00 or a name.", show_default="the house's"),
    ] = None,
    order: Annotated[
        str | None, typer.Option("--date-order", help="dmy or mdy, for dates like 3/4/2027.", show_default=False)
    ] = None,
    keep: Annotated[bool, typer.Option("--keep", help="Write the result into the house file.")] = False,
    crops: CropsOption = None,
    as_json: JsonOption = False,
    csv: CsvOption = None,
    units: UnitsOption = None,
    dates: DatesOption = "iso",
    all_notes: CautionsOption = False,
) -> None:
    """Compare light or temperature readings with the model, and fit the house's own numbers."""
    with user_errors():
        load_by_module()
        from tenhour.cli.loading import choose_crops, sources
        from tenhour.files.readings.read import read_readings
        from tenhour.files.spectra import load_meters, load_spectra
        from tenhour.report.read import read_tables, read_text
        from tenhour.year.readings.read import read_answer
        from tenhour.year.readings.readlight import LightTools
        from tenhour.year.year import Year

        in_use = load_house_in_use(house)
        out = output_of(in_use.us_units, units, dates, as_json=as_json, csv=csv, cautions=all_notes)
        wishes = _wishes(in_use, bed, light, unit, zone, order)
        one_meter = None if meters is None else _choice("--meters", meters, ("one", "two")) == "one"
        with working("Holding the readings against the model", of="lines"):
            readings = read_readings(file, wishes)
            every = choose_crops(crops, None) if crops is not None or readings.temperature is not None else ()
            placed = every if readings.temperature is not None else ()
            tools = LightTools(load_spectra(), load_meters(), one_meter)
            answer = read_answer(Year(in_use, sources(in_use), placed), readings, tools)
        if keep:
            answer = _kept(answer, in_use)
        out.give(answer, lambda width: read_text(answer, width, out.style), lambda: read_tables(answer))


def _choice(option: str, text: str, choices: tuple[str, ...]) -> str:
    if text.lower() in choices:
        return text.lower()
    raise FileProblem([Problem("command line", option, repr(text), " or ".join(choices), "")])


def _wishes(
    house: House, bed: str | None, light: str | None, unit: str | None, zone: str | None, order: str | None
) -> Wishes:
    from tenhour.cli.loading import known_beds, unknown
    from tenhour.files.readings.read import Wishes
    from tenhour.files.spectra import load_spectra

    known_beds(house, [bed] if bed else None)
    lights = tuple(load_spectra())
    if light is not None and light not in lights:
        raise FileProblem([unknown("--light", light, lights)])
    wishes = Wishes(house.site.timezone, zone or "", None, bed or "", light or "", "", lights, house.beds)
    if unit is not None:
        wishes = replace(wishes, temp_unit={"c": "degc", "f": "degf"}[_choice("--unit", unit, ("c", "f"))])
    if order is not None:
        wishes = replace(wishes, order="dmy" if _choice("--date-order", order, ("dmy", "mdy")) == "dmy" else "mdy")
    return wishes


def _kept(answer: ReadAnswer, house: House) -> ReadAnswer:
    """Write the proposal into the house file, or say why there is nothing to write or nowhere."""
    from tenhour.files.keep import keep_changes
    from tenhour.year.readings.read import kept

    path = own_file(house.path, "--keep")
    if answer.proposal is None:
        reasons = "; ".join(f"{bed.bed}: {bed.refused}" for bed in answer.beds if bed.refused)
        raise NoAnswer(f"Nothing to keep, and nothing was written. {reasons or 'Too few readings'}.")
    keep_changes(path, answer.proposal.changes)
    return kept(answer, house.path)
