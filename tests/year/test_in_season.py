"""For a household only what is sown in its season counts; days outside it give nothing, and change nothing else."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tenhour.year.crops.larder import Harvests
from tenhour.year.feed.grown import _in_season


def test_out_of_season_nothing_comes_and_in_season_all_stays() -> None:
    """Two crops of the world's list, one bed, three sowings, two draws."""
    rng = np.random.default_rng(3)
    shape = (2, 1, 3, 2)
    ready = rng.uniform(5.0, 20.0, shape)
    grown = Harvests((4, 1), np.zeros((2, 3), np.intp), ready, ready + 6.0, np.full(shape, 900.0), None)
    picked = replace(grown, week_g_m2=rng.uniform(1.0, 80.0, (7, *shape)))
    season = np.ones((5, 3), dtype=np.bool_)
    assert _in_season(grown, season) is grown
    season[4, 1] = season[1, 2] = season[2, 0] = False
    for one in (grown, picked):
        found = _in_season(one, season)
        out = np.zeros(shape, dtype=np.bool_)
        out[0, :, 1] = out[1, :, 2] = True
        assert np.isnan(found.ready_week[out]).all()
        assert np.array_equal(found.ready_week[~out], ready[~out])
    assert picked.week_g_m2 is not None
    assert found.week_g_m2 is not None
    assert (found.week_g_m2[:, out] == 0.0).all()
    assert np.array_equal(found.week_g_m2[:, ~out], picked.week_g_m2[:, ~out])
