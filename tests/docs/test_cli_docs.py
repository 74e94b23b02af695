"""docs/cli.md is what the help texts say."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tenhour.cli.main import app

ROOT = Path(__file__).parents[2]


def test_the_page_is_in_step() -> None:
    script = ROOT / "scripts" / "build_cli_docs.py"
    done = subprocess.run([sys.executable, script, "--check"], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_every_command_and_option_has_help() -> None:
    from typer.main import get_command

    for name, command in getattr(get_command(app), "commands", {}).items():
        assert command.help, name
        for parameter in command.params:
            assert getattr(parameter, "help", None), f"{name}: {parameter.name}"
