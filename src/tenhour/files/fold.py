"""One spelling for every way to write a place name, used when the gazetteer is built and when it is searched."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

LETTERS: Final = str.maketrans(
    {
        "ø": "o", "æ": "ae", "œ": "oe", "ß": "ss", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i",
        "ħ": "h", "ŋ": "n", "ŧ": "t", "ə": "e", "'": "", "ʻ": "", "ʼ": "", "’": "", "‘": "", "`": "", "ʹ": "",
        "-": " ", "–": " ", ".": " ", "_": " ", "/": " ",
    }
)  # fmt: skip
"""Letters that Unicode does not take apart, and marks that people leave out."""

DIGRAPHS: Final = (*((vowel + "e", vowel) for vowel in "oau"), ("aa", "a"), ("ss", "s"))
"""Ways to type an umlaut, a ring or a sharp s on a plain keyboard."""


def fold(text: str) -> str:
    """Lower case without accents, apostrophes and hyphens, single blanks.

    >>> fold("Saint-Étienne"), fold("Húsavík"), fold("Tromsø"), fold("St. John’s")
    ('saint etienne', 'husavik', 'tromso', 'st johns')
    """
    plain = unicodedata.normalize("NFKD", text.casefold().translate(LETTERS))
    kept = "".join(letter for letter in plain if not unicodedata.combining(letter))
    return re.sub(r"\s+", " ", kept.translate(LETTERS)).strip()


def spellings(folded: str) -> list[str]:
    """Other ways to write a folded name: keyboard spellings of umlauts undone, saint shortened.

    >>> spellings("koeln"), spellings("sankt moritz")
    (['koln'], ['st moritz'])
    """
    plain = folded
    for typed, letter in DIGRAPHS:
        plain = plain.replace(typed, letter)
    short = re.sub(r"^(saint|sankt|sint|sant) ", "st ", folded)
    long = re.sub(r"^st ", "saint ", folded)
    return [other for other in dict.fromkeys((plain, short, long)) if other != folded]
