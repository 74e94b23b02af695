"""Sentences on this winter so far."""

from __future__ import annotations

from tenhour.words.text import Sentence

LIGHT = Sentence(
    "This winter so far: {share} {more} light than usual from {first:date} to {last:date}{gaps}; days ahead are taken "
    "as usual."
)
USUAL = Sentence(
    "This winter so far: the usual light from {first:date} to {last:date}{gaps}; days ahead are taken as usual."
)
FEW = Sentence(
    "This winter so far: {days} known since {first:date}, too few to say much; days ahead are taken as usual."
)
MISSING = Sentence(" ({days} missing)")
MISSING_MANY = Sentence(" ({days} missing, the first {first:date})")
DAY = Sentence("{on:date}")
LATER = Sentence("{name} sown {on:date} comes {days:days} later for it.")
SOONER = Sentence("{name} sown {on:date} comes {days:days} sooner for it.")
