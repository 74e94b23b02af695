"""All crops × beds × sowings × draws as one array computation."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.growth import engine
from tenhour.growth.carbon import CONSTANTS, Constants
from tenhour.growth.shapes import (
    YEAR_D,
    BedClimate,
    CropArrays,
    Draws,
    GrowthRun,
    Snapshots,
    Start,
    Young,
    middle_draw,
)
from tenhour.growth.stages import days_to_reach
from tenhour.growth.tables import Weather, least_share, length_ratio, year_tables
from tenhour.growth.temperature import emergence_rate_per_d
from tenhour.pace import tell

Floats = NDArray[np.float64]
Index = NDArray[np.intp]

BLOCK_CASES: Final = 100_000
BLOCK_ROWS: Final = 3600
"""Cases followed together, so that the few that take long are few blocks' last; and rows of their day tables, which
take some 10 kB each while they are made. Measured."""

MG_PER_G: Final = 1000.0

HEAVY_CUTS: Final = 5.0
"""Short leaves that make this many times the least cut are cut all the same: bright cold stands. Judgement."""

LENGTH_POWER: Final = 0.5
"""The leaves at which people cut differ as the masses at which they harvest to this power. Judgement."""


def run(
    crops: CropArrays,
    climate: BedClimate,
    sow_doy: ArrayLike,
    draws: Draws | None = None,
    *,
    horizon_d: int = YEAR_D,
    start: Start | None = None,
    repeat: bool = False,
    snapshot_d: ArrayLike = (),
    only: NDArray[np.bool_] | None = None,
    again: NDArray[np.bool_] | None = None,
    young: Young | None = None,
    constants: Constants = CONSTANTS,
) -> GrowthRun:
    """Grow every crop in every bed from every sowing under every draw.

    Parameters: crops, C crops; climate, B beds; sow_doy, S day indexes 0-364 (0 is 1 January); draws, J draws
    (one middle draw if none); horizon_d, days after sowing looked ahead [d], at most 365; start, plants that
    already stand instead of seed; repeat, go on cutting or picking to the horizon and return weekly yields;
    snapshot_d, days after sowing to photograph [d]; only, sowings that are followed, broadcasts to
    [C, B, S]: the others come out as never; again [C], crops to which repeat is kept, whose weeks alone come out (all
    if none are told); young, when crops are cut as young leaf, to be noted on the way to their first harvest.
    Returns: :class:`GrowthRun`, arrays [C, B, S, J].
    Method: docs/method/growth.md. Daily steps; single precision, within 0.5 % of mass of the exact day.
    """
    draw = middle_draw() if draws is None else draws
    sowings = np.atleast_1d(np.asarray(sow_doy, dtype=np.intp)) % YEAR_D
    shots = np.atleast_1d(np.asarray(snapshot_d, dtype=np.float64))
    shape = (len(crops), len(climate), len(sowings), len(draw))
    job = _Job(climate, sowings, draw, horizon_d, repeat, shots, constants)
    some = None if only is None else np.broadcast_to(only, shape[:3])
    cut_again = np.full(shape[0], repeat) if again is None else again & repeat
    rows = max(1, shape[1] * shape[3])
    group = max(1, min(BLOCK_CASES // max(1, rows * shape[2]), BLOCK_ROWS // rows))
    starts = _spread_start(start, shape)
    parts = []
    for first in range(0, shape[0], group):
        which = slice(first, first + group)
        own = replace(
            job, draws=draw.of_crops(which), again=cut_again[which],
            only=None if some is None else some[which], young=None if young is None else young.take(which),
        )  # fmt: skip
        parts.append(_run_block(crops.take(which), own, None if starts is None else starts[:, which]))
        tell(min(first + group, shape[0]), shape[0], "crops")
    return _join(parts, bool(len(shots)))


@dataclass(frozen=True)
class _Job:
    """What all blocks of a run share."""

    climate: BedClimate
    sow_doy: Index
    draws: Draws
    horizon_d: int
    repeat: bool
    snapshot_d: Floats
    constants: Constants
    only: NDArray[np.bool_] | None = None
    again: NDArray[np.bool_] | None = None
    young: Young | None = None


def _spread_start(start: Start | None, shape: tuple[int, ...]) -> Floats | None:
    if start is None:
        return None
    parts = (start.mass_g_m2, start.leaves_count, start.day_d)
    return np.stack([np.broadcast_to(np.asarray(part, dtype=np.float64), shape) for part in parts])


def _run_block(crops: CropArrays, job: _Job, start: Floats | None) -> GrowthRun:
    """Run some crops; cases are laid out [S, C, B, J] so that neighbours share a day of weather."""
    climate, draws = job.climate, job.draws
    shape = (len(crops), len(climate), len(job.sow_doy), len(draws))
    rows = shape[0] * shape[1] * shape[3]
    tables = _tables(crops, job)
    begin = _emergence(crops, job) if start is None else start[2].astype(np.float64)
    if job.only is not None:
        begin = np.where(job.only[..., None], begin, np.nan)
    cases = _cases(crops, job, begin, start, rows)
    total = shape[2] * rows
    by_leaves, again = (
        None if part is None else _spread(part, shape).astype(np.bool_) for part in (crops.by_leaves, job.again)
    )
    assert by_leaves is not None
    plan = engine.Plan(
        job.horizon_d, again if job.repeat else None, job.snapshot_d, by_leaves, young=job.young is not None
    )
    out = engine.Loop(tables, cases, engine.empty_outcome(total, plan), plan, job.constants).run()
    return _result(crops, job, out, begin, shape, start is not None and job.repeat)


def _tables(crops: CropArrays, job: _Job) -> engine.Tables:
    """Day coefficients [365, R], or [1, R] where all days are alike."""
    climate, draws = job.climate, job.draws
    factor = draws.light_factor
    if factor.ndim == 1 and climate.steady:
        climate = climate.day_of_steady()
    light = factor if factor.ndim == 3 else factor.reshape(-1, 1, len(draws))
    dli = climate.dli_mol_m2_d.T[:, :, None] * light
    ten = climate.dli_ten_day_mol_m2_d.T[:, :, None] * light
    day = climate.temp_day_degc.T[:, :, None] + draws.temp_offset_k
    night = climate.temp_night_degc.T[:, :, None] + draws.temp_offset_k
    lit, swing = (np.broadcast_to(part.T[:, :, None], day.shape) for part in (climate.lit_h, climate.swing_frac))
    weather = Weather(dli, ten, day, night, lit, swing)
    tables = year_tables(crops, draws.rgr_factor, draws.sla_factor, weather, job.constants)
    if job.young is None:
        return tables
    shape = (len(dli), len(crops), *dli.shape[1:])
    return tables._replace(young_length_ratio=length_ratio(job.young.drawn_ratio, weather, shape))


def _emergence(crops: CropArrays, job: _Job) -> Floats:
    """Days from sowing to emergence by the warmth of the soil [C, B, S, J]."""
    # crops that come up alike, by number of the kind
    limits = (crops.emergence_base_degc, crops.emergence_sum_degcday, crops.temp_opt_degc, crops.emergence_max_degc)
    kinds, kind = np.unique(np.stack(limits), axis=1, return_inverse=True)
    each = kinds[..., None, None, None]
    soil, which = job.climate.soil_degc, np.arange(len(job.climate))
    if job.climate.steady:  # beds that differ in light alone come up together
        alike, which = np.unique(soil[:, 0], return_inverse=True)
        soil = np.repeat(alike[:, None], YEAR_D, axis=1)
    temp = (soil[:, None] + job.draws.temp_offset_k[:, None])[None]
    rate = emergence_rate_per_d(temp, *each)
    days = days_to_reach(rate.reshape(-1, YEAR_D), job.sow_doy)
    return np.moveaxis(days.reshape(*rate.shape[:3], -1)[kind.ravel()[:, None], which], -1, 2)


def _spread(values: NDArray[Any], shape: tuple[int, ...]) -> NDArray[Any]:
    """Give every case [S, C, B, J] its crop's value, flat."""
    c, b, s, j = shape
    return np.broadcast_to(np.asarray(values).reshape(1, c, 1, 1), (s, c, b, j)).ravel()


def _cases(crops: CropArrays, job: _Job, begin: Floats, start: Floats | None, rows: int) -> engine.Cases:
    """First state of every case that comes up, flat in [S, C, B, J] order."""
    draws = job.draws
    shape = (len(crops), len(job.climate), len(job.sow_doy), len(draws))
    first = np.moveaxis(begin, 2, 0).ravel()
    live = np.flatnonzero(np.isfinite(first))
    sown = np.repeat(job.sow_doy, rows)[live]
    row = np.tile(np.arange(rows), shape[2])[live]
    day = (sown + first[live].astype(np.intp)) % YEAR_D

    def of_crop(values: NDArray[Any]) -> engine.Single:
        return engine.single(_spread(values, shape)[live])

    def of_draw(values: Floats) -> engine.Single:
        each = np.atleast_2d(values)[:, None, :]
        return engine.single(np.broadcast_to(each, (shape[2], shape[0], shape[1], shape[3])).ravel()[live])

    seed = crops.seedling_mg / MG_PER_G * crops.density_per_m2
    dry = dry_target_g_m2(crops)
    mass = of_crop(seed) * of_draw(draws.seedling_factor)
    leaf = engine.single(np.zeros(len(live)))
    if start is not None:
        mass, leaf = (engine.single(np.moveaxis(part, 2, 0).ravel()[live]) for part in (start[0], start[1]))
    standing = np.where(crops.standing_g_m2 > 0, crops.standing_g_m2, np.inf)
    keep = np.where(crops.regrow_frac > 0, crops.root_frac + (1 - crops.root_frac) * crops.regrow_frac, 0.0)
    picked = start is not None and job.repeat
    target = np.where(np.isfinite(standing) & picked, standing + dry_pick_g_m2(crops), dry)
    none = np.full(shape[0], np.inf)
    young = Young(none, none, np.zeros(shape[0])) if job.young is None else job.young
    size = np.where(of_crop(crops.cut_g_m2) > 0, of_draw(draws.target_factor**LENGTH_POWER), np.float32(1))
    goal = of_crop(target) * (of_draw(draws.target_factor) if not picked else np.float32(1))
    return engine.Cases(
        number=live,
        index=day * rows + row,
        start_d=engine.single(first[live]),
        mass=mass,
        leaf_clock=leaf,
        leaf_cost=of_crop(seed * job.constants.leaf_cost_ratio),
        leaf_speed=of_crop(crops.leaf_rate_per_d / crops.rgr_per_d) / of_draw(draws.rgr_factor),
        next_leaf=np.where(leaf < 1, np.float32(1), of_crop(crops.transplant_leaves_count) * size),
        shortest=of_crop(least_share(crops.drawn_ratio)),
        transplant_leaves=of_crop(crops.transplant_leaves_count) * size,
        target=goal,
        least=of_crop(dry_least_g_m2(crops)) * of_draw(draws.target_factor),
        heavy=goal.copy(),
        cuts_left=of_crop(np.where(crops.cuts_most_count > 0, crops.cuts_most_count, np.inf)),
        target_after=of_crop(standing if picked else np.full(shape[0], np.inf)),
        keep_share=of_crop(keep),
        running=np.zeros(len(live), dtype=np.float32),
        peak=mass.copy(),
        young_target=of_crop(young.target_g_m2) * of_draw(draws.target_factor),
        young_leaves=of_crop(young.leaves_count),
        young_shortest=of_crop(least_share(young.drawn_ratio)),
        done=np.zeros(len(live), dtype=np.bool_),
    )


def fresh_per_dry_ratio(crops: CropArrays) -> Floats:
    """Fresh produce taken at a harvest per dry mass of the whole stand [g g⁻¹], shape [C].

    A cut that leaves a share to grow again takes no more than the rest.
    """
    taken = np.minimum(crops.harvest_frac, 1.0 - crops.regrow_frac)
    return np.asarray((1.0 - crops.root_frac) * taken / crops.dry_matter_frac)


def fresh_per_grown_ratio(crops: CropArrays) -> Floats:
    """Fresh produce per dry mass that a grown stand adds [g g⁻¹], shape [C]."""
    return np.asarray((1.0 - crops.root_frac) * crops.pick_frac / crops.dry_matter_frac)


def dry_target_g_m2(crops: CropArrays) -> Floats:
    """Dry mass of the whole stand at harvest size [g m⁻²], shape [C]; infinite for crops judged by leaves alone.

    Method: definition; fresh mass of a plant × plants per m² × dry matter, over the part that is harvested. Leaves cut
    by length are cut by mass alone where they make ``HEAVY_CUTS`` times the least cut.
    """
    usable = (1.0 - crops.root_frac) * crops.harvest_frac
    wanted = crops.target_g * crops.density_per_m2 * crops.dry_matter_frac
    by_mass = np.where(crops.by_leaves | (usable <= 0), np.inf, wanted / np.where(usable > 0, usable, 1.0))
    heavy = crops.by_leaves & (crops.cut_g_m2 > 0)
    return np.asarray(np.where(heavy, HEAVY_CUTS * dry_least_g_m2(crops), by_mass))


def dry_least_g_m2(crops: CropArrays) -> Floats:
    """Dry mass of the whole stand from which a cut of long enough leaves is worth taking [g m⁻²], shape [C]."""
    ratio = fresh_per_dry_ratio(crops)
    return np.asarray(crops.cut_g_m2 / np.where(ratio > 0, ratio, 1.0))


def dry_pick_g_m2(crops: CropArrays) -> Floats:
    """Growth in dry mass that gives one pick [g m⁻²], shape [C]: a grown stand puts most of it into leaf."""
    ratio = fresh_per_grown_ratio(crops)
    return np.asarray(np.where(ratio > 0, crops.pick_g_m2 / np.where(ratio > 0, ratio, 1.0), np.inf))


def _result(
    crops: CropArrays, job: _Job, out: engine.Outcome, begin: Floats, shape: tuple[int, ...], picked: bool
) -> GrowthRun:
    c, b, s, j = shape

    def shaped(values: NDArray[Any]) -> Floats:
        return np.moveaxis(values.reshape(s, c, b, j), 0, 2).astype(np.float64)

    own = crops.yield_factor[:, None, None, None]
    fresh = fresh_per_dry_ratio(crops)[:, None, None, None] * own
    harvest = shaped(out.harvest_d)
    started = np.isfinite(begin)
    per_week = fresh_per_grown_ratio(crops)[:, None, None, None] * own if picked else fresh
    weeks = None
    if out.weeks is not None:
        whole = out.weeks.reshape(s, c, b, j, -1)
        rows = slice(None) if job.again is None or job.again.all() else job.again
        weeks = np.moveaxis(np.moveaxis(whole[:, rows], 0, 2), 4, 0) * per_week[rows]
    shots = None
    if out.snapshots is not None:
        four = np.moveaxis(out.snapshots.reshape(s, c, b, j, -1, 4), 0, 2).astype(np.float64)
        mass, leaves, ratio, cover = (np.moveaxis(four[..., i], -1, 0) for i in range(4))
        shots = Snapshots(job.snapshot_d, mass, leaves, ratio, cover / crops.extinction_ratio[:, None, None, None])
    return GrowthRun(
        emergence_d=begin,
        first_leaf_d=shaped(out.first_leaf_d),
        transplant_d=shaped(out.transplant_d),
        harvest_d=harvest,
        yield_g_m2=shaped(out.harvest_mass) * fresh,
        status=np.moveaxis(out.status.reshape(s, c, b, j), 0, 2).copy(),
        mass_g_m2=shaped(out.mass),
        leaves_count=shaped(out.leaves),
        growth_per_d=shaped(out.growth),
        source_sink_ratio=np.where(started, shaped(out.ratio), np.nan),
        transplant_mass_g_m2=shaped(out.transplant_mass),
        harvest_count=shaped(out.count),
        snapshots=shots,
        week_yield_g_m2=weeks,
        young_d=None if job.young is None else shaped(out.young_d),
        young_yield_g_m2=None if job.young is None else shaped(out.young_mass) * fresh,
    )


_LEADING = {"week_yield_g_m2"}


def _join(parts: list[GrowthRun], with_shots: bool) -> GrowthRun:
    """Put the blocks' crops one behind the other."""
    if len(parts) == 1:
        return parts[0]
    joined: dict[str, Any] = {}
    for name in GrowthRun.__dataclass_fields__:
        values = [getattr(part, name) for part in parts]
        if name == "snapshots" or values[0] is None:
            continue
        joined[name] = np.concatenate(values, axis=1 if name in _LEADING else 0)
    if with_shots:
        first = parts[0].snapshots
        if first is not None:
            names = [n for n in Snapshots.__dataclass_fields__ if n != "day_d"]
            both = {n: np.concatenate([getattr(p.snapshots, n) for p in parts], axis=1) for n in names}
            joined["snapshots"] = Snapshots(first.day_d, **both)
    return GrowthRun(**joined)
