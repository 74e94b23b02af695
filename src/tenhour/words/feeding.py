"""Sentences of the household's plan."""

from __future__ import annotations

from typing import Final

from tenhour.words.text import Sentence

EARLIER: Final = Sentence("Next year sow {weeks:weeks} earlier than today.")
OTHER_CROPS: Final = Sentence("Eat other crops too: all that serve the same meals.")
MORE_BED: Final = Sentence("A quarter more bed of the same light.")

WHOLE: Final = Sentence("{people}, {first:day} to {last:day}: {wishes} a week.")
PROVEN: Final = Sentence(
    "Whatever is sown, the worth of {least} salads must be missing (proven); this plan leaves that of {left} missing."
)
PROVEN_STEPPED: Final = Sentence(
    "Sown every {weeks} weeks at most, the worth of {least} salads must be missing (proven); this plan leaves that of "
    "{left} missing. With one offered every week ({weekly}) it may be less."
)
PERHAPS: Final = Sentence(
    "This plan leaves the worth of {left} salads missing. Nothing says that so much must be: a longer search "
    "(--seconds) may find it."
)
NOTHING_MISSING: Final = Sentence("Every wish is met in a season that is no better than planned for.")
EFFORT: Final = Sentence("{sowings}, {kinds}, {work:span} of work a week{money}.")
SHOP: Final = Sentence("In the shop its greens would cost about {money}.")
GAP: Final = Sentence("No plan is more than {gap:share} cheaper in money and work (proven in {seconds} s).")
SERVED: Final = Sentence("{wish} {served:share}")
WORST: Final = Sentence(" (short by a fifth or more in the week of {week:day} in {seasons})")
BELOW: Final = Sentence(
    "That is less than the {surety:share} asked for: {wishes}. Ask for less of it, or like more crops that give it."
)
SHELF: Final = Sentence("{trays} of {name} on {bed} from {first:day} to {last:day}, at most {most} there at once.")
SHELF_ONCE: Final = Sentence("{trays} of {name} on {bed}, sown on {first:day}.")
SHORT: Final = Sentence("{wish}: {missing} of {wanted} portions missing in the week of {week:day}")
SHORT_WEEKS: Final = Sentence(
    "{wish}: short in {weeks} weeks of {all}, most in the week of {week:day} ({missing} of {wanted} portions missing)"
)
SOW_NOW: Final = Sentence("Sow {name} on {bed}: {area:area}, {plants} plants, to eat from {first:day}.")
RAISE_NOW: Final = Sentence("Sow {name} in the nursery, {plants} plants, to set out on {bed} on {out:day}.")
SOW_OUTDOORS: Final = Sentence("Sow {name} outdoors or in pots, {plants} plants, to move in to {bed} on {out:day}.")
MOVE_IN: Final = Sentence(
    "Dig {name} with a ball of soil and move it in to {bed}: {area:area}, {plants} plants. Pick little for two weeks."
)
MOVED_TOLD: Final = Sentence("Raised outdoors or in pots, then dug and moved in: {names}.")
MOVED_ONE: Final = Sentence("{name} to {bed} on {out:day}")
SET_OUT_NOW: Final = Sentence("Set out {name} on {bed}: {area:area}, {plants} plants.")
CLEAR_NOW: Final = Sentence("Clear {name} from {bed}: {area:area}.")
EAT: Final = Sentence("{name} from {bed}, {grams:fresh}")
CLOSES: Final = Sentence("{text} It closes the worth of up to {closed} of {missing} salads{cost}.")
NOTHING_TO_SOW: Final = "Nothing is worth sowing for these wishes."
NOTHING_CLOSES: Final = Sentence(
    "Nothing that was tried mends any of it, or only at a price out of all proportion: sowing earlier, other crops, "
    "more bed, a lamp, a fleece, warmer nights."
)
NOT_TRIED: Final = Sentence("Stopped from the keyboard before everything that could close it was tried.")
NURSERY_ROOM: Final = Sentence("The nursery has room for all that the plan raises: no size_m was given.")
MOULD: Final = Sentence(
    "Trays for animals are greens beside their feed, never a ration: eggs fell where hens ate much sprouted barley; "
    "throw away any tray that smells or moulds. Ask a vet about rabbits."
)

STAND_EAT: Final = Sentence("Eat from {first:day} to {last:day}.")
STAND_CLEAR: Final = Sentence("Clear it: its ground is worth more now.")
STAND_PAST: Final = Sentence("Past its time or never ready: clear it when its ground is needed.")
STAND_OTHER: Final = Sentence("Keeps its ground: no wish asks for it.")
AREA_GUESSED: Final = Sentence("The log tells neither area nor plants: a quarter of the bed is counted, or one tray.")
BUY: Final = Sentence("Buy seed of {name}: {seed}.")
SEEDS: Final = Sentence("{count} seeds")
SEED_GRAMS: Final = Sentence("{grams:seed_mass 1}")
TRAYS_NOW: Final = Sentence("Sow {trays} of {name} on {bed}{seed}, to cut from {first:day}.")
OF_SEED: Final = Sentence(", {grams:seed_mass} of seed")
PICK_FROM: Final = Sentence("Begin to eat {name} on {bed}, until {last:day}.")
NEW: Final = Sentence("New: sow {name} on {bed} on {on:day}, {area:area}.")
DROPPED: Final = Sentence("No more: {name} on {bed}, planned for {on:day}.")
RESIZED: Final = Sentence("{name} on {bed}, {on:day}: {area:area} instead of {before:area}.")
MISSED: Final = Sentence("Not in the log: {name} on {bed}, planned for {on:day}. It is not counted on.")
UNCHANGED: Final = Sentence("The plan that was kept stands: nothing in it changes.")
CHANGED: Final = Sentence("{changes} to the plan that was kept:")
CAUTION: Final = Sentence("Planning for {surety:share} of seasons instead of one in two costs {money} at least.")
CAUTION_MISSING: Final = Sentence(
    "Planning for {surety:share} of seasons instead of one in two leaves the worth of {more} salads more missing."
)
WORK_WEEK: Final = Sentence("About {minutes} minutes of work.")
WHOLE_SHEET: Final = Sentence("Food from the beds, {first:day} to {last:day}")
SHEET_BUY: Final = Sentence("Buy seed: {names}")
SHEET_SOW: Final = Sentence("Sow {name}, {bed}, {area:area}")
SHEET_RAISE: Final = Sentence("Nursery: sow {name}, {plants} plants")
SHEET_OUT: Final = Sentence("Set out {name}, {bed}, {area:area}, {plants} plants")
SHEET_OUTDOORS: Final = Sentence("Outdoors: sow {name}, {plants} plants")
SHEET_MOVE: Final = Sentence("Dig and move in {name}, {bed}, {area:area}, {plants} plants")
SHEET_TRAYS: Final = Sentence("Trays: {trays} of {name}, {bed}")
SHEET_CLEAR: Final = Sentence("Clear {name}, {bed}")
SHEET_MORE: Final = Sentence("The sheet is full: print the next one in the week of {on:day}.")
SHEET_CARE: Final = Sentence(
    "Throw away trays that smell or mould. Write what you do into the log: the plan follows it."
)
LAMP: Final = Sentence(
    "Hang {count} over {over}, {power:power} together: {kwh:energy} a year{spares}{circuit}. Mains in a wet house: a "
    "licensed electrician, residual-current device, splash-proof fittings."
)
SPARES: Final = Sentence(" ({share:percent} of it heating you need not pay for)")
OVER_CIRCUIT: Final = " and more than one circuit bears"
FLEECE: Final = Sentence("Lay a fleece over the beds by night.")
WARMER: Final = Sentence(
    "Heat the nights by {2:warmer} more, or to {5:temp} where nothing heats: {kwh:heat_energy} of heat a year."
)
LAMPS: Final = Sentence(
    "Buy {count} for {bed}, {power:power} together, on from {first:day} to {last:day}, {hours} hours a week: "
    "{kwh:energy}, {money} in all. A licensed electrician connects them."
)
BUY_COVER: Final = Sentence(
    "Buy fleece for {bed}, {area:area}, about {money}: over it by night from {first:day} to {last:day}."
)
BUY_TRAYS: Final = Sentence("Buy {trays} for the shelf, about {money}: so many lie there at once.")
COSTS: Final = Sentence(", for about {money}")
PART_OF: Final = Sentence("{area:area} of {bed}")

QUARTERS: Final = ("", "¼", "½", "¾")
MOST_SEASONS: Final = 20


def quarters_said(count: float) -> str:
    """A number of trays as a grower counts them: whole ones and quarters."""
    whole, quarter = divmod(round(count * 4), 4)
    return f"{whole or ''}{QUARTERS[quarter]}" or "0"


def trays_said(count: float) -> str:
    """The same with its noun."""
    return f"{quarters_said(count)} {'tray' if 0.0 < count <= 1.0 else 'trays'}"


def seasons_said(share: float) -> str:
    """A share of seasons in words: one in so many, or most of them."""
    if share > 2.0 / 3.0:
        return "most seasons"
    many = max(2, round(1.0 / max(share, 1.0 / MOST_SEASONS)))
    return f"one season of {many}"
