"""What was assumed about a house, its air and its place, and what is worth changing in it."""

from __future__ import annotations

from collections.abc import Iterable

from tenhour.words.text import Sentence

SOURCE = Sentence("Outdoor light and air: {source}.")
FILE_DOUBT = "Weather file "
"""How a warning begins that the weather file may be wrong: no answer leaves it out."""


def file_doubts(texts: Iterable[str]) -> list[str]:
    """Those of some remarks that doubt the weather file.

    Parameters: texts.
    """
    return [text for text in texts if text.startswith(FILE_DOUBT)]


WEATHER_DOUBT = Sentence("Weather file {file}: {what}")
DAYS_OF_WINTER = Sentence("Days of this winter: {file}, {days} known from {first:date} to {last:date}.")
NO_DAYS_OF_WINTER = Sentence("Days of this winter: {file}, none yet.")
AIR_NOT_GIVEN = Sentence(
    "Indoor air where not stated: from the heat of the house by the hour in invented winters of this place, never "
    "below a set point (docs/method/heat.md)."
)
SNOW_LIKELY = Sentence(
    "The outdoor mean is below {limit:temp} in months {months}: if snow lies then, add snow_months = {months} to "
    "[site]; white ground brings light to low panes, snow on a roof takes it."
)
LAST_FROST = Sentence(
    "Half of the springs still freeze after {half:date}, one in ten after {tenth:date}, give or take {13:days} by the "
    "lie of the land; tender plants wait for the second. Surer: your garden's own day (last_frost under [site]), or a "
    "weather file with its nights."
)
LAST_FROST_FILE = Sentence(
    "Half of the springs still freeze after {half:date}, one in ten after {tenth:date}, give or take {1:weeks}, by the "
    "nights of the weather file; tender plants wait for the second."
)
LAST_FROST_OWN = Sentence(
    "Half of the springs still freeze after {half:date}, as you say, and by the spread of springs here one in ten "
    "after {tenth:date}; tender plants wait for the second."
)
MAT_ALL_YEAR = Sentence("The mat under {bed} stays plugged in all year: no months were given.")
MAT_USUAL = Sentence("The mat under {bed} is taken as usual in what its table leaves out.")
CANOPY = Sentence("{beds} take their light {canopy:height} above the soil: no canopy_m was given.")
NURSERY_AIR = Sentence("The nursery has {air:temp}, a heated room (practice): no {key} was given.")
NURSERY_GAINS_NOTHING = Sentence(
    "Raising plants {where} first gains none of these crops {days:days} on this date, so nothing is said of it."
)
WINDOW_SILL = Sentence("{window} starts {sill:length} up: no sill_m was given.")
ELEVATION = Sentence("Elevation {height:elevation}: none was given ({note}).")
MAP_HEIGHT = Sentence("elevation {height:elevation} taken from a map of coarse cells")
LAMP_SIZE = Sentence("Lamp size not given: {length:length} by {width:length}, as a {kind} of that power.")

ASSUMED = Sentence("{count:things} assumed: tenhour check tells those of the house, --cautions all.")
NOTHING_BEHIND = Sentence("No warnings, cautions or assumptions stand behind this.")
NOTES_BEHIND = Sentence("Behind this: {what}; --cautions tells them, tenhour check those of the house.")
MORE_WARNINGS = Sentence("{count:count} more: --cautions.")
MORE_CAUTIONS = Sentence("{count:count} more that may touch you: --cautions.")

SOWN = Sentence("{crop} (sown {on:date})")
STANDS_THERE = Sentence("Stands there by your log: {what}.")
NO_FACTOR = Sentence("No factor: {why}.")
NEXT_READING = Sentence("Most useful next: {what}.")
CONFLICT = Sentence("Conflict: {what}")
KIND_OF_FILE = Sentence("{kind}: {source}")
ON_DATE = Sentence("on {on:date}")
MEAN_OF_MONTH = Sentence("mean of {month:month}")

RAISE_BED = Sentence("raise the bed by {up:height}")
MOVE_BED = Sentence("move the bed {step:height} to the front")
PAINT = Sentence("paint or line the opaque walls matt white")
CLEAR_SNOW = Sentence("clear snow from the roof and the low glass")
CLEAR_SNOW_HOW = Sentence("from a firm ladder or the ground, never from the panes")
LIFT_LAYERS = Sentence("lift the fleece or cover over the bed by day")
CUT_HEDGE = Sentence("cut the hedge to half its height")
CUT_HEDGE_HOW = Sentence("where the skyline is a hedge or trees of yours")
MOVE_BOX = Sentence("move the {box} out of the light")

STARVES = Sentence("Starves: the light is below what keeps it alive.")
MAY_FLOWER = Sentence("May run to flower from about {on:date}.")
TOO_HOT = Sentence("Too hot for good quality, with daily means above {limit:temp}, for part of the time.")
MAY_BULB = Sentence("Days reach {length:hours 0} with twilight and lamps: it may bulb.")

COLDEST = Sentence("Coldest night of its stay about {lowest:temp}, in one winter in ten {rare:temp}:")
FROST_DOES = {
    (0, 1): Sentence("then its outer leaves scorch."),
    (0, 2): Sentence("then it dies."),
    (1, 1): Sentence("its outer leaves scorch."),
    (1, 2): Sentence("its outer leaves scorch, and in such a winter it dies."),
    (2, 2): Sentence("it dies."),
}
"""What the middle winter and one in ten do, as values of ``Harm``."""
CHILL_HARMS = Sentence("below {limit:temp} it is harmed.")
STANDS_ANY_FROST = Sentence("It stands about {hardened:temp}.")
STANDS_FROST = Sentence("It stands about {hardened:temp} if hardened, about {tender:temp} if not.")

ROOM_FOR = Sentence("room for {part:percent}")
OVERFULL = Sentence(
    "Bed {bed} would be {times:plain} times over full with this supply: its crops share it, and sowings of the fullest "
    "time get {part:percent} of their wish."
)
NO_SUPPLY = Sentence("No steady supply from this house without lamps or warmth: {crops}.")

SENSOR_AT = Sentence("A sensor or thermostat sees a typical temperature at {best}; not at {worst}, which is {off}.")
FEW_NIGHTS = Sentence(
    "Where a thermostat hangs best cannot be told from {count:count} nights read in all places: read {least:count} or "
    "more."
)
UNEVEN = Sentence(
    "Where a thermostat hangs best cannot be told: even {best} differs from {cold} by now more, now less (± "
    "{error:temp_difference}). Read more nights, or let a fan run."
)
AS_COLD = Sentence(
    "Where a thermostat hangs best cannot be told: {cold} and {other} are as cold as each other within the errors. "
    "Read more nights, or watch both."
)
HANG = Sentence(
    "{best} follows {cold}, the coldest place, best: set to {set:temp 1} there (± {error:temp_difference}) a heater "
    "keeps {cold} at {hold:temp}; on the nights that were read it would have come on {nights:count} times."
)
SENSOR_ANYWHERE = Sentence(
    "A sensor or thermostat sees a typical temperature at {best}; the places differ by less than {least:warmer 0}, so "
    "any of them will do."
)
OFF_BY = Sentence("{day} by day and {night} at night")
WARMER = Sentence("{gap:warmer} warmer")
COLDER = Sentence("{gap:warmer} colder")

LIGHT_WANTED = Sentence(
    "Light wanted: {light:dli} brings {crop} sown on {sown:date} in by {by:date} at {day:temp} by day and {night:temp} "
    "at night (growth model inverted)."
)
CANNOT_BE_IN = Sentence(
    "{crop} sown on {sown:date} cannot be in by {by:date} at {day:temp} by day and {night:temp} at night, whatever the "
    "lamps: {nearest}."
)
EARLIEST = Sentence("the earliest is {on:date}, unless it is warmer")
DARK_SHELF = Sentence("A shelf without daylight, at {air:temp} day and night.")
