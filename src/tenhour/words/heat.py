"""Sentences on warmth: tonight, the winter, the heater, and what burns."""

from __future__ import annotations

from tenhour.words.text import Sentence

TONIGHT = Sentence(
    "With {out:temp} outdoors the air of the house falls to about {low:temp}, lowest towards {hour:count} o'clock by "
    "the sun."
)
UNDER = Sentence("Under the covers over beds about {low:temp}.")
BARE = Sentence("Without heat it would fall to {low:temp}.")
BARE_FROST = Sentence(
    "Without heat it would fall to {low:temp}, below freezing from about {hour:count} o'clock for {hours:span}."
)
BARE_FROST_ALL = Sentence("Without heat it would fall to {low:temp}, and freeze day and night.")
NEEDS = Sentence("It takes {energy:heat_energy}, at most {power:heat_power}, from {hour:count} o'clock on.")
NEEDS_ALL = Sentence("It takes {energy:heat_energy}, at most {power:heat_power}, day and night.")
WOOD = Sentence(
    "In wood about {kg:wood} ({low:wood bare} to {high:wood}, by its moisture, the stove and the wind); no small "
    "stove holds a night on one load."
)
COSTS = Sentence("That costs about {cost:money}.")
HARMED = Sentence("In the open air of the house it harms {crops} of the table: {names}.")
MORE_CROPS = Sentence("{count:count} more")
WINTER = Sentence(
    "In an ordinary winter the coldest hour inside is about {low:temp}, one winter in ten {tenth:temp}; "
    "{hours:long_hours} of the year are below freezing."
)
HELD = Sentence("To hold the means you state")
SET = Sentence("To hold the set points")
ENERGY = Sentence(
    "{what} takes about {kwh:heat_energy} a winter ({low:heat_energy bare} to {high:heat_energy}), "
    "{power:heat_power} in the largest hour."
)
BROUGHT_UP = Sentence(
    "That hour brings the air from the night's to the day's warmth; a heater sized for the night takes longer over it."
)
WINTER_WOOD = Sentence("As dry wood that is about {kg:wood} ({low:wood bare} to {high:wood}).")
HEATER = Sentence(
    "A heater that holds {hold:temp} on the coldest night of ten years ({out:temp} outdoors) gives {power:heat_power}, "
    "a fifth in hand."
)
ENOUGH = Sentence("Yours suffice.")
NOT_ENOUGH = Sentence("Yours do not.")
CIRCUIT = Sentence(
    "With {others:power} of lamps and mats on one circuit they draw {drawn:current} at {mains:volts}, within the "
    "{allowed:current} that a {breaker:current 0} breaker may carry for hours."
)
CIRCUIT_OVER = Sentence(
    "With {others:power} of lamps and mats on one circuit they draw {drawn:current} at {mains:volts}, more than the "
    "{allowed:current} that a {breaker:current 0} breaker may carry for hours: give the heater a circuit of its own."
)
SNOW = Sentence(
    "Water for the beds in months below freezing, {litres:volume}, melted from snow takes {kwh:heat_energy} of heat "
    "besides."
)
CUT = Sentence(
    "If heat fails at dusk of the coldest night, the air freezes after {hours:span} and "
    "falls to {low:temp} within {length:count} hours; beds under a fleece to {covered:temp}."
)
CUT_NEVER = Sentence(
    "If heat fails at dusk of the coldest night, the air falls to {low:temp} within {length:count} "
    "hours; beds under a fleece to {covered:temp}."
)
CUT_FIRST = Sentence(
    "Do first: lay fleece or blankets over the tenderest beds, draw curtains, close every gap but the air of a fire; "
    "carry trays indoors. Panes and soil give what they have within the first hour, so minutes count."
)
HELPS_TITLE = Sentence(
    "What each change would do from autumn to spring: heat saved, how much warmer the coldest hour is without a "
    "heater, hours of frost spared, light lost."
)
HELPS = Sentence("What helps most: {what}. All of it, and pairs: --helps.")
MEASURE = Sentence("{name} ({saved:heat_energy} less, {gain:temp_difference} warmer if unheated)")
MEASURE_UNHEATED = Sentence("{name} ({gain:temp_difference} warmer in the coldest hour)")
CURTAIN = Sentence("a tight curtain under all panes at night")
BUBBLE = Sentence("bubble film under the panes all winter")
TIGHT = Sentence("gaps closed: a tight house")
BOARD = Sentence("insulation in the ground round the house")
BARRELS = Sentence("{water:count} l more water in drums, in the shade")
FLEECE = Sentence("a fleece over the beds at night")
FAN = Sentence("a fan that stirs the air all day")
SHADY = Sentence("the {side} wall and roof insulated, foam a hand wide")
LAMP_HOURS = Sentence("lamp hours moved to the end of the night")
AND = Sentence("{one}; and {two}")
PAIR_ADD = Sentence("add up")
PAIR_LESS = Sentence("save in part the same heat")
PAIR_MORE = Sentence("more than their sum: what one keeps in, the other stores or lets through less")
LAMPS = Sentence(
    "Of the {kwh:heat_energy} your lamps use in the dark half of the year {share:percent} take the place of heating, "
    "and make the coldest hour unheated {gain:temp_difference} warmer. Their hours moved to the end of the night would "
    "save {moved:heat_energy} more and lose no light; mind the day length of crops that bolt."
)
LOADS = Sentence("Load the stove at {hours} (by the sun), {kg:weight} each: the air then stays above {low:temp}.")
ALONE = Sentence("With nobody to reload it after ten, the house falls below {hold:temp} at {hour}.")
ALONE_HOLDS = Sentence("The last load at ten holds until noon.")
BACKUP = Sentence("A second heater must give {kwh:heat_energy} besides.")
SPOTS = Sentence(
    "Set there as in the last column, a thermostat keeps the coldest place at {hold:temp} on the coldest night. "
    "Hang the thermostat in the middle of the house at the height of the crops, shaded, in a shield that air moves "
    "through, not above the heater nor on a wall; a frost alarm with a battery beside the coldest bed."
)
FITTED = Sentence(
    "By {nights:count} nights the house loses {factor} times the heat that was reckoned ({low} to {high}, nine times "
    "in ten)."
)
LEAKS = Sentence("Draughts: {leak} air changes an hour in still air ({low} to {high}).")
APART = Sentence("The nights tell draughts from the rest.")
NOT_APART = Sentence(
    "The nights cannot tell draughts from what goes through panes and walls: both are taken together. Nights with wind "
    "and without would."
)
HELD_NIGHTS = Sentence(
    "A heater held the house on these nights, so they say nothing of its loss: read some with the heater off, or lower."
)
ONE_NIGHT = Sentence("One night says too little of the heat a house loses: read {least:count} or more.")
TAKEN_OFF = Sentence("The heater is taken to have been off on them.")
MIDDLE = Sentence("in the middle, at the crops")
BY_GLASS = Sentence("a hand from the glass")
CORNER = Sentence("in a corner, at the floor")
RIDGE = Sentence("under the ridge")
NEAR_HEATER = Sentence("a step from the heater")
LEAVES = Sentence("leaves beside the glass")
CARBON_MONOXIDE = Sentence(
    "Whatever burns in a closed house can kill by carbon monoxide: a flue outdoors, air for it from outdoors, an "
    "alarm, never an unvented burner, never vents taped shut."
)
STOVE = Sentence(
    "A stove keeps the clearances on its plate, more from film and polycarbonate; its chimney passes the cover "
    "insulated, with a spark screen; ash goes into a lidded metal can. A chimney sweep or your authority has the word."
)
FLUE = Sentence(
    "Wood, film and plastic panes stay {away:height} or more from the bare flue pipe of your stove, three times its "
    "width; more where its plate or your code says so."
)
ELECTRIC = Sentence(
    "A heater hangs on a circuit of its own behind a residual-current device, off the floor, out of the wet, not on an "
    "extension lead for nights; shared with lamps, add their watts. Leave wiring to a licensed electrician."
)
MAT = Sentence(
    "The mat under {bed} keeps its roots at {root:temp} on the mean, {low:temp} in the coldest hour, and takes "
    "{kwh:heat_energy} a year, {power:heat_power} in the largest hour."
)
MAT_SHORT = Sentence(
    "In the cold it falls short of {set:temp}: foam below it, or a cover over the bed, before more watts."
)
ALARM = Sentence("A frost alarm set to {set:temp} rings {left:span} before.")
ALARM_LATE = Sentence("A frost alarm set to {set:temp} rings after {rings:span}.")
BELOW = Sentence(
    "{night} is below {set:temp} from about {hour:count} o'clock for {hours:span}: a frost alarm beside the coldest "
    "bed, set to that, leaves time to cover."
)
BELOW_ALL = Sentence(
    "{night} is below {set:temp} day and night, which no frost alarm need tell: cover beds while it is light."
)
COLDEST_AIR = Sentence("On the coldest night the air")
THE_AIR = Sentence("The air")
WATER = Sentence("Drums stand level and strapped, a tenth empty for ice.")
