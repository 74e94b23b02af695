"""Maps of a region: contours of light, dates and warmth over coasts and borders, readable in print without colour."""

from __future__ import annotations

import io
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from textwrap import wrap
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import NDArray

from tenhour.model.atlas import SEA, AtlasData
from tenhour.report.atlas.land import FULL_TURN_DEG, Lines, filled_shore, land_of, rings_near, turned
from tenhour.report.pictures.palette import LIGHT, MAP_STEPS
from tenhour.units import GENERIC_YEAR
from tenhour.words.style import MONTH_NAMES

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.path import Path

Array = NDArray[np.float64]
STEPS: Final = (0.1, 0.2, 0.25, 0.5, 1.0, 2.0, 2.5, 5.0, 10.0, 20.0, 25.0, 50.0, 100.0, 200.0, 250.0, 500.0, 1000.0,
                2000.0)  # fmt: skip
DAY_STEPS: Final = (3.0, 5.0, 7.0, 14.0, 21.0, 28.0, 42.0, 60.0)
DAYS: Final = 365.0
NEW_YEAR: Final = date(GENERIC_YEAR, 1, 1)
KM_PER_DEG: Final = 111.2
"""Of latitude: 6371 km of radius. Derived."""
LONG_SIDE_IN: Final = 7.0
LEAST_WIDE_IN, LEAST_TALL_IN = 4.6, 2.0
SIDES_IN, HEAD_IN, KEY_IN, MARGIN_IN = 0.9, 0.6, 1.15, 0.18
WIDE_IN: Final = 6.0
DPI: Final = 130
MOST_CROPS: Final = 6
"""Crops whose dates are drawn; the others stand in the tables. Judgement."""
LEAST_MAPPED: Final = 4
"""Sites with a number of which a map is drawn: fewer are read from the table. Judgement."""
LEAST_GRID: Final = 2
"""Rows and columns from which contours can be drawn."""
NONE: Final = "none, or no data"
NONE_HATCH: Final = ".."
"""Dots tell what has no number from the lightest class, in print without colour too."""
HATCH_WIDTH: Final = 0.3
EDGE_FRAC: Final = 0.04
HALF_TURN_DEG: Final = 180.0


@dataclass(frozen=True)
class Map:
    """One map: a name for its files, what it shows, and a number for every site, NaN where there is none."""

    key: str
    title: str
    unit: str
    value: Array
    days: bool = False
    """Whether the numbers are days of the year."""

    @property
    def drawn(self) -> bool:
        """Whether enough sites have a number."""
        return int(np.isfinite(self.value).sum()) >= LEAST_MAPPED


def maps_of(data: AtlasData) -> tuple[Map, ...]:
    """The maps of a run: light of the darkest month by bed, dates by bed and crop, warmth by house."""
    found: list[Map] = []
    month = 11 if float(np.nanmean(data.sites.latitude_deg)) >= 0.0 else 5
    for number, (house, bed) in enumerate(data.beds):
        where = house if bed in ("bed", house) else f"{house}, {bed}"
        light = data.values["bed_dli_mol_m2_d"][:, number, month]
        name = MONTH_NAMES[month]
        found.append(Map(f"light-{_plain(where)}", f"Light on the bed in {name}: {where}", "mol m⁻² d⁻¹", light))
        if "sow_by_doy" not in data.values:
            continue
        for crop, (key, called) in list(enumerate(data.crops))[:MOST_CROPS]:
            told = (("sow_by_doy", "sow by, to stand the winter"), ("pays_from_doy", "pays from, without lamps"))
            for variable, says in told:
                days = _joined(data.values[variable][:, number, crop])
                own = f"{variable.removesuffix('_doy').replace('_', '-')}-{key}-{_plain(where)}"
                found.append(Map(own, f"{called}: {says} ({where})", "", days, days=True))
    for number, house in enumerate(data.houses):
        for variable, says, unit in (
            ("lowest_air_degc", "Lowest hour of a winter in the house", "°C"),
            ("energy_winter_kwh", "Heat of a winter", "kWh"),
        ):
            if variable in data.values and np.nanmax(np.abs(data.values[variable][:, number]), initial=0.0) > 0.0:
                own = f"{'lowest' if unit == '°C' else 'heat'}-{_plain(house)}"
                found.append(Map(own, f"{says}: {house}", unit, data.values[variable][:, number]))
    return tuple(one for one in found if one.drawn)


def _plain(text: str) -> str:
    return "-".join("".join(ch if ch.isalnum() else " " for ch in text.lower()).split())


def _joined(doy: Array) -> Array:
    """Days of the year without the step of New Year: counted on through it where they lie on both sides."""
    known = doy[np.isfinite(doy)]
    if not known.size:
        return doy
    turn = np.exp(2j * np.pi * known / DAYS).mean()
    middle = (np.angle(turn) / (2 * np.pi) * DAYS) % DAYS
    return np.asarray((doy - middle + DAYS / 2) % DAYS - DAYS / 2 + middle)


def levels_of(values: Array, days: bool) -> Array:
    """Bounds of at most seven classes in round steps that hold all values."""
    low, high = float(np.nanmin(values)), float(np.nanmax(values))
    for step in DAY_STEPS if days else STEPS:
        first, last = math.floor(low / step), math.floor(high / step) + 1
        if last - first <= MAP_STEPS:
            return np.asarray(step * np.arange(first, last + 1))
    return np.linspace(low, high + 1e-9, MAP_STEPS + 1)


def label_of(level: float, days: bool) -> str:
    """A bound as a reader sees it: a date, or a number."""
    if days:
        on = NEW_YEAR + timedelta(days=round(level) - 1)
        return f"{on.day} {MONTH_NAMES[on.month - 1][:3]}"
    return f"{level:g}"


@dataclass(frozen=True)
class Ground:
    """What the maps of a region show of the world, where they show it."""

    lines: Lines
    rings: Sequence[Array]
    """Of land, and turned the other way of water within it."""


def ground_near(data: AtlasData, lines: Lines) -> Ground:
    """Coasts, borders and land of a region's maps. Parameters: data, of the region; lines, of the world."""
    west, east, south, north = window = _window(data)
    found = []
    for points, is_border in lines:
        if points[:, 1].max() <= south or points[:, 1].min() >= north:
            continue
        for part in np.split(points, np.flatnonzero(np.abs(np.diff(points[:, 0])) > HALF_TURN_DEG) + 1):
            for turn in (0.0, FULL_TURN_DEG, -FULL_TURN_DEG):
                x, y = part[:, 0] + turn, part[:, 1]
                if x.max() > west and x.min() < east and y.max() > south and y.min() < north:
                    found.append((np.column_stack([x, y]), is_border))
    return Ground(found, turned(rings_near(land_of(lines), window)))


def _window(data: AtlasData) -> tuple[float, float, float, float]:
    """West, east, south and north of the maps of a region [°]."""
    lat, lon = data.sites.latitude_deg, _unbroken(data)
    edge = EDGE_FRAC * max(float(np.ptp(lat)), float(np.ptp(lon)), 0.5)
    return float(lon.min() - edge), float(lon.max() + edge), float(lat.min() - edge), float(lat.max() + edge)


def classes_of(one: Map, levels: Array | None = None) -> list[tuple[str, str]]:
    """Colour and bounds in words of each class of a map, light to dark. Parameters: one; levels, where known."""
    bounds = levels_of(one.value, one.days) if levels is None else levels
    said = [f"{label_of(low, one.days)} to {label_of(high, one.days)}" for low, high in pairwise(bounds)]
    return list(zip(_colours(len(said)), said, strict=True))


def drawn(one: Map, data: AtlasData, ground: Ground) -> dict[str, bytes]:
    """A map as .svg and .png. Parameters: one; data, whose sites it is of; ground, of :func:`ground_near`."""
    from matplotlib import rc_context

    with rc_context({"svg.hashsalt": one.key, "svg.fonttype": "path", "font.size": 9, "hatch.linewidth": HATCH_WIDTH}):
        figure = _figure(one, data, ground)
        out = {}
        for ending in ("svg", "png"):
            stream = io.BytesIO()
            made: dict[str, Any] = {"Date": None} if ending == "svg" else {"Software": None}
            figure.savefig(stream, format=ending, dpi=DPI, metadata=made, facecolor=LIGHT["paper"])
            out[ending] = stream.getvalue()
    return out


def _figure(one: Map, data: AtlasData, ground: Ground) -> Figure:
    from matplotlib.figure import Figure

    lon, (west, east, south, north) = _unbroken(data), _window(data)
    squeeze = max(math.cos(math.radians((south + north) / 2)), 0.1)
    ratio = (east - west) * squeeze / (north - south)
    wide, tall = (LONG_SIDE_IN, LONG_SIDE_IN / ratio) if ratio > 1.0 else (LONG_SIDE_IN * ratio, LONG_SIDE_IN)
    paper = (max(wide, LEAST_WIDE_IN) + SIDES_IN, max(tall, LEAST_TALL_IN) + HEAD_IN + KEY_IN)
    figure = Figure(figsize=paper)
    inner = (wide / paper[0], tall / paper[1])
    axes = figure.add_axes(((1.0 - inner[0]) / 2 + MARGIN_IN / paper[0], KEY_IN / paper[1], *inner))
    axes.set_facecolor(LIGHT["night"])
    axes.patch.set(hatch=NONE_HATCH, edgecolor=LIGHT["line"], linewidth=0.0)
    levels = levels_of(one.value, one.days)
    _shades(axes, one, data, lon, levels, ground.rings)
    _outlines(axes, ground.lines)
    axes.set(xlim=(west, east), ylim=(south, north), aspect=1.0 / squeeze)
    figure.text(MARGIN_IN / paper[0], 1.0 - MARGIN_IN / paper[1], "\n".join(wrap(one.title, round(8.5 * paper[0]))),
                fontsize=11, color=LIGHT["ink"], va="top")  # fmt: skip
    axes.tick_params(labelsize=7, colors=LIGHT["quiet"], length=2)
    axes.xaxis.set_major_formatter(_degrees("W", "E"))
    axes.yaxis.set_major_formatter(_degrees("S", "N"))
    _bar_of_km(axes, (west, east, south, north), squeeze)
    _key(figure, one, levels)
    return figure


def _degrees(below: str, above: str) -> Callable[[float, float], str]:
    def text(value: float, _place: float) -> str:
        turned = (value + 180.0) % 360.0 - 180.0 if above == "E" else value
        return f"{abs(turned):g}° {below if turned < 0 else above}" if turned else "0°"

    return text


def _unbroken(data: AtlasData) -> Array:
    """Longitudes counted on through 180° where the region lies on both sides of it."""
    lon = data.sites.longitude_deg
    if data.sites.grid_deg is not None:
        return np.tile(data.sites.grid_deg[1], data.sites.grid_deg[0].size)
    return np.where(lon < 0.0, lon + 360.0, lon) if np.ptp(lon) > 180.0 else lon


def _colours(count: int) -> list[str]:
    """Light to dark, evenly out of the seven of the palette."""
    return [LIGHT[f"map{round(n * (MAP_STEPS - 1) / max(count - 1, 1))}"] for n in range(count)]


def _shades(axes: Axes, one: Map, data: AtlasData, lon: Array, levels: Array, rings: Sequence[Array]) -> None:
    from matplotlib.colors import BoundaryNorm, ListedColormap

    grid, colours = data.sites.grid_deg, _colours(len(levels) - 1)
    known = np.isfinite(one.value)
    if grid is not None and min(grid[0].size, grid[1].size) >= LEAST_GRID:
        shape = (grid[0].size, grid[1].size)
        value = one.value.reshape(shape)
        wide = np.ma.masked_invalid(filled_shore(value, (data.hole == SEA).reshape(shape)))
        shades = axes.contourf(grid[1], grid[0], wide, levels=levels, colors=colours)
        bounds = axes.contour(grid[1], grid[0], wide, levels=levels[1:-1], colors=LIGHT["mapink"], linewidths=0.6)
        if rings:
            land = _land_path(rings)
            shades.set_clip_path(land, axes.transData)
            bounds.set_clip_path(land, axes.transData)
        inner = np.ma.masked_invalid(value)
        lines = axes.contour(grid[1], grid[0], inner, levels=levels[1:-1], colors=LIGHT["mapink"], linewidths=0.0)
        labels = axes.clabel(
            lines, fmt={level: label_of(level, one.days) for level in levels}, fontsize=7, inline=False
        )
        for label in labels or ():
            label.set_bbox({"facecolor": LIGHT["paper"], "edgecolor": "none", "alpha": 0.7, "pad": 0.4})
    size = 26.0 if grid is None else 7.0
    shade = ListedColormap(colours)
    axes.scatter(
        lon[known], data.sites.latitude_deg[known], c=one.value[known], s=size, cmap=shade,
        norm=BoundaryNorm(levels, shade.N), edgecolors=LIGHT["mapink"] if grid is None else "none", linewidths=0.4,
        zorder=4 if grid is None else 1,
    )  # fmt: skip


def _land_path(rings: Sequence[Array]) -> Path:
    from matplotlib.path import Path

    return Path.make_compound_path(*(Path(np.concatenate([ring, ring[:1]]), closed=True) for ring in rings))


def _outlines(axes: Axes, lines: Lines) -> None:
    from matplotlib.collections import LineCollection

    for border in (False, True):
        own = [points for points, is_border in lines if is_border == border]
        dashes = (0, (3.0, 2.0)) if border else "solid"
        colour, width = (LIGHT["quiet"], 0.6) if border else (LIGHT["ink"], 0.8)
        axes.add_collection(LineCollection(own, colors=colour, linewidths=width, linestyles=[dashes], zorder=3))


def _bar_of_km(axes: Axes, window: tuple[float, float, float, float], squeeze: float) -> None:
    """A length in kilometres, true in the middle of the map."""
    west, east, south, north = window
    whole = (east - west) * KM_PER_DEG * squeeze
    length = max(km for km in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000) if km <= max(whole / 4, 1))
    long = length / KM_PER_DEG / squeeze
    x, y = west + 0.04 * (east - west), south + 0.05 * (north - south)
    axes.plot([x, x + long], [y, y], color=LIGHT["ink"], linewidth=2.0, solid_capstyle="butt", zorder=5)
    axes.text(x + long / 2, y + 0.012 * (north - south), f"{length} km", ha="center", va="bottom", fontsize=7,
              color=LIGHT["ink"], zorder=5,
              bbox={"facecolor": LIGHT["paper"], "edgecolor": "none", "alpha": 0.8, "pad": 1.0})  # fmt: skip


def _key(figure: Figure, one: Map, levels: Array) -> None:
    """Classes under the map, each with its bounds in words, light to dark."""
    from matplotlib.patches import Patch

    patches = [
        Patch(facecolor=colour, edgecolor=LIGHT["line"], linewidth=0.5, label=text)
        for colour, text in classes_of(one, levels)
    ]
    patches.append(
        Patch(facecolor=LIGHT["night"], edgecolor=LIGHT["line"], linewidth=0.5, hatch=NONE_HATCH, label=NONE)
    )
    columns = 4 if figure.get_figwidth() > WIDE_IN else 3
    figure.legend(
        handles=patches, loc="lower center", bbox_to_anchor=(0.5, 0.16 / figure.get_figheight()), ncols=columns,
        fontsize=8, frameon=False, title=one.unit or None, title_fontsize=8,
    )  # fmt: skip
    figure.text(0.99, 0.05 / figure.get_figheight(), "Coasts and borders: Natural Earth", fontsize=6,
                color=LIGHT["quiet"], ha="right")  # fmt: skip
