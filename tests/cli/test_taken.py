"""What newcomers type that once was refused: taken as meant, or refused with a reason they understand."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from helpers_cli import tenhour
from tenhour.cli.lamp_options import read_lamp_options
from tenhour.cli.loading import beds_crops_and_day, first_day, parse_interval
from tenhour.cli.output import said_units
from tenhour.errors import FileProblem
from tenhour.files.house.read import demo_house
from tenhour.files.lamp import LampChoice, find_lamp
from tenhour.files.lamp_words import parse_price
from tenhour.files.signs import load_signs, sign_of

TODAY = date(2026, 11, 28)


@pytest.mark.parametrize(
    ("said", "days"),
    [
        ("2weeks", 14), ("2 weeks", 14), ("two weeks", 14), ("fortnight", 14), ("every 2 weeks", 14), ("weekly", 7),
        ("10 days", 10), ("10d", 10), ("2w", 14), ("14", 14), ("three-weeks", 21), ("every other week", 14),
    ],
)  # fmt: skip
def test_intervals_in_words(said: str, days: int) -> None:
    assert parse_interval("--every", said) == days


@pytest.mark.parametrize("said", ["often", "2 months", "0", "-7", "400 days", "two"])
def test_intervals_that_are_none(said: str) -> None:
    if said == "two":  # a number alone is days, as 14 is
        assert parse_interval("--every", said) == 2
        return
    with pytest.raises(FileProblem, match=r"1 to 182 days, written as 2w or 10d"):
        parse_interval("--every", said)


@pytest.mark.parametrize(
    ("said", "units"),
    [
        ("imperial", "us"),
        ("F", "us"),
        ("feet", "us"),
        ("Metres", "metric"),
        ("C", "metric"),
        (None, None),
    ],
)
def test_units_in_other_words(said: str | None, units: str | None) -> None:
    assert said_units(said) == units


@pytest.mark.parametrize(
    ("said", "price", "currency"),
    [
        ("$0.14", 0.14, "$"), ("0.14", 0.14, ""), ("0,14 EUR", 0.14, "EUR"), ("14 cents", 0.14, ""), ("28p", 0.28, "£"),
        ("EUR 0.30", 0.30, "EUR"), ("0.30 EUR/kWh", 0.30, "EUR"), ("£0.28 per kWh", 0.28, "£"), ("14ct", 0.14, ""),
    ],
)  # fmt: skip
def test_prices_as_they_stand_on_bills(said: str, price: float, currency: str) -> None:
    tariff = parse_price(said)
    assert tariff.prices[0] == pytest.approx(price)
    assert tariff.currency == currency


def test_a_price_the_shell_has_eaten_says_so() -> None:
    with pytest.raises(FileProblem, match="A shell takes \\$ for itself: put the price in single quotes"):
        parse_price("bash.14")


@pytest.mark.parametrize(
    ("said", "power_w", "kind"),
    [
        ("60W LED", 60.0, "led-bar"), ("8 W LED bulb", 8.0, "led-bulb"), ("18 W LED tube", 18.0, "led-bar"),
        ("36 W fluorescent tube", 36.0, "t8-tube"), ("400 W sodium", 400.0, "hps"),
    ],
)  # fmt: skip
def test_lamps_by_the_words_on_the_box(said: str, power_w: float, kind: str) -> None:
    lamp = find_lamp(LampChoice(said))
    assert lamp.sizes[0].power_w == power_w
    assert lamp.key == f"own {kind}"


OPTIONS = dict.fromkeys(("BED", "--shelf", "--price", "--rung", "--own", "--from", "--to", "--harvest"))


@pytest.mark.parametrize(
    ("said", "hours_h"),
    [
        ("6am-8pm", 14.0),
        ("06:00-20:00", 14.0),
        ("6 am to 8:30 pm", 14.5),
        ("22-6", 8.0),
        ("12am-12pm", 12.0),
    ],
)
def test_hours_of_lamps_as_a_span(said: str, hours_h: float) -> None:
    from tenhour.cli.lamp_options import NUMBERS

    typed = {**dict.fromkeys(NUMBERS), **OPTIONS, "--hours": said, "--volts": "230", "--others": "0", "--even": "0.7"}
    assert read_lamp_options({**typed, "--tiers": "1"}).request.hours_h == hours_h


@pytest.mark.parametrize(
    ("said", "beds", "crops", "day"),
    [
        (["january"], (), (), date(2027, 1, 15)), (["spinach", "january", "front"], ("front",), ("spinach",), None),
        (["15", "Jan", "kale"], (), ("kale",), date(2027, 1, 15)), (["tomorrow"], (), (), date(2026, 11, 29)),
        (["front"], ("front",), (), None),
    ],
)  # fmt: skip
def test_a_bare_day_or_month_among_beds_and_crops(
    said: list[str], beds: tuple[str, ...], crops: tuple[str, ...], day: date | None
) -> None:
    found = beds_crops_and_day(None, demo_house(), said, TODAY)
    wanted = date(2027, 1, 15) if "january" in said else day
    assert found == (beds, crops, wanted)


def test_a_word_that_is_no_bed_no_crop_and_no_day() -> None:
    with pytest.raises(FileProblem, match=r"BED, CROP or DAY: found 'spinnach'.*Did you mean spinach\?"):
        beds_crops_and_day(None, demo_house(), ["spinnach"], TODAY)


def test_a_month_alone_is_its_first_day() -> None:
    assert first_day("--from", "January", TODAY) == date(2027, 1, 1)
    assert first_day("--from", "Nov", TODAY) == date(2026, 11, 1)
    assert first_day("--from", "15 Jan", TODAY) == date(2027, 1, 15)


def test_two_days_are_one_too_many(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    done = tenhour("sow", "january", "--on", "2027-01-05")
    assert done.status == 2
    assert done.err.splitlines()[-1] == (
        "command line: --on and a bare day: found both; allowed: one of them. Leave one out."
    )


@pytest.mark.parametrize(
    ("said", "key"),
    [
        ("leggy", "leggy"), ("long", "leggy"), ("Stretched", "leggy"), ("thin", "leggy"), ("spindly", "leggy"),
        ("falling over", "leggy"), ("flopping", "flopping"), ("drooping", "flopping"), ("yellow", "pale"),
        ("purple", "purple"), ("bent", "leaning"), ("holes", "eaten"), ("damping-off", "rotten"),
        ("stunted", "stalled"), ("pot bound", "circling"), ("dark_green", "dark-green"), ("blue", None), ("", None),
    ],
)  # fmt: skip
def test_signs_in_the_words_of_growers(said: str, key: str | None) -> None:
    sign = sign_of(said)
    assert (None if sign is None else sign.key) == key


def test_no_word_means_two_signs() -> None:
    words = [word for sign in load_signs()[0].values() for word in (sign.key.replace("-", " "), *sign.also)]
    assert len(words) == len(set(words))


def test_why_takes_crop_bed_and_signs_bare_and_a_crop_as_an_option(tmp_path: Path, monkeypatch: Any) -> None:
    monkeypatch.chdir(tmp_path)
    days = ("--sown", "2026-02-01", "--seen", "2026-03-05", "--json")
    bare, option = tenhour("why", "tomato", "front", "falling over", *days), tenhour(
        "why", "--crop", "tomato", "--bed", "front", "--looks", "leggy", *days)  # fmt: skip
    assert bare.status == option.status == 0
    assert bare.out == option.out
    assert "falling over: taken as leggy (long, thin and weak). If stems are thin and brown" in bare.err
    refused = tenhour("why", "tomato", "--looks", "legy,blue", *days)
    assert refused.status == 2
    assert refused.err.splitlines()[-2].endswith("stalled, rotten, holes. Did you mean leggy?")
    assert "--looks list tells them all" in refused.err
    assert "allowed: one crop" in tenhour("why", *days).err
    assert "CROP, BED or SIGN: found 'tomatto'" in tenhour("why", "tomatto").err
