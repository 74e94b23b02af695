"""Warm and cold places of a house on a cold night, and what a thermostat there would have to be set to."""

from __future__ import annotations

from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from tenhour.heat import balance, films, fire
from tenhour.heat import build as parts
from tenhour.model.heat_answer import NightSpot
from tenhour.words import heat as words
from tenhour.year.answers.coldnight import hold_degc, night_of
from tenhour.year.warm.helps import FAN_FILM_W_M2_K
from tenhour.year.warm.warmth import Winters, wished_air


class _Part(NamedTuple):
    """A share of some difference, in still air and with a fan, each with its error."""

    still: float
    still_error: float
    fan: float
    fan_error: float


FALLING: Final = _Part(0.25, 0.12, 0.1, 0.08)
"""Air 10 cm from a pane, as a share of room air less pane: what falls along it is 5-10 cm thick. Judgement."""
POOLED: Final = _Part(0.4, 0.2, 0.15, 0.1)
"""The same in a corner at the floor, where two sheets meet and lie: edges of a tunnel 10 m wide are 2 K colder than
its middle (Wien, read in an abstract). Judgement."""
LAYERED: Final = _Part(0.1, 0.06, 0.02, 0.03)
"""Ridge over crops, as a share of room air less outdoors while a heater gives warm air: roofs 2-5 K warmer (practice).
Derived from 3 K at 30 K."""
LAYERED_COLD: Final = _Part(0.0, 0.03, 0.0, 0.01)
"""The same in an unheated house, whose coldest face is its roof. Judgement."""
LEAF_SEES_PANE: Final = 0.5
"""Half of what a leaf beside the glass sees is the glass. Geometry."""
LEAF_FILM: Final = (4.0, 1.5, 8.0, 2.0)
"""Convection of a leaf's two sides per area of one, still and stirred [W m⁻² K⁻¹], each with its error. Practice."""
SENSOR_FILM_W_M2_K: Final = 10.0
"""Convection and radiation of a small sensor. Practice."""
HALF: Final = 0.5
SAME_AIR_K: Final = 0.01
"""Hours whose air a heater holds differ by rounding alone: the one with the coldest panes speaks for them."""


def spots_of(winters: Winters, out_degc: float) -> tuple[NightSpot, ...]:
    """Places on the coldest night of a year.

    Parameters: winters; out_degc, lowest outdoors.
    Method: differences to the middle of the house at the height of crops, as shares of room air less pane, or less
    outdoors, in the coldest hour; a leaf in balance with its air, pane and room. docs/method/heat.md.
    """
    doy = int(np.argmin(winters.light.outdoors.temp_degc))
    night = night_of(winters, doy, out_degc, "clear", "calm")
    stirred = replace(winters.heat.build, cover_film_w_m2_k=FAN_FILM_W_M2_K)
    still, fan = balance.run_together([(winters.heat.build, night.drive), (stirred, night.drive)], [night.begin] * 2)
    glazed = np.array([cased.glazed for cased in winters.heat.skin])
    if not glazed.any():
        return ()
    gaps = [_gaps(run, glazed, out_degc) for run in (still, fan)]
    heated = bool(still.heat_w.max() > 0.0)
    rows = [(words.MIDDLE(), _Part(0.0, 0.3, 0.0, 0.2), (0.0, 0.0)), (words.BY_GLASS(), FALLING, _pane(gaps, -1.0)),
            (words.CORNER(), POOLED, _pane(gaps, -1.0)),
            (words.RIDGE(), LAYERED if heated else LAYERED_COLD, tuple(gap.out_k for gap in gaps))]  # fmt: skip
    found = [_spot(*row) for row in rows]
    if heated:
        found.append(_near_heater(gaps))
    coldest = min(spot.still_k for spot in found)
    hold, swing = hold_degc(winters.house), wished_air(winters.house).swing_k
    found = [replace(spot, set_degc=hold + swing + spot.still_k - coldest) for spot in found]
    return (*found, _leaves(gaps))


class _Gaps(NamedTuple):
    pane_k: float
    """Room air less the mean inner face of the panes, in the coldest hour."""
    room_k: float
    """Room air less the surfaces of floor and beds."""
    out_k: float
    heat_w: float


def _gaps(run: parts.Run, glazed: np.ndarray, out_degc: float) -> _Gaps:
    panes = run.cover_degc[:, 0][:, glazed].mean(axis=1)
    lowest = run.air_degc[:, 0] <= run.air_degc[:, 0].min() + SAME_AIR_K
    at = int(np.where(lowest, panes, np.inf).argmin())
    air, pane = float(run.air_degc[at, 0]), float(panes[at])
    return _Gaps(air - pane, air - float(run.zone_degc[at, 0].mean()), air - out_degc, float(run.heat_w[at, 0]))


def _pane(gaps: list[_Gaps], sign: float) -> tuple[float, ...]:
    return tuple(sign * gap.pane_k for gap in gaps)


def _spot(name: str, part: _Part, gap_k: tuple[float, ...]) -> NightSpot:
    """Own errors of a share grow with the difference; a thermometer's 0.3 K is always there."""
    own = 0.3
    return NightSpot(
        name, part.still * gap_k[0], float(np.hypot(part.still_error * gap_k[0], own)), part.fan * gap_k[1],
        float(np.hypot(part.fan_error * gap_k[1], own)), None,
    )  # fmt: skip


def _near_heater(gaps: list[_Gaps]) -> NightSpot:
    """A sensor 1 m from the heater in its radiation: a P / (4 π r²) over four sides of it."""
    rise = [fire.RADIANT_FRAC * gap.heat_w / (4.0 * np.pi) / 4.0 / SENSOR_FILM_W_M2_K for gap in gaps]
    return NightSpot(words.NEAR_HEATER(), rise[0] + HALF, rise[0] * HALF + 1.0, rise[1], rise[1] * HALF + HALF, None)


def _leaves(gaps: list[_Gaps]) -> NightSpot:
    radiation = float(films.radiation_film_w_m2_k(0.0)) * films.EMISSIVITY_FRAC
    still, still_error, fan, fan_error = LEAF_FILM
    out = []
    for gap, film, error, part in (
        (gaps[0], still, still_error, FALLING.still),
        (gaps[1], fan, fan_error, FALLING.fan),
    ):
        air = -part * gap.pane_k
        seen = -LEAF_SEES_PANE * gap.pane_k - (1.0 - LEAF_SEES_PANE) * gap.room_k
        middle, less = ((film_w * air + radiation * seen) / (film_w + radiation) for film_w in (film, film - error))
        out += [middle, float(np.hypot(less - middle, HALF))]
    return NightSpot(words.LEAVES(), out[0], out[1], out[2], out[3], None)
