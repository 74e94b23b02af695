"""Get a weather series from PVGIS or NASA POWER: the only use of a network in the program, and only when asked."""

from __future__ import annotations

import os
import sys
import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, Literal

import pandas as pd

from tenhour.errors import FileProblem, NoAnswer
from tenhour.files.weather.raw import RawWeather
from tenhour.files.weather.read import finished
from tenhour.files.weather.services import power_hourly, pvgis_hourly, pvgis_typical
from tenhour.files.weather.table import table_text
from tenhour.files.write import write_text
from tenhour.model.weather import WeatherYear

Service = Literal["pvgis", "pvgis-typical", "power"]
Progress = Callable[[str], None]
Answer = tuple[pd.DataFrame, Mapping[str, Any]]

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
    """A try that another one may mend: why."""


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


def fetch(request: Request, progress: Progress, today: str = "") -> tuple[Path, WeatherYear]:
    """Ask the service, judge what comes, and keep it as a plain table in the cache.

    Parameters: request; progress, called with a line now and then; today, date for the file's remark.
    Returns: the file and the series.
    Errors: NoAnswer without a network, for a service that refuses, fails, is too slow, sends something broken or cut
        off, or light that the checks refuse; nothing is changed then. FileProblem when the cache cannot be written.
    """
    weather = _tried(request, progress)
    path = kept_path(request)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise NoAnswer(f"The cache {path.parent} cannot be made ({error.strerror or error}). {NO_NETWORK}") from None
    write_text(path, table_text(weather, f"fetched from {request.name} {today}".strip()), force=True)
    return path, weather


def _tried(request: Request, progress: Progress) -> WeatherYear:
    years = "a typical year" if request.service == "pvgis-typical" else f"{request.first_year}-{request.last_year}"
    progress(f"Asking {request.name} for {request.latitude_deg:.3f}, {request.longitude_deg:.3f}, {years}.")
    reason = ""
    for number in range(1, request.tries_count + 1):
        try:
            return _judged(_asked(request, progress), request)
        except _Retry as failed:
            reason = str(failed)
        if number < request.tries_count:
            wait_s = request.wait_s * number
            progress(f"{request.name}: {reason}. Try {number + 1} of {request.tries_count} in {wait_s:g} s.")
            time.sleep(wait_s)
    tries = f" after {request.tries_count} tries" if request.tries_count > 1 else ""
    raise NoAnswer(f"No weather from {request.name}{tries}: {reason}. {NO_NETWORK}")


def _asked(request: Request, progress: Progress) -> Answer:
    """One try, given up when its time is over even if the service keeps sending a little.

    Errors: _Retry for what another try may mend; NoAnswer for what the service refuses.
    """
    box: list[Answer | Exception] = []

    def work() -> None:
        try:
            box.append(_call(request))
        except Exception as error:  # handed to the waiting thread, which sorts or raises it
            box.append(error)

    worker = threading.Thread(target=work, daemon=True)
    worker.start()
    started = told = time.monotonic()
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


def _call(request: Request) -> Answer:
    """The library's own call; its timeout only bounds silence, so the caller bounds the whole."""
    from pvlib import iotools

    place = (request.latitude_deg, request.longitude_deg)
    other = os.environ.get(URL_VARIABLES[request.service])
    if request.service == "power":
        first, last = f"{request.first_year}-01-01", f"{request.last_year}-12-31"
        parameters = ["ghi", "dni", "dhi", "temp_air"]
        url = {"url": other} if other else {}
        power: Answer = iotools.get_nasa_power(*place, first, last, parameters, elevation=request.elevation_m, **url)
        return power
    url = {"url": other.rstrip("/") + "/"} if other else {}
    if request.service == "pvgis":
        hourly: Answer = iotools.get_pvgis_hourly(
            *place, start=request.first_year, end=request.last_year, usehorizon=False, timeout=request.timeout_s, **url
        )
        return hourly
    typical: Answer = iotools.get_pvgis_tmy(
        *place, usehorizon=False, coerce_year=None, timeout=request.timeout_s, **url
    )
    return typical


def _sorted(error: Exception, request: Request) -> Exception:
    """What an exception of the call means: ask again, give up, or a bug of ours."""
    import requests

    if isinstance(error, requests.HTTPError):
        status = error.response.status_code if error.response is not None else 0
        words = _words(error.args[0] if error.args else status)
        if status == TOO_MANY_REQUESTS or status >= SERVER_ERROR:
            return _Retry(f"the service fails ({words})")
        return NoAnswer(f"{request.name} refuses the request: {words}. {NO_NETWORK}")
    if isinstance(error, requests.exceptions.JSONDecodeError | requests.exceptions.ChunkedEncodingError):
        return _Retry("an answer that is broken or cut off")
    if isinstance(error, requests.Timeout):
        return _Retry(f"silent for {request.timeout_s:g} s")
    if isinstance(error, requests.ConnectionError):
        return _Retry("no connection (is there a network?)")
    if isinstance(error, requests.RequestException):
        return _Retry(f"no answer ({_words(error)})")
    if isinstance(error, ValueError | KeyError | TypeError | IndexError | AttributeError):
        return _Retry("an answer that is broken or cut off")
    return error


def _words(what: object) -> str:
    """A service's message in one short line."""
    if isinstance(what, Mapping):
        what = what.get("messages") or what.get("message") or what
    if isinstance(what, list):
        what = "; ".join(map(str, what))
    return " ".join(str(what).split())[:200].rstrip(".")


def _judged(answer: Answer, request: Request) -> WeatherYear:
    try:
        raw = _raw(answer, request)
        _check_whole(raw, request)
        weather = finished(raw, request.name, (request.latitude_deg, request.longitude_deg))
    except FileProblem as problem:
        raise _Retry(f"an answer that cannot be used ({problem.problems[0].line()})") from None
    refused = [check.sentence for check in weather.checks if check.finding == "refused"]
    if refused:
        raise NoAnswer(f"What {request.name} sent is no light of this place: {'; '.join(refused)}. {NO_NETWORK}")
    return weather


def _raw(answer: Answer, request: Request) -> RawWeather:
    data, meta = answer
    try:
        if request.service == "power":
            return power_hourly(data, meta, request.name)
        if request.service == "pvgis":
            return pvgis_hourly(data, meta, request.name)
        return pvgis_typical(data, meta, request.name, horizon=False)
    except (ValueError, KeyError, TypeError, IndexError, AttributeError):
        raise _Retry("an answer that is broken or cut off") from None


def _check_whole(raw: RawWeather, request: Request) -> None:
    years = 1 if request.service == "pvgis-typical" else request.last_year - request.first_year + 1
    expected = years * HOURS_PER_YEAR
    if len(raw.stamps) < LEAST_SHARE * expected:
        raise _Retry(f"an answer that is cut off ({len(raw.stamps)} of {expected} hours)")
