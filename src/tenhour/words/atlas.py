"""Sentences of a run over many places."""

from __future__ import annotations

from typing import Final

from tenhour.words.text import Sentence

RUN: Final = Sentence(
    "{sites} sites, of which {holes} are holes (sea, above {limit:elevation}, or no climate data near); "
    "{chunks} chunks, of which {kept} were whole from a run before."
)
FILES: Final = Sentence("Written:")
MIDDLE: Final = Sentence(
    "Dates are those of the middle season; --draws all gives the medians of all drawn seasons, as the answers on one "
    "house do."
)
NORMALS: Final = Sentence("Light and air outdoors from the embedded normals; heights from a coarse map of the world.")
OWN_GRID: Final = Sentence("Light and air outdoors from your own monthly means.")
PLACED: Final = Sentence(
    "A house of one drawing at every site, with its own skyline and the same way round everywhere: no hill or wood of "
    "the place is known."
)
