"""Sentences of the year in a screen."""

from __future__ import annotations

from typing import Final

from tenhour.words.text import Sentence

TITLE: Final = Sentence("The year from {start:date}")
SCALE: Final = Sentence("(light to {top:dli}, nights {cold:temp} to {warm:temp})")
FURTHER: Final = Sentence("Every crop and sentence: --all; a bed: --bed {bed}; a crop by its name.")
