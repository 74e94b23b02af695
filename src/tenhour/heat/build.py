"""A house as the hourly balance needs it, what acts on it, and what a run gives: numbers and arrays."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, fields, replace
from functools import cached_property
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.heat import films
from tenhour.heat.ground import Column

Array = NDArray[np.float64]

AIR_WH_M3_K: Final = 0.335
"""Air at sea level, 1.2 kg m⁻³ x 1005 J kg⁻¹ K⁻¹ / 3600. Derived."""
AIR_HEIGHT_M: Final = 8400.0
"""Height over which air thins to 1/e. Memory."""
COVER_FILM_W_M2_K: Final = 2.5
"""Convection from still air to a cover: 1.31-1.52 ΔT^(1/3) at 5-10 K (Walton 1983, ASHRAE); a fan makes 4-5. Memory."""
DAMP_W_M2_K: Final = 1.1
"""Heat that vapour carries at night from damp ground and leaves to the covers, per ground: 3 from the ground (half of
it wet) and 2.5 x 2.4 m² of cover, each times Δe/(γ ΔT) = 0.93 at 5 °C, one after the other; it grows with Δe/ΔT, to
2.3 times that at 20 °C. Derived."""
LAID_DAMP_FRAC: Final = 0.8
"""The same to the inner face of a cover close over the ground: 1.4 from the ground and 2.5 x 0.93 to the cover, one
after the other, are 0.87. Derived."""
AROUND_W_M2_K: Final = 0.6
"""Air that changes through a cover close over a bed and round its edges. Cloth of 17 g m⁻² lets 4 m s⁻¹ through at
200 Pa (memory of makers' tables, ISO 9237); air 10 K warmer under hoops of 0.4 m presses with 0.05 Pa on the mean, in
through one half of the cover and out through the other: 0.5 mm s⁻¹ x 1300 J m⁻³ K⁻¹. Film has no pores, but its ends
and edges lie less close. Derived; for film judgement."""
FLOOR_FILM_W_M2_K: Final = 3.0
"""The same from soil that is warmer than the air, as at night without a heater; 1-2 where it is colder. Derived: an
engine with Walton's relations gives 2.98 on the mean of a winter (docs/method/heat.md)."""
LEAF_FILM_W_M2_K: Final = 5.0
"""From leaves per ground they cover, both sides (de Zwart 1996, in a public parameter file). Read."""


class Skin(NamedTuple):
    """Covers and light walls, arrays [J]."""

    area_m2: Array
    resistance_m2_k_w: Array
    """Of the cover itself, without films."""
    tilt_deg: Array
    sun_depth_frac: Array
    """How deep in the cover the sun is caught: 0 on the outside of a wall, 0.5 in a pane."""


class Zone(NamedTuple):
    """A surface with memory that the sun strikes: floor, a covered bed, a heavy wall, the skin of water vessels."""

    area_m2: float
    film_w_m2_k: float
    column: Column
    leaf_frac: float = 0.0
    """Ground that leaves hide."""
    damp_w_m2_k: float = 0.0
    """Carried by vapour from the surface to the covers."""
    water_kg: float = 0.0
    """Water that may freeze, for a surface that is the skin of vessels."""


class Heater(NamedTuple):
    """What holds the set point: at most so much, partly as radiation to the surfaces."""

    power_w: float = np.inf
    radiant_frac: float = 0.0


class Mat(NamedTuple):
    """A heated mat or cable in the first layer below a zone's surface, under a thermostat that sits beside it."""

    zone: int
    power_w: float
    to_air_frac: float = 0.0
    """What it loses downwards, into the room."""


NO_LIMIT: Final = Heater()


@dataclass(frozen=True)
class Build:
    """A house as the balance needs it."""

    skin: Skin
    zones: tuple[Zone, ...]
    volume_m3: float
    air_j_k: float
    """Air, leaves and trays that follow it at once."""
    leak_per_h: float
    leak_per_wind_ratio: float
    """Air changes an hour, and more per m s⁻¹ at the house."""
    elevation_m: float = 0.0
    cover_film_w_m2_k: float = COVER_FILM_W_M2_K
    heater: Heater = NO_LIMIT
    mats: tuple[Mat, ...] = ()
    vent_per_h: float = 20.0
    """Air changes of open vents, 20-40 an hour: practice."""
    emissivity_frac: float = films.EMISSIVITY_FRAC

    @property
    def change_w_k(self) -> float:
        """Heat of one air change an hour. Method: air thins with height as exp(-z/8400 m), from memory."""
        return AIR_WH_M3_K * self.volume_m3 * float(np.exp(-self.elevation_m / AIR_HEIGHT_M))


@dataclass(frozen=True)
class Drive:
    """What acts on the house, arrays [H, W] unless said; W winters side by side."""

    temp_out_degc: Array
    temp_sky_degc: Array
    wind_m_s: Array
    """At the house."""
    zone_sun_w: Array
    """Absorbed by each zone [H, W, K]."""
    skin_sun_w_m2: Array
    """Absorbed by each cover [H, W, J]."""
    edge_degc: tuple[Array, ...]
    """Soil beside each zone's layers and at its end [H, m + 1] or [H, W, m + 1]."""
    gain_w: Array | float = 0.0
    """Lamps, people and fires, to the air."""
    gain_radiant_w: Array | float = 0.0
    latent_frac: tuple[Array | float, ...] = ()
    """Share of each zone's sun that evaporates water [H] or a number; none where empty."""
    damp_ratio: Array | float = 1.0
    """What vapour carries from the zones over what they have at 5 °C [H]."""
    condensing_frac: Array | float = 0.7
    """Share of that vapour which condenses on the covers; the rest leaves with the air."""
    extra_m2_k_w: Array | None = None
    """What curtains and layers under the covers add [H, J]."""
    inner_m2_k_w: tuple[Array | None, ...] = ()
    """What lies close over each zone [H]; 0 where nothing does at that hour, None where never."""
    set_degc: Array | float = -np.inf
    """Heater's set point [H] or [H, W]."""
    vent_degc: Array | float = np.inf
    """Air above which vents open."""
    mat_degc: tuple[Array | float, ...] = ()
    """What each mat holds its layer at [H] or a number; -inf while it is off, empty where all are."""

    def changed(self, change: Callable[[Array], Array]) -> Drive:
        """The drive with every array by hour changed alike; numbers stay.

        Parameters: change, of an array whose first axis are hours.
        """

        def one(value: Any) -> Any:
            if isinstance(value, tuple):
                return tuple(one(part) for part in value)
            return change(value) if isinstance(value, np.ndarray) and value.ndim else value

        new: dict[str, Any] = {part.name: one(getattr(self, part.name)) for part in fields(self)}
        return replace(self, **new)

    def unheated(self) -> Drive:
        """The drive with heater and mats off."""
        return replace(self, set_degc=-np.inf, mat_degc=())


class State(NamedTuple):
    """Where a run begins or ends, first axis W."""

    node_degc: Array
    leg_degc: Array
    ice_j: Array


@dataclass(frozen=True)
class Run:
    """Temperatures and flows, arrays [H, W] or [H, W, ...]."""

    air_degc: Array
    zone_degc: Array
    """Surface of each zone [H, W, K]."""
    soil_degc: Array
    """First layer below each zone's surface [H, W, K]."""
    heat_w: Array
    vent_w_k: Array
    mat_w: Array
    """Each mat's power [H, W, mats]."""
    final: State = field(repr=False)
    read: Callable[[str], Array] = field(repr=False)
    """What holds no heat, read back by name when it is asked for."""

    @cached_property
    def under_degc(self) -> Array:
        """Air under each zone's inner cover; the house's air where none lies [H, W, K]."""
        return self.read("under_degc")

    @cached_property
    def leaf_degc(self) -> Array:
        """Leaves of each zone [H, W, K]."""
        return self.read("leaf_degc")

    @cached_property
    def laid_degc(self) -> Array:
        """Air under each zone's inner cover in any hour as if it lay; the house's air where it has none [H, W, K]."""
        return self.read("laid_degc")

    @cached_property
    def under_follows_frac(self) -> Array:
        """Of a quick change of the house's air, what the air of ``under_degc`` does while surfaces stay [H, W, K]."""
        return self.read("under_follows_frac")

    @cached_property
    def laid_follows_frac(self) -> Array:
        """The same of ``laid_degc``."""
        return self.read("laid_follows_frac")

    @cached_property
    def cover_degc(self) -> Array:
        """Inner face of each cover [H, W, J]."""
        return self.read("cover_degc")
