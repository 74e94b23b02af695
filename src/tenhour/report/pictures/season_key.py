"""What the marks in a season picture mean."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from tenhour.model.results import Verdict
from tenhour.report.pictures.canvas import SMALL, Sheet
from tenhour.report.pictures.hatching import Hatch

STREAMS: Final[dict[Verdict, tuple[str, Hatch, tuple[float, ...]]]] = {
    "sow": ("leaf", "", ()),
    "slow": ("", "rising", ()),
    "stand-small": ("", "bars", ()),
    "cut-young": ("", "", (2.5, 2.0)),
    "raise": ("", "falling", ()),
}
"""Fill, hatch and dash of the outline of a stream; a week in which nothing is sown has none."""

_COLUMN_PX: Final = 238.0
_ROW_PX: Final = 18.0
_SAMPLE_PX: Final = 26.0
_COLUMNS: Final = 3


def key_height(*, narrow: bool) -> float:
    """Room the samples need [px]."""
    return _ROW_PX * _rows(narrow)


def _rows(narrow: bool) -> int:
    return len(_SAMPLES) if narrow else -(-len(_SAMPLES) // _COLUMNS)


def draw_key(page: Sheet, top_px: float, *, narrow: bool = False) -> None:
    """Draw a sample of every mark with its meaning, in columns or, where it is narrow, in one."""
    rows = _rows(narrow)
    for n, (words, draw) in enumerate(_SAMPLES):
        x, y = 4.0 + _COLUMN_PX * (n // rows), top_px + _ROW_PX * (n % rows)
        draw(page, x, y)
        page.text(x + _SAMPLE_PX + 6, y, words, "quiet", size=SMALL, middle=True)


def _stream(state: Verdict) -> Callable[[Sheet, float, float], None]:
    def draw(page: Sheet, x: float, y: float) -> None:
        fill, hatch, dash = STREAMS[state]
        shape = [(x, y - 2), (x + _SAMPLE_PX, y - 6), (x + _SAMPLE_PX, y + 6), (x, y + 2)]
        page.shapes([shape], fill, "leaf", hatch, 1.0, dash)

    return draw


def _enough(page: Sheet, x: float, y: float) -> None:
    page.line([(x, y), (x + _SAMPLE_PX / 2, y)], "sun", 1.2)
    page.line([(x + _SAMPLE_PX / 2, y), (x + _SAMPLE_PX, y)], "sun", 2.8)


def _idle(page: Sheet, x: float, y: float) -> None:
    page.line([(x, y), (x + _SAMPLE_PX, y)], "line", 0.8, (1.0, 3.0))


def _cold(page: Sheet, x: float, y: float) -> None:
    for cx in (x + 4, x + 13, x + 22):
        page.lines([[(cx - 2.5, y - 2.5), (cx + 2.5, y + 2.5)], [(cx - 2.5, y + 2.5), (cx + 2.5, y - 2.5)]], "air", 1.1)


def _hot(page: Sheet, x: float, y: float) -> None:
    page.lines([roof(cx, y, 2.5) for cx in (x + 4, x + 13, x + 22)], "sun", 1.1)


def roof(x: float, y: float, reach: float) -> list[tuple[float, float]]:
    """Stroke of a week that is too hot."""
    return [(x - reach, y + reach), (x, y - reach), (x + reach, y + reach)]


def _winter(page: Sheet, x: float, y: float) -> None:
    page.boxes([(x, y - 6, _SAMPLE_PX, 12)], edge="ink", width=1.3)


def _pays(page: Sheet, x: float, y: float) -> None:
    page.shapes([[(x + 9.5, y - 4), (x + 16.5, y - 4), (x + 13, y + 3)]], fill="ink")


def _hold(page: Sheet, x: float, y: float) -> None:
    page.boxes([(x, y - 3, _SAMPLE_PX, 6)], edge="hold", hatch="crossed", width=0.9)


def _pick(page: Sheet, x: float, y: float) -> None:
    page.discs([(x + 4, y), (x + 13, y), (x + 22, y)], [2.0, 3.4, 2.6], fill="hold")


def _harvest(page: Sheet, x: float, y: float) -> None:
    page.line([(x, y - 2), (x, y + 2), (x + _SAMPLE_PX, y + 2), (x + _SAMPLE_PX, y - 2)], "hold", 1.2)


def _raised(page: Sheet, x: float, y: float) -> None:
    page.line([(x, y), (x + _SAMPLE_PX, y)], "quiet", 1.2, (5.0, 2.0))


def _trays(page: Sheet, x: float, y: float) -> None:
    page.line([(x, y), (x + _SAMPLE_PX, y)], "ink", 2.4, (2.5, 3.5))


_SAMPLES: Final[tuple[tuple[str, Callable[[Sheet, float, float], None]], ...]] = (
    ("sow: the wider, the quicker", _stream("sow")),
    ("slow", _stream("slow")),
    ("small through the dark", _stream("stand-small")),
    ("cut young", _stream("cut-young")),
    ("raise elsewhere first", _stream("raise")),
    ("bright enough; thick: dull too", _enough),
    ("wait, or lamps", _idle),
    ("too cold", _cold),
    ("too hot", _hot),
    ("sow here to stand all winter", _winter),
    ("sowing pays again from here", _pays),
    ("stands ready", _hold),
    ("picked week by week", _pick),
    ("harvest, first to last", _harvest),
    ("trays", _trays),
    ("plants raised to set out", _raised),
)
