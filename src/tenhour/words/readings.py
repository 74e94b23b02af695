"""Sentences on light that was read: whether the cover or the sky is to blame."""

from __future__ import annotations

from tenhour.words.text import Sentence

COVER_ONLY = Sentence("It is the cover, not the sky:")
SKY_ONLY = Sentence("It is the sky, not the cover:")
BOTH = Sentence("Both cover and sky:")
NEITHER = Sentence("Neither cover nor sky is at fault:")
DIRTY = Sentence(
    "the panes let through {share:percent 0} less than the house file has: dirt, algae, wet or iced panes, or a shade "
    "that is not drawn; wash them and read again;"
)
CLEAN = Sentence("the panes let through what the house file has;")
CLEANER = Sentence("the panes let through {share:percent 0} more than the house file has;")
SKY_LESS = Sentence("the sky gave {share:percent 0} less light than is usual in those hours, which nothing mends.")
SKY_USUAL = Sentence("the sky gave the light that is usual in those hours.")
SKY_MORE = Sentence("the sky gave {share:percent 0} more light than is usual in those hours.")
FEW_DAYS = Sentence("({count:days} of readings tell of their own weather, not of a winter.)")
