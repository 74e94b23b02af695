"""Options and error handling that every command shares."""

from __future__ import annotations

import contextlib
import io
import os
import re
import stat
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenhour.errors import ARGUMENT, FileProblem, NoAnswer, OutOfRange, Problem, one_line

if TYPE_CHECKING:
    from tenhour.model.house import House
    from tenhour.model.results import Answer

EXIT_NO_ANSWER = 1
EXIT_BAD_INPUT = 2
EXIT_STOPPED = 130
HOUSE_NAME = "house.toml"
LOWEST_M, HIGHEST_M = -450.0, 6000.0
"""Ground that people garden on, in metres above the sea."""

OPTION_OF = {"bed": "BED", "crop": "crop", "harvest_by": "--harvest", "hours_h": "--hours", "map_bed": "--map"}
"""What gave an argument, where that is not an option of the same name."""


def complete_beds(incomplete: str) -> list[str]:
    """Names of beds of the house here that begin so, for the shell."""
    import tomllib

    found = house_file()
    try:
        raw = tomllib.loads(found.read_text("utf-8")) if found is not None else {}
        names = [str(bed.get("name", "")) for bed in raw.get("bed", [])]
    except (OSError, ValueError, AttributeError):
        names = []
    return [name for name in names if name and name.startswith(incomplete)]


def complete_crops(incomplete: str) -> list[str]:
    """Keys of crops that begin so, for the shell."""
    from tenhour.files.find import crop_files, shipped_folder

    return [path.stem for path in crop_files(shipped_folder()) if path.stem.startswith(incomplete)]


def complete_words(incomplete: str) -> list[str]:
    """Beds and crops that begin so, for the shell."""
    return [*complete_beds(incomplete), *complete_crops(incomplete)]


HouseOption = Annotated[
    Path | None,
    typer.Option(
        "--house",
        "-H",
        help="House file. Without it house.toml here or in a folder above, then the built-in demo house.",
        show_default=False,
    ),
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print the answer as JSON.")]
LatOption = Annotated[
    str | None,
    typer.Option("--lat", help="Move the house to this latitude (degrees, south negative).", show_default=False),
]
LonOption = Annotated[
    str | None,
    typer.Option("--lon", help="Move the house to this longitude (degrees, west negative).", show_default=False),
]
ElevOption = Annotated[
    str | None, typer.Option("--elev", help="Elevation of the new place (m, or 1300ft).", show_default=False)
]
PlaceOption = Annotated[
    str | None, typer.Option("--place", help='Move the house to a town: "name, region".', show_default=False)
]
WordsArgument = Annotated[
    list[str] | None,
    typer.Argument(
        metavar="[BED or CROP]...",
        help="Only these beds and crops, in any order.",
        show_default=False,
        autocompletion=complete_words,
    ),
]
OnlyBedsOption = Annotated[
    list[str] | None,
    typer.Option(
        "--bed",
        help="Only this bed; may be repeated.",
        show_default=False,
        autocompletion=complete_beds,
    ),
]
OnlyCropsOption = Annotated[
    list[str] | None,
    typer.Option(
        "--crop",
        help="Only this crop; may be repeated.",
        show_default=False,
        autocompletion=complete_crops,
    ),
]
CropsOption = Annotated[
    Path | None,
    typer.Option(
        "--crops", help="A folder of your own crop files; they override the shipped ones.", show_default=False
    ),
]


def own_file(path: str, option: str) -> Path:
    """Return the house file to write into. Errors: FileProblem that names the option, where the house has no file."""
    if not path:
        do = "Write one with 'tenhour new', or name yours with --house."
        raise FileProblem([Problem("command line", option, "no house file of your own to write in", "", do)])
    return Path(path)


def remark(text: str) -> None:
    """Say something beside the answer, on stderr; where nobody can hear it, the answer goes on."""
    try:
        print(one_line(text), file=sys.stderr, flush=True)
    except OSError:
        to_nowhere("stderr")


def to_nowhere(name: str) -> None:
    """Let what is still unsaid on a broken stdout or stderr stay unsaid, at the end of the program too."""
    with contextlib.suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, getattr(sys, name).fileno())
        os.close(nowhere)


def in_utf8() -> None:
    """Write what follows on stdout in UTF-8, whatever the console has: JSON and CSV are read by programs."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8", errors="replace")


@contextmanager
def user_errors() -> Iterator[None]:
    """Turn the errors a user can cause into lines on stderr and an exit status; bugs pass through."""
    from tenhour.files.textfile import READ

    READ.clear()
    try:
        yield
    except FileProblem as error:
        for problem in error.problems:
            remark(_as_typed(problem).line())
        raise typer.Exit(EXIT_BAD_INPUT) from None
    except OutOfRange as error:
        remark(str(error))
        raise typer.Exit(EXIT_BAD_INPUT) from None
    except NoAnswer as error:
        remark(str(error))
        raise typer.Exit(EXIT_NO_ANSWER) from None


def _as_typed(problem: Problem) -> Problem:
    """A problem with an argument, as one with the option that gave it."""
    if problem.file != ARGUMENT:
        return problem
    name = re.split(r"\W", problem.key, maxsplit=1)[0]
    option = OPTION_OF.get(name, f"--{name.replace('_', '-')}")
    return replace(problem, file="command line", key=option + problem.key[len(name) :])


def angle_option(option: str, text: str | None, most: float) -> float | None:
    """Read a coordinate given on the command line: -92.1, 46.8N or "44.5 N", or raise one clear problem."""
    from tenhour.files.units_text import BadValueError, Quantity

    if text is None:
        return None
    kind = Quantity("angle", -most, most)
    try:
        return kind(kind.parse(text, bare=True))
    except BadValueError as error:
        allowed = f"a number from {-most:g} to {most:g}"
        raise FileProblem([Problem("command line", option, repr(text), allowed, error.do)]) from None


def house_file() -> Path | None:
    """The house.toml of this folder, or of the nearest folder above it, up to the user's home; None where none is.

    Folders that anybody may write in, as /tmp, are passed over: what lies there need not be the user's.
    """
    if Path(HOUSE_NAME).exists():
        return Path(HOUSE_NAME)
    here, home = Path.cwd(), Path.home()
    for folder in () if here == home else here.parents:
        if (folder / HOUSE_NAME).is_file() and not folder.stat().st_mode & stat.S_IWOTH:
            return folder / HOUSE_NAME
        if folder == home:
            break
    return None


def number_option(option: str, text: str | None, low: float, high: float) -> float | None:
    """Read one number given on the command line, or raise one clear problem."""
    if text is None:
        return None
    try:
        value = float("nan" if "_" in text else text)
    except ValueError:
        value = float("nan")
    if not low <= value <= high:
        comma = text.replace(",", ".")
        do = f"Did you mean {comma}?" if text.count(",") == 1 and comma.replace(".", "", 1).isdecimal() else ""
        raise FileProblem(
            [Problem("command line", option, repr(text), f"a number from {_plain(low)} to {_plain(high)}", do)]
        )
    return value


def count_option(option: str, text: str | None, low: int, high: int) -> int | None:
    """Read one whole number given on the command line, or raise one clear problem."""
    value = number_option(option, text, low, high)
    if value is None or value == int(value):
        return None if value is None else int(value)
    raise FileProblem([Problem("command line", option, repr(text), f"a whole number from {low} to {high}", "")])


def _plain(limit: float) -> str:
    """A limit without an exponent: 1 000 000."""
    return f"{limit:,.0f}".replace(",", " ") if abs(limit) >= 1e5 else f"{limit:g}"


def load_house_in_use(
    house: Path | None,
    lat: str | None = None,
    lon: str | None = None,
    elev: str | None = None,
    place: str | None = None,
) -> House:
    """Load the house a command works on: --house, ./house.toml or the demo house, moved by --place or --lat --lon."""
    from tenhour.files.house.read import house_at

    where = _wanted_place(lat, lon, elev, place)
    loaded = _house_itself(house)
    if where is None:
        return loaded
    latitude_deg, longitude_deg, elevation_m = where
    if latitude_deg is None or longitude_deg is None:
        latitude_deg, longitude_deg = loaded.site.latitude_deg, loaded.site.longitude_deg
    return house_at(loaded, latitude_deg, longitude_deg, elevation_m)


def _house_itself(house: Path | None) -> House:
    from tenhour.files.house.read import demo_house, load_house

    if house is not None:
        return load_house(house)
    found = house_file()
    if found is not None:
        if found.parent != Path():
            remark(f"This answer is for {found}.")
        return load_house(found)
    remark("No house file given and no ./house.toml here: this answer is for the built-in demo house.")
    return demo_house()


def _wanted_place(
    lat: str | None, lon: str | None, elev: str | None, place: str | None
) -> tuple[float | None, float | None, float | None] | None:
    """Latitude, longitude and elevation asked for, every problem at once; None when nothing was."""
    problems: list[Problem] = []
    numbers: list[float | None] = []
    for option, text, most in (("--lat", lat, 90.0), ("--lon", lon, 180.0)):
        numbers.append(_collected(option, text, most, problems))
    elevation_m = _elevation_m(elev, problems)
    if place is not None and (lat is not None or lon is not None):
        problems.append(Problem("command line", "--place", "beside --lat or --lon", "one of the two", "Leave one out."))
    elif (lat is None) != (lon is None):
        missing = "--lat" if lat is None else "--lon"
        problems.append(Problem("command line", missing, "nothing", "both --lat and --lon", f"Add {missing}."))
    if problems:
        raise FileProblem(problems)
    if place is not None:
        from tenhour.files.places import one_place

        found = one_place(place, "command line", "--place")
        return found.latitude_deg, found.longitude_deg, elevation_m
    if lat is None and elev is None:
        return None
    return numbers[0], numbers[1], elevation_m


def _elevation_m(text: str | None, problems: list[Problem]) -> float | None:
    """Elevation typed in metres, or with a unit behind it."""
    from tenhour.files.units_text import BadValueError, Quantity

    if text is None:
        return None
    kind = Quantity("length", LOWEST_M, HIGHEST_M)
    try:
        return kind(kind.parse(text, bare=True))
    except BadValueError as error:
        problems.append(Problem("command line", "--elev", repr(text), error.allowed, "Write 400, or 1300ft."))
        return None


def _collected(option: str, text: str | None, most: float, problems: list[Problem]) -> float | None:
    try:
        return angle_option(option, text, most)
    except FileProblem as error:
        problems.extend(error.problems)
        return None


def print_answer(as_json: bool, answer: Answer, to_text: Callable[[int], str]) -> None:
    """Write an answer to stdout, as JSON or as text for the terminal's width."""
    if as_json:
        from tenhour.report.answers import json_pieces

        in_utf8()
        for piece in json_pieces(answer):
            print(piece, end="")
        print()
        return
    from tenhour.report.terminal import width_columns

    print(to_text(width_columns()))
