"""What a user types about lamps beside the lamp itself: the price of electricity, and the size of a shelf."""

from __future__ import annotations

import re
from typing import Final

from tenhour.errors import ARGUMENT
from tenhour.files.problems import Problems, show
from tenhour.files.units_text import BadValueError, Quantity
from tenhour.model.lamp import HOURS, REQUEST_BOUNDS, LampBudget, Tariff

_PRICE: Final = r"(-?\d+(?:[.,]\d+)?)"
_FLAT: Final = re.compile(rf"{_PRICE}\s*([A-Za-z€$£]{{0,4}})")
_SPAN: Final = re.compile(rf"(\d{{1,2}})(?::00)?\s*-\s*(\d{{1,2}})(?::00)?\s*=\s*{_PRICE}")
_SIDES: Final = re.compile(r"\s*[x×]\s*")
PRICE_ALLOWED: Final = 'a price like "0.30 EUR", or with cheap hours like "0.32 EUR; 23-7=0.14"'
SHELF_ALLOWED: Final = "length x width like 1.2x0.5 or 4ft x 2ft"
HIGHEST_PRICE: Final = 1000.0
SIDE: Final = Quantity("length", 0.05, 20.0)


def parse_price(text: str, option: str = "price") -> Tariff:
    """Price of a kilowatt-hour by local hour, from a flat price and spans of whole hours.

    Parameters: text, a price with or without currency, then spans such as "23-7=0.14" after semicolons.
    Errors: FileProblem with every problem.
    """
    problems = Problems(ARGUMENT)
    first, *spans = [part.strip() for part in text.split(";")]
    first = _as_written(first)
    flat = _FLAT.fullmatch(first)
    prices = [0.0] * HOURS
    if flat is None:
        do = "A shell takes $ for itself: put the price in single quotes." if "bash" in first or "sh." in first else ""
        problems.add(option, show(first), PRICE_ALLOWED, do)
    else:
        prices = [_number(flat[1])] * HOURS
    for span in spans:
        found = _SPAN.fullmatch(span)
        if found is None or int(found[1]) > HOURS or int(found[2]) > HOURS:
            problems.add(option, show(span), 'a span of whole hours like "23-7=0.14"')
            continue
        start, end = int(found[1]) % HOURS, int(found[2]) % HOURS
        for step in range((end - start) % HOURS or HOURS):
            prices[(start + step) % HOURS] = _number(found[3])
    if any(not -HIGHEST_PRICE <= price <= HIGHEST_PRICE for price in prices):
        problems.add(option, show(text), "a price per kWh below 1000")
    problems.check()
    assert flat is not None
    return Tariff(tuple(prices), flat[2], text)


def _as_written(text: str) -> str:
    """A price as it stands on bills, number first: "$0.14", "14 cents", "28p", "0.30 EUR per kWh"."""
    plain = re.sub(r"\s*(?:/|per|a)\s*kwh$", "", text.strip(), flags=re.IGNORECASE)
    before = re.fullmatch(rf"([€$£]|[A-Z]{{3}})\s*{_PRICE}", plain)
    if before is not None:
        return f"{before[2]} {before[1]}"
    small = re.fullmatch(rf"{_PRICE}\s*(cents?|ct|c|¢|p|pence)", plain, flags=re.IGNORECASE)
    if small is None:
        return plain
    return f"{_number(small[1]) / 100:g} {'£' if small[2].lower() in ('p', 'pence') else ''}".strip()


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def parse_shelf(text: str, option: str = "shelf") -> tuple[float, float]:
    """Length and width of a shelf [m], the longer first.

    Errors: FileProblem with every problem.
    """
    problems = Problems(ARGUMENT)
    parts = _SIDES.split(text.strip())
    sides: list[float] = []
    if len(parts) != 2:
        problems.add(option, show(text), SHELF_ALLOWED)
    for part in parts if len(parts) == 2 else []:
        try:
            number = SIDE.parse(part, bare=True)
        except BadValueError as error:
            problems.add(option, show(part), error.allowed, error.do)
            continue
        if not SIDE.low <= number <= SIDE.high:
            problems.add(option, show(part), SIDE.allowed)
        sides.append(number)
    problems.check()
    return max(sides), min(sides)


BUDGET_ALLOWED: Final = 'watts or money, like "400 W" or "150 EUR"'
_BUDGET: Final = re.compile(r"(\d+(?:[.,]\d+)?)\s*([A-Za-z€$£]{1,4})")
POWERS: Final = {"w": 1.0, "kw": 1000.0}


def parse_budget(text: str, option: str = "budget") -> LampBudget:
    """What lamps over several beds may take together.

    Errors: FileProblem for what is neither watts nor money.
    """
    problems = Problems(ARGUMENT)
    found = _BUDGET.fullmatch(text.strip())
    if found is None or _number(found[1]) <= 0:
        problems.add(option, show(text), BUDGET_ALLOWED)
    problems.check()
    assert found is not None
    amount, unit = _number(found[1]), found[2].lower()
    if unit in POWERS:
        return LampBudget(amount * POWERS[unit])
    return LampBudget(cost_currency=amount, currency=found[2])


def parse_counts(text: str, option: str = "plants") -> tuple[int, ...]:
    """How many plants: one number for every crop, or one for each, with commas.

    Errors: FileProblem for what is no number.
    """
    problems = Problems(ARGUMENT)
    parts = [part.strip() for part in text.split(",")]
    low, high = (int(bound) for bound in REQUEST_BOUNDS["plants_count"])
    if any(not part.isdigit() or not low <= int(part) <= high for part in parts):
        problems.add(option, show(text), f'whole numbers from {low} to {high}, like "30", or "30,60" for two crops')
    problems.check()
    return tuple(int(part) for part in parts)
