"""A sheet to draw on in pixels, y downwards, and its way to SVG and PNG.

Colours are given by role: the SVG carries CSS variables instead of colours, text stays text, and nothing in it changes
from run to run. It is written here; for pixels matplotlib does the drawing, and is loaded for those alone.
"""

from __future__ import annotations

import html
import io
import math
import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from tenhour.report.pictures.hatching import Hatch, Points, strokes
from tenhour.report.pictures.palette import DARK, FONT_STACK, LIGHT, css_variables
from tenhour.report.terminal import clean

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path
    from matplotlib.transforms import Transform

POINTS_PER_INCH: Final = 72.0
PNG_DOTS_PER_INCH: Final = 144.0
"""Twice the nominal size, so that a PNG stays sharp on a dense screen."""
FONT: Final = 12.0
SMALL: Final = 11.0
"""Sizes of letters; drawings are as wide as a phone, so that these are pixels there."""
HATCH_WIDTH: Final = 0.9
SVG: Final = "http://www.w3.org/2000/svg"
_SETTINGS: Final[Any] = {
    "text.parse_math": False,
    "text.usetex": False,
    "font.family": "DejaVu Sans",
    "path.simplify": False,
}
ROUND_RATIO: Final = 4.0 / 3.0 * (math.sqrt(2.0) - 1.0)
"""Handles of the cubic curve that stands for a quarter of a circle, in radii: it meets the circle at its ends and its
middle, and strays by 0.03 % between. Derived."""


@dataclass(frozen=True)
class _Look:
    """How a mark looks; marks of one look can be drawn as one."""

    closed: bool
    fill: str
    edge: str
    width: float
    dash: tuple[float, ...]


class _Discs(NamedTuple):
    """Discs in one mark, each with its own radius."""

    centres: Points
    radii: Sequence[float]


_Shape = list[Points] | _Discs


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
        self.marks: list[tuple[_Look, _Shape]] = []
        self.words: list[_Words] = []
        self._waiting: dict[_Look, list[Points]] | None = None

    @contextmanager
    def together(self) -> Iterator[None]:
        """Gather marks of one look into one, which is much quicker; looks keep the order of their first use."""
        self._waiting = {}
        yield
        gathered, self._waiting = self._waiting, None
        for look, paths in gathered.items():
            self.marks.append((look, paths))

    def _draw(self, look: _Look, paths: list[Points]) -> None:
        if not paths:
            return
        if self._waiting is not None:
            self._waiting.setdefault(look, []).extend(paths)
        else:
            self.marks.append((look, paths))

    def add(self, other: Sheet, down_px: float) -> None:
        """Put another drawing into this one, so far down."""
        self.marks += [(look, _moved(shape, down_px)) for look, shape in other.marks]
        self.words += [replace(label, y=label.y + down_px) for label in other.words]

    def figure(self) -> Figure:
        """Return the marks as a figure, for pixels; words are added by the one who asks."""
        from matplotlib.figure import Figure

        inches = (self.width_px / POINTS_PER_INCH, self.height_px / POINTS_PER_INCH)
        figure = Figure(figsize=inches, dpi=POINTS_PER_INCH)
        figure.patch.set_visible(False)
        pixels = self.pixels(figure)
        for look, shape in self.marks:
            figure.add_artist(_patch(look, _path(look, shape), pixels))
        return figure

    def pixels(self, figure: Figure) -> Transform:
        """Return the way from pixels of this sheet to a figure of its size at any resolution."""
        from matplotlib.transforms import Affine2D

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
            self.marks.append((_Look(True, fill, "", 0.0, ()), _Discs(centres, radii)))

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


def _rgba(role: str) -> tuple[float, float, float, float]:
    from matplotlib.colors import to_rgba

    return to_rgba(LIGHT[role]) if role else (0.0, 0.0, 0.0, 0.0)


def _moved(shape: _Shape, down_px: float) -> _Shape:
    if isinstance(shape, _Discs):
        return _Discs([(x, y + down_px) for x, y in shape.centres], shape.radii)
    return [[(x, y + down_px) for x, y in path] for path in shape]


def _path(look: _Look, shape: _Shape) -> Path:
    """A mark as the drawing library takes it."""
    from matplotlib.path import Path

    if isinstance(shape, _Discs):
        rounds = (Path.circle(centre, radius) for centre, radius in zip(*shape, strict=True))
        return Path.make_compound_path(*rounds)
    vertices: list[tuple[float, float]] = []
    codes: list[int] = []
    for path in shape:
        vertices.extend(path)
        codes += [int(Path.MOVETO), *[int(Path.LINETO)] * (len(path) - 1)]
        if look.closed:
            vertices.append(path[0])
            codes.append(int(Path.CLOSEPOLY))
    return Path(vertices, codes)


@contextmanager
def _no_glyph_remarks() -> Iterator[None]:
    """Names may hold signs the measuring font lacks; the reader's own font draws them."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message=r".*Glyph \d+.*missing.*")
        yield


def svg_text(drawn: Sheet, key: str, title: str, desc: str) -> str:
    """SVG element for a page: roles as CSS variables, ids that begin with ``key``, title and description."""
    box = f"0 0 {drawn.width_px:g} {drawn.height_px:g}"
    head = f'<svg xmlns="{SVG}" class="picture" viewBox="{box}" role="img" aria-labelledby="{key}-title {key}-desc">'
    named = [f'<{tag} id="{key}-{tag}">{_plain(words)}</{tag}>' for tag, words in (("title", title), ("desc", desc))]
    marks = (_mark_text(look, shape) for look, shape in drawn.marks)
    return "".join([head, *named, *marks, *map(_label_text, drawn.words), "</svg>"])


def _plain(words: str) -> str:
    return html.escape(clean(words), quote=False)


def _mark_text(look: _Look, shape: _Shape) -> str:
    """One mark as an element.

    Looks stand in attributes of their own: a page that forbids styles within its elements shows them too.
    """
    outline = _rounds_text(shape) if isinstance(shape, _Discs) else _lines_text(shape, closed=look.closed)
    said = [f'd="{outline}"', f'fill="var(--{look.fill})"' if look.fill else 'fill="none"']
    if look.dash:
        said.append(f'stroke-dasharray="{",".join(map(_number, look.dash))}"')
    if look.edge and look.width:
        said.append(f'stroke="var(--{look.edge})"')
        if look.width != 1.0:
            said.append(f'stroke-width="{_number(look.width)}"')
    return f"<path {' '.join(said)} />"


def _number(value: float) -> str:
    """A place or a length to a tenth of a pixel, which no eye sees and which keeps the page small."""
    return f"{value:.1f}".removesuffix(".0")


def _point(x: float, y: float) -> str:
    return f"{_number(x)} {_number(y)}"


def _lines_text(paths: Sequence[Points], *, closed: bool) -> str:
    end = "z" if closed else ""
    return "".join(f"M{' '.join(_point(x, y) for x, y in path)}{end}" for path in paths)


def _rounds_text(discs: _Discs) -> str:
    return "".join(_round_text(x, y, radius) for (x, y), radius in zip(*discs, strict=True))


def _round_text(x: float, y: float, radius: float) -> str:
    """One disc, by the cubic curves of its four quarters."""
    reach, sides = radius * ROUND_RATIO, ((0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0))
    said = [f"M{_point(x, y - radius)}C"]
    for (u, v), (p, q) in zip(sides, (*sides[1:], sides[0]), strict=True):
        first = _point(x + radius * u + reach * p, y + radius * v + reach * q)
        second = _point(x + radius * p + reach * u, y + radius * q + reach * v)
        said.append(f"{first} {second} {_point(x + radius * p, y + radius * q)}")
    return f"{said[0]}{' '.join(said[1:])}z"


_ANCHORS: Final = {"left": "start", "center": "middle", "right": "end"}
HALF_HEIGHT_EM: Final = 0.35
"""From the base line to the middle of small letters, in sizes of the font."""


def _label_text(label: _Words) -> str:
    y = label.y + (HALF_HEIGHT_EM * label.size if label.middle else 0.0)
    said = [f'x="{label.x:.1f}" y="{y:.1f}" font-size="{label.size:g}"']
    if label.anchor != "left":
        said.append(f'text-anchor="{_ANCHORS[label.anchor]}"')
    if label.strong:
        said.append('font-weight="bold"')
    return f'<text {" ".join(said)} fill="var(--{label.role})">{_plain(label.words)}</text>'


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
    import matplotlib as mpl

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
