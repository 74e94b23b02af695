"""Name a weather file in a house file: one line is set, everything else stays as it was written."""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path
from typing import Any, Final

from tenhour.errors import FileProblem, Problem
from tenhour.files.textfile import parse_toml
from tenhour.files.write import write_text

TABLE: Final = re.compile(r"^[ \t]*\[")
SITE: Final = re.compile(r"^[ \t]*\[[ \t]*site[ \t]*\][ \t]*(?:#.*)?$")
CLIMATE: Final = re.compile(
    r"^(?P<key>[ \t]*climate[ \t]*=[ \t]*)(?:\"(?:[^\"\\]|\\.)*\"|'[^']*')(?P<rest>[ \t]*(?:#.*)?)$"
)


def named_climate(path: Path) -> str:
    """What a house file says under [site] climate now; "normals" when it says nothing."""
    site = parse_toml(_text(path), str(path)).get("site", {})
    return str(site.get("climate", "normals")) if isinstance(site, dict) else "normals"


def name_weather(path: Path, weather: Path) -> None:
    """Set [site] climate of a house file to a weather file, keeping every other letter.

    Errors: FileProblem when the file is written in a way that one line cannot be set safely; nothing is changed then.
    """
    text = _text(path)
    before = parse_toml(text, str(path))
    new = _with_climate(text, str(weather))
    if new is None or not _only_climate_differs(before, new, str(weather)):
        do = f"Add this line under [site] yourself: {_line(str(weather))}"
        raise FileProblem([Problem(str(path), "site.climate", "a layout that cannot be edited safely", "", do)])
    write_text(path, new, force=True)


def _text(path: Path) -> str:
    """The text with its own line ends."""
    try:
        return path.read_bytes().decode("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or "not UTF-8 text"
        raise FileProblem([Problem(str(path), "", f"cannot be read ({reason})", "", "Check the path.")]) from None


def _line(value: str) -> str:
    return f"climate = {json.dumps(value, ensure_ascii=False)}"


def _with_climate(text: str, value: str) -> str | None:
    """The text with the one line set, or None without a [site] table of its own."""
    lines = text.splitlines(keepends=True)
    start = next((n for n, line in enumerate(lines) if SITE.match(_bare(line))), None)
    if start is None:
        return None
    for number in range(start + 1, len(lines)):
        bare = _bare(lines[number])
        if TABLE.match(bare):
            break
        there = CLIMATE.match(bare)
        if there:
            new = there["key"] + json.dumps(value, ensure_ascii=False) + there["rest"]
            lines[number] = new + lines[number][len(bare) :]
            return "".join(lines)
    end = lines[start][len(_bare(lines[start])) :] or "\n"
    lines[start] = f"{_bare(lines[start])}{end}{_line(value)}{end}"
    return "".join(lines)


def _bare(line: str) -> str:
    return line.rstrip("\r\n")


def _only_climate_differs(before: dict[str, Any], text: str, value: str) -> bool:
    try:
        after = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return False
    site = after.get("site")
    if not isinstance(site, dict) or site.get("climate") != value:
        return False
    wanted = {**before, "site": {**before.get("site", {}), "climate": value}}
    return after == wanted
