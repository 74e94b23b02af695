"""Draw the pictures of a page."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import replace
from typing import Final

from tenhour.model.heat_answer import HeatAnswer
from tenhour.model.report import ReportAnswer
from tenhour.model.season import BedSeason
from tenhour.report.page.drawn import Drawings, Drawn, Form
from tenhour.report.page.shown import beds_shown
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


def draw(answer: ReportAnswer, style: Style) -> Drawings:
    """Draw every picture of the page of an answer."""
    groups = {
        **_numbered("season", season_pictures(answer, style)),
        "key": [key_picture("key"), key_picture("key-narrow", narrow=True)],
        "light": light_pictures(answer, style),
        **({"plan": plan_pictures(answer)[:1], "plans": plan_pictures(answer)[1:]} if answer.plan else {}),
        "maps": map_pictures(answer, style),
        "sun": sun_pictures(answer),
        **_numbered("lamps", lamp_pictures(answer, style)),
        **({} if answer.heat is None else {"warmth": warmth_pictures(answer.heat, answer, style)}),
    }
    return {gap: drawn_alone(pictures) for gap, pictures in groups.items()}


def drawn_alone(pictures: Sequence[Picture]) -> list[Drawn]:
    """Pictures as a page takes them; one with another for a phone, whose key ends so, takes turns with it."""
    keys = {picture.key for picture in pictures}
    return [Drawn(picture.title, picture.svg(), _form(picture.key, keys)) for picture in pictures]


def _form(key: str, keys: Set[str]) -> Form:
    if key.endswith(NARROW):
        return "narrow"
    return "wide" if key + NARROW in keys else ""


def _numbered(name: str, groups: list[list[Picture]]) -> dict[str, list[Picture]]:
    return {f"{name}-{n}": pictures for n, pictures in enumerate(groups)}


def season_pictures(answer: ReportAnswer, style: Style) -> list[list[Picture]]:
    """One picture per bed, or several where the crops do not fit on a printed page; each for a desk and a phone."""
    return [
        [
            season_picture(
                answer.season,
                piece,
                f"season-{n}-{k}{'-narrow' if narrow else ''}",
                answer.on,
                style,
                _needs(answer, bed.name),
                narrow=narrow,
                keyed=False,
            )
            for k, piece in enumerate(bed_pieces(bed))
            for narrow in (False, True)
        ]
        for n, bed in enumerate(beds_shown(answer))
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


def light_pictures(answer: ReportAnswer, style: Style) -> list[Picture]:
    """One picture per bed."""
    drawn = []
    for n, bed in enumerate(answer.light.beds):
        needs = {
            crop_name(crop.crop): crop.needs_dli_mol_m2_d
            for sown in answer.sow.beds
            if sown.name == bed.name
            for crop in sown.crops
            if crop.needs_dli_mol_m2_d is not None
        }
        drawn.append(light_picture(answer.light, bed, f"light-{n}", answer.on, style, needs))
    return drawn


def map_pictures(answer: ReportAnswer, style: Style) -> list[Picture]:
    """One picture per bed and month, all in one scale of light."""
    top = brightest(answer)
    return [map_picture(bed_map, f"map-{n}", style, top) for n, bed_map in enumerate(answer.maps)]


def plan_pictures(answer: ReportAnswer) -> list[Picture]:
    """All beds of the house in one drawing for each month of the maps, in the same scale of light."""
    if answer.plan is None:
        return []
    top = brightest(answer)
    return [plan_picture(answer.plan, n, f"plan-{n}", top) for n in range(len(answer.plan.months))]


def brightest(answer: ReportAnswer) -> float:
    """The brightest point of all maps and plans."""
    values = [value for bed_map in answer.maps for row in bed_map.dli_mol_m2_d for value in row if value == value]
    beds = () if answer.plan is None else answer.plan.beds
    return max([*values, *(value for bed in beds for value in bed.dli_mol_m2_d)], default=0.0)


def sun_pictures(answer: ReportAnswer) -> list[Picture]:
    """One picture per bed."""
    return [sun_picture(answer.sun, sky, f"sun-{n}") for n, sky in enumerate(answer.sun.beds)]


def warmth_pictures(heat: HeatAnswer, answer: ReportAnswer, style: Style) -> list[Picture]:
    """The year's temperatures, and a cold night hour by hour."""
    year = months_picture(heat.months, "warm-year", answer.on, answer.light.latitude_deg, style)
    return [year, night_picture(heat.cold_night, "warm-night", style)]


def lamp_pictures(answer: ReportAnswer, style: Style) -> list[list[Picture]]:
    """Clock and hanging plan of each lamp plan."""
    drawn = []
    for n, plan in enumerate(answer.lamps):
        pictures = [clock_picture(plan, f"clock-{n}")]
        if plan.layout is not None:
            pictures.append(hang_picture(plan, plan.layout, f"hang-{n}", style))
        drawn.append(pictures)
    return drawn
