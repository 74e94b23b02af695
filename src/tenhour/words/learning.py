"""Sentences of what the log has taught."""

from __future__ import annotations

from tenhour.words.text import Sentence

NOTHING = Sentence("The log has no sowing yet that could teach.")
GROWTH = Sentence("{name} grows {share} than the table has it ({low} to {high}; {rows}).")
AS_TABLE = Sentence("{name} grows as the table has it ({low} to {high}; {rows}).")
WEIGHT = Sentence("{name} yields {share} than the table has it ({low} to {high}; {rows}).")
WINTER = Sentence("Light of winter {winter}, by its dates: {share} of the usual ({low} to {high}).")
MORE = Sentence("Not sure yet: another winter would say more.")
SURER = Sentence('Log "ready" on the day a crop could first be eaten; a harvest may have waited.')
STILL = Sentence('Sown {on:date}: is {name} on {bed} still there? Log "stands", or "cleared" and why.')
AREA = Sentence("Harvests teach nothing of yield without an area: give --area with the sowing.")
USES = Sentence("Growth as your own log has it ({rows}, kept {on:date}).")
USES_YIELD = Sentence("Yields as your own log has them ({rows}, kept {on:date}).")

BY_LENGTH = "its date is the length of its leaves, which dim light draws out: growth cannot be told from it"
TRAY = "trays live on their seed: warmth alone times them"
FRUIT = "crops grown for fruit have no dates here"
RAISED = "it was raised elsewhere; the nursery's air would be needed"
NO_CROP = "the table has no crop of this name"
NO_BED = "the house has no bed of this name"
WHICH_BED = "the log does not say which bed"
FAILED = Sentence("it was lost ({because}), which is no date")
EARLIER = Sentence("it is older than {on:date}, when the house was another")
NO_DATE = "the model gives it no date"
LONG = "it took longer than a year"
UNKNOWN = "nobody has logged whether it is still there"
JUST_SOWN = "it was sown too lately"

LEFT_OUT = Sentence("{name}, sown {on:date}: {because}.")
MORE_LEFT = Sentence("and {count} more: --cautions shows all.")
KEPT = Sentence("Written into {file}; every answer now uses it. Take it back with tenhour learn --forget all.")
NOT_KEPT = Sentence("Nothing of this is kept yet. With --keep the house file remembers it and every answer uses it.")
DAYS_TO_COME = Sentence("Days from sowing to harvest, of sowings to come:")
