"""The command line: registers the commands and turns every misuse into one line and exit status 2."""

from __future__ import annotations

import atexit
import errno
import gc
import io
import logging
import os
import sys
import warnings
from collections.abc import Sequence
from copy import copy
from typing import Annotated, Any, Final

import typer
from typer.core import TyperGroup
from typer.exceptions import TyperException

from tenhour import __version__
from tenhour.cli.atlas import atlas
from tenhour.cli.check import check
from tenhour.cli.common import EXIT_BAD_INPUT, EXIT_STOPPED, house_file, remark, to_nowhere
from tenhour.cli.crops import crops
from tenhour.cli.feed import feed
from tenhour.cli.heat import heat
from tenhour.cli.lamps import lamps
from tenhour.cli.learn import learn
from tenhour.cli.light import light
from tenhour.cli.log import log
from tenhour.cli.new import new
from tenhour.cli.open import open_page
from tenhour.cli.read import read
from tenhour.cli.report import report
from tenhour.cli.season import season
from tenhour.cli.sow import sow
from tenhour.cli.weather import weather_app
from tenhour.cli.week import week
from tenhour.cli.why import why
from tenhour.errors import LONGEST_FOUND, one_line

WEEK_OPTIONS: Final = ("-H", "--house", "--on", "--crops", "--json", "--csv", "--units", "--dates", "--cautions")


class Words(TyperGroup):
    """Take ``help`` and ``version`` as the words they are, and no command as the question for this week."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Turn ``help sow`` into ``sow --help``, ``version`` into ``--version``, nothing but a house into ``week``."""
        if (not args and house_file() is not None) or (args and args[0].split("=")[0] in WEEK_OPTIONS):
            args = ["week", *args]
        if args[:1] == ["help"]:
            args = [*args[1:], "--help"]
        elif args[:1] == ["version"]:
            args = ["--version", *args[1:]]
        return list(super().parse_args(ctx, args))


app = typer.Typer(
    name="tenhour",
    cls=Words,
    help="Plan a winter greenhouse by its light: what to sow, which lamp, why seedlings are leggy.",
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
)

WELCOME: Final = """tenhour plans a winter greenhouse by its light. Begin with:
  tenhour new       describe your house by a few questions
  tenhour sow       what to sow today; season: the year; why: leggy seedlings
  tenhour lamps front lettuce   which lamp for which bed; heat: warm enough?
Until you have a house file they answer for a built-in demo house; with one,
bare tenhour says what to do this week. All commands: tenhour help."""
"""Without any word and without a house: where to begin."""
EXAMPLES: Final = {
    "week": ("tenhour", "tenhour --json", "tenhour week --on '1 Feb'"),
    "light": ("tenhour light", "tenhour light --brighter", "tenhour light --on 'Jan 15' --map front"),
    "sow": ("tenhour sow", "tenhour sow spinach january", "tenhour sow front --on '1 Feb'"),
    "season": ("tenhour season front", "tenhour season spinach --ics dates.ics", "tenhour season --from 'Sep 1'"),
    "lamps": ("tenhour lamps front lettuce", "tenhour lamps --shelf 1.2x0.5 basil --price '0.30 EUR'"),
    "feed": ("tenhour feed", "tenhour feed --house mine.toml --json"),
    "heat": (
        "tenhour heat",
        "tenhour heat --tonight -9",
        "tenhour heat --helps",
        "tenhour heat --places",
        "tenhour heat --cut 24",
    ),
    "crops": ("tenhour crops", "tenhour crops kale"),
    "report": ("tenhour report", "tenhour report --bed front --crop kale -o front.html"),
    "new": ("tenhour new", "tenhour new --place 'Ulm, Germany' --shape lean-to --faces south"),
    "check": ("tenhour check", "tenhour check house.toml --json"),
    "why": ("tenhour why tomato leggy front --sown 'Feb 20'", "tenhour why kale --looks pale,leaning"),
    "read": ("tenhour read lux.csv", "tenhour read lux.csv --keep"),
    "open": ("tenhour open", "tenhour open --house mine.toml --no-browser", "tenhour open --share"),
    "learn": ("tenhour learn", "tenhour learn --keep", "tenhour learn --forget spinach"),
    "atlas": (
        "tenhour atlas --places places.txt --crop spinach -o here",
        "tenhour atlas --box=55,-6,59,-2 --step 0.5 --ask light -o north",
    ),
    "log": ("tenhour log", "tenhour log sown kale --bed front --on yesterday"),
}
"""What one types first, shown under the help of each command."""


def _examples(name: str) -> str:
    """The examples of a command, a line each (the mark keeps the help text from joining them)."""
    return "\b\n" + "\n".join(["Examples:", *(f"  {line}" for line in EXAMPLES[name])])


OUTPUT_ERRORS: Final = frozenset({errno.EPIPE, errno.ENOSPC, errno.EDQUOT, errno.EIO, errno.EFBIG})
EXIT_UNWRITTEN: Final = 74
"""Of a program whose output cannot be written, after the list of statuses that mail programs began. Practice."""


def _version_text(everything: bool) -> str:
    from tenhour.files.versions import data_lines, notice_lines

    lines = [f"tenhour {__version__}", *data_lines()]
    return "\n".join([*lines, "", *notice_lines()] if everything else lines)


@app.callback(invoke_without_command=True)
def root(
    context: typer.Context,
    version: Annotated[bool, typer.Option("--version", "-v", help="Print versions of program and data.")] = False,
    everything: Annotated[
        bool, typer.Option("--all", help="With --version: whose data travel inside, and on what terms.")
    ] = False,
) -> None:
    """Plan a winter greenhouse by its light: what to sow, which lamp, why seedlings are leggy."""
    if version:
        print(_version_text(everything))
        raise typer.Exit
    if everything:
        raise TyperException("--all belongs to --version.")
    if context.invoked_subcommand is None:
        print(WELCOME)


app.command(epilog=_examples("week"))(week)
app.command(epilog=_examples("light"))(light)
app.command(epilog=_examples("sow"))(sow)
app.command(epilog=_examples("season"))(season)
app.command(epilog=_examples("lamps"))(lamps)
app.command(epilog=_examples("feed"))(feed)
app.command(epilog=_examples("heat"))(heat)
app.command(epilog=_examples("crops"))(crops)
app.command(epilog=_examples("report"))(report)
app.command(epilog=_examples("new"))(new)
app.command(epilog=_examples("check"))(check)
app.command(epilog=_examples("why"))(why)
app.command(epilog=_examples("read"))(read)
app.command(epilog=_examples("log"))(log)
app.command("open", epilog=_examples("open"))(open_page)
app.command(epilog=_examples("learn"))(learn)
app.command(epilog=_examples("atlas"))(atlas)
app.add_typer(weather_app)


def _steady() -> None:
    """Write what a narrow encoding cannot hold as question marks, and do without streams that were closed."""
    if sys.stdin is None:
        sys.stdin = io.TextIOWrapper(io.FileIO(os.devnull), encoding="utf-8")
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:
            setattr(sys, name, io.TextIOWrapper(io.FileIO(os.devnull, "w"), encoding="utf-8"))
        elif isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


GARBAGE_EVERY: Final = 50_000
"""New objects between looks for rings of dead ones, which loading and tables hardly make: the looks cost a tenth of an
answer. Measured, docs/method/speed.md."""


def _of_command(words: Sequence[str]) -> typer.Typer:
    """The command line with nothing but the command that is called, where its name comes first: making all of them
    ready takes a twentieth of an answer. With all where help, a slip or completion may ask for any.
    """
    named = [one for one in app.registered_commands if words and _name(one) == words[0]]
    if not named or any(key.endswith("_COMPLETE") for key in os.environ):
        return app
    own = copy(app)
    own.registered_commands, own.registered_groups = named, []
    return own


def _name(command: Any) -> str:
    return str(command.name or command.callback.__name__)


def _ours_alone() -> None:
    """Keep the remarks of other libraries from the reader's screen; ``python -W`` brings warnings back."""
    warnings.simplefilter("ignore", append=True)
    others = logging.getLogger()
    if not others.handlers:
        others.addHandler(logging.NullHandler())


def run() -> None:
    """Entry point: run the command line and leave with its exit status."""
    # Our matrices are small: sharing one among processors costs more than it saves.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # No plug-in of the checker of files is ours: looking for some reads the papers of every library installed.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    gc.set_threshold(GARBAGE_EVERY)
    atexit.register(gc.freeze)  # nothing is looked through once more at the end
    _steady()
    _ours_alone()
    try:
        status = _of_command(sys.argv[1:])(standalone_mode=False)
        sys.stdout.flush()
    except TyperException as error:
        context = getattr(error, "ctx", None)
        where = context.command_path if context is not None else "tenhour"
        said = one_line(" ".join(error.format_message().split()))
        said = said if len(said) <= LONGEST_FOUND else f"{said[:LONGEST_FOUND]}…"
        remark(f"command line: {where}: {said} See '{where} --help'.")
        sys.exit(EXIT_BAD_INPUT)
    except (typer.Abort, KeyboardInterrupt):
        remark("Stopped; nothing was changed.")
        sys.exit(EXIT_STOPPED)
    except OSError as error:
        if error.errno not in OUTPUT_ERRORS or error.filename is not None:
            raise
        to_nowhere("stdout")
        if error.errno != errno.EPIPE:
            remark(f"The answer could not be written: {error.strerror}.")
        sys.exit(EXIT_UNWRITTEN)
    if status == EXIT_STOPPED:  # a command that was stopped comes back with its status alone
        remark("Stopped; nothing was changed.")
    sys.exit(status if isinstance(status, int) else 0)
