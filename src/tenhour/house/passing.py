"""From the pieces of the skin to the points: pieces whose panes change alike are taken together."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.house.patches import IntArray
from tenhour.house.shapes import FloatArray
from tenhour.house.transfer import Diffused, Source


class Passing(NamedTuple):
    """All light of some emitters by the way it takes to the p points, kept apart by piece of skin."""

    straight: Source
    landed: Source
    mirrored: Source
    """Receivers are places among the patches of soil that have points on them."""
    panes: Diffused
    place: IntArray
    """[p], each point's place among those patches."""
    soil_m2: FloatArray
    """Their areas."""
    to_points: FloatArray
    """[p, groups], light at the points per density of the diffusing panes' groups."""
    by_bounce: FloatArray
    """[p, groups], the same after bounces."""
    bounced_per_m2: FloatArray
    """[p, patches], light at the points after bounces per light landed on the patches."""
    absorbed: FloatArray
    """[pieces, patches], what opaque pieces absorb of the light landed on the patches."""
    absorbed_by_panes: FloatArray
    """[pieces, groups], the same of the diffusing panes' light."""
    emitters: int

    def by_state(self, factors: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Direct and bounced light at the points, and what the pieces absorb, in each state of the panes.

        Parameters: factors [states, pieces], on what passes [-].
        Returns: two arrays [states, p, emitters], one [states, pieces, emitters].
        Method: sum over the pieces of factor × light through them (docs/method/house.md). Rays are summed once for
        each set of pieces whose panes change alike, or once for each state where there are fewer of those.
        """
        alike, kind = np.unique(factors, axis=1, return_inverse=True)
        if len(factors) < alike.shape[1]:
            whole = np.ones(len(factors[0]), dtype=bool)
            found = [self.dimmed(state)._through(whole) for state in factors]
            direct, bounced, kept = (np.array(part) for part in zip(*found, strict=True))
            return direct, bounced, kept
        parts = [self._through(kind.ravel() == k) for k in range(alike.shape[1])]
        direct, bounced, kept = (np.tensordot(alike, np.array(part), axes=1) for part in zip(*parts, strict=True))
        return direct, bounced, kept

    def dimmed(self, factor: FloatArray) -> Passing:
        """The same light with a factor [pieces] on what passes."""
        rays = {name: getattr(self, name) for name in ("straight", "landed", "mirrored")}
        sent = self.panes.density * factor[self.panes.piece][:, None]
        return self._replace(
            panes=self.panes._replace(density=sent),
            **{name: source._replace(weight=source.weight * factor[source.piece]) for name, source in rays.items()},
        )

    def _through(self, which: NDArray[np.bool_]) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Direct and bounced light at the points [p, emitters] and absorbed light through some pieces of the skin."""
        group = which[self.panes.piece]
        sent = self.panes.density[group]
        straight, landed, mirrored = (rays.through(which) for rays in (self.straight, self.landed, self.mirrored))
        by_mirror = mirrored.added((len(self.soil_m2), self.emitters)) / self.soil_m2[:, None]
        direct = straight.added((len(self.place), self.emitters)) + by_mirror[self.place]
        on_patches = landed.summed((self.bounced_per_m2.shape[1], self.emitters))
        return (
            direct + self.to_points[:, group] @ sent,
            self.bounced_per_m2 @ on_patches + self.by_bounce[:, group] @ sent,
            self.absorbed @ on_patches + self.absorbed_by_panes[:, group] @ sent,
        )
