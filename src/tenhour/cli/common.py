"""Options and error handling that every command shares."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from tenhour.errors import FileProblem, NoAnswer, OutOfRange, Problem

if TYPE_CHECKING:
    from tenhour.model.house import House

EXIT_NO_ANSWER = 1
EXIT_BAD_INPUT = 2
EXIT_STOPPED = 130

HouseOption = Annotated[
    Path | None,
    typer.Option(
        "--house",
        "-H",
        help="House file. Without it ./house.toml, then the built-in demo house.",
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
CropsOption = Annotated[
    Path | None,
    typer.Option(
        "--crops", help="A folder of your own crop files; they override the shipped ones.", show_default=False
    ),
]


def remark(text: str) -> None:
    """Say something beside the answer, on stderr."""
    print(text, file=sys.stderr)


@contextmanager
def user_errors() -> Iterator[None]:
    """Turn the errors a user can cause into lines on stderr and an exit status; bugs pass through."""
    try:
        yield
    except FileProblem as error:
        for problem in error.problems:
            remark(problem.line())
        raise typer.Exit(EXIT_BAD_INPUT) from None
    except OutOfRange as error:
        remark(str(error))
        raise typer.Exit(EXIT_BAD_INPUT) from None
    except NoAnswer as error:
        remark(str(error))
        raise typer.Exit(EXIT_NO_ANSWER) from None


def number_option(option: str, text: str | None, low: float, high: float) -> float | None:
    """Read one number given on the command line, or raise one clear problem."""
    if text is None:
        return None
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not low <= value <= high:
        raise FileProblem([Problem("command line", option, repr(text), f"a number from {low:g} to {high:g}", "")])
    return value


def load_house_in_use(
    house: Path | None, lat: str | None = None, lon: str | None = None, elev: str | None = None
) -> House:
    """Load the house a command works on: --house, ./house.toml or the demo house, moved by --lat --lon."""
    from tenhour.files.house import demo_house, house_at, load_house

    default = Path("house.toml")
    if house is not None:
        loaded = load_house(house)
    elif default.exists():
        loaded = load_house(default)
    else:
        loaded = demo_house()
        remark("No house file given and no ./house.toml here: this answer is for the built-in demo house.")
    latitude_deg = number_option("--lat", lat, -90.0, 90.0)
    longitude_deg = number_option("--lon", lon, -180.0, 180.0)
    elevation_m = number_option("--elev", elev, -450.0, 6000.0)
    if latitude_deg is None and longitude_deg is None:
        if elevation_m is None:
            return loaded
        latitude_deg, longitude_deg = loaded.site.latitude_deg, loaded.site.longitude_deg
    if latitude_deg is None or longitude_deg is None:
        missing = "--lat" if latitude_deg is None else "--lon"
        raise FileProblem([Problem("command line", missing, "nothing", "both --lat and --lon", f"Add {missing}.")])
    return house_at(loaded, latitude_deg, longitude_deg, elevation_m)


def print_json(answer: Mapping[str, Any]) -> None:
    """Print one JSON document to stdout; NaN never leaves the program."""
    print(json.dumps(answer, ensure_ascii=False, indent=1, allow_nan=False))


def print_answer(as_json: bool, to_json: Callable[[], Mapping[str, Any]], to_text: Callable[[int], str]) -> None:
    """Write an answer to stdout, as JSON or as text for the terminal's width."""
    if as_json:
        print_json(to_json())
        return
    from tenhour.report.terminal import width_columns

    print(to_text(width_columns()))
