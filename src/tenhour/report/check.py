"""What ``tenhour check`` says of a house file: the house as it was understood."""

from __future__ import annotations

from typing import Final

from tenhour.model.described import Described, FaceLine
from tenhour.report.common import grower_lines, nights_text, style_of, told
from tenhour.report.floorplan import compass, floor_plan
from tenhour.report.terminal import Column, bold, table, wrap
from tenhour.words.style import MONTH_NAMES, Style, quantity_text
from tenhour.words.text import written

UNIT_WORDS: Final = {"length": "long", "width": "wide"}


def check_text(described: Described, width: int, asked: Style | None = None) -> str:
    """Return the understood house as text, in the units asked for or else those of the house file."""
    house = described.house
    style = style_of(house.us_units, asked)
    count = len(described.basis.warnings)
    verdict = f"{count} things to look at" if count > 1 else "one thing to look at" if count else "nothing wrong"
    lines = [bold(f"{house.path or 'The built-in demo house'}: {verdict}.")]
    warnings = described.basis.warnings
    if count > 1:
        lines += grower_lines(warnings, width, style)
    else:
        lines += [line for text in warnings for line in wrap(written(text, style), width)]
    lines += wrap(_house_sentence(described, style), width)
    lines += wrap(_site_sentence(described, style), width)
    lines += wrap(written(described.days_of_winter, style), width) if described.days_of_winter else []
    lines += ["", *floor_plan(house, style, width)]
    lines += ["", *_face_table(described, width, style)]
    glazed = quantity_text("area", described.glazed_m2, style)
    lines += ["", *wrap(f"Glazed: {glazed} of {quantity_text('area', described.skin_m2, style)}.", width)]
    lines += ["", *_bed_table(described, width, style)]
    lines += _things(described, width)
    if described.nights:
        lines += ["", *wrap(written(nights_text(described.nights), style), width)]
    lines += told("Assumed", described.basis.assumptions, width, style)
    return "\n".join(lines + (told("Cautions", described.basis.cautions, width, style) if style.all_notes else []))


def _house_sentence(described: Described, style: Style) -> str:
    house = described.house
    sizes = ", ".join(
        f"{UNIT_WORDS.get(key, key)} {quantity_text('length', value, style)}"
        for key, value in house.dimensions_m.items()
    )
    name = f"{house.name}: " if house.name else ""
    front = next((face for face in described.faces if face.name in ("south", "roof-south")), None)
    looks = f"; its front looks {compass(front.looks_deg)}" if front is not None and front.looks_deg is not None else ""
    return f"{name}{house.shape}{', ' if sizes else ''}{sizes}{looks}."


def _site_sentence(described: Described, style: Style) -> str:
    site = described.house.site
    place = f"{site.place}, " if site.place else ""
    snow = ", ".join(MONTH_NAMES[month - 1] for month in site.snow_months) or "none"
    climates = {"normals": "embedded normals", "means": "own monthly means", "file": site.weather_path}
    height = quantity_text("elevation", site.elevation_m, style)
    return (
        f"At {place}{site.latitude_deg:.2f}°, {site.longitude_deg:.2f}°, {height} up, {site.timezone}. "
        f"Climate: {climates[site.climate]}. Snow on the ground: {snow}."
    )


def _face_table(described: Described, width: int, style: Style) -> list[str]:
    columns = [
        Column("face", right=False),
        Column("looks", right=False),
        Column("made of", right=False),
        Column("area"),
        Column("glazed"),
    ]
    return table(columns, [_face_row(face, style) for face in described.faces], width)


def _face_row(face: FaceLine, style: Style) -> list[str]:
    return [
        face.name,
        "-" if face.looks_deg is None else compass(face.looks_deg),
        face.made_of,
        quantity_text("area", face.area_m2, style),
        quantity_text("area", face.glazed_m2, style),
    ]


def _bed_table(described: Described, width: int, style: Style) -> list[str]:
    columns = [
        Column("bed", right=False),
        Column("along"),
        Column("away"),
        Column("size"),
        Column("soil at"),
        Column("area"),
    ]
    rows = [
        [
            line.bed.name,
            quantity_text("length", line.bed.at_m[0], style),
            quantity_text("length", line.bed.at_m[1], style),
            " x ".join(quantity_text("length", side, style) for side in line.bed.size_m),
            quantity_text("length", line.bed.height_m, style),
            quantity_text("area", line.area_m2, style),
        ]
        for line in described.beds
    ]
    return table(columns, rows, width)


def _things(described: Described, width: int) -> list[str]:
    """What else stands in and around the house."""
    house = described.house
    lines: list[str] = []
    for title, names in (
        ("Inside", [box.name for box in house.boxes]),
        ("Outside", [*(box.name for box in house.outside), *(wall.name for wall in house.outside_surfaces)]),
    ):
        if names:
            lines += wrap(f"{title}: {', '.join(names)}.", width)
    return ["", *lines] if lines else []
