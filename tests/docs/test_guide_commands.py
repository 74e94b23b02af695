"""Every command shown in the guide is run as it stands, page by page, each page in a folder of its own."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path

import pytest
import time_machine
from typer.testing import CliRunner

from helpers_fetch import closed_port_url
from helpers_guide import GUIDE, commands, tables
from helpers_once import build_once, few_winters
from helpers_weather import NORTH, epw, made_up
from tenhour.cli.main import app
from tenhour.open.guard import Guard

PAGES = sorted(GUIDE.glob("*.md"))
TODAY = datetime(2027, 1, 20, 12, tzinfo=UTC)
DEMO = GUIDE.parents[1] / "src" / "tenhour" / "_data" / "demo-house.toml"
NEW_HOUSE_ANSWERS = "metres\nUlm, Germany\n" + "\n" * 60
"""To the questions of ``tenhour new``: units, a place, and the default for everything else."""


SLOW = ("feeding", "atlas", "lamps")
"""Pages that take half a minute each: they run in the long form, the same commands shorter elsewhere."""


@pytest.mark.parametrize(
    "page", [pytest.param(p, marks=[pytest.mark.long] * (p.stem in SLOW), id=p.stem) for p in PAGES]
)
def test_commands_of_a_page_run(page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    text = page.read_text("utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    for variable in ("TENHOUR_PVGIS_URL", "TENHOUR_POWER_URL"):
        monkeypatch.setenv(variable, closed_port_url())
    lines = commands(text)
    monkeypatch.setattr("tenhour.files.fetch.time.sleep", lambda wait_s: None)
    _lay_out(text, lines)
    monkeypatch.setattr("webbrowser.open", lambda address: None)
    # a page that is served waits for its reader; tests/open starts it in earnest
    monkeypatch.setattr("tenhour.open.server.serve", lambda path, wishes, ready: ready(Guard(port=8000), "http://…/"))
    build_once(monkeypatch)
    few_winters(monkeypatch)
    with time_machine.travel(TODAY, tick=True):
        for arguments in lines:
            _run(arguments)


def _lay_out(text: str, lines: list[list[str]]) -> None:
    """Files that a page speaks of: its own tables, a house, a weather file."""
    for name, table in tables(text).items():
        Path(name).write_text(table, "utf-8")
    for name in {name for arguments in lines for name in arguments}:
        if name.endswith(".epw"):
            Path(name).write_text(epw(made_up(NORTH)), "utf-8")
        if name.endswith(".toml"):
            Path(name).write_text(DEMO.read_text("utf-8"), "utf-8")
    if not any(arguments[0] == "new" for arguments in lines):
        Path("house.toml").write_text(DEMO.read_text("utf-8"), "utf-8")


def _run(arguments: list[str]) -> None:
    if arguments[0] == "new":  # each shows another way to begin
        Path("house.toml").unlink(missing_ok=True)
    done = CliRunner().invoke(app, arguments, input=NEW_HOUSE_ANSWERS)
    shown = f"tenhour {' '.join(arguments)}\n{done.stderr[-2000:]}"
    if arguments[:2] == ["weather", "fetch"]:  # here there is no network, which is an answer too
        assert done.exit_code == 1, shown
        assert len([line for line in done.stderr.splitlines() if line.startswith("No weather from")]) == 1, shown
    elif arguments[-1] == "--keep" and done.exit_code == 1:  # the examples hold fewer readings than a fit needs
        assert "nothing was written" in done.stderr, shown
    else:
        assert done.exit_code == 0, shown


def test_commands_are_found() -> None:
    fenced = "```sh\ntenhour a \\\n  --b 'c d'  # why\n```\n"
    text = fenced + "\n    tenhour e\n\nmore `tenhour f`\n\n```toml\ntenhour = 1\n```\n"
    assert commands(text) == [["a", "--b", "c d"], ["e"]]
    assert len([page for page in PAGES if commands(page.read_text("utf-8"))]) >= 6


def test_every_command_is_in_the_guide() -> None:
    shown = {arguments[0] for page in PAGES for arguments in commands(page.read_text("utf-8"))}
    known = {command.name or command.callback.__name__ for command in app.registered_commands if command.callback}
    known |= {group.name for group in app.registered_groups if group.name}
    assert known - shown == set()


def test_links_between_pages_lead_somewhere() -> None:
    for page in [*GUIDE.parent.rglob("*.md"), GUIDE.parents[1] / "README.md"]:
        text = re.sub(r"```.*?```", "", page.read_text("utf-8"), flags=re.DOTALL)
        for target in re.findall(r"\]\(([^)#\s]+)[^)]*\)", text):
            if "://" not in target:
                assert (page.parent / target).exists(), f"{page.name}: {target}"
