"""Sentences on the coldest nights to expect, and on what lies over a bed."""

from __future__ import annotations

from typing import Final

from tenhour.words.text import Sentence

OUTDOORS: Final = "outdoors"
INSIDE: Final = "inside"

LAID = Sentence("with the {cover} on from {first:date} to {last:date}")
LAID_NIGHT = Sentence("with the {cover} on by night from {first:date} to {last:date}")
LAID_ALL_YEAR = Sentence("with the {cover} on all year")
LAID_ALL_YEAR_NIGHT = Sentence("with the {cover} on by night all year")

COLDEST = Sentence("Coldest night of a winter (one winter in ten; mean night of the coldest month): {places}.")
AT = Sentence("{place} {low:temp} ({tenth:temp}; {mean:temp})")
UNDER = Sentence("{place}, {layers}, {low:temp} ({tenth:temp}; {mean:temp})")
NOT_RUN = Sentence("Inside: tenhour heat.")


def alike(night_degc: float | None, tenth_degc: float | None) -> bool:
    """Whether the night of one winter in ten reads no colder than that of every winter.

    Parameters: night_degc, tenth_degc, the coldest of every winter and of one in ten [°C]; None where unknown.
    """
    return night_degc is not None and tenth_degc is not None and round(night_degc) == round(tenth_degc)
