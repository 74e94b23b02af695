"""What the grower's log has taught, from [learned] of a house file."""

from __future__ import annotations

import math
from functools import lru_cache

from tenhour.files.house.parts import Parts
from tenhour.files.textfile import packaged_toml
from tenhour.model.learned import Learned, Lessons


@lru_cache(maxsize=1)
def prior_numbers() -> dict[str, float]:
    """How sure one is of each factor before a log: packaged numbers by name, their sources beside them in the file."""
    return {name: float(row["value"]) for name, row in packaged_toml("learning.toml").items()}


def build_lessons(parts: Parts) -> Lessons:
    """Return what a house file says was learned; nothing where it has no [learned]."""
    whole = parts.learned
    crops, numbers = parts.learned_crops, prior_numbers()
    return Lessons(
        kept=whole.kept,
        since=whole.since,
        growth=_factor(whole.growth, whole.sowings),
        weight=_factor(whole.yields, whole.weighings),
        growth_of={name: found for name, one in crops.items() if (found := _factor(one.growth, one.sowings))},
        weight_of={name: found for name, one in crops.items() if (found := _factor(one.yields, one.weighings))},
        usual_sd_frac=math.hypot(numbers["growth"], numbers["growth_crop"]),
        least_spread_factor=numbers["spread_least"],
    )


def _factor(given: tuple[float, float, float] | None, rows: int | None) -> Learned | None:
    return None if given is None else Learned(*given, rows_count=rows or 0)
