"""What goes wrong with weather files: each trap is met with its sentence."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers_weather import (
    EAST,
    NORTH,
    SOUTH,
    WEST,
    Spot,
    Truth,
    epw,
    epw_rows,
    made_up,
    mixed_years,
    place_head,
    plain,
    power_csv,
    power_json,
    pvgis_hourly_csv,
    pvgis_hourly_json,
    pvgis_tmy_csv,
    pvgis_tmy_json,
    tmy2,
    tmy3,
)
from tenhour.door.weather import load_weather
from tenhour.errors import FileProblem
from tenhour.files.weather.read import read_series
from tenhour.model.weather import WeatherCheck, WeatherYear
from tenhour.units import GENERIC_YEAR
from tenhour.year.outside.series import finished


@cache
def tmy_csv(truth: Truth) -> str:
    return pvgis_tmy_csv(truth, mixed_years(truth))


@cache
def tmy_json(truth: Truth) -> str:
    return pvgis_tmy_json(truth, mixed_years(truth))


JUNE_NOON = (31 + 28 + 31 + 30 + 31) * 24 + 12
YEAR_H = 8760


def saved(folder: Path, text: str | bytes) -> Path:
    path = folder / "weather.dat"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return path


def loaded(folder: Path, text: str | bytes, spot: Spot | None = None) -> WeatherYear:
    path = saved(folder, text)
    return load_weather(path) if spot is None else load_weather(path, spot.latitude_deg, spot.longitude_deg)


def refusal(folder: Path, text: str | bytes, spot: Spot | None = None) -> str:
    with pytest.raises(FileProblem, match=r"weather\.dat") as caught:
        loaded(folder, text, spot)
    lines = [problem.line() for problem in caught.value.problems]
    assert all("\n" not in line for line in lines)
    return "\n".join(lines)


def check(weather: WeatherYear, name: str) -> WeatherCheck:
    return next(found for found in weather.checks if found.name == name)


def changed(truth: Truth, **columns: np.ndarray) -> Truth:
    kept = {name: getattr(truth, name) for name in ("ghi_w_m2", "dni_w_m2", "dhi_w_m2", "temp_degc")}
    return Truth(truth.spot, truth.starts, **{**kept, **columns})


def with_rows(truth: Truth, rows: slice, value: float, name: str = "ghi_w_m2") -> Truth:
    values = getattr(truth, name).copy()
    values[rows] = value
    return changed(truth, **{name: values})


class TestEncodings:
    def test_a_file_in_latin_1_is_read_and_said_so(self, tmp_path: Path) -> None:
        text = epw(made_up()).replace("Madeup", "Sévillà")
        weather = loaded(tmp_path, text.encode("latin-1"))
        assert weather.source.startswith("Sévillà")
        assert any("not in UTF-8" in note for note in weather.notes)

    def test_a_byte_order_mark_does_not_hide_the_format(self, tmp_path: Path) -> None:
        assert loaded(tmp_path, b"\xef\xbb\xbf" + epw(made_up()).encode()).kind == "EPW"
        assert loaded(tmp_path, plain(made_up(), place_head(NORTH)).encode("utf-16")).kind == "plain table"

    def test_windows_line_ends(self, tmp_path: Path) -> None:
        assert loaded(tmp_path, epw(made_up()).replace("\n", "\r\n")).gaps.missing_share == 0.0


class TestGaps:
    def test_three_hours_are_filled_by_their_neighbours_and_reported(self, tmp_path: Path) -> None:
        truth = made_up()
        hole = slice(JUNE_NOON, JUNE_NOON + 3)
        weather = loaded(tmp_path, epw(with_rows(truth, hole, 9999.0)))
        np.testing.assert_allclose(weather.ghi_w_m2[hole], truth.ghi_w_m2[hole], rtol=0.03)
        assert (weather.gaps.filled_count, weather.gaps.lost_days_count) == (3, 0)
        assert check(weather, "missing").sentence.endswith("3 hours filled from their neighbours, 0 days left out")

    def test_four_hours_lose_the_day(self, tmp_path: Path) -> None:
        hole = slice(JUNE_NOON, JUNE_NOON + 4)
        weather = loaded(tmp_path, epw(with_rows(made_up(), hole, 9999.0)))
        assert (weather.gaps.filled_count, weather.gaps.lost_days_count) == (0, 1)
        assert np.isnan(weather.ghi_w_m2[hole]).all()
        assert weather.monthly.whole_days_count[5] == 29

    def test_missing_nights_are_dark_and_no_loss(self, tmp_path: Path) -> None:
        truth = made_up()
        values = np.where(truth.ghi_w_m2 == 0, 9999.0, truth.ghi_w_m2)
        weather = loaded(tmp_path, epw(changed(truth, ghi_w_m2=values)))
        assert weather.gaps.lost_days_count < 3
        assert weather.ghi_w_m2[0] == 0.0

    @pytest.mark.parametrize(("write", "code"), [(epw, 9999.0), (tmy3, -9900.0), (tmy2, 9999.0)])
    def test_missing_codes_of_station_years(self, tmp_path: Path, write: object, code: float) -> None:
        hole = slice(JUNE_NOON, JUNE_NOON + 8)
        weather = loaded(tmp_path, write(with_rows(made_up(), hole, code)))  # type: ignore[operator]
        assert np.isnan(weather.ghi_w_m2[hole]).all()
        assert weather.gaps.lost_days_count == 1

    def test_missing_code_of_power(self, tmp_path: Path) -> None:
        hole = slice(JUNE_NOON, JUNE_NOON + 10)
        weather = loaded(tmp_path, power_json(with_rows(made_up(), hole, np.nan)))
        assert weather.gaps.lost_days_count == 1
        assert weather.ghi_w_m2.min() >= 0.0 or np.isnan(weather.ghi_w_m2).any()

    def test_too_much_missing_is_refused(self, tmp_path: Path) -> None:
        truth = made_up()
        values = truth.ghi_w_m2.copy()
        values[np.arange(YEAR_H) % 24 == 12] = 9999.0
        values[np.arange(YEAR_H) % 24 == 13] = 9999.0
        text = refusal(tmp_path, epw(changed(truth, ghi_w_m2=values)))
        assert re.search(r"missing: 1\d\.\d% of the light while the sun is up is missing \(at most 10%\)", text)

    def test_missing_months_are_named(self, tmp_path: Path) -> None:
        rows = [row for row in epw_rows(made_up()) if row.split(",")[1] not in ("2", "11")]
        text = refusal(tmp_path, epw(made_up(), hour_rows=rows))
        assert "months missing or too short: Feb (0 days), Nov (0 days); each needs 20 whole days" in text

    def test_temperatures_that_cannot_be_are_missing(self, tmp_path: Path) -> None:
        truth = with_rows(made_up(), slice(100, 140), 99.9, "temp_degc")
        truth = with_rows(truth, slice(500, 503), -120.0, "temp_degc")
        weather = loaded(tmp_path, epw(truth))
        assert weather.gaps.temp_missing_share == pytest.approx(43 / YEAR_H)
        assert "3 impossible temperatures were taken as missing." in weather.notes
        assert weather.temp_degc is not None
        assert np.isnan(weather.temp_degc[100:140]).all()
        assert np.isfinite(weather.temp_degc[500:503]).all()

    def test_a_sensor_below_zero_at_night_reads_dark(self, tmp_path: Path) -> None:
        truth = made_up()
        weather = loaded(tmp_path, plain(changed(truth, ghi_w_m2=truth.ghi_w_m2 - 3.0), place_head(NORTH)))
        assert weather.ghi_w_m2.min() == 0.0
        wrong = with_rows(truth, slice(JUNE_NOON, JUNE_NOON + 1), -500.0)
        assert (
            "1 negative values of light were taken as missing."
            in loaded(tmp_path, plain(wrong, place_head(NORTH))).notes
        )


class TestRepeatsAndYears:
    def test_a_repeated_first_row_is_left_out(self, tmp_path: Path) -> None:
        rows = epw_rows(made_up())
        weather = loaded(tmp_path, epw(made_up(), hour_rows=[rows[0], *rows]))
        assert "1 repeated row left out." in weather.notes
        assert len(weather.times) == YEAR_H

    def test_a_row_with_two_values_is_refused(self, tmp_path: Path) -> None:
        rows = epw_rows(made_up())
        other = rows[4000].replace(rows[4000].split(",")[6], "1.1", 1)
        text = refusal(tmp_path, epw(made_up(), hour_rows=[*rows[:4001], other, *rows[4001:]]))
        assert "found a row that occurs twice with different values (2026-06-16" in text

    def test_29_february_in_a_typical_year_is_left_out(self, tmp_path: Path) -> None:
        truth = made_up(NORTH, 2020, 2020)
        weather = loaded(tmp_path, epw(truth, mixed_years(truth)))
        assert "29 February was left out: a typical year has 365 days." in weather.notes
        assert (weather.typical, len(weather.times), weather.monthly.whole_days_count[1]) == (True, YEAR_H, 28)

    def test_29_february_in_other_typical_years(self, tmp_path: Path) -> None:
        truth = made_up(NORTH, 2020, 2020)
        for text in (tmy3(truth, mixed_years(truth)), plain_of_mixed_years(truth)):
            weather = loaded(tmp_path, text)
            assert any("29 February" in note for note in weather.notes), weather.kind
            assert len(weather.times) == YEAR_H

    def test_years_of_a_typical_year_are_no_series(self, tmp_path: Path) -> None:
        truth = made_up(WEST)
        weather = loaded(tmp_path, plain_of_mixed_years(truth))
        assert weather.typical
        assert set(weather.times.year) == {GENERIC_YEAR}
        np.testing.assert_allclose(weather.ghi_w_m2, truth.ghi_w_m2, atol=0.06)

    def test_two_real_years_stay_two_years(self, tmp_path: Path) -> None:
        weather = loaded(tmp_path, plain(made_up(NORTH, 2019, 2020), place_head(NORTH)))
        assert (weather.typical, weather.years_count) == (False, 2)
        assert weather.period == "2019-01-01 to 2020-12-31"

    def test_more_than_one_row_an_hour_in_epw_is_refused(self, tmp_path: Path) -> None:
        assert "DATA PERIODS: found 4 rows an hour; allowed: hourly EPW files" in refusal(
            tmp_path, epw(made_up(), data_periods="1,4")
        )


def plain_of_mixed_years(truth: Truth) -> str:
    years = mixed_years(truth)
    rows = [
        f"{y}-{s:%m-%d %H:%M},{g},{t}"
        for s, y, g, t in zip(truth.starts, years, truth.ghi_w_m2, truth.temp_degc, strict=True)
    ]
    return place_head(truth.spot) + "\n".join(["time,ghi,temp", *rows])


class TestClock:
    def test_the_time_zones_sign(self, tmp_path: Path) -> None:
        text = epw(made_up(WEST)).replace(f",{WEST.offset_h:.1f},", ",10.0,", 1)
        found = refusal(tmp_path, text)
        assert "clock: light comes 4.0 h later than the sun at longitude -149.9: the sign of the longitude or" in found

    def test_utc_taken_for_local_time(self, tmp_path: Path) -> None:
        text = epw(made_up(EAST)).replace(f",{EAST.offset_h:.1f},", ",0.0,", 1)
        assert "wrong time zone; UTC+7 would fit" in refusal(tmp_path, text)

    def test_the_longitudes_sign(self, tmp_path: Path) -> None:
        text = plain(made_up(EAST), place_head(EAST).replace("longitude_deg: 104.3", "longitude_deg: -104.3"))
        assert "the sign of the longitude or of the time zone looks swapped (west is negative)" in refusal(
            tmp_path, text
        )

    def test_an_hour_off_is_refused_and_half_an_hour_noted(self, tmp_path: Path) -> None:
        late = plain(made_up(), place_head(NORTH) + "# stamps: start\n", shift_h=1.0)
        assert re.search(
            r"light comes 1\.0 h later than the sun .* wrong time zone; UTC\+1 would fit", refusal(tmp_path, late)
        )
        half = place_head(NORTH) + "# stamps: middle\n"
        weather = loaded(tmp_path, plain(made_up(), half))
        assert check(weather, "clock").finding == "note"
        assert "light comes 0.5 h earlier" in check(weather, "clock").sentence

    def test_the_twice_told_hour_of_summer_time(self, tmp_path: Path) -> None:
        truth = made_up(NORTH, 2019, 2019)
        local = truth.starts.tz_localize("UTC").tz_convert("Europe/London").tz_localize(None)
        text = "\n".join(
            [
                "time,ghi",
                *(
                    f"{s:%Y-%m-%d %H:%M},{g + n / 1e4:.4f}"
                    for n, (s, g) in enumerate(zip(local, truth.ghi_w_m2, strict=True))
                ),
            ]
        )
        found = refusal(tmp_path, place_head(NORTH) + text)
        assert "an hour that occurs twice (2019-10-27 01:00) and one that is skipped: summer time" in found
        assert "Write the times without summer time." in found

    def test_summer_time_without_the_hour(self, tmp_path: Path) -> None:
        truth = made_up(NORTH, 2019, 2019)
        local = truth.starts.tz_localize("UTC").tz_convert("Europe/London").tz_localize(None)
        frame = pd.DataFrame({"ghi": truth.ghi_w_m2}, index=local)
        frame = frame[~frame.index.duplicated()]
        text = "\n".join(
            ["time,ghi", *(f"{s:%Y-%m-%d %H:%M},{g}" for s, g in zip(frame.index, frame["ghi"], strict=True))]
        )
        found = refusal(tmp_path, place_head(NORTH) + text)
        assert re.search(
            r"light comes (0\.9|1\.0|1\.1) h later in one half of the year than in the other: summer time", found
        )

    def test_the_hemisphere(self, tmp_path: Path) -> None:
        text = plain(made_up(SOUTH), place_head(SOUTH).replace("latitude_deg: -45.9", "latitude_deg: 45.9"))
        found = refusal(tmp_path, text)
        assert "light peaks in December, against the latitude 45.9: is its sign right (south is negative)?" in found
        north = plain(made_up(), place_head(NORTH).replace("latitude_deg: 57.1", "latitude_deg: -57.1"))
        assert "light peaks in June, against the latitude -57.1" in refusal(tmp_path, north)


class TestPlausibility:
    def test_light_at_night(self, tmp_path: Path) -> None:
        truth = made_up()
        lamp = np.where(truth.ghi_w_m2 < 1.0, 4.0, truth.ghi_w_m2)
        found = refusal(tmp_path, plain(changed(truth, ghi_w_m2=lamp), place_head(NORTH)))
        assert re.search(
            r"night: \d\.\d\d% of the light comes while the sun is down: a lamp, or a sensor's offset", found
        )
        faint = np.where(truth.ghi_w_m2 < 1.0, 0.2, truth.ghi_w_m2)
        weather = loaded(tmp_path, plain(changed(truth, ghi_w_m2=faint), place_head(NORTH)))
        assert check(weather, "night").finding == "note"

    def test_brighter_than_a_clear_sky(self, tmp_path: Path) -> None:
        truth = made_up()
        values = truth.ghi_w_m2.copy()
        values[12::72] = 1400.0
        found = refusal(tmp_path, plain(changed(truth, ghi_w_m2=values), place_head(NORTH)))
        assert re.search(r"clear sky: \d\.\d\d% of the daylight hours are brighter than a clear sky can be", found)
        values = truth.ghi_w_m2.copy()
        values[JUNE_NOON] = 1500.0
        weather = loaded(tmp_path, plain(changed(truth, ghi_w_m2=values), place_head(NORTH)))
        assert check(weather, "clear sky").finding == "note"

    @pytest.mark.parametrize(
        ("factor", "looks"),
        [(3.6, "kJ/m2"), (1e-3, "kWh/m2"), (1 / 277.8, "MJ/m2"), (1 / 2.778, "J/cm2")],
    )
    def test_a_wrong_unit(self, tmp_path: Path, factor: float, looks: str) -> None:
        truth = made_up()
        rows = [f"{s:%Y-%m-%d %H:%M},{g * factor:.6f}" for s, g in zip(truth.starts, truth.ghi_w_m2, strict=True)]
        found = refusal(tmp_path, place_head(NORTH) + "\n".join(["time,ghi", *rows]))
        assert "unit: " in found
        assert "of the light above the air" in found
        assert f"it looks like {looks}" in found

    def test_a_place_far_from_the_house(self, tmp_path: Path) -> None:
        text = epw(made_up())
        weather = loaded(tmp_path, text, Spot(60.0, -4.7, 0.0, 0))
        assert check(weather, "place") == WeatherCheck("place", "note", "the file is of a place 322 km from the house")
        assert check(loaded(tmp_path, text, Spot(57.3, -4.7, 0.0, 0)), "place").finding == "passed"
        assert "another hemisphere" in refusal(tmp_path, text, Spot(-57.1, -4.7, 0.0, 0))

    def test_polar_night_is_no_fault(self, tmp_path: Path) -> None:
        weather = loaded(tmp_path, epw(made_up(Spot(78.2, 15.6, 10.0, 1))))
        assert {found.finding for found in weather.checks} == {"passed"}
        assert weather.monthly.ghi_w_m2[11] == 0.0
        assert np.isfinite(weather.daily.temp_degc[:20]).all()

    def test_the_tropics_have_no_wrong_hemisphere(self, tmp_path: Path) -> None:
        weather = loaded(tmp_path, epw(made_up(Spot(-5.0, 30.0, 900.0, 2))))
        assert {found.finding for found in weather.checks} == {"passed"}

    def test_every_reason_is_given_at_once(self, tmp_path: Path) -> None:
        rows = [row for row in epw_rows(made_up(WEST)) if row.split(",")[1] != "4"]
        text = epw(made_up(WEST), hour_rows=rows).replace(f",{WEST.offset_h:.1f},", ",3.0,", 1)
        found = refusal(tmp_path, text)
        assert len(found.splitlines()) == 2
        assert "Apr (0 days)" in found
        assert "wrong time zone" in found

    def test_a_refused_file_can_still_be_looked_at(self, tmp_path: Path) -> None:
        path = saved(tmp_path, epw(made_up(EAST)).replace(f",{EAST.offset_h:.1f},", ",0.0,", 1))
        weather = finished(read_series(path))
        assert check(weather, "clock").finding == "refused"

    @pytest.mark.parametrize(("key", "limit"), [("latitude", 90), ("longitude", 180)])
    def test_impossible_coordinates(self, tmp_path: Path, key: str, limit: int) -> None:
        head = re.sub(rf"# {key}_deg: \S+", f"# {key}_deg: 400", place_head(NORTH))
        assert f"{key}: found 400; allowed: -{limit} to {limit}." in refusal(tmp_path, plain(made_up(), head))


class TestServices:
    @pytest.mark.parametrize(("write", "tilt"), [(pvgis_hourly_csv, "35"), (pvgis_hourly_json, 35.0)])
    def test_light_on_a_tilted_plane(self, tmp_path: Path, write: Callable[..., str], tilt: object) -> None:
        found = refusal(tmp_path, write(made_up(), tilt))
        assert "found light on a plane tilted 35" in found
        assert "Fetch it again with slope 0 (level)." in found

    def test_power_in_an_unknown_unit(self, tmp_path: Path) -> None:
        found = refusal(tmp_path, power_json(made_up(), unit="furlongs"))
        assert 'ALLSKY_SFC_SW_DWN: found the unit "furlongs"; allowed: one of wh/m^2' in found

    def test_power_in_megajoules(self, tmp_path: Path) -> None:
        truth = made_up()
        as_mj = changed(truth, ghi_w_m2=truth.ghi_w_m2 * 3600.0 / 1e6, dhi_w_m2=truth.dhi_w_m2 * 3600.0 / 1e6)
        weather = loaded(tmp_path, power_json(changed(as_mj, dni_w_m2=truth.dni_w_m2 * 3600.0 / 1e6), unit="MJ/hr"))
        np.testing.assert_allclose(weather.ghi_w_m2, truth.ghi_w_m2, atol=0.05)

    def test_power_without_light(self, tmp_path: Path) -> None:
        text = power_json(made_up()).replace("ALLSKY_SFC_SW_DWN", "PRECTOTCORR")
        assert "no ALLSKY_SFC_SW_DWN in this NASA POWER file" in refusal(tmp_path, text)


class TestBroken:
    @pytest.mark.parametrize(
        ("write", "says"),
        [
            (tmy_json, "JSON that breaks off or is broken"),
            (power_json, "JSON that breaks off or is broken"),
            (tmy_csv, "a PVGIS typical year that breaks off after 5"),
            (tmy3, "months missing or too short: "),
            (epw, "months missing or too short: "),
            (pvgis_hourly_csv, "months missing or too short: "),
        ],
        ids=["tmy-json", "power-json", "tmy-csv", "tmy3", "epw", "hourly-csv"],
    )
    def test_a_file_that_breaks_off(self, tmp_path: Path, write: Callable[[Truth], str], says: str) -> None:
        text = write(made_up())
        cut = text[: int(len(text) * 0.6)]
        cut = cut if "JSON" in says or "PVGIS" in says else cut[: cut.rindex("\n") + 1]
        assert says in refusal(tmp_path, cut)

    def test_a_last_row_that_breaks_off_is_left_out(self, tmp_path: Path) -> None:
        text = epw(made_up())
        weather = loaded(tmp_path, text[: text.rstrip("\n").rindex("\n") + 20])
        assert "The last row breaks off and was left out." in weather.notes

    def test_a_broken_row_in_the_middle_is_named(self, tmp_path: Path) -> None:
        rows = epw_rows(made_up())
        rows[99] = rows[99][:20]
        assert "line 108: found a row with too few fields" in refusal(tmp_path, epw(made_up(), hour_rows=rows))
        rows[99] = "x" + epw_rows(made_up())[99]
        assert "line 108: found no year at the start of the row" in refusal(tmp_path, epw(made_up(), hour_rows=rows))

    @pytest.mark.parametrize(
        ("content", "says"),
        [
            (b"", "an empty file"),
            (b"  \n \n", "an empty file"),
            (b"PK\x03\x04rest", "a zip or spreadsheet file"),
            (b"\x1f\x8bxx", "a compressed file"),
            (b"%PDF-1.7", "a PDF file"),
            (b"abc\0def", "a binary file"),
            (b"hello", "a format that is not known"),
            (b"# only a remark\n", "a format that is not known"),
            (b'{"a": 1}', "a format that is not known"),
            (b"{", "JSON that breaks off"),
            (b"[1, 2]", "a format that is not known"),
            (b"LOCATION,a,b,c,d,e,1,2,0,0\n", "an EPW file without hours"),
            (b"time,ghi\n", "a table without rows"),
            (b"time,ghi\n2026-01-01 10:00,5\n", "a single row"),
            (b"-BEGIN HEADER-\n-END HEADER-\n", "a NASA POWER table that is broken"),
            (b'{"outputs": {"hourly": []}}', "a PVGIS answer that is broken"),
            (b'{"properties": {"parameter": {}}}', "a NASA POWER answer that is broken"),
            (b"Latitude (decimal degrees): x\ntime(UTC),a\n", "a PVGIS typical year that is broken"),
            (b"Latitude (decimal degrees): 1\n", "a PVGIS hourly file that is broken"),
        ],
    )
    def test_what_is_no_weather_file(self, tmp_path: Path, content: bytes, says: str) -> None:
        assert says in refusal(tmp_path, content, NORTH)

    def test_what_is_no_file(self, tmp_path: Path) -> None:
        with pytest.raises(FileProblem, match="a folder; allowed: a weather file"):
            load_weather(tmp_path)
        with pytest.raises(FileProblem, match=r"cannot be read \(no such file or directory\)"):
            load_weather(tmp_path / "nowhere.epw")
        with pytest.raises(FileProblem, match=r"cannot be read \(not a file name\)"):
            load_weather(tmp_path / "a\0b")


class TestMaimed:
    """Whatever happens to a file, it is read or refused in one line each; nothing else comes out."""

    WHOLE = (
        epw,
        tmy3,
        pvgis_hourly_csv,
        tmy_csv,
        power_csv,
        lambda truth: power_csv(truth, "daily"),
        lambda truth: plain(truth, place_head(NORTH)),
    )
    SCRAPS = ("9999", "-", "1e309", "nan", "\n", '"', ",,,", "\0", "ü", "24:00", "99", ";", "\t", "#", "{")

    @settings(deadline=None, derandomize=True, max_examples=150)
    @given(
        which=st.integers(0, len(WHOLE) - 1),
        cuts=st.lists(st.tuples(st.integers(0, 6000), st.integers(0, 60), st.sampled_from(SCRAPS)), max_size=8),
    )
    def test_text(self, tmp_path_factory: pytest.TempPathFactory, which: int, cuts: list[tuple[int, int, str]]) -> None:
        text = "\n".join(self.WHOLE[which](made_up()).split("\n")[:90])
        for at, length, scrap in cuts:
            text = text[:at] + scrap + text[at + length :]
        path = tmp_path_factory.getbasetemp() / "maimed.dat"
        path.write_text(text, encoding="utf-8")
        with pytest.raises(FileProblem, match=r"maimed\.dat") as caught:
            load_weather(path, NORTH.latitude_deg, NORTH.longitude_deg)
        assert all("\n" not in problem.line() for problem in caught.value.problems)

    @settings(deadline=None, derandomize=True, max_examples=60)
    @given(
        where=st.lists(st.integers(0, 7), min_size=1, max_size=4),
        value=st.sampled_from([None, [], {}, "x", -1, [None], {"a": None}, [[1]], True]),
        which=st.integers(0, 2),
    )
    def test_json(self, tmp_path_factory: pytest.TempPathFactory, where: list[int], value: object, which: int) -> None:
        document = json.loads(short_jsons()[which])
        node = document
        for step in where[:-1]:
            keys = list(node) if isinstance(node, dict) else list(range(len(node)))
            inner = node[keys[step % len(keys)]]
            if not isinstance(inner, dict | list) or not inner:
                break
            node = inner
        keys = list(node) if isinstance(node, dict) else list(range(len(node)))
        node[keys[where[-1] % len(keys)]] = value
        path = tmp_path_factory.getbasetemp() / "maimed.json"
        path.write_text(json.dumps(document), encoding="utf-8")
        with pytest.raises(FileProblem, match=r"maimed\.json"):
            load_weather(path, NORTH.latitude_deg, NORTH.longitude_deg)


def short_json(text: str) -> str:
    """The same answer with its first two days only."""
    document = json.loads(text)
    if "properties" in document:
        parameter = document["properties"]["parameter"]
        document["properties"]["parameter"] = {n: dict(list(hours.items())[:48]) for n, hours in parameter.items()}
    else:
        outputs = document["outputs"]
        key = "hourly" if "hourly" in outputs else "tmy_hourly"
        outputs[key] = outputs[key][:48]
    return json.dumps(document)


@cache
def short_jsons() -> list[str]:
    return [short_json(write(made_up())) for write in (pvgis_hourly_json, tmy_json, power_json)]
