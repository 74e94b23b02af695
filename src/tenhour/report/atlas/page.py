"""One page with the maps of a region and what they rest on."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Mapping, Sequence

import numpy as np

from tenhour import __version__
from tenhour.model.atlas import HOLES, AtlasAnswer, AtlasData
from tenhour.report.atlas.maps import Map, classes_of, label_of
from tenhour.report.page.html import Html, tag
from tenhour.report.page.style import css

POLICY = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
"""Nothing is fetched and no script runs."""
OWN_STYLE = """
.map{overflow-x:auto}
.map img{display:block;width:100%;min-width:34rem;max-width:56rem}
.key{list-style:none;padding:0;margin:.4rem 0;display:flex;flex-wrap:wrap;gap:.2rem 1rem}
.key span{display:inline-block;width:1.6rem;height:.9rem;margin-right:.4rem;border:1px solid var(--line)}
@media (min-width:44rem){.key{display:none}}
"""
"""A map is wider than a phone and is moved sideways there; its key then stands beside it in words that are read."""
MOST_DECIMALS = 3


def atlas_page(
    answer: AtlasAnswer, data: AtlasData, maps: Sequence[Map], pictures: Mapping[str, bytes], notices: Sequence[str]
) -> str:
    """The page as one HTML document.

    Parameters: answer; data; maps, drawn, and pictures, their PNG files by key; notices, whose data it rests on.
    """
    body = tag(
        "body",
        tag("a", "Skip to the maps", href="#main", class_="skip"),
        tag("header", tag("h1", "A region at once"), tag("p", data.method)),
        tag(
            "main",
            _sites(data),
            *(_shown(one, pictures[one.key]) for one in maps),
            tag("h2", "What was assumed"),
            tag("ul", *(tag("li", text) for text in answer.basis.assumptions)),
            *_cautions(answer),
            id="main",
        ),
        tag(
            "footer",
            tag("p", f"Made by tenhour {__version__}."),
            tag("p", "Data of others in this page:"),
            tag("ul", *(tag("li", notice) for notice in notices)),
        ),
    )
    head = tag(
        "head",
        tag("meta", charset="utf-8"),
        tag("meta", http_equiv="Content-Security-Policy", content=POLICY),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("title", "A region at once"),
        tag("style", Html(css() + OWN_STYLE)),
    )
    return f"<!doctype html>\n{tag('html', head, body, lang='en')}\n"


def _cautions(answer: AtlasAnswer) -> tuple[Html, ...]:
    """Cautions where one of the houses is heated."""
    texts = answer.basis.cautions
    return (tag("h2", "Cautions"), tag("ul", *(tag("li", text) for text in texts))) if texts else ()


def _sites(data: AtlasData) -> Html:
    """How many sites there are, and how many of each kind of hole."""
    count = [int((data.hole == number).sum()) for number in range(len(HOLES))]
    rows = [tag("tr", tag("th", name, scope="row"), tag("td", str(n))) for name, n in zip(HOLES, count, strict=True)]
    return tag("table", tag("caption", "Sites"), tag("tbody", *rows))


def _shown(one: Map, png: bytes) -> Html:
    """A map with its numbers in words."""
    known = one.value[np.isfinite(one.value)]
    low, middle, high = (
        label_of(float(f"{round(v, MOST_DECIMALS):.3g}"), one.days) for v in np.quantile(known, [0.0, 0.5, 1.0])
    )
    unit = f" {one.unit}" if one.unit else ""
    said = f"{known.size} sites, from {low} to {high}{unit}, half of them up to {middle}{unit}."
    source = f"data:image/png;base64,{b64encode(png).decode()}"
    return tag(
        "section",
        tag("h2", one.title),
        tag("figure", tag("div", tag("img", src=source, alt=f"Map. {one.title}. {said}"), class_="map", tabindex="0"),
            _key(one), tag("figcaption", said)),
    )  # fmt: skip


def _key(one: Map) -> Html:
    """The classes of a map, for screens on which those under it are too small."""
    swatches = [(tag("span", style=f"background:{colour}"), said) for colour, said in classes_of(one)]
    unit = [tag("li", one.unit)] if one.unit else []
    return tag("ul", *unit, *(tag("li", swatch, said) for swatch, said in swatches), class_="key")
