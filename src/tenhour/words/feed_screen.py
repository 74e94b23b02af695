"""Sentences of the household's plan in one screen."""

from __future__ import annotations

from typing import Final

from tenhour.words.text import Sentence

PROOF: Final = Sentence(
    "No plan costs less than {bound}, this one {cost} in money and work: {gap:share} apart, proven in {seconds} s."
)
FIRST: Final = Sentence("Do first, week of {week:date}")
THEN: Final = "Then sow"
EATEN: Final = "On the table"
SHORT: Final = "Missing"
SOW: Final = Sentence("{places}; eat from {first:day}")
RAISE: Final = Sentence("in the nursery, {plants} plants: set out on {places} from {out:day}")
OUTDOORS: Final = Sentence("outdoors or in pots, {plants} plants: move in to {places} from {out:day}")
SET_OUT: Final = Sentence("set out: {places}")
MOVE_IN: Final = Sentence("dig and move in: {places}")
TRAYS: Final = Sentence("{places}; cut from {first:day}")
CLEAR: Final = Sentence("clear: {places}")
PATCH: Final = Sentence("{bed} {area:area} ({plants} plants)")
PLAIN_PATCH: Final = Sentence("{bed} {area:area}")
LYING: Final = Sentence("{trays} on {bed}")
BY_DAY: Final = Sentence("{on:day} {crops}")
MORE: Final = Sentence("{count} more to {last:day}")
MONTH: Final = Sentence("{month} {crops}")
MORE_REMEDIES: Final = Sentence("{remedies} more would help: --all.")
MORE_JOBS: Final = Sentence("And {jobs} more: --csv jobs.")
MORE_CHANGES: Final = Sentence("And {changes} more: --all.")
SEASONS: Final = Sentence("In seasons it was not made for it brings {wishes}.")
WORST: Final = Sentence(" Worst: {wish}, short by a fifth or more in the week of {week:day} in {seasons}.")
FURTHER: Final = (
    "This week: --week; seed: --seeds; trays: --shelf; a sheet to pin up: --sheet wall.html; all of it: --all."
)
