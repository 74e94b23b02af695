"""Sentences of this week: what stands, cover and heater, lamps, water and air."""

from __future__ import annotations

from typing import Final

from tenhour.words.text import Sentence

TITLE: Final = Sentence("This week, {first:date} to {last:date}{place}")
FURTHER: Final = Sentence("More: tenhour sow, tenhour season, tenhour heat; notes and cautions: --cautions.")
EMPTY_LOG: Final = Sentence("Nothing by your log. Note what you sow: tenhour log sown {crop} --bed {bed}")
ALSO_SOW: Final = Sentence("Also {crops}: tenhour sow.")
MORE_STANDS: Final = Sentence("And {count:count} more that only grow: tenhour log.")
THERE: Final = Sentence("{crop} ({beds})")
ALSO: Final = {
    "cover": Sentence("Cover too: {crops}."),
    "eat-first": Sentence("Eat first too: {crops}."),
    "harvest": Sentence("Ready too: {crops}."),
}
"""What a stand without a line of its own is named under, by what is to be done with it."""
STAND: Final = Sentence("{bed}: {text}")

RANGE: Final = Sentence("{first:date} to {last:date}")
LEAVE: Final = Sentence("leave it, ready {when}")
LEAVE_YOUNG: Final = Sentence("leave it, or cut it young; full size {when}")
FROM: Final = Sentence("from {first:date}")
HARVEST: Final = {
    "pick": Sentence("pick outer leaves on a mild afternoon, never frozen; ready since {first:date}"),
    "cut": Sentence("cut a share on a mild afternoon, never frozen; ready since {first:date}"),
    "head": Sentence("take as needed; ready since {first:date}"),
    "root": Sentence("pull as needed; ready since {first:date}"),
    "seed-fed": Sentence("cut the tray now; ready since {first:date}"),
    "bulb": Sentence("cut now; ready since {first:date}"),
    "transplant": Sentence("ready to set out since {first:date}"),
}
FLOWERS: Final = Sentence("eat it first: it may run to flower from {on:date}")
COLD: Final = Sentence("cover it by night: down to about {night:temp} this week, harmed below {limit:temp}")
NO_HARVEST: Final = Sentence("no full harvest to be expected here; eat it young")
NO_FORECAST: Final = Sentence("sown {on:date}; no forecast for it here")

NIGHTS: Final = Sentence("Nights about {night:temp}, coldest hour {low:temp}, one winter in ten {tenth:temp} ({bed}).")
NIGHTS_ALIKE: Final = Sentence("Nights about {night:temp}, coldest hour {low:temp} ({bed}).")
HEATED: Final = Sentence("Heat this week: about {kwh:heat_energy}.")
COOL: Final = "No heat."
CLOSE: Final = Sentence("Close the {cover} over {beds} at dusk, open it in the morning.")
KEEP_ON: Final = Sentence("The {cover} over {beds} stays on.")
CURTAIN: Final = Sentence("Draw the curtain at dusk.")
FLEECE: Final = Sentence("Below {0:temp} a fleece over the beds by night helps: tenhour heat says how much.")

LAMPS: Final = Sentence("{bed}: on {begin}, off {end} ({hours:hours} a day, {light:dli})")
WATER: Final = Sentence("Water about {litres:volume} this week over all beds, in the morning, leaves dry by dusk.")
WATER_FROST: Final = Sentence(
    "Water at most {litres:volume} this week over all beds, on a mild morning, where the soil is dry a finger deep; "
    "never frozen ground."
)
WATER_LITTLE: Final = Sentence("Water hardly at all, in the morning, and only where the soil is dry a finger deep.")
VENT: Final = Sentence("Air from {vent:temp} on, and for an hour at noon on dry days.")
