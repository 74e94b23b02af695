"""Fetching: only from a small server on loopback, good, slow, broken and silent."""

from __future__ import annotations

import json
import resource
import time
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

from helpers_fetch import Answer, closed_port_url, service
from helpers_long import many
from helpers_weather import NORTH, Truth, made_up, mixed_years, power_json, pvgis_hourly_json, pvgis_tmy_json
from tenhour.door.weather import load_weather
from tenhour.errors import FileProblem, NoAnswer
from tenhour.files.fetch import Request, Service, cache_folder, fetch, kept_path
from tenhour.year.outside.series import finished

YEAR = 2019


@lru_cache(maxsize=1)
def truth() -> Truth:
    return made_up(NORTH, YEAR, YEAR)


@lru_cache(maxsize=8)
def body(kind: Service) -> str:
    if kind == "power":
        return power_json(truth())
    if kind == "pvgis":
        return pvgis_hourly_json(truth())
    return pvgis_tmy_json(made_up(NORTH), mixed_years(made_up(NORTH)))


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path / "cache"))
    monkeypatch.setenv("NO_PROXY", "127.0.0.1")


def request(kind: Service = "pvgis", timeout_s: float = 20.0, tries: int = 1) -> Request:
    return Request(kind, NORTH.latitude_deg, NORTH.longitude_deg, 40.0, YEAR, YEAR, timeout_s, tries, 0.02)


def asked(
    monkeypatch: pytest.MonkeyPatch, *answers: Answer, kind: Service = "pvgis", timeout_s: float = 20.0, tries: int = 1
) -> tuple[list[str], list[tuple[str, dict[str, str]]], Path]:
    """Fetch once from a service with these answers; what was said, what it was asked, the kept file."""
    said: list[str] = []
    with service(*answers) as running:
        monkeypatch.setenv("TENHOUR_POWER_URL" if kind == "power" else "TENHOUR_PVGIS_URL", running.url)
        path, _ = fetch(request(kind, timeout_s, tries), finished, said.append, "2027-01-15")
    return said, running.asked, path


def kept_files() -> list[Path]:
    folder = cache_folder()
    return sorted(folder.iterdir()) if folder.exists() else []


@pytest.mark.parametrize("kind", ["pvgis", "pvgis-typical", "power"])
def test_what_comes_is_kept_and_reads_back(monkeypatch: pytest.MonkeyPatch, kind: Service) -> None:
    said, _, path = asked(monkeypatch, Answer(body(kind)), kind=kind)
    assert said[0].startswith("Asking ")
    assert kept_files() == [path] == [kept_path(request(kind))]
    text = path.read_text(encoding="utf-8")
    assert "fetched from" in text.splitlines()[1]
    assert "2027-01-15" in text.splitlines()[1]
    back = load_weather(path)
    expected = made_up(NORTH) if kind == "pvgis-typical" else truth()
    np.testing.assert_allclose(back.ghi_w_m2, expected.ghi_w_m2, atol=0.11)
    assert back.temp_degc is not None
    np.testing.assert_allclose(back.temp_degc, expected.temp_degc, atol=0.051)
    assert back.typical is (kind == "pvgis-typical")
    assert {check.finding for check in back.checks} == {"passed"}
    assert set(back.times.minute) == {30}
    assert (back.latitude_deg, back.longitude_deg, back.elevation_m) == (57.1, -4.7, 40.0)


def test_the_services_are_asked_as_documented(monkeypatch: pytest.MonkeyPatch) -> None:
    path, query = asked(monkeypatch, Answer(body("pvgis")))[1][0]
    assert path == "/api/seriescalc"
    wanted = {"lat": "57.1", "lon": "-4.7", "startyear": "2019", "endyear": "2019", "usehorizon": "0", "angle": "0"}
    assert wanted.items() <= query.items()
    path, query = asked(monkeypatch, Answer(body("pvgis-typical")), kind="pvgis-typical")[1][0]
    assert (path, query["usehorizon"]) == ("/api/tmy", "0")
    path, query = asked(monkeypatch, Answer(body("power")), kind="power")[1][0]
    wanted = {"latitude": "57.1", "longitude": "-4.7", "start": "20190101", "end": "20191231", "time-standard": "utc"}
    assert wanted.items() <= query.items()
    assert (
        query["parameters"]
        == "ALLSKY_SFC_SW_DWN,ALLSKY_SFC_SW_DNI,ALLSKY_SFC_SW_DIFF,T2M,T2MDEW,WS10M,ALLSKY_SFC_LW_DWN"
    )


@pytest.mark.parametrize("kind", ["pvgis", "power"])
def test_without_a_network_one_clear_line_and_nothing_changed(monkeypatch: pytest.MonkeyPatch, kind: Service) -> None:
    monkeypatch.setenv("TENHOUR_PVGIS_URL", closed_port_url())
    monkeypatch.setenv("TENHOUR_POWER_URL", closed_port_url())
    said: list[str] = []
    with pytest.raises(NoAnswer, match=r"no connection \(is there a network\?\)\. Nothing was changed") as caught:
        fetch(request(kind, tries=2), finished, said.append)
    assert "\n" not in str(caught.value)
    assert str(caught.value).startswith(
        f"No weather from {'PVGIS' if kind == 'pvgis' else 'NASA POWER'} after 2 tries:"
    )
    assert "Try 2 of 2 in 0.02 s." in said[1]
    assert kept_files() == []


FAULTS = [
    (Answer(fault="drop"), r"no connection"),
    (Answer("<html>busy</html>"), r"an answer that is broken or cut off"),
    (Answer("{}"), r"an answer that is broken or cut off"),
    (Answer("[]"), r"an answer that is broken or cut off"),
    (Answer(json.dumps({"outputs": {"hourly": []}})), r"an answer that is broken or cut off"),
    (Answer("oops", status=500), r"the service fails \(500"),
    (Answer("oops", status=429), r"the service fails \(429"),
]


@pytest.mark.parametrize(("answer", "says"), FAULTS)
@pytest.mark.parametrize("kind", ["pvgis", "pvgis-typical"])
def test_faults_of_pvgis(monkeypatch: pytest.MonkeyPatch, kind: Service, answer: Answer, says: str) -> None:
    with pytest.raises(NoAnswer, match=says):
        asked(monkeypatch, answer, kind=kind)
    assert kept_files() == []


@pytest.mark.parametrize("kind", ["pvgis", "pvgis-typical", "power"])
def test_an_answer_that_breaks_off(monkeypatch: pytest.MonkeyPatch, kind: Service) -> None:
    with pytest.raises(
        NoAnswer, match=r"No weather from .*: an answer that is broken or cut off\. Nothing was changed"
    ):
        asked(monkeypatch, Answer(body(kind), fault="cut"), kind=kind)
    assert kept_files() == []


@pytest.mark.parametrize("kind", ["pvgis", "power"])
def test_an_answer_with_too_few_hours(monkeypatch: pytest.MonkeyPatch, kind: Service) -> None:
    whole = json.loads(body(kind))
    if kind == "pvgis":
        whole["outputs"]["hourly"] = whole["outputs"]["hourly"][:4000]
    else:
        parameter = whole["properties"]["parameter"]
        whole["properties"]["parameter"] = {name: dict(list(hours.items())[:4000]) for name, hours in parameter.items()}
    with pytest.raises(NoAnswer, match=r"an answer that is cut off \(4000 of 8760 hours\)"):
        asked(monkeypatch, Answer(json.dumps(whole)), kind=kind)
    assert kept_files() == []


@pytest.mark.parametrize("kind", ["pvgis", "power"])
def test_a_silent_service_is_given_up(monkeypatch: pytest.MonkeyPatch, kind: Service) -> None:
    started = time.monotonic()
    with pytest.raises(NoAnswer, match=r"(no whole answer within|silent for) 0.4 s"):
        asked(monkeypatch, Answer(body(kind), wait_s=3.0), kind=kind, timeout_s=0.4)
    assert time.monotonic() - started < 2.5


def test_a_service_that_drips_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    started = time.monotonic()
    with pytest.raises(NoAnswer, match=r"no whole answer within 0.5 s"):
        asked(monkeypatch, Answer(body("pvgis"), fault="drip"), timeout_s=0.5)
    assert time.monotonic() - started < 2.5


def test_a_slow_service_is_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tenhour.files.fetch.TELL_EVERY_S", 0.2)
    said, _, path = asked(monkeypatch, Answer(body("pvgis"), wait_s=0.7))
    assert any(line.startswith("PVGIS: ") and line.endswith(" s ...") for line in said)
    assert path.exists()


def test_another_try_mends_it(monkeypatch: pytest.MonkeyPatch) -> None:
    answers = (Answer("oops", status=503), Answer(body("pvgis"), fault="cut"), Answer(body("pvgis")))
    said, queries, path = asked(monkeypatch, *answers, tries=3)
    assert len(queries) == 3
    assert "the service fails (503" in said[1]
    assert "broken or cut off. Try 3 of 3 in 0.04 s." in said[2]
    assert path.exists()


def test_a_place_at_sea_is_refused_once_in_the_services_words(monkeypatch: pytest.MonkeyPatch) -> None:
    refusal = json.dumps({"message": "Location over the sea. Please, select another location", "status": 400})
    with service(Answer(refusal, status=400)) as running:
        monkeypatch.setenv("TENHOUR_PVGIS_URL", running.url)
        with pytest.raises(
            NoAnswer, match=r"PVGIS refuses the request: Location over the sea\. Please, select another"
        ):
            fetch(request(tries=3), finished, lambda _: None)
        assert len(running.asked) == 1
    answer = Answer(json.dumps({"header": "Bad", "messages": ["Please provide a valid date range."]}), status=422)
    with pytest.raises(NoAnswer, match=r"NASA POWER refuses the request: Please provide a valid date range\. Nothing"):
        asked(monkeypatch, answer, kind="power")


def test_light_of_another_place_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    other = json.loads(body("pvgis"))  # the right place by its own word, but the sun rises six hours later there
    rows = other["outputs"]["hourly"]
    late = [{**row, "Gb(i)": old["Gb(i)"], "Gd(i)": old["Gd(i)"]} for row, old in zip(rows[6:], rows[:-6], strict=True)]
    other["outputs"]["hourly"] = rows[:6] + late
    with pytest.raises(NoAnswer, match=r"What PVGIS sent is no light of this place: light comes"):
        asked(monkeypatch, Answer(json.dumps(other)))
    assert kept_files() == []


@pytest.mark.parametrize("kind", ["pvgis", "pvgis-typical", "power"])
def test_an_answer_that_names_another_place_is_refused(monkeypatch: pytest.MonkeyPatch, kind: Service) -> None:
    """Its light would pass: the place differs by a fifth of a degree only."""
    other = json.loads(body(kind))
    if kind == "power":
        other["geometry"]["coordinates"][1] += 0.2
    else:
        other["inputs"]["location"]["latitude"] += 0.2
    with pytest.raises(NoAnswer, match=r"sent the weather of another place \(57\.3, -4\.7\)\. Nothing was changed"):
        asked(monkeypatch, Answer(json.dumps(other)), kind=kind)
    assert kept_files() == []


@pytest.mark.parametrize("kind", ["pvgis", "power"])
def test_an_answer_for_another_year_is_refused(monkeypatch: pytest.MonkeyPatch, kind: Service) -> None:
    other = made_up(NORTH, YEAR - 1, YEAR - 1)
    text = power_json(other) if kind == "power" else pvgis_hourly_json(other)
    with pytest.raises(NoAnswer, match=r"sent other years than asked for \(2018\)\. Nothing was changed"):
        asked(monkeypatch, Answer(text), kind=kind)
    assert kept_files() == []


@pytest.mark.parametrize("kind", ["pvgis", "power"])
@pytest.mark.parametrize("packed", [False, True])
def test_an_answer_without_end_is_cut_after_unpacking(
    monkeypatch: pytest.MonkeyPatch, kind: Service, packed: bool
) -> None:
    monkeypatch.setattr("tenhour.files.fetch.MOST_BYTES", 3_000_000)
    answer = Answer(" " * 200_000_000, packed=True) if packed else Answer(fault="endless")
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    with pytest.raises(NoAnswer, match=r"an answer of more than 3 MB\. Nothing was changed"):
        asked(monkeypatch, answer, kind=kind, timeout_s=60.0)
    grown_mb = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024
    assert grown_mb < 300  # the server's own copy of the text is 200 MB, in this process


def test_an_answer_that_leads_on_is_followed_a_few_times_and_never_read(monkeypatch: pytest.MonkeyPatch) -> None:
    """The library would read all that comes with it, however much that is."""
    on = Answer(fault="endless", status=302, headers={"Location": "elsewhere?a=b"})
    _, queries, path = asked(monkeypatch, on, on, Answer(body("pvgis")))
    assert path.exists()
    assert [query for _, query in queries[1:]] == [{"a": "b"}] * 2
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    with pytest.raises(NoAnswer, match=r"it leads on to other addresses more than 5 times\)\. Nothing was changed"):
        asked(monkeypatch, on)
    assert (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024 < 50


@pytest.mark.parametrize("text", ["[" + "[]," * 400_000 + "[]]", '{"a": [' + "1.5," * 2_000_001 + "1.5]}"])
def test_an_answer_of_more_values_than_hours_is_not_taken_apart(monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    with pytest.raises(NoAnswer, match="an answer of far more values than hours were asked for"):
        asked(monkeypatch, Answer(text))


def test_an_answer_that_is_no_http_is_not_taken_for_a_missing_network(monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(NoAnswer, match="an answer that is broken or cut off"):
        asked(monkeypatch, Answer(headers={f"X-{number}": "y" for number in range(200)}))


@pytest.mark.parametrize("kind", ["pvgis", "pvgis-typical", "power"])
@pytest.mark.parametrize("deep", ["[" * 200_000, '{"a":' * 200_000])
def test_an_answer_nested_beyond_reason_is_a_broken_one(
    monkeypatch: pytest.MonkeyPatch, kind: Service, deep: str
) -> None:
    with pytest.raises(NoAnswer, match="an answer that is broken or cut off"):
        asked(monkeypatch, Answer(deep), kind=kind)


BUSY = [
    (kind, text) for kind in ("pvgis", "power") for text in ("later", '{"message": "slow down"}', "[" * 200_000, "")
]


@pytest.mark.parametrize(("kind", "text"), many(BUSY[1::5], BUSY))
def test_too_many_requests_are_tried_again_when_the_service_says(
    monkeypatch: pytest.MonkeyPatch, kind: Service, text: str
) -> None:
    busy = Answer(text, status=429, headers={"Retry-After": "1"})
    started = time.monotonic()
    said, queries, path = asked(monkeypatch, busy, Answer(body(kind)), kind=kind, tries=2)
    assert time.monotonic() - started >= 1.0
    assert len(queries) == 2
    assert "in 1 s." in said[1]
    assert path.exists()


def test_a_long_wish_to_be_left_alone_is_told_and_not_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    busy = Answer("later", status=503, headers={"Retry-After": "3600"})
    with pytest.raises(NoAnswer, match=r"it asks to be left alone for 60 minutes\. Nothing was changed"):
        asked(monkeypatch, busy, tries=3)


def test_a_wish_to_be_left_alone_may_be_a_date(monkeypatch: pytest.MonkeyPatch) -> None:
    busy = Answer("later", status=429, headers={"Retry-After": "Fri, 31 Dec 2100 23:59:59 GMT"})
    with pytest.raises(NoAnswer, match="left alone for"):
        asked(monkeypatch, busy, tries=3)
    odd = Answer("later", status=429, headers={"Retry-After": "soon"})
    assert asked(monkeypatch, odd, Answer(body("pvgis")), tries=2)[2].exists()


def test_a_power_answer_in_another_unit_is_not_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(NoAnswer, match=r"cannot be used \(NASA POWER: ALLSKY_SFC_SW_DWN: found the unit \"BTU\""):
        asked(monkeypatch, Answer(power_json(truth(), unit="BTU")), kind="power")


def test_an_old_file_stays_when_the_new_try_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    path = asked(monkeypatch, Answer(body("pvgis")))[2]
    before = path.read_bytes()
    with pytest.raises(NoAnswer, match="broken or cut off"):
        asked(monkeypatch, Answer("no"))
    assert path.read_bytes() == before
    assert kept_files() == [path]


def test_a_cache_that_cannot_be_made(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "cache").write_text("a file in the way")
    with pytest.raises(NoAnswer, match=r"The cache .* cannot be made \("):
        asked(monkeypatch, Answer(body("pvgis")))


def test_a_cache_with_a_folder_in_the_way(monkeypatch: pytest.MonkeyPatch) -> None:
    kept_path(request()).mkdir(parents=True)
    with pytest.raises(FileProblem, match="is a folder"):
        asked(monkeypatch, Answer(body("pvgis")))


def test_a_bug_is_not_dressed_up(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise AssertionError("ours")

    monkeypatch.setattr("tenhour.files.fetch._call", broken)
    with pytest.raises(AssertionError, match="ours"):
        fetch(request(), finished, lambda _: None)


@pytest.mark.parametrize(
    ("platform", "expected"),
    [("linux", "cache/tenhour/weather"), ("win32", "cache/tenhour/weather"), ("darwin", "Caches")],
)
def test_the_cache_lies_where_the_system_has_it(monkeypatch: pytest.MonkeyPatch, platform: str, expected: str) -> None:
    monkeypatch.setattr("sys.platform", platform)
    assert expected in cache_folder().as_posix()
