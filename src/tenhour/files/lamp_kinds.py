"""The packaged kinds of lamp, what physics allows each spectrum, and the cautions printed with every lamp answer."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import Any, Final

import numpy as np

from tenhour.files.textfile import packaged_toml
from tenhour.model.crop import Sourced
from tenhour.model.lamp import Lamp, LampSize
from tenhour.words.text import Sentence

DATA: Final = "lamps.toml"
CAUTIONS: Final = "cautions.toml"
NUMBERS: Final = (
    "beam_deg",
    "down_share",
    "maintenance_frac",
    "clearance_m",
    "clearance_above_m",
    "power_factor",
)


@lru_cache(maxsize=1)
def _data() -> dict[str, Any]:
    return packaged_toml(DATA)


def _sourced(raw: Mapping[str, Any], titles: Mapping[str, str]) -> Sourced:
    return Sourced(**{**raw, "source": titles[raw["source"]]})


@lru_cache(maxsize=1)
def load_kinds() -> Mapping[str, Lamp]:
    """Return the generic kinds of lamp by key, every number with its source."""
    data = _data()
    return MappingProxyType({key: _kind(key, raw, data) for key, raw in data["kind"].items()})


def _kind(key: str, raw: Mapping[str, Any], data: Mapping[str, Any]) -> Lamp:
    titles = data["sources"]
    sources = {name: _sourced(raw[name], titles) for name in ("efficacy_umol_j", *NUMBERS)}
    efficacy = sources["efficacy_umol_j"].value
    sizes = tuple(
        LampSize(s["length_m"], s["width_m"], s["power_w"], round(s["power_w"] * efficacy, 3)) for s in raw["sizes"]
    )
    numbers: dict[str, Any] = {name: sources[name].value for name in NUMBERS}
    return Lamp(
        key=key,
        title=raw["title"],
        shape=raw["shape"],
        sizes=sizes,
        spectrum=raw["spectrum"],
        dimmable=raw.get("dimmable", False),
        par_umol_j=ceilings()[raw["spectrum"]].value,
        sources=sources,
        note=raw.get("note", ""),
        **numbers,
    )


@lru_cache(maxsize=1)
def ceilings() -> Mapping[str, Sourced]:
    """Photons per joule of PAR of each spectrum [µmol J⁻¹]: the efficacy of a lamp without any loss."""
    data = _data()
    return MappingProxyType({key: _sourced(raw, data["sources"]) for key, raw in data["ceiling"].items()})


def white_led_lux_umol(kelvin: float) -> Sourced:
    """Lux per µmol m⁻² s⁻¹ of a white LED from its colour temperature [K], with its spread.

    Method: straight lines between the CIE's five blue-pumped white LEDs; the ends serve beyond 2733-6590 K.
    """
    raw = _data()["white_led"]
    value = float(np.interp(kelvin, raw["kelvin"], raw["lux_umol"]))
    spread = raw["spread_frac"]["value"]
    title = _data()["sources"][raw["source"]]
    return Sourced(value, value * (1 - spread), value * (1 + spread), title, raw["mark"], raw["where"])


@lru_cache(maxsize=1)
def load_cautions() -> tuple[Mapping[str, str], ...]:
    """Return the cautions in order: key, text, when (always, heater, discharge, coloured), source, mark."""
    rows = (
        {"key": key, **raw, "text": Sentence(raw["text"])()}
        for key, raw in packaged_toml(CAUTIONS).items()
        if key != "schema"
    )
    return tuple(MappingProxyType(row) for row in rows)
