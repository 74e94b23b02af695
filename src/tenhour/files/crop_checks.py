"""What a crop file may hold beyond its shape: ranges by unit, known sources, and numbers in a possible order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, Final

from tenhour.files.problems import Problems, show
from tenhour.files.units_text import plain_number
from tenhour.model.crop import Source

RANGES: Final = (
    ("_degcday", 1.0, 5000.0, "degree days"),
    ("_degc", -50.0, 50.0, "°C"),
    ("_frac", 0.0, 1.0, "a share from 0 to 1"),
    ("_mol_m2_d", 0.0, 80.0, "mol m⁻² d⁻¹"),
    ("_mol_m2", 1.0, 5000.0, "mol m⁻²"),
    ("leaf_rate_per_d", 0.02, 2.0, "leaves a day"),
    ("rgr_per_d", 0.02, 1.0, "a day"),
    ("_m2_g", 0.001, 0.15, "m² per g"),
    ("extinction_ratio", 0.2, 1.0, "extinction"),
    ("drawn_ratio", 0.0, 1.0, "an exponent"),
    ("seedling_mg", 0.01, 2000.0, "mg"),
    ("_per_m2", 0.2, 60000.0, "plants per m²"),
    ("_g_m2", 0.0, 40000.0, "g per m²"),
    ("thousand_seed_g", 0.01, 5000.0, "g per thousand seeds"),
    ("_g", 0.01, 5000.0, "g"),
    ("_h", 0.0, 24.0, "hours"),
    ("after_frost_d", -120.0, 120.0, "days after the last frost"),
    ("_d", 0.0, 730.0, "days"),
    ("_count", 1.0, 60.0, "leaves"),
)
"""Range by end of name, first match; wide enough for any plant, narrow enough to catch a wrong unit. Judgement."""

ORDERS: Final = (
    ("growth.temp_min_degc", "growth.temp_opt_degc"),
    ("growth.temp_opt_degc", "growth.temp_max_degc"),
    ("emergence.base_degc", "growth.temp_opt_degc"),
    ("emergence.base_degc", "emergence.max_degc"),
    ("climate.kill_degc", "growth.temp_opt_degc"),
    ("climate.kill_degc", "climate.kill_tender_degc"),
    ("climate.kill_degc", "climate.chill_degc"),
    ("climate.least_mean_degc", "climate.best_mean_degc"),
    ("climate.best_mean_degc", "climate.most_mean_degc"),
    ("sown.latest_d", "sown.earliest_d"),
    ("light.dli_min_mol_m2_d", "light.dli_target_mol_m2_d"),
    ("light.dli_target_mol_m2_d", "light.dli_most_mol_m2_d"),
    ("light.dli_min_mol_m2_d", "light.dli_most_mol_m2_d"),
)
"""Pairs of keys whose values may not fall."""

FAHRENHEIT_ABOVE: Final = 50.0


def check_crop(raw: Mapping[str, Any], problems: Problems, sources: Mapping[str, Source]) -> None:
    """Note what is wrong with the numbers of a crop file whose shape has been checked."""
    numbers = dict(_numbers(raw))
    for key, number in numbers.items():
        _check_number(key, number, problems)
        if number["source"] not in sources:
            problems.choice(f"{key}.source", number["source"], "no known source", list(sources))
    for lower, upper in ORDERS:
        if lower in numbers and upper in numbers and numbers[lower]["value"] > numbers[upper]["value"]:
            problems.add(
                lower,
                plain_number(numbers[lower]["value"]),
                f"at most {upper}, which is {plain_number(numbers[upper]['value'])}",
                "Check both.",
            )


def _numbers(raw: Mapping[str, Any]) -> Iterator[tuple[str, Mapping[str, Any]]]:
    for section, items in raw.items():
        if isinstance(items, Mapping):
            for name, number in items.items():
                yield f"{section}.{name}", number


def _check_number(key: str, number: Mapping[str, Any], problems: Problems) -> None:
    """Check the range of one number and the order of its spread."""
    low, high, unit = _range(key)
    before = len(problems.found)
    for part in ("value", "low", "high"):
        if not low <= number[part] <= high:
            allowed = f"{plain_number(low)} to {plain_number(high)} ({unit})"
            problems.add(f"{key}.{part}", show(number[part]), allowed, _guess(key, number[part]))
    if len(problems.found) == before and not number["low"] <= number["value"] <= number["high"]:
        found = " / ".join(plain_number(number[part]) for part in ("low", "value", "high"))
        problems.add(key, f"low / value / high = {found}", "low ≤ value ≤ high", "Put them in order.")


@cache
def _range(key: str) -> tuple[float, float, str]:
    for end, low, high, unit in RANGES:
        if key.endswith(end):
            return low, high, unit
    raise KeyError(f"{key} has no range; add its unit to RANGES")


def _guess(key: str, value: float) -> str:
    """Suggest what the writer may have meant."""
    if key.endswith("_frac") and 1 < value <= PERCENT:
        return f"Did you mean {plain_number(value / PERCENT)}?"
    if key.endswith("_degc") and FAHRENHEIT_ABOVE < value <= FAHRENHEIT_MOST:
        return f"Is this °F? That would be {plain_number(round((value - 32.0) / 1.8, 1))}."
    if key.endswith("_mol_m2_d") and value > 0:
        return "Is this a flux in µmol m⁻² s⁻¹? Over h hours it gives flux × h × 0.0036."
    return "Check the unit."


PERCENT: Final = 100.0
FAHRENHEIT_MOST: Final = 120.0
