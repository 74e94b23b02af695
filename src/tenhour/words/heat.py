"""Sentences on warmth: tonight, the winter, the heater, and what burns."""

from __future__ import annotations

from tenhour.words.text import Sentence

TONIGHT = Sentence(
    "With {out:temp} outdoors the air of the house falls to about {low:temp}, lowest towards {hour:count} o'clock by "
    "the sun."
)
UNDER = Sentence("Under the covers over beds about {low:temp}.")
BARE = Sentence("Without heat it would fall to {low:temp}.")
NEEDS = Sentence("It takes {energy:energy}, at most {power:power}, from {hour:count} o'clock on.")
WOOD = Sentence(
    "In wood about {kg:weight} ({low:weight bare} to {high:weight}, by its moisture, the stove and the wind): a small "
    "stove does not hold a night on one load, so reload every two hours."
)
COSTS = Sentence("That costs about {cost:money}.")
HARMED = Sentence("In the open air of the house it harms {count:count} crops of the table: {names}.")
WINTER = Sentence(
    "In an ordinary winter the coldest hour inside is about {low:temp}, one winter in ten {tenth:temp}; {hours:count} "
    "hours of the year are below freezing."
)
HELD = Sentence("To hold the means you state")
SET = Sentence("To hold the set points")
ENERGY = Sentence(
    "{what} takes about {kwh:count} kWh a winter ({low:count} to {high:count}, four winters in five and the model's "
    "error), {power:power} in the largest hour."
)
WINTER_WOOD = Sentence("As dry wood that is about {kg:weight} ({low:weight bare} to {high:weight}).")
HEATER = Sentence(
    "A heater that holds {hold:temp} on the coldest night of ten years ({out:temp} outdoors) gives {power:power}, a "
    "fifth in hand."
)
ENOUGH = Sentence("Yours suffice.")
NOT_ENOUGH = Sentence("Yours do not.")
CUT = Sentence(
    "If the heat fails on the coldest night of a year, the air is at freezing after {hours:hours} and at "
    "{low:temp} after twelve."
)
CUT_NEVER = Sentence("If the heat fails on the coldest night of a year, the air is at {low:temp} after twelve hours.")
HELPS = Sentence("What helps most:")
MEASURE = Sentence("{name} ({saved:count} kWh a winter, {gain:temp_difference} on the coldest hour);")
CARBON_MONOXIDE = Sentence(
    "Whatever burns in a closed house can kill by carbon monoxide: a flue outdoors, air for it from outdoors, an "
    "alarm, never an unvented burner, never vents taped shut."
)
STOVE = Sentence(
    "A stove keeps the clearances on its plate, more from film and polycarbonate; its chimney passes the cover "
    "insulated, with a spark screen; ash goes into a lidded metal can. A chimney sweep or your authority has the word."
)
ELECTRIC = Sentence(
    "A heater hangs on a circuit of its own behind a residual-current device, off the floor, out of the wet, not on an "
    "extension lead for nights; shared with lamps, add their watts. Leave wiring to a licensed electrician."
)
WATER = Sentence("Drums stand level and strapped, a tenth empty for ice.")
