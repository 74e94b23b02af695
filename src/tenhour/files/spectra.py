"""The packaged table of spectra and of meter errors."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import Any, Final

from tenhour.files.textfile import packaged_toml
from tenhour.model.spectrum import Known, LightUnit, Meter, Spectrum

UNITS: Final[tuple[LightUnit, ...]] = ("lux", "ppfd", "w_m2")


def _known(raw: dict[str, Any] | None) -> Known | None:
    return None if raw is None else Known(**raw)


@lru_cache(maxsize=1)
def load_spectra() -> Mapping[str, Spectrum]:
    """Return every kind of light by its key; ``daylight`` is always among them."""
    raw = {key: table for key, table in packaged_toml("spectra.toml").items() if key != "schema"}
    found = {
        key: Spectrum(
            key, table["title"], _known(table.get("lux_umol")), Known(**table["blue"]), _known(table.get("red_far_red"))
        )
        for key, table in raw.items()
    }
    return MappingProxyType(found)


@lru_cache(maxsize=1)
def load_meters() -> Mapping[LightUnit, Meter]:
    """Return the errors of each kind of meter."""
    raw = packaged_toml("meters.toml")
    found = {unit: Meter(unit, Known(**raw[unit]["own"]), Known(**raw[unit]["shared"])) for unit in UNITS}
    return MappingProxyType(found)
