"""Commands and files as the guide shows them."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

GUIDE = Path(__file__).parents[1] / "docs" / "guide"
FENCE = re.compile(r"^```(\w*)\n(.*?)^```", re.DOTALL | re.MULTILINE)
INDENTED = re.compile(r"(?:^    \S.*\n)+", re.MULTILINE)


def commands(text: str) -> list[list[str]]:
    """Every command line of a page, in order, as arguments after the program's name."""
    fenced = [(m.start(), m[2]) for m in FENCE.finditer(text) if m[1] in ("", "sh")]
    bare = FENCE.sub(lambda m: re.sub(r"[^\n]", " ", m[0]), text)
    indented = [(m.start(), re.sub(r"^    ", "", m[0], flags=re.MULTILINE)) for m in INDENTED.finditer(bare)]
    lines = [line for _, block in sorted([*fenced, *indented]) for line in block.replace("\\\n", " ").splitlines()]
    return [shlex.split(line, comments=True)[1:] for line in lines if line.startswith("tenhour ")]


def tables(text: str) -> dict[str, str]:
    """Example tables by the file name that the sentence before them, or the command after them, gives."""
    found = {}
    for match in FENCE.finditer(text):
        if match[1] or "," not in match[2].splitlines()[0] or match[2].startswith("tenhour"):
            continue
        before = re.findall(
            r"`([\w-]+\.csv)`", text[: match.start()].rsplit("\n\n", 2)[-2] + text[: match.start()][-200:]
        )
        after = re.findall(r"tenhour \w+ ([\w-]+\.csv)", text[match.end() : match.end() + 200])
        for name in (after or before)[:1]:
            found.setdefault(name, match[2])
    return found
