"""What the household's plan says, as sentences: of the screen and of the long text."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from tenhour.model.feed import FeedAnswer, FeedLamps, FeedShelf
from tenhour.words import feeding as words
from tenhour.words.text import Text, counted, listed

MISSING_LITTLE: Final = 0.05
MISSING_TOLD: Final = 0.1
"""Remedies are looked for where so much must be missing."""


def count_said(number: float) -> str:
    """Portions as people say them: whole, or with a digit."""
    return f"{number:.0f}" if abs(number - round(number)) < 0.05 else f"{number:.1f}"


def _plural(number: int, one: str, many: str = "") -> str:
    return f"{number} {one if number == 1 else many or one + 's'}"


def _wanted(answer: FeedAnswer) -> str:
    asked = next((week for week in answer.weeks if any(wish.wanted_count for wish in week.wishes)), answer.weeks[-1])
    return listed([f"{count_said(wish.wanted_count)} {food(wish.wish)}" for wish in asked.wishes])


def food(wish: str) -> str:
    """A kind of food in words."""
    animals = {"hen": "portions of greens for hens", "rabbit": "portions of greens for rabbits"}
    return animals.get(wish, wish)


def title_text(answer: FeedAnswer) -> Text:
    """Who eats what, from when to when."""
    people = _plural(answer.people_count, "person", "people")
    return words.WHOLE(people=people, first=answer.first, last=answer.last, wishes=_wanted(answer))


def missing_text(answer: FeedAnswer) -> Text:
    """What the plan leaves missing, and what must be."""
    proof = answer.proof
    if proof.missing_count < MISSING_LITTLE:
        return words.NOTHING_MISSING()
    if proof.missing_whole_count < MISSING_LITTLE:
        return words.PERHAPS(left=count_said(proof.missing_count))
    least, left = count_said(proof.missing_whole_count), count_said(proof.missing_count)
    if answer.step_weeks > 1:
        return words.PROVEN_STEPPED(weeks=answer.step_weeks, least=least, left=left, weekly="--every 1w")
    return words.PROVEN(least=least, left=left)


def effort_text(answer: FeedAnswer) -> Text:
    """Sowings, kinds, work and money."""
    kinds_bought = {buy.kind for buy in answer.buys}
    bought = listed(
        [
            "seed",
            *(["lamps"] if answer.lamps else []),
            *(f"{kind}s" for kind in ("cover", "tray") if kind in kinds_bought),
        ]
    )
    money = f", {answer.money_currency:.0f} {answer.currency} for {bought}" if answer.currency else ""
    kinds = len({sowing.crop for sowing in answer.sowings} | {shelf.crop for shelf in answer.shelf})
    return words.EFFORT(
        sowings=_plural(len(answer.sowings), "sowing"), kinds=_plural(kinds, "kind of crop", "kinds of crop"),
        work=answer.work_h_week, money=money,
    )  # fmt: skip


def worth_texts(answer: FeedAnswer) -> list[Text]:
    """What its greens would cost in the shop, and what its caution costs."""
    shop = (
        []
        if answer.shop_currency is None
        else [words.SHOP(money=f"{answer.shop_currency:.0f} {answer.currency}".strip())]
    )
    caution = (
        [words.CAUTION(surety=answer.surety_frac, money=f"{answer.caution_currency:.0f} {answer.currency}".strip())]
        if answer.caution_currency is not None and answer.caution_currency >= 1.0
        else []
    )
    if answer.caution_missing_count >= MISSING_TOLD:
        more = count_said(answer.caution_missing_count)
        caution = [words.CAUTION_MISSING(surety=answer.surety_frac, more=more)]
    return [*shop, *caution]


def short_texts(answer: FeedAnswer) -> Iterator[Text]:
    """Every wish of which something is missing: when, and when most."""
    for name in dict.fromkeys(wish.wish for week in answer.weeks for wish in week.wishes):
        own = [item for item in answer.missing if item.wish == name]
        if not own:
            continue
        worst = max(own, key=lambda item: item.missing_count)
        asked = sum(wish.wish == name and wish.wanted_count > 0 for week in answer.weeks for wish in week.wishes)
        what = {
            "wish": food(name),
            "missing": count_said(worst.missing_count),
            "wanted": count_said(worst.wanted_count),
        }
        if len(own) == 1:
            yield words.SHORT(**what, week=worst.start)
        else:
            yield words.SHORT_WEEKS(**what, week=worst.start, weeks=len(own), all=asked)


def _lamp(lamp: FeedLamps, currency: str) -> Text:
    return words.LAMPS(
        count=counted(lamp.count, "lamp"), bed=lamp.bed, power=lamp.power_w, first=lamp.first, last=lamp.last,
        hours=f"{lamp.hours_h_week:.0f}", kwh=lamp.energy_kwh, money=f"{lamp.cost_currency:.0f} {currency}".strip(),
    )  # fmt: skip


def shelf_text_of(shelf: FeedShelf) -> Text:
    """Trays of one crop on one bed."""
    if shelf.first == shelf.last:
        trays = words.trays_said(shelf.trays_count)
        return words.SHELF_ONCE(trays=trays, name=shelf.name, bed=shelf.bed, first=shelf.first)
    return words.SHELF(
        trays=words.trays_said(shelf.trays_count), name=shelf.name, bed=shelf.bed, first=shelf.first,
        last=shelf.last, most=words.trays_said(shelf.most_count),
    )  # fmt: skip


def bought_texts(answer: FeedAnswer) -> list[str]:
    """Lamps, covers and trays to buy."""
    return [*(_lamp(lamp, answer.currency) for lamp in answer.lamps), *(buy.text for buy in answer.buys)]


def remedy_texts(answer: FeedAnswer) -> list[str]:
    """What would close the miss, best first; or that nothing would."""
    least = answer.proof.missing_least_count
    out: list[str] = []
    if not answer.remedies and answer.tried:
        return [words.NOTHING_CLOSES()] if answer.missing and least >= MISSING_TOLD else []
    for remedy in answer.remedies:
        cost = remedy.cost_currency
        money = "" if not cost else words.COSTS(money=f"{cost:.0f} {answer.currency}".strip())
        closed = count_said(least - remedy.missing_after_count)
        out.append(words.CLOSES(text=remedy.text, closed=closed, missing=count_said(least), cost=money))
    return out if answer.tried else [*out, words.NOT_TRIED()]


def change_texts(answer: FeedAnswer) -> list[str]:
    """Changes to the plan that was kept, their number first."""
    head = words.CHANGED(changes=counted(len(answer.changes), "change"))
    return [head, *(one.text for one in answer.changes)]


def below_text(answer: FeedAnswer) -> str:
    """The wishes that are served less surely than asked; nothing where none is."""
    below = [food(item.wish) for item in answer.surety if round(item.served_frac, 2) < answer.surety_frac]
    return words.BELOW(surety=answer.surety_frac, wishes=listed(below)) if below else ""
