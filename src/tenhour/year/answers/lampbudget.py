"""Several beds under one budget of watts or money: which is lit first, and how far up the ladder each goes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from tenhour.errors import ARGUMENT, FileProblem, NoAnswer, Problem
from tenhour.model.lamp import LampBudget, LampRequest
from tenhour.model.lamp_answer import BudgetRow, LampAnswer, LampRung
from tenhour.plan.lamp_budget import Offer, order_of, shared
from tenhour.plan.lamp_words import budget_verdict
from tenhour.words import lamps as words


def shared_beds(
    beds: Sequence[str], request: LampRequest, budget: LampBudget, answer: Callable[[str, LampRequest], LampAnswer]
) -> LampAnswer:
    """The answer about the bed that is lit first, with what every bed gets of the budget.

    Parameters: beds, their names; request; budget; answer, to a question about one bed.
    Errors: FileProblem for a budget of money without a price or in another money; NoAnswer where nothing is counted in
        kilos, or no rung of any bed is within the budget.
    """
    money = budget.cost_currency is not None
    if money and request.tariff is None:
        do = 'Add --price "0.30 EUR".'
        raise FileProblem([Problem(ARGUMENT, "budget", "money", "watts, or money with a price per kWh", do)])
    priced = "" if request.tariff is None else request.tariff.currency
    both_named = priced.isalpha() and budget.currency.isalpha()  # a sign may stand for the same money
    if money and both_named and budget.currency.lower() != priced.lower():
        do = f"The price is in {priced}: give both in one money."
        raise FileProblem([Problem(ARGUMENT, "budget", budget.currency, priced, do)])
    each = {bed: answer(bed, replace(request, rung=None)) for bed in beds}
    whole = (budget.cost_currency if money else budget.power_w) or 1.0
    offers = [
        [Offer(rung.name, _spent(rung, money) / whole, rung.extra_kg or 0.0) for rung in each[bed].ladder]
        for bed in beds
    ]
    if any(rung.extra_kg is None for one in each.values() for rung in one.ladder):
        raise NoAnswer(words.NO_KILOS_TO_SHARE())
    taken = shared(offers)
    if not any(taken):
        raise NoAnswer(words.NOTHING_WITHIN())
    order = order_of(taken)
    rows = tuple(
        _row(bed, each[bed], offer, place) for bed, offer, place in zip(beds, taken, order, strict=True)
    )  # fmt: skip
    first = rows[order.index(1)]
    others = sum(row.power_w for row in rows) - first.power_w
    circuit = replace(request.circuit, others_w=request.circuit.others_w + others)
    planned = answer(first.bed, replace(request, rung=first.rung, circuit=circuit))
    planned = replace(planned, budget=tuple(sorted(rows, key=lambda row: row.order or len(rows) + 1)))
    return replace(planned, verdict=budget_verdict(planned, budget))


def _spent(rung: LampRung, money: bool) -> float:
    return (rung.cost_season_currency or 0.0) if money else rung.power_w


def _row(bed: str, answer: LampAnswer, offer: Offer | None, place: int | None) -> BudgetRow:
    rung = next((one for one in answer.ladder if offer is not None and one.name == offer.rung), None)
    if rung is None:
        none = 0.0 if answer.currency else None
        return BudgetRow(bed, None, None, 0.0, 0.0, none, 0.0)
    return BudgetRow(
        bed, place, rung.name, rung.power_w, rung.energy_season_kwh, rung.cost_season_currency, rung.extra_kg or 0.0
    )
