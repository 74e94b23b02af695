"""Bytes of a weather file to text, whatever their encoding, and the format told from the content."""

from __future__ import annotations

import json
import os
import re
import stat
from pathlib import Path
from typing import Any, Final

from tenhour.files.textfile import note_read
from tenhour.files.weather.raw import FORMATS, refuse

MOST_BYTES: Final = 40_000_000
MOST_LINES: Final = 600_000
"""A year of minutes, or sixty years of hours; more is a wrong file, and would take long to refuse. Judgement."""
PACKED: Final = (
    (b"PK", "a zip or spreadsheet file", "Unpack it, or save the sheet as CSV."),
    (b"\x1f\x8b", "a compressed file", "Unpack it first."),
    (b"\xd0\xcf\x11\xe0", "a spreadsheet file", "Save the sheet as CSV."),
    (b"%PDF", "a PDF file", "Name a weather file."),
)
TMY2_HEAD: Final = re.compile(r"^\s?\d{5}\s.{22}\s..\s+-?\d+\s+[NS]\s+\d+\s+\d+\s+[EW]\s+\d+\s+\d+\s+-?\d+")
LATIN_NOTE: Final = "The file is not in UTF-8; it was read as Western European (latin-1)."


def read_weather_text(path: Path) -> tuple[str, list[str]]:
    """Text of a weather file and remarks on its encoding.

    Errors: FileProblem for a missing file, a folder, a packed or empty one, and one without text.
    """
    data = _read(path)
    for start, what, do in PACKED:
        if data.startswith(start):
            raise refuse(str(path), "", what, f"a text file: {FORMATS}", do)
    if data.count(b"\n") > MOST_LINES:
        allowed = f"up to {MOST_LINES} lines"
        raise refuse(str(path), "", "a very long file", allowed, "Write hourly means, or fewer years.")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", errors="replace"), ["The file is in UTF-16."]
    if b"\0" in data:
        raise refuse(str(path), "", "a binary file", f"a text file: {FORMATS}", "Is this the right file?")
    if not data.strip():
        raise refuse(str(path), "", "an empty file", FORMATS, "Download it again.")
    try:
        return data.decode("utf-8-sig"), []
    except UnicodeDecodeError:
        return data.decode("latin-1"), [LATIN_NOTE]


def _read(path: Path) -> bytes:
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "not a file name"
        found = f"cannot be read ({reason[:1].lower()}{reason[1:]})"
        raise refuse(str(path), "", found, "", "Check the path.") from None
    mode = os.fstat(handle).st_mode
    if not stat.S_ISREG(mode):
        os.close(handle)
        what = "a folder" if stat.S_ISDIR(mode) else "no ordinary file"
        raise refuse(str(path), "", what, "a weather file", "Name a file.")
    note_read(handle)
    with os.fdopen(handle, "rb") as stream:
        data = stream.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise refuse(str(path), "", "a very large file", f"up to {MOST_BYTES / 1e6:g} MB", "Is this the right file?")
    return data


def parsed_json(text: str, file: str) -> Any:
    """The document in a JSON text.

    Errors: FileProblem that says where the text breaks off or goes wrong.
    """
    try:
        return json.loads(text)
    except (ValueError, RecursionError) as error:
        where = f"line {error.lineno}" if isinstance(error, json.JSONDecodeError) else ""
        found = "JSON that breaks off or is broken"
        raise refuse(file, where, found, "a whole PVGIS or NASA POWER answer", "Download it again.") from None


def kind_of_text(text: str) -> str:
    """Name of the format a text is in, told from its first lines only; empty when it is none of them."""
    head = text[:20_000].lstrip("\r\n")
    lines = head.splitlines() or [""]
    if text.lstrip().startswith("{"):
        return "json"
    if lines[0].upper().startswith("LOCATION,"):
        return "epw"
    if len(lines) > 1 and "Date (MM/DD/YYYY)" in lines[1]:
        return "tmy3"
    if TMY2_HEAD.match(lines[0]):
        return "tmy2"
    if lines[0].startswith("Latitude (decimal degrees)"):
        return "pvgis-tmy-csv" if re.search(r"^time\(UTC\),", head, re.MULTILINE) else "pvgis-hourly-csv"
    if "-BEGIN HEADER-" in lines[0]:
        return "power-csv"
    table = next((line for line in lines if line.strip() and not line.startswith("#")), "")
    return "plain" if re.search(r"[,;\t]", table) and re.search(r"[A-Za-z]", table) else ""


def kind_of_json(document: Any) -> str:
    """Name of the service whose answer a JSON document is; empty when it is none of them."""
    if not isinstance(document, dict):
        return ""
    outputs, properties = document.get("outputs"), document.get("properties")
    if isinstance(outputs, dict) and "tmy_hourly" in outputs:
        return "pvgis-tmy-json"
    if isinstance(outputs, dict) and "hourly" in outputs:
        return "pvgis-hourly-json"
    if isinstance(properties, dict) and isinstance(properties.get("parameter"), dict):
        return "power-json"
    return ""
