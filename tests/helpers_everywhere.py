"""The whole program at any place on Earth: houses with and without means of their own, and what every answer keeps to."""

from __future__ import annotations

import json
import math
import random
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any, Final

import numpy as np

from helpers_options import run
from helpers_world import PLAIN
from tenhour.sun.position import extraterrestrial_daily

ZONES: Final = (
    "UTC", "Asia/Kolkata", "Asia/Kathmandu", "Australia/Adelaide", "Australia/Lord_Howe", "America/St_Johns",
    "Pacific/Chatham", "Pacific/Kiritimati", "Pacific/Apia", "Pacific/Pago_Pago", "Africa/Casablanca", "Europe/Dublin",
    "America/Sao_Paulo", "Asia/Tehran", "Europe/Oslo", "Antarctica/Troll", "Asia/Pyongyang", "Etc/GMT+12",
)  # fmt: skip
"""Half and quarter hours, half-hour summer time, both sides of the date line, summer time below standard time."""
MID_MONTH_DOY: Final = (15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349)
CLEARNESS: Final = 0.42
NORMALS_END_DEG: Final = (-57.0, 72.0)


def means(latitude_deg: float) -> str:
    """Twelve means of light and temperature such as a place of that latitude might have."""
    beyond = np.asarray(extraterrestrial_daily(latitude_deg, np.array(MID_MONTH_DOY))) * 86400.0 / 1e6
    wave = -np.cos(2 * np.pi * (np.array(MID_MONTH_DOY) - 20) / 365.0) * math.copysign(1.0, latitude_deg)
    temp = 27.0 - 0.45 * abs(latitude_deg) + 0.2 * abs(latitude_deg) * wave
    light = ", ".join(f"{value * CLEARNESS:.3f}" for value in beyond)
    return f"[site.means]\nghi_mj_m2_d = [{light}]\ntemp_degc = [{', '.join(f'{t:.1f}' for t in temp)}]\n"


def house_text(latitude_deg: float, longitude_deg: float, zone: str, own: bool, azimuth: float | None = None) -> str:
    """A small glass house that faces the equator, heated a little."""
    facing = (90.0 if latitude_deg >= 0 else 270.0) if azimuth is None else azimuth
    wall = '[face.north]\ncover = "opaque"\n'
    text = PLAIN.format(
        lat=latitude_deg, lon=longitude_deg, elev=100, zone=zone, azimuth=facing, faces=wall, cover="glass-1",
        air="day_set_degc = 12\nnight_set_degc = 6",
    )  # fmt: skip
    return text + (means(latitude_deg) if own else "")


def calls(on: date, everything: bool = False) -> Iterator[list[str]]:
    """The commands that answer from a place; with the slow ones, if all are wanted."""
    day = on.isoformat()
    yield ["light", "--on", day, "--map", "front", "--json"]
    yield ["sow", "--on", day, "--crop", "kale", "--crop", "radish", "--crop", "pea-shoots", "--json"]
    yield ["season", "--from", day, "--crop", "kale", "--crop", "spinach", "--json"]
    yield ["lamps", "front", "--crop", "kale", "--json"]
    yield ["why", "kale", "--sown", day, "--seen", date.fromordinal(on.toordinal() + 21).isoformat(), "--json"]
    if everything:
        yield ["week", "--on", day, "--json"]
        yield ["heat", "--on", day, "--tonight", "-3", "--cut", "12", "--json"]
        yield ["feed", "--on", day, "--every", "4w", "--seconds", "3", "--json"]


def answers(folder: Path, on: date, everything: bool = False) -> dict[str, Any]:
    """All answers of the house in a folder (the current one), each checked; the slow ones too, if all are wanted."""
    found = {}
    for words in calls(on, everything):
        done = run(words)
        assert done.status in (0, 1), f"{words}: {done.err}"
        if done.status == 1:
            assert done.err.strip(), words
            continue
        answer = json.loads(done.out, parse_constant=_no_constant)
        check_numbers(answer, words[0])
        found[words[0]] = answer
    check_light(found["light"])
    return found


def _no_constant(name: str) -> object:
    raise AssertionError(f"{name} in the answer")


NEVER_NEGATIVE: Final = ("_mol_m2_d", "_umol_m2_s", "_h", "_ratio", "_frac", "_share", "_kg_m2", "_w", "_kwh", "_w_m2")

MAY_COST: Final = ("saved", "frost_hours_less")
"""What a change saves: it may cost heat, and water in the shade keeps a cold house cold for longer."""


def check_numbers(value: Any, where: str) -> None:
    """Light, lengths of time, shares and yields are never negative; fractions and shares never above 1."""
    if isinstance(value, dict):
        for key, inner in value.items():
            check_numbers(inner, f"{where}.{key}")
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            check_numbers(inner, f"{where}[{number}]")
    elif isinstance(value, int | float) and not isinstance(value, bool) and not where.endswith("shift_h"):
        key = where.rpartition(".")[2].split("[")[0]
        assert math.isfinite(value), where
        if key.endswith(NEVER_NEGATIVE) and not key.startswith(MAY_COST):
            assert value >= 0.0, f"{where} = {value}"
        if key.endswith("_share") or (key.endswith("_frac") and not key.startswith("spread")):
            assert value <= 1.0 + 1e-9, f"{where} = {value}"


def check_light(answer: dict[str, Any]) -> None:
    """Months in order, the least below the mean below the most, parts that make up the whole, dull below typical."""
    assert [month["month"] for month in answer["months"]] == list(range(1, 13))
    for bed in answer["beds"]:
        assert [month["month"] for month in bed["months"]] == list(range(1, 13))
        for inside, month in zip(bed["months"], answer["months"], strict=True):
            assert inside["min_dli_mol_m2_d"] <= inside["dli_mol_m2_d"] * 1.0001 + 1e-9
            assert inside["dli_mol_m2_d"] <= inside["max_dli_mol_m2_d"] * 1.0001 + 1e-9
            assert inside["dull_dli_mol_m2_d"] <= inside["dli_mol_m2_d"] * 1.0001 + 1e-9
            assert month["outdoor"]["dull_dli_mol_m2_d"] <= month["outdoor"]["dli_mol_m2_d"] * 1.0001 + 1e-9
            assert 0.0 <= month["daylength_h"] <= month["photoperiod_h"] <= 24.0
            parts = inside["beam_frac"] + inside["sky_frac"] + inside["bounced_frac"]
            assert parts == 0.0 or abs(parts - 1.0) < 0.01


def place(rng: random.Random) -> tuple[float, float, str, bool, date]:
    """A random place, zone and date; own means where the normals end, and sometimes elsewhere."""
    latitude_deg = round(rng.uniform(-75.0, 75.0), 3)
    longitude_deg = rng.choice((round(rng.uniform(-180.0, 180.0), 3), 180.0, -180.0, 179.999, 0.0))
    low, high = NORMALS_END_DEG
    own = not low <= latitude_deg <= high or rng.random() < 0.5
    on = date.fromordinal(date(2027, 1, 1).toordinal() + rng.randrange(730))
    return latitude_deg, longitude_deg, rng.choice(ZONES), own, on
