"""``tenhour weather``: read and judge a weather file, or fetch one when asked."""

from __future__ import annotations

import sys
from datetime import date, timedelta
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Final

import typer
from typer.core import TyperGroup

from tenhour.cli.common import (
    ElevOption,
    HouseOption,
    JsonOption,
    LatOption,
    LonOption,
    angle_option,
    house_file,
    load_house_in_use,
    remark,
    user_errors,
)
from tenhour.cli.output import CautionsOption, CsvOption, DatesOption, UnitsOption, house_units, output_of
from tenhour.errors import FileProblem, NoAnswer, Problem

if TYPE_CHECKING:
    from tenhour.files.fetch import Request
    from tenhour.model.site import Site

DEFAULT_HOUSE: Final = "house.toml"
MOST_DAYS: Final = 366
"""Days of one winter and the autumn before it, for which --since may ask."""


class FileOrCommand(TyperGroup):
    """Take a word that is no command as the name of a weather file."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Put the reading command before a file name; a group's own help stays."""
        first = next((word for word in args if not word.startswith("-")), None)
        if first is not None and first not in self.commands:
            args = ["judge", *args]
        return list(super().parse_args(ctx, args))


class Service(StrEnum):
    """Where to fetch from."""

    PVGIS = "pvgis"
    PVGIS_TYPICAL = "pvgis-typical"
    POWER = "power"


class Stamp(StrEnum):
    """What the stamps of a plain table mark."""

    AUTO = "auto"
    START = "start"
    MIDDLE = "middle"
    END = "end"


weather_app = typer.Typer(
    name="weather",
    cls=FileOrCommand,
    no_args_is_help=True,
    rich_markup_mode=None,
    help="Read and judge a weather file (tenhour weather FILE), or fetch one (tenhour weather fetch).",
    context_settings={"help_option_names": ["-h", "--help"]},
)


@weather_app.command("judge")
def judge(
    file: Annotated[Path, typer.Argument(help="EPW, TMY3, TMY2, PVGIS, NASA POWER or a plain table.")],
    house: HouseOption = None,
    lat: LatOption = None,
    lon: LonOption = None,
    stamp: Annotated[Stamp, typer.Option("--stamp", help="What the stamps of a plain table mark.")] = Stamp.AUTO,
    trust: Annotated[
        bool, typer.Option("--trust", help="Remark on what differs much from the normals; refuse nothing for it.")
    ] = False,
    as_json: JsonOption = False,
    csv: CsvOption = None,
    units: UnitsOption = None,
    dates: DatesOption = "iso",
    all_notes: CautionsOption = False,
) -> None:
    """Read a weather file, say what it holds and whether it can be trusted; the same as: tenhour weather FILE."""
    with user_errors():
        from tenhour.door.weather import load_weather
        from tenhour.files.packaged import normals
        from tenhour.model.weather import weather_answer
        from tenhour.report.common import noted
        from tenhour.report.weather import weather_tables, weather_text
        from tenhour.year.outside.weather import held_to_normals

        out = output_of(house_units(house, units), units, dates, as_json=as_json, csv=csv, cautions=all_notes)
        place = _place(house, lat, lon)
        weather = load_weather(file, *place, stamp=stamp.value)
        weather = held_to_normals(weather, normals(), str(file), elevation_m=0.0, trust=trust)
        answer = weather_answer(weather, str(file))
        out.give(
            answer,
            lambda width: noted(weather_text(weather, str(file), width, out.style), answer.basis, width, out.style),
            lambda: weather_tables(weather),
        )


@weather_app.command("fetch")
def fetch(
    service: Annotated[
        Service, typer.Option("--from", help="pvgis: ten years of hours; pvgis-typical: one; power: NASA POWER hours.")
    ] = Service.PVGIS,
    house: HouseOption = None,
    lat: LatOption = None,
    lon: LonOption = None,
    elev: ElevOption = None,
    years: Annotated[
        str | None, typer.Option("--years", help="First and last year, as 2011-2020.", show_default=False)
    ] = None,
    since: Annotated[
        str | None,
        typer.Option(
            "--since",
            help="Days of this winter from this day to yesterday (NASA POWER), added to a table of days.",
            show_default=False,
        ),
    ] = None,
    into: Annotated[
        Path | None,
        typer.Option("--into", help="With --since: the table of days; days.csv beside the house.", show_default=False),
    ] = None,
    again: Annotated[bool, typer.Option("--again", help="Fetch even if the same is kept already.")] = False,
    write: Annotated[
        bool | None,
        typer.Option("--write/--no-write", help="Name the file in the house file without asking, or not at all."),
    ] = None,
    timeout: Annotated[int, typer.Option("--timeout", min=1, max=3600, help="Seconds that one try may take.")] = 120,
    tries: Annotated[int, typer.Option("--tries", min=1, max=9, help="How often to try.")] = 3,
    as_json: JsonOption = False,
    csv: CsvOption = None,
    units: UnitsOption = None,
    dates: DatesOption = "iso",
    all_notes: CautionsOption = False,
) -> None:
    """Get weather for the house from PVGIS or NASA POWER and keep it. The only command that uses the network."""
    with user_errors():
        from tenhour.model.weather import weather_answer
        from tenhour.report.common import noted
        from tenhour.report.weather import weather_tables, weather_text

        out = output_of(house_units(house, units), units, dates, as_json=as_json, csv=csv, cautions=all_notes)
        site, house_file = _site(house, lat, lon, elev)
        if since is not None:
            _fetch_days(site, since, _days_file(house_file, into), float(timeout), tries)
            return
        if into is not None:
            raise FileProblem([Problem("command line", "--into", "without --since", "the two together", "")])
        request = _request(service, site, years, timeout, tries)
        path, weather = _fetched_or_kept(request, again)
        named_in = _name_in_house(house_file, path, write)
        answer = weather_answer(weather, str(path), named_in)
        out.give(
            answer,
            lambda width: noted(weather_text(weather, str(path), width, out.style), answer.basis, width, out.style),
            lambda: weather_tables(weather),
        )


def _place(house: Path | None, lat: str | None, lon: str | None) -> tuple[float | None, float | None]:
    """Coordinates of the house in use, if there is one: a weather file alone needs none."""
    if house is None and lat is None and lon is None and house_file() is None:
        return None, None
    if lat is not None and lon is not None and house is None:
        return angle_option("--lat", lat, 90.0), angle_option("--lon", lon, 180.0)
    site = load_house_in_use(house, lat, lon).site
    return site.latitude_deg, site.longitude_deg


def _site(house: Path | None, lat: str | None, lon: str | None, elev: str | None) -> tuple[Site, Path | None]:
    """Where to fetch for, and the house file to name the result in (none for a place given by options)."""
    default = house_file()
    moved = lat is not None or lon is not None
    if house is None and not moved and default is None:
        found = f"no house file and no ./{DEFAULT_HOUSE}"
        do = "Name the house with --house FILE, or give --lat and --lon."
        raise FileProblem([Problem("command line", "--house", found, "a place to fetch for", do)])
    site = load_house_in_use(house, lat, lon, elev).site
    return site, None if moved else (house or default)


def _request(service: Service, site: Site, years: str | None, timeout: int, tries: int) -> Request:
    from tenhour.files.fetch import YEARS, Request

    first, last = _years(years, service) if years is not None else YEARS
    return Request(
        service.value, site.latitude_deg, site.longitude_deg, site.elevation_m, first, last, float(timeout), tries
    )


def _years(text: str, service: Service) -> tuple[int, int]:
    from tenhour.files.fetch import FIRST_YEARS

    parts = text.split("-")
    least = FIRST_YEARS[service.value]
    if len(parts) <= 2 and all(part.isdecimal() and len(part) == 4 for part in parts):
        first, last = int(parts[0]), int(parts[-1])
        if least <= first <= last < date.today().year:
            return first, last
    allowed = f"whole years from {least} to the last one, first to last"
    raise FileProblem([Problem("command line", "--years", repr(text), allowed, "Write them as 2011-2020.")])


def _fetched_or_kept(request: Request, again: bool) -> tuple[Path, Any]:
    from tenhour.door.weather import load_weather
    from tenhour.files.fetch import fetch as fetch_now
    from tenhour.files.fetch import kept_path
    from tenhour.year.outside.series import finished

    path = kept_path(request)
    if path.exists() and not again:
        remark(f"{path} is kept from before and was used; --again fetches it anew.")
        return path, load_weather(path, request.latitude_deg, request.longitude_deg)
    return fetch_now(request, finished, remark, date.today().isoformat())


def _name_in_house(house_file: Path | None, weather: Path, write: bool | None) -> str | None:
    """Name the kept file in the house file if the user agrees; never over another choice unasked."""
    if house_file is None:
        return None
    from tenhour.files.weather.use import name_weather, named_climate

    now = named_climate(house_file)
    if now == str(weather):
        return str(house_file)
    line = f"climate = {str(weather)!r}"
    agreed = _asked(house_file, now) if write is None else write
    if not agreed:
        remark(f"To use it, write under [site] in {house_file}: {line}")
        return None
    name_weather(house_file, weather)
    remark(f"{house_file} now names it under [site] climate (before: {now!r}).")
    return str(house_file)


def _asked(house_file: Path, now: str) -> bool:
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        return False
    return typer.confirm(f"Name it in {house_file} in the place of climate = {now!r}?", default=False, err=True)


def _days_file(house_file: Path | None, into: Path | None) -> Path:
    if into is not None:
        return into
    return house_file.parent / "days.csv" if house_file is not None else Path("days.csv")


def _fetch_days(site: Site, since: str, path: Path, timeout_s: float, tries: int) -> None:
    """Fill a table of days month by month; each month is kept before the next is asked for, and nothing is replaced."""
    from tenhour.cli.loading import parse_date
    from tenhour.files.fetch import NO_NETWORK, Request, fetch_days
    from tenhour.files.weather.since import kept_days, with_days, write_days
    from tenhour.year.outside.series import finished

    first, last = parse_date("--since", since), date.today() - timedelta(days=1)
    if first is None or not last - timedelta(days=MOST_DAYS) <= first <= last:
        allowed = f"a day of the last {MOST_DAYS} up to {last.isoformat()}"
        raise FileProblem([Problem("command line", "--since", since, allowed, "Write it as 2026-10-01.")])
    rows = kept_days(path)
    spans = _missing_spans(first, last, set(rows))
    for number, (begin, end) in enumerate(spans, start=1):
        remark(f"{number} of {len(spans)}: {begin.isoformat()} to {end.isoformat()}")
        request = Request(
            "power", site.latitude_deg, site.longitude_deg, site.elevation_m, begin.year, end.year, timeout_s, tries,
            first_day=begin, last_day=end,
        )  # fmt: skip
        before = len(rows)
        try:
            rows = with_days(rows, fetch_days(request, finished, remark))
        except NoAnswer as error:
            if not rows:
                raise
            kept = f"{path} keeps what it has; the same command goes on from there."
            raise NoAnswer(str(error).replace(NO_NETWORK, kept)) from None
        if len(rows) > before:
            write_days(path, rows)
    if not rows:
        none = f"the service has none of the days from {first.isoformat()} to {last.isoformat()}; nothing was written"
        raise NoAnswer(f"{none}: ask for an earlier first day, or again in some days")
    known = sum(first <= day <= last for day in rows)
    remark(f"{path}: {known} of {(last - first).days + 1} days since {first.isoformat()}; a service is some days late.")
    if site.weather_since != str(path):
        remark(f'To use it, write under [weather] in the house file: since = "{path.name}"')


def _missing_spans(first: date, last: date, there: set[date]) -> list[tuple[date, date]]:
    """Stretches of days that are not there, cut where a month ends."""
    spans: list[tuple[date, date]] = []
    for number in range((last - first).days + 1):
        day = first + timedelta(days=number)
        if day in there:
            continue
        if spans and spans[-1][1] == day - timedelta(days=1) and day.day > 1:
            spans[-1] = (spans[-1][0], day)
        else:
            spans.append((day, day))
    return spans
