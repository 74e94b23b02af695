"""CPU time of the bed light of one house and one year, beside Radiance on the same house, points and year.

    python benchmarks/house_speed.py            # everything: half an hour
    python benchmarks/house_speed.py --growth   # only how our own time grows
    python benchmarks/house_speed.py --house double-glass

Task: the double-glazed and the twin-wall house of the tests with two beds, 15-minute steps of a year at 52 degrees
north, five classes of day; wanted is each bed's light by month and class. Sky radiance and sun positions are given to
both. Counted is the CPU time (user and system, all threads and child processes) of finding the coefficients and of the
year's sums.

Radiance is run in the two ways a careful user has: (a) rcontrib over 145 sky patches, the ground and a net of suns;
(b) the same for the sky, only the sun's direct light for a net of suns, and its bounced light taken from the sky
patch it stands in. Settings are searched for the cheapest that keeps bed means within 3 % of a converged run, in two
runs of two: the means of the year, and the means asked for, of every month and class.
"""

# ruff: noqa: E402, I001 - the number of threads must be set before numpy is loaded, and the tests' houses be found

from __future__ import annotations

import os

for _name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
    os.environ.setdefault(_name, "1")

import argparse
import resource
import statistics
import sys
import tempfile
import time
from dataclasses import dataclass, replace
from itertools import product
from pathlib import Path

import numpy as np
import pvlib
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

import helpers_house as hh
import helpers_houses as hs

from tenhour.files import packaged
from tenhour.house import bedlight, outside
from tenhour.house.suntable import sun_nodes
from tenhour.sky import dome as skydome

Array = NDArray[np.float64]
LATITUDE_DEG = 52.0
ALBEDO = 0.2
CLASSES = (0.25, 0.45, 0.65, 0.85, 1.0)
REPEATS = 5
WANTED = 0.03
"""Error allowed to Radiance."""
HOPELESS = 0.15
"""A kind of setting that is off by more with many suns is not tried with fewer."""
FAR_TOO_DEAR = 4
"""Nor is one that costs so many times the best."""
MOST_TRACED = 192
"""Suns traced by way of the walls at most."""
SKY = skydome.dome(1, 4)
DOME = outside.Dome(SKY.sample_direction, SKY.sample_solid_angle_sr, SKY.sample_patch)


def cpu_s() -> float:
    """CPU seconds of this process and of all its finished children."""
    own, children = resource.getrusage(resource.RUSAGE_SELF), resource.getrusage(resource.RUSAGE_CHILDREN)
    return own.ru_utime + own.ru_stime + children.ru_utime + children.ru_stime


@dataclass
class Year:
    """Steps with the sun up; sums by month and class."""

    sun: Array
    month: NDArray[np.int64]
    beam: Array
    sky: Array
    ground: Array

    @classmethod
    def made(cls, minutes: int = 15) -> Year:
        """Clear-sky irradiance times five factors, split by Erbs, spread over the sky by Perez."""
        import pandas as pd

        times = pd.date_range("2023-01-01", "2024-01-01", freq=f"{minutes}min", inclusive="left", tz="UTC")
        at = pvlib.solarposition.get_solarposition(times, LATITUDE_DEG, 0.0)
        up = at["apparent_elevation"].to_numpy() > 1.0
        zenith, azimuth = at["apparent_zenith"].to_numpy()[up], at["azimuth"].to_numpy()[up]
        clear = pvlib.clearsky.haurwitz(at["apparent_zenith"][up])["ghi"].to_numpy()
        day = times.day_of_year.to_numpy()[up]
        extra = pvlib.irradiance.get_extra_radiation(day)
        ghi = clear[:, None] * CLASSES
        split = [pvlib.irradiance.erbs(g, zenith, day) for g in ghi.T]
        beam = np.column_stack([s["dni"] for s in split])
        diffuse = np.column_stack([s["dhi"] for s in split])
        sky = skydome.perez_radiance(zenith, azimuth, beam, diffuse, extra, SKY, packaged.perez_sky())
        month = times.month.to_numpy()[up].astype(np.int64) - 1
        sums = np.array([sky[month == m].sum(axis=0) for m in range(12)])
        ground = np.array([ghi[month == m].sum(axis=0) for m in range(12)]) * ALBEDO / np.pi
        return cls(skydome.unit_vector(azimuth, 90.0 - zenith), month, beam, sums.astype(np.float64), ground)

    def total(self, sky: Array, sun_sums: Array) -> Array:
        """Light by month, class and point from coefficients [p, 146] and the sun's sums [12, 5, p]."""
        return np.asarray(self.sky @ sky[:, :145].T + self.ground[..., None] * sky[:, 145] + sun_sums)

    def by_node(self, node: Array) -> Array:
        """Beam by month, class and node, where each step belongs to one node [steps]."""
        count = int(node.max()) + 1
        flat = [np.bincount(self.month * count + node, b, 12 * count).reshape(12, count) for b in self.beam.T]
        return np.stack(flat, axis=1)


def ours(scene: bedlight.Scene, year: Year) -> tuple[Array, Array]:
    """Light by month, class and point; and the bed of each point."""
    solved = bedlight.solver(scene, DOME)
    light = bedlight.coefficients(solved, sun_nodes(LATITUDE_DEG, year.sun))
    weights = light.sun_weights(year.sun)
    sky = np.column_stack(
        [
            light.sky_direct_sr[0] + light.sky_bounced_sr[0],
            light.ground_direct_sr[0] + light.ground_bounced_sr[0],
        ]
    )
    sun = (light.sun_direct_ratio[0] + light.sun_bounced_ratio[0]).T
    first = np.searchsorted(year.month, np.arange(12))
    sums = np.stack(
        [np.add.reduceat(weights.T.multiply(b).T.tocsr() @ sun, first, axis=0) for b in year.beam.T], axis=1
    )
    return year.total(sky, sums), light.bed_index


@dataclass(frozen=True)
class Way:
    """One way of running Radiance."""

    setting: hh.Setting
    suns: int
    bounced_from_sky: bool

    def words(self) -> str:
        """Short label."""
        s = self.setting
        how = "sun bounced from its sky patch" if self.bounced_from_sky else "suns traced"
        return f"-ab {s.bounces} -ad {s.divisions} -lw {s.weight:g}, {self.suns} suns, {how}"


def net(suns: Array, count: int) -> Array:
    """Suns far apart: each next one is the furthest from all before."""
    chosen = [0]
    near = suns @ suns[0]
    for _ in range(min(count, len(suns)) - 1):
        chosen.append(int(near.argmin()))
        near = np.maximum(near, suns @ suns[chosen[-1]])
    return suns[chosen]


def theirs(way: Way, text: str, points: Array, year: Year) -> Array:
    """Light by month, class and point by Radiance."""
    few = net(year.sun[::3], way.suns)
    nearest = np.concatenate([(part @ few.T).argmax(axis=1) for part in np.array_split(year.sun, 20)])
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        sky = hh.sky_contributions(folder, text, points, way.setting)
        if not way.bounced_from_sky:
            sun = hh.sun_contributions(folder, text, points, few, way.setting)
        else:
            first = hh.sky_contributions(folder, text, points, replace(way.setting, bounces=1))
            bounced = (sky - first)[:, :145] / SKY.solid_angle_sr
            patch = (few @ SKY.direction.T).argmax(axis=1)
            sun = hh.sun_contributions(folder, text, points, few, replace(way.setting, bounces=0)) + bounced[:, patch]
    return year.total(sky, year.by_node(nearest) @ sun.T)


def bed_means(light: Array, bed: Array) -> Array:
    """[12, 5, beds]."""
    return np.stack([light[..., bed == k].mean(axis=-1) for k in range(int(bed.max()) + 1)], axis=-1)


def error(found: Array, truth: Array) -> tuple[float, float]:
    """Largest error of a bed's year and of a bed's month, over all classes."""
    year = np.abs(found.sum(axis=0) / truth.sum(axis=0) - 1).max()
    return float(year), float(np.abs(found / truth - 1).max())


def converged(text: str, points: Array, year: Year) -> tuple[Array, float]:
    """The run that all are held against: fine sky, every sun node's direct light, many suns by way of walls."""
    start = cpu_s()
    fine = hh.Setting(bounces=10, divisions=4096, weight=1e-5)
    many, some = net(year.sun[::3], 1500), net(year.sun[::3], 120)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        sky = hh.sky_contributions(folder, text, points, fine)
        direct = hh.sun_contributions(folder, text, points, many, replace(fine, bounces=0))
        whole = hh.sun_contributions(folder, text, points, some, replace(fine, divisions=1024, weight=5e-5))
        bare = hh.sun_contributions(folder, text, points, some, replace(fine, bounces=0))
    near = [np.concatenate([(p @ s.T).argmax(axis=1) for p in np.array_split(year.sun, 20)]) for s in (many, some)]
    sums = year.by_node(near[0]) @ direct.T + year.by_node(near[1]) @ (whole - bare).T
    return year.total(sky, sums), cpu_s() - start


def search(text: str, points: Array, bed: Array, year: Year, truth: Array) -> None:
    """Try settings and print the cheapest good ones: by the year of each bed, and by every month and class."""
    best: dict[str, tuple[float, Way]] = {}
    skipped: set[tuple[int, int, bool]] = set()
    tried = product((True, False), (64, 128, 256, 512, 1024), (2, 3, 4), (768, 384, 192, 96, 48))
    for from_sky, divisions, bounces, suns in tried:
        kind = (bounces, divisions, from_sky)
        if kind in skipped or (suns > MOST_TRACED and not from_sky):
            continue
        way = Way(hh.Setting(bounces=bounces, divisions=divisions, weight=2e-3), suns, from_sky)
        runs = [_run(way, text, points, bed, year, truth) for _ in range(2)]
        spent, by_year, by_month = min(r[0] for r in runs), max(r[1] for r in runs), max(r[2] for r in runs)
        print(f"  {way.words()}: {spent:.2f} s, year {100 * by_year:.1f} %, month {100 * by_month:.1f} %", flush=True)
        for what, off in (("year of every bed", by_year), ("month of every bed in every class", by_month)):
            if off < WANTED and (what not in best or spent < best[what][0]):
                best[what] = (spent, way)
        if by_month > HOPELESS or (len(best) > 1 and spent > FAR_TOO_DEAR * max(b[0] for b in best.values())):
            skipped.add(kind)
    for what, (spent, way) in best.items():
        print(f"cheapest Radiance with the {what} within 3 % in both of two runs: {spent:.2f} s CPU: {way.words()}")


def _run(way: Way, text: str, points: Array, bed: Array, year: Year, truth: Array) -> tuple[float, float, float]:
    """CPU seconds, and the errors by year and by month."""
    start = cpu_s()
    off = error(bed_means(theirs(way, text, points, year), bed), truth)
    return cpu_s() - start, *off


def median_cpu(scene: bedlight.Scene, year: Year) -> float:
    """Median CPU time of our own run."""
    spent = []
    for _ in range(REPEATS):
        start = cpu_s()
        ours(scene, year)
        spent.append(cpu_s() - start)
    return statistics.median(spent)


def growth(scene: bedlight.Scene, year: Year) -> None:
    """How our time grows with patches, beds and steps."""
    for patches in (150, 300, 600, 1200):
        print(f"patches {patches:5d}: {median_cpu(replace(scene, patches=patches), year):.3f} s")
    low, high = scene.beds[0].low_m, scene.beds[0].high_m
    for beds in (1, 2, 4, 8):
        step = (high[1] - low[1] + 1.8) / beds
        rows = tuple(
            bedlight.BedPlane(f"bed {k}", (0.2, 0.2 + k * step), (4.8, 0.2 + k * step + 0.8 * step), 0.4)
            for k in range(beds)
        )
        print(f"beds {beds}: {median_cpu(replace(scene, beds=rows), year):.3f} s")
    for minutes in (60, 15, 5):
        made = Year.made(minutes)
        print(f"steps of {minutes:2d} min, {len(made.sun)} with the sun up: {median_cpu(scene, made):.3f} s")


def parts(scene: bedlight.Scene, year: Year) -> None:
    """Where the time goes."""
    marks: dict[str, float] = {}
    last = cpu_s()

    def mark(name: str) -> None:
        nonlocal last
        now = cpu_s()
        marks[name], last = now - last, now

    room = scene.room()
    mark("cutting the room into patches")
    around = bedlight.emitters(scene.outside, DOME, scene.azimuth_deg)
    tables = scene.panes.tables()
    between = bedlight.exchange(room, tables.mirrored, scene.rays)
    mark("form factors between patches")
    point = np.concatenate([bedlight.bed_points_m(b) for b in scene.beds])
    factor, _ = bedlight.gather(room, around, tables, point)
    mark("what bed points see")
    between.gathered(factor)
    mark("sum of all bounces")
    solved = bedlight.solver(scene, DOME)
    mark("(all of the above again)")
    nodes = sun_nodes(LATITUDE_DEG, year.sun)
    bedlight.coefficients(solved, nodes)
    mark(f"sky and {len(nodes.cell)} sun nodes")
    for name, spent in marks.items():
        print(f"  {name}: {spent:.3f} s")


def main() -> None:
    """Print everything."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--growth", action="store_true")
    ask.add_argument("--house", nargs="+", default=["double-glass", "twin-wall"], choices=list(hs.HOUSES))
    chosen = ask.parse_args()
    year = Year.made()
    for name in chosen.house:
        compare(name, year, alone=chosen.growth)


def compare(name: str, year: Year, *, alone: bool) -> None:
    """One house by both programs."""
    house = hs.HOUSES[name]()
    start = time.perf_counter()
    ours(house.scene, year)
    print(f"{name}: first run in this process {time.perf_counter() - start:.2f} s wall")
    print(f"ours, median of {REPEATS}: {median_cpu(house.scene, year):.3f} s CPU for {len(year.sun)} steps")
    parts(house.scene, year)
    growth(house.scene, year)
    if alone:
        return
    light, bed = ours(house.scene, year)
    points = np.concatenate([bedlight.bed_points_m(b) for b in house.scene.beds])
    truth, spent = converged(house.radiance, points, year)
    whole = bed_means(truth, bed)
    off = error(bed_means(light, bed), whole)
    print(f"converged Radiance: {spent:.1f} s CPU")
    print(f"ours is off by {100 * off[0]:.1f} % (year), {100 * off[1]:.1f} % (month)", flush=True)
    search(house.radiance, points, bed, year, whole)
    print(f"ours again: {median_cpu(house.scene, year):.3f} s CPU")


if __name__ == "__main__":
    main()
