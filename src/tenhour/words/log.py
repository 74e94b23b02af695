"""Sentences of the log."""

from __future__ import annotations

from typing import Final

from tenhour.words.text import Sentence

NO_SOWING: Final = Sentence("set out {on:date}; its day of sowing is not in the log, so there is no forecast")
RAISED: Final = Sentence("raised elsewhere, so rather sooner than sown here")
STILL_THERE: Final = Sentence(
    "Still there? {crop} on {bed}, sown {sown:date}, should have been ready by {due:date}. Say once: tenhour log "
    "stands {crop}, or harvested, or cleared --because slugs (frost, flower, mould, not-up, eaten)."
)
TO_DO: Final = Sentence("{bed}: {crop} (sown {sown:date}): {text}")
