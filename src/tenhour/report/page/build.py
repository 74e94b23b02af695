"""Put the page together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from tenhour import __version__
from tenhour.model.report import ReportAnswer
from tenhour.model.season import BedSeason
from tenhour.report.page import sections
from tenhour.report.page.html import Html, escape, join, tag
from tenhour.report.page.style import css
from tenhour.report.pictures.bedmap import map_picture
from tenhour.report.pictures.lamps import clock_picture, hang_picture
from tenhour.report.pictures.light import light_picture
from tenhour.report.pictures.picture import Picture
from tenhour.report.pictures.season import lives, season_picture
from tenhour.report.pictures.sun import sun_picture
from tenhour.report.units import Style, date_text, quantity_text

CROPS_A_PICTURE: Final = 25
"""More crops than this do not fit on one printed page in a size one can read; they go on in a second picture."""
POLICY: Final = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
"""Nothing is fetched and no script runs, whatever a name in a house file holds."""


def page_html(answer: ReportAnswer, style: Style) -> str:
    """Return the whole page as one HTML document."""
    parts = [
        ("today", "Today", sections.today(answer, style)),
        ("sow", "What to sow now", sections.sow_now(answer, style)),
        ("season", "The season", sections.season(answer, season_pictures(answer, style), style)),
        ("light", "Light through the year", sections.light(answer, light_pictures(answer, style), style)),
        ("maps", "Light over the beds", sections.maps(answer, map_pictures(answer, style), style)),
        ("sun", "The sun over the year", sections.sun(answer, sun_pictures(answer), style)),
        *_lamps(answer, style),
        ("sure", "What was assumed, how sure it is", sections.sure(answer, style)),
    ]
    body = tag(
        "body",
        tag("a", "Skip to the answer", href="#main", class_="skip"),
        _header(answer, style),
        _contents([(key, title) for key, title, _ in parts]),
        tag("main", *(_section(key, title, inner) for key, title, inner in parts), id="main"),
        tag("footer", tag("p", f"Made by tenhour {__version__} for {date_text(answer.on, style)}.")),
    )
    return f"<!DOCTYPE html>\n{tag('html', _head(answer), body, lang='en')}\n"


def _lamps(answer: ReportAnswer, style: Style) -> list[tuple[str, str, Html]]:
    """Return the lamp section, where lamps are planned."""
    if not answer.lamps:
        return []
    return [("lamps", "Lamps", sections.lamps(answer, lamp_pictures(answer, style), style))]


def _head(answer: ReportAnswer) -> Html:
    return tag(
        "head",
        tag("meta", charset="utf-8"),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("meta", name="color-scheme", content="light dark"),
        tag("meta", http_equiv="Content-Security-Policy", content=POLICY),
        tag("meta", name="generator", content=f"tenhour {__version__}"),
        tag("title", f"{answer.house or 'Greenhouse'}: light and sowing"),
        tag("style", Html(css())),
    )


def _header(answer: ReportAnswer, style: Style) -> Html:
    light = answer.light
    height = quantity_text("elevation", light.elevation_m, style)
    where = f"{light.latitude_deg:.2f}°, {light.longitude_deg:.2f}°, {height} above the sea"
    place = f"{light.place} ({where})" if light.place and light.place != answer.house else where
    return tag(
        "header",
        tag("h1", answer.house or "The greenhouse"),
        tag("p", f"{place}. {date_text(answer.on, style)}.", class_="quiet"),
    )


def _contents(entries: Sequence[tuple[str, str]]) -> Html:
    items = [tag("li", tag("a", title, href=f"#{key}")) for key, title in entries]
    return tag("nav", tag("ul", *items), aria_label="On this page")


def _section(key: str, title: str, inner: Html) -> Html:
    return tag("section", tag("h2", title, id=f"{key}-heading"), inner, id=key, aria_labelledby=f"{key}-heading")


def season_pictures(answer: ReportAnswer, style: Style) -> list[list[Picture]]:
    """One picture per bed, or several where the crops do not fit on a printed page."""
    drawn = []
    for n, bed in enumerate(answer.season.beds):
        needs = _needs(answer, bed.name)
        pieces = bed_pieces(bed)
        drawn.append(
            [
                season_picture(answer.season, piece, f"season-{n}-{k}", answer.on, style, needs)
                for k, piece in enumerate(pieces)
            ]
        )
    return drawn


def bed_pieces(bed: BedSeason) -> list[BedSeason]:
    """Share the crops of a bed among as many pictures as printed pages need, evenly."""
    crops = [crop for crop in bed.crops if lives(crop)]
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
            crop.name: crop.needs_dli_mol_m2_d
            for sown in answer.sow.beds
            if sown.name == bed.name
            for crop in sown.crops
            if crop.needs_dli_mol_m2_d is not None
        }
        drawn.append(light_picture(answer.light, bed, f"light-{n}", answer.on, style, needs))
    return drawn


def map_pictures(answer: ReportAnswer, style: Style) -> list[Picture]:
    """One picture per bed and month."""
    return [map_picture(bed_map, f"map-{n}", style) for n, bed_map in enumerate(answer.maps)]


def sun_pictures(answer: ReportAnswer) -> list[Picture]:
    """One picture per bed."""
    return [sun_picture(answer.sun, sky, f"sun-{n}") for n, sky in enumerate(answer.sun.beds)]


def lamp_pictures(answer: ReportAnswer, style: Style) -> list[list[Picture]]:
    """Clock and hanging plan of each lamp plan."""
    drawn = []
    for n, plan in enumerate(answer.lamps):
        pictures = [clock_picture(plan, f"clock-{n}")]
        if plan.layout is not None:
            pictures.append(hang_picture(plan, plan.layout, f"hang-{n}", style))
        drawn.append(pictures)
    return drawn


__all__ = ["escape", "join", "page_html"]
