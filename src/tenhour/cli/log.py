"""``tenhour log``: note sowings and harvests in a CSV, and see what stands where."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Final

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
from tenhour.cli.output import CautionsOption, CsvOption, DatesOption, UnitsOption, output_of
from tenhour.cli.progress import working
from tenhour.errors import FileProblem, Problem
from tenhour.words.style import FT_PER_M

if TYPE_CHECKING:
    from tenhour.model.house import House
    from tenhour.model.log import LogAnswer, LogLine


AREA_SPARE: Final = 1.05
"""A bed is measured by hand. Practice."""


def log(
    what: Annotated[
        str | None,
        typer.Argument(
            help="sown, set-out, ready, harvested, stands, cleared; undo, edit, import, export; or nothing."
        ),
    ] = None,
    crop: Annotated[
        str | None, typer.Argument(help="The crop; the number of a line to edit; a file to import or export.")
    ] = None,
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
    all_notes: CautionsOption = False,
) -> None:
    """Note what was sown, set out, ready, harvested or cleared; alone: what stands, when it is ready, what to do."""
    with user_errors():
        from tenhour.cli.loading import known_beds, log_of, parse_date
        from tenhour.files.log import append_log, log_path, read_log
        from tenhour.model.log import stands_by
        from tenhour.report.log import log_tables, log_text

        in_use = load_house_in_use(house)
        out = output_of(in_use.us_units, units, dates, as_json=as_json, csv=csv, cautions=all_notes)
        path = file if file is not None else log_path(in_use.path)
        when = parse_date("--on", on)
        typed = {
            "--bed": bed, "--density": density, "--grams": grams, "--note": note or None, "--area": area,
            "--plants": plants, "--variety": variety or None, "--because": because, "--of": of,
        }  # fmt: skip
        if bed is not None:
            known_beds(in_use, [bed])
        known = what.strip().lower() if what is not None else None
        if known in ("undo", "import", "export"):
            _refuse_unused({**typed, "--on": on, **({"CROP": crop} if known == "undo" else {})})
            _whole(known, path, crop, crops, in_use)
        elif known == "edit":
            _edit(in_use, path, crop, typed, when)
        elif what is not None:
            line = _line(what, crop, bed, when or date.today(), density, grams, note, crops)
            line = _with_more(line, area, plants, variety, because, parse_date("--of", of))
            _fits(in_use, line)
            before = log_of(in_use, folder=crops, path=path if path.exists() else None)
            append_log(path, line)
            if line.what not in ("sown", "set-out") and not stands_by(before, line):
                remark(f"No {line.crop} stands by the log on {line.on.isoformat()}: was it sown under another name?")
            remark(f"Added to {path}. Not so? tenhour log undo")
        else:
            _refuse_unused(typed)
        if what is not None or when is None:
            when = date.today()
        named = file is not None and what is None
        lines = read_log(path, must_exist=named)
        if what is None and lines:
            lines = log_of(in_use, folder=crops, path=path)
        answer = _shown(in_use, crops, lines, when, str(path), forecast=what is None)
        out.give(answer, lambda width: log_text(answer, when, str(path), width, out.style), lambda: log_tables(answer))


def _shown(
    in_use: House, folder: Path | None, lines: tuple[LogLine, ...], when: date, path: str, *, forecast: bool
) -> LogAnswer:
    """What stands; with forecasts where it was asked for and there is a house to grow in."""
    from tenhour.cli.loading import choose_crops, sources
    from tenhour.model.house import cautions_of
    from tenhour.model.log import log_answer, standing

    there = {stand.crop for stand in standing(lines, when)} if forecast and in_use.path else set()
    grown = [crop for crop in choose_crops(folder, None) if crop.key in there] if there else []
    if not grown:
        return log_answer(lines, when, path, cautions=cautions_of(in_use))
    from tenhour.year.year import Year

    with working("Growing what stands"):
        return Year(in_use, sources(in_use), grown).log(when, lines=lines, path=path)


def _whole(what: str, path: Path, name: str | None, folder: Path | None, house: House) -> None:
    """Undo, import, export."""
    from tenhour.cli.loading import choose_crops
    from tenhour.files.log import known_lines, read_log
    from tenhour.files.logedit import export_text, import_log, undo_log
    from tenhour.files.write import write_text

    if what == "undo":
        gone = undo_log(path)
        remark(f"Taken back: {gone.on.isoformat()} {gone.what} {gone.crop}.")
        return
    if name is None:
        do = f"Say which: tenhour log {what} table.csv."
        raise FileProblem([Problem("command line", "FILE", "nothing", "the name of a file", do)])
    if what == "export":
        if Path(name).exists():
            raise FileProblem([Problem(name, "", "already there", "", "Name another file to export to.")])
        write_text(Path(name), export_text(read_log(path, must_exist=True)))
        remark(f"Written to {name}.")
        return
    found = known_lines(read_log(Path(name), must_exist=True), choose_crops(folder, None), house, name)
    remark(f"Added to {path}: {import_log(path, found)} of {len(found)} lines; the rest was there.")


def _edit(house: House, path: Path, number: str | None, typed: dict[str, str | None], when: date | None) -> None:
    """Change what was typed of one line."""
    from tenhour.cli.loading import parse_date
    from tenhour.files.log import read_log
    from tenhour.files.logedit import edit_log

    lines = read_log(path, must_exist=True)
    which = number_option("NUMBER", number, 1, max(len(lines), 1))
    if which is None:
        do = "Say which line, by its number in tenhour log: tenhour log edit 3 --bed front."
        raise FileProblem([Problem("command line", "NUMBER", "nothing", f"1 to {len(lines)}", do)])
    old = lines[round(which) - 1]
    told = {option: text for option, text in typed.items() if text is not None}
    changes: dict[str, Any] = {} if when is None else {"on": when}
    changes |= {name: told[option] for option, name in _PLAIN.items() if option in told}
    if "--density" in told:
        changes["plants_per_m2"] = number_option("--density", told["--density"], 0.0, 100_000.0)
    if "--grams" in told:
        changes["fresh_g"] = number_option("--grams", told["--grams"], 0.0, 1e6)
    of = parse_date("--of", told.get("--of"))
    more = _with_more(old, told.get("--area"), told.get("--plants"), "", told.get("--because"), of)
    changes |= {name: getattr(more, name) for option, name in _MORE.items() if option in told}
    if not changes:
        do = "Say what is to change: --on, --bed, --area, --note ..."
        raise FileProblem([Problem("command line", "edit", "nothing to change", "", do)])
    _fits(house, replace(old, **changes))
    line = edit_log(path, round(which), changes)
    remark(f"Line {which:.0f} is now: {line.on.isoformat()} {line.what} {line.crop}.")


_PLAIN: Final = {"--bed": "bed", "--note": "note", "--variety": "variety"}
_MORE: Final = {"--area": "area_m2", "--plants": "plants_count", "--because": "because", "--of": "sown_on"}


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


def _fits(house: House, line: LogLine) -> None:
    """A line's area is part of its bed."""
    bed = next((one for one in house.beds if one.name == line.bed), None)
    if bed is None or line.area_m2 is None:
        return
    most = bed.size_m[0] * bed.size_m[1]
    if line.area_m2 > most * AREA_SPARE:
        found = f"{line.area_m2:.2f} m² on {bed.name}"
        raise FileProblem([Problem("command line", "--area", found, f"at most its {most:.2f} m²", "")])


def _with_more(
    line: LogLine, area: str | None, plants: str | None, variety: str, because: str | None, of: date | None
) -> LogLine:
    """Add what helps to learn from a line: how much was sown, which variety, why it ended, which sowing is meant."""
    from tenhour.cli.loading import unknown
    from tenhour.model.log import REASONS

    reason = next((word for word in REASONS if because is not None and word == because.strip().lower()), None)
    if because is not None and reason is None:
        raise FileProblem([unknown("--because", because, REASONS)])
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
