"""``tenhour learn``: what the log of sowings and harvests has taught."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from tenhour.cli.common import CropsOption, HouseOption, JsonOption, load_house_in_use, own_file, remark, user_errors
from tenhour.cli.output import CautionsOption, CsvOption, DatesOption, UnitsOption, output_of
from tenhour.cli.progress import working
from tenhour.cli.quick import load_by_module
from tenhour.errors import FileProblem, NoAnswer, Problem


def learn(
    house: HouseOption = None,
    file: Annotated[
        Path | None, typer.Option("--log", help="The log; sown.csv beside the house file.", show_default=False)
    ] = None,
    since: Annotated[
        str | None,
        typer.Option("--from", help="Leave out sowings before this day: the house was another.", show_default=False),
    ] = None,
    keep: Annotated[bool, typer.Option("--keep", help="Write what was learned into the house file.")] = False,
    forget: Annotated[
        str | None,
        typer.Option("--forget", help="A crop whose lesson the house file drops, or all.", show_default=False),
    ] = None,
    on: Annotated[
        str | None, typer.Option("--on", help="The day it is asked (ISO); today if none.", show_default=False)
    ] = None,
    crops: CropsOption = None,
    as_json: JsonOption = False,
    csv: CsvOption = None,
    units: UnitsOption = None,
    dates: DatesOption = "iso",
    all_notes: CautionsOption = False,
) -> None:
    """What your log has taught: growth and yield against the table, with intervals, and what they change."""
    with user_errors():
        load_by_module()
        from tenhour.cli.loading import choose_crops, log_of, parse_date, sources
        from tenhour.files.house.learned import prior_numbers
        from tenhour.report.learn import learn_tables, learn_text
        from tenhour.year.readings.learn import kept, learn_of
        from tenhour.year.year import Year

        in_use = load_house_in_use(house)
        out = output_of(in_use.us_units, units, dates, as_json=as_json, csv=csv, cautions=all_notes)
        _check_writing(keep, forget, in_use.path)
        if forget is not None:
            from tenhour.files.keep import forget_lessons

            forget_lessons(Path(in_use.path), forget)
            what = "every crop" if forget == "all" else forget
            remark(f"{in_use.path}: what the log taught of {what} is taken out.")
            in_use = load_house_in_use(house)
        day = parse_date("--on", on) or date.today()
        table = choose_crops(crops, None)
        lines = log_of(in_use, table, crops, file)
        year = Year(in_use, sources(in_use), table)
        with working("Asking the model again for every sowing of the log"):
            answer = learn_of(year, lines, prior_numbers(), today=day, since=parse_date("--from", since))
        if keep:
            if not answer.rows_count:
                raise NoAnswer("Nothing to keep, and nothing was written: the log has no sowing that could teach.")
            from tenhour.files.keep import keep_lessons

            keep_lessons(Path(in_use.path), answer.lessons)
            answer = kept(answer, in_use.path)
        out.give(answer, lambda width: learn_text(answer, width, out.style), lambda: learn_tables(answer))


def _check_writing(keep: bool, forget: str | None, path: str) -> None:
    """Writing needs a house file of one's own, and one thing to do."""
    if keep or forget is not None:
        own_file(path, "--keep" if keep else "--forget")
    if keep and forget is not None:
        raise FileProblem([Problem("command line", "--forget", "beside --keep", "one of the two", "Ask twice.")])
