"""Write docs/cli.md from the help texts of all commands; ``--check`` only compares.

Run: python scripts/build_cli_docs.py [--check]
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

os.environ["COLUMNS"] = "100"
os.environ["TERMINAL_WIDTH"] = "100"
os.environ["NO_COLOR"] = "1"

from typer.main import get_command
from typer.testing import CliRunner

from tenhour.cli.main import app

OUT = Path(__file__).parents[1] / "docs" / "cli.md"
INTRO = """# The commands

What `tenhour COMMAND --help` prints, collected by `scripts/build_cli_docs.py`. How to use them for a task stands in
[guide](guide/first-winter.md); what `--json` prints is described by the schemas in [schema](schema).

Exit status: 0 answered (also when the answer is that nothing can be sown), 1 no answer exists, 2 bad input; then every
problem stands on a line of its own and nothing is written.
"""


def names() -> list[list[str]]:
    """Return all commands and their own commands, in the order they are registered."""
    found: list[list[str]] = []
    for name, command in getattr(get_command(app), "commands", {}).items():
        found.append([name])
        found += [[name, inner] for inner in getattr(command, "commands", {})]
    return found


def cli_text() -> str:
    """Return the page."""
    parts = [INTRO]
    for words in [[], *names()]:
        done = CliRunner().invoke(app, [*words, "--help"], terminal_width=100, prog_name="tenhour")
        assert done.exit_code == 0, done.output
        shown = "\n".join(line.rstrip() for line in done.stdout.strip().splitlines())
        parts.append(f"## {' '.join(['tenhour', *words])}\n\n```text\n{shown}\n```\n")
    return "\n".join(parts)


def main() -> int:
    text = cli_text()
    if "--check" not in sys.argv:
        OUT.write_text(text, "utf-8")
        return 0
    if not OUT.exists() or OUT.read_text("utf-8") != text:
        print("docs/cli.md is out of step; run scripts/build_cli_docs.py")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
