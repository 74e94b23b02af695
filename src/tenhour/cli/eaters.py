"""The questions of ``tenhour new`` about who eats from the house: a household is asked for, or left out by one word."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

from tenhour.cli.asking import Question, wrong_in

if TYPE_CHECKING:
    from tenhour.files.house.draft import Draft

SOUTHERN_SEASON: Final = "1 April to 30 November"
ALL: Final = frozenset({"all", "all that suit", "everything", "any", "no matter"})
NO_LIMIT: Final = frozenset({"no limit", "any", "unlimited"})


def eater_question(draft: Draft, asked: frozenset[str], *, south: bool) -> Question | None:
    """What is to be asked next about the household; None where all was asked, or nobody eats from it.

    Parameters: draft; asked, fields that were asked; south, whether the house stands south of the equator.
    """
    if draft.people is None and "people" not in asked:
        return _people()
    if draft.people is None:
        return None
    if draft.since is None and draft.until is None and "season" not in asked:
        return _season(south=south)
    for field, make in (("meals", _meals), ("likes", _likes), ("leave_out", _leave_out), ("animals", _animals),
                        ("may_buy", _buys)):  # fmt: skip
        if getattr(draft, field) is None and field not in asked:
            return make()
    return _budget() if draft.may_buy and draft.budget is None and "budget" not in asked else None


def _taking(field: str, default: frozenset[str], read: Callable[[str], object]) -> Callable[[Draft, str], Draft]:
    """Take an answer as it was typed once it can be read; one that is the default leaves the field open."""

    def take(draft: Draft, text: str) -> Draft:
        from tenhour.files.house.typed import NOTHING

        if text.lower() in default | NOTHING:
            return draft
        read(text)
        said: dict[str, Any] = {field: text}
        wished = replace(draft, **said)
        wrong_in(wished, f"--{field.replace('_', '-')}")
        return wished

    return take


def _people() -> Question:
    def take(draft: Draft, text: str) -> Draft:
        from tenhour.files.house.typed import NOTHING

        if text.lower() in NOTHING:
            return draft
        wished = replace(draft, people=re.sub(r"\s*(people|persons?|of us)$", "", text.lower()))
        wrong_in(wished, "--people")
        return wished

    def echo(draft: Draft) -> str:
        if draft.people is None:
            return "No meals are planned; tenhour feed then plans for two."
        return f"{draft.people} {'person eats' if draft.people == '1' else 'people eat'} from it."

    help_text = "For whom tenhour feed plans what to sow, so that every week has its meals. No leaves this part out."
    return Question("people", "How many people eat from it (no: plan no meals)", "2", help_text, take, echo)


def _season(*, south: bool) -> Question:
    from tenhour.files.house.draft import USUAL_SEASON

    usual = " to ".join(USUAL_SEASON)
    default = SOUTHERN_SEASON if south else usual

    def take(draft: Draft, text: str) -> Draft:
        from tenhour.files.units_text import BadValueError

        if text.lower() == usual.lower():
            return draft
        first, _, last = re.sub(r"\s+(until|till|–|-)\s+|(?<=[a-z])[-–](?=[a-z])", " to ", text).partition(" to ")
        if not last:
            raise BadValueError("two days", "Write 1 October to 31 May.")
        wished = replace(draft, since=first.strip(), until=last.strip())
        wrong_in(wished, "--from", "--until")
        return wished

    def echo(draft: Draft) -> str:
        return f"Something on the table from {draft.since or USUAL_SEASON[0]} to {draft.until or USUAL_SEASON[1]}."

    help_text = "Days like 15 October, or months; with a year for one season only: 2026-10-01 to 2027-05-31."
    return Question("season", "From when to when should something be on the table", default, help_text, take, echo)


def _meals() -> Question:
    from tenhour.files.house.eaters import meals_of
    from tenhour.files.house.household import usual_household

    usual = ", ".join(f"{kind} {count:g}" for kind, count in usual_household().meals_per_week.items())
    take = _taking("meals", frozenset(), meals_of)
    echo = lambda draft: f"A week and person: {draft.meals}."  # noqa: E731
    help_text = "How often a week each of you wants raw salad, cooked greens, herbs or roots; those left out are none."
    return Question("meals", "Meals a week and person (salad, cooked, herbs, roots)", usual, help_text, take, echo)


def _named(keys: str) -> str:
    from tenhour.files.house.eaters import crops_of

    return ", ".join(crops_of(keys))


def _likes() -> Question:
    from tenhour.files.house.eaters import crops_of

    take = _taking("likes", ALL, crops_of)
    echo = lambda draft: f"Eaten: {_named(draft.likes)}." if draft.likes else "All that suit."  # noqa: E731
    help_text = (
        "Names with commas, the best liked first; then nothing else is sown for people. tenhour crops lists all."
    )
    return Question("likes", "Which crops do you like", "all that suit", help_text, take, echo)


def _leave_out() -> Question:
    from tenhour.files.house.eaters import crops_of

    take = _taking("leave_out", frozenset(), crops_of)
    echo = lambda draft: f"Never sown: {_named(draft.leave_out)}." if draft.leave_out else ""  # noqa: E731
    return Question("leave_out", "Which never to sow", "none", "Names with commas, or none.", take, echo)


def _animals() -> Question:
    from tenhour.files.house.eaters import animals_of

    take = _taking("animals", frozenset(), animals_of)
    echo = lambda draft: f"Greens beside their feed for {draft.animals}." if draft.animals else ""  # noqa: E731
    help_text = "Hens or rabbits, like 4 hens: they get trays of greens beside their feed, never a ration."
    return Question("animals", "Animals that get greens", "none", help_text, take, echo)


def _buys() -> Question:
    from tenhour.files.house.eaters import buys_of

    take = _taking("may_buy", frozenset(), buys_of)
    echo = lambda draft: f"May be bought: {', '.join(buys_of(draft.may_buy))}." if draft.may_buy else ""  # noqa: E731
    help_text = "Lamps over a bed, trays for the shelf, covers (a fleece by night): bought only where they bring food."
    return Question("may_buy", "What may the plan buy (lamps, trays, covers)", "nothing", help_text, take, echo)


def _budget() -> Question:
    take = _taking("budget", NO_LIMIT, str)
    echo = lambda draft: f"For {draft.budget} at most." if draft.budget else "Without a limit."  # noqa: E731
    return Question("budget", "For how much at most, like 120 EUR", "no limit", "An amount.", take, echo)
