"""Write docs/method/growth.md: what the model is, and one row per published result beside tenhour's value.

Run: ``python scripts/growth_report.py`` to write it, ``--check`` to fail if the page is out of step.
"""

from __future__ import annotations

import csv
import math
import re
import sys
from dataclasses import fields
from pathlib import Path

import numpy as np
from growth_trials import ROOT, Model, Trial, compute, invented_house, latin_draws, load_trials, shipped_model
from growth_winter import GROUPS, Found, Winter, group_row, grow, kilograms, load_winters, load_yields

from tenhour.files.crop import load_all_facts, load_crops
from tenhour.growth.carbon import CONSTANTS
from tenhour.growth.hardening import SCORCH_K, kill_degc
from tenhour.growth.places import days_by_light, light_for_days_mol_m2_d, standing
from tenhour.growth.run import run
from tenhour.growth.shapes import CropArrays
from tenhour.growth.temperature import growth_frac
from tenhour.model.crop import Climate, growth_columns, honesty

CROSSED = ROOT / "tests" / "published" / "growth_crossed.csv"
KILL = ROOT / "tests" / "published" / "growth_kill.csv"
PAGE = ROOT / "docs" / "method" / "growth.md"
TEXT = Path(__file__).with_name("growth_report.txt")
WINTER_SECTION = re.compile(r"## Winter houses\n.*?\n(?=## )", re.DOTALL)
FIGURE = re.compile(r"\d+(?:\.\d+)?")
FROST_PLACES = ("inside", "under", "outside")
ROLES = {
    "fit": "Used for fitting",
    "held": "Held back: never used in a fit",
    "shown": "Neither: shown for comparison",
}
SOWN = {"1 Sep": 243, "1 Oct": 273, "1 Nov": 304, "1 Dec": 334, "1 Jan": 0, "1 Feb": 31, "1 Mar": 59, "1 Apr": 90}
SHOWN = ("head-lettuce", "baby-lettuce", "spinach", "arugula", "radish", "baby-kale", "mizuna")


def figure(value: float) -> str:
    if math.isnan(value):
        return "never"
    digits = 0 if abs(value) >= 100 else 1 if abs(value) >= 10 else 2
    return f"{value:.{digits}f}"


def verdict(trial: Trial, ours: float) -> str:
    low, high, published = (trial.number(name) for name in ("low", "high", "published"))
    if math.isnan(ours):
        return "**miss**: never"
    off = (ours / published - 1) * 100
    return f"{'pass' if low <= ours <= high else '**miss**'} ({off:+.0f} %)"


def table(role: str, trials: list[Trial], ours: dict[str, float]) -> list[str]:
    lines = [
        f"### {ROLES[role]}",
        "",
        "| trial | crop | conditions | published | passes | tenhour | result | source |",
        "|---|---|---|---|---|---|---|---|",
    ]
    for t in trials:
        if t["role"] != role:
            continue
        conditions = "; ".join(
            part for part in (t["where"], f"assumed: {t['assumed']}" if t["assumed"] else "") if part
        )
        span = f"{figure(t.number('low'))}–{figure(t.number('high'))}"
        lines.append(
            f"| {t['id']} | {t['crop']} | {conditions} | {figure(t.number('published'))} {t['unit']} | {span} "
            f"| {figure(ours[t['id']])} | {verdict(t, ours[t['id']])} | {t['source']} |"
        )
    return [*lines, ""]


def held_error(trials: list[Trial], ours: dict[str, float]) -> float:
    """Mean absolute error of days to harvest over the held-back rows, as a share."""
    rows = [t for t in trials if t["role"] == "held" and t["unit"] == "d"]
    return float(np.mean([abs(ours[t["id"]] / t.number("published") - 1) for t in rows]))


def sowing_table(model: Model) -> list[str]:
    house = invented_house(21.0, 10.0)
    lines = ["| sown | " + " | ".join(SHOWN) + " |", "|---|" + "---|" * len(SHOWN)]
    days = {crop: run(model.crops[crop], house, list(SOWN.values())).harvest_d.ravel() for crop in SHOWN}
    for i, name in enumerate(SOWN):
        lines.append(f"| {name} | " + " | ".join(figure(days[crop][i]) for crop in SHOWN) + " |")
    return lines


def december_table(model: Model) -> list[str]:
    house = invented_house(21.0, 10.0)
    lines = [
        "| crop, sown 5 December | up, day | first true leaf, day | day 31: leaves | mg a plant | supply over demand |",
        "|---|---|---|---|---|---|",
    ]
    for key in ("romaine", "radish", "spinach", "baby-lettuce"):
        crop = model.crops[key]
        found = run(crop, house, [338], snapshot_d=[31], constants=model.constants)
        shots = found.snapshots
        if shots is None:
            raise RuntimeError("no snapshot came back")
        one = shots.mass_g_m2.item() / crop.density_per_m2.item() * 1000
        lines.append(
            f"| {key} | {figure(found.emergence_d.item())} | {figure(found.first_leaf_d.item())} "
            f"| {figure(shots.leaves_count.item())} | {figure(one)} | {figure(found.source_sink_ratio.item())} |"
        )
    return lines


def picking_table(model: Model) -> list[str]:
    house = invented_house(21.0, 10.0)
    lines = [
        "| stand, grown by 5 December | " + " | ".join(f"week {w}" for w in range(1, 9)) + " |",
        "|---|" + "---|" * 8,
    ]
    for key in ("kale", "chard", "celery", "parsley"):
        weeks = standing(model.crops[key], house, [338]).week_yield_g_m2
        if weeks is None:
            raise RuntimeError("no weekly yield came back")
        lines.append(f"| {key}, g m⁻² | " + " | ".join(figure(v) for v in weeks[:8, 0, 0, 0, 0]) + " |")
    return lines


def range_table(model: Model) -> list[str]:
    house = invented_house(21.0, 10.0)
    lines = ["| crop | sown | 10 % | middle | 90 % |", "|---|---|---|---|---|"]
    for key, name in (("head-lettuce", "1 Dec"), ("head-lettuce", "1 Mar"), ("head-lettuce", "1 Sep"),
                      ("baby-lettuce", "1 Dec"), ("spinach", "1 Oct")):  # fmt: skip
        days = run(model.crops[key], house, [SOWN[name]], latin_draws()).harvest_d.ravel()
        low, middle, high = np.percentile(np.nan_to_num(days, nan=365.0), [10, 50, 90])
        lines.append(f"| {key} | {name} | {low:.0f} | {middle:.0f} | {high:.0f} |")
    return lines


LEVELS = np.geomspace(0.3, 40.0, 28)
"""Levels of light that are tried [mol m⁻² d⁻¹]."""


def need_table(model: Model) -> list[str]:
    wanted = {"head-lettuce": 60, "baby-lettuce": 35, "spinach": 50, "radish": 40, "baby-kale": 40}
    lines = ["| crop | days | light at 20/14 °C, 14 h |", "|---|---|---|"]
    for key, days in wanted.items():
        took = days_by_light(model.crops[key], LEVELS, 20.0, 14.0, 14.0, horizon_d=days + 1)
        need = light_for_days_mol_m2_d(took, np.full((1, 1), float(days)), LEVELS).item()
        lines.append(f"| {key} | {days} | {figure(need)} mol m⁻² d⁻¹ |")
    return lines


GROUPS_HELD = (
    ("growth rooms", "held", "d", ("baby-", "romaine", "mizuna", "radish")),
    ("lit winter glass, 9–12 mol", "held", "", ("glass-CVA", "glass-Reference")),
    ("lit winter glass, 17 mol, tipburn", "held", "", ("glass-Koala",)),
    ("rooms, used for fitting", "fit", "d", ("henten", "baby-", "raise", "tray")),
)
"""Name, role, unit (any where empty) and beginnings of the names of trials with days or masses of their own."""


def room_groups(trials: list[Trial], ours: dict[str, float]) -> list[str]:
    """Errors of groups of trials whose light and air were measured or set."""
    lines = ["| group | rows | sources | bias | mean error | errors from, to |", "|---|---|---|---|---|---|"]
    for name, role, unit, begins in GROUPS_HELD:
        rows = [
            t for t in trials if t["role"] == role and t["unit"] == (unit or t["unit"]) and t["id"].startswith(begins)
        ]
        off = np.array([ours[t["id"]] / t.number("published") - 1 for t in rows])
        sources = {t["source"] for t in rows}
        spread = f" ± {off.std(ddof=1) / math.sqrt(len(sources)):.0%}" if len(sources) > 1 else ""
        lines.append(
            f"| {name} | {len(rows)} | {len(sources)} | {off.mean():+.0%}{spread} | {np.abs(off).mean():.0%} "
            f"| {off.min():+.0%}, {off.max():+.0%} |"
        )
    return lines


def crossed_table() -> list[str]:
    """What the joint fit says of each of its rows, and what it says without the row's source."""
    lines = ["| row | crop | published | all sources | without its source | source |", "|---|---|---|---|---|---|"]
    with CROSSED.open(newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            ours = (figure(float(row[name])) for name in ("with_all", "without_source"))
            lines.append(
                f"| {row['row']} | {row['crop']} | {row['published']} | {' | '.join(ours)} | {row['source']} |"
            )
    return lines


def kill_table() -> list[str]:
    """Growers' records of frost by crop: how many come out right, read inside or under a cover, and outside."""
    climates = {crop.key: crop.climate for crop in load_crops()}
    with KILL.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    lines = [
        "| crop | stands, hardened | if not | right, read inside | outside, under house and cover | outside, one |",
        "|---|---|---|---|---|---|",
    ]
    for key in sorted({row["crop"] for row in rows}):
        climate = climates[key]
        tender = climate.kill_degc if climate.kill_tender_degc is None else climate.kill_tender_degc
        cells = [key, f"{climate.kill_degc.value:.0f} °C", f"{tender.value:.0f} °C"]
        for where in FROST_PLACES:
            own = [row for row in rows if row["crop"] == key and frost_place(row) == where]
            cells.append(f"{sum(frost_right(row, climate) for row in own)} of {len(own)}" if own else "none")
        lines.append("| " + " | ".join(cells) + " |")
    return lines


def winter_found() -> list[tuple[Winter, Found]]:
    """Every dated winter sowing beside what the model says of it."""
    model = shipped_model(young=False)
    return [(t, grow(t, model)) for t in load_winters()]


def winter_groups(found: list[tuple[Winter, Found]]) -> list[str]:
    lines = ["| group | points | sources | bias | mean error | in range | windows |", "|---|---|---|---|---|---|---|"]
    groups = [group_row(group, [(t, f) for t, f in found if t["group"] == group]) for group in GROUPS]
    return [*lines, *groups, group_row("all", found)]


def winter_table(found: list[tuple[Winter, Found]]) -> list[str]:
    lines = [
        "| sowing | crop | sown, place | published, days | tenhour, days | result | source |",
        "|---|---|---|---|---|---|---|",
    ]
    for t, f in found:
        window = "" if t["kind"] == "point" else f" ({t['kind']})"
        span = f"{t['low']}–{t['high']}{window}"
        ours = f"{whole(f.days)} ({whole(f.early)}–{whole(f.late)})"
        off = f" ({f.off(t):+.0%})" if t["kind"] == "point" else ""
        lines.append(
            f"| {t['id']} | {t['crop']} | {t['sown']}, {t['lat']}° N; {t['where']} | {span} | {ours} "
            f"| {'in' if f.holds(t) else '**out**'}{off} | {t['source']} |"
        )
    return lines


def yield_table() -> list[str]:
    """Published kilograms beside ours: within a factor of 1.5, or named as a miss."""
    model = shipped_model(young=False)
    lines = ["| yield | crop | published, kg m⁻² | tenhour | factor | source |", "|---|---|---|---|---|---|"]
    for t in load_yields():
        middle, low, high = kilograms(t, model)
        factor = middle / t.number("published_kg_m2")
        said = f"{factor:.1f}" if 1 / 1.5 <= factor <= 1.5 else f"**{factor:.1f}**"
        lines.append(
            f"| {t['id']} | {t['crop']} | {t['published_kg_m2']} ({t['where']}) | {middle:.2f} ({low:.2f}–{high:.2f}) "
            f"| {said} | {t['source']} |"
        )
    return lines


def kill_counts() -> dict[str, tuple[int, int]]:
    """Growers' records of frost that come out right, and how many there are, by where the degree was read."""
    climates = {crop.key: crop.climate for crop in load_crops()}
    out = {}
    with KILL.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    for where in FROST_PLACES:
        own = [row for row in rows if frost_place(row) == where]
        out[where] = (sum(frost_right(row, climates[row["crop"]]) for row in own), len(own))
    return out


def frost_place(row: dict[str, str]) -> str:
    """Where the degree of a row was read: inside, or outside of a crop under house and cover, or under one or none."""
    if row["at"] != "outside":
        return "inside"
    under = row["cover"] not in {"", "none"} and not row["house"].startswith("open")
    return "under" if under or "two films" in row["house"] else "outside"


def frost_right(row: dict[str, str], climate: Climate) -> bool:
    """Whether what befell a hardened crop is what the model says, within 1 K of the reading."""
    hard = climate.kill_degc.value
    tender = hard if climate.kill_tender_degc is None else climate.kill_tender_degc.value
    kill = float(kill_degc(hard, tender, 1.0, float(row["leaves"] or 12)))
    margin = float(row["degc"]) + float(row["gain_k"]) - kill
    allowed = {"stood": margin > -1.0, "damaged": -1.0 <= margin <= SCORCH_K + 1.0, "died": margin < 1.0}
    return allowed[row["became"]]


def share_at(crop: CropArrays, temp_degc: float) -> float:
    """Share of its ceiling of growth that one crop has at a temperature."""
    return float(growth_frac(temp_degc, crop.temp_min_degc, crop.temp_opt_degc, crop.temp_max_degc).item())


def whole(days: float) -> str:
    return f"{days:.0f}" if math.isfinite(days) else "never"


def constants_table() -> list[str]:
    lines = ["| constant | value |", "|---|---|"]
    return lines + [f"| `{item.name}` | {getattr(CONSTANTS, item.name):g} |" for item in fields(CONSTANTS)]


def page(*, winter: bool = True) -> str:
    """Return the page; without its winter houses, which take longest, to see whether the rest is in step."""
    model = shipped_model()
    trials = load_trials()
    ours = {t["id"]: compute(t, model) for t in trials}
    crops = load_crops()
    counted, beside = honesty(crops), honesty((), load_all_facts(crops))
    passed = sum("pass" in verdict(t, ours[t["id"]]) for t in trials)
    salad = shipped_model(young=False)
    winters = winter_found() if winter else []
    parts = {
        "winter_groups": winter_groups(winters) if winter else [],
        "winter": winter_table(winters),
        "yields": yield_table() if winter else [],
        "room_groups": room_groups(trials, ours),
        "crossed": crossed_table(),
        "kills": kill_table(),
        "constants": constants_table(),
        "fit": table("fit", trials, ours),
        "held": table("held", trials, ours),
        "shown": table("shown", trials, ours),
        "sowing": sowing_table(salad),
        "december": december_table(salad),
        "picking": picking_table(model),
        "ranges": range_table(salad),
        "needs": need_table(salad),
    }
    kill = kill_counts()
    figures = {
        "kill_rows": str(sum(whole for _, whole in kill.values())),
        **{f"kill_{where}": f"{good} of {whole}" for where, (good, whole) in kill.items()},
        "kale10": f"{share_at(salad.crops['kale'], 10.0):.2f}",
        "held_error": f"{held_error(trials, ours) * 100:.0f}",
        "passed": str(passed),
        "rows": str(len(trials)),
        "numbers": str(counted.count),
        "judged": f"{counted.judgement_share * 100:.0f}",
        "crops": str(len(crops)),
        "carbon": str(sum(crop.grows_by_carbon for crop in crops)),
        "findings": str(beside.count),
    }
    text = TEXT.read_text("utf-8")
    for name, lines in parts.items():
        text = text.replace(f"<<{name}>>", "\n".join(lines).rstrip())
    figures.update({f"ours:{name}": figure(value).removesuffix(".0") for name, value in ours.items()})
    for name, value in figures.items():
        text = text.replace(f"<<{name}>>", value)
    return text


def columns_are_complete() -> bool:
    """Tell whether every field of CropArrays comes from the table."""
    carbon = [crop for crop in load_crops() if crop.grows_by_carbon]
    return set(growth_columns(carbon)) == set(CropArrays.__dataclass_fields__)


def in_step(old: str, new: str) -> bool:
    """Tell whether two pages say the same: same words, figures within 3 % or one unit of the last digit.

    Processors round single precision differently, and a day is no change. Winter houses stand behind the whole
    chain of light and air, whose own changes move them: their section is written here and not held to the day.
    """
    old, new = (WINTER_SECTION.sub("", text) for text in (old, new))
    if len(FIGURE.split(old)) != len(FIGURE.split(new)) or FIGURE.split(old) != FIGURE.split(new):
        return False
    pairs = zip(FIGURE.findall(old), FIGURE.findall(new), strict=True)
    return all(abs(float(a) - float(b)) <= max(0.03 * abs(float(b)), 1.01) for a, b in pairs)


def main(arguments: list[str]) -> int:
    text = page(winter="--check" not in arguments)
    if "--check" in arguments:
        return 0 if PAGE.exists() and in_step(PAGE.read_text("utf-8"), text) else 1
    PAGE.parent.mkdir(parents=True, exist_ok=True)
    PAGE.write_text(text, "utf-8")
    print(f"wrote {PAGE.relative_to(ROOT)}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
