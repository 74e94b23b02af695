"""The pictures of a page, each drawn where the page comes to it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Final, Literal, NamedTuple

from tenhour.model.heat_answer import HeatAnswer
from tenhour.model.lamp_answer import LampAnswer
from tenhour.model.report import HousePlan, ReportAnswer
from tenhour.model.season import BedSeason
from tenhour.report.page.html import Html, tag
from tenhour.report.pictures.bedmap import map_picture
from tenhour.report.pictures.lamps import clock_picture, hang_picture
from tenhour.report.pictures.light import light_picture
from tenhour.report.pictures.picture import Picture
from tenhour.report.pictures.plan import plan_picture
from tenhour.report.pictures.season import key_picture, season_picture
from tenhour.report.pictures.sun import sun_picture
from tenhour.report.pictures.warmth import months_picture, night_picture
from tenhour.words.crops import crop_name
from tenhour.words.style import Style

CROPS_A_PICTURE: Final = 25
"""More crops than this do not fit on one printed page in a size one can read; they go on in a second picture."""

NARROW: Final = "-narrow"
"""Ends the key of a picture for a phone."""


Form = Literal["", "wide", "narrow"]
"""Whether a picture is for every width, or one of a pair for a desk and paper, and for a phone."""


class Drawn(NamedTuple):
    """One picture: title, SVG element, and for which width it is."""

    title: str
    svg: str
    form: Form


def figures(pictures: Iterable[Picture]) -> Iterator[Html]:
    """Pictures in their frames."""
    for picture in pictures:
        yield tag("figure", Html(picture.svg()), class_=_form(picture) or None)


def drawn(picture: Picture) -> Drawn:
    """A picture as a page takes it."""
    return Drawn(picture.title, picture.svg(), _form(picture))


def _form(picture: Picture) -> Form:
    """One for a phone takes turns with a wide one."""
    return "narrow" if picture.key.endswith(NARROW) else "wide" if picture.wide else ""


def key_pictures() -> list[Picture]:
    """What the marks of a season mean, for a desk and a phone."""
    return [key_picture("key"), key_picture(f"key{NARROW}", narrow=True)]


def season_pictures(answer: ReportAnswer, bed: BedSeason, number: int, style: Style) -> list[Picture]:
    """One picture of a bed, or several where the crops do not fit on a printed page; each for a desk and a phone.

    Parameters: number, of the bed among those shown.
    """
    return [
        season_picture(
            answer.season,
            piece,
            f"season-{number}-{k}{NARROW if narrow else ''}",
            answer.on,
            style,
            _needs(answer, bed.name),
            narrow=narrow,
            keyed=False,
        )
        for k, piece in enumerate(bed_pieces(bed))
        for narrow in (False, True)
    ]


def bed_pieces(bed: BedSeason) -> list[BedSeason]:
    """Share the crops of a bed among as many pictures as printed pages need, evenly."""
    crops = [crop for crop in bed.crops if crop.lives]
    count = max(1, -(-len(crops) // CROPS_A_PICTURE))
    size = -(-len(crops) // count) if crops else 0
    return [replace(bed, crops=tuple(crops[k * size : (k + 1) * size])) for k in range(count)]


def _needs(answer: ReportAnswer, bed: str) -> dict[str, float]:
    return {
        crop.crop: crop.needs_dli_mol_m2_d
        for sown in answer.sow.beds
        if sown.name == bed
        for crop in sown.crops
        if crop.needs_dli_mol_m2_d is not None
    }


def light_pictures(answer: ReportAnswer, style: Style) -> Iterator[Picture]:
    """One picture per bed."""
    for n, bed in enumerate(answer.light.beds):
        needs = {crop_name(crop): need for crop, need in _needs(answer, bed.name).items()}
        yield light_picture(answer.light, bed, f"light-{n}", answer.on, style, needs)


def map_pictures(answer: ReportAnswer, style: Style) -> Iterator[Picture]:
    """One picture per bed and month, all in one scale of light."""
    top = brightest(answer)
    return (map_picture(bed_map, f"map-{n}", style, top) for n, bed_map in enumerate(answer.maps))


def plan_pictures(plan: HousePlan, answer: ReportAnswer, first: int, end: int) -> list[Picture]:
    """All beds of the house in one drawing for each of some months of the maps, in the same scale of light.

    Parameters: plan; first, end, numbers of the months.
    """
    top = brightest(answer)
    return [plan_picture(plan, n, f"plan-{n}", top) for n in range(first, min(end, len(plan.months)))]


def brightest(answer: ReportAnswer) -> float:
    """The brightest point of all maps and plans."""
    values = [value for bed_map in answer.maps for row in bed_map.dli_mol_m2_d for value in row if value == value]
    beds = () if answer.plan is None else answer.plan.beds
    return max([*values, *(value for bed in beds for value in bed.dli_mol_m2_d)], default=0.0)


def sun_pictures(answer: ReportAnswer) -> Iterator[Picture]:
    """One picture per bed."""
    return (sun_picture(answer.sun, sky, f"sun-{n}") for n, sky in enumerate(answer.sun.beds))


def warmth_pictures(heat: HeatAnswer, answer: ReportAnswer, style: Style) -> list[Picture]:
    """The year's temperatures, and a cold night hour by hour."""
    year = months_picture(heat.months, "warm-year", answer.on, answer.light.latitude_deg, style)
    return [year, night_picture(heat.cold_night, "warm-night", style)]


def lamp_pictures(plan: LampAnswer, number: int, style: Style) -> list[Picture]:
    """Clock and hanging plan of a lamp plan.

    Parameters: number, of the plan among those of the answer.
    """
    pictures = [clock_picture(plan, f"clock-{number}")]
    if plan.layout is not None:
        pictures.append(hang_picture(plan, plan.layout, f"hang-{number}", style))
    return pictures
