"""Set the outdoor light beside typical years and stations, and print the tables into docs/method/sky.md.

    python scripts/check_sky.py [--check]

``--check`` writes nothing and fails where the page is behind the code.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests"))

import helpers_sky as sky  # noqa: E402
from helpers_typical_years import FILES, Comparison, compare  # noqa: E402
from tenhour.sky import normals  # noqa: E402

PAGE = ROOT / "docs" / "method" / "sky.md"
BEGIN, END = "<!-- begin check_sky -->", "<!-- end check_sky -->"
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
WINTER = (10, 11, 12, 1, 2, 3)


def row(name: str, values: Iterable[str]) -> str:
    return f"| {name} | " + " | ".join(values) + " |"


def typical_year(place: str, found: Comparison) -> list[str]:
    error = found.our_dli / found.file_dli - 1
    return [
        f"**{place}**, {found.latitude_deg:.1f}°, file {found.name}; "
        f"correlation of neighbouring days {found.day_to_day:.2f}",
        "",
        row("", MONTHS),
        row("---", ["---"] * 12),
        row("DLI, file [mol m⁻² d⁻¹]", [f"{v:.1f}" for v in found.file_dli]),
        row("DLI, normals", [f"{v:.1f}" for v in found.our_dli]),
        row("error [%]", [f"{100 * v:+.0f}" for v in error]),
        row("mean error promised [%]", [f"{100 * v:.0f}" for v in found.promised_frac]),
        row("9 of 10 months within [%]", [f"{100 * v:.0f}" for v in found.promised_p90_frac]),
        row("diffuse share, file", [f"{v:.2f}" for v in found.file_diffuse]),
        row("… the file's days, our split", [f"{v:.2f}" for v in found.own_days_diffuse]),
        row("… from the normals", [f"{v:.2f}" for v in found.our_diffuse]),
        row("light within 3 h of noon, file", [f"{v:.2f}" for v in found.file_noon_share]),
        row("… the file's days, our profile", [f"{v:.2f}" for v in found.our_noon_share]),
        row("darkest week over month, file", [f"{v:.2f}" for v in found.file_darkest_week]),
        row("… gloomy week, 1 year in 5", [f"{v:.2f}" for v in found.gloomy_week]),
        row("air temperature, file [°C]", [f"{v:.1f}" for v in found.file_temp]),
        row("… normals", [f"{v:.1f}" for v in found.our_temp]),
        "",
    ]


def stations() -> list[str]:
    lines = [row("place", [MONTHS[m - 1] for m in WINTER]), row("---", ["---"] * 6)]
    places: dict[str, list[dict[str, str]]] = {}
    for entry in sky.rows("climate_stations.csv"):
        places.setdefault(entry["place"], []).append(entry)
    inside = []
    for place, entries in places.items():
        latitude, longitude, height = (float(entries[0][k]) for k in ("latitude_deg", "longitude_deg", "elevation_m"))
        climate = normals.climate_at(sky.grid(), latitude, longitude, height)
        dli = sky.dli_by_month(climate, latitude)
        cells = []
        for entry in entries:
            m, measured = int(entry["month"]) - 1, float(entry["expected"])
            cells.append(f"{measured:.1f} / {dli[m]:.1f} ±{dli[m] * climate.uncertainty_frac[m]:.1f}")
            inside.append(abs(dli[m] - measured) <= dli[m] * climate.uncertainty_p90_frac[m] + 0.05)
        lines.append(row(f"{place} {latitude:.1f}°", cells))
    lines += ["", f"{np.mean(inside) * 100:.0f} % of these months lie within the range promised for nine in ten.", ""]
    return lines


def text() -> str:
    lines = ["### Typical years", ""]
    for place, name in FILES.items():
        lines += typical_year(place, compare(name))
    lines += ["### Stations of the study", "", "DLI, station file / normals ± mean error promised [mol m⁻² d⁻¹].", ""]
    return "\n".join([*lines, *stations()])


def main() -> int:
    page = PAGE.read_text(encoding="utf-8")
    before, rest = page.split(BEGIN)
    after = rest.split(END)[1]
    made = f"{before}{BEGIN}\n\n{text()}\n{END}{after}"
    if "--check" in sys.argv:
        print("same" if made == page else "DIFFERENT: run scripts/check_sky.py")
        return 0 if made == page else 1
    PAGE.write_text(made, encoding="utf-8")
    print(f"{PAGE}: written")
    return 0


if __name__ == "__main__":
    sys.exit(main())
