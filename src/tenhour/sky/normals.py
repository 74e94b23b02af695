"""Outdoor light and air temperature of a place, from normals that travel with the program."""

from __future__ import annotations

from itertools import pairwise
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.errors import FileProblem, OutOfRange, Problem
from tenhour.units import great_circle_km

Array = NDArray[np.float64]

SILENT_KM: Final = 250.0
"""Distance to the nearest cell with data below which nothing is said [km]. Practice."""

REFUSE_KM: Final = 400.0
"""Distance beyond which the normals are refused [km]. Practice."""

KT_CEILING: Final = 0.80
"""No month is clearer than this [-]: stations' monthly means never reach it. Measured in the normals' study."""

# Correction of MERRA-2 clearness, ln f = C0 + C1 S - C2 A B, fitted to 113 stations (docs/method/sky.md). Derived.
LN_F_BASE: Final = -0.105
LN_F_NORTH: Final = 0.099
LN_F_FOG: Final = -0.188
NORTH_FROM_DEG: Final = 50.0
NORTH_RAMP_DEG: Final = 10.0
FOG_LATITUDE_DEG: Final = 49.5
FOG_LONGITUDE_DEG: Final = 10.5
FOG_RADIUS_KM: Final = 1000.0
FOG_TOP_M: Final = 800.0
FOG_FADE_M: Final = 700.0

FILLED_WEIGHT: Final = 0.1
"""Weight of a sea cell (filled from its neighbours) beside a cell with data [-]; keeps the map smooth. Judgement."""

FILL_POWER: Final = 4.0
"""Power of distance by which cells with data fill a sea cell: nearly the nearest one. Judgement."""

COAST_EXTRA_FRAC: Final = 0.10
"""Further error where only sea surrounds the site: cells there carry continental light. Judgement."""

LAPSE_K_PER_KM: Final = 6.5
"""Fall of air temperature with height outside winter [K km⁻¹] (standard atmosphere)."""

WINTER_LAPSE_K_PER_KM: Final = 4.0
"""The same in the three darkest months, when cold air lies in valleys [K km⁻¹]. Practice."""

MEANS_FRAC: Final = 0.05
"""Error of a station's own long-term monthly means [-]. Judgement."""

USUAL_LEVEL_FRAC: Final = (0.1, 0.2, 0.3, 0.5, 0.7, 0.8, 0.9)
USUAL_RATIO: Final = (0.49, 0.61, 0.73, 0.97, 1.24, 1.38, 1.56)
"""Days at these levels over the month's mean, October-March, 39 stations [-]; 30 and 70 % between. Derived."""

MONTH_DAYS: Final = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
J_PER_MJ: Final = 1e6
SECONDS_PER_DAY: Final = 86400.0
DARK_SLACK_W_M2: Final = 0.5
"""Light that a station may report in a month without sun, from twilight and rounding [W m⁻²]. Judgement."""

MONTHS: Final = 12
HALF_YEAR: Final = 6
METRES_PER_KM: Final = 1000.0
LATITUDE, MONTH, MONTH_HIGH = 0.0, 1.0, 2.0  # kinds of error rows


class ClimateGrid(NamedTuple):
    """The packaged normals: cells of 3° of light, of 1° of temperature (fields as files.packaged.normals tells)."""

    row_deg: Array
    column_deg: Array
    kt_ratio: Array
    quantile_level_frac: Array
    quantile_ratio: Array
    borrowed: NDArray[np.bool_]
    temp_degc: Array
    cell_elevation_m: Array
    error_rows: Array


class SiteClimate(NamedTuple):
    """Outdoor light and air of one place by month.

    kt_month[12], global over extraterrestrial radiation [-]; quantile_level_frac[7]; quantile_ratio[12, 7], daily
    light at these levels over the month's mean [-]; temp_degc[12], mean outdoor air [°C]; uncertainty_frac[12] and
    uncertainty_p90_frac[12], mean and 90th percentile of the error of a month's light [-]; distance_km, to the
    nearest cell with data [km]; notes, sentences for the user.
    """

    kt_month: Array
    quantile_level_frac: Array
    quantile_ratio: Array
    temp_degc: Array
    uncertainty_frac: Array
    uncertainty_p90_frac: Array
    distance_km: float
    notes: tuple[str, ...]


def clearness_factor(latitude_deg: float, longitude_deg: float, elevation_m: float) -> float:
    """Correction of the reanalysis' clearness at a site [-]; continuous everywhere.

    Parameters: latitude_deg, longitude_deg [°]; elevation_m, of the site [m].
    Method: ln f = -0.105 + 0.099 S - 0.188 A B; S rises from 0 at 50° to 1 at 60° of latitude, B falls off with
        the distance from 49.5° N 10.5° E over 1000 km, A from 1 at 800 m to 0 at 1500 m (docs/method/sky.md).
    """
    S = np.clip((abs(latitude_deg) - NORTH_FROM_DEG) / NORTH_RAMP_DEG, 0.0, 1.0)
    return float(np.exp(LN_F_BASE + LN_F_NORTH * S + LN_F_FOG * fog_share(latitude_deg, longitude_deg, elevation_m)))


def fog_share(latitude_deg: float, longitude_deg: float, elevation_m: float) -> float:
    """How far a site [°, °, m] belongs to central Europe's lowland of winter fog, 0-1: A B of clearness_factor.

    Method: A = clip(1 - (height - top) / fade, 0, 1), B = exp(-(d / radius)²) (docs/method/sky.md).
    """
    d = great_circle_km(latitude_deg, longitude_deg, FOG_LATITUDE_DEG, FOG_LONGITUDE_DEG)
    A = np.clip(1 - (elevation_m - FOG_TOP_M) / FOG_FADE_M, 0.0, 1.0)
    return float(A * np.exp(-((d / FOG_RADIUS_KM) ** 2)))


class _Corners(NamedTuple):
    """The four cells round a site: places in the grid, bilinear weights, and which have data."""

    row: NDArray[np.intp]
    column: NDArray[np.intp]
    weight: Array
    valid: NDArray[np.bool_]


def _corners(grid: ClimateGrid, latitude_deg: float, longitude_deg: float) -> _Corners:
    step_deg = grid.row_deg[1] - grid.row_deg[0]
    rows, columns = grid.row_deg.size, grid.column_deg.size
    y = np.clip((latitude_deg - grid.row_deg[0]) / step_deg, 0.0, rows - 1)
    x = (longitude_deg - grid.column_deg[0]) / step_deg
    south, west = min(int(np.floor(y)), rows - 2), int(np.floor(x))
    v, u = y - south, x - west
    row = np.array([south, south, south + 1, south + 1])
    column = np.array([west, west + 1, west, west + 1]) % columns
    weight = np.array([(1 - v) * (1 - u), (1 - v) * u, v * (1 - u), v * u])
    return _Corners(row, column, weight, np.isfinite(grid.kt_ratio[row, column, 0]))


def _filled(grid: ClimateGrid, row: int, column: int) -> Array:
    """Weights over all cells with data that stand in for a cell without: inverse fourth power of distance."""
    rows, columns = np.nonzero(np.isfinite(grid.kt_ratio[:, :, 0]))
    here = grid.row_deg[row], grid.column_deg[column]
    d = great_circle_km(here[0], here[1], grid.row_deg[rows], grid.column_deg[columns])
    w = np.zeros(grid.kt_ratio.shape[:2])
    w[rows, columns] = d**-FILL_POWER
    return np.asarray(w / w.sum())


def _cell_weights(grid: ClimateGrid, corners: _Corners) -> Array:
    """Weight of every cell at the site, summing to 1: bilinear over cells with data.

    A corner without data takes part with a tenth of its weight and its neighbours' values, so that the map
    stays continuous where the last corner with data falls out of reach.
    """
    share = corners.weight * np.where(corners.valid, 1.0, FILLED_WEIGHT)
    share = share / share.sum()
    total = np.zeros(grid.kt_ratio.shape[:2])
    for row, column, part, valid in zip(corners.row, corners.column, share, corners.valid, strict=True):
        if valid:
            total[row, column] += part
        elif part > 0:
            total += part * _filled(grid, int(row), int(column))
    return total


def _nearest_km(grid: ClimateGrid, latitude_deg: float, longitude_deg: float) -> float:
    rows, columns = np.nonzero(np.isfinite(grid.kt_ratio[:, :, 0]))
    return float(great_circle_km(latitude_deg, longitude_deg, grid.row_deg[rows], grid.column_deg[columns]).min())


def _at_latitude(rows: Array, kind: float, column: int, months: NDArray[np.int_]) -> Array:
    """Error rows of one kind, in the order of the given months (1-12)."""
    of_kind = rows[rows[:, 0] == kind]
    return np.array([of_kind[of_kind[:, 1] == month, column][0] for month in months])


def light_uncertainty(error_rows: Array, latitude_deg: float) -> tuple[Array, Array]:
    """Error of a month's mean light by latitude and month: (mean, 90th percentile), each [12] as a fraction.

    Parameters: error_rows[n, 4], see ClimateGrid; latitude_deg [°].
    Method: band of latitude × month over its half-year's mean, both from the cross-validation of the normals,
        joined by straight lines over latitude. Summer figures and the south are judged by the north (docs).
    """
    months: NDArray[np.int_] = np.arange(1, MONTHS + 1, dtype=np.int_)
    seasons = months if latitude_deg >= 0 else (months + HALF_YEAR - 1) % MONTHS + 1
    winter = np.isin(months, (10, 11, 12, 1, 2, 3))
    band = error_rows[error_rows[:, 0] == LATITUDE]
    high_share = np.clip((abs(latitude_deg) - 45.0) / 10.0, 0.0, 1.0)
    found = []
    for column in (2, 3):
        low = _at_latitude(error_rows, MONTH, column, months)
        high = low.copy()
        high[winter] = _at_latitude(error_rows, MONTH_HIGH, column, months[winter])
        usual = low[winter].mean()
        level = np.interp(abs(latitude_deg), band[:, 1], band[:, column])
        shape = (1 - high_share) * low / usual + high_share * high / high[winter].mean()
        # Summer's error was found for all latitudes together: no band is better than that.
        by_month = np.where(winter, level * shape, np.maximum(level, usual) * low / usual)
        found.append(by_month[seasons - 1])
    return found[0], found[1]


def temperature_at(grid: ClimateGrid, latitude_deg: float, longitude_deg: float, elevation_m: float) -> Array:
    """Mean outdoor air temperature by month, anywhere on Earth.

    Parameters: latitude_deg, longitude_deg [°]; elevation_m, of the site [m].
    Returns: temp_degc[12] [°C].
    Method: bilinear over square degrees of ERA5, moved from the cells' mean height to the site's by 6.5 K km⁻¹,
        4 in the three darkest months. Mean error about 1.2 K (docs/method/sky.md).
    """
    y = np.clip(latitude_deg + 90.0, 0.0, 180.0)
    x = longitude_deg + 180.0
    south, west = min(int(np.floor(y)), 179), int(np.floor(x))
    v, u = y - south, x - west
    weight = np.array([[(1 - v) * (1 - u), (1 - v) * u], [v * (1 - u), v * u]])
    pick = np.ix_([south, south + 1], [west % 360, (west + 1) % 360])
    cells = (grid.temp_degc[:, pick[0], pick[1]] * weight).sum(axis=(1, 2))
    height = float((grid.cell_elevation_m[pick] * weight).sum())
    dark = (12, 1, 2) if latitude_deg >= 0 else (6, 7, 8)
    lapse = np.where(np.isin(np.arange(1, MONTHS + 1), dark), WINTER_LAPSE_K_PER_KM, LAPSE_K_PER_KM)
    return np.asarray(cells - lapse * (elevation_m - height) / METRES_PER_KM)


def _check_place(latitude_deg: float, longitude_deg: float) -> None:
    if not (abs(latitude_deg) <= 90.0 and abs(longitude_deg) <= 180.0):
        raise OutOfRange(f"latitude {latitude_deg} and longitude {longitude_deg} are not a place on Earth")


def _check_reach(latitude_deg: float, longitude_deg: float, distance_km: float) -> None:
    if distance_km > REFUSE_KM:
        raise OutOfRange(
            f"no light normals near {latitude_deg:.2f}, {longitude_deg:.2f}: the nearest data lie {distance_km:.0f} km "
            f"away (at most {REFUSE_KM:.0f}); give your own twelve monthly means under site.means, or a weather file"
        )


def _notes(
    grid: ClimateGrid, corners: _Corners, latitude_deg: float, fog: float, distance_km: float
) -> tuple[str, ...]:
    """Sentences on what is weak about the normals here."""
    notes = []
    if distance_km > SILENT_KM:
        notes.append(
            f"The nearest light normals lie {distance_km:.0f} km away; your own monthly means would be better."
        )
    if corners.weight[~corners.valid].sum() > 0.25:
        notes.append("Coast or island: the light normals are those of the land nearby and may be 10 % further off.")
    if grid.borrowed[corners.row].any():
        notes.append("How clear the days are in the months of hardly any sun is taken from nearer the equator.")
    if fog > 0.3:
        notes.append("Winter fog of central Europe's lowlands is in the normals on average; a foggy hollow gets less.")
    if abs(latitude_deg) >= 55.0:
        notes.append("Beyond 55° of latitude the light normals rest on few stations.")
    if abs(latitude_deg) >= 45.0:
        spring = "March" if latitude_deg >= 0 else "September"
        notes.append(f"{spring} is the least certain month: spring snow and clearing skies differ from place to place.")
    if abs(latitude_deg) < 35.0:
        notes.append("Below 35° of latitude the light normals were not fitted to stations.")
    if latitude_deg <= -35.0:
        notes.append("South of 35° S the light normals have not been tested against stations.")
    return tuple(notes)


def climate_at(grid: ClimateGrid, latitude_deg: float, longitude_deg: float, elevation_m: float) -> SiteClimate:
    """Outdoor light and air temperature of a place from the normals.

    Parameters: grid, the packaged normals; latitude_deg, south negative, longitude_deg, east positive [°];
        elevation_m, of the site [m].
    Returns: SiteClimate.
    Method: clearness (not irradiance) bilinear over cells with data, × clearness_factor, at most 0.80; the dark
        months of polar rows borrow the clearness of the next row towards the equator (docs/method/sky.md).
    Errors: OutOfRange beyond 400 km from the nearest data.
    """
    _check_place(latitude_deg, longitude_deg)
    distance = _nearest_km(grid, latitude_deg, longitude_deg)
    _check_reach(latitude_deg, longitude_deg, distance)
    corners = _corners(grid, latitude_deg, longitude_deg)
    weight = _cell_weights(grid, corners)
    used = np.nonzero(weight)
    part = weight[used]
    kt = part @ grid.kt_ratio[used] * clearness_factor(latitude_deg, longitude_deg, elevation_m)
    ratio = np.tensordot(part, grid.quantile_ratio[used], axes=1)
    mean_error, p90_error = light_uncertainty(grid.error_rows, latitude_deg)
    coast = COAST_EXTRA_FRAC * float(corners.weight[~corners.valid].sum())
    fog = fog_share(latitude_deg, longitude_deg, elevation_m)
    return SiteClimate(
        np.minimum(kt, KT_CEILING),
        grid.quantile_level_frac,
        ratio,
        temperature_at(grid, latitude_deg, longitude_deg, elevation_m),
        np.hypot(mean_error, coast),
        np.hypot(p90_error, coast),
        distance,
        _notes(grid, corners, latitude_deg, fog, distance),
    )


def climate_from_means(
    ghi_mj_m2_d: ArrayLike,
    temp_degc: ArrayLike,
    h0_w_m2: Array,
    base: SiteClimate | None = None,
) -> SiteClimate:
    """Outdoor light and air from twelve monthly means of the user's own.

    Parameters: ghi_mj_m2_d[12], mean daily global radiation [MJ m⁻² d⁻¹]; temp_degc[12], mean air temperature
        [°C]; h0_w_m2[365], extraterrestrial daily mean at the site [W m⁻²]; base, the normals of the place, whose
        daily spread is kept, or None where there are none.
    Returns: SiteClimate with these means; the daily spread of base, or that of all stations of the study.
    Method: month's clearness = mean over the month's extraterrestrial mean.
    Errors: FileProblem listing every month that is negative or exceeds 0.80 of extraterrestrial radiation.
    """
    mean_w = np.asarray(ghi_mj_m2_d, dtype=np.float64) * J_PER_MJ / SECONDS_PER_DAY
    edges = np.concatenate([[0], np.cumsum(MONTH_DAYS)])
    h0_month = np.array([h0_w_m2[a:b].mean() for a, b in pairwise(edges)])
    limit = KT_CEILING * h0_month
    problems = [
        Problem(
            "",
            f"site.means.ghi_mj_m2_d[{m}]",
            f"{mean_w[m] * SECONDS_PER_DAY / J_PER_MJ:.2f}",
            f"0 to {limit[m] * SECONDS_PER_DAY / J_PER_MJ:.2f} in month {m + 1} at this latitude",
            "Give MJ per square metre and day, January first.",
        )
        for m in range(MONTHS)
        if not 0.0 <= mean_w[m] <= limit[m] + DARK_SLACK_W_M2
    ]
    if problems:
        raise FileProblem(problems)
    kt = np.where(h0_month > 0, mean_w / np.where(h0_month > 0, h0_month, 1.0), 0.0)
    level = np.array(USUAL_LEVEL_FRAC) if base is None else base.quantile_level_frac
    ratio = np.tile(USUAL_RATIO, (MONTHS, 1)) if base is None else base.quantile_ratio
    error = np.full(MONTHS, MEANS_FRAC)
    return SiteClimate(
        np.minimum(kt, KT_CEILING),
        level,
        np.asarray(ratio, dtype=np.float64),
        np.asarray(temp_degc, dtype=np.float64),
        error,
        2 * error,
        0.0,
        () if base is not None else ("The spread of days is that of mid-latitude stations in general.",),
    )
