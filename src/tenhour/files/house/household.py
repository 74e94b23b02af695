"""The household, from [household] of a house file."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Any, Final

from tenhour.files.house.parts import Parts
from tenhour.files.house.schema import AnimalTable
from tenhour.files.problems import Problems, show
from tenhour.files.textfile import packaged_toml
from tenhour.model.household import WISHES, Animals, Household

LONGEST_PLAN_D: Final = 366


@lru_cache(maxsize=1)
def household_data() -> dict[str, Any]:
    """What a household eats, works and keeps where its file does not say: packaged, with sources. Do not change it."""
    return packaged_toml("household.toml")


def usual_household() -> Household:
    """Sensible wishes for two, where nobody told."""
    usual = household_data()
    meals = {kind: float(row["value"]) for kind, row in usual["meals"].items() if row["value"]}
    return Household(people_count=int(usual["people"]["value"]), meals_per_week=meals, assumed=True, meals_assumed=True)


def build_household(parts: Parts, problems: Problems, notes: list[str]) -> Household | None:
    """Return the household of a house file, or None where the file names none."""
    given = parts.household
    if given is None:
        return None
    if given.start is not None and given.end is not None:
        days = (given.end - given.start).days
        if days < 7 or days > LONGEST_PLAN_D:
            found = (
                f"{given.end.isoformat()}, {days} days after from"
                if days >= 0
                else f"{given.end.isoformat()}, before from"
            )
            problems.add("household.to", found, "a week to a year after from", "Change one of the two.")
    both = sorted(set(given.likes) & set(given.leave_out))
    if both:
        problems.add("household.leave_out", f"{show(both[0])}, which is liked too", "one of the two", "Keep one.")
    currencies = {money[1] for money in (given.work_worth, given.budget, given.price_kg) if money and money[1]}
    if len(currencies) > 1:
        problems.add("household", " and ".join(sorted(currencies)), "one currency", "Write all amounts in the same.")
    usual = usual_household()
    if given.meals is None:
        notes.append("The household's wishes were not given: salad, cooked greens and herbs as two people usually eat.")
    elif not any(given.meals.values()):
        problems.add(
            "household.meals", "no meals", f"meals of {', '.join(WISHES)}", "Write how many a week and person."
        )
    return replace(
        usual,
        people_count=given.people,
        start=given.start,
        end=given.end,
        meals_per_week=usual.meals_per_week if given.meals is None else given.meals,
        portions_g=given.portions_g or {},
        likes=given.likes,
        leave_out=given.leave_out,
        surety_frac=usual.surety_frac if given.surety is None else given.surety,
        work_h_week=given.work_h_week,
        hour_currency=_amount(given.work_worth),
        most_sowings_count=given.most_sowings,
        may_buy=given.may_buy,
        budget_currency=_amount(given.budget),
        rest_weeks_count=given.rest_weeks,
        kilo_currency=_amount(given.price_kg),
        currency=next(iter(currencies), ""),
        animals=tuple(_animals(animal) for animal in given.animal),
        assumed=False,
        meals_assumed=given.meals is None,
    )


def _amount(money: tuple[float, str] | None) -> float | None:
    return None if money is None else money[0]


def _animals(given: AnimalTable) -> Animals:
    usual = float(household_data()["animals"][given.kind]["greens_g_d"]["value"])
    return Animals(given.kind, given.count, usual if given.greens_g_d is None else given.greens_g_d)
