"""Run the growth model on the conditions of published trials.

``tests/published/growth_trials.csv`` holds one row per published result with the conditions of the trial; what the
paper leaves open stands under "assumed". Used by ``growth_report.py`` (the table of docs/method/growth.md), by
``growth_fit.py`` and by the tests.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np

from tenhour.files.crop import load_crops
from tenhour.growth.carbon import COMPENSATION_TEMP_DEGC, CONSTANTS, Constants
from tenhour.growth.draws import CROP_SD, DRAWS, LIGHT_SD, SEEDLING_SD, TARGET_SD, TEMP_SD_K, shuffled
from tenhour.growth.places import steady_climate
from tenhour.growth.run import fresh_per_dry_ratio, run
from tenhour.growth.seedfed import TrayArrays, seed_fed
from tenhour.growth.shapes import BedClimate, CropArrays, Draws, Start, bed_climate
from tenhour.model.crop import growth_columns
from tenhour.year.crops.growing import value_of

ROOT = Path(__file__).resolve().parents[1]
TABLE = ROOT / "tests" / "published" / "growth_trials.csv"
HOUSE_MID_MONTH_DLI = (3.1, 5.5, 9.0, 12.5, 15.0, 16.0, 15.5, 13.5, 10.5, 6.0, 3.3, 2.5)
"""Light of the invented house at 48° N by mid month [mol m⁻² d⁻¹]: for tests only, judgement."""
HOUSE_LATITUDE = 48.0
LIFE = np.arange(1.0, 151.0)


@dataclass
class Model:
    """The crop table and constants under trial; fits change both."""

    crops: dict[str, CropArrays] = field(default_factory=dict)
    trays: dict[str, TrayArrays] = field(default_factory=dict)
    constants: Constants = CONSTANTS


@dataclass(frozen=True)
class Trial:
    """One published result."""

    row: dict[str, str]

    def __getitem__(self, name: str) -> str:
        return self.row[name]

    def number(self, name: str, default: float = math.nan) -> float:
        """Return a number of the row, or the default where the row leaves it open."""
        text = self.row[name]
        return float(text) if text else default


def shipped_model(*, young: bool = True) -> Model:
    """Return the model as it ships; leaves cut by length are baby leaf (young) or a grower's salad cut."""
    crops, trays = {}, {}
    for crop in load_crops():
        if crop.grows_by_carbon:
            crops[crop.key] = CropArrays(**growth_columns([crop], young=young))
        elif crop.tray is not None:
            names = TrayArrays.__dataclass_fields__
            trays[crop.key] = TrayArrays(**{n: np.array([value_of(getattr(crop.tray, n), 0.0)]) for n in names})
    return Model(crops, trays)


def load_trials() -> list[Trial]:
    with TABLE.open(newline="", encoding="utf-8") as file:
        return [Trial(row) for row in csv.DictReader(file)]


def invented_house(day_degc: float, night_degc: float) -> BedClimate:
    """Return the invented house at 48° N: its light by month, its own day length, steady set points."""
    day = np.arange(365)
    mid = np.cumsum([0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30])[:12] + 14
    months = np.array(HOUSE_MID_MONTH_DLI)
    dli = np.interp(day, np.r_[mid[-1] - 365, mid, mid[0] + 365], np.r_[months[-1], months, months[0]])
    tilt = np.radians(23.44) * np.sin(2 * np.pi * (day - 80) / 365)
    lat = np.radians(HOUSE_LATITUDE)
    cosine = (np.sin(np.radians(-0.833)) - np.sin(lat) * np.sin(tilt)) / (np.cos(lat) * np.cos(tilt))
    return bed_climate(dli, day_degc, night_degc, 24 / np.pi * np.arccos(np.clip(cosine, -1, 1)))


AMBIENT_CO2_PPM = 400.0
CO2_POINT_PPM = 40.0
"""CO2 at which nothing is fixed at 20 °C [ppm]: Van Henten 1994. Second-hand."""


def light_use_at_co2_g_mol(co2_ppm: Any, temp_degc: Any = 20.0, constants: Constants = CONSTANTS) -> Any:
    """Light use at another CO2 than the 400 ppm of outdoor air, to judge trials with raised CO2 [g mol⁻¹].

    Method: Van Henten 1994 (second-hand), (C − G)/(C + 2 G) with G = 40 ppm at 20 °C, doubling per 10 K.

    >>> round(float(light_use_at_co2_g_mol(400.0)), 2)
    2.0
    """
    point = CO2_POINT_PPM * 2.0 ** ((np.asarray(temp_degc) - COMPENSATION_TEMP_DEGC) / constants.doubling_k)
    ratio = [(c - point) / (c + 2.0 * point) for c in (np.asarray(co2_ppm, dtype=np.float64), AMBIENT_CO2_PPM)]
    return np.asarray(constants.light_use_g_mol * ratio[0] / ratio[1])


def latin_draws(n: int = DRAWS, seed: int = 1) -> Draws:
    """Draw n seasons of one crop, every factor at each of n equal-probability values once, in one common order.

    The fits were made with these; answers draw the season and the crop apart (``season_draws``).
    """
    light, temp, rgr, sla, seedling, target = shuffled(n, seed, 6)
    return Draws(
        light_factor=np.exp(LIGHT_SD * light),
        temp_offset_k=TEMP_SD_K * temp,
        rgr_factor=np.exp(CROP_SD * rgr),
        sla_factor=np.exp(CROP_SD * sla),
        seedling_factor=np.exp(SEEDLING_SD * seedling),
        target_factor=np.exp(TARGET_SD * target),
    )


def compute(trial: Trial, model: Model) -> float:
    """Return tenhour's value for a published result."""
    co2 = trial.number("co2_ppm")
    if not math.isnan(co2):
        use = float(light_use_at_co2_g_mol(co2, trial.number("day_degc"), model.constants))
        model = replace(model, constants=replace(model.constants, light_use_g_mol=use))
    return float(KINDS[trial["kind"]](trial, model))


def _crop(t: Trial, model: Model, **changes: Any) -> CropArrays:
    crop = model.crops[t["crop"]]
    if not math.isnan(t.number("density_per_m2")):
        changes.setdefault("density_per_m2", t.number("density_per_m2"))
    if not math.isnan(t.number("target_g")):
        changes.setdefault("target_g", t.number("target_g"))
    return crop.with_values(**changes) if changes else crop


def endless(crop: CropArrays) -> CropArrays:
    """Return a crop that is never harvested, to look at its mass on any day."""
    return crop.with_values(by_leaves=False, drawn_ratio=0.0, target_g=1e9)


def _steady(t: Trial, **changes: Any) -> BedClimate:
    values = {name: t.number(name) for name in ("dli_mol_m2_d", "day_degc", "night_degc", "lit_h")}
    values.update(changes)
    return steady_climate(values["dli_mol_m2_d"], values["day_degc"], values["night_degc"], values["lit_h"])


def _grow(crop: CropArrays, climate: BedClimate, model: Model, days: Any = LIFE, **more: Any) -> Any:
    """Return snapshots [D, beds] of a crop that is never harvested."""
    days = np.asarray(days, dtype=np.float64)
    return run(
        endless(crop), climate, more.pop("sow", [0]), snapshot_d=days, horizon_d=int(days.max()),
        constants=model.constants, **more,
    ).snapshots  # fmt: skip


def _reach(days: Any, values: Any, target: float) -> float:
    """Day on which a growing value reaches a target, interpolated in its logarithm."""
    log = np.log(np.nan_to_num(values, nan=1e-9))
    goal = math.log(target)
    i = int(np.argmax(log >= goal))
    if log[i] < goal:
        return float("nan")
    if i == 0:
        return float(days[0])
    return float(days[i - 1] + (goal - log[i - 1]) / (log[i] - log[i - 1]))


def _rgr(t: Trial, model: Model) -> float:
    days = [t.number("day_d"), t.number("day_second")]
    mass = _grow(_crop(t, model), _steady(t), model, days).mass_g_m2.ravel()
    return float(np.log(mass[1] / mass[0]) / (days[1] - days[0]))


def _respaced(t: Trial, model: Model) -> float:
    crop = model.crops[t["crop"]]
    nursery = _grow(crop.with_values(density_per_m2=800.0), steady_climate(20.0, 24.0, 22.0, 24.0), model, [12.0])
    one = nursery.mass_g_m2.item() / 800.0
    middle = Start(one * 81.0, nursery.leaves_count.item())
    shot = _grow(crop.with_values(density_per_m2=81.0), _steady(t), model, [10.0], start=middle)
    last = Start(shot.mass_g_m2.item() / 81.0 * 28.0, shot.leaves_count.item())
    mass = _grow(crop.with_values(density_per_m2=28.0), _steady(t), model, start=last).mass_g_m2.ravel() / 28.0
    goal = t.number("target_g") * _dry_per_fresh(crop)
    return 22.0 + _reach(LIFE, mass, goal)


def _dry_per_fresh(crop: CropArrays) -> float:
    """Dry mass of a whole plant per fresh mass harvested."""
    return float((crop.dry_matter_frac / crop.harvest_frac / (1 - crop.root_frac)).item())


def _leaves(t: Trial, model: Model) -> float:
    return float(_grow(_crop(t, model), _steady(t), model, [t.number("day_d")]).leaves_count.item())


def _gain(t: Trial, model: Model, climate: BedClimate) -> float:
    mass = _grow(_crop(t, model), climate, model, [t.number("day_d")]).mass_g_m2.ravel()
    return float((mass[1] / mass[0] - 1) * 100)


def _gain_light(t: Trial, model: Model) -> float:
    return _gain(t, model, _steady(t, dli_mol_m2_d=[t.number("dli_mol_m2_d"), t.number("dli_second")]))


def _gain_hours(t: Trial, model: Model) -> float:
    return _gain(t, model, _steady(t, lit_h=[t.number("lit_h"), t.number("lit_second")]))


def _gain_warmth(t: Trial, model: Model) -> float:
    warm = [t.number("day_degc"), t.number("night_degc")]
    return _gain(t, model, _steady(t, day_degc=warm, night_degc=warm))


def _cover_ratio(t: Trial, model: Model) -> float:
    crop = _crop(t, model)
    start = Start(t.number("start_g") * t.number("density_per_m2"), 5.0)
    warm = _steady(t, day_degc=[21.2, t.number("day_degc")], night_degc=[15.2, t.number("night_degc")])
    days = np.arange(1.0, 91.0)
    leaf = _grow(crop, warm, model, days, start=start).leaf_area_ratio[:, 0, :, 0, 0]
    return _reach(days, leaf[:, 1], 3.0) / _reach(days, leaf[:, 0], 3.0)


def _days_from(t: Trial, model: Model, climate: BedClimate | None = None) -> float:
    crop = _crop(t, model)
    density = float(crop.density_per_m2.item())
    start = Start(t.number("start_g") * density, 4.0)
    mass = _grow(crop, climate or _steady(t), model, start=start).mass_g_m2[:, 0, 0, 0, 0]
    return _reach(LIFE, mass, t.number("target_g") * density * _dry_per_fresh(crop))


GLASS = TABLE.with_name("growth_glass_daily.csv")
GLASS_FIRST = "2022-02-08"
"""First weighing of the lit winter glass: growth starts from it."""
GLASS_LEAVES = 5.0


def _glass(t: Trial, model: Model) -> Any:
    """Shoot dry mass of one plant on every day after the first weighing, through every change of spacing [g]."""
    crop = endless(model.crops[t["crop"]])
    with GLASS.open(newline="", encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["compartment"] == t["id"].split("-")[1]]
    first = [row["date"] for row in rows].index(GLASS_FIRST)
    names = ("dli_mol_m2_d", "day_degc", "night_degc", "lit_h", "co2_ppm", "density_per_m2")
    by_day = {name: np.array([float(row[name]) for row in rows]) for name in names}
    weather = [np.resize(by_day[name], 365) for name in names[:4]]
    use = light_use_at_co2_g_mol(by_day["co2_ppm"][first:].mean(), by_day["day_degc"].mean(), model.constants)
    constants = replace(model.constants, light_use_g_mol=float(use))
    climate = bed_climate(*weather)
    density = by_day["density_per_m2"][first:]
    plant, leaves, out = t.number("start_g"), GLASS_LEAVES, []
    edges = [0, *(np.flatnonzero(np.diff(density)) + 1).tolist(), len(density)]
    for begin, end in pairwise(edges):
        days = np.arange(1.0, end - begin + 1)
        start = Start(plant * density[begin], leaves)
        shot = run(
            crop, climate, [first + begin], start=start, snapshot_d=days, horizon_d=len(days), constants=constants
        ).snapshots
        assert shot is not None
        out.append(shot.mass_g_m2.ravel() / density[begin])
        plant, leaves = float(out[-1][-1]), float(shot.leaves_count.ravel()[-1])
    return np.concatenate([[t.number("start_g")], *out]) * (1 - crop.root_frac.item())


def _glass_dry(t: Trial, model: Model) -> float:
    return float(_glass(t, model)[int(t.number("day_d"))])


def _glass_days(t: Trial, model: Model) -> float:
    mass = _glass(t, model)
    goal = t.number("target_g") * _dry_per_fresh(model.crops[t["crop"]]) * (1 - model.crops[t["crop"]].root_frac.item())
    return _reach(np.arange(float(len(mass))), mass, goal)


def _elasticity(t: Trial, model: Model) -> float:
    crop = _crop(t, model)
    density = float(crop.density_per_m2.item())
    dli = t.number("dli_mol_m2_d")
    climate = _steady(t, dli_mol_m2_d=[dli, 0.9 * dli, 1.1 * dli])
    mass = _grow(crop, climate, model, start=Start(t.number("start_g") * density, 4.0)).mass_g_m2[:, 0, :, 0, 0]
    day = _reach(LIFE, mass[:, 0], t.number("target_g") * density * _dry_per_fresh(crop))
    at = int(min(len(LIFE), 999 if math.isnan(day) else round(day))) - 1
    return float(np.log(mass[at, 2] / mass[at, 1]) / np.log(1.1 / 0.9))


def _per_mole(t: Trial, model: Model, dli: float | None = None) -> float:
    crop = _crop(t, model)
    light = t.number("dli_mol_m2_d") if dli is None else dli
    shot = _grow(crop, _steady(t, dli_mol_m2_d=light), model, [14.0], start=Start(100.0, 12.0))
    return float((shot.mass_g_m2.item() - 100.0) * (1 - crop.root_frac.item()) / (14.0 * light))


def _per_mole_trend(t: Trial, model: Model) -> float:
    return _per_mole(t, model, t.number("dli_second")) / _per_mole(t, model)


def _house(t: Trial) -> BedClimate:
    return invented_house(t.number("day_degc"), t.number("night_degc"))


def _house_leaves(t: Trial, model: Model) -> float:
    shot = _grow(_crop(t, model), _house(t), model, [t.number("day_second")], sow=[int(t.number("day_d"))])
    return float(shot.leaves_count.item())


def _harvest_d(crop: CropArrays, climate: BedClimate, model: Model, sow: Any = (0,)) -> Any:
    return run(crop, climate, sow, constants=model.constants)


def _house_days(t: Trial, model: Model) -> float:
    return float(_harvest_d(_crop(t, model), _house(t), model, [int(t.number("day_d"))]).harvest_d.item())


def _house_longest(t: Trial, model: Model) -> float:
    return float(np.nanmax(_harvest_d(_crop(t, model), _house(t), model, np.arange(0, 365, 7)).harvest_d))


def _days(t: Trial, model: Model) -> float:
    return float(_harvest_d(_crop(t, model), _steady(t), model).harvest_d.item())


def _days_up(t: Trial, model: Model) -> float:
    found = _harvest_d(_crop(t, model), _steady(t), model)
    return float((found.harvest_d - found.emergence_d).item())


def _leaf_stage_days(t: Trial, model: Model) -> float:
    crop = _crop(t, model, transplant_leaves_count=t.number("day_second"), by_leaves=True)
    return float(_harvest_d(crop, _steady(t), model).harvest_d.item())


WHOLE_SHOOT_FRAC = 0.9
"""Trays of growth rooms are cut at the root and weighed whole: judgement."""


def _yield_up(t: Trial, model: Model) -> float:
    crop = _crop(t, model, regrow_frac=0.0, harvest_frac=WHOLE_SHOOT_FRAC)
    up = float(_harvest_d(crop, _steady(t), model).emergence_d.item())
    mass = _grow(crop, _steady(t), model, [up + t.number("day_d")]).mass_g_m2.item()
    return float(mass * fresh_per_dry_ratio(crop).item() / 1000.0)


def _klapwijk(t: Trial, model: Model) -> tuple[float, float]:
    """Fit of two straight lines to length of crop on mid date (r²), and the date of its peak."""
    crop = _crop(t, model)
    plant = np.arange(200, 440, 7)
    start = Start(t.number("start_g") * float(crop.density_per_m2.item()), 4.0)
    days = run(crop, _house(t), plant % 365, start=start, constants=model.constants).harvest_d[0, 0, :, 0]
    mid = plant + days / 2
    peak = mid[int(np.nanargmax(days))]
    fits = []
    for side in (mid <= peak, mid >= peak):
        use = side & np.isfinite(days) & (days > 0.55 * np.nanmax(days))
        fits.append(float(np.corrcoef(mid[use], days[use])[0, 1] ** 2))
    return min(fits), float(peak)


def _tray(t: Trial, model: Model) -> Any:
    return seed_fed(model.trays[t["crop"]], _steady(t), [0])


KINDS: dict[str, Callable[[Trial, Model], float]] = {
    "rgr": _rgr,
    "respaced": _respaced,
    "leaves": _leaves,
    "gain-light": _gain_light,
    "gain-hours": _gain_hours,
    "gain-warmth": _gain_warmth,
    "cover-ratio": _cover_ratio,
    "days-from": _days_from,
    "elasticity": _elasticity,
    "per-mole": _per_mole,
    "per-mole-trend": _per_mole_trend,
    "house-leaves": _house_leaves,
    "house-days": _house_days,
    "house-longest": _house_longest,
    "days": _days,
    "days-up": _days_up,
    "leaf-stage-days": _leaf_stage_days,
    "yield-up": _yield_up,
    "klapwijk-r2": lambda t, m: _klapwijk(t, m)[0],
    "klapwijk-peak": lambda t, m: _klapwijk(t, m)[1],
    "glass-days": _glass_days,
    "glass-dry": _glass_dry,
    "tray-days": lambda t, m: float(_tray(t, m).harvest_d.item()),
    "tray-yield": lambda t, m: float(_tray(t, m).yield_g_m2.item()) / 1000.0,
}
