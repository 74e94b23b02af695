"""Houses of any shape, place and warmth for what must hold in all of them, and their images in mirrors and scales."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np

from helpers_drawn import Drawn, drawn

PLACES_DEG = ((38.0, 63.0), (-10.0, 30.0))
"""Latitudes and longitudes drawn from: where packaged normals lie close together."""
SOUTH = ((-43.5, 171.5), (-38.0, -72.0))
EAST_WEST = {"east": "west", "west": "east"}


def site_of(seed: int) -> str:
    """Where the house of a seed stands: four in five in the north."""
    rng = np.random.default_rng(1000 + seed)
    lat, lon = (round(float(rng.uniform(*span)), 1) for span in PLACES_DEG)
    if rng.random() < 0.2:
        lat, lon = SOUTH[int(rng.integers(2))]
    return f'[site]\nlatitude_deg = {lat}\nlongitude_deg = {lon}\nelevation_m = 100\ntimezone = "UTC"\n'


def air_of(seed: int) -> str:
    """Air that is stated and cool, so that no day lies above what a crop stands."""
    rng = np.random.default_rng(2000 + seed)
    day = float(rng.uniform(8.0, 18.0))
    return f"[air]\nday_degc = {day:.1f}\nnight_degc = {day - float(rng.uniform(2.0, 8.0)):.1f}\n"


def house_text(seed: int, dirt: float = 0.0, *, house: Drawn | None = None, site: str = "") -> str:
    """The house file of a seed, its panes as dirty as told."""
    text = (house or drawn(seed)).toml("schema = 1\n" + (site or site_of(seed)))
    return text.replace("dirt_share = 0\n", f"dirt_share = {dirt}\n") + air_of(seed)


def mirrored(house: Drawn) -> Drawn:
    """The house as it stands in a mirror that runs north and south; any shape but a custom one."""
    corners = np.concatenate([np.array(face, dtype=float) for face in house.faces.values()])
    length, width = float(corners[:, 0].max()), float(corners[:, 1].max())

    def turned(at: tuple[float, ...], size: tuple[float, ...]) -> tuple[float, ...]:
        return (round(length - at[0] - size[0], 6), *at[1:])

    windows = []
    for on, left, sill, wide, high, cover in house.windows:
        wall = width if on in EAST_WEST else length
        windows.append((EAST_WEST.get(on, on), round(wall - left - wide, 6), sill, wide, high, cover))
    return replace(
        house,
        azimuth_deg=round((180.0 - house.azimuth_deg) % 360.0, 6),
        made_of={name: house.made_of[EAST_WEST.get(name, name)] for name in house.made_of},
        windows=windows,
        boxes=[(turned(at, size), size, refl) for at, size, refl in house.boxes],
        outside=[(turned(at, size), size, refl) for at, size, refl in house.outside],
        beds=[(name, turned(at, size)[:2], size, high, refl) for name, at, size, high, refl in house.beds],
        skyline=sorted(((360.0 - azimuth) % 360.0, height) for azimuth, height in house.skyline),
        sheets=[([[length - x, y, z] for x, y, z in reversed(sheet)], refl) for sheet, refl in house.sheets],
    )  # fmt: skip


LAYERS = (
    '["fleece"]', '[{ cover = "fleece", months = [11, 12, 1, 2, 3, 6, 7] }]', '[{ cover = "fleece", by_day = false }]',
)  # fmt: skip


def dressed(text: str, end: str) -> str:
    """The house file with snow and wet on its panes, fleece over its beds, a curtain at one end, and a heater."""
    white = [6, 7, 8] if "latitude_deg = -" in text else [12, 1, 2]
    text = text.replace("condensation_share = 0\n", "condensation_share = 0.25\n")
    text = text.replace("snow_share = 0\n", "snow_share = 0.6\n").replace(
        "[house]\n", f"snow_months = {white}\n[house]\n", 1
    )
    head, *beds = text.partition("[air]\n")[0].split("[[bed]]\n")
    laid = [f"[[bed]]\nlayers = {LAYERS[number % len(LAYERS)]}\n{bed}" for number, bed in enumerate(beds)]
    warm = '[heat]\nleak = "tight"\n[[heater]]\nkind = "electric"\npower_w = 3000\nprice = 0.3\n'
    curtain = f'[curtain]\nfaces = ["{end}"]\nkind = "night-curtain"\ncloses = "dusk"\n'
    return head + "".join(laid) + "[air]\nnight_set_degc = 4\n" + warm + curtain


def below_the_equator(house: Drawn) -> Drawn:
    """The house as it stands in a mirror that runs east and west: what lay to the south lies to the north."""
    turned = mirrored(house)
    return replace(
        turned,
        azimuth_deg=round((360.0 - house.azimuth_deg) % 360.0, 6),
        skyline=sorted(((180.0 - azimuth) % 360.0, height) for azimuth, height in house.skyline),
    )


M_PER_FT = 0.3048


def in_feet(text: str) -> str:
    """The house file with every length as text in feet and every temperature in degrees Fahrenheit."""
    lines = []
    for line in text.splitlines():
        key, _, value = line.partition(" = ")
        if key.endswith("_m"):
            value = re.sub(
                r"-?\d+(?:\.\d+)?(?:e-?\d+)?", lambda found: f'"{float(found[0]) / M_PER_FT:.12f} ft"', value
            )
        elif key.endswith("_degc"):
            value = f'"{float(value) * 1.8 + 32.0:.10f} F"'
        lines.append(f"{key} = {value}" if value else line)
    return "\n".join(lines) + "\n"


def scaled(text: str, factor: float) -> str:
    """The house file with every length of the house, and of what stands in and by it, times a factor."""
    lines = []
    for line in text.splitlines():
        key, _, value = line.partition(" = ")
        if key.endswith("_m") and key != "elevation_m":
            value = re.sub(r"-?\d+(?:\.\d+)?(?:e-?\d+)?", lambda found: f"{float(found[0]) * factor:.6f}", value)
        lines.append(f"{key} = {value}" if value else line)
    return "\n".join(lines) + "\n"
