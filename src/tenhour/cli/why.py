"""``tenhour why``: why these seedlings are leggy, and what each remedy would do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

from tenhour.cli.common import (
    CropsOption,
    HouseOption,
    JsonOption,
    complete_crops,
    complete_words,
    load_house_in_use,
    number_option,
    remark,
    user_errors,
)
from tenhour.cli.output import CautionsOption, CsvOption, DatesOption, UnitsOption, output_of
from tenhour.cli.quick import load_by_module
from tenhour.errors import FileProblem, Problem

if TYPE_CHECKING:
    from tenhour.model.crop import Crop
    from tenhour.model.diagnosis import Sign
    from tenhour.model.house import House
    from tenhour.model.log import LogLine
    from tenhour.year.answers.whycase import Told


def why(
    words: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="CROP [BED or SIGN]...",
            help="The crop; where they stand; what you see.",
            show_default=False,
            autocompletion=complete_words,
        ),
    ] = None,
    crop: Annotated[
        str | None,
        typer.Option("--crop", help="The crop.", show_default=False, autocompletion=complete_crops),
    ] = None,
    sown: Annotated[
        str | None, typer.Option("--sown", help="Day of sowing; else the last in your log.", show_default=False)
    ] = None,
    seen: Annotated[
        str | None, typer.Option("--seen", help="Day they look as they do; today if not given.", show_default=False)
    ] = None,
    up: Annotated[str | None, typer.Option("--up", help="Day they came up, if you know.", show_default=False)] = None,
    bed: Annotated[str | None, typer.Option("--bed", help="Where they stand.", show_default=False)] = None,
    dli: Annotated[
        str | None, typer.Option("--dli", help="Their light a day (mol), if you have measured.", show_default=False)
    ] = None,
    day_c: Annotated[str | None, typer.Option("--day-c", help="Air by day (21, or 70F).", show_default=False)] = None,
    night_c: Annotated[str | None, typer.Option("--night-c", help="Air by night.", show_default=False)] = None,
    density: Annotated[
        str | None, typer.Option("--density", help="Plants a square metre of tray.", show_default=False)
    ] = None,
    lamp: Annotated[
        str | None, typer.Option("--lamp", help="Lamps over them: white-led, red-blue-led, hps ...", show_default=False)
    ] = None,
    lamp_dli: Annotated[
        str | None, typer.Option("--lamp-dli", help="The lamps' part of the light (mol a day).", show_default=False)
    ] = None,
    lamp_hours: Annotated[
        str | None, typer.Option("--lamp-hours", help="Hours the lamps burn a day.", show_default=False)
    ] = None,
    dark_days: Annotated[
        str | None, typer.Option("--dark-days", help="Days under cover after they came up.", show_default=False)
    ] = None,
    late_days: Annotated[
        str | None, typer.Option("--late-days", help="Days since they should have been potted on.", show_default=False)
    ] = None,
    leaves: Annotated[str | None, typer.Option("--leaves", help="True leaves you count.", show_default=False)] = None,
    looks: Annotated[
        str | None,
        typer.Option("--looks", help="What you see, with commas: leggy,pale ... ('list': all).", show_default=False),
    ] = None,
    brushed: Annotated[bool, typer.Option("--brushed", help="They are brushed or stand in moving air.")] = False,
    log: Annotated[
        Path | None, typer.Option("--log", help="Your log; sown.csv beside the house file.", show_default=False)
    ] = None,
    everything: Annotated[
        bool, typer.Option("--all", help="Every cause with its check, every remedy, doubts and what was assumed.")
    ] = False,
    house: HouseOption = None,
    crops: CropsOption = None,
    as_json: JsonOption = False,
    csv: CsvOption = None,
    units: UnitsOption = None,
    dates: DatesOption = "iso",
    all_notes: CautionsOption = False,
) -> None:
    """Why seedlings are leggy: share of each cause, and what each remedy would do."""
    with user_errors():
        load_by_module()
        from tenhour.cli.loading import log_of, parse_date, sources
        from tenhour.files.signs import load_signs, load_troubles
        from tenhour.files.spectra import load_spectra
        from tenhour.report.why import why_tables, why_text
        from tenhour.year.answers.whycase import BOUNDS, Told, WhyTools, check_told
        from tenhour.year.year import Year

        signs, checks = load_signs()
        if looks is not None and looks.strip().lower() == "list":
            print("\n".join(f"{sign.key:14} {'; '.join([sign.says, *sign.also])}" for sign in signs.values()))
            return
        in_use = load_house_in_use(house)
        out = output_of(in_use.us_units, units, dates, as_json=as_json, csv=csv, cautions=all_notes)
        beds, crop, seen_words = _said(crops, in_use, words, crop, bed)
        bed = beds[0] if beds else None
        chosen = choose_crop(crops, crop)
        lines = log_of(in_use, folder=crops, path=log)
        told = Told(
            *_dates(sown, seen, chosen, lines),
            bed=bed,
            up=parse_date("--up", up),
            dli_mol_m2_d=number_option("--dli", dli, *BOUNDS["dli_mol_m2_d"]),
            day_degc=_temperature("--day-c", day_c, *BOUNDS["day_degc"]),
            night_degc=_temperature("--night-c", night_c, *BOUNDS["night_degc"]),
            density_per_m2=number_option("--density", density, *BOUNDS["density_per_m2"]),
            lamp=_lamp(lamp, lamp_dli, lamp_hours, list(load_spectra())),
            lamp_dli_mol_m2_d=number_option("--lamp-dli", lamp_dli, *BOUNDS["lamp_dli_mol_m2_d"]),
            lamp_h=number_option("--lamp-hours", lamp_hours, *BOUNDS["lamp_h"]),
            dark_d=number_option("--dark-days", dark_days, *BOUNDS["dark_d"]),
            late_d=number_option("--late-days", late_days, *BOUNDS["late_d"]),
            leaves_count=number_option("--leaves", leaves, *BOUNDS["leaves_count"]),
            brushed=brushed,
            signs=_signs([*seen_words, *(looks or "").split(",")]),
        )
        check_told(told)
        told = _from_log(told, chosen, lines, [b.name for b in in_use.beds])
        answer = Year(in_use, sources(in_use)).why(
            chosen, told, WhyTools(checks, load_spectra(), load_troubles()), lines
        )
        out.give(
            answer,
            lambda width: why_text(answer, width, out.style, everything=everything),
            lambda: why_tables(answer),
        )


def _said(
    folder: Path | None, house: House, words: list[str] | None, crop: str | None, bed: str | None
) -> tuple[tuple[str, ...], str, list[str]]:
    """Bed, crop and signs from bare words and the options beside them.

    Errors: FileProblem for an unknown bed, for no crop or several, and for a word that is nothing of the kind.
    """
    from tenhour.cli.loading import known_beds, sort_words, unknown
    from tenhour.files.signs import load_signs, sign_of

    beds, crops, rest, names = sort_words(folder, house, words)
    known_beds(house, [bed] if bed else None)
    beds, crops = (*([bed] if bed else []), *beds), (*([crop] if crop else []), *crops)
    lost = [word for word in rest if sign_of(word) is None]
    if lost:
        raise FileProblem([unknown("CROP, BED or SIGN", word, [*names, *load_signs()[0]]) for word in lost])
    if len(crops) != 1 or len(beds) > 1:
        found, what = (f"{len(crops)} crops", "one crop") if len(crops) != 1 else (f"{len(beds)} beds", "one bed")
        do = "As in: tenhour why tomato leggy --sown 'Feb 20'."
        raise FileProblem([Problem("command line", "CROP", found.replace("0 crops", "no crop"), what, do)])
    return beds, crops[0], rest


def choose_crop(folder: Path | None, name: str) -> Crop:
    """Find one crop by its key or a name of it; crops grown for fruit are looked at as young plants."""
    from tenhour.cli.loading import choose_crops, unknown
    from tenhour.files.crop import crops_by_name, plain_name
    from tenhour.year.answers.whycase import young

    crops = choose_crops(folder, None)
    found = crops_by_name(crops).get(plain_name(name))
    if found is None:
        raise FileProblem([unknown("CROP", name, [crop.key for crop in crops])])
    return young(found, crops)


def _dates(sown: str | None, seen: str | None, crop: Crop, lines: tuple[LogLine, ...]) -> tuple[date, date]:
    """Day of sowing, from the log if it was not told, and of looking."""
    from tenhour.cli.loading import parse_date
    from tenhour.model.log import last_sowing

    looked = parse_date("--seen", seen) or date.today()
    began = parse_date("--sown", sown)
    if began is None:
        last = last_sowing(lines, crop.key, looked)
        if last is None:
            do = "Say when they were sown: --sown 2026-12-01."
            raise FileProblem([Problem("command line", "--sown", "nothing, and no sowing of it in the log", "", do)])
        began = last.on
    return began, looked


def _temperature(option: str, text: str | None, coldest_degc: float, warmest_degc: float) -> float | None:
    """Temperature in °C, or with F or C behind it."""
    from tenhour.units import degc_from_degf

    if text is None:
        return None
    plain = text.strip().rstrip("°")
    if plain[-1:] in "fF" and plain:
        low, high = (value * 1.8 + 32.0 for value in (coldest_degc, warmest_degc))
        return float(degc_from_degf(number_option(option, plain[:-1].strip(" °"), low, high) or 0.0))
    return number_option(option, plain.rstrip("cC °"), coldest_degc, warmest_degc)


def _lamp(lamp: str | None, lamp_dli: str | None, lamp_hours: str | None, known: list[str]) -> str | None:
    from tenhour.cli.loading import unknown

    if lamp is not None and lamp not in known:
        raise FileProblem([unknown("--lamp", lamp, known)])
    if lamp is None and (lamp_dli is not None or lamp_hours is not None):
        return "cool-white-led"
    return lamp


def _signs(said: Sequence[str]) -> tuple[Sign, ...]:
    from tenhour.files.signs import near_signs, sign_of

    words = [word.strip() for word in said if word.strip()]
    found = {word: sign_of(word) for word in words}
    lost = [word for word, sign in found.items() if sign is None]
    if lost:
        raise FileProblem([Problem("command line", "--looks", repr(word), SEEN, near_signs(word)) for word in lost])
    known = {word: sign for word, sign in found.items() if sign is not None}
    for word, sign in known.items():
        if word.lower().replace(" ", "-") != sign.key:
            remark(f"{word}: taken as {sign.key} ({sign.says}). {sign.unless}".rstrip())
    return tuple(dict.fromkeys(known.values()))


SEEN: Final = "what you see: leggy, pale, yellow, purple, leaning, flopping, soft, stalled, rotten, holes"


def _from_log(told: Told, crop: Crop, lines: tuple[LogLine, ...], beds: list[str]) -> Told:
    """Take bed and density from the log's line of this sowing where the grower says nothing."""
    line = next((one for one in lines if one.what == "sown" and one.crop == crop.key and one.on == told.sown), None)
    if line is None:
        return told
    bed = line.bed if told.bed is None and told.dli_mol_m2_d is None and line.bed in beds else told.bed
    density = line.plants_per_m2 if told.density_per_m2 is None else told.density_per_m2
    return replace(told, bed=bed, density_per_m2=density)
