"""Colours by role, for light and for dark. Every drawing names roles; the page decides what they look like.

Contrast is checked by test: text roles at least 4.5:1 and drawing roles at least 3:1 against the paper (WCAG 2.2,
success criteria 1.4.3 and 1.4.11).
"""

from __future__ import annotations

from typing import Final

FONT_STACK: Final = "system-ui, 'Segoe UI', 'Helvetica Neue', 'Noto Sans', 'DejaVu Sans', Arial, sans-serif"
LIGHT: Final[dict[str, str]] = {
    "paper": "#fbfaf5",
    "panel": "#f1eee4",
    "ink": "#1c2430",
    "quiet": "#565e6a",
    "line": "#817c6e",
    "hair": "#d5d0c2",
    "sun": "#964f00",
    "dull": "#5d618c",
    "leaf": "#2c6e49",
    "hold": "#7a3e8e",
    "air": "#0f6b7c",
    "night": "#e9e8f2",
    "now": "#b3261e",
    "map0": "#efe9d8",
    "map1": "#f3dda6",
    "map2": "#f2cd79",
    "map3": "#efbb50",
    "map4": "#e8a634",
    "map5": "#dd9021",
    "map6": "#d07c14",
    "mapink": "#241a08",
}
"""For a light background; also the colours of PNG files and of print."""

DARK: Final[dict[str, str]] = {
    "paper": "#11161d",
    "panel": "#1a212b",
    "ink": "#e9e6dc",
    "quiet": "#a9afb9",
    "line": "#78808c",
    "hair": "#353e4a",
    "sun": "#ffbf5e",
    "dull": "#a3a9e0",
    "leaf": "#7fd0a0",
    "hold": "#d9a0ec",
    "air": "#6fd0e2",
    "night": "#20243a",
    "now": "#ff8f85",
    "map0": "#9a8a5e",
    "map1": "#a89359",
    "map2": "#b89d55",
    "map3": "#c9a952",
    "map4": "#dcb653",
    "map5": "#eec55f",
    "map6": "#ffd57a",
    "mapink": "#161004",
}

TEXT_ROLES: Final = ("ink", "quiet", "sun", "dull", "leaf", "hold", "air", "now")
DRAWN_ROLES: Final = ("line", "sun", "dull", "leaf", "hold", "air", "now")
MAP_STEPS: Final = 7


def css_variables(colours: dict[str, str]) -> str:
    """Write the colours as CSS custom properties."""
    return "".join(f"--{role}:{colour};" for role, colour in colours.items())
