"""Why seedlings are leggy and what to do first, in the words of someone looking at the tray."""

from __future__ import annotations

from typing import Final

from tenhour.words.text import Sentence

SEED_LEAVES: Final = "seed leaves"
FIRST_LEAF: Final = "first true leaf"
LEAVES = Sentence("{leaves:leaves}")
READY_TO_SET_OUT = Sentence("ready to set out ({leaves:leaves})")
IN_GOOD_LIGHT = Sentence("Stage: {stage}; in good light ({12:mol 0}, {14:hours 0}) it would be: {expected}.")

NEVER_UP = Sentence(
    "{name} sown on {sown:date} cannot come up in this cold: the seed lies there and may rot. Start it warmer, or sow "
    "later."
)
NOT_YET_UP = Sentence(
    "{name} sown on {sown:date} should not be up yet: expect it about {due:date}. Give light and take covers and heat "
    "mats off on the very day the first hook shows."
)
LIES_COLD = Sentence(
    "So cold the seed lies long and may rot: at {warm:temp}, on a sill or a mat, it is up in about {days:days}. Start "
    "it there, or sow later."
)
COMING_UP = Sentence("{name} is just coming up: give it light from today, and keep it cool.")

WORDS: Final = {"watch": "on the way to being leggy", "leggy": "leggy", "stringy": "stringy"}
DRAWN = Sentence(
    "These {name} are {word}: stretch {score:score} of {100:score} (below {25:score} sturdy, above {45:score} leggy)."
)
STURDY = Sentence(
    "These {name} should be sturdy: stretch {score:score} of {100:score}, where below {25:score} is sturdy."
)
HAD_FITS = Sentence(
    "Since they came up about {up:date} they have had {light:mol} of light a day at a mean of {mean:temp}, and that "
    "fits together."
)
SLOW_BUT_COOL = Sentence(
    "They are slow because light is short, but cool enough not to stretch: warmth alone would spoil them."
)
NOTHING_TO_MEND = Sentence("Nothing needs mending.")
SIGNS_FIT = Sentence("What you see ({signs}) fits plants that are well.")
TOO_COLD = Sentence(
    "Since they came up about {up:date} they had {light:mol} of light a day at a mean of {mean:temp}: colder than "
    "the {least:temp} this crop goes on at. They do not stretch, they stand still, and may be harmed."
)
COLD_TOO = Sentence("A mean of {mean:temp} is below the {least:temp} this crop goes on at, so they hardly grow.")
SEEN_FIRST = Sentence("You see {signs}: that speaks for {says}, and your eyes come first.")
SEEN_STURDY = Sentence("By the numbers they should be sturdy (stretch {score:score}), so something is not as taken.")
SEEN_OTHER = Sentence("By the numbers it would rather be {says}, so something is not what it seems.")
MEASURE_FIRST = Sentence("Measure {what}.")
MEASURE_LIGHT = Sentence("their light for a day (tenhour read, then --dli)")
MEASURE_WARMTH = Sentence("coldest and warmest among them in three days (--night-c, --day-c)")
MEASURE_ROOM = Sentence("how close they stand, and the day they came up (--density, --up)")
AS_THEY_LOOK = Sentence("For plants that look like this (stretch {score:score}): {remedy} ({there:score}).")
NOT_STRETCHING = Sentence("This is not stretching but {says}: {do}.")
TO_TELL = Sentence("To tell: {check}.")
BESIDES = Sentence("Besides, they are {word} (stretch {score:score}).")
HAD = Sentence(
    "Since they came up about {up:date} they have had {light:mol} of light a day at {day:temp} by day and {night:temp} "
    "at night{enough}."
)
ENOUGH = Sentence("; as warm as that, {light:mol} would keep them sturdy")
CAUSE = Sentence("{says} ({share:percent})")
MAIN_REASON = Sentence("The main reason is {first}.")
MAIN_REASON_THEN = Sentence("The main reason is {first}, then {others}.")
NO_STEP = Sentence("No single step makes much difference.")
FREE_STEP = Sentence("First, without buying anything: {remedy} (stretch {score:score}).")
BEST_STEP = Sentence("The strongest step: {remedy} (stretch {score:score}).")
ONLY_STEP = Sentence("First: {remedy} (stretch {score:score}).")
STAYS_LONG = Sentence("What is long already stays long: {bury}.")
REST = Sentence("More (--all): {what}.")

BURY_DEEP: Final = "pot these deep, up to the seed leaves or beyond; the stem will root"
BURY_NOT: Final = "this crop cannot be set deeper, so sow again"
BURY_TO_SEED_LEAVES: Final = "when potting on, set them down to the seed leaves"
BURY_A_LITTLE: Final = "when potting on, set them a little deeper if the stem is firm; else sow again"

LAMPS = Sentence("lamps to {light:mol 0}")
LAMPS_HOW = Sentence(
    "cool white, {hours:hours 0} a day at {flux:ppfd} on top of the {there:mol} that are there{enough}"
)
LAMPS_ENOUGH = Sentence("; {light:mol} would just be sturdy")
LONGER = Sentence("your lamps on for {hours:hours 0} a day")
LONGER_HOW = Sentence("instead of {now:hours 0}; a timer does it, and leave the plants their dark night")
LOWER = Sentence("your lamps lower")
LOWER_HOW = Sentence(
    "hang them at two thirds of their height, for about {light:mol} a day; a hand held at the leaves must not feel "
    "warm, and edges get less"
)
MAT_OFF = Sentence("the heat mat off")
MAT_OFF_HOW = Sentence("a mat is for seed; off on the day the first hook shows")
WARMER = Sentence("warmer, a mean of {mean:temp}")
WARMER_HOW = Sentence("this crop goes on at {least:temp} and more; a heated room or a mat under the tray{dim}")
WARMER_DIM = Sentence("; as warm as that they need {light:mol} not to be leggy, so give light with the warmth")
BRIGHTER = Sentence("their brightest place: at the glass, glass washed, a white board behind them")
BRIGHTER_HOW = Sentence("light falls off fast behind the front row, and a dirty cover takes a tenth or more")
COOL_AS_OUTDOORS = Sentence("; no cooler than the air outdoors: open up")
COOLER = Sentence("cooler, {day:temp} by day and {night:temp} at night")
COOLER_HOW = Sentence("slower, not taller, and it saves heat{limits}")
COOL_AS_IT_GOES = Sentence("; as cool as this crop goes")
NOT_FOR_LONG = Sentence("; not for long: weeks below {bolt:temp} turn it to flower")
EVEN_DAYS = Sentence("days no warmer than nights")
EVEN_DAYS_HOW = Sentence("the same mean of {mean:temp} day and night; a cool first hour of light does part of it")
THIN = Sentence("thin or pot on to {room:plants 0}")
THIN_HOW = Sentence("from {now:plants 0 bare} to {room:plants 0}, until leaves just touch")
POT_ON = Sentence("pot on at once")
POT_ON_HOW = Sentence("each day in an outgrown pot counts")
LIGHT_AT_ONCE = Sentence("light from the first hook")
LIGHT_AT_ONCE_HOW = Sentence("at the next sowing: light on, cover and heat mat off, on the day the first hook shows")
BRUSH = Sentence("brush or move air daily")
BRUSH_HOW = Sentence(
    "ten strokes with a hand or a card a day from the first true leaf, or a fan; never on wet leaves, and stop if "
    "leaves tear"
)
FAN = Sentence("a small fan, a few hours a day")
FAN_HOW = Sentence(
    "leaves of this crop tear: brushing damaged half to nine tenths of pepper plants; air that just moves them is safe"
)
WHITE_LAMPS = Sentence("white lamps instead")
WHITE_LAMPS_HOW = Sentence("cool white (a quarter blue), no incandescent bulbs, no far-red at the end of the day")
DRIER = Sentence("drier and leaner")
DRIER_HOW = Sentence("water when the tray feels light")
OTHER_BED = Sentence("stand them on bed {name}")
OTHER_BED_HOW = Sentence("{light:mol} at {mean:temp} there")
RESOW = Sentence("sow again on {on:date}")
RESOW_HOW = Sentence("{light:mol} at {mean:temp} in their first three weeks")
CUT_YOUNG = Sentence("cut them young and eat")
CUT_YOUNG_HOW = Sentence("leaves of any length taste alike, and the room is free for another sowing")
BY_NOW = Sentence("{how}; about {leaves} by now instead of {now}")
NO_LEAF: Final = "no true leaf"

FOR_AND_AGAINST = Sentence("{raising} speaks for {says}, {lowering} against it. To tell: {check}.")
FOR_BUT_LITTLE = Sentence("{raising} speaks for {says}, but by the numbers that has little part. To tell: {check}.")
AGAINST_THE_MAIN = Sentence(
    "{lowering} speaks against {says}, which by the numbers is the main thing. To tell: {check}."
)

STARVED = Sentence(
    "By the growth model light feeds only {part:percent} of what they could use, yet they should not be stretched: "
    "check the temperatures."
)
WELL_FED = Sentence(
    "By the growth model these plants are well fed, with {part:percent} of what they can use: check light and warmth."
)
FEWER_LEAVES = Sentence(
    "You count {told:leaves} where {now:count} were to be expected: cold roots, hunger or damp hold them back, not "
    "light alone."
)
CLOSED_TRAY = Sentence(
    "If {density:plants 0} still stand there, they have closed the tray by now and crowding adds to this; tell how "
    "many stand there to have it counted."
)
SHOOTS = Sentence("Shoots for cutting are meant to be long; the score is made for seedlings that are grown on.")

BLUE_DOUBT = Sentence(
    "Little blue counts here for stretch {least:score} to {most:score}: in trials some plants needed a quarter of "
    "blue, while lettuce had enough with {enough:ppfd} of it however much red."
)
FAR_RED_DOUBT = Sentence(
    "Lamps without far-red are counted as neither better nor worse: trials disagree (tomato shorter in one, taller in "
    "another)."
)
LAMP_CAUTION: Final = "Lamps over wet trays: damp-rated, behind an RCD (GFCI), drip loops; local code first."
TAKEN_MAT = Sentence("a heat mat that warms them by {warmer:warmer}")

TAKEN_AS_UP = Sentence("By the model they would not be up yet; as you describe them, they are taken as up.")
NO_BED = Sentence("No bed was named, so the light of bed {bed} was taken; name another, or tell the light they had.")
NO_DENSITY = Sentence("How close the plants stand was not given, so crowding is not counted.")
AIR_OF_BED = Sentence("Air where not given: that of bed {bed}.")
HALF_LAMPS = Sentence("The lamps' part of the light was not given: half of it taken.")
LAMPS_TAKEN = Sentence("The lamps' light was not given: {light:mol} a day taken.")
BROUGHT_IN = Sentence("Taken for given because of what you see: {what}.")
LIGHT_OF_HOUSE = Sentence("Light of the house: {note}.")

MATCH = Sentence("Match heat to light: this light carries {what}.")
MATCH_ANY = Sentence("{plants} at any warmth the crop likes")
MATCH_NONE = Sentence("{plants} only below what this crop grows at")
MATCH_AT = Sentence("{plants} at {day:temp} by day and {night:temp} at night")
SPREAD = Sentence("Stretch {score:score}; {low:score} in a bright season, {high:score} in a dull one.")
