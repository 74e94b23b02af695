"""The sun's ways through the year over the compass, with the skyline and what the house itself keeps off a bed."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from tenhour.model.sunpaths import BedSky, SunPaths, SunTrack
from tenhour.report.pictures.canvas import SMALL, Sheet
from tenhour.report.pictures.picture import Picture, shorten
from tenhour.words.style import MONTH_NAMES

WIDTH: Final = 340.0
LEFT_PX: Final = 26.0
RIGHT_PX: Final = 334.0
TOP_PX: Final = 40.0
BOTTOM_PX: Final = 262.0
REACHED: Final = 0.5
"""Below this share of the bed the house counts as in the way."""
MARGIN_DEG: Final = 8.0
LABEL_PX: Final = 13.0
LABEL_ROOM_DEG: Final = 5.0
"""How far above the skyline the sun must stand for an hour to be written below it."""
COMPASS: Final = {0: "N", 45: "NE", 90: "E", 135: "SE", 180: "S", 225: "SW", 270: "W", 315: "NW"}


@dataclass(frozen=True)
class _Frame:
    """Compass directions about the noon side, and heights, in pixels."""

    centre_deg: float
    reach_deg: float
    top_deg: float

    def side(self, azimuth_deg: float) -> float:
        """Degrees right of the noon direction, -180 to 180."""
        return (azimuth_deg - self.centre_deg + 180.0) % 360.0 - 180.0

    def x(self, side_deg: float) -> float:
        share = (side_deg + self.reach_deg) / (2 * self.reach_deg)
        return LEFT_PX + share * (RIGHT_PX - LEFT_PX)

    def y(self, height_deg: float) -> float:
        return BOTTOM_PX - max(height_deg, 0.0) / self.top_deg * (BOTTOM_PX - TOP_PX)


def sun_picture(paths: SunPaths, sky: BedSky, key: str) -> Picture:
    """Draw the year's sun as one bed sees it."""
    frame = _frame(paths)
    page = Sheet(WIDTH, BOTTOM_PX + 84.0)
    page.text(4, 14, shorten(sky.bed), "ink", strong=True)
    page.text(4, 29, "height of the sun, degrees", "quiet", size=SMALL)
    _draw_house(page, frame, sky)
    _draw_scales(page, frame)
    _draw_tracks(page, frame, paths)
    _draw_skyline(page, frame, paths)
    _draw_key(page)
    return Picture(key, f"The sun over bed {sky.bed} through the year", _describe(paths, sky), page)


def _frame(paths: SunPaths) -> _Frame:
    centre = 180.0 if paths.latitude_deg >= 0.0 else 0.0
    frame = _Frame(centre, 180.0, 90.0)
    sides = [abs(frame.side(azimuth)) for track in paths.tracks for azimuth in track.azimuth_deg]
    heights = [height for track in paths.tracks for height in track.height_deg]
    reach = min(180.0, max([60.0, *sides]) + MARGIN_DEG)
    return _Frame(centre, reach, min(90.0, max([20.0, *heights]) + MARGIN_DEG))


def _draw_scales(page: Sheet, frame: _Frame) -> None:
    step = 10 if frame.top_deg <= 60.0 else 15
    for height in range(0, int(frame.top_deg) + 1, step):
        page.line([(LEFT_PX, frame.y(height)), (RIGHT_PX, frame.y(height))], "hair", 0.8)
        page.text(LEFT_PX - 5, frame.y(height), f"{height}", "quiet", anchor="right", size=SMALL, middle=True)
    for azimuth, name in COMPASS.items():
        side = frame.side(azimuth)
        if abs(side) < frame.reach_deg - 1.0:
            page.line([(frame.x(side), TOP_PX), (frame.x(side), BOTTOM_PX)], "hair", 0.8)
            page.text(frame.x(side), BOTTOM_PX + 13, name, "quiet", anchor="center", size=SMALL)


def _draw_house(page: Sheet, frame: _Frame, sky: BedSky) -> None:
    """Hatch the directions from which the sun does not reach most of the bed."""
    wide = _step(sky.azimuth_deg) / 2
    tall = _step(sky.height_deg) / 2
    boxes = []
    for height, row in zip(sky.height_deg, sky.reached_frac, strict=True):
        if height - tall > frame.top_deg:
            continue
        top, base = frame.y(min(height + tall, frame.top_deg)), frame.y(height - tall)
        for left, right in _runs(frame, sky.azimuth_deg, row, wide):
            boxes.append((frame.x(left), top, frame.x(right) - frame.x(left), base - top))
    page.boxes(boxes, fill="panel")
    page.boxes(boxes, edge="line", hatch="rising", width=0.0)


def _step(places: tuple[float, ...]) -> float:
    return places[1] - places[0] if len(places) > 1 else 1.0


def _runs(frame: _Frame, azimuths: tuple[float, ...], row: tuple[float, ...], half: float) -> list[tuple[float, float]]:
    """Neighbouring directions that the house blocks, as spans of side angle inside the frame."""
    sides = sorted((frame.side(azimuth), value) for azimuth, value in zip(azimuths, row, strict=True))
    runs: list[tuple[float, float]] = []
    for side, value in sides:
        if value >= REACHED:
            continue
        left, right = max(side - half, -frame.reach_deg), min(side + half, frame.reach_deg)
        if left >= right:
            continue
        if runs and left - runs[-1][1] < 1e-6:
            runs[-1] = (runs[-1][0], right)
        else:
            runs.append((left, right))
    return runs


def _draw_tracks(page: Sheet, frame: _Frame, paths: SunPaths) -> None:
    tracks = paths.tracks
    labels: list[float] = []
    ordered = sorted(tracks, key=_noon)
    for track in [*ordered[:1], *ordered[:0:-1]]:
        points = sorted(
            (frame.side(azimuth), height) for azimuth, height in zip(track.azimuth_deg, track.height_deg, strict=True)
        )
        pieces = _unbroken([(frame.x(side), frame.y(height)) for side, height in points])
        page.lines(pieces, "sun", 2.4 if track.on.month in (6, 12) else 1.4)
        y = frame.y(_noon(track))
        if points and all(abs(y - other) >= LABEL_PX for other in labels):
            labels.append(y)
            page.text(frame.x(0.0) + 3, y - 3, _track_name(track), "sun", size=SMALL)
    if tracks:
        _draw_hours(page, frame, max(tracks, key=_noon), outside=True)
        _draw_hours(page, frame, min(tracks, key=_noon), outside=False)


def _unbroken(points: list[tuple[float, float]]) -> list[list[tuple[float, float]]]:
    """Cut a way where it is interrupted, as it is round midnight in summer."""
    pieces: list[list[tuple[float, float]]] = [points[:1]] if points else []
    for before, after in pairwise(points):
        if after[0] - before[0] > 30.0:
            pieces.append([])
        pieces[-1].append(after)
    return pieces


def _noon(track: SunTrack) -> float:
    return max(track.height_deg, default=0.0)


def _track_name(track: SunTrack) -> str:
    return f"{track.on.day} {MONTH_NAMES[track.on.month - 1]}"


def _draw_hours(page: Sheet, frame: _Frame, track: SunTrack, *, outside: bool) -> None:
    """Dots at the whole hours of a way; every third is named where the sun is above the skyline."""
    ways = list(zip(track.clock_h, track.azimuth_deg, track.height_deg, track.skyline_deg, strict=True))
    for (first, azimuth, height, skyline), (after, next_azimuth, next_height, _) in pairwise(ways):
        hour = math.ceil(first)
        side, next_side = frame.side(azimuth), frame.side(next_azimuth)
        if not first <= hour < after or after - first > 1.0 or abs(next_side - side) > 90.0:
            continue
        share = (hour - first) / (after - first)
        side, height = side + share * (next_side - side), height + share * (next_height - height)
        if height <= skyline:
            continue  # behind the hill, which is drawn over it
        x, y = frame.x(side), frame.y(height)
        page.discs([(x, y)], [2.4], fill="sun")
        if hour % 3 or height < max(4.0, skyline + (0.0 if outside else LABEL_ROOM_DEG)):
            continue
        if outside:
            page.text(*((x + 6, y) if side > 5.0 else (x - 6, y - 4)), f"{hour} h", "quiet",
                      anchor="left" if side > 5.0 else "right", size=SMALL, middle=True)  # fmt: skip
        else:
            page.text(x, y + 13, f"{hour} h", "quiet", anchor="center", size=SMALL)


def _draw_skyline(page: Sheet, frame: _Frame, paths: SunPaths) -> None:
    points = sorted(
        (frame.side(azimuth), height)
        for azimuth, height in zip(paths.skyline_azimuth_deg, paths.skyline_height_deg, strict=True)
    )
    inside = [(frame.x(side), frame.y(height)) for side, height in points if abs(side) <= frame.reach_deg]
    if len(inside) < 2:
        return
    edge = [(LEFT_PX, inside[0][1]), *inside, (RIGHT_PX, inside[-1][1])]
    page.shapes([[*edge, (RIGHT_PX, BOTTOM_PX), (LEFT_PX, BOTTOM_PX)]], fill="hair")
    page.line(edge, "ink", 1.6)


def _draw_key(page: Sheet) -> None:
    top = BOTTOM_PX + 34.0
    page.line([(LEFT_PX, top), (LEFT_PX + 24, top)], "sun", 2.4)
    page.text(LEFT_PX + 30, top, "the sun; dots: hours of standard time", "quiet", size=SMALL, middle=True)
    page.boxes([(LEFT_PX, top + 11, 24, 12)], fill="hair", edge="ink")
    page.text(LEFT_PX + 30, top + 17, "skyline", "quiet", size=SMALL, middle=True)
    page.boxes([(LEFT_PX, top + 28, 24, 12)], fill="panel")
    page.boxes([(LEFT_PX, top + 28, 24, 12)], edge="line", hatch="rising")
    page.text(LEFT_PX + 30, top + 34, "no way in: wall, roof, shelf or neighbour", "quiet", size=SMALL, middle=True)


def _describe(paths: SunPaths, sky: BedSky) -> str:
    lowest = min(paths.tracks, key=_noon)
    highest = max(paths.tracks, key=_noon)
    hills = max(paths.skyline_height_deg, default=0.0)
    skyline = f"The skyline rises to {hills:.0f} degrees." if hills > 0.5 else "The horizon is level."
    return (
        f"Ways of the sun over the compass. At noon it stands {_noon(lowest):.0f} degrees high on "
        f"{_track_name(lowest)} and {_noon(highest):.0f} on {_track_name(highest)}. {skyline} Hatched: directions from "
        f"which house or neighbours keep the sun off most of bed {sky.bed}."
    )
