"""A sheet to draw on in pixels, y downwards, and its way to SVG and PNG.

Matplotlib does the drawing; colours are given by role. The SVG carries CSS variables instead of colours, text stays
text, and nothing in it changes from run to run.
"""

from __future__ import annotations

import io
import re
import warnings
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING, Any, Final

import matplotlib as mpl
import numpy as np
from matplotlib.backends.backend_svg import RendererSVG
from matplotlib.colors import to_rgba
from matplotlib.path import Path
from matplotlib.transforms import Affine2D, Transform

from tenhour.report.pictures.hatching import Hatch, Points, strokes
from tenhour.report.pictures.palette import DARK, FONT_STACK, LIGHT, ROLE_OF, css_variables
from tenhour.report.terminal import clean

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from matplotlib.patches import PathPatch

POINTS_PER_INCH: Final = 72.0
PNG_DOTS_PER_INCH: Final = 144.0
"""Twice the nominal size, so that a PNG stays sharp on a dense screen."""
FONT: Final = 12.0
SMALL: Final = 11.0
"""Sizes of letters; drawings are as wide as a phone, so that these are pixels there."""
HATCH_WIDTH: Final = 0.9
DIGITS: Final = 1
"""Places are rounded to a tenth of a pixel, which no eye sees and which keeps the page small."""
NO_REMARKS: Final[dict[str, str | None]] = dict.fromkeys(("Date", "Creator", "Format", "Type"))
"""What the library would write about itself."""
SVG: Final = "http://www.w3.org/2000/svg"
_SETTINGS: Final[Any] = {
    "svg.fonttype": "none",
    "svg.hashsalt": "tenhour",
    "text.parse_math": False,
    "text.usetex": False,
    "font.family": "DejaVu Sans",
    "path.simplify": False,
}
_MOVE: Final = int(Path.MOVETO)
_LINE: Final = int(Path.LINETO)
_CLOSE: Final = int(Path.CLOSEPOLY)


@dataclass(frozen=True)
class _Look:
    """How a mark looks; marks of one look can be drawn as one."""

    closed: bool
    fill: str
    edge: str
    width: float
    dash: tuple[float, ...]


@dataclass(frozen=True)
class _Words:
    """A label; kept apart from the marks, because an SVG takes it as it is."""

    x: float
    y: float
    words: str
    role: str
    anchor: str
    size: float
    strong: bool
    middle: bool


class Sheet:
    """One drawing of a fixed size in pixels; the origin is the top left corner. Words lie above all marks."""

    def __init__(self, width_px: float, height_px: float) -> None:
        self.width_px = width_px
        self.height_px = height_px
        self.marks: list[tuple[_Look, Path]] = []
        self.words: list[_Words] = []
        self._waiting: dict[_Look, list[Points]] | None = None

    @contextmanager
    def together(self) -> Iterator[None]:
        """Gather marks of one look into one, which is much quicker; looks keep the order of their first use."""
        self._waiting = {}
        yield
        gathered, self._waiting = self._waiting, None
        for look, paths in gathered.items():
            self._put(look, _joined(paths, closed=look.closed))

    def _draw(self, look: _Look, paths: list[Points]) -> None:
        if not paths:
            return
        if self._waiting is not None:
            self._waiting.setdefault(look, []).extend(paths)
        else:
            self._put(look, _joined(paths, closed=look.closed))

    def _put(self, look: _Look, path: Path) -> None:
        self.marks.append((look, path))

    def add(self, other: Sheet, down_px: float) -> None:
        """Put another drawing into this one, so far down."""
        shift = Affine2D().translate(0.0, down_px)
        self.marks += [(look, path.transformed(shift)) for look, path in other.marks]
        self.words += [replace(label, y=label.y + down_px) for label in other.words]

    def vectors(self) -> str:
        """Return the marks as SVG, straight from the library's writer; words are left to the page."""
        written = io.StringIO()
        untyped: Any = RendererSVG
        writer = untyped(self.width_px, self.height_px, written, image_dpi=POINTS_PER_INCH, metadata=NO_REMARKS)
        # The writer turns what it is given, y upwards, over again; this sheet runs downwards already.
        over = Affine2D().scale(1.0, -1.0).translate(0.0, self.height_px)
        for look, path in self.marks:
            pen = writer.new_gc()
            pen.set_foreground(_rgba(look.edge), isRGBA=True)
            pen.set_linewidth(look.width if look.edge else 0.0)
            pen.set_dashes(0.0, look.dash or None)
            pen.set_joinstyle("round")
            writer.draw_path(pen, path, over, _rgba(look.fill) if look.fill else None)
            pen.restore()
        writer.finalize()
        return written.getvalue()

    def figure(self) -> Figure:
        """Return the marks as a figure, for pixels; words are added by the one who asks."""
        from matplotlib.figure import Figure

        inches = (self.width_px / POINTS_PER_INCH, self.height_px / POINTS_PER_INCH)
        figure = Figure(figsize=inches, dpi=POINTS_PER_INCH)
        figure.patch.set_visible(False)
        pixels = self.pixels(figure)
        for look, path in self.marks:
            figure.add_artist(_patch(look, path, pixels))
        return figure

    def pixels(self, figure: Figure) -> Transform:
        """Return the way from pixels of this sheet to a figure of its size at any resolution."""
        down = Affine2D().scale(1.0 / POINTS_PER_INCH, -1.0 / POINTS_PER_INCH)
        return down.translate(0.0, self.height_px / POINTS_PER_INCH) + figure.dpi_scale_trans

    def lines(self, paths: Sequence[Points], role: str, width: float = 1.0, dash: tuple[float, ...] = ()) -> None:
        """Open lines of one look; ``dash`` is on-off lengths in pixels."""
        self._draw(_Look(False, "", role, width, dash), [path for path in paths if len(path) > 1])

    def line(self, path: Points, role: str, width: float = 1.0, dash: tuple[float, ...] = ()) -> None:
        """One open line."""
        self.lines([path], role, width, dash)

    def shapes(
        self,
        polygons: Sequence[Points],
        fill: str = "",
        edge: str = "",
        hatch: Hatch = "",
        width: float = 1.0,
        dash: tuple[float, ...] = (),
    ) -> None:
        """Closed shapes of one look: filled, outlined, hatched in the edge colour, or all of these."""
        kept = [path for path in polygons if len(path) > 2]
        if fill or width:
            self._draw(_Look(True, fill, edge, width, dash), kept)
        if hatch:
            self.lines([stroke for path in kept for stroke in strokes(path, hatch)], edge, HATCH_WIDTH)

    def boxes(
        self,
        boxes: Sequence[tuple[float, float, float, float]],
        fill: str = "",
        edge: str = "",
        hatch: Hatch = "",
        width: float = 1.0,
    ) -> None:
        """Rectangles given as left, top, width, height."""
        self.shapes(
            [[(x, y), (x + w, y), (x + w, y + h), (x, y + h)] for x, y, w, h in boxes], fill, edge, hatch, width
        )

    def discs(self, centres: Points, radii: Sequence[float], fill: str) -> None:
        """Discs, each with its own radius in pixels."""
        if centres:
            circles = [Path.circle(centre, radius) for centre, radius in zip(centres, radii, strict=True)]
            whole = Path.make_compound_path(*circles)
            self._put(_Look(True, fill, "", 0.0, ()), Path(np.round(np.asarray(whole.vertices), DIGITS), whole.codes))

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
        self.words.append(_Words(x, y, words, role, anchor, size, strong, middle))


def _patch(look: _Look, path: Path, pixels: Transform) -> PathPatch:
    from matplotlib.patches import PathPatch

    return PathPatch(
        path,
        facecolor=_rgba(look.fill),
        edgecolor=_rgba(look.edge),
        linewidth=look.width if look.edge else 0.0,
        linestyle=(0.0, tuple(part / look.width for part in look.dash)) if look.dash else "solid",
        capstyle="butt",
        joinstyle="round",
        transform=pixels,
        clip_on=False,
    )


def stacked(sheets: Sequence[Sheet], gap_px: float = 24.0) -> Sheet:
    """Several drawings under one another as one."""
    height = sum(part.height_px for part in sheets) + gap_px * (len(sheets) - 1)
    whole = Sheet(max(part.width_px for part in sheets), height)
    down = 0.0
    for part in sheets:
        whole.add(part, down)
        down += part.height_px + gap_px
    return whole


@cache
def _rgba(role: str) -> tuple[float, float, float, float]:
    return to_rgba(LIGHT[role]) if role else (0.0, 0.0, 0.0, 0.0)


def _joined(paths: list[Points], *, closed: bool) -> Path:
    """One path of many open or closed ones."""
    vertices: list[tuple[float, float]] = []
    codes: list[int] = []
    for path in paths:
        vertices.extend(path)
        codes.append(_MOVE)
        codes.extend([_LINE] * (len(path) - 1))
        if closed:
            vertices.append(path[0])
            codes.append(_CLOSE)
    return Path(np.round(np.array(vertices), DIGITS), codes)


@contextmanager
def _no_glyph_remarks() -> Iterator[None]:
    """Names may hold signs the measuring font lacks; the reader's own font draws them."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message=r".*Glyph \d+.*missing.*")
        yield


def svg_text(drawn: Sheet, key: str, title: str, desc: str) -> str:
    """SVG element for a page: roles as CSS variables, ids that begin with ``key``, title and description."""
    with mpl.rc_context(_SETTINGS):
        root = ET.fromstring(drawn.vectors())
    _mend(root)
    _tidy(root)
    _write_words(root, drawn)
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
        element.text = clean(words)
        root.insert(n, element)
    ET.register_namespace("", SVG)
    return ET.tostring(root, encoding="unicode")


def _mend(root: ET.Element) -> None:
    for path in root.iter(f"{{{SVG}}}path"):
        path.attrib.pop("id", None)
        _mend_look(path)


def _mend_look(element: ET.Element) -> None:
    """Colours by role, fonts by the page, coordinates to a tenth of a pixel.

    Looks stand in attributes of their own: a page that forbids styles within its elements shows them too.
    """
    element.set("d", " ".join(element.attrib["d"].split()))
    for name, value in re.findall(r"([\w-]+):\s*([^;]+)", element.attrib.pop("style", "")):
        role = ROLE_OF.get(value)
        element.set(name, _short(value) if role is None else f"var(--{role})")


def _tidy(root: ET.Element) -> None:
    """Keep the paths and nothing that only groups or spaces them."""
    paths = list(root.iter(f"{{{SVG}}}path"))
    for child in list(root):
        root.remove(child)
    for path in paths:
        path.tail = None
        root.append(path)


_ANCHORS: Final = {"left": "start", "center": "middle", "right": "end"}
HALF_HEIGHT_EM: Final = 0.35
"""From the base line to the middle of small letters, in sizes of the font."""


def _write_words(root: ET.Element, drawn: Sheet) -> None:
    for label in drawn.words:
        y = label.y + (HALF_HEIGHT_EM * label.size if label.middle else 0.0)
        attributes = {"x": f"{label.x:.1f}", "y": f"{y:.1f}", "font-size": f"{label.size:g}"}
        if label.anchor != "left":
            attributes["text-anchor"] = _ANCHORS[label.anchor]
        if label.strong:
            attributes["font-weight"] = "bold"
        attributes["fill"] = f"var(--{label.role})"
        ET.SubElement(root, f"{{{SVG}}}text", attributes).text = clean(label.words)


def _short(text: str) -> str:
    return re.sub(r"-?\d+\.\d+", lambda m: f"{float(m[0]):.1f}".removesuffix(".0"), text)


def svg_file(drawn: Sheet, key: str, title: str, desc: str) -> str:
    """A picture as a file of its own, light and dark inside, with its background."""
    body = svg_text(drawn, key, title, desc)
    size = f'width="{drawn.width_px:g}" height="{drawn.height_px:g}" '
    style = (
        f"<style>svg{{{css_variables(LIGHT)}font-family:{FONT_STACK};stroke-linejoin:round}}"
        f"@media (prefers-color-scheme:dark){{svg{{{css_variables(DARK)}}}}}</style>"
        '<rect width="100%" height="100%" fill="var(--paper)"/>'
    )
    head, rest = body.split("</desc>", 1)
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{head.replace("<svg ", "<svg " + size, 1)}</desc>{style}{rest}\n'


def png_bytes(drawn: Sheet, title: str) -> bytes:
    """A picture as PNG in the light colours, at twice its nominal size."""
    out = io.BytesIO()
    with mpl.rc_context(_SETTINGS), _no_glyph_remarks():
        figure = drawn.figure()
        figure.patch.set_visible(True)
        figure.set_facecolor(LIGHT["paper"])
        for label in drawn.words:
            figure.text(
                label.x,
                label.y,
                clean(label.words),
                color=LIGHT[label.role],
                ha=label.anchor,
                va="center_baseline" if label.middle else "baseline",
                fontsize=label.size,
                fontweight="bold" if label.strong else "normal",
                transform=drawn.pixels(figure),
            )
        figure.savefig(
            out, format="png", dpi=PNG_DOTS_PER_INCH, metadata={"Title": clean(title), "Software": "tenhour"}
        )
    return out.getvalue()
