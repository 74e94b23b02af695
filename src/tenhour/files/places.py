"""Find a place by name without a network, and the time zone of bare coordinates.

The gazetteer is a cut of GeoNames cities500 (CC BY 4.0), made by ``scripts/build_places.py``. Its names are one
long text that is searched as it stands: nothing is parsed but the lines that match.
"""

from __future__ import annotations

import io
import math
import re
import zipfile
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from importlib import resources
from itertools import accumulate
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import FileProblem, Problem
from tenhour.files.fold import fold, spellings
from tenhour.files.spelling import closest
from tenhour.model.place import Place, Zone
from tenhour.units import EARTH_RADIUS_KM, great_circle_km

FAR_LARGER: Final = 2
"""Two classes, a factor of ten in people: judgement."""
SHOWN: Final = 12
"""Candidates listed before the rest is only counted."""
SUGGESTED: Final = 3
NEAREST_PLACE_KM: Final = 100.0
"""Beyond this the zone of the nearest place is not borrowed: practice."""
SURE_OF_ZONE_KM: Final = 30.0
"""Up to here the borrowed zone is not remarked on: practice."""
DEGREES_PER_HOUR: Final = 15.0
HUNDREDTHS: Final = 100.0
COUNTRY_NAMES: Final = {
    "uk": "GB", "great britain": "GB", "britain": "GB", "usa": "US", "america": "US", "us": "US",
    "holland": "NL", "czech republic": "CZ", "deutschland": "DE", "russian federation": "RU",
}  # fmt: skip
"""What people write for a country besides its name and its two and three letters."""


@dataclass(frozen=True)
class _Group:
    country_code: str
    region_code: str
    region: str
    zone: str


class Gazetteer:
    """The packaged places; every part is read when first used."""

    def __init__(self, archive: zipfile.ZipFile) -> None:
        self._archive = archive

    @cached_property
    def _names(self) -> bytes:
        return self._archive.read("names.txt")

    @cached_property
    def _lower(self) -> bytes:
        return self._names.lower()

    @cached_property
    def _groups(self) -> tuple[list[_Group], list[int]]:
        rows = [row.split("\t") for row in self._archive.read("groups.tsv").decode().split("\n")]
        starts = list(accumulate((int(row[4]) for row in rows), initial=0))
        return [_Group(*row[:4]) for row in rows], starts

    @cached_property
    def countries(self) -> dict[str, tuple[str, str]]:
        """Three letters and name by two letters."""
        rows = (row.split("\t") for row in self._archive.read("countries.tsv").decode().split("\n"))
        return {two: (three, name) for two, three, name in rows}

    @cached_property
    def _coordinates_deg(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        return self._degrees("lat.i16"), self._degrees("lon.i16")

    @cached_property
    def _sizes(self) -> bytes:
        return self._archive.read("size.u1")

    def _degrees(self, member: str) -> NDArray[np.float64]:
        halves = np.frombuffer(self._archive.read(member), dtype=np.uint8).reshape(2, -1)
        return np.ascontiguousarray(halves.T).view("<i2").ravel() / HUNDREDTHS

    def group_of(self, row: int) -> _Group:
        """Country, region and zone of a place by its row."""
        groups, starts = self._groups
        return groups[bisect_right(starts, row) - 1]

    def place(self, row: int, name: str) -> Place:
        """The place in a row, under its own name."""
        group = self.group_of(row)
        latitude_deg, longitude_deg = self._coordinates_deg
        return Place(
            name=name,
            region=group.region,
            country=self.countries.get(group.country_code, ("", group.country_code))[1],
            country_code=group.country_code,
            latitude_deg=float(latitude_deg[row]),
            longitude_deg=float(longitude_deg[row]),
            timezone=group.zone,
            population_index=self._sizes[row],
            region_code=group.region_code,
        )

    def rows_of(self, country_code: str) -> list[int]:
        """Rows of all places of a country by its two letters."""
        groups, starts = self._groups
        own = [n for n, group in enumerate(groups) if group.country_code == country_code]
        return [row for n in own for row in range(starts[n], starts[n + 1])]

    @cached_property
    def own_names(self) -> list[str]:
        """The own name of every place, by row."""
        return [line.split(b";", 1)[0].decode() for line in self._names.split(b"\n")[1:]]

    def named(self, folded: str) -> list[Place]:
        """Every place that goes by a folded name, the largest first."""
        key = re.escape(folded.encode(errors="surrogatepass"))  # odd bytes match nothing
        found = []
        row, counted_to = 0, 0
        for hit in re.finditer(rb"[\n;]" + key + rb"(?=[\n;])", self._lower):
            start = self._lower.rfind(b"\n", 0, hit.start() + 1) + 1
            row += self._lower.count(b"\n", counted_to, start)
            counted_to = start
            line = self._names[start : self._names.index(b"\n", start)].decode()
            found.append(self.place(row - 1, line.split(";", 1)[0]))
        return sorted(dict.fromkeys(found), key=lambda place: (-place.population_index, place.label))

    def similar(self, folded: str) -> list[str]:
        """Names in the gazetteer that a mistyped one may have meant, best first."""
        initial = re.escape(folded[:1].encode(errors="surrogatepass"))
        starting = re.findall(rb"[\n;](" + initial + rb"[^\n;]*)(?=[\n;])", self._lower)
        known = [name for raw in set(starting) if (name := raw.decode()) == fold(name)]
        return closest(folded, known, SUGGESTED)

    def nearest(self, latitude_deg: float, longitude_deg: float) -> tuple[int, float]:
        """Row of the place nearest to a point, and how far it is [km].

        Parameters: latitude_deg, longitude_deg [°].
        """
        latitudes_deg, longitudes_deg = self._coordinates_deg
        # no place outside the band can be nearer than its edge
        rows = np.flatnonzero(np.abs(latitudes_deg - latitude_deg) <= BAND_DEG)
        for some in (rows, np.arange(latitudes_deg.size)):
            distance_km = great_circle_km(latitude_deg, longitude_deg, latitudes_deg[some], longitudes_deg[some])
            if distance_km.min(initial=np.inf) < BAND_KM:
                break
        nearest = int(np.argmin(distance_km))
        return int(some[nearest]), float(distance_km[nearest])

    def name_of(self, row: int) -> str:
        """The own name of the place in a row."""
        return self._names.split(b"\n", row + 2)[row + 1].split(b";", 1)[0].decode()


BAND_DEG: Final = 2.0
"""Latitudes on either side that are searched first: most points have a place in them, and a tenth of all lie there."""
BAND_KM: Final = math.radians(BAND_DEG) * EARTH_RADIUS_KM


@lru_cache(maxsize=1)
def gazetteer() -> Gazetteer:
    """The packaged gazetteer, opened once."""
    path = resources.files("tenhour") / "_data" / "places.zip"
    return Gazetteer(zipfile.ZipFile(io.BytesIO(path.read_bytes())))


def find_place(text: str, file: str = "place", key: str = "") -> tuple[Place, ...]:
    """Every place that a text may name, the largest first.

    Parameters: text, "name", "name, region", "name, country" or all three; case, accents and hyphens do not matter.
    Returns: one place or several; none is guessed.
    Errors: FileProblem when nothing goes by that name, with the closest spellings.
    """
    parts = [fold(part) for part in text.split(",")]
    if not parts[0]:
        raise FileProblem([Problem(file, key, "an empty place name", "", 'Type a town, such as "Ullapool, Scotland".')])
    found = _named(parts[0])
    if not found:
        raise FileProblem([_unknown(text, parts[0], file, key)])
    kept = tuple(place for place in found if all(_lies_in(place, part) for part in parts[1:] if part))
    if not kept:
        raise FileProblem([_elsewhere(text, _likely(found, parts[0]), file, key)])
    spelled = text.split(",")[0].strip().casefold()
    exact = tuple(place for place in kept if not spelled.isascii() and place.name.casefold() == spelled)
    return exact or _likely(kept, parts[0])


def one_place(text: str, file: str = "place", key: str = "") -> Place:
    """The only place that a text names.

    Errors: FileProblem when there is none or more than one; it lists what to type for each.
    """
    found = find_place(text, file, key)
    if len(found) == 1:
        return found[0]
    problem = Problem(file, key, f'"{text}" names {len(found)} places', "one place", f"Type one of: {_listed(found)}.")
    raise FileProblem([problem])


def zone_near(latitude_deg: float, longitude_deg: float) -> Zone:
    """Time zone of a point: that of the nearest place, or a fixed offset by longitude where none is near.

    Parameters: latitude_deg -90 to 90, longitude_deg -180 to 180 (east positive).
    Returns: zone, a note for the list of assumptions (empty when the place is close by), distance to the place.
    """
    row, distance_km = gazetteer().nearest(latitude_deg, longitude_deg)
    if distance_km > NEAREST_PLACE_KM:
        name = fixed_zone(longitude_deg)
        return Zone(name, f"time zone {name} taken from the longitude: no place within {NEAREST_PLACE_KM:.0f} km", None)
    zone = gazetteer().group_of(row).zone
    if distance_km <= SURE_OF_ZONE_KM:
        return Zone(zone, "", distance_km)
    return Zone(zone, f"time zone {zone} taken from {gazetteer().name_of(row)}, {distance_km:.0f} km away", distance_km)


def fixed_zone(longitude_deg: float) -> str:
    """Zone of a fixed offset by longitude [°]; the sign of its name runs against the usual one.

    >>> fixed_zone(44.0), fixed_zone(-70.0), fixed_zone(2.0)
    ('Etc/GMT-3', 'Etc/GMT+5', 'Etc/GMT')
    """
    hours = round(longitude_deg / DEGREES_PER_HOUR)
    return f"Etc/GMT{-hours:+d}" if hours else "Etc/GMT"


@lru_cache(maxsize=16)
def _named(folded: str) -> tuple[Place, ...]:
    """Places of that name, or of another way to spell it; asked again for every question that hangs on the place."""
    found = (gazetteer().named(name) for name in (folded, *spellings(folded)))
    return next((tuple(places) for places in found if places), ())


def _likely(found: Sequence[Place], folded: str) -> tuple[Place, ...]:
    """Without places that merely also go by the name and are no larger than those whose own name it is."""
    names = {folded, *spellings(folded)}
    own = [place for place in found if names & {fold(place.name), place.name.casefold()}]
    floor = max((place.population_index for place in own), default=-FAR_LARGER) + FAR_LARGER
    return tuple(place for place in found if place in own or place.population_index >= floor)


def _lies_in(place: Place, part: str) -> bool:
    three, _ = gazetteer().countries.get(place.country_code, ("", ""))
    codes = {place.country_code.casefold(), three.casefold(), place.region_code.casefold()}
    if part in codes or COUNTRY_NAMES.get(part) == place.country_code:
        return True
    region, country = fold(place.region), fold(place.country)
    return part in (region, country) or (len(part) > 3 and (region.startswith(part) or country.startswith(part)))


def _listed(found: Sequence[Place]) -> str:
    """What to type for each place: its label, or its coordinates where two share one label."""
    labels = [place.label for place in found]
    lines = [_typed(place, labels.count(place.label) > 1) for place in found[:SHOWN]]
    rest = len(found) - len(lines)
    return "; ".join(lines) + (f"; and {rest} more (add the region or the country)" if rest else "")


def _typed(place: Place, shared: bool) -> str:
    where = f"{place.latitude_deg:.2f}, {place.longitude_deg:.2f}"
    return f"{place.label} (two of that name: give the coordinates {where})" if shared else f"{place.label} ({where})"


def _unknown(text: str, folded: str, file: str, key: str) -> Problem:
    near: Iterable[Place] = (place for name in gazetteer().similar(folded) for place in gazetteer().named(name)[:2])
    labels = list(dict.fromkeys(place.label for place in near))[:SUGGESTED]
    hint = f"Did you mean {' or '.join(labels)}? " if labels else ""
    both = "--lat and --lon" if key.startswith("--") else "latitude_deg and longitude_deg"
    do = f"{hint}Or give {both} instead." if hint else f"Give {both} instead."
    return Problem(file, key, f'no place named "{text}" in the gazetteer', "", do)


def _elsewhere(text: str, found: Sequence[Place], file: str, key: str) -> Problem:
    found_text = f'"{text}" fits no place, but others go by "{text.split(",")[0].strip()}"'
    return Problem(file, key, found_text, "", f"Type one of: {_listed(found)}.")
