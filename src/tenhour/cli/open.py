"""``tenhour open``: a local page that draws the house, drags its beds and asks its year."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

from tenhour.cli.common import HOUSE_NAME, HouseOption, house_file, number_option, remark, user_errors
from tenhour.cli.quick import load_by_module
from tenhour.errors import FileProblem, Problem

if TYPE_CHECKING:
    from tenhour.open.guard import Guard

MOST_MINUTES: Final = 10_000.0


def open_page(
    house: HouseOption = None,
    port: Annotated[int, typer.Option("--port", help="Port to listen on; 0: any that is free.")] = 0,
    no_browser: Annotated[bool, typer.Option("--no-browser", help="Print the address and open nothing.")] = False,
    share: Annotated[
        bool, typer.Option("--share", help="Let a phone in the same network open it, with the code printed.")
    ] = False,
    idle: Annotated[str, typer.Option("--idle", help="Minutes without a page open after which it ends.")] = "60",
) -> None:
    """Draw the house, drag a bed, slide the day: a page on this computer that reads and writes the house file."""
    with user_errors():
        load_by_module()
        minutes = number_option("--idle", idle, 0.0, MOST_MINUTES) or 0.0
        if not 0 <= port <= 65535:
            raise FileProblem([Problem("command line", "--port", str(port), "0 to 65535", "")])
        path = house or house_file() or Path(HOUSE_NAME)
        if path.is_dir() or not path.parent.is_dir():
            raise FileProblem([Problem(str(path), "", "no place for a house file", "", "Check the name.")])
        try:
            from tenhour.open.server import Wishes, serve
        except ModuleNotFoundError as error:
            do = "Install it: pip install 'tenhour[open]'."
            raise FileProblem([Problem("tenhour open", "", f"{error.name} is not installed", "", do)]) from None
        remark(f"The page of {path}, on this computer alone, for those who have its address; Ctrl+C ends it.")
        serve(path, Wishes(port, share, 60.0 * minutes), lambda guard, at: _ready(guard, at, not no_browser))
        remark("The page is closed; everything done on it stands in the file.")


def _ready(guard: Guard, address: str, browser: bool) -> None:
    """Print the address, warn of what sharing means, and open the browser."""
    own = f"http://127.0.0.1:{guard.port}/{guard.token}/"
    print(own, flush=True)
    if guard.shared:
        remark(
            "Shared: anybody in this network who has the code may read and change the house file, and the code and "
            "all numbers cross the network in the clear. Share at home, never in a cafe, and stop when you are done."
        )
        print(f"On the phone open {address} and give the code {guard.code}", flush=True)
        remark("It is good for a quarter of an hour and one phone; whoever opens that address later makes a new one.")
        guard.tell = lambda code: print(f"A new code for the next phone: {code}", flush=True)
    if browser:
        import webbrowser

        webbrowser.open(own)
