"""Whether an atlas and the answers on one house agree, place by place, all over the world.

Run: python benchmarks/atlas_agree.py [PLACES] [SEED]     (48 if none; by `tenhour atlas` and the answers in Python)
An unheated lean-to with two beds, turned round south of the equator; places drawn evenly over the ground between 56 S
and 71 N, heights from the map; six crops, all draws, ten winters.
"""

from __future__ import annotations

import csv
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np

import tenhour as th
from tenhour.files.atlas.regions import on_the_ground

SOUTH_DEG, NORTH_DEG, HIGHEST_M = -56.0, 71.0, 3500.0
CROPS = ("spinach", "head-lettuce", "radish", "kale", "carrot", "pea-shoots")
SOWN = (date(2027, 3, 15), date(2027, 9, 1))
DARK_MOL_M2_D = 0.05
"""Added to both lights, so that a dark month does not count for more than it gives."""
HALF_YEAR, YEAR = 182, 365
HOUSE = """
schema = 1
[site]
latitude_deg = 50
longitude_deg = 10
elevation_m = 0
[house]
shape = "lean-to"
length_m = 5
width_m = 2.5
front_m = 1.6
back_m = 2.6
length_azimuth_deg = {azimuth}
cover = "twin-wall-10"
[[bed]]
name = "front"
at_m = [0.3, 0.3]
size_m = [4.4, 0.8]
height_m = 0.5
[[bed]]
name = "back"
at_m = [0.3, 1.4]
size_m = [4.4, 0.8]
height_m = 0.1
"""
Place = tuple[float, float, float]


def drawn(count: int, seed: int) -> list[Place]:
    """Places on the ground, as many on a square kilometre anywhere; half of them south of the equator."""
    rng = np.random.default_rng(seed)
    found: list[Place] = []
    for low, high, wanted in ((0.0, NORTH_DEG, count - count // 2), (SOUTH_DEG, 0.0, count // 2)):
        edges = np.sin(np.radians([low, high]))
        lat = np.degrees(np.arcsin(rng.uniform(*edges, 40 * count))).round(2)
        lon = rng.uniform(-180.0, 180.0, lat.size).round(2)
        sites = on_the_ground((), lat, lon, np.full(lat.size, np.nan), sea=True)
        ground = np.flatnonzero((sites.hole == 0) & (sites.elevation_m < HIGHEST_M))[:wanted]
        found += [(float(lat[n]), float(lon[n]), round(float(sites.elevation_m[n]))) for n in ground]
    return found


def rows_of(path: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(path.read_text("utf-8").splitlines()))


def atlas_of(places: list[Place], house: Path, folder: Path) -> None:
    lines = [f"{n},{lat},{lon},{high}" for n, (lat, lon, high) in enumerate(places)]
    listed = folder.with_suffix(".csv")
    listed.write_text("\n".join(["place,latitude_deg,longitude_deg,elevation_m", *lines]))
    words = [word for crop in CROPS for word in ("--crop", crop)]
    command = [sys.executable, "-m", "tenhour", "atlas", "--places", str(listed), "--house", str(house), *words,
               "--draws", "all", "-o", str(folder)]  # fmt: skip
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)


def apart_d(one: str, other: date | None) -> float:
    """Days between the atlas's date (month-day) and the plain one; infinite where one has none, -1 where neither."""
    if not one or other is None:
        return -1.0 if not one and other is None else float("inf")
    days = (date.fromisoformat(f"2027-{one}") - other.replace(year=2027)).days
    return float(abs((days + HALF_YEAR) % YEAR - HALF_YEAR))


def held(
    place: Place, house: Path, beds: list[dict[str, str]], dates: dict[tuple[str, str], dict[str, str]]
) -> Iterator[tuple[str, str, float]]:
    """Kind of answer, where, and how far apart the atlas's and the plain one are."""
    year = th.Year(th.read_house(house).at(*place), crops=list(CROPS))
    months = [name for name in beds[0] if name.endswith("_dli_mol_m2_d")]
    for row, bed in zip(beds, year.light().to_dict()["beds"], strict=True):
        for name, month in zip(months, bed["months"], strict=True):
            own, plain = (value + DARK_MOL_M2_D for value in (float(row[name]), month["dli_mol_m2_d"]))
            yield "light", f"{row['bed']} {name[:3]}", own / plain - 1.0
    answers: list[tuple[str, dict[str, Any]]] = [("season", year.season(date(2027, 1, 1)).to_dict())]
    answers += [("sow", year.sow(on).to_dict()) for on in SOWN]
    for asked, answer in answers:
        for bed in answer["beds"]:
            for crop in bed["crops"]:
                row = dates[bed["name"], crop["crop"]]
                for name in ("sow_by", "pays_from"):
                    plain = crop[name] and date.fromisoformat(crop[name])
                    yield f"{asked} {name}", f"{bed['name']} {crop['crop']}", apart_d(row[name], plain)
    air = year.model.world.air
    lowest = float(np.median(air.room_lows_degc.min(axis=1)))
    yield "lowest", "", float(beds[0]["lowest_air_degc"]) - lowest


def told(found: list[tuple[Place, str, str, float]]) -> None:
    light = np.abs([off for _, kind, _, off in found if kind == "light"])
    near = (light <= 0.005).sum()
    print(f"light: {light.size} months, mean {light.mean():.3%}, within 0.5 % {near}, most {light.max():.2%}")
    for kind in sorted({kind for _, kind, _, _ in found if "_" in kind}):
        days = np.array([off for _, own, _, off in found if own == kind])
        near, alone = (days <= 1).sum(), np.isinf(days).sum()
        print(
            f"{kind}: {days.size} asked, {(days < 0).sum()} on neither side, {near} within a day or on neither; "
            f"{(days[np.isfinite(days)] > 1).sum()} further, {alone} on one side alone"
        )
    lowest = np.abs([off for _, kind, _, off in found if kind == "lowest"])
    print(f"lowest hour of air, median winter: mean {lowest.mean():.3f} K, most {lowest.max():.2f} K")
    for place, kind, where, off in found:
        if (kind == "light" and abs(off) > 0.005) or (kind == "lowest" and abs(off) > 0.2) or ("_" in kind and off > 1):
            print(f"  {place[0]:7.2f} {place[1]:8.2f} {place[2]:6.0f}  {kind:18} {where:22} {off:.4g}")


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 48
    places = drawn(count, int(sys.argv[2]) if len(sys.argv) > 2 else 27)
    found: list[tuple[Place, str, str, float]] = []
    with tempfile.TemporaryDirectory() as where:
        for side, azimuth in (("north", 90), ("south", 270)):
            own = [place for place in places if (place[0] < 0) == (side == "south")]
            house, folder = Path(where) / f"{side}.toml", Path(where) / f"atlas-{side}"
            house.write_text(HOUSE.format(azimuth=azimuth))
            atlas_of(own, house, folder)
            rows, dates = rows_of(folder / "places.csv"), rows_of(folder / "dates.csv")
            for n, place in enumerate(own):
                beds = [row for row in rows if row["place"] == str(n)]
                if not beds or not beds[0]["jan_dli_mol_m2_d"]:
                    print("hole", place)
                    continue
                of_crop = {(row["bed"], row["crop"]): row for row in dates if row["place"] == str(n)}
                found += [(place, *one) for one in held(place, house, beds, of_crop)]
    print(f"{len({place for place, *_ in found})} places")
    told(found)


if __name__ == "__main__":
    main()
