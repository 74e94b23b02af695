"""Days of this winter from a service: added month by month to a table of days, never over what is there."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
import time_machine

from helpers_cli import tenhour
from helpers_fetch import Answer, closed_port_url, service
from helpers_weather import NORTH, Truth, made_up, power_json
from tenhour.door.weather import load_since
from tenhour.units import UMOL_PER_J_GLOBAL

TODAY = "2001-11-28"
HERE = ("--lat", str(NORTH.latitude_deg), "--lon", str(NORTH.longitude_deg), "--elev", str(NORTH.elevation_m))


def of_days(first: date, last: date) -> Truth:
    """The made-up hours of some days."""
    whole = made_up(NORTH)
    there = (whole.starts.date >= first) & (whole.starts.date <= last)
    names = ("ghi_w_m2", "dni_w_m2", "dhi_w_m2", "temp_degc")
    return replace(whole, starts=whole.starts[there], **{name: getattr(whole, name)[there] for name in names})


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_days_are_filled_resumed_and_kept(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    months = [(date(2001, 10, 5), date(2001, 10, 31)), (date(2001, 11, 1), date(2001, 11, 27))]
    own = "2001-10-20,1.5000,"
    (folder / "days.csv").write_text(f"date,dli_mol_m2_d,temp_degc\n{own}\n", encoding="utf-8")
    answers = [Answer(power_json(of_days(*span))) for span in
               ((date(2001, 10, 5), date(2001, 10, 19)), (date(2001, 10, 21), date(2001, 10, 31)))]  # fmt: skip
    with time_machine.travel(TODAY), service(*answers, Answer("nothing", status=404)) as running:
        monkeypatch.setenv("TENHOUR_POWER_URL", running.url)
        first = tenhour("weather", "fetch", "--since", "2001-10-05", "--tries", "1", *HERE)
    assert first.status == 1  # November was refused; October is kept
    assert "days.csv keeps what it has; the same command goes on from there." in " ".join(first.err.split())
    assert "Nothing was changed" not in first.err
    assert [asked["start"] for _, asked in running.asked] == ["20011005", "20011021", "20011101"]
    kept = (folder / "days.csv").read_text(encoding="utf-8").splitlines()
    assert len(kept) == 1 + 27
    assert own in kept
    with time_machine.travel(TODAY), service(Answer(power_json(of_days(*months[1])))) as running:
        monkeypatch.setenv("TENHOUR_POWER_URL", running.url)
        second = tenhour("weather", "fetch", "--since", "2001-10-05", *HERE)
    assert second.status == 0, second.err
    assert [asked["end"] for _, asked in running.asked] == ["20011127"]
    assert "54 of 54 days" in second.err
    truth = of_days(*months[1])
    mean = truth.ghi_w_m2.reshape(-1, 24).mean(axis=1)
    found = load_since(folder / "days.csv", NORTH.latitude_deg, NORTH.longitude_deg)
    assert found.day[-1] == np.datetime64("2001-11-27")
    assert found.ghi_w_m2[-27:] == pytest.approx(mean, rel=0.002)
    row = (folder / "days.csv").read_text(encoding="utf-8").splitlines()[-1].split(",")
    assert float(row[1]) == pytest.approx(mean[-1] * 0.0864 * UMOL_PER_J_GLOBAL, rel=0.002)


def test_nothing_is_lost_without_a_network_and_bad_wishes_get_one_line(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TENHOUR_POWER_URL", closed_port_url())
    with time_machine.travel(TODAY):
        done = tenhour("weather", "fetch", "--since", "2001-11-20", "--tries", "1", *HERE)
        assert done.status == 1
        assert not (folder / "days.csv").exists()
        tomorrow = (date.fromisoformat(TODAY) + timedelta(days=1)).isoformat()
        assert tenhour("weather", "fetch", "--since", tomorrow, *HERE).status == 2
        assert tenhour("weather", "fetch", "--into", "x.csv", *HERE).status == 2
        (folder / "mine.csv").write_text("day;light\n", encoding="utf-8")
        done = tenhour("weather", "fetch", "--since", "2001-11-20", "--into", "mine.csv", *HERE)
    assert done.status == 2
    assert "mine.csv: heading" in done.err


def test_a_service_that_has_none_of_the_days_yet_is_told_and_nothing_is_written(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    of = of_days(date(2001, 11, 26), date(2001, 11, 27))
    missing = np.full(len(of.starts), -999.0)
    late = Answer(power_json(replace(of, ghi_w_m2=missing, temp_degc=missing)))
    with time_machine.travel(TODAY), service(late, late, late) as running:
        monkeypatch.setenv("TENHOUR_POWER_URL", running.url)
        done = tenhour("weather", "fetch", "--since", "2001-11-26", "--tries", "1", *HERE)
    assert done.status == 1
    assert not (folder / "days.csv").exists()
    said = " ".join(done.err.split())
    assert "write under [weather]" not in said
    assert "none of the days from 2001-11-26 to 2001-11-27" in said
