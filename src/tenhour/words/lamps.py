"""What the lamp answer says: how to hang them, what they bring, what to beware of."""

from __future__ import annotations

from tenhour.words.text import Sentence

NOT_NEEDED = Sentence(
    "No lamp is needed over {where} for {crops}: the mean day keeps to the {target:dli} wanted, even in {month:month} "
    "(a dull day then counts on {dull:mol})."
)
TIERS = Sentence("each of {tiers:count} tiers of {bed}")
ONE_LAMP = Sentence("one {lamp} of {each:power}")
LAMPS = Sentence("{count:count} x {lamp} of {each:power}")
HANG = Sentence("Over {where} for {crops}: {lamps}, {height:height} above the canopy, {total:power} in all.")
ON_EVERY_DAY = Sentence("Every day on {times}{until}. A day then brings {light:mol} of the {target:dli} wanted.")
ON_IN_MONTH = {
    "dull": Sentence(
        "In {month:month} on {times}{until}. A dull day then brings {light:mol} of the {target:dli} wanted."
    ),
    "mean": Sentence(
        "In {month:month} on {times}{until}. A mean day then brings {light:mol} of the {target:dli} wanted."
    ),
}
OFF_FROM = Sentence(", off from {on:date}")
ALL_YEAR = Sentence(", all year")

OVERLOADED = Sentence(
    "Circuit overloaded: lamps {lamps:current} and others {others:current} make {total:current}; a {breaker:current 0} "
    "breaker at {mains:volts} may carry {allowed:current} for hours on end ({share:percent}); {advice}{split}."
)
LARGER_BREAKER = Sentence("a {breaker:current 0} circuit would carry it")
NO_BREAKER = Sentence("no common single circuit carries it")
OWN_CIRCUIT = Sentence(", or one for the lamps alone")
MORE_CIRCUITS = Sentence(", or {count:count} of {breaker:current 0} for the lamps")
TOO_LITTLE = Sentence(
    "Not enough light: hung full of this lamp the bed gets {given:ppfd} of the {needed:ppfd} needed. A stronger lamp, "
    "more hours, or less light wanted."
)
TOO_BIG = Sentence(
    "One size too big: {lamp} gives {given:ppfd} where {needed:ppfd} would do; a smaller fixture would save power."
)
NOTE = Sentence("{lamp}: {note}.")
SPILL_ON = Sentence("{bed} ({light:ppfd})")
SPILL = Sentence(
    "Lamp light spills onto {beds}: a glimmer of that size already counts as day, so crops there see the long day too."
)

TOO_LOW = Sentence(
    "{lamp}: needs {under:height} above the leaves and {over:height} below what is above, but only {there:height} are "
    "there. A flatter, cooler lamp (led-bar, a slim tube) needs least."
)
TOO_LONG = Sentence(
    "{lamp}: the shortest is {length:length} long and would stand out too far over {bed:length} (at most {out:height} "
    "on a side). Take a shorter lamp, or bulbs."
)
PANELS = Sentence("white side panels from canopy to lamps, down by day ({count:count} fixtures)")
HEADROOM = Sentence("more headroom: lamps at {height:length} ({count:count} fixtures)")

TRAYS_TURNED = Sentence("trays turned and swapped every week")

PER_KWH = Sentence("{light:mol} on the bed per kWh")
GROWTH_PER_KWH = Sentence("about {growth:fresh} more of harvest per kWh than without lamps")
HEAT = Sentence("{heat:power} of heat to the house")
WARMING = Sentence("{heat:power} of heat to the house, {warming:warmer} warmer in steady state")

SUFFERS = Sentence(
    "{crop} suffers from more than {most:mol}; the others are lit to {light:mol}: shade it, or light it apart."
)
ASKS_LESS = Sentence("{crop} asks for {wants:mol} and is lit to {light:mol}: put it at the dim end.")
SHORT_DAY = Sentence(
    "{crop} {why} in days beyond {day:hours 0}, so all share that day; {others} could have {usual:hours 0} and "
    "a smaller lamp."
)

RUNGS = {
    "seedlings": "seedlings only",
    "least": "keeps growing",
    "steady": "steady",
    "asked": "as asked",
    "full": "full, mean day",
    "dull": "full, dull day",
}
OWN_STEPS = {
    "as it is": "as they are",
    "lower": "lowered",
    "raise": "raised",
    "longer": "longer hours",
    "more": "more of them",
}
OWN_LAMPS = Sentence(
    "Your {count:count} x {lamp} of {each:power} over {where} for {crops}: {height:height} above the canopy, "
    "{times} in {month:month}, they bring the mean day from {dark:mol} to {light:mol}."
)
OWN_ENOUGH = Sentence("That is the {wanted:dli} worth reaching here: no more lamps are needed.")
OWN_SHORT = Sentence(
    "{wanted:dli} are worth reaching here: {more:count} more of them, or light {area:area} of the bed alone."
)
OWN_TABLE = Sentence(
    'mol on a mean day; "even" is darkest over mean; kWh and money from {first:date} to {last:date}; the last row '
    "before more of them is planned below."
)
NO_KILOS_TO_SHARE = Sentence(
    "A budget is shared by the kilos it adds, and plants and trays are not counted in kilos: ask for one shelf at a "
    "time."
)
NOTHING_WITHIN = Sentence("No rung of any bed that adds harvest is within that budget.")
BUDGET_WATTS = Sentence("{budget:power} do most over {beds}: {extra:weight} more by {last:date}")
BUDGET_MONEY = Sentence("{budget:money} do most over {beds}: {extra:weight} more by {last:date}")
BUDGET_ORDER = Sentence("{beds}, in this order")
BUDGET_KILO = Sentence("{first}, {cost:money} a kilo.")
BUDGET_LEFT = Sentence("{beds} stays unlit.")
BUDGET_TABLE = Sentence("kWh and money from {first:date} to {last:date}; the first bed is planned below.")
NURSERY = Sentence("{plants}: sown as below they are ready for {ready:date}.")
NURSERY_LATE = Sentence("{plants}: it is too late for {wanted:date}; sown now they are ready on {ready:date}.")
NOT_RAISED = Sentence("Not all of these get big enough there to be set out.")
NURSERY_PLANTS = Sentence("{count:count} {crop}")
ALL_SEEDLINGS = Sentence("these are seedlings all along, on every rung")
EATEN_AS_SEEDLINGS = Sentence("these are eaten as seedlings, on every rung")
NOTHING_TO_SET_OUT_IN = Sentence("without daylight no plants can be set out under no lamp")
SOWN_IN_PLACE = Sentence("this is sown where it grows")
NO_ROOM_OVER_TRAYS = Sentence("the lamp finds no room over the trays of one bed")
DAYLIGHT_DOES = Sentence("daylight does that alone")
ABSENT_RUNG = Sentence("{rung} ({why})")
ABSENT = Sentence("Not here: {rungs}.")
NO_SUCH_RUNG = Sentence('No rung "{rung}" here: {why}. There are {others}.')

UNTOLD = Sentence("What lamps add to {crops} is not reckoned here: fruit has no growth model.")
ADDS_NOTHING = Sentence("Lamps add nothing to the harvest here by the end of the dark.")
TAKES = {
    "kg": Sentence("One more kilo takes {energy:energy} of current; what that costs was not given (--price)."),
    "plants": Sentence("One raising takes {energy:energy} of current; what that costs was not given (--price)."),
    "trays": Sentence("One sowing takes {energy:energy} of current; what that costs was not given (--price)."),
}
COSTS = {
    "kg": Sentence(
        "One more kilo costs {cost:money} of current; whether that pays, nobody said: what is a kilo worth (--worth)?"
    ),
    "plants": Sentence(
        "A hundred plants cost {cost:money} of current; whether it pays, nobody said: what is a plant worth (--worth)?"
    ),
    "trays": Sentence(
        "A tray costs {cost:money} of current; whether that pays, nobody said: what is a tray worth (--worth)?"
    ),
}
COSTS_SHORT = {
    "kg": Sentence("one more kilo costs {cost:money} of current"),
    "plants": Sentence("a hundred plants cost {cost:money} of current"),
    "trays": Sentence("a tray costs {cost:money} of current"),
}
PAYS = Sentence("Lamps pay here: {what} and {worth:money} is what you would give for it.")
PAYS_NOT = Sentence("Lamps do not pay here: {what}, and {worth:money} is all you would give for it.")
NO_STEP_TAKES = Sentence("Lamps pay on no step of light here: one more kilo takes {energy:energy} of current or more.")
NO_STEP_COSTS = Sentence("Lamps pay on no step of light here: one more kilo costs {cost:money} of current or more.")
NO_STEP_PAYS = Sentence(
    "Lamps pay on no step of light here: one more kilo costs {cost:money} of current or more, and {worth:money} is all "
    "you would give for it."
)
ONLY_GROWS = Sentence("What is planned only keeps it growing.")
SEEDLINGS_COST = Sentence("Over the seedlings alone it costs {cost:money}.")
BED_COST = Sentence("That is over the seedlings alone, on warm trays; over the whole bed it costs {cost:money}.")
SEEDLINGS_PAY = Sentence("Over the seedlings alone it costs {cost:money}: that pays.")
TRAYS_OF = Sentence("{trays:count} trays with the {plants:count} plants of {bed}")
TRAY_OF = Sentence("one tray with the {plants:count} plants of {bed}")
TRAYS_ASSUMED = Sentence(
    "Seedlings only: the {plants:count} plants of {bed} are raised at {air:temp} without daylight, on trays of "
    "{length:height} by {width:height} ({trays:count} of them), and set out; the bed itself stays unlit."
)
UNLIT_DARK = Sentence("Without lamps nothing grows there.")
UNLIT_LIGHT = Sentence("Unlit, the mean day of {month:month} has {light:mol}")
UNLIT_NEVER = Sentence("{seen}, and nothing sown now comes in.")
UNLIT_READY = Sentence("{seen}; sown on {on:date} it takes {days:days}.")
UNLIT_KILOS = Sentence("{seen}; sown on {on:date} it takes {days:days}, and {kilos:weight} are in by {last:date}.")
LADDER = Sentence("mol a day; kWh and money from {first:date} to {last:date}; * is planned below.")
TOO_BRIGHT = Sentence(
    "{crop} gains little or is harmed beyond {most:mol}: here {bright:mol} on a bright day, and {spot:mol} in the "
    "brightest spot of a mean one. Leave the lamps off on bright days."
)

NOT_OVER_A_BED = Sentence(
    "These lamps hang over trays, not over a bed. Describe the place under [nursery] with its light."
)
KEPT = Sentence("Written into {file}: [[lamps]] over {bed}. sow, season and report count them from now on.")
CLOCK = Sentence("On {times}.")
DIMMED = Sentence("Dimmed to {share:percent}.")
CIRCUIT = Sentence(
    "{power:power} draw {drawn:current} at {mains:volts} (a {breaker:current 0} breaker carries {allowed:current} for "
    "hours)."
)
POWER_FACTOR = Sentence("Their power factor of {factor:plain} is counted.")
SAVED = Sentence(
    "About {share:percent} of the current is heating you need not pay for, {saved:money}, taken off what one more "
    "costs."
)
TOO_COLD = Sentence(
    "Too cold for lamps to help: {crop} sown on {on:date} over {bed} dies at {limit:temp}, and in most winters a night "
    "about {night:date} falls to {low:temp} there. Warmth comes first (tenhour heat --helps); then ask for lamps "
    "again, or from a later day (--from)."
)
TOO_COLD_TO_COME_UP = Sentence(
    "Too cold for lamps to help: {crop} sown on {on:date} over {bed} lies for weeks in soil of about {soil:temp} and "
    "may rot before it comes up. Warmth comes first (tenhour heat --helps); then ask for lamps again, or from a later "
    "day (--from)."
)
RAISE_WARM = Sentence(
    "Raise {crop} in the warm: sown on {on:date} over {bed} it lies for weeks in soil of about {soil:temp} and may rot."
)
REPLACED = Sentence("About {share:percent} of the current is heating you need not pay for.")
EVEN = Sentence("Darkest spot over mean: {share} ({corner} in the corner).")
TURNED = Sentence("Turn the trays weekly and {power:power} do instead of {now:power} ({share}).")
MORE = Sentence("{count:count} more notes: --cautions. Heights, places and all numbers: --all.")
