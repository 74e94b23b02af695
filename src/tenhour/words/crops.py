"""What a crop is called, and how it is harvested, in a column of the list of crops."""

from __future__ import annotations

from tenhour.words.text import Sentence

A_PICK = Sentence("{mass:fresh_area} a pick")
AT_LEAVES = Sentence("at {leaves:leaves}")
AT_LEAVES_SALAD = Sentence("at {leaves:leaves}, {salad:leaves bare} for salad")
HEADS = Sentence("{mass:fresh}, {density:density}")
STAND = Sentence("{density:density}")
TRAY = Sentence("{mass:yield} or more")
RAISED = Sentence("{days:days}")


def crop_name(key: str) -> str:
    """The one name of a crop in every answer: the key one types, as words."""
    return key.replace("-", " ")
