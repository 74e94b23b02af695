"""The whole outdoor chain against typical years that come with pvlib: Sand Point, Greensboro, Miami.

US National Solar Radiation Data Base, TMY3 703165 and 723170, TMY2 12839. Typical years are joined from single
months, mostly with modelled radiation: good for a check of size and shape, not for a fit.
"""

import importlib
import re
from pathlib import Path

import numpy as np
import pytest

from helpers_typical_years import FILES, compare
from tenhour.sky import spread

ROOT = Path(__file__).resolve().parents[2]
WINTER = [9, 10, 11, 0, 1, 2]
FITTED = ["Sand Point, Alaska", "Greensboro, N Carolina"]


@pytest.fixture(params=list(FILES), ids=str)
def found(request):
    return compare(FILES[request.param])


def test_file_itself_is_read_right():
    # Monthly means computed from the same file before, kWh m-2 d-1 x 7.265 (check of the reading).
    sand_point = compare(FILES["Sand Point, Alaska"]).file_dli
    kwh = [0.58, 1.05, 1.85, 3.06, 3.28, 3.81, 5.00, 2.70, 3.04, 1.61, 0.74, 0.46]
    assert sand_point == pytest.approx(np.array(kwh) * 7.265, abs=0.04)


@pytest.mark.parametrize("place", FITTED)
def test_winter_light_lies_within_the_promise(place):
    # Promised: mean error, and 90 % of months within the second figure; six months are few, and one year is one year.
    found = compare(FILES[place])
    error = np.abs(found.our_dli / found.file_dli - 1)[WINTER]
    assert error.mean() < 1.35 * found.promised_frac[WINTER].mean()
    assert (error < found.promised_p90_frac[WINTER]).sum() >= 5


def test_whole_year_light(found):
    assert found.our_dli.mean() == pytest.approx(found.file_dli.mean(), rel=0.12)


def test_diffuse_share_of_the_files_own_days(found):
    # Study of 39 stations: bias +0.02, mean error 0.045, at 55 degrees and beyond 0.06 (October-March).
    gap = (found.own_days_diffuse - found.file_diffuse)[WINTER]
    assert np.abs(gap).mean() < (0.12 if found.latitude_deg > 55 else 0.05)


def test_diffuse_share_from_the_normals(found):
    # Study: mean error 0.07, at 55 degrees and beyond 0.11; Sand Point's file is 0.2 sunnier than its neighbours.
    gap = (found.our_diffuse - found.file_diffuse)[WINTER]
    assert np.abs(gap).mean() < (0.22 if found.latitude_deg > 55 else 0.07)


def test_share_of_light_near_noon(found):
    # Study: mean error 0.012-0.019 of the light within three hours of noon; half a step of clock error is 0.03.
    gap = (found.our_noon_share - found.file_noon_share)[WINTER]
    assert np.abs(gap).mean() < 0.012
    assert np.abs(gap).max() < 0.025


def test_days_are_correlated_as_assumed(found):
    assert found.day_to_day == pytest.approx(spread.DAY_TO_DAY_RATIO, abs=0.06)


def test_darkest_weeks_are_rarely_below_the_gloomy_week():
    # One month in five should be; months of typical years are chosen for being ordinary, so rather fewer.
    below = [compare(name).file_darkest_week < compare(name).gloomy_week for name in FILES.values()]
    assert 0.05 < np.mean(below) < 0.25


def test_air_temperature(found):
    # Mean error promised: 1.2 K; one typical year of one station with old months: up to 3.9 K in a month.
    error = found.our_temp - found.file_temp
    assert np.abs(error).mean() < 1.7
    assert np.abs(error).max() < 4.5


def _numbers(text: str) -> list[str]:
    return re.findall(r"[-+]?\d+(?:\.\d+)?", text)


def test_the_page_shows_these_figures(monkeypatch):
    # docs/method/sky.md is printed by scripts/check_sky.py; a figure may differ by one in its last place.
    monkeypatch.syspath_prepend(str(ROOT / "scripts"))
    check_sky = importlib.import_module("check_sky")
    page = (ROOT / "docs" / "method" / "sky.md").read_text(encoding="utf-8")
    shown = page.split(check_sky.BEGIN)[1].split(check_sky.END)[0]
    printed, made = _numbers(shown), _numbers(check_sky.text())
    assert len(printed) == len(made) > 500
    for old, new in zip(printed, made, strict=True):
        places = len(old.partition(".")[2])
        assert abs(float(old) - float(new)) <= 1.01 * 10.0**-places, (old, new)
