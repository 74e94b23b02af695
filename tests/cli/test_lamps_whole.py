"""Plans over beds, houses, shelves and lamps drawn at random, as the command hands them out: hung, lit, billed."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.spatial import ConvexHull

import helpers_drawn as hd
from helpers_cli import tenhour
from helpers_long import many
from tenhour.files.lamp_kinds import load_kinds

SITE = 'schema = 1\n[site]\nlatitude_deg = {lat}\nlongitude_deg = {lon}\nelevation_m = 50\ntimezone = "{zone}"\n'
WARM = "[air]\nday_degc = 18\nnight_degc = 15\n"
PLACES = ((55.7, 12.6, "Europe/Copenhagen"), (45.4, -75.7, "America/Toronto"), (-43.5, 172.6, "Pacific/Auckland"))
KINDS = ("led-bar", "led-panel", "t5-tube", "led-bulb", "hps")
CROPS = ("spinach", "mizuna", "leaf-lettuce", "radish-microgreens", "lettuce-plants")
PRICE = 0.25
CANOPY_M = 0.05
NEAR_M = 2e-3
"""Places are printed to a millimetre."""
FINENESS = 0.2
"""Pieces of lamps and bed over the height: the midpoint rule is then within 1 %."""


def _asked(seed: int, folder: Path) -> tuple[list[str], hd.Drawn | None, str]:
    """The words of a question, the house it is about or None for a shelf, and the kind of lamp."""
    draw = np.random.default_rng(1000 + seed)
    kind, crop = str(draw.choice(KINDS)), str(draw.choice(CROPS))
    words = ["lamps", "--crop", crop, "--lamp", kind, "--price", f"{PRICE} EUR", "--from", "2026-11-29"]
    words += ["--even", f"{draw.uniform(0.4, 0.8):.2f}"]
    if draw.random() < 0.5:
        words += ["--dli", f"{draw.uniform(3.0, 14.0):.1f}"]
    if seed % 3 == 2:
        size = f"{draw.uniform(0.6, 5.0):.2f}x{draw.uniform(0.3, 1.2):.2f}"
        words += ["--shelf", size, "--tiers", str(draw.integers(1, 4)), "--headroom", f"{draw.uniform(0.35, 1.2):.2f}"]
        return words, None, kind
    house = hd.drawn(seed)
    lat, lon, zone = PLACES[seed % len(PLACES)]
    path = folder / f"drawn-{seed}.toml"
    path.write_text(house.toml(SITE.format(lat=lat, lon=lon, zone=zone)) + WARM, encoding="utf-8")
    bed = house.beds[int(draw.integers(len(house.beds)))][0]
    return [*words, "--house", str(path), "--bed", bed], house, kind


def _answer(words: list[str]) -> Any:
    """The answer, or None where there is none and one line says why."""
    done = tenhour(*words, "--json")
    if done.status:
        assert done.status in (1, 2)
        assert len(done.err.strip().splitlines()) == 1, done.err
        return None
    return json.loads(done.out)


def _footprints(layout: dict[str, Any]) -> Any:
    """Low and high corners of every fixture in the axes of the bed (n, 2), (n, 2)."""
    size = np.array([layout["length_m"], layout["width_m"]])
    half = (size if layout["along"] == "the length" else size[::-1]) / 2
    centre = np.column_stack([layout["x_m"], layout["y_m"]])
    return centre - half, centre + half


def _hangs(layout: dict[str, Any], house: hd.Drawn | None, bed: str, kind: str) -> None:
    lamp = load_kinds()[kind]
    low, high = _footprints(layout)
    gap = np.maximum(low[:, None] - high[None, :], low[None, :] - high[:, None]).max(axis=2)
    others = gap[~np.eye(len(gap), dtype=bool)]
    assert not others.size or others.min() >= 0.03 - NEAR_M
    assert layout["height_m"] >= lamp.clearance_m - NEAR_M
    if house is None:
        return
    name, at, size, soil, _ = next(one for one in house.beds if one[0] == bed)
    level = soil + CANOPY_M + layout["height_m"]
    low, high = low + at, high + at
    corners = np.array(
        [[x, y, level] for a, b in zip(low, high, strict=True) for x in (a[0], b[0]) for y in (a[1], b[1])]
    )
    skin = ConvexHull(np.concatenate([np.array(face, dtype=float) for face in house.faces.values()]))
    assert (corners @ skin.equations[:, :3].T + skin.equations[:, 3]).max() <= NEAR_M, "sticks out of the house"
    for lowest, room, _ in house.boxes:
        top = np.add(lowest, room)
        apart = (low > top[:2] - NEAR_M).any(axis=1) | (high < np.array(lowest[:2]) + NEAR_M).any(axis=1)
        assert apart.all() or not lowest[2] <= level <= top[2], "hangs in a box"
    for other, start, extent, above, _ in house.beds:
        over = (start[0] < at[0] + size[0]) and (at[0] < start[0] + extent[0]) and (start[1] < at[1] + size[1])
        if other != name and over and at[1] < start[1] + extent[1] and above > soil:
            assert level + lamp.clearance_above_m <= above + NEAR_M, "hangs into the tier above"


def _photons(answer: dict[str, Any], kind: str) -> None:
    """Photons on the bed are those sent, less those that miss it; direct light by a sum over points of fixtures."""
    layout, lamp = answer["layout"], load_kinds()[kind]
    area = answer["area_m2"] / answer["tiers"]
    new = layout["delivered_ppfd_umol_m2_s"] / layout["maintenance_frac"]
    sent = layout["fixtures_each"] * layout["fixture_ppf_umol_s"]
    assert new * area <= sent * (1 + 1e-3)
    printed = (
        0.06 / layout["fixture_ppf_umol_s"] + 0.06 / layout["delivered_ppfd_umol_m2_s"]
    )  # one digit behind the point
    assert layout["cu_ratio"] == pytest.approx(new * area / sent, rel=printed, abs=1e-3)
    if lamp.beam_deg == 120.0 and lamp.intensities is None:
        direct = _direct(layout, answer["bed_size_m"], lamp.down_share)
        assert new * (1 - layout["bounced_share"]) == pytest.approx(direct, rel=0.015)
    for day in answer["days"]:
        total = day["daylight_dli_mol_m2_d"] + day["lamp_dli_mol_m2_d"]
        assert day["total_dli_mol_m2_d"] == pytest.approx(total, abs=0.02)
        most = layout["delivered_ppfd_umol_m2_s"] * answer["hours_h"] * 0.0036
        assert day["lamp_dli_mol_m2_d"] <= most * (1 + 5e-3) + 0.01


def _direct(layout: dict[str, Any], sides: Sequence[float], down: float) -> float:
    """Mean light of Lambertian faces cut into points: I cos θ / d², I = PPF cos θ / π (inverse square and cosine)."""
    low, high = _footprints(layout)
    height = layout["height_m"]

    def cut(long: float) -> Any:
        count = int(np.ceil(long / (FINENESS * height))) + 1
        return (np.arange(count) + 0.5) / count

    x, y = (cut(side) * side for side in sides)
    light = 0.0
    for a, b in zip(low, high, strict=True):
        px, py = (a[k] + cut(b[k] - a[k]) * (b[k] - a[k]) for k in (0, 1))
        away = [(one[:, None] - two) ** 2 for one, two in ((x, px), (y, py))]
        d2 = height**2 + away[0][:, None, :, None] + away[1][None, :, None, :]
        light += float((height**2 / d2**2).mean())
    return light * layout["fixture_ppf_umol_s"] * down / np.pi


def _billed(answer: dict[str, Any]) -> None:
    dim = answer["dim_frac"] or 1.0
    changed = {int(row["on"][5:7]) for row in answer["clock_changes"]}
    rows = [row for row in answer["clock"] if row["windows"]]
    for row in rows:
        spans = [(_hour(one["off"]) - _hour(one["on"])) % 24 or 24.0 for one in row["windows"]]
        assert sum(spans) == pytest.approx(row["lamp_h"])
        if row["month"] not in changed:
            assert row["energy_kwh"] == pytest.approx(
                row["days"] * row["lamp_h"] * answer["power_w"] * dim / 1000.0, rel=2e-3, abs=0.02
            )
    assert answer["energy_season_kwh"] == pytest.approx(sum(row["energy_kwh"] for row in rows), rel=1e-3, abs=0.06)
    assert answer["cost_season"] == pytest.approx(PRICE * answer["energy_season_kwh"], abs=0.02)
    assert answer["power_w"] == pytest.approx(answer["fixtures"] * answer["layout"]["fixture_w"])


def _hour(clock: str) -> float:
    return int(clock[:2]) + int(clock[3:]) / 60


@pytest.mark.parametrize("seed", many((0, 2, 5), tuple(range(60))))
def test_a_plan_can_be_hung_keeps_its_photons_and_adds_up(seed: int, tmp_path: Path) -> None:
    words, house, kind = _asked(seed, tmp_path)
    answer = _answer(words)
    if answer is None or answer["layout"] is None:
        return
    bed = words[words.index("--bed") + 1] if house is not None else ""
    size = words[words.index("--shelf") + 1].split("x") if house is None else ()
    answer["bed_size_m"] = [float(side) for side in size] or next(one[2] for one in house.beds if one[0] == bed)  # type: ignore[union-attr]
    if answer["chosen"] == "seedlings":  # over trays, not over the bed
        _billed(answer)
        return
    _hangs(answer["layout"], house, bed, kind)
    _photons(answer, kind)
    _billed(answer)


@pytest.mark.parametrize("seed", many((0,), tuple(seed for seed in range(24) if seed % 3 != 2)))
def test_more_budget_is_never_worse(seed: int, tmp_path: Path) -> None:
    words, house, _ = _asked(seed, tmp_path)
    assert house is not None
    asked = ["lamps", "--crop", "spinach", "--house", words[words.index("--house") + 1], "--price", f"{PRICE} EUR"]
    gained = 0.0
    for budget in many(("100 W", "400 W"), ("60 W", "150 W", "400 W", "1000 W")):
        answer = _answer([*asked, "--from", "2026-11-29", "--budget", budget])
        rows = [] if answer is None else answer["budget"]
        assert sum(row["power_w"] for row in rows) <= float(budget.split()[0]) + 1e-6
        now = sum(row["extra_kg"] for row in rows)
        assert now >= gained - 0.02
        gained = now
