"""Standard houses to compare places by."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Final

from tenhour.files.house.read import house_from_tables
from tenhour.files.textfile import packaged_toml
from tenhour.model.house import House

FILE: Final = "standard-houses.toml"
NOWHERE: Final = {"latitude_deg": 50.0, "longitude_deg": 10.0, "elevation_m": 0.0, "timezone": "UTC"}
"""Stands in for the place, which is what is asked about."""


@lru_cache(maxsize=1)
def standard_houses() -> dict[str, House]:
    """The packaged houses by their short names, each at a place that is only to be moved away from."""
    found = {}
    for key, tables in packaged_toml(FILE).items():
        own = {"schema": 1, "site": dict(NOWHERE), **tables}
        found[key] = replace(house_from_tables(own, f"{FILE}, {key}"), path=key)
    return found
