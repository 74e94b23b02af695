"""Small houses for the hourly balance."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tenhour.heat import build as parts
from tenhour.heat import ground

YEAR_H = 8760


def skin(resistance: float = 0.16, area: tuple[float, ...] = (9.6, 5.0, 9.6, 5.0, 11.0, 11.0)) -> parts.Skin:
    """Walls and two roofs of a gable of 6 x 3.6 m."""
    n = len(area)
    tilt = np.array([90.0, 90.0, 90.0, 90.0, 29.0, 29.0])[:n]
    return parts.Skin(np.array(area), np.full(n, resistance), tilt, np.full(n, 0.5))


def weather(hours: int = YEAR_H, winters: int = 2, seed: int = 1) -> tuple[np.ndarray, np.ndarray]:
    """Outdoor air and sun per square metre, [H, W]: a year's and a day's wave with noise."""
    rng = np.random.default_rng(seed)
    h = np.arange(hours)
    year = 8.0 - 10.0 * np.cos(2 * np.pi * (h / 24 + 10) / 365)
    day = -4.0 * np.cos(2 * np.pi * (h % 24 - 3) / 24)
    days = hours // 24 + 1
    noise = rng.normal(0.0, 3.0, (days, winters)).repeat(24, axis=0)[:hours]
    clear = rng.uniform(0.2, 1.0, (days, winters)).repeat(24, axis=0)[:hours]
    sun = np.maximum(0.0, np.sin(2 * np.pi * (h % 24 - 6) / 24))
    sun *= 300.0 * (1 - 0.6 * np.cos(2 * np.pi * (h / 24 + 10) / 365))
    return (year + day)[:, None] + noise, sun[:, None] * clear


def house(**changes: object) -> parts.Build:
    """Floor and a covered bed."""
    column = ground.soil_column(float(ground.slab_u_w_m2_k(19.2 / 21.6)))
    zones = (
        parts.Zone(14.6, 4.0, column),
        parts.Zone(7.0, 4.0, column, 0.5),
    )
    made = parts.Build(skin(), zones, 45.0, 21.6 * 12e3, 0.5, 0.15)
    return replace(made, **changes)


def drive(build: parts.Build, hours: int = YEAR_H, winters: int = 2, seed: int = 1, **changes: object) -> parts.Drive:
    """Weather on a house with sun on all its zones."""
    out, sun = weather(hours, winters, seed)
    soil = 8.0 - 6.0 * np.cos(2 * np.pi * (np.arange(hours) / 24 - 20) / 365)
    edges = tuple(np.repeat(soil[:, None], max(len(z.column.depth_m), 1), axis=1) for z in build.zones)
    share = np.array([zone.area_m2 for zone in build.zones])
    made = parts.Drive(
        out, out - 15.0, np.full(out.shape, 2.0), sun[..., None] * share * 0.5,
        np.repeat(sun[..., None] * 0.1, len(build.skin.area_m2), axis=2), edges,
    )  # fmt: skip
    return replace(made, **changes)


def batch_kw(since_h: np.ndarray, batch_kwh: float, burn_h: float) -> np.ndarray:
    """Output of one load of wood by the time since it was lit: E t/τ² exp(-t/τ)."""
    t = np.maximum(since_h, 0.0) / burn_h
    return np.asarray(batch_kwh / burn_h * t * np.exp(-t))
