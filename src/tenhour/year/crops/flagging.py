"""What threatens a sowing beside slow growth: cold nights, heat, bolting, bulbing and too little light."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from tenhour.growth import flags
from tenhour.growth.hardening import SCORCH_K, Harm
from tenhour.growth.shapes import BedClimate
from tenhour.growth.temperature import growth_frac, hour_weighted
from tenhour.model.crop import Crop
from tenhour.model.season import SowFlag
from tenhour.plan.dates import DAYS, day_index
from tenhour.plan.ranges import straight
from tenhour.words import remarks as words
from tenhour.words.text import joined
from tenhour.year.crops import growing
from tenhour.year.crops.nights import Nights, Stay
from tenhour.year.warm.warmth import MIDDLE_FRAC, RARE_FRAC
from tenhour.year.world import World

if TYPE_CHECKING:
    from tenhour.year.crops.grown import Table

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]

HOT_SHARE: Final = 0.25
"""Share of a crop's days above its limit from which it counts as too hot: judgement."""
BOLTS_ANYWAY: Final = frozenset({"transplant"})
"""Plants that leave the house young are not followed to flower."""


@dataclass(frozen=True)
class Threats:
    """What threatens the sowings of every day of the year, arrays [C, B, 365]."""

    killed: Bools
    scorched: Bools
    """Outer leaves alone are hurt."""
    risky: Bools
    """One winter in ten kills or chills what the middle one spares."""
    chilled: Bools
    bolts: Bools
    bulbs: Bools
    hot: Bools
    starved: Bools
    bolting_d: Array
    """Days from sowing until it turns to flower; NaN where it does not within a year."""

    @property
    def harmed(self) -> Bools:
        """Whether a cold night ends it."""
        return np.asarray(self.killed | self.chilled)

    def named(self) -> dict[SowFlag, Bools]:
        """Each threat by the name it carries in answers."""
        return {
            "killed": self.killed, "chilled": self.chilled & ~self.killed, "scorched": self.scorched,
            "risky": self.risky, "bolts": self.bolts, "bulbs": self.bulbs, "hot": self.hot, "starves": self.starved,
        }  # fmt: skip


def threats_of(
    crops: Sequence[Crop],
    world: World,
    climate: BedClimate,
    nights: Nights,
    *,
    sown_doy: NDArray[np.intp],
    sown_emergence_d: Array,
    emergence_d: Array,
    days: Array,
    starved: Bools,
    rare: bool = True,
) -> Threats:
    """Every threat to sowings of every crop on every bed.

    Parameters: nights, of these crops; sown_doy [S], the days on which growth was followed, and sown_emergence_d
    [C, B, S] of those; then by day of sowing [C, B, 365] emergence_d, days, median days to harvest, and starved; rare,
    whether one winter in ten is asked about too.
    """
    sow_doy, emergence = np.arange(DAYS), emergence_d
    shares = (MIDDLE_FRAC, RARE_FRAC) if rare else (MIDDLE_FRAC,)
    found = nights.leasts_of_stays_k(sow_doy, emergence, days, shares)
    least, in_ten = found[0], found[-1]
    frost = nights.frost_degc
    chills = np.isfinite(frost[:, 2])[:, None, None]
    kills_below = np.where(np.isfinite(frost[:, 2]), frost[:, 2] - frost[:, 1], 0.0)[:, None, None]
    bolting = straight(bolting_days(crops, world.photoperiod_h, climate, sown_doy, sown_emergence_d), sown_doy)
    follow = np.array([crop.way not in BOLTS_ANYWAY for crop in crops], dtype=np.bool_)[:, None, None]
    end = np.where(np.isfinite(days), days, growing.FIRST_D)
    bulb = growing.column(crops, growing.part("bolting", "bulbing_photoperiod_h", np.nan))
    long_days = np.atleast_2d(world.photoperiod_h)[None] >= bulb[:, None, None]
    limit = growing.column(crops, growing.part("climate", "most_mean_degc", np.nan))
    warm = growing.mean_temp_degc(climate)[None] > limit[:, None, None]
    carbon = np.array([crop.grows_by_carbon for crop in crops], dtype=np.bool_)[:, None, None]
    zero = np.zeros_like(end)
    return Threats(
        killed=least + kills_below <= 0.0,
        scorched=~chills & (least > 0.0) & (least <= SCORCH_K),
        risky=(least > 0.0) & (in_ten <= 0.0),
        chilled=chills & (least <= 0.0),
        bolts=follow & (bolting < np.where(np.isnan(days), np.inf, days)),
        bulbs=_share_of(np.broadcast_to(long_days, warm.shape), sow_doy, zero, end) > 0.0,
        hot=carbon & (_share_of(warm, sow_doy, zero, end) > HOT_SHARE),
        starved=starved,
        bolting_d=bolting,
    )


def _share_of(marks: Bools, sow_doy: NDArray[np.intp], from_d: Array, to_d: Array) -> Array:
    """Share of the days from_d to to_d after sowing that are marked [C, B, S]; marks are [C, B, 365]."""
    twice = np.concatenate([marks, marks], axis=-1)
    total = np.concatenate([np.zeros((*marks.shape[:-1], 1)), np.cumsum(twice, axis=-1)], axis=-1)
    first = sow_doy + np.minimum(from_d, DAYS - 1).astype(np.intp)
    last = np.minimum(sow_doy + np.maximum(to_d, 1).astype(np.intp), 2 * DAYS)
    first = np.minimum(first, last - 1)
    found = np.take_along_axis(total, last, axis=-1) - np.take_along_axis(total, first, axis=-1)
    return np.asarray(found / (last - first))


def bolting_days(
    crops: Sequence[Crop], photoperiod_h: Array, climate: BedClimate, sow_doy: NDArray[np.intp], emergence_d: Array
) -> Array:
    """Days from sowing until each crop runs to flower [C, B, S]; NaN where it does not within a year.

    Parameters: photoperiod_h [365] or [B, 365]; sow_doy [S]; emergence_d [C, B, S]. By day length (with lamps), by
    cold once it is past its youth, by both where it needs both, or by a sum of warmth; the first that comes.
    """
    found = np.full(emergence_d.shape, np.nan)
    rows = [n for n, crop in enumerate(crops) if crop.bolting is not None]
    if not rows:
        return found
    some = [crops[n] for n in rows]
    temp = growing.mean_temp_degc(climate)
    long_day = np.broadcast_to(photoperiod_h, temp.shape)
    turned = flags.bolting_d(
        long_day,
        temp,
        sow_doy,
        limit_h=growing.column(some, growing.part("bolting", "photoperiod_h", np.nan)),
        cold_degc=growing.column(some, growing.part("bolting", "cold_degc", np.nan)),
        cold_d=growing.column(some, growing.part("bolting", "cold_d", np.nan)),
        grown_d=_youth_end_d(some, climate, sow_doy, emergence_d[rows]),
    )
    heated = flags.heat_bolting_d(
        temp,
        sow_doy,
        growing.column(some, growing.part("bolting", "heat_base_degc", np.nan)),
        growing.column(some, growing.part("bolting", "heat_sum_degcday", np.nan)),
    )
    found[rows] = np.fmin(turned, heated)
    return found


def _youth_end_d(crops: Sequence[Crop], climate: BedClimate, sow_doy: NDArray[np.intp], emergence_d: Array) -> Array:
    """Days from sowing until a crop has the leaves from which cold counts, at the pace of warmth [C, B, S]."""
    out = emergence_d.copy()
    for n, crop in enumerate(crops):
        leaves = growing.part("bolting", "juvenile_leaves_count", 0.0)(crop)
        if leaves <= 0.0 or crop.growth is None:
            continue
        g = crop.growth
        cardinal = (g.temp_min_degc.value, g.temp_opt_degc.value, g.temp_max_degc.value)
        day, night = (growth_frac(part, *cardinal) for part in (climate.temp_day_degc, climate.temp_night_degc))
        pace = hour_weighted(day, night, climate.lit_h) * g.leaf_rate_per_d.value
        for bed in range(len(pace)):
            total = np.cumsum(np.tile(pace[bed], 3))
            begin = sow_doy + np.nan_to_num(emergence_d[n, bed]).astype(np.intp)
            grown = np.searchsorted(total, total[begin] + leaves) - sow_doy
            done = np.isfinite(emergence_d[n, bed]) & (grown < DAYS)
            out[n, bed] = np.where(done, grown, np.nan)
    return out


def flags_of(table: Table, crop: int, bed: int, on: date, stay: Stay | None) -> tuple[str, ...]:
    """Flags of the sowing on a date, as sentences: bolting, bulbing, heat, starving, the cold of a stay if given."""
    chosen, found, day = table.crops[crop], table.threats, day_index(on)
    out = []
    if found.starved[crop, bed, day]:
        out.append(words.STARVES())
    if found.bolts[crop, bed, day]:
        when = on + timedelta(days=round(float(found.bolting_d[crop, bed, day])))
        out.append(words.MAY_FLOWER(on=when))
    if found.hot[crop, bed, day]:
        limit = growing.value_of(chosen.climate.most_mean_degc)
        out.append(words.TOO_HOT(limit=limit))
    if found.bulbs[crop, bed, day] and chosen.bolting is not None:
        hours = growing.value_of(chosen.bolting.bulbing_photoperiod_h)
        out.append(words.MAY_BULB(length=hours))
    frost = "" if stay is None else _frost_text(table, crop, stay)
    return (*out, frost) if frost else tuple(out)


def _frost_text(table: Table, crop: int, stay: Stay) -> str:
    """What cold nights do, where they do something in one winter of ten at least; empty where it is safe."""
    if stay.rare_harm is Harm.SAFE:
        return ""
    hardened, tender, chill = table.nights.frost_degc[crop].tolist()
    parts = [words.COLDEST(lowest=stay.lowest_degc, rare=stay.rare_degc)]
    if np.isfinite(chill):
        return joined([*parts, words.CHILL_HARMS(limit=chill)])
    parts.append(words.FROST_DOES[int(stay.harm), int(stay.rare_harm)]())
    both = words.STANDS_FROST if hardened < tender else words.STANDS_ANY_FROST
    return joined([*parts, both(hardened=hardened, tender=tender)])
