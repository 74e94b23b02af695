"""Sentences of the short answer to a sowing: what to do on a day, in a screen."""

from __future__ import annotations

from typing import Final

from tenhour.words.text import Sentence

TITLE: Final = Sentence("Sowing on {on:date}{place}")
ONLY: Final = Sentence("Light on {bed}: {light:dli} that day")
BEST: Final = Sentence("Most light: {bed}, {light:dli} that day")
DIMMEST: Final = Sentence("; least: {bed}, {light:dli}")
COLDEST: Final = Sentence(
    " Coldest night of the four weeks ahead: about {night:temp}, one winter in ten {tenth:temp} ({bed})."
)
COLDEST_ALIKE: Final = Sentence(" Coldest night of the four weeks ahead: about {night:temp} ({bed}).")
MATTED: Final = Sentence(" Roots and seed on the mat of {bed}: {soil:temp}.")
COVERED: Final = Sentence(" {bed}, {layers}: {night:temp} ({tenth:temp}).")
COVERED_ALIKE: Final = Sentence(" {bed}, {layers}: {night:temp}.")

SOW_ON: Final = Sentence("{bed}: {ready}")
SMALL_ON: Final = Sentence("{bed}, to stand small: {ready}")
SLOW_ON: Final = Sentence("{bed}: slow, {ready}")
YOUNG_ON: Final = Sentence("{bed}, thickly: cut young {ready}")
RAISE_ON: Final = Sentence("{where}: set out on {bed} about {out:date}, {ready}")
SPROUT_ON: Final = Sentence("{where}, from {out:date} on {bed}: {ready}")
STAYS_IN: Final = Sentence("{where}: {ready}")
NIGHT: Final = Sentence("about {night:temp}, one winter in ten {tenth:temp}")
NIGHT_ALIKE: Final = Sentence("about {night:temp}")
NIGHT_UNDER: Final = Sentence("{layers}, about {night:temp}, one winter in ten {tenth:temp}")
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
COLD_SEED: Final = Sentence("Seed would lie too cold (nights of {night:temp}): {crops}. {when}")
COLD_SEED_FALLING: Final = Sentence(
    "Seed would lie too cold (nights of {night:temp}, {later:temp} in four weeks): {crops}. {when}"
)
COLD_KILLS: Final = Sentence("A night would kill or chill it before harvest ({down}): {crops}. {when}")
DOWN_TO: Final = Sentence("down to {night:temp}")
DOWN_TO_TENTH: Final = Sentence("down to {night:temp}, one winter in ten {tenth:temp}")
COLD_FIRST: Final = Sentence("First again {first:date} ({crop}). {cure}")
COLD_NEVER: Final = Sentence("No day of the year is better. {cure}")
CURE_SEED: Final = Sentence("Cure: start seed at {15:temp bare} to {20:temp} indoors.")
CURE_KILLS: Final = Sentence("Cure: a fleece by night, some heat, or plants raised indoors for later.")
CURE_CHILLS: Final = Sentence("Cure: heat by night (a fleece alone is too little), or a warm sill.")
FLOWERS: Final = Sentence("{crop}: may run to flower from about {on:date}.")
MORE: Final = Sentence("and {count:count} more")
FURTHER: Final = Sentence("Each crop's sentence: --crop {crop}; a bed: --bed {bed}; all: --all.")
LATER: Final = "Not yet; at full size worth it from"
TOO_LATE: Final = "Too late for this winter; in your diary, to sow by"
DIARY: Final = "In your diary for winter, to sow by"
