"""A sheet to draw on in pixels, y downwards, and its way to SVG and PNG.

Matplotlib does the drawing; colours are given by role. The SVG carries CSS variables instead of colours, text stays
text, and nothing in it changes from run to run.
"""

from __future__ import annotations

import io
import re
import warnings
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, Final

import matplotlib as mpl
from matplotlib.collections import LineCollection, PatchCollection, PolyCollection
from matplotlib.figure import Figure
from matplotlib.patches import Circle

from tenhour.report.pictures.palette import DARK, LIGHT, ROLE_OF, css_variables

POINTS_PER_INCH: Final = 72.0
PNG_DOTS_PER_INCH: Final = 144.0
"""Twice the nominal size, so that a PNG stays sharp on a dense screen."""
FONT: Final = 11.0
SMALL: Final = 9.5
HATCH_WIDTH: Final = 0.9
SVG: Final = "http://www.w3.org/2000/svg"
XLINK: Final = "{http://www.w3.org/1999/xlink}href"
FONT_STACK: Final = "system-ui, 'Segoe UI', 'Helvetica Neue', 'Noto Sans', 'DejaVu Sans', Arial, sans-serif"
_SETTINGS: Final[Any] = {
    "svg.fonttype": "none",
    "svg.hashsalt": "tenhour",
    "text.parse_math": False,
    "text.usetex": False,
    "font.family": "DejaVu Sans",
    "hatch.linewidth": HATCH_WIDTH,
    "path.simplify": False,
}
Points = Sequence[tuple[float, float]]


@dataclass(frozen=True)
class _Look:
    """How a mark looks; marks of one look can be drawn as one."""

    closed: bool
    fill: str
    edge: str
    hatch: str
    width: float
    dash: tuple[float, ...]


class Sheet:
    """One drawing of a fixed size in pixels; the origin is the top left corner."""

    def __init__(self, width_px: float, height_px: float) -> None:
        self.width_px = width_px
        self.height_px = height_px
        self.figure = Figure(figsize=(width_px / POINTS_PER_INCH, height_px / POINTS_PER_INCH), dpi=POINTS_PER_INCH)
        self.axes = self.figure.add_axes((0.0, 0.0, 1.0, 1.0))
        self.figure.patch.set_visible(False)
        self.axes.set_axis_off()
        self.axes.set_xlim(0.0, width_px)
        self.axes.set_ylim(height_px, 0.0)
        self.axes.set_autoscale_on(False)
        self._depth = 1.0
        self._waiting: dict[_Look, list[Points]] | None = None

    def _next(self) -> float:
        """Later marks lie above earlier ones."""
        self._depth += 0.01
        return self._depth

    @contextmanager
    def together(self) -> Iterator[None]:
        """Gather marks of one look into one, which is much quicker; looks keep the order of their first use."""
        self._waiting = {}
        yield
        gathered, self._waiting = self._waiting, None
        for look, paths in gathered.items():
            self._put(look, paths)

    def _draw(self, look: _Look, paths: list[Points]) -> None:
        if self._waiting is None:
            self._put(look, paths)
        else:
            self._waiting.setdefault(look, []).extend(paths)

    def _put(self, look: _Look, paths: list[Points]) -> None:
        if not paths:
            return
        style = (0.0, tuple(part / look.width for part in look.dash)) if look.dash else "solid"
        edge = LIGHT[look.edge] if look.edge else "none"
        common: dict[str, Any] = {
            "linewidths": look.width if look.edge else 0.0,
            "linestyles": [style],
            "capstyle": "butt",
            "zorder": self._next(),
            "clip_on": False,
        }
        marks: LineCollection | PolyCollection
        if look.closed:
            fill = LIGHT[look.fill] if look.fill else "none"
            marks = PolyCollection(paths, facecolors=fill, edgecolors=edge, hatch=look.hatch or None, **common)
        else:
            marks = LineCollection(paths, colors=edge, **common)
        self.axes.add_collection(marks, autolim=False)

    def lines(self, paths: Sequence[Points], role: str, width: float = 1.0, dash: tuple[float, ...] = ()) -> None:
        """Open lines of one look; ``dash`` is on-off lengths in pixels."""
        self._draw(_Look(False, "", role, "", width, dash), [path for path in paths if len(path) > 1])

    def line(self, path: Points, role: str, width: float = 1.0, dash: tuple[float, ...] = ()) -> None:
        """One open line."""
        self.lines([path], role, width, dash)

    def shapes(
        self,
        polygons: Sequence[Points],
        fill: str = "",
        edge: str = "",
        hatch: str = "",
        width: float = 1.0,
        dash: tuple[float, ...] = (),
    ) -> None:
        """Closed shapes of one look: filled, outlined, hatched in the edge colour, or all of these."""
        self._draw(_Look(True, fill, edge, hatch, width, dash), [path for path in polygons if len(path) > 2])

    def boxes(
        self,
        boxes: Sequence[tuple[float, float, float, float]],
        fill: str = "",
        edge: str = "",
        hatch: str = "",
        width: float = 1.0,
    ) -> None:
        """Rectangles given as left, top, width, height."""
        self.shapes(
            [[(x, y), (x + w, y), (x + w, y + h), (x, y + h)] for x, y, w, h in boxes], fill, edge, hatch, width
        )

    def discs(
        self, centres: Points, radii: Sequence[float], fill: str = "", edge: str = "", width: float = 1.0
    ) -> None:
        """Discs, each with its own radius in pixels."""
        if not centres:
            return
        self.axes.add_collection(
            PatchCollection(
                [Circle(centre, radius) for centre, radius in zip(centres, radii, strict=True)],
                facecolors=LIGHT[fill] if fill else "none",
                edgecolors=LIGHT[edge] if edge else "none",
                linewidths=width if edge else 0.0,
                zorder=self._next(),
                clip_on=False,
            ),
            autolim=False,
        )

    def text(
        self,
        x: float,
        y: float,
        words: str,
        role: str = "ink",
        *,
        anchor: str = "left",
        size: float = FONT,
        strong: bool = False,
        middle: bool = False,
    ) -> None:
        """Words at a point: ``anchor`` left, center or right; the point is on the base line, or at half height."""
        self.axes.text(
            x,
            y,
            words,
            color=LIGHT[role],
            ha=anchor,
            va="center_baseline" if middle else "baseline",
            fontsize=size,
            fontweight="bold" if strong else "normal",
            zorder=self._next(),
            clip_on=False,
        )


@contextmanager
def sheet(width_px: float, height_px: float) -> Iterator[Sheet]:
    """Draw with the project's own settings, whatever the user's plotting settings are."""
    with mpl.rc_context(_SETTINGS), _no_glyph_remarks():
        yield Sheet(width_px, height_px)


@contextmanager
def _no_glyph_remarks() -> Iterator[None]:
    """Names may hold signs the measuring font lacks; the reader's own font draws them."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message=r".*Glyph \d+.*missing.*")
        yield


def svg_text(drawn: Sheet, key: str, title: str, desc: str) -> str:
    """SVG element for a page: roles as CSS variables, ids that begin with ``key``, title and description."""
    raw = io.BytesIO()
    with mpl.rc_context(_SETTINGS), _no_glyph_remarks():
        drawn.figure.savefig(raw, format="svg", metadata=dict.fromkeys(("Date", "Creator", "Format", "Type")))
    root = ET.fromstring(raw.getvalue())
    for child in [child for child in root if child.tag.endswith("metadata")]:
        root.remove(child)
    _drop_style(root)
    _mend(root, key)
    _merge(root)
    root.attrib.clear()
    root.attrib.update(
        {
            "class": "picture",
            "viewBox": f"0 0 {drawn.width_px:g} {drawn.height_px:g}",
            "role": "img",
            "aria-labelledby": f"{key}-title {key}-desc",
        }
    )
    for n, (tag, words) in enumerate((("title", title), ("desc", desc))):
        element = ET.Element(f"{{{SVG}}}{tag}", {"id": f"{key}-{tag}"})
        element.text = words
        root.insert(n, element)
    ET.register_namespace("", SVG)
    return ET.tostring(root, encoding="unicode")


def _drop_style(root: ET.Element) -> None:
    """Take out the style sheet that would reach the whole page."""
    for defs in root.iter(f"{{{SVG}}}defs"):
        for style in defs.findall(f"{{{SVG}}}style"):
            defs.remove(style)


def _mend(root: ET.Element, key: str) -> None:
    used = set(
        re.findall(r"url\(#([^)]+)\)", " ".join(str(value) for el in root.iter() for value in el.attrib.values()))
    )
    used |= {value[1:] for el in root.iter() for name, value in el.attrib.items() if name == XLINK}
    names = {name: f"{key}-{n}" for n, name in enumerate(sorted(used))}
    for element in root.iter():
        _mend_ids(element, names)
        _mend_look(element)


def _mend_ids(element: ET.Element, names: Mapping[str, str]) -> None:
    own = element.attrib.pop("id", None)
    if own is not None and own in names:
        element.set("id", names[own])
    link = element.attrib.pop(XLINK, None)
    if link is not None:
        element.set("href", "#" + names[link[1:]])
    for name, value in element.attrib.items():
        if "url(#" in value:
            element.set(name, re.sub(r"url\(#([^)]+)\)", lambda m: f"url(#{names[m[1]]})", value))


def _mend_look(element: ET.Element) -> None:
    """Colours by role, fonts by the page, coordinates to a tenth of a pixel."""
    for name in ("d", "x", "y", "transform", "width", "height"):
        if name in element.attrib:
            element.set(name, " ".join(_short(element.attrib[name]).split()))
    style = element.get("style")
    if style is None:
        return
    style = re.sub(r"#[0-9a-f]{6}", lambda m: f"var(--{ROLE_OF[m[0]]})" if m[0] in ROLE_OF else m[0], style)
    style = re.sub(r"font: (?:(\w+) )?([\d.]+)px [^;]+", _font, style)
    element.set("style", _short(style))


def _font(match: re.Match[str]) -> str:
    weight = f"font-weight: {match[1]}; " if match[1] else ""
    return f"{weight}font-size: {match[2]}px"


def _merge(parent: ET.Element) -> None:
    """Join neighbouring paths of one look (all are opaque) and drop the white space between elements."""
    before: ET.Element | None = None
    for child in list(parent):
        child.tail = None
        if not child.tag.endswith("}text"):
            child.text = None
        if before is not None and _same_look(before, child):
            before.set("d", f"{before.attrib['d']} {child.attrib['d']}")
            parent.remove(child)
            continue
        before = child
        _merge(child)


def _same_look(one: ET.Element, other: ET.Element) -> bool:
    if not (one.tag.endswith("}path") and other.tag.endswith("}path")):
        return False
    return {**one.attrib, "d": ""} == {**other.attrib, "d": ""}


def _short(text: str) -> str:
    return re.sub(r"-?\d+\.\d+", lambda m: f"{float(m[0]):.1f}".removesuffix(".0"), text)


def svg_file(drawn: Sheet, key: str, title: str, desc: str) -> str:
    """A picture as a file of its own, light and dark inside, with its background."""
    body = svg_text(drawn, key, title, desc)
    size = f'width="{drawn.width_px:g}" height="{drawn.height_px:g}" '
    style = (
        f"<style>svg{{{css_variables(LIGHT)}font-family:{FONT_STACK};stroke-linejoin:round}}"
        f"@media (prefers-color-scheme:dark){{svg{{{css_variables(DARK)}}}}}</style>"
        '<rect width="100%" height="100%" style="fill: var(--paper)"/>'
    )
    head, rest = body.split("</desc>", 1)
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{head.replace("<svg ", "<svg " + size, 1)}</desc>{style}{rest}\n'


def png_bytes(drawn: Sheet, title: str) -> bytes:
    """A picture as PNG in the light colours, at twice its nominal size."""
    out = io.BytesIO()
    drawn.figure.set_facecolor(LIGHT["paper"])
    with mpl.rc_context(_SETTINGS), _no_glyph_remarks():
        drawn.figure.set_dpi(PNG_DOTS_PER_INCH)
        drawn.figure.patch.set_visible(True)
        drawn.figure.savefig(out, format="png", dpi="figure", metadata={"Title": title, "Software": "tenhour"})
    return out.getvalue()
