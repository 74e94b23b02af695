"""Fit the growth model to the rows of published results that are marked "fit"; held-back rows are never touched.

Prints the values found; they are copied by hand into ``growth/carbon.py`` and ``crops/*.toml`` (rounded), so that a
change of data is a change someone made. Run: ``python scripts/growth_fit.py core`` for what all crops share and the
crops with trials of their own, ``python scripts/growth_fit.py CROP …`` for one crop at a time, and ``python
scripts/growth_fit.py winter`` for the crops that dated winter sowings may move, rooms and tunnels together: only
sowings whose crop is named and whose house is known but for its size. That run leaves out one source at a time and
writes what comes of it to ``tests/published/growth_crossed.csv``, which the page shows.
"""

from __future__ import annotations

import csv
import sys
from dataclasses import replace
from itertools import product
from typing import Any

import numpy as np
from growth_trials import ROOT, Model, Trial, compute, load_trials, shipped_model
from growth_winter import SIZE_GUESSED, Winter, grow_middle, load_winters
from scipy.optimize import least_squares

SHARED = {
    "half_light_umol_m2_s": (1070.0, 600.0, 3000.0),
    "upkeep_25_per_d": (0.022, 0.015, 0.03),
    "shade_ratio": (0.25, 0.1, 0.28),
    "cool_ratio": (0.7, 0.4, 1.5),
    "young_frac": (0.58, 0.4, 1.2),
    "young_leaves_count": (3.3, 1.0, 8.0),
    "leaf_cost_ratio": (1.5, 1.2, 4.0),
}
"""What all crops share: start, least and greatest value tried."""
TOGETHER = {
    "lettuce": ("head-lettuce", "romaine", "baby-lettuce", "leaf-lettuce", "lettuce-plants"),
    "kale": ("kale", "baby-kale"),
    "spinach": ("spinach",),
    "radish": ("radish",),
    "mizuna": ("mizuna", "baby-mizuna"),
    "pak-choi": ("baby-pak-choi",),
}
"""Crops that share a ceiling of growth and a leaf area."""
ROMAINE_AREA = 0.94
CEILING = (0.15, 0.65)
AREA = (0.015, 0.05)
START = {
    "lettuce": (0.466, 0.041),
    "kale": (0.316, 0.0445),
    "spinach": (0.175, 0.033),
    "radish": (0.53, 0.0285),
    "mizuna": (0.469, 0.0385),
    "pak-choi": (0.41, 0.04),
}
PULL = 0.3
"""Weight of staying near the start, per range tried: only decides where trials say nothing."""
WORST = 8.0
RATIOS = np.exp(np.linspace(-0.45, 0.6, 8))
"""Multiples of the shipped numbers tried for one crop."""
NEAR = 0.05
"""Five per cent off counts as much as a ceiling or leaf area changed by a factor of e."""


def changed(model: Model, values: dict[str, float]) -> Model:
    """Return the model with other values; keys are constants, or crop group and field."""
    shared = {name: value for name, value in values.items() if name in SHARED}
    crops = dict(model.crops)
    for name, value in values.items():
        if name in SHARED:
            continue
        group, item = name.split(".")
        for key in TOGETHER.get(group, (group,)):
            area = ROMAINE_AREA if key == "romaine" and item == "leaf_area_m2_g" else 1.0
            crops[key] = crops[key].with_values(**{item: value * area})
    return Model(crops, model.trays, replace(model.constants, **shared))


def residuals(x: Any, names: list[str], limits: Any, start: Any, trials: list[Trial], model: Model) -> Any:
    trial_model = changed(model, dict(zip(names, x, strict=True)))
    parts = []
    for t in trials:
        half = (t.number("high") - t.number("low")) / 2
        parts.append((compute(t, trial_model) - t.number("published")) / half)
    parts.extend(PULL * (x - start) / (limits[1] - limits[0]))
    return np.clip(np.nan_to_num(np.array(parts), nan=WORST), -WORST, WORST)


def fit(tried: dict[str, tuple[float, float, float]], trials: list[Trial], model: Model) -> dict[str, float]:
    names = list(tried)
    start = np.array([tried[n][0] for n in names])
    limits = np.array([[tried[n][1] for n in names], [tried[n][2] for n in names]])
    found = least_squares(
        residuals, start, bounds=limits, x_scale=limits[1] - limits[0], diff_step=0.02, loss="soft_l1", max_nfev=25,
        args=(names, limits, start, trials, model),
    )  # fmt: skip
    return dict(zip(names, found.x.tolist(), strict=True))


def search(key: str, trials: list[Trial], model: Model) -> dict[str, float]:
    """Try a grid of ceilings and leaf areas for one crop: whole days give a fit by slopes nothing to hold on to."""
    crop = model.crops[key]
    best, least = {}, np.inf
    for ceiling in RATIOS:
        for area in RATIOS:
            values = {
                f"{key}.rgr_per_d": float(crop.rgr_per_d[0]) * ceiling,
                f"{key}.leaf_area_m2_g": float(crop.leaf_area_m2_g[0]) * area,
            }
            other = changed(model, values)
            off = [(compute(t, other) / t.number("published") - 1) / NEAR for t in trials]
            cost = float(np.sum(np.nan_to_num(off, nan=WORST) ** 2) + np.log(ceiling) ** 2 + np.log(area) ** 2)
            if cost < least:
                best, least = values, cost
    return best


CROSSED = ROOT / "tests" / "published" / "growth_crossed.csv"
WINTER_GRIDS: dict[str, dict[str, tuple[float, ...]]] = {
    "spinach": {
        "temp_min_degc": (0.0, -2.0, -4.0),
        "temp_opt_degc": (21.0, 18.5),
        "rgr_per_d": (0.19, 0.162, 0.133),
        "leaf_area_m2_g": (0.042, 0.0357, 0.0294),
    },
    "kale": {
        "temp_min_degc": (-1.0, -2.0, -3.0, -4.0),
        "rgr_per_d": (0.255, 0.3, 0.345),
        "leaf_area_m2_g": (0.0442, 0.052, 0.0598),
    },
}
"""Values tried of the crops that dated winter sowings may move, bases no lower than corn salad's; kale takes the rooms
of baby kale along."""
SALAD_OFF = 0.15
"""Error of days in a tunnel that counts as much as a growth room's own spread: judgement."""


def winter(crop: str, rooms: Model, tunnels: Model) -> list[dict[str, str]]:
    """Try every value of one crop on rooms and tunnels together, with all sources and without one at a time."""
    grid = WINTER_GRIDS[crop]
    keys = TOGETHER.get(crop, (crop,))
    trials = [t for t in load_trials() if t["role"] == "fit" and t["crop"] in keys]
    sown = [t for t in load_winters() if t["crop"] == crop and t["guessed"] == SIZE_GUESSED]
    tried = list(product(*grid.values()))
    off = np.empty((len(tried), len(trials) + len(sown)))
    ours = np.empty_like(off)
    for n, values in enumerate(tried):
        named = {f"{crop}.{name}": value for name, value in zip(grid, values, strict=True)}
        with_rooms, with_tunnels = changed(rooms, named), changed(tunnels, named)
        for k, trial in enumerate(trials):
            ours[n, k] = compute(trial, with_rooms)
            half = (trial.number("high") - trial.number("low")) / 2
            off[n, k] = (ours[n, k] - trial.number("published")) / half
        for k, row in enumerate(sown, len(trials)):
            ours[n, k] = grow_middle(row, with_tunnels)
            off[n, k] = row.off_log(ours[n, k]) / SALAD_OFF
    cost = np.clip(np.nan_to_num(off, nan=WORST), -WORST, WORST) ** 2
    cost[:, : len(trials)] += WORST * (cost[:, : len(trials)] > 1.0)  # no growth-room row is given up for a tunnel
    sources = [trial["source"] for trial in [*trials, *sown]]
    best = int(cost.sum(axis=1).argmin())
    print(crop, dict(zip(grid, tried[best], strict=True)))
    without = {name: int(cost[:, [s != name for s in sources]].sum(axis=1).argmin()) for name in set(sources)}
    return [
        {
            "row": row["id"], "crop": row["crop"], "source": row["source"], "published": told_of(row),
            "with_all": f"{ours[best, k]:.4g}", "without_source": f"{ours[without[row['source']], k]:.4g}",
        }
        for k, row in enumerate([*trials, *sown])
    ]  # fmt: skip


def told_of(row: Trial | Winter) -> str:
    """What a row says, in short."""
    if isinstance(row, Trial):
        return f"{row['published']} {row['unit']}"
    return f"{row['low']}–{row['high']} d"


def main(which: list[str]) -> None:
    model = shipped_model()
    if which == ["winter"]:
        salad = shipped_model(young=False)
        found = [row for crop in WINTER_GRIDS for row in winter(crop, model, salad)]
        with CROSSED.open("w", newline="", encoding="utf-8") as file:
            writer = csv.DictWriter(file, list(found[0]), lineterminator="\n")
            writer.writeheader()
            writer.writerows(found)
        return
    rows = [t for t in load_trials() if t["role"] == "fit" and t["crop"] in model.crops]
    if which == ["core"]:
        core = {key for keys in TOGETHER.values() for key in keys}
        tried = dict(SHARED)
        for group, (rgr, area) in START.items():
            tried[f"{group}.rgr_per_d"] = (rgr, *CEILING)
            tried[f"{group}.leaf_area_m2_g"] = (area, *AREA)
        own = [t for t in rows if t["crop"] in core]
        show(fit(tried, own, model), own, model)
        return
    for key in which:
        own = [t for t in rows if t["crop"] == key]
        show(search(key, own, model), own, model)


def show(values: dict[str, float], trials: list[Trial], model: Model) -> None:
    for name, value in values.items():
        print(f"{name:32s} {value:.4g}")
    after = changed(model, values)
    for t in trials:
        print(f"    {t['id']:28s} published {t.number('published'):8.2f}  tenhour {compute(t, after):8.2f}")


if __name__ == "__main__":
    main(sys.argv[1:] or ["core"])
