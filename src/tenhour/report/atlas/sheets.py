"""Places of a region as tables for a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from functools import lru_cache
from typing import Final

import numpy as np

from tenhour.model.atlas import HOLES, AtlasData
from tenhour.report.tables import Cell, Field, Table
from tenhour.units import GENERIC_YEAR
from tenhour.words.style import MONTH_NAMES

NEW_YEAR: Final = date(GENERIC_YEAR, 1, 1)
"""Of any common year: days are told by month and day."""
SITE: Final = (
    Field("place", "place"),
    Field("latitude_deg", "latitude", "plain"),
    Field("longitude_deg", "longitude", "plain"),
    Field("elevation_m", "elevation", "elevation"),
    Field("hole", "no answer"),
)
WARMTH: Final = (
    ("lowest_air_degc", "temp"), ("energy_winter_kwh", "energy"), ("hours_below_0_h", "plain"),
)  # fmt: skip


@lru_cache(maxsize=1024)
def day_text(doy: float) -> str | None:
    """Month and day of a day of the year counted from 1, as 10-12; None where there is none."""
    return f"{NEW_YEAR + timedelta(days=round(doy) - 1):%m-%d}" if np.isfinite(doy) else None


def place_tables(data: AtlasData) -> tuple[Table, ...]:
    """Light and warmth by place and bed, and dates by place, bed and crop."""
    months = [f"{name[:3].lower()}_dli_mol_m2_d" for name in MONTH_NAMES]
    warmth = [(name, kind) for name, kind in WARMTH if name in data.values]
    fields = (
        *SITE, Field("house", "house"), Field("bed", "bed"), *(Field(name, name, "dli") for name in months),
        *(Field(name, name, kind) for name, kind in warmth),
    )  # fmt: skip
    tables = [Table("places", "Light on the bed by month, and warmth.", fields, tuple(_places(data, warmth)))]
    if "sow_by_doy" in data.values and data.crops:
        names = (Field("house", "house"), Field("bed", "bed"), Field("crop", "crop"))
        dates = (Field("sow_by", "sow by (month-day)"), Field("pays_from", "pays from (month-day)"))
        caption = "Last sowing that stands for winter, and first that pays again without lamps."
        tables.append(Table("dates", caption, (*SITE[:4], *names, *dates), tuple(_dates(data))))
    return tuple(tables)


def _site(data: AtlasData, site: int) -> tuple[Cell, ...]:
    sites = data.sites
    name = sites.names[site] if sites.names else ""
    height = float(sites.elevation_m[site])
    return name, float(sites.latitude_deg[site]), float(sites.longitude_deg[site]), None if np.isnan(height) else height


def _places(data: AtlasData, warmth: list[tuple[str, str]]) -> Iterator[tuple[Cell, ...]]:
    for site in range(len(data.sites)):
        if data.hole[site]:
            if data.sites.names:
                blank: list[Cell] = [None] * (14 + len(warmth))
                yield (*_site(data, site), HOLES[data.hole[site]], *blank)
            continue
        for number, (house, bed) in enumerate(data.beds):
            light = [_known(value) for value in data.values["bed_dli_mol_m2_d"][site, number]]
            warm = [_known(data.values[name][site, data.houses.index(house)]) for name, _ in warmth]
            yield (*_site(data, site), "", house, bed, *light, *warm)


def _known(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def _dates(data: AtlasData) -> Iterator[tuple[Cell, ...]]:
    for site in data.answered.tolist():
        here = _site(data, site)
        for number, (house, bed) in enumerate(data.beds):
            days = [data.values[name][site, number].tolist() for name in ("sow_by_doy", "pays_from_doy")]
            for (key, _), *both in zip(data.crops, *days, strict=True):
                yield (*here, house, bed, key, *(day_text(day) for day in both))
