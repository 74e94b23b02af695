"""Sentences of the log."""

from __future__ import annotations

from typing import Final

from tenhour.words.text import Sentence

RAISED: Final = Sentence("raised, and set out on {on:date}")
STILL_THERE: Final = Sentence(
    "Still there? {crop} on {bed}, sown {sown:date}, should have been ready by {due:date}, and no harvest is logged."
)
SAY_ONCE: Final = Sentence(
    "Say once what became of it: tenhour log harvested {crop}, or stands {crop} if it is not ripe, or cleared {crop} "
    "--because frost (slugs, flower, mould, not-up, eaten, other)."
)
TO_DO: Final = Sentence("{bed}: {crop} (sown {sown:date}): {text}")
