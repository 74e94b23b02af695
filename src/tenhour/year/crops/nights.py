"""Nights of every winter held against what crops stand in the state in which each night finds them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.growth.hardening import Harm, hardening_frac, harm, kill_degc
from tenhour.model.crop import Crop
from tenhour.plan.dates import DAYS
from tenhour.plan.season import Singles, doublings, least_within
from tenhour.year.crops import growing
from tenhour.year.warm.warmth import MIDDLE_FRAC, RARE_FRAC, IndoorAir, of_sorted, share_of

Array = NDArray[np.float64]
Index = NDArray[np.intp]

NO_HARVEST_SPAN_D: Final = 60
"""Days from emergence over which nights are looked at where no harvest comes: judgement."""
MOST_HELD_BYTES: Final = 160_000_000
"""Tables of margins held at once; the house of four beds needs 6 MB for all its crops, fifty sites of an atlas 140.
Judgement."""


def _same(one: int, other: int, *of_crops: Index) -> bool:
    return all(np.array_equal(values[one], values[other]) for values in of_crops)


@dataclass(frozen=True)
class Stay:
    """The cold that one crop meets on one bed between two days, over winters."""

    lowest_degc: float
    """Lowest night of the stay, median over winters."""
    rare_degc: float
    """The same in one winter in ten."""
    limit_degc: float
    """What kills (or chills) it on the night that comes nearest to it, median over winters."""
    harm: Harm
    """What the middle winter does; a night that chills a warm crop ends it."""
    rare_harm: Harm
    """What one winter in ten does."""


@dataclass(frozen=True)
class Nights:
    """Crops [C] and the air of beds [B] over winters [W], by day of the year."""

    crops: tuple[Crop, ...]
    air: IndoorAir

    @cached_property
    def hardened_frac(self) -> Array:
        """Hardening with which each night is met, that of the day before it [W, B, 365]."""
        air = self.air
        low, day = (np.roll(part, -air.first_doy, axis=-1) for part in (air.lows_degc, air.lit_degc))
        state = hardening_frac(low, day)
        return np.roll(np.concatenate([state[..., :1], state[..., :-1]], axis=-1), air.first_doy, axis=-1)

    @cached_property
    def frost_degc(self) -> Array:
        """Nights that kill each crop hardened and not, and one that chills it, or NaN [C, 3]."""
        return np.array([growing.frost_degc(crop) for crop in self.crops]).reshape(-1, 3)

    @cached_property
    def _margins(self) -> dict[tuple[float, ...], Singles]:
        return {}

    @cached_property
    def _limits(self) -> dict[tuple[float, ...], Array]:
        return {}

    def _alike(self, crop: int) -> tuple[float, ...]:
        """What crops share that stand the same nights."""
        return tuple(np.nan_to_num(self.frost_degc[crop], nan=-np.inf).tolist())

    def _levels(self, crop: int) -> Singles:
        """Margins of a crop as windows are looked up in; of a house of many beds no more are held than fit."""
        alike = self._alike(crop)
        if alike not in self._margins:
            found = doublings(self.air.lows_degc - self.limit_degc(crop))
            while self._margins and (len(self._margins) + 1) * found.nbytes > MOST_HELD_BYTES:
                del self._margins[next(iter(self._margins))]
            self._margins[alike] = found
        return self._margins[alike]

    def limit_degc(self, crop: int) -> Array:
        """Night that kills, or for warm crops chills, by the crop's state [W, B, 365]."""
        alike = self._alike(crop)
        if alike not in self._limits:
            hardened, tender, chill = self.frost_degc[crop].tolist()
            self._limits[alike] = np.asarray(np.fmax(kill_degc(hardened, tender, self.hardened_frac), chill))
        return self._limits[alike]

    def least_k(self, crop: int, begin: ArrayLike, length_d: ArrayLike) -> Array:
        """How far the nights of a stay keep above what ends a crop, in half of the winters not even that [B, S].

        Parameters: crop; begin, day of the year, and length_d, 1 to 365, broadcast to [B, S].
        Returns: least margin of the stay [K], below 0 it is killed or chilled.
        """
        return self._leasts_k(crop, begin, length_d, (MIDDLE_FRAC,))[0]

    def _leasts_k(self, crop: int, begin: ArrayLike, length_d: ArrayLike, shares: Sequence[float]) -> list[Array]:
        """The same in each of some shares of the winters."""
        levels = self._levels(crop)
        first, length = np.broadcast_arrays(np.asarray(begin, np.intp), np.clip(np.asarray(length_d, np.intp), 1, DAYS))
        shape = (levels.shape[1], first.shape[-1])
        least = least_within(levels, np.broadcast_to(first, shape), np.broadcast_to(length, shape))
        least.sort(axis=-1)  # winters lie side by side
        winters = np.moveaxis(least, -1, 0)
        return [np.asarray(of_sorted(winters, share), dtype=np.float64) for share in shares]

    def least_of_stays_k(self, sow_doy: Index, from_d: Array, to_d: Array) -> Array:
        """The same in half of the winters for sowings of every crop [C, B, S]; see :meth:`leasts_of_stays_k`."""
        return np.asarray(self.leasts_of_stays_k(sow_doy, from_d, to_d, (MIDDLE_FRAC,))[0])

    def leasts_of_stays_k(self, sow_doy: Index, from_d: Array, to_d: Array, shares: Sequence[float]) -> Array:
        """The same in each of some shares of the winters [N, C, B, S].

        Parameters: sow_doy [S]; from_d, to_d, days after sowing between which it stands [C, B, S]; NaN from_d counts as
        0, NaN to_d as 60 days later; shares, of winters.
        """
        begin = np.nan_to_num(from_d, nan=0.0).astype(np.intp)
        end = np.where(np.isfinite(to_d), np.nan_to_num(to_d), begin + NO_HARVEST_SPAN_D).astype(np.intp)
        out = np.zeros((len(shares), *begin.shape))
        before: int | None = None
        for n in sorted(range(len(self.crops)), key=self._alike):  # those that stand the same share a table
            if before is not None and self._alike(before) == self._alike(n) and _same(before, n, begin, end):
                out[:, n] = out[:, before]
            else:
                out[:, n] = self._leasts_k(n, sow_doy + begin[n], end[n] - begin[n], shares)
            before = n
        return out

    @cached_property
    def _ends(self) -> dict[tuple[float, ...], Array]:
        return {}

    def until_d(self, crop: int) -> Array:
        """Days from each day of the year to the night that ends a crop, median over winters [B, 365]; inf if none."""
        alike = self._alike(crop)
        if alike not in self._ends:
            self._ends[alike] = self._until_d(crop)
        return self._ends[alike]

    def _until_d(self, crop: int) -> Array:
        ends = self.air.lows_degc <= self.limit_degc(crop)
        twice = np.where(np.concatenate([ends, ends], axis=-1), np.arange(2 * DAYS), np.inf)
        following = np.minimum.accumulate(twice[..., ::-1], axis=-1)[..., ::-1][..., :DAYS]
        middle = np.median(np.minimum(following - np.arange(DAYS), 2 * DAYS), axis=0)
        return np.asarray(np.where(middle <= DAYS, middle, np.inf))

    def stay(self, crop: int, bed: int, begin: int, length_d: int) -> Stay:
        """The cold of one stay on one bed, from a day of the year: its lowest nights and what they do."""
        span = (begin + np.arange(max(length_d, 1))) % DAYS
        lows, limit = self.air.lows_degc[:, bed, span], self.limit_degc(crop)[:, bed, span]
        worst = (lows - limit).argmin(axis=1)
        least, lowest = (lows - limit).min(axis=1), lows.min(axis=1)
        return Stay(
            lowest_degc=float(share_of(lowest, MIDDLE_FRAC)),
            rare_degc=float(share_of(lowest, RARE_FRAC)),
            limit_degc=float(share_of(limit[np.arange(len(worst)), worst], MIDDLE_FRAC)),
            harm=self._harm(crop, float(share_of(least, MIDDLE_FRAC))),
            rare_harm=self._harm(crop, float(share_of(least, RARE_FRAC))),
        )

    def _harm(self, crop: int, least_k: float) -> Harm:
        found = Harm(int(harm(least_k)))
        chills = bool(np.isfinite(self.frost_degc[crop, 2]))
        return Harm.SAFE if chills and found is Harm.SCORCHED else found
