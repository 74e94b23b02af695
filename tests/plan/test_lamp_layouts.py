"""Lamps over random beds and shelves: they can be hung, they keep the photons, the clock adds up to the electricity."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers_long import many
from tenhour.errors import NoAnswer
from tenhour.files.lamp_kinds import load_kinds
from tenhour.lamps.layout import CORD_GAP_M, HAND_GAP_M, BedSize
from tenhour.lamps.search import choose, effort_w
from tenhour.model.lamp import LampNeed, LampRequest
from tenhour.plan.lamp_clock import SunClock
from tenhour.plan.lamp_hang import Gap, Place, _chosen, beams_of, hang, heights_m
from tenhour.plan.lamp_job import dark_bed
from tenhour.plan.lighting import job_of, size_bed

KINDS = ("led-bar", "led-panel", "led-bulb", "t5-tube")
NONE = np.zeros(12)
DARK = SunClock(NONE, NONE, NONE, NONE, "Europe/Berlin")
sizes = st.tuples(st.floats(0.3, 6.0), st.floats(0.25, 1.6))


@given(
    sizes, st.sampled_from(KINDS), st.floats(2.0, 20.0), st.floats(0.4, 1.5), st.floats(0.0, 0.3), st.floats(0.3, 0.8)
)
@settings(deadline=None, derandomize=True, max_examples=many(5, 150))
def test_nothing_overlaps_sticks_out_or_hangs_too_low(
    size: tuple[float, float], kind: str, dli: float, headroom: float, spare: float, even: float
) -> None:
    lamp, place = load_kinds()[kind], Place(BedSize(*size), headroom_m=headroom, spare_m=spare)
    try:
        found, _ = hang(place, lamp, Gap(dli, 0.0, 16.0, even), None, None)
    except NoAnswer:
        return
    beam, turn = found.layout.lamp.beam, found.fixtures.turn_deg[0]
    own = np.array([beam.length_m, beam.width_m] if turn == 0.0 else [beam.width_m, beam.length_m])
    centre = found.fixtures.centre_m[:, :2]
    apart = np.abs(centre[:, None] - centre[None, :]) - own
    gap = apart.max(axis=2)[~np.eye(len(centre), dtype=bool)]
    assert not gap.size or gap.min() >= min(CORD_GAP_M, HAND_GAP_M) - 1e-6
    reach = min(0.2, spare) + 1e-6
    assert (centre - own / 2 >= -reach).all()
    assert (centre + own / 2 <= np.array(size) + reach).all()
    assert lamp.clearance_m - 1e-6 <= found.layout.height_m <= headroom - lamp.clearance_above_m + 1e-6
    assert 0.0 < found.light.cu_frac <= 1.0
    landed = found.light.mean_umol_m2_s * size[0] * size[1]
    assert landed <= beam.ppf_umol_s * len(centre) * (1 + 1e-6)
    assert found.light.min_umol_m2_s <= found.light.mean_umol_m2_s <= found.light.max_umol_m2_s


@given(sizes, st.sampled_from(KINDS), st.floats(2.0, 15.0), st.integers(1, 4))
@settings(deadline=None, derandomize=True, max_examples=many(4, 60))
def test_electricity_is_the_sum_over_clock_and_dimming(
    size: tuple[float, float], kind: str, dli: float, tiers: int
) -> None:
    bed = dark_bed("shelf", Place(BedSize(*size)), DARK, tiers)
    request = LampRequest(target_dli_mol_m2_d=dli, sized_on="mean")
    try:
        found = size_bed(job_of(bed, [LampNeed("x", "x", dli)], load_kinds()[kind], request, date(2026, 11, 28)))
    except NoAnswer:
        return
    assert found is not None
    hours = sum(plan.lamp_h for day in found.clock.billed if (plan := found.clock.plans[day.month - 1]) is not None)
    assert np.isclose(found.clock.bill.energy_kwh, hours * found.power_w * found.output_frac / 1000.0)
    assert 0.0 < found.output_frac <= 1.0
    run = found.delivered_umol_m2_s * found.output_frac
    wanted = min(found.needed_umol_m2_s, found.delivered_umol_m2_s)
    assert run >= wanted * (1 - 1e-9)
    assert found.power_w == found.fixtures_count * found.hanging.layout.lamp.power_w


@pytest.mark.parametrize("size", [(1.0, 0.6), (1.25, 0.5), (1.5, 1.0)])
@pytest.mark.parametrize("wanted_umol_m2_s", [100.0, 200.0])
def test_fixtures_hang_beyond_the_bed_only_where_that_takes_less(
    size: tuple[float, float], wanted_umol_m2_s: float
) -> None:
    lamp, place, beyond_m = load_kinds()["led-bar"], Place(BedSize(*size), headroom_m=0.9, spare_m=0.2), 0.2
    beams, heights = beams_of(lamp), heights_m(place, lamp, 0.9)
    ways = [choose(place.size, beams, wanted_umol_m2_s, 0.6, *heights, out_m, beyond_m) for out_m in (0.0, beyond_m)]
    assert all(way.even_enough and way.bright_enough for way in ways)
    found = _chosen(place, beams, wanted_umol_m2_s, 0.6, heights, beyond_m)
    assert effort_w(found.layout) == min(effort_w(way.layout) for way in ways)
