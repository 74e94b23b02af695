"""The server of the page: its addresses, what each takes and gives, and how it starts and stops."""

from __future__ import annotations

import json
import logging
import socket
import threading
import time
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, fields
from datetime import date
from importlib import resources
from pathlib import Path
from typing import Any, Final

import bottle
from waitress.server import create_server

from tenhour.door import Answer
from tenhour.errors import FileProblem, NoAnswer, OutOfRange, Problem
from tenhour.files.house.draft import Draft
from tenhour.files.house.edit import Edit
from tenhour.files.keep import changed_text
from tenhour.files.log import append_log, log_path
from tenhour.files.textfile import read_text
from tenhour.files.write import write_text
from tenhour.model.house import House
from tenhour.open import shown
from tenhour.open.asked import (
    READINGS,
    asked,
    lamps_kept,
    log_line,
    plan_path,
    plan_text,
    readings,
    told,
    with_reading,
)  # fmt: skip
from tenhour.open.desk import Desk, OvertakenError
from tenhour.open.guard import MOST_BODY_BYTES, Guard
from tenhour.open.session import ChangedElsewhereError, Session
from tenhour.plan.dates import DAYS
from tenhour.report.page.style import css

KINDS: Final = {".html": "text/html", ".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml"}
THREADS: Final = 4
CONNECTIONS: Final = 64
"""More wait in the system's queue."""
MOST_WAITING: Final = 256
LONG: Final = frozenset({"feed"})
"""Questions that take a minute: others are answered beside them."""
EVERYWHERE: Final = "0.0.0.0"
LOOPBACK: Final = "127.0.0.1"
ELSEWHERE: Final = "192.0.2.1"
"""An address of documentation (RFC 5737); nothing is sent to it."""


class BadRequestError(Exception):
    """The page asked in a way that is not understood."""


@dataclass(frozen=True)
class Wishes:
    """How the page is to be served."""

    port: int = 0
    """0: any that is free."""
    shared: bool = False
    idle_s: float = 3600.0
    """With nothing asked for so long the command ends."""


def pages(session: Session, desk: Desk, today: Callable[[], date] = date.today) -> bottle.Bottle:
    """The addresses of the page, behind no guard yet.

    Parameters: session, the file; desk; today, for answers that start on the day.
    """
    app = bottle.Bottle()
    app.config["json.enable"] = False
    files = _files()

    def part(name: str = "index.html") -> bytes:
        if name not in files:
            bottle.abort(404, "Not Found")
        bottle.response.set_header("Content-Type", f"{KINDS[Path(name).suffix]}; charset=utf-8")
        return files[name]

    def get(what: str) -> bytes:
        return _told(lambda: _READS[what](session, bottle.request.query.decode()), what in _READS, session)

    def post(what: str) -> bytes:
        calls: Mapping[str, Callable[[Request], Any]] = {
            "change": lambda of: _changed(session, of),
            "undo": lambda of: shown.file_shown(session, session.undo(of.version)),
            "redo": lambda of: shown.file_shown(session, session.redo(of.version)),
            "new": lambda of: shown.file_shown(session, session.begin(_draft(of.words))),
            "day": lambda of: _on_day(session, desk, of),
            "year": lambda of: _year(session, desk, of),
            "ask": lambda of: _answer(session, desk, of, today()),
            "log": lambda of: _logged(session, of, today()),
            "reading": lambda of: _reading(session, of),
            "read": lambda of: _read(session, desk, of, today()),
            "keep": lambda of: _kept(session, desk, of),
            "keep-plan": lambda of: _kept_plan(session, desk, of),
            "keep-lamps": lambda of: _kept_lamps(session, desk, of, today()),
            "sky": lambda of: shown.sky_shown(session.tried(of.version, of.edits)[1], of.words),
        }
        return _told(lambda: calls[what](Request.of(_json())), what in calls, session)

    app.get(["/", "/<name>"], callback=part)
    app.get("/api/<what>", callback=get)
    app.post("/api/<what>", callback=post)
    return app


def _files() -> dict[str, bytes]:
    """Every file of the page by its name: what is not in here has no address."""
    folder = resources.files("tenhour.open") / "static"
    found = {each.name: each.read_bytes() for each in folder.iterdir() if Path(each.name).suffix in KINDS}
    return {**found, "report.css": css().encode()}


_READS: Final[Mapping[str, Callable[[Session, Mapping[str, str]], Any]]] = {
    "file": lambda session, _: shown.file_shown(session, session.seen()),
    "version": lambda session, _: {"version": session.seen().version},
    "words": lambda _, __: shown.words_shown(),
    "places": lambda _, query: shown.places_shown(query.get("q", "")),
}


def _told(work: Callable[[], Any], known: bool, session: Session) -> bytes:
    """What some work gives as JSON, and the errors a user can cause as theirs."""
    if not known:
        bottle.abort(404, "Not Found")
    status, found = 200, None
    try:
        found = work()
    except ChangedElsewhereError:
        status, found = 409, {"changed": True, **shown.file_shown(session, session.seen())}
    except OvertakenError:
        found = {"overtaken": True}
    except FileProblem as error:
        status, found = 422, {"problems": shown.lines_of(error.problems)}
    except (OutOfRange, NoAnswer) as error:
        status, found = 422, {"problems": [str(error)]}
    except BadRequestError as error:
        status, found = 400, {"problems": [f"The page asked in a way that is not understood ({error})."]}
    bottle.response.status = status
    bottle.response.set_header("Content-Type", "application/json")
    return json.dumps(found, allow_nan=False, ensure_ascii=False, separators=(",", ":"), default=_plain).encode()


def _plain(value: object) -> object:
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} is not sent")


def _json() -> Any:
    try:
        found = json.loads(bottle.request.body.read(MOST_BODY_BYTES) or b"{}")
        json.dumps(found, allow_nan=False, ensure_ascii=False).encode()  # no half letters, and no number that is none
        return found
    except (ValueError, RecursionError):
        raise BadRequestError("no JSON") from None


@dataclass(frozen=True)
class Request:
    """What a page sent, its parts of the right kind."""

    version: str
    edits: tuple[Edit, ...]
    label: str
    tab: str
    number: int
    day: int
    question: str
    words: Mapping[str, Any]

    @classmethod
    def of(cls, raw: Any) -> Request:
        """Read a request. Errors: BadRequestError."""
        try:
            return cls(
                version=str(raw.get("version", "")),
                edits=tuple(_edit(each) for each in raw.get("edits", ())),
                label=str(raw.get("label", "the last change"))[:80],
                tab=str(raw.get("tab", ""))[:40],
                number=int(raw.get("number", 0)),
                day=min(max(int(raw.get("day", 0)), 0), DAYS - 1),
                question=str(raw.get("question", "")),
                words={**raw.get("words", {})},
            )
        except (TypeError, ValueError, LookupError, AttributeError, OverflowError) as error:
            raise BadRequestError(str(error)) from None


def _edit(raw: Mapping[str, Any]) -> Edit:
    do, path = raw["do"], tuple(raw["path"])
    if do not in ("set", "remove", "add") or not all(isinstance(step, str | int) for step in path):
        raise ValueError("no such change")
    return Edit(do, path, raw.get("value"))


def _draft(words: Mapping[str, Any]) -> Draft:
    """What was typed into the form of a new house. Errors: BadRequestError for anything but texts and lists."""
    given: dict[str, Any] = {}
    for field in fields(Draft):
        value = words.get(field.name, field.default)
        several = field.default == ()
        if isinstance(value, list if several else str | int | float):
            given[field.name] = tuple(map(str, value)) if isinstance(value, list) else str(value)
        elif value is not None and value != ():
            raise BadRequestError(f"{field.name} is no {'list' if several else 'text'}")
    return Draft(**given)


def _changed(session: Session, asked_for: Request) -> Any:
    return shown.file_shown(session, session.change(asked_for.version, asked_for.edits, asked_for.label))


def _wanted(session: Session, asked_for: Request) -> tuple[str, House]:
    """Text and house whose light is asked for; of a file that has gone on in between nobody waits for it."""
    try:
        return session.tried(asked_for.version, asked_for.edits)
    except ChangedElsewhereError:
        raise OvertakenError from None


def _on_day(session: Session, desk: Desk, asked_for: Request) -> Any:
    """Coarse light on one day with changes that are not written: what a drag shows."""
    _, house = _wanted(session, asked_for)
    work = lambda: shown.day_shown(desk.on_day(house, asked_for.day))  # noqa: E731
    return desk.done(f"{asked_for.tab} light", asked_for.number, work, short=True)


def _year(session: Session, desk: Desk, asked_for: Request) -> Any:
    """The light of the whole year, fine."""
    text, house = _wanted(session, asked_for)
    work = lambda: shown.year_shown(desk.year(text, house))  # noqa: E731
    return desk.done(f"{asked_for.tab} light", asked_for.number, work)


def _answer(session: Session, desk: Desk, asked_for: Request, today: date) -> Any:
    text, house = session.tried(asked_for.version, asked_for.edits)
    question = asked_for.question

    def work() -> Any:
        answer = asked(desk.year(text, house), question, asked_for.words, today)
        if question in LONG:
            desk.note(asked_for.tab, asked_for.version, answer)
        return told(answer, house, asked_for.words, today)

    return desk.done(f"{asked_for.tab} {question}", asked_for.number, work, long=question in LONG)


def _kept_plan(session: Session, desk: Desk, asked_for: Request) -> Any:
    """Keep the plan that this page shows, for the next one to go on from, as ``tenhour feed --keep``."""
    plan = desk.noted(asked_for.tab, asked_for.version)
    if plan is None:
        raise NoAnswer("There is no plan of the house as it stands now: plan first.")
    path = plan_path(session.path)
    text = plan_text(path, plan)
    session.beside(path, "the plan kept", lambda: write_text(path, text, force=True))
    return {**shown.file_shown(session, session.seen()), "kept": path.name}


def _kept_lamps(session: Session, desk: Desk, asked_for: Request, today: date) -> Any:
    """Write the lamps of a plan into the house file, as ``tenhour lamps --keep``."""
    text, house = session.tried(asked_for.version, ())
    words = asked_for.words
    work = lambda: lamps_kept(desk.year(text, house), text, session.path, words, today)  # noqa: E731
    new = desk.done(f"{asked_for.tab} keep-lamps", asked_for.number, work)
    label = f"lamps over {str(words.get('bed', ''))[:40]}"
    return shown.file_shown(session, session.replace(asked_for.version, new, label))


def _logged(session: Session, asked_for: Request, today: date) -> Any:
    line, path = log_line(asked_for.words, today), log_path(str(session.path))
    session.beside(path, f"{line.crop} {line.what}", lambda: append_log(path, line))
    return shown.file_shown(session, session.seen())


def _reading(session: Session, asked_for: Request) -> Any:
    """Put one reading of a meter at the end of the table beside the house file."""
    path = session.path.parent / READINGS
    text = with_reading(read_text(path) if path.exists() else None, asked_for.words)
    session.beside(path, "a reading", lambda: write_text(path, text, force=True))
    return shown.file_shown(session, session.seen())


def _read_answer(session: Session, desk: Desk, asked_for: Request) -> Answer:
    text, house = session.tried(asked_for.version, ())
    path = session.path.parent / READINGS
    work = lambda: readings(desk.year(text, house), path, asked_for.words)  # noqa: E731
    return desk.done(f"{asked_for.tab} read", asked_for.number, work)


def _read(session: Session, desk: Desk, asked_for: Request, today: date) -> Any:
    _, house = session.tried(asked_for.version, ())
    answer = _read_answer(session, desk, asked_for)
    keeps = answer.data.proposal is not None  # type: ignore[attr-defined]
    return {**told(answer, house, asked_for.words, today), "keeps": keeps}


def _kept(session: Session, desk: Desk, asked_for: Request) -> Any:
    """Write what the readings say into the house file, as ``tenhour read --keep``."""
    proposal = _read_answer(session, desk, asked_for).data.proposal  # type: ignore[attr-defined]
    if proposal is None:
        raise NoAnswer("Nothing to keep: the readings say too little yet.")
    text, _ = session.tried(asked_for.version, ())
    kept = changed_text(text, str(session.path), proposal.changes)
    return shown.file_shown(session, session.replace(asked_for.version, kept, "readings kept"))


def serve(path: Path, wishes: Wishes, ready: Callable[[Guard, str], None]) -> None:
    """Serve the page of a house file until it is stopped by hand, or nobody asks any more.

    Parameters: path, which need not be there yet; wishes; ready, told the guard and the address once both are known.
    Errors: FileProblem for a port that is taken.
    """
    guard = Guard(shared=wishes.shared)
    app = guard.watched(pages(Session(path), Desk()))
    listening = _socket(wishes)
    logging.getLogger("waitress").setLevel(logging.ERROR)
    server = create_server(
        app, sockets=[listening], threads=THREADS, connection_limit=CONNECTIONS, backlog=MOST_WAITING,
        max_request_body_size=MOST_BODY_BYTES, clear_untrusted_proxy_headers=True, ident=None,
    )  # fmt: skip
    guard.port = listening.getsockname()[1]
    over = threading.Event()
    threading.Thread(target=_stop_when_idle, args=(guard, wishes.idle_s, over, server), daemon=True).start()
    try:
        ready(guard, f"http://{_own_address() if wishes.shared else LOOPBACK}:{guard.port}/")
        server.run()
    except KeyboardInterrupt:
        pass
    finally:
        over.set()
        server.close()


def _socket(wishes: Wishes) -> socket.socket:
    try:
        return socket.create_server((EVERYWHERE if wishes.shared else LOOPBACK, wishes.port))
    except OSError as error:
        do = "Name another, or leave --port out."
        problem = Problem("command line", "--port", f"{wishes.port}: {error.strerror}", "a port that is free", do)
        raise FileProblem([problem]) from None


def _own_address() -> str:
    """This computer's address as its neighbours see it."""
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        asking.connect((ELSEWHERE, 9))
        return str(asking.getsockname()[0])
    return LOOPBACK


def _stop_when_idle(guard: Guard, idle_s: float, over: threading.Event, server: Any) -> None:
    """End the server's loop from within: an interrupt would be lost where the shell has it ignored (a job of nohup)."""
    while not over.wait(min(1.0, idle_s / 4)):
        if time.monotonic() - guard.last_heard_s >= idle_s:
            server.trigger.pull_trigger(lambda: _closed(server))
            return


def _closed(server: Any) -> None:
    """Close every connection and the server: its loop ends when nothing is left to wait for."""
    for channel in list(server.active_channels.values()):
        channel.close()
    server.close()
