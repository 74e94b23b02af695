"""Sentences of the short answer to a sowing: what to do on a day, in a screen."""

from __future__ import annotations

from typing import Final

from tenhour.words.text import Sentence

TITLE: Final = Sentence("Sowing on {on:date}{place}")
BEST: Final = Sentence("Most light: {bed}, {light:dli} that day")
DIMMEST: Final = Sentence("; least: {bed}, {light:dli}")
COLDEST: Final = Sentence(" Coldest night of the four weeks ahead: about {night:temp} ({bed}).")

SOW_ON: Final = Sentence("{bed}: {ready}")
SLOW_ON: Final = Sentence("{bed}: slow, {ready}")
YOUNG_ON: Final = Sentence("{bed}, thickly: cut young {ready}")
RAISE_ON: Final = Sentence("{where}: set out on {bed} about {out:date}, {ready}")
RANGE: Final = Sentence("{first:date} to {last:date}")
FROM: Final = Sentence("from {first:date}")
READY: Final = Sentence("ready {when}")
NOTHING: Final = Sentence("Nothing to sow on the beds today: no sowing comes to anything in good time.")
NOTHING_YET: Final = Sentence(
    "Nothing to sow on the beds today: the first that is worth it is {crop} ({bed}), from {first:date}."
)
START_INSIDE: Final = Sentence(
    "Until then sow in a warm, light place indoors, at {15:temp bare} to {20:temp}, and set out as it gets milder."
)
START_THERE: Final = Sentence("Until then sow {where} and set out as it gets milder.")

BY_DAY: Final = Sentence("{on:date} {crops}")
COLD: Final = Sentence(
    "Too cold today: {crops}. At nights down to about {night:temp} it lies or is harmed; first again "
    "{first:date} ({crop}). Cure: start seed at {15:temp bare} to {20:temp} indoors; by night keep a "
    "fleece over what stands."
)
COLD_UNDATED: Final = Sentence(
    "Too cold, and no day of the year is better: {crops}. Nights down to about {night:temp}: only in a warmer place."
)
FLOWERS: Final = Sentence("{crop}: {flag}")
MORE: Final = Sentence("and {count:count} more")
FURTHER: Final = Sentence("Each crop's sentence: --crop {crop}; a bed: --bed {bed}; all: --all.")
