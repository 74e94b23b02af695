"""One fixture tabulated by distance against the same fixtures summed one by one."""

from __future__ import annotations

import numpy as np
import pytest

from tenhour.lamps.beam import IntensityTable
from tenhour.lamps.fixtures import Beam, level_ppfd_umol_m2_s
from tenhour.lamps.layout import Arrangement, BedSize, light_map_umol_m2_s, places_m
from tenhour.lamps.stamp import COARSE_RATIO, FINE_RATIO

LOPSIDED = IntensityTable(
    np.array([0.0, 90.0]), np.array([0.0, 180.0, 360.0]), np.array([[30.0, 60.0], [30.0, 0.0], [30.0, 60.0]])
)
BEAMS = [Beam(104.0, 1.15, 0.05), Beam(260.0, 0.3, 0.3), Beam(20.0, 0.06, 0.06, 2.0), Beam(96.0, 1.2, 0.0)]


@pytest.mark.parametrize(("step", "error"), [(FINE_RATIO, 1e-3), (COARSE_RATIO, 6e-3)])
@pytest.mark.parametrize("beam", [*BEAMS, Beam(100.0, 0.2, 0.2, table=LOPSIDED)], ids=str)
@pytest.mark.parametrize("along_x", [True, False])
def test_the_table_gives_the_light_of_the_formulas(beam: Beam, along_x: bool, step: float, error: float) -> None:
    """Error said in the module: cubic between nodes an eighth (a quarter) of the lowest height apart."""
    bed, heights = BedSize(2.4, 1.2), np.array([0.2, 0.35])
    a = Arrangement(3, 2, along_x, 0.5, 0.0)
    x, y = np.linspace(-1.2, 1.2, 31), np.linspace(-0.6, 0.6, 17)
    got = light_map_umol_m2_s(bed, beam, a, heights, x, y, step)
    exact = np.zeros_like(got)
    for px, py in places_m(bed, beam, a):
        dx, dy = np.broadcast_arrays(x[:, None] - px, y[None, :] - py)
        along, across = (dx, dy) if along_x else (dy, -dx)
        exact += level_ppfd_umol_m2_s(beam, along, across, heights[:, None, None])
    table = 5.0 if beam.table is not None else 1.0  # straight lines between its angles have corners
    assert np.abs(got - exact).max() < table * error * exact.max()
