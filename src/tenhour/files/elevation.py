"""Height of the ground from pvlib's coarse map; in mountains the user is asked instead."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.model.place import Elevation
from tenhour.words import remarks as words

Array = NDArray[np.float64]

MAP_STEP_DEG: Final = 1.0 / 12.0
"""Cell of the map: 2160 by 4320 cells round the globe (read in pvlib's data)."""
MAP_HEIGHT_STEP_M: Final = 28.0
"""Steps of the map's heights, from -450 m (read in pvlib's code)."""
MAP_LOWEST_M: Final = -450.0
MAP_NONE: Final = 255
"""Lowest of them, and the number of a cell without data (read in pvlib's code)."""
NO_DATA_M: Final = 0.0
"""What pvlib returns for a cell without data; its steps never give it."""
RELIEF_NEAR_M: Final = 250.0
RELIEF_FAR_M: Final = 400.0
"""Spread of height among the cells next to a point, and one cell further, beyond which a valley cannot be told from
a slope: judgement, against a median error of 27 m in open country and 309 m in the Alps (129 stations, derived)."""
POLE_DEG: Final = 90.0
HALF_TURN_DEG: Final = 180.0


def elevation_at(latitude_deg: float, longitude_deg: float) -> Elevation:
    """Height of the ground [m], or None where it must be asked for.

    Parameters: latitude_deg -90 to 90, longitude_deg -180 to 180.
    Returns: the height of the 5-minute cell and a note; no height at sea, beyond the map and in mountains, though
        ``estimate_m`` keeps what the map says.
    Method: pvlib.location.lookup_altitude at the point and the cells around it.
    """
    near_m = _heights_around(latitude_deg, longitude_deg, 1)
    here_m = _stepped_m(near_m[len(near_m) // 2])
    if here_m is None:
        return Elevation(None, 0.0, "the height map has no value here: give elevation_m")
    relief_m = max(
        _relief(near_m) - RELIEF_NEAR_M, _relief(_heights_around(latitude_deg, longitude_deg, 2)) - RELIEF_FAR_M
    )
    if relief_m > 0:
        note = "mountains: the map cannot tell the valley from the slope, and their light differs: give elevation_m"
        return Elevation(None, here_m, note)
    return Elevation(here_m, here_m, words.MAP_HEIGHT(height=here_m))


def grounds_m(latitude_deg: Array, longitude_deg: Array) -> Array:
    """What the map says of the cells of many places alone [m], whole metres; NaN where it has no value: at sea.

    Parameters: latitude_deg [N], -90 to 90, longitude_deg [N], -180 to 180.
    Method: as pvlib.location.lookup_altitude, whose file is opened once for all.
    """
    import h5py
    import pvlib

    if not latitude_deg.size:
        return np.zeros(0)
    with h5py.File(Path(pvlib.__file__).parent / "data" / "Altitude.h5", "r") as file:
        heights = file["Altitude"]
        rows, columns = heights.shape
        row = _cell((HALF_TURN_DEG / 2 - latitude_deg) / HALF_TURN_DEG * rows, rows)
        column = _cell((longitude_deg + HALF_TURN_DEG) / (2 * HALF_TURN_DEG) * columns, columns)
        top, left = int(row.min()), int(column.min())
        near = heights[top : int(row.max()) + 1, left : int(column.max()) + 1][row - top, column - left]
    height = near.astype(np.float64) * MAP_HEIGHT_STEP_M + MAP_LOWEST_M
    height[np.abs(height) < MAP_HEIGHT_STEP_M] = 0.0
    return np.asarray(np.where(near == MAP_NONE, np.nan, height))


def _cell(place: Array, count: int) -> NDArray[np.intp]:
    """Numbers of the cells that places lie in, counted in cells from the edge of the map; pvlib's rounding."""
    return np.clip(np.around(place - 0.5), 0, count - 1).astype(np.intp)


def _stepped_m(height_m: float) -> float | None:
    """A height of the map as it is meant; None where it has no value."""
    if height_m == NO_DATA_M:
        return None
    return 0.0 if abs(height_m) < MAP_HEIGHT_STEP_M else height_m


def _heights_around(latitude_deg: float, longitude_deg: float, cells: int) -> list[float]:
    from pvlib.location import lookup_altitude

    steps = [cell * MAP_STEP_DEG for cell in range(-cells, cells + 1)]
    return [
        float(lookup_altitude(_latitude(latitude_deg + up), _longitude(longitude_deg + right)))
        for up in steps
        for right in steps
    ]


def _relief(heights_m: list[float]) -> float:
    land_m = [height for height in heights_m if height != NO_DATA_M]
    return max(land_m, default=0.0) - min(land_m, default=0.0)


def _latitude(latitude_deg: float) -> float:
    return min(max(latitude_deg, -POLE_DEG), POLE_DEG)


def _longitude(longitude_deg: float) -> float:
    return (longitude_deg + HALF_TURN_DEG) % (2 * HALF_TURN_DEG) - HALF_TURN_DEG
