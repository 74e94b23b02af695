"""The coldest nights to expect, outdoors, inside and under cover, and when covers lie over a bed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.errors import FileProblem
from tenhour.model.described import Described, describe
from tenhour.model.house import House
from tenhour.model.results import Basis, ColdNight
from tenhour.model.site import MONTHS
from tenhour.plan.dates import month_means
from tenhour.sky.extremes import Extremes, extremes_of
from tenhour.words import nights as words
from tenhour.words.remarks import DAYS_OF_WINTER, NO_DAYS_OF_WINTER, file_doubts
from tenhour.words.text import counted, joined
from tenhour.year.inside.scene import room_problems
from tenhour.year.outside.sunlight import Sources, site_climate
from tenhour.year.warm.heathouse import own_layers
from tenhour.year.warm.warmth import MIDDLE_FRAC, RARE_FRAC, IndoorAir, share_of
from tenhour.year.world import kept_air

Array = NDArray[np.float64]


def cold_nights(
    house: House, extremes: Extremes, temp_month_degc: ArrayLike, air: IndoorAir | None, on: date
) -> tuple[ColdNight, ...]:
    """Coldest night to expect outdoors and, where the air of the house is known, inside and under covers of beds.

    Parameters: house; extremes of the place; temp_month_degc[12], normals; air, of its beds in their order, None where
    it has not been run; on, the day from which covers are dated.
    """
    coldest = float(np.min(np.asarray(temp_month_degc, np.float64)))
    low, rare = extremes.quantile([MIDDLE_FRAC, RARE_FRAC]).tolist()
    out = [ColdNight(words.OUTDOORS, coldest, low, rare)]
    if air is None:
        return tuple(out)
    out.append(_cold_night(words.INSIDE, air.room_night_degc, air.room_lows_degc))
    for number, bed in enumerate(house.beds):
        laid = layers_text(house, number, on)
        own = bed.day_degc is not None or bed.night_degc is not None
        if laid or own:
            found = _cold_night(bed.name, air.night_degc[number], air.lows_degc[:, number])
            out.append(replace(found, layers=laid))
    return tuple(out)


def _cold_night(place: str, night_degc: Array, lows_degc: Array) -> ColdNight:
    lowest = lows_degc.min(axis=1)
    low, rare = (float(share_of(lowest, share)) for share in (MIDDLE_FRAC, RARE_FRAC))
    return ColdNight(place, float(month_means(night_degc).min()), low, rare)


def layers_text(house: House, bed: int, on: date) -> str:
    """What lies over a bed of its own, and when: "with the fleece on by night from ... to ..."; empty where nothing.

    Parameters: house; bed, its number; on, the day from which dates are told.
    """
    said = []
    for layer in own_layers(house, bed):
        name = layer.cover.split("/", 1)[0]
        kind = (words.LAID_ALL_YEAR, words.LAID) if layer.by_day else (words.LAID_ALL_YEAR_NIGHT, words.LAID_NIGHT)
        spans = [kind[1](cover=name, first=first, last=last) for first, last in month_spans(layer.months, on)]
        said += spans if len(set(layer.months)) < MONTHS else [kind[0](cover=name)]
    return joined(said, ", ")


def month_spans(months: Sequence[int], on: date) -> list[tuple[date, date]]:
    """Each unbroken run of months as its first and last day, that which lasts on a day or begins next after it first.

    Parameters: months, 1 to 12, at most eleven of them; on.
    """
    there = set(months)
    spans = []
    for first in sorted(month for month in there if (month - 2) % MONTHS + 1 not in there):
        length = next(n for n in range(1, MONTHS) if (first - 1 + n) % MONTHS + 1 not in there)
        for year in (on.year - 1, on.year, on.year + 1):
            begin, end = date(year, first, 1), _first_of(year, first + length) - timedelta(days=1)
            if end >= on:
                spans.append((begin, end))
                break
    return sorted(spans)


def _first_of(year: int, month: int) -> date:
    """First day of a month counted on over the end of its year."""
    return date(year + (month - 1) // MONTHS, (month - 1) % MONTHS + 1, 1)


def understood(house: House, sources: Sources, on: date) -> Described:
    """The house described back, with the coldest nights to expect; inside where its year is kept.

    Parameters: house; sources; on, the day from which covers are dated. Errors: OutOfRange where the site has no
    climate data near; FileProblem for a room that cannot be traced.
    """
    problems = room_problems(house)
    if problems:
        raise FileProblem(problems)
    climate, _ = site_climate(house, sources)
    months = climate.temp_degc
    air = kept_air(house, sources)
    shown = None if air is None else air.of_beds(range(len(house.beds)))
    extremes = extremes_of(months, sources.hours["cold"])
    found = describe(house)
    nights = cold_nights(house, extremes, months, shown, on)
    return replace(found, basis=_with_weather(found.basis, climate.notes), nights=nights, days_of_winter=_days(sources))


def _with_weather(basis: Basis, notes: Sequence[str]) -> Basis:
    """What the weather file or the normals make one look at, and what is taken for granted of them."""
    doubts = file_doubts(notes)
    rest = [note for note in notes if note not in doubts]
    return replace(basis, warnings=(*basis.warnings, *doubts), assumptions=(*basis.assumptions, *rest))


def _days(sources: Sources) -> str:
    """What is known of this winter's days, as a sentence; empty where no file of them is named."""
    given = sources.since
    if given is None:
        return ""
    file, known = Path(given.file).name, given.day[np.isfinite(given.ghi_w_m2)].astype(object)
    if not known.size:
        return NO_DAYS_OF_WINTER(file=file)
    return DAYS_OF_WINTER(file=file, days=counted(known.size, "day"), first=known[0], last=known[-1])
