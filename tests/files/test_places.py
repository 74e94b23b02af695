"""The gazetteer: found by name and by coordinates, never guessed."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from tenhour.errors import FileProblem
from tenhour.files.places import find_place, gazetteer, one_place, zone_near
from tenhour.units import great_circle_km

NORTHERN_TOWNS = [
    "Utsjoki", "Kautokeino", "Ullapool, Scotland", "Talkeetna", "Haines Junction", "Lerwick", "Rjukan",
    "Inari", "Vardø",
    "Húsavík", "Longyearbyen", "Ilulissat", "Kirkenes", "Dawson City", "Utqiagvik",
]  # fmt: skip


@pytest.mark.parametrize("name", NORTHERN_TOWNS)
def test_small_northern_towns_are_there(name: str) -> None:
    place = one_place(name)
    assert place.latitude_deg > 57.0
    ZoneInfo(place.timezone)


@pytest.mark.parametrize(
    ("typed", "name", "country", "latitude_deg", "longitude_deg"),
    [  # coordinates: any atlas, to a tenth of a degree
        ("koln", "Köln", "DE", 50.9, 7.0),
        ("KÖLN", "Köln", "DE", 50.9, 7.0),
        ("Koeln", "Köln", "DE", 50.9, 7.0),
        ("Guovdageaidnu", "Kautokeino", "NO", 69.0, 23.0),
        ("Tromsoe", "Tromsø", "NO", 69.7, 19.0),
        ("Sankt Moritz", "St. Moritz", "CH", 46.5, 9.8),
        ("Portland, OR", "Portland", "US", 45.5, -122.7),
        ("Portland, Maine", "Portland", "US", 43.7, -70.3),
        ("london, on", "London", "CA", 43.0, -81.2),
        ("London, England, UK", "London", "GB", 51.5, -0.1),
        ("Invercargill, New Zealand", "Invercargill", "NZ", -46.4, 168.4),
        ("Ushuaia", "Ushuaia", "AR", -54.8, -68.3),
        ("Москва, Russia", "Moscow", "RU", 55.8, 37.6),
    ],
)
def test_every_way_to_write_a_place(
    typed: str, name: str, country: str, latitude_deg: float, longitude_deg: float
) -> None:
    place = one_place(typed)
    assert (place.name, place.country_code) == (name, country)
    assert place.latitude_deg == pytest.approx(latitude_deg, abs=0.1)
    assert place.longitude_deg == pytest.approx(longitude_deg, abs=0.1)


def test_several_places_are_listed_with_region_and_none_is_guessed() -> None:
    found = find_place("Springfield")
    assert len(found) > 10
    assert len({place.region for place in found}) > 10
    with pytest.raises(
        FileProblem, match=r"house.toml: site.place: found \"Springfield\" names \d+ places; allowed: one"
    ):
        one_place("Springfield", "house.toml", "site.place")
    with pytest.raises(FileProblem, match=r"Springfield, Illinois, United States \(39.80, -89.64\); .* and \d+ more"):
        one_place("Springfield")


def test_what_the_list_says_to_type_is_found() -> None:
    for place in find_place("Neustadt"):
        alike = [other for other in find_place(place.label) if other.label == place.label]
        assert place in alike


def test_two_places_of_one_label_are_told_apart_by_coordinates() -> None:
    labels: dict[str, int] = {}
    for place in find_place("San Antonio"):
        labels[place.label] = labels.get(place.label, 0) + 1
    double = next(label for label, count in labels.items() if count > 1)
    with pytest.raises(FileProblem, match=r"two of that name: give the coordinates -?\d+\.\d\d, -?\d+\.\d\d"):
        one_place(double)


def test_a_city_better_known_by_another_name_stands_beside_villages_of_that_name() -> None:
    assert find_place("Cologne")[0].name == "Köln"


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("Ullapol", "Ullapool, Scotland"),
        ("Helsnki", "Helsinki, Uusimaa"),
        ("Rejkjavik", "Reykjav"),
        ("Edinburg, UK", ""),
    ],
)
def test_a_typing_error_brings_the_closest_name(typed: str, meant: str) -> None:
    expected = rf"Did you mean .*{meant}" if meant else "fits no place, but others go by"
    with pytest.raises(FileProblem, match=expected):
        find_place(typed)


def test_nonsense_asks_for_coordinates() -> None:
    with pytest.raises(FileProblem, match=r'no place named "xqzzyw" in the gazetteer. Give latitude_deg and'):
        find_place("xqzzyw")


@pytest.mark.parametrize("typed", ["", " ", ",", ", Scotland"])
def test_an_empty_name_is_refused(typed: str) -> None:
    with pytest.raises(FileProblem, match="an empty place name"):
        find_place(typed)


def test_pattern_letters_are_taken_as_letters() -> None:
    with pytest.raises(FileProblem, match="no place named"):
        find_place("(.*")


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "zone"),
    [
        (57.1, -4.7, "Europe/London"),
        (69.9, 27.0, "Europe/Helsinki"),
        (-54.8, -68.3, "America/Argentina/Ushuaia"),
        (0.0, -30.0, "Etc/GMT+2"),
        (64.9, -179.99, "Etc/GMT+12"),
        (45.0, 180.0, "Etc/GMT-12"),
        (90.0, 0.0, "Etc/GMT"),
        (-90.0, 100.0, "Etc/GMT-7"),
    ],
)
def test_bare_coordinates_get_a_zone(latitude_deg: float, longitude_deg: float, zone: str) -> None:
    assert zone_near(latitude_deg, longitude_deg).name == zone
    ZoneInfo(zone)


def test_a_zone_taken_from_afar_or_by_longitude_says_so() -> None:
    assert zone_near(57.48, -4.22).note == ""
    far = zone_near(67.9, -140.0)
    assert far.note == "" or "km away" in far.note or "longitude" in far.note
    assert "taken from the longitude" in zone_near(0.0, -30.0).note
    borrowed = zone_near(66.5, 26.5 + 2.0)
    assert borrowed.distance_km is not None
    assert (borrowed.distance_km > 30.0) == ("km away" in borrowed.note)


def test_the_band_that_is_searched_first_hides_no_nearer_place() -> None:
    rng = np.random.default_rng(5)
    latitudes, longitudes = gazetteer()._coordinates_deg
    points = [
        (90.0, 0.0),
        (-90.0, 0.0),
        (-48.9, -123.4),
        *zip(rng.uniform(-60, 75, 12), rng.uniform(-180, 180, 12), strict=True),
    ]
    for point in points:
        distances_km = great_circle_km(*point, latitudes, longitudes)
        assert gazetteer().nearest(*point) == (int(np.argmin(distances_km)), pytest.approx(float(distances_km.min())))


def test_the_date_line_does_not_split_neighbours() -> None:
    east = gazetteer().nearest(-16.8, 179.99)
    west = gazetteer().nearest(-16.8, -179.99)
    assert east[0] == west[0]
    assert abs(east[1] - west[1]) < 3.0


def test_every_zone_is_known_and_every_zone_of_people_is_there() -> None:
    zones = {group.zone for group in gazetteer()._groups[0]}
    for zone in zones:
        ZoneInfo(zone)
    assert len(zones) > 380


def test_both_hemispheres_and_all_longitudes_are_covered() -> None:
    latitudes_deg, longitudes_deg = gazetteer()._coordinates_deg
    assert len(latitudes_deg) == gazetteer()._groups[1][-1] == gazetteer()._lower.count(b"\n") - 1
    assert latitudes_deg.min() < -54.0
    assert latitudes_deg.max() > 78.0
    assert longitudes_deg.min() < -179.0 or longitudes_deg.max() > 179.0


def test_the_data_stay_small() -> None:
    path = Path(sys.modules["tenhour.files.places"].__file__ or "").parents[1] / "_data" / "places.zip"
    assert path.stat().st_size < 2_500_000


def test_a_search_needs_no_table_library() -> None:
    code = (
        "import sys; from tenhour.files.places import one_place; one_place('Lerwick');"
        "sys.exit(any(name in sys.modules for name in ('pandas', 'pvlib', 'scipy')))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
