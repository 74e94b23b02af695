"""Get a weather series from PVGIS or NASA POWER: the only use of a network in the program, and only when asked."""

from __future__ import annotations

import io
import json
import os
import sys
import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from email.utils import parsedate_to_datetime
from http.client import HTTPException
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Literal, TypeVar
from urllib.parse import urljoin

import numpy as np

from tenhour.errors import FileProblem, NoAnswer
from tenhour.files.weather.raw import RawWeather
from tenhour.files.weather.read import series_of
from tenhour.files.weather.services import BROKEN, POWER_NAMES, pvgis_hourly, pvgis_typical, read_power_json
from tenhour.files.weather.table import table_text
from tenhour.files.write import write_text
from tenhour.model.weather import PastDays, WeatherSeries, WeatherYear, past_days

if TYPE_CHECKING:
    import requests

Service = Literal["pvgis", "pvgis-typical", "power"]
Progress = Callable[[str], None]
Finish = Callable[[WeatherSeries, tuple[float, float]], WeatherYear]
"""Makes a series whole and judges it, its refusals among its checks; a file knows nothing of that."""
T = TypeVar("T")

NAMES: Final = {"pvgis": "PVGIS", "pvgis-typical": "PVGIS", "power": "NASA POWER"}
URL_VARIABLES: Final = {
    "pvgis": "TENHOUR_PVGIS_URL",
    "pvgis-typical": "TENHOUR_PVGIS_URL",
    "power": "TENHOUR_POWER_URL",
}
"""Another address for the service, for tests and for a mirror."""
YEARS: Final = (2011, 2020)
"""Ten years that every version of both services has: practice."""
FIRST_YEARS: Final = {"pvgis": 2005, "pvgis-typical": 2005, "power": 2001}
TIMEOUT_S: Final = 120.0
"""Whole time of one try; ten years of hours are some 10 MB. Practice."""
TRIES: Final = 3
WAIT_S: Final = 3.0
"""Before the second try, twice that before the third: practice."""
TELL_EVERY_S: Final = 5.0
LEAST_SHARE: Final = 0.99
"""Of the hours asked for that an answer must hold: judgement."""
HOURS_PER_YEAR: Final = 8760
TOO_MANY_REQUESTS: Final = 429
SERVER_ERROR: Final = 500
MOST_BYTES: Final = 40_000_000
"""Twenty years of hours are some 25 MB: judgement."""
MOST_PARTS: Final = 400_000
MOST_VALUES: Final = 2_000_000
"""Lists and objects, and what stands in them: twenty years of hours are 175 000 and 1.4 million. Taken apart, a small
answer of little else may need fifty times its size in memory: judgement."""
REFUSAL_BYTES: Final = 16_384
"""Of a refusal only the first words are read."""
MOST_MOVES: Final = 5
"""Other addresses that an answer may lead on to: practice."""
CHUNK_BYTES: Final = 65_536
LONGEST_WAIT_S: Final = 120.0
"""Longer than this nobody waits before a screen; the service's wish is told instead. Judgement."""
MOST_OFF_DEG: Final = 0.01
"""Both services answer for the coordinates asked for, to their last printed digit. Judgement."""
NO_NETWORK: Final = "Nothing was changed; without a weather file the embedded normals serve."


@dataclass(frozen=True)
class Request:
    """What to ask for, and how patiently."""

    service: Service
    latitude_deg: float
    longitude_deg: float
    elevation_m: float | None = None
    first_year: int = YEARS[0]
    last_year: int = YEARS[1]
    timeout_s: float = TIMEOUT_S
    tries_count: int = TRIES
    wait_s: float = WAIT_S
    first_day: date | None = None
    last_day: date | None = None
    """Days asked for in the place of whole years; of one service alone (power)."""

    @property
    def span(self) -> str:
        """What is asked for, in words."""
        if self.first_day is not None and self.last_day is not None:
            return f"{self.first_day.isoformat()} to {self.last_day.isoformat()}"
        return "a typical year" if self.service == "pvgis-typical" else f"{self.first_year}-{self.last_year}"

    @property
    def name(self) -> str:
        """The service's own name."""
        return NAMES[self.service]

    @property
    def file_name(self) -> str:
        """Name of the kept file: service, place and years."""
        where = f"{self.latitude_deg:.3f}_{self.longitude_deg:.3f}"
        years = "" if self.service == "pvgis-typical" else f"_{self.first_year}-{self.last_year}"
        return f"{self.service}_{where}{years}.csv"


class _Retry(Exception):  # noqa: N818 - not an error of its own, only a reason to ask again
    """A try that another one may mend: why, and how long to wait before it [s]."""

    def __init__(self, why: str, wait_s: float = 0.0) -> None:
        super().__init__(why)
        self.wait_s = wait_s


def cache_folder() -> Path:
    """Folder of kept weather: the user's cache, as the system has it."""
    home = Path.home()
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = home / "Library" / "Caches"
    else:
        base = Path(os.environ.get("XDG_CACHE_HOME") or home / ".cache")
    return base / "tenhour" / "weather"


def kept_path(request: Request) -> Path:
    """Where the answer to a request is kept."""
    return cache_folder() / request.file_name


def fetch(request: Request, finish: Finish, progress: Progress, today: str = "") -> tuple[Path, WeatherYear]:
    """Ask the service, judge what comes, and keep it as a plain table in the cache.

    Parameters: request; finish, judges what comes; progress, called with a line now and then; today, date for the
        file's remark.
    Returns: the file and the series.
    Errors: NoAnswer without a network, for a service that refuses, fails, is too slow, sends something broken or cut
        off, or light that the checks refuse; nothing is changed then. FileProblem when the cache cannot be written.
    """
    weather = _tried(request, progress, lambda raw, of: _judged(raw, of, finish))
    path = kept_path(request)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise NoAnswer(f"The cache {path.parent} cannot be made ({error.strerror or error}). {NO_NETWORK}") from None
    write_text(path, table_text(weather, f"fetched from {request.name} {today}".strip()), force=True)
    return path, weather


def fetch_days(request: Request, finish: Finish, progress: Progress) -> PastDays:
    """Ask the service for some days; those it does not have yet are left out.

    Parameters: request with first_day and last_day; finish and progress, as for ``fetch``.
    Errors: NoAnswer as for ``fetch``.
    """
    return _tried(request, progress, lambda raw, of: _days_of(raw, of, finish))


def _days_of(raw: RawWeather, request: Request, finish: Finish) -> PastDays:
    assert request.first_day is not None
    assert request.last_day is not None
    _check_place(raw, request)
    try:
        weather = _finished(raw, request, finish)
    except FileProblem as problem:
        raise _Retry(f"an answer that cannot be used ({problem.problems[0].line()})") from None
    days = past_days(weather)
    inside = (days.day >= np.datetime64(request.first_day)) & (days.day <= np.datetime64(request.last_day))
    there = inside & np.isfinite(days.ghi_w_m2)
    return PastDays(days.day[there], days.ghi_w_m2[there], days.temp_degc[there], request.name)


def _tried(request: Request, progress: Progress, judged: Callable[[RawWeather, Request], T]) -> T:
    progress(f"Asking {request.name} for {request.latitude_deg:.3f}, {request.longitude_deg:.3f}, {request.span}.")
    reason = ""
    for number in range(1, request.tries_count + 1):
        try:
            return judged(_asked(request, progress), request)
        except _Retry as failed:
            reason, asked_s = str(failed), failed.wait_s
        if asked_s > LONGEST_WAIT_S:
            reason = f"{reason}; it asks to be left alone for {asked_s / 60:.0f} minutes"
            break
        if number < request.tries_count:
            wait_s = max(request.wait_s * number, asked_s)
            progress(f"{request.name}: {reason}. Try {number + 1} of {request.tries_count} in {wait_s:g} s.")
            time.sleep(wait_s)
    tries = f" after {number} tries" if number > 1 else ""
    raise NoAnswer(f"No weather from {request.name}{tries}: {reason}. {NO_NETWORK}")


def _asked(request: Request, progress: Progress) -> RawWeather:
    """One try, given up when its time is over even if the service keeps sending a little.

    Errors: _Retry for what another try may mend; NoAnswer for what the service refuses.
    """
    box: list[RawWeather | Exception] = []

    def work() -> None:
        try:
            box.append(_call(request, started + request.timeout_s))
        except Exception as error:  # handed to the waiting thread, which sorts or raises it
            box.append(error)

    started = told = time.monotonic()
    worker = threading.Thread(target=work, daemon=True)
    worker.start()
    while worker.is_alive() and time.monotonic() - started < request.timeout_s:
        worker.join(min(0.2, request.timeout_s))
        if time.monotonic() - told >= TELL_EVERY_S:
            told = time.monotonic()
            progress(f"{request.name}: {told - started:.0f} s ...")
    if not box:
        raise _Retry(f"no whole answer within {request.timeout_s:g} s")
    if isinstance(box[0], Exception):
        raise _sorted(box[0], request)
    return box[0]


def _call(request: Request, deadline_s: float) -> RawWeather:
    """Ask once, read no more than the bound, and take the text apart; ``deadline_s`` is on the monotonic clock.

    Method: the library's own readers; its own calls keep the whole answer however long it is.
    """
    from pvlib import iotools

    if request.service == "power":
        return read_power_json(json.loads(_plain(_text(request, deadline_s))), request.name)
    reader = iotools.read_pvgis_hourly if request.service == "pvgis" else iotools.read_pvgis_tmy
    text = _plain(_text(request, deadline_s))
    data, meta = reader(io.StringIO(text), pvgis_format="json", map_variables=True)
    if request.service == "pvgis":
        return pvgis_hourly(data, meta, request.name)
    return pvgis_typical(data, meta, request.name, horizon=False)


def _address(request: Request) -> tuple[str, dict[str, Any]]:
    """Address and query, as the services' own pages document them."""
    from pvlib.iotools import nasa_power, pvgis

    other = os.environ.get(URL_VARIABLES[request.service])
    if request.service == "power":
        first = request.first_day or date(request.first_year, 1, 1)
        last = request.last_day or date(request.last_year, 12, 31)
        return other or nasa_power.URL, {
            "latitude": request.latitude_deg, "longitude": request.longitude_deg, "community": "re",
            "start": first.strftime("%Y%m%d"), "end": last.strftime("%Y%m%d"), "format": "json",
            "parameters": ",".join(POWER_NAMES), "header": True, "time-standard": "utc",
            "site-elevation": request.elevation_m,
        }  # fmt: skip
    base = (other or pvgis.URL).rstrip("/")
    place = {"lat": request.latitude_deg, "lon": request.longitude_deg, "outputformat": "json", "usehorizon": 0}
    if request.service == "pvgis-typical":
        return f"{base}/tmy", place
    level = {"angle": 0, "aspect": 0, "components": 1, "pvcalculation": 0, "trackingtype": 0}
    return f"{base}/seriescalc", {**place, **level, "startyear": request.first_year, "endyear": request.last_year}


def _text(request: Request, deadline_s: float) -> str:
    """The text of an answer that the service calls good.

    Method: other addresses that it names are followed by hand, for the library reads all that comes with each.
    Errors: _Retry and NoAnswer by the status, and where the answer has no end; what the network library raises.
    """
    import requests

    class Straight(requests.Session):
        def get_redirect_target(self, resp: requests.Response) -> None:
            """None is followed."""

    url, query = _address(request)
    with Straight() as session:
        for _ in range(MOST_MOVES + 1):
            with session.get(url, params=query, timeout=request.timeout_s, stream=True) as response:
                if not response.is_redirect:
                    return _good_text(response, request, deadline_s)
                url, query = urljoin(response.url, response.headers["location"]), {}
    raise _Retry(f"no answer (it leads on to other addresses more than {MOST_MOVES} times)")


def _good_text(response: requests.Response, request: Request, deadline_s: float) -> str:
    status = response.status_code
    if response.ok:
        return _bounded(response, deadline_s).decode("utf-8", errors="replace")
    said = _words(_parsed(next(response.iter_content(REFUSAL_BYTES), b""))) or _words(response.reason)
    if status == TOO_MANY_REQUESTS or status >= SERVER_ERROR:
        why = f"{status}: {said}" if said else str(status)
        raise _Retry(f"the service fails ({why})", _wait_s(response.headers.get("Retry-After")))
    raise NoAnswer(f"{request.name} refuses the request: {said or status}. {NO_NETWORK}")


def _bounded(response: requests.Response, deadline_s: float) -> bytes:
    """Unpacked bytes of an answer; the bound is on what is unpacked, for a small packed answer may hold a huge one."""
    parts, size = [], 0
    for part in response.iter_content(CHUNK_BYTES):
        parts.append(part)
        size += len(part)
        if size > MOST_BYTES:
            raise _Retry(f"an answer of more than {MOST_BYTES / 1e6:g} MB")
        if time.monotonic() > deadline_s:
            raise _Retry("an answer that does not end")
    return b"".join(parts)


def _plain(text: str) -> str:
    """The same text, if it can be taken apart without much memory. Errors: _Retry."""
    if text.count("[") + text.count("{") > MOST_PARTS or text.count(",") > MOST_VALUES:
        raise _Retry("an answer of far more values than hours were asked for")
    return text


def _parsed(body: bytes) -> object:
    try:
        return json.loads(body)
    except (ValueError, RecursionError):
        return ""


def _wait_s(header: str | None) -> float:
    """Seconds a service asks to be left alone for, as a number or a date; 0 where it does not say."""
    if not header:
        return 0.0
    if header.strip().isdecimal():
        return float(header[:9])
    try:
        until = parsedate_to_datetime(header)
        return max(0.0, until.timestamp() - time.time())
    except (ValueError, OverflowError, OSError):
        return 0.0


def _sorted(error: Exception, request: Request) -> Exception:
    """What an exception of the call means: ask again, give up, or a bug of ours."""
    import requests

    if isinstance(error, _Retry | NoAnswer):
        return error
    if isinstance(error, FileProblem):
        return _Retry(f"an answer that cannot be used ({error.problems[0].line()})")
    if isinstance(error, requests.exceptions.ChunkedEncodingError | requests.exceptions.ContentDecodingError):
        return _Retry("an answer that is broken or cut off")
    if isinstance(error, requests.Timeout):
        return _Retry(f"silent for {request.timeout_s:g} s")
    if isinstance(error, requests.ConnectionError) and _unlike_http(error):
        return _Retry("an answer that is broken or cut off")
    if isinstance(error, requests.ConnectionError):
        return _Retry("no connection (is there a network?)")
    if isinstance(error, requests.RequestException):
        return _Retry(f"no answer ({_words(str(error))})")
    if isinstance(error, (*BROKEN, RecursionError, OverflowError)):
        return _Retry("an answer that is broken or cut off")
    return error


def _unlike_http(error: Exception) -> bool:
    """Whether somebody answered, though not as the protocol has it: too much before the body, or something else."""
    causes = [part for cause in error.args for part in (cause, *getattr(cause, "args", ()))]
    return any(isinstance(part, HTTPException) and not isinstance(part, OSError) for part in causes)


def _words(what: object) -> str:
    """A service's message in one short line."""
    if isinstance(what, Mapping):
        what = what.get("messages") or what.get("message") or what
    if isinstance(what, list):
        what = "; ".join(map(str, what))
    return " ".join(str(what).split())[:200].rstrip(".")


def _finished(raw: RawWeather, request: Request, finish: Finish) -> WeatherYear:
    site_deg = request.latitude_deg, request.longitude_deg
    return finish(series_of(raw, request.name, site_deg), site_deg)


def _judged(raw: RawWeather, request: Request, finish: Finish) -> WeatherYear:
    _check_whole(raw, request)
    _check_asked(raw, request)
    try:
        weather = _finished(raw, request, finish)
    except FileProblem as problem:
        raise _Retry(f"an answer that cannot be used ({problem.problems[0].line()})") from None
    refused = [check.sentence for check in weather.checks if check.finding == "refused"]
    if refused:
        raise NoAnswer(f"What {request.name} sent is no light of this place: {'; '.join(refused)}. {NO_NETWORK}")
    return weather


def _check_whole(raw: RawWeather, request: Request) -> None:
    years = 1 if request.service == "pvgis-typical" else request.last_year - request.first_year + 1
    expected = years * HOURS_PER_YEAR
    if len(raw.stamps) < LEAST_SHARE * expected:
        raise _Retry(f"an answer that is cut off ({len(raw.stamps)} of {expected} hours)")


def _check_asked(raw: RawWeather, request: Request) -> None:
    """Refuse the weather of another place or of other years, which would be kept under the name of those asked for."""
    _check_place(raw, request)
    years = {raw.stamps[0].year, raw.stamps[-1].year}
    if request.service != "pvgis-typical" and years != {request.first_year, request.last_year}:
        found = "-".join(str(year) for year in sorted(years))
        raise NoAnswer(f"{request.name} sent other years than asked for ({found}). {NO_NETWORK}")


def _check_place(raw: RawWeather, request: Request) -> None:
    off_deg = [
        abs(got - wanted)
        for got, wanted in ((raw.latitude_deg, request.latitude_deg), (raw.longitude_deg, request.longitude_deg))
        if got is not None
    ]
    if off_deg and not max(off_deg) <= MOST_OFF_DEG:
        where = f"{raw.latitude_deg:g}, {raw.longitude_deg:g}"
        raise NoAnswer(f"{request.name} sent the weather of another place ({where}). {NO_NETWORK}")
