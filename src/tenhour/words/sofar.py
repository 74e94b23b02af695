"""Sentences on this winter so far."""

from __future__ import annotations

from tenhour.words.text import Sentence

LIGHT = Sentence(
    "This winter so far: {share} {more} light than usual{air} from {first:date} to {last:date}{gaps}; days ahead are "
    "taken as usual."
)
USUAL = Sentence(
    "This winter so far: the usual light{air} from {first:date} to {last:date}{gaps}; days ahead are taken as usual."
)
WARMER = Sentence(" and air {by:warmer} warmer")
COLDER = Sentence(" and air {by:warmer} colder")
FEW = Sentence(
    "This winter so far: {days} known since {first:date}, too few to say much; days ahead are taken as usual."
)
MISSING = Sentence(" ({days} missing)")
MISSING_MANY = Sentence(" ({days} missing, the first {first:date})")
DAY = Sentence("{on:date}")
LATER = Sentence("{name} sown {on:date} comes {days:days} later for it.")
LAMPS = Sentence("Lamps have burnt {beds} since {first:date}, about {energy:energy}.")
LAMP_BED = Sentence("{hours:count} h over {bed}")
HEAT = Sentence(
    "Heat since {first:date}: about {kwh:heat_energy}, {by:heat_energy} {more} than in a usual winter{fuel}."
)
HEAT_USUAL = Sentence("Heat since {first:date}: about {kwh:heat_energy}, as in a usual winter{fuel}.")
WOOD = Sentence(", as dry wood {kg:weight}")
COST = Sentence(", at your price {cost:money}")
SOONER = Sentence("{name} sown {on:date} comes {days:days} sooner for it.")
