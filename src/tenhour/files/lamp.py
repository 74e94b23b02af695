"""A user's lamp: a generic kind, a short text with watts and photons, a TOML file, or a photometric file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from tenhour.errors import ARGUMENT
from tenhour.files.lamp_build import DEFAULT_KIND, OwnLamp, build_lamp
from tenhour.files.lamp_kinds import load_kinds
from tenhour.files.problems import Problems, dotted, show, suggest
from tenhour.files.textfile import parse_toml, read_text
from tenhour.model.lamp import Lamp

SCHEMA: Final = 1
PHOTOMETRIC: Final = ".ies"
TOML: Final = ".toml"


@dataclass(frozen=True)
class LampChoice:
    """What the command line says about the lamp."""

    text: str = DEFAULT_KIND
    spectrum: str | None = None
    intensities: str | None = None


def find_lamp(choice: LampChoice) -> Lamp:
    """Return the lamp a user means: the key of a kind, a file, or a text such as "40 W 104 umol/s 1.15 m".

    Errors: FileProblem with every problem, one line each.
    """
    kinds = load_kinds()
    text = choice.text.strip()
    if text in kinds:
        _check_unused(choice, "spectrum", "intensities")
        return kinds[text]
    path = Path(text)
    if path.suffix.lower() == PHOTOMETRIC:
        return _photometric(path, choice)
    if path.suffix.lower() == TOML:
        _check_unused(choice, "spectrum", "intensities")
        return read_lamp(path)
    if re.search(r"\d\s*w\b", text, re.IGNORECASE):
        _check_unused(choice, "intensities")
        return build_lamp(_inline(text, choice), ARGUMENT, Path(), text, "lamp: ")
    problems = Problems(ARGUMENT)
    do = suggest(text, list(kinds))
    problems.add("lamp", show(text), 'a kind, a file, or a text like "40 W 104 umol/s 1.15 m"', do)
    problems.check()
    raise AssertionError("unreachable: a problem was noted")


def _check_unused(choice: LampChoice, *options: str) -> None:
    """Raise FileProblem for words about a lamp that this kind of lamp answers itself."""
    problems = Problems(ARGUMENT)
    said = {"spectrum": choice.spectrum, "intensities": choice.intensities}
    for option in options:
        if said[option] is not None:
            allowed = "only with a photometric file" + (" or a lamp in numbers" if option == "spectrum" else "")
            problems.add(option, show(said[option]), allowed, "Leave it out.")
    problems.check()


def _photometric(path: Path, choice: LampChoice) -> Lamp:
    """A photometric file named on the command line, with what it does not say."""
    problems = Problems(ARGUMENT)
    said = {"photometry": path.name, "spectrum": choice.spectrum, "intensities": choice.intensities}
    own = problems.read(OwnLamp, {key: value for key, value in said.items() if value is not None}, "lamp")
    problems.check()
    if own is None:
        raise AssertionError("unreachable: a problem was noted")
    return build_lamp(own, str(path), path.parent, key="--")


def read_lamp(path: Path) -> Lamp:
    """Read a lamp file in TOML.

    Errors: FileProblem with every problem found.
    """
    file = str(path)
    raw = parse_toml(read_text(path), file)
    problems = Problems(file)
    if raw.get("schema") != SCHEMA:
        problems.add(
            "schema", show(raw.get("schema")) if "schema" in raw else "nothing", str(SCHEMA), "Add schema = 1."
        )
    for key in raw:
        if key not in ("schema", "lamp"):
            problems.unknown(dotted((key,)), ["schema", "lamp"])
    own = problems.read(OwnLamp, raw.get("lamp"), "lamp")
    problems.check()
    if own is None:
        raise AssertionError("unreachable: a problem was noted")
    return build_lamp(own, file, path.parent)


_INLINE: Final[Mapping[str, tuple[str, float]]] = {
    "w": ("power_w", 1.0),
    "watt": ("power_w", 1.0),
    "umol/s": ("ppf_umol_s", 1.0),
    "µmol/s": ("ppf_umol_s", 1.0),
    "μmol/s": ("ppf_umol_s", 1.0),
    "lm": ("flux_lm", 1.0),
    "lumen": ("flux_lm", 1.0),
    "k": ("kelvin", 1.0),
    "m": ("length_m", 1.0),
    "cm": ("length_m", 0.01),
    "ft": ("length_m", 0.3048),
    "deg": ("beam_deg", 1.0),
}
EVERYDAY: Final = {
    "led": "led-bar", "leds": "led-bar", "strip": "led-bar", "bar": "led-bar", "panel": "led-panel", "bulb": "led-bulb",
    "fluorescent": "t8-tube", "t5": "t5-tube", "t8": "t8-tube", "sodium": "hps",
}  # fmt: skip
"""Kinds of lamp by the word on the box; the last such word decides."""
NEUTRAL: Final = frozenset({"lamp", "light", "lights", "lamps", "tube", "tubes", "grow", "a", "white"})
_PAIR: Final = re.compile(r"(\d+(?:\.\d+)?)\s*([a-zµμ]+(?:/s)?)", re.IGNORECASE)


def _inline(text: str, choice: LampChoice) -> OwnLamp:
    """A lamp from numbers with units, in any order; the rest may name a kind it is like."""
    problems = Problems(ARGUMENT)
    found: dict[str, object] = {}
    for number, unit in _PAIR.findall(text):
        known = _INLINE.get(unit.lower().removesuffix("s") if unit.lower() in ("watts", "lumens") else unit.lower())
        if known is None:
            problems.add("lamp", show(f"{number} {unit}"), "W, umol/s, lm, K, m, cm, ft or deg", "")
        elif known[0] in found:
            problems.add("lamp", f"{unit} twice", "each number once", "")
        else:
            found[known[0]] = float(number) * known[1]
    rest = _PAIR.sub(" ", text).replace(",", " ").split()
    rest = [EVERYDAY.get(word.lower(), word) for word in rest if word.lower() not in NEUTRAL]
    words = [word for word in rest if word in load_kinds()]
    for word in rest:
        if word not in words:
            problems.add(
                "lamp", show(word), "numbers with units, and a kind it is like", suggest(word, list(load_kinds()))
            )
    if words:
        found["like"] = words[-1]
    if choice.spectrum is not None:
        found["spectrum"] = choice.spectrum
    own = problems.read(OwnLamp, found, "lamp")
    problems.check()
    if own is None:
        raise AssertionError("unreachable: a problem was noted")
    return own
