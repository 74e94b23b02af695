"""Houses drawn at random, as people write them: any place, shape, cover, warmth, covers over beds, lamps and nursery."""

from __future__ import annotations

import numpy as np

PLACES = (
    (43.1, -89.4, 260), (52.4, 4.9, 0), (60.2, 24.9, 20), (64.1, -21.9, 30), (55.9, -3.2, 60), (47.4, 8.5, 450),
    (40.4, -3.7, 650), (41.9, -87.6, 180), (45.5, -122.7, 20), (49.3, -123.1, 30), (50.4, -104.6, 580), (59.9, 10.7, 40),
    (48.1, 11.6, 520), (53.5, 10.0, 10), (56.9, 24.1, 10), (44.4, 26.1, 80), (39.7, -105.0, 1600), (61.2, -149.9, 30),
    (67.9, 20.2, 450), (69.7, 19.0, 10), (36.2, 138.2, 600), (43.1, 141.4, 20), (-41.3, 174.8, 20), (-35.3, 149.1, 580),
    (-45.9, 170.5, 20), (-54.8, -68.3, 20), (51.5, -0.1, 20), (46.2, 6.1, 380), (35.1, -106.6, 1600), (63.8, 20.3, 20),
)  # fmt: skip
"""Towns from the subtropics to beyond the polar circle, both hemispheres, sea level to a mile up."""
COVERS = ("glass-1", "glass-2", "twin-wall-8", "twin-wall-16", "film-1", "film-2", "polycarbonate-1")
AIRS = ("", "night_set_degc = 2", "night_set_degc = 5", "day_set_degc = 14\nnight_set_degc = 10",
        "day_set_degc = 18\nnight_set_degc = 15")  # fmt: skip
SHAPES = {
    "gable": 'shape = "gable"\nlength_m = {length}\nwidth_m = {width}\neaves_m = 1.8\nridge_m = 2.7\n',
    "hoop": 'shape = "hoop"\nlength_m = {length}\nwidth_m = {width}\nridge_m = 2.3\n',
    "lean-to": 'shape = "lean-to"\nlength_m = {length}\nwidth_m = {width}\nfront_m = 1.7\nback_m = 2.5\n',
    "box": 'shape = "box"\nlength_m = {length}\nwidth_m = {width}\neaves_m = 2.3\n',
    "window-sill": 'shape = "window-sill"\nlength_m = {length}\nwidth_m = {width}\neaves_m = 2.5\n',
}
WINDOW = '[[window]]\non = "{wall}"\nleft_m = 0.4\nsill_m = 0.7\nwidth_m = 1.6\nheight_m = 1.2\ncover = "glass-2"\n'


def any_house(seed: int) -> str:
    """A house file by a seed."""
    draw = np.random.default_rng(seed)
    lat, lon, elev = PLACES[int(draw.integers(len(PLACES)))]
    shape = str(draw.choice(list(SHAPES), p=[0.3, 0.25, 0.2, 0.15, 0.1]))
    size = {"length": round(float(draw.uniform(3.0, 7.0)), 1), "width": round(float(draw.uniform(2.4, 3.6)), 1)}
    dark = shape in ("box", "window-sill")
    text = f'schema = 1\nname = "drawn {seed}"\n[site]\nlatitude_deg = {lat}\nlongitude_deg = {lon}\nelevation_m = {elev}\n'
    text += f"[house]\n{SHAPES[shape].format(**size)}"
    text += "" if shape == "window-sill" else f'cover = "{"opaque" if dark else draw.choice(COVERS)}"\n'
    if not dark and lat < 0:
        text += "length_azimuth_deg = 270\n"
    if dark:
        text += WINDOW.format(wall="south" if lat > 0 else "north")
    names = ("front", "the back bench") if draw.random() < 0.3 else ("south", "north")
    beds = names[: 1 if shape == "window-sill" else 2]
    for number, name in enumerate(beds):
        y = 0.3 if number == 0 else round(size["width"] - 1.0, 2)
        at, deep = (f"[0.4, {y}]", 0.3 if shape == "window-sill" else 0.7)
        text += f'[[bed]]\nname = "{name}"\nat_m = {at}\nsize_m = [{1.6 if dark else round(size["length"] - 0.9, 1)}, {deep}]\n'
        text += f"height_m = {draw.choice([0.1, 0.5, 0.8])}\n"
        if shape in ("hoop", "gable") and draw.random() < 0.4:
            text += '[[bed.layers]]\ncover = "fleece"\nby_day = false\n'
    warm = "day_degc = 20\nnight_degc = 17" if shape == "window-sill" else str(draw.choice(AIRS))
    text += f"[air]\n{warm}\n" if warm else ""
    if draw.random() < 0.2:
        text += f'[[lamps]]\nbed = "{beds[0]}"\nkind = "led-bar"\ncount = 3\nheight_m = 0.4\nhours = 12\n'
    if draw.random() < 0.35:
        text += '[nursery]\nname = "kitchen shelf"\nday_degc = 20\nnight_degc = 17\nlamp_h = 14\nlamp_ppfd_umol_m2_s = 140\n'
    if draw.random() < 0.25:
        text += '[household]\npeople = 3\nlikes = ["spinach", "carrot"]\n'
    return text
