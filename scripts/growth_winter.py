"""Run the growth model on dated winter sowings in tunnels, through a house file, its light and its air.

``tests/published/growth_winter.csv`` holds one row per published sowing: a day it was sown, a place, and the days until
it was cut. The house behind each row is a hoop of 14 × 7 m; column ``guessed`` says what of a row is not known. Where
it is the size of the house alone, ``growth_fit.py winter`` may use the row; all others only say how far the whole chain
is to be believed. Kinds of rows: ``point``, a date the source gives (errors are counted on
these); ``bound``, a window it can be squeezed from; ``least`` and ``most``, one end of one.
Run: ``python scripts/growth_winter.py``.
"""

from __future__ import annotations

import csv
import math
import sys
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path

import numpy as np
from growth_trials import Model, endless, latin_draws, shipped_model
from numpy.typing import NDArray

from tenhour.cli.loading import sources
from tenhour.files.house.read import house_from_text
from tenhour.growth.run import fresh_per_dry_ratio, run
from tenhour.growth.shapes import BedClimate, CropArrays, bed_climate
from tenhour.plan.season import spread_cuts
from tenhour.year import world
from tenhour.year.crops.growing import bed_climates

TABLE = Path(__file__).resolve().parents[1] / "tests" / "published" / "growth_winter.csv"
YIELDS = TABLE.with_name("growth_yields.csv")
SIZE_GUESSED = "size of the house"
"""A row whose crop, day and kind of house the source names."""
LATE_D = 230.0
"""A sowing that never comes counts in fits as one of so many days."""
GROUPS = ("autumn", "mid October, mild", "dark", "late winter")
HOUSE = """schema = 1
name = "an unheated hoop"
[site]
latitude_deg = {lat}
longitude_deg = {lon}
{elevation}
[house]
shape = "hoop"
length_m = 14.0
width_m = 7.0
ridge_m = 3.3
length_azimuth_deg = 90
cover = "{cover}"
[[bed]]
name = "bed"
at_m = [2.0, 3.0]
size_m = [10.0, 1.0]
{layers}
"""
LAYERS = 'layers = [{ cover = "fleece", months = [12, 1, 2], by_day = false }]'


@dataclass(frozen=True)
class Winter:
    """One published sowing."""

    row: dict[str, str]

    def __getitem__(self, name: str) -> str:
        return self.row[name]

    def number(self, name: str) -> float:
        """Return a number of the row; NaN where it is open."""
        return float(self.row[name]) if self.row[name] else math.nan

    @property
    def middle(self) -> float:
        """Middle of what was published [d]."""
        return (self.number("low") + self.number("high")) / 2

    @property
    def sow_doy(self) -> int:
        """Day of the generic year it was sown on, 0 for 1 January."""
        month, day = self.row["sown"].split("-")
        return date(2027, int(month), int(day)).timetuple().tm_yday - 1

    def off_log(self, days: float) -> float:
        """Error of days as a logarithm: from the middle of a point, from the nearer end of a window."""
        if self.row["kind"] == "point":
            return math.log(days / self.middle)
        low, high = self.number("low"), self.number("high")
        if days < low:
            return math.log(days / low)
        return math.log(days / high) if days > high else 0.0


@dataclass(frozen=True)
class Found:
    """What the model says of one sowing: middle, and the 10 and 90 % ends; infinite where that many never come [d]."""

    days: float
    early: float
    late: float

    def off(self, trial: Winter) -> float:
        """Error relative to the middle of what was published; 1 (a hundred per cent late) where it never comes."""
        return self.days / trial.middle - 1 if math.isfinite(self.days) else 1.0

    def holds(self, trial: Winter) -> bool:
        """Whether what was published lies in the printed range (point), or the middle in the window (bounds)."""
        if trial["kind"] == "point":
            return self.early <= trial.middle <= self.late
        low, high = (
            x if not math.isnan(x) else fill for x, fill in zip(self._ends(trial), (0.0, math.inf), strict=True)
        )
        return low <= self.days <= high

    @staticmethod
    def _ends(trial: Winter) -> tuple[float, float]:
        return trial.number("low"), trial.number("high")


def load_winters() -> list[Winter]:
    """Return every row of the table."""
    with TABLE.open(newline="", encoding="utf-8") as file:
        return [Winter(row) for row in csv.DictReader(file)]


@cache
def climate_of(lat: str, lon: str, elevation_m: str, cover: str, inner: bool) -> BedClimate:
    """Return light and air of the bed of one place, by the door every answer goes through."""
    text = HOUSE.format(
        lat=lat,
        lon=lon,
        elevation=f"elevation_m = {elevation_m}" if elevation_m else "",
        cover=cover,
        layers=LAYERS if inner else "",
    )
    house = house_from_text(text, f"hoop at {lat} {lon}")
    return bed_climates(world.build(house, sources(house)))


def place(trial: Winter) -> BedClimate:
    """Return the climate of a row's bed."""
    names = ("lat", "lon", "elevation_m", "cover")
    return climate_of(*(trial[name] for name in names), trial["inner_cover"] == "yes")


def grow(trial: Winter, model: Model, climate: BedClimate | None = None) -> Found:
    """Return the model's days for one row, over the draws the fits were made with; answers draw otherwise."""
    found = run(
        model.crops[trial["crop"]], climate or place(trial), [trial.sow_doy], latin_draws(), constants=model.constants
    )
    days = np.sort(np.nan_to_num(found.harvest_d[0, 0, 0], nan=np.inf))
    ends = [days[round(share * (len(days) - 1))] for share in (0.5, 0.1, 0.9)]
    return Found(*(float(x) for x in ends))


def grow_middle(trial: Winter, model: Model) -> float:
    """Mean of the logarithm of days over the draws, as days: for fits, which a median that jumps would stop."""
    found = run(
        model.crops[trial["crop"]], place(trial), [trial.sow_doy], latin_draws(), constants=model.constants
    ).harvest_d[0, 0, 0]
    return float(np.exp(np.log(np.minimum(np.nan_to_num(found, nan=LATE_D), LATE_D)).mean()))


def load_yields() -> list[Winter]:
    """Return every published yield."""
    with YIELDS.open(newline="", encoding="utf-8") as file:
        return [Winter(row) for row in csv.DictReader(file)]


def kilograms(trial: Winter, model: Model) -> tuple[float, float, float]:
    """Middle, 10 and 90 % of what a sowing gives: over its weeks, a week, at the first cut, or on one day [kg m⁻²]."""
    draws = latin_draws()
    crop = model.crops[trial["crop"]]
    if trial["what"] == "day":
        return middle_and_ends(on_one_day_g_m2(trial, crop, model))
    found = run(crop, place(trial), [trial.sow_doy], draws, repeat=True, constants=model.constants)
    assert found.week_yield_g_m2 is not None
    first, last = int(trial["weeks_from"]), int(trial["weeks_to"])
    weeks = found.week_yield_g_m2[:, 0, 0, 0]
    # weekly pickings take a share of the stand: each cut counts in the weeks it has grown, as the season tells it
    even = np.nan_to_num(np.stack([spread_cuts(own) for own in weeks.T], axis=-1))[first:last]
    given = {
        "season": weeks[first:last].sum(axis=0),
        "week": np.full(weeks.shape[1], even.mean()),
        "first": np.nan_to_num(found.yield_g_m2[0, 0, 0]),
    }[trial["what"]]
    return middle_and_ends(given)


def on_one_day_g_m2(trial: Winter, crop: CropArrays, model: Model) -> NDArray[np.float64]:
    """What stands on the day of harvest, at the row's own density, air and soil and the light of its house [g m⁻²]."""
    own = crop.with_values(density_per_m2=trial.number("density_per_m2"))
    light = place(trial)
    air_degc = trial.number("air_degc")
    climate = bed_climate(light.dli_mol_m2_d, air_degc, air_degc, light.lit_h, soil_degc=trial.number("soil_degc"))
    day_d = trial.number("day_d")
    found = run(
        endless(own), climate, [trial.sow_doy], latin_draws(), snapshot_d=np.array([day_d]), horizon_d=int(day_d),
        constants=model.constants,
    )  # fmt: skip
    assert found.snapshots is not None
    return np.asarray(np.nan_to_num(found.snapshots.mass_g_m2[0, 0, 0, 0]) * fresh_per_dry_ratio(own).item())


def middle_and_ends(given_g_m2: NDArray[np.float64]) -> tuple[float, float, float]:
    """Middle, 10 and 90 % of the draws [kg m⁻²]."""
    middle, low, high = np.percentile(given_g_m2 / 1000.0, [50, 10, 90])
    return float(middle), float(low), float(high)


def group_row(name: str, pairs: list[tuple[Winter, Found]]) -> str:
    """Return one row on a group: points, sources, bias, mean error and what lies in range; then the windows."""
    points = [(t, f) for t, f in pairs if t["kind"] == "point"]
    rest = [(t, f) for t, f in pairs if t["kind"] != "point"]
    off = np.array([f.off(t) for t, f in points])
    own = {t["source"] for t, _ in points}
    spread = f" ± {off.std(ddof=1) / math.sqrt(len(own)):.0%}" if len(own) > 1 else ""
    cells = (
        name,
        len(points),
        len(own),
        f"{off.mean():+.0%}{spread}" if points else "",
        f"{np.abs(off).mean():.0%}" if points else "",
        f"{sum(f.holds(t) for t, f in points)} of {len(points)}",
        f"{sum(f.holds(t) for t, f in rest)} of {len(rest)}",
    )
    return "| " + " | ".join(str(cell) for cell in cells) + " |"


def main(args: list[str]) -> None:
    """Print every row, then every group."""
    model = shipped_model(young=False)
    found = [(t, grow(t, model)) for t in load_winters()]
    if "--short" not in args:
        for t, f in found:
            what = f"{t['low']:>4s}-{t['high']:<4s}"
            print(f"{t['id']:20s} {t['kind']:6s} {t['crop']:15s} {what} {f.days:6.0f} ({f.early:.0f}-{f.late:.0f})"
                  f" {'in' if f.holds(t) else 'OUT'} {f.off(t):+.0%}")  # fmt: skip
    for group in GROUPS:
        print(group_row(group, [(t, f) for t, f in found if t["group"] == group]))
    print(group_row("all", found))


if __name__ == "__main__":
    main(sys.argv[1:])
