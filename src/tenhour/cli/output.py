"""How an answer leaves the program: text, JSON, CSV, a picture or a calendar, in the reader's units and dates."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenhour.cli.common import house_file, in_utf8, load_house_in_use, print_answer, remark
from tenhour.cli.quick import RARE_IN_DRAWING, load_when_used
from tenhour.errors import FileProblem, OutOfRange, Problem

if TYPE_CHECKING:
    from tenhour.model.house import House
    from tenhour.model.lamp_answer import LampAnswer
    from tenhour.model.results import Answer, Basis
    from tenhour.model.season import SeasonAnswer
    from tenhour.report.pictures.picture import Picture
    from tenhour.report.tables import Table
    from tenhour.words.style import Style

UnitsOption = Annotated[
    str | None,
    typer.Option("--units", help="metric or us; without it what the house file says.", show_default=False),
]
DatesOption = Annotated[
    str, typer.Option("--dates", help="iso (2027-01-15), long (15 Jan 2027), us (Jan 15, 2027) or locale.")
]
CautionsOption = Annotated[
    bool, typer.Option("--cautions", help="All cautions, warnings and assumptions, not only the first.")
]
CsvOption = Annotated[
    str | None,
    typer.Option("--csv", help="Print one table as CSV; 'list' names the tables.", show_default=False),
]
PlotOption = Annotated[
    Path | None,
    typer.Option("--plot", help="Also write the picture to this .svg or .png file.", show_default=False),
]
IcsOption = Annotated[
    Path | None,
    typer.Option("--ics", help="Also write the dates to this calendar file.", show_default=False),
]
ForceOption = Annotated[bool, typer.Option("--force", help="Replace a file that is already there.")]

PLOT_ENDINGS = (".svg", ".png")
ICS_ENDINGS = (".ics",)


class Outputs:
    """The files that one call shall write: their names are checked before the work begins."""

    def __init__(self, force: bool, *wanted: tuple[str, Path | None, tuple[str, ...]]) -> None:
        """Check names: options, their files (None where not asked for) and the endings each may have.

        Errors: FileProblem with every name that ends wrong, is taken, cannot be written or is that of another output.
        """
        from tenhour.files.problems import at_once
        from tenhour.files.write import check_apart, check_ready

        self._files = [(option, path) for option, path, _ in wanted if path is not None]
        at_once(
            *(lambda row=row: _check_ending(*row) for row in wanted),
            *(lambda path=path: check_ready(path, force) for _, path in self._files),
            lambda: check_apart(self._files),
        )

    def apart_from_inputs(self) -> None:
        """Refuse, once everything is read, an output that is one of the files read, with --force too."""
        from tenhour.files.write import check_not_read

        check_not_read(self._files)


def _check_ending(option: str, path: Path | None, endings: tuple[str, ...]) -> None:
    if path is not None and path.suffix.lower() not in endings:
        allowed = f"a name that ends in {' or '.join(endings)}"
        raise FileProblem([Problem("command line", option, repr(str(path)), allowed, "")])


@dataclass(frozen=True)
class Output:
    """What the user asked the answer to look like."""

    as_json: bool
    csv: str | None
    style: Style

    def give(
        self,
        answer: Answer,
        to_text: Callable[[int], str],
        to_tables: Callable[[], Sequence[Table]],
    ) -> None:
        """Write the answer to stdout in that form."""
        if self.csv is None:
            print_answer(self.as_json, answer, to_text)
        else:
            _print_csv(self.csv, to_tables(), self.style)


def output_of(
    us_units: bool,
    units: str | None,
    dates: str,
    *,
    as_json: bool = False,
    csv: str | None = None,
    cautions: bool = False,
) -> Output:
    """Check the options on how to write; ``us_units`` is what the house file says."""
    from tenhour.words.style import DATE_STYLES, Style

    problems = []
    units = said_units(units)
    if units not in (None, "metric", "us"):
        problems.append(Problem("command line", "--units", repr(units), "metric or us", ""))
    chosen = next((style for style in DATE_STYLES if style == dates), None)
    if chosen is None:
        problems.append(Problem("command line", "--dates", repr(dates), "one of " + ", ".join(DATE_STYLES), ""))
    if as_json and csv is not None:
        problems.append(Problem("command line", "--json and --csv", "both", "one of them", "Leave one out."))
    if problems or chosen is None:
        raise FileProblem(problems)
    return Output(as_json, csv, Style(us_units if units is None else units == "us", chosen, cautions))


def said_units(text: str | None) -> str | None:
    """Return metric or us where other words for them were typed: feet, imperial, C; else what was typed."""
    if text in (None, "metric", "us"):
        return text
    from tenhour.files.house.typed import UNIT_WORDS

    return UNIT_WORDS.get(str(text).strip().lower(), text)


def house_units(house: Path | None, units: str | None) -> bool:
    """Whether the house in use asks for US units, for commands that need no house.

    A ./house.toml with faults is no hindrance to them; a file that was named is.
    """
    if units is not None or (house is None and house_file() is None):
        return False
    try:
        return load_house_in_use(house).us_units
    except (FileProblem, OutOfRange):
        if house is not None:
            raise
        return False


def _print_csv(name: str, tables: Sequence[Table], style: Style) -> None:
    from tenhour.report.spreadsheet import csv_text
    from tenhour.report.tables import find_table

    if name == "list":
        print("\n".join(f"{table.key}: {table.caption}" for table in tables))
        return
    table = find_table(tables, name)
    if table is None:
        known = ", ".join(table.key for table in tables)
        raise FileProblem([Problem("command line", "--csv", repr(name), f"one of {known}", "")])
    in_utf8()
    sys.stdout.write(csv_text(table, style))


def print_notes(basis: Basis, style: Style) -> None:
    """Print every warning, caution and assumption of an answer that is written to a file."""
    from dataclasses import replace

    from tenhour.report.common import noted
    from tenhour.report.terminal import width_columns

    print(noted("", basis, width_columns(), replace(style, all_notes=True)).strip())


def save_plot(path: Path | None, force: bool, draw: Callable[[], Picture]) -> None:
    """Write the picture, if one was asked for, and say so."""
    if path is None:
        return
    from tenhour.files.write import save_bytes

    picture = draw()
    if path.suffix.lower() == ".png":
        load_when_used(*RARE_IN_DRAWING)
        data = picture.png()
    else:
        data = picture.svg_file().encode("utf-8")
    save_bytes(path, data, force)
    remark(f"Wrote {path}.")


def save_ics(
    path: Path | None, force: bool, answer: SeasonAnswer, house: House, style: Style, plans: Sequence[LampAnswer] = ()
) -> None:
    """Write the calendar, if one was asked for, and say so."""
    if path is None:
        return
    from datetime import UTC, datetime

    from tenhour.files.write import save_bytes
    from tenhour.report.calendar import Lamp, season_ics

    site = house.site
    name = house.name or site.place or f"{site.latitude_deg:.2f} {site.longitude_deg:.2f}"
    lamps = tuple(
        Lamp(plan.bed, plan.on_from, plan.off_from)
        for plan in plans
        if plan.on_from is not None and plan.off_from is not None
    )
    save_bytes(path, season_ics(answer, name, datetime.now(UTC), style, lamps=lamps), force)
    remark(f"Wrote {path}.")
