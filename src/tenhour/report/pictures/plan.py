"""The house from above with all its beds, their light in one scale."""

from __future__ import annotations

from typing import Final

from tenhour.model.report import HousePlan, PlanBed
from tenhour.report.pictures.bedmap import LEFT_PX, RIGHT_PX, WIDTH, draw_key, shade
from tenhour.report.pictures.canvas import FONT, Sheet
from tenhour.report.pictures.picture import Picture, shorten

TOP_PX: Final = 52.0
MOST_TALL_PX: Final = 190.0
LETTER_PX: Final = 6.9
"""Of a label of this size, a little more than the mean letter takes."""


def _overlap(one: PlanBed, other: PlanBed) -> bool:
    """Whether two beds lie above each other, as a shelf over a bed."""
    return all(
        one.at_m[n] < other.at_m[n] + other.size_m[n] and other.at_m[n] < one.at_m[n] + one.size_m[n] for n in (0, 1)
    )


def plan_picture(plan: HousePlan, month: int, key: str, top_mol_m2_d: float) -> Picture:
    """Draw the beds in their places, shaded by the light of one month.

    Parameters: plan; month, place in its months; key of the picture; top_mol_m2_d, light of the darkest shade.
    """
    scale = min((RIGHT_PX - LEFT_PX) / plan.length_m, MOST_TALL_PX / plan.width_m)
    right, bottom = LEFT_PX + plan.length_m * scale, TOP_PX + plan.width_m * scale
    page = Sheet(WIDTH, bottom + 62.0)
    name = plan.months[month]
    page.text(4, 14, f"All beds, mean of {name}", "ink", strong=True)
    page.text(4, 30, "light in mol m⁻² d⁻¹, seen from above", "quiet")
    page.text((LEFT_PX + right) / 2, TOP_PX - 5, "back", "quiet", anchor="center")
    page.boxes([(LEFT_PX, TOP_PX, right - LEFT_PX, bottom - TOP_PX)], edge="ink", width=1.4)
    said = []
    for bed in plan.beds:
        over = [other for other in plan.beds if other is not bed and _overlap(bed, other)]
        light = bed.dli_mol_m2_d[month]
        x, y = LEFT_PX + bed.at_m[0] * scale, bottom - (bed.at_m[1] + bed.size_m[1]) * scale
        wide, tall = bed.size_m[0] * scale, bed.size_m[1] * scale
        page.boxes([(x, y, wide, tall)], fill=f"map{shade(light, top_mol_m2_d)}", edge="line")
        room = max(int(wide / LETTER_PX) - 6, 0)
        label = f"{shorten(bed.name, room)} {light:.1f}" if room >= min(len(bed.name), 3) else f"{light:.1f}"
        # one bed above another: one of them is named at its left end, the others at their right
        left = bool(over) and plan.beds.index(bed) > min(plan.beds.index(other) for other in over)
        anchor = "center" if not over else "left" if left else "right"
        place = {"center": x + wide / 2, "left": x + 4, "right": x + wide - 4}[anchor]
        page.text(place, y + tall / 2, label, "mapink", anchor=anchor, size=FONT, middle=True)
        said.append(f"{bed.name} {light:.1f}")
    page.text((LEFT_PX + right) / 2, bottom + 14, "front", "quiet", anchor="center")
    draw_key(page, bottom + 30.0, top_mol_m2_d)
    desc = f"Mean light in {name}, mol m⁻² d⁻¹: {', '.join(said)}. Shades are in one scale on the whole page."
    return Picture(key, f"All beds in {name}", desc, page)
