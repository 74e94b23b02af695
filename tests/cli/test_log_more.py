"""log: forecasts of what stands; taking back, changing and bringing in lose nothing; what is unknown is refused."""

from __future__ import annotations

import json
import os
import time
from datetime import date, timedelta
from pathlib import Path

import pytest

from helpers_cli import tenhour
from helpers_schema import schema_faults
from helpers_world import PLAIN
from tenhour.errors import FileProblem
from tenhour.files.log import HEADINGS, line_text, read_log
from tenhour.files.logedit import edit_log, export_text, import_log, undo_log
from tenhour.model.log import LogLine, sowings, standing

HOUSE = PLAIN.format(
    lat=48.0, lon=16.0, elev=200, zone="Europe/Vienna", azimuth=90.0, faces="", cover="glass-1",
    air="day_set_degc = 12\nnight_set_degc = 5",
)  # fmt: skip
OLD = (
    "date,what,crop,bed,plants_per_m2,fresh_g,note\n"
    "2021-09-10,sown,spinach,back,,,\n"
    "2021-09-01,sown,kale,front,9,,first\n"
)


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "house.toml").write_text(HOUSE, encoding="utf-8")
    return tmp_path


def test_the_forecast_of_what_stands_is_that_of_the_same_sowing(folder: Path) -> None:
    (folder / "sown.csv").write_text(OLD, encoding="utf-8")
    answer = json.loads(tenhour("log", "--on", "2021-10-01", "--json").out)
    assert schema_faults("log", answer) == []
    stands = {one["crop"]: one for one in answer["stands"]}
    sow = json.loads(tenhour("sow", "--on", "2021-09-10", "--bed", "back", "--crop", "spinach", "--json").out)
    verdict = sow["beds"][0]["crops"][0]
    assert stands["spinach"]["ready_from"] == verdict["harvest_from"]
    assert stands["spinach"]["ready_to"] == verdict["harvest_to"]
    assert stands["spinach"]["verdict"] == verdict["verdict"]
    text = tenhour("log", "--on", "2021-10-01").out
    assert "front: kale (sown 2021-09-01): " in text
    assert all(len(line) <= 80 for line in text.splitlines())
    # long past its last day: asked until it is answered, then no more
    late = (date.fromisoformat(verdict["harvest_to"]) + timedelta(days=30)).isoformat()
    assert "Still there? spinach on back" in tenhour("log", "--on", late).out
    assert tenhour("log", "stands", "spinach", "--bed", "back", "--on", late).status == 0
    assert "Still there? spinach" not in tenhour("log", "--on", late).out


def test_the_door_tells_what_the_command_tells(folder: Path) -> None:
    import tenhour as th

    (folder / "sown.csv").write_text(OLD, encoding="utf-8")
    answer = th.Year(th.read_house("house.toml")).log("2021-10-01")
    said = json.loads(tenhour("log", "--on", "2021-10-01", "--json").out)
    read = json.loads(answer.to_json())
    assert {key: read[key] for key in ("standing", "lines")} == {key: said[key] for key in ("standing", "lines")}
    for one, other in zip(read["stands"], said["stands"], strict=True):
        assert (one["crop"], one["ready_from"], one["do"]) == (other["crop"], other["ready_from"], other["do"])
    assert answer.stands["crop"].tolist() == ["kale", "spinach"]


def test_set_out_is_not_sown(folder: Path) -> None:
    """Plants bought or raised are ready sooner than seed of the same day would be, in the log and in the week alike."""
    path = folder / "sown.csv"
    path.write_text("date,what,crop,bed\n2021-08-20,set-out,kale,front\n", encoding="utf-8")
    stand = json.loads(tenhour("log", "--on", "2021-10-01", "--json").out)["stands"][0]
    assert stand["set_out"] == "2021-08-20"
    assert "set out on 2021-08-20" in stand["text"]
    week = json.loads(tenhour("week", "--on", "2021-10-01", "--json").out)["stands"][0]
    assert week["ready_from"] == stand["ready_from"]
    path.write_text("date,what,crop,bed\n2021-08-20,sown,kale,front\n", encoding="utf-8")
    seed = json.loads(tenhour("log", "--on", "2021-10-01", "--json").out)["stands"][0]
    assert "2021-08-27" < stand["ready_from"] < seed["ready_from"]


def test_undo_takes_the_last_line_back_and_edit_changes_one(folder: Path) -> None:
    path = folder / "sown.csv"
    path.write_text(OLD, encoding="utf-8")
    assert tenhour("log", "edit", "2", "--bed", "back", "--variety", "black", "--area", "20 sq ft").status == 0
    changed = read_log(path)
    assert (changed[1].bed, changed[1].variety, changed[1].note) == ("back", "black", "first")
    assert changed[1].area_m2 == pytest.approx(1.858, abs=0.001)
    assert changed[0] == read_log_of(OLD)[0]
    done = tenhour("log", "undo")
    assert "Taken back: 2021-09-01 sown kale" in done.err
    assert [line.crop for line in read_log(path)] == ["spinach"]
    assert tenhour("log", "undo").status == 0
    assert "no line to take back" in tenhour("log", "undo").err


def read_log_of(text: str) -> tuple[LogLine, ...]:
    from tenhour.files.log import parse_log

    return parse_log(text, "a log")


def test_lines_go_out_and_come_in_again_without_doubling(folder: Path) -> None:
    (folder / "sown.csv").write_text(OLD, encoding="utf-8")
    assert tenhour("log", "export", "out.csv").status == 0
    assert (folder / "out.csv").read_text("utf-8").splitlines()[0] == ",".join(HEADINGS)
    assert tenhour("log", "export", "out.csv").status == 2
    assert "0 of 2 lines" in tenhour("log", "import", "out.csv").err
    more = "date;what;crop;bed;variety\n2021-09-05;sown;Cos lettuce;front;red\n2021-09-10;sown;spinach;back;\n"
    (folder / "more.csv").write_text(more, encoding="utf-8")
    assert "1 of 2 lines" in tenhour("log", "import", "more.csv").err
    assert [line.crop for line in read_log(folder / "sown.csv")] == ["spinach", "kale", "romaine"]


def test_unknown_crops_and_beds_are_refused_with_the_nearest_name(folder: Path) -> None:
    (folder / "more.csv").write_text("date,what,crop,bed\n2021-09-05,sown,cahrd,\n2021-09-05,sown,kale,bakc\n", "utf-8")
    done = tenhour("log", "import", "more.csv")
    assert done.status == 2
    assert "Did you mean chard" in done.err
    assert "Did you mean back?" in done.err
    assert not (folder / "sown.csv").exists()


@pytest.mark.parametrize("command", [("log",), ("log", "sown", "kale", "--bed", "front"), ("week",), ("learn",)])
def test_a_row_written_by_hand_is_refused_like_one_that_is_brought_in(folder: Path, command: tuple[str, ...]) -> None:
    rows = "2021-09-05,sown,chard,front\n2021-11-05,cleared,cahrd,front\n2021-09-05,sown,kale,bakc\n"
    rows = "date,what,crop,bed\n" + rows
    (folder / "sown.csv").write_text(rows, "utf-8")
    done = tenhour(*command)
    assert done.status == 2
    assert done.err.splitlines()[-2:] == [
        'sown.csv: row 2: crop: "cahrd", a crop nobody knows. Did you mean chard?',
        'sown.csv: row 3: bed: "bakc", a bed nobody knows. Did you mean back?',
    ]
    assert (folder / "sown.csv").read_text("utf-8") == rows
    assert tenhour("log", "edit", "3", "--bed", "back").status == 0  # the way out


def test_a_bed_the_house_has_no_more_may_stand_in_old_rows(folder: Path) -> None:
    old = "date,what,crop,bed\n2020-09-05,sown,Chard,attic\n2020-11-05,cleared,chard,attic\n"
    (folder / "sown.csv").write_text(old + "2021-09-05,sown,kale,Front\n", "utf-8")
    answer = json.loads(tenhour("log", "--on", "2021-10-01", "--json").out)
    assert [(one["crop"], one["bed"]) for one in answer["standing"]] == [("kale", "front")]
    assert answer["stands"][0]["ready_from"] is not None
    (folder / "sown.csv").write_text(old + "2021-09-05,sown,kale,attic\n", "utf-8")
    assert "Beds: front, back; none for plants raised elsewhere" in tenhour("log").err


@pytest.mark.parametrize("what", ["undo", "edit", "import"])
def test_killed_at_the_last_moment_nothing_is_lost(folder: Path, monkeypatch: pytest.MonkeyPatch, what: str) -> None:
    path = folder / "sown.csv"
    path.write_text(OLD, encoding="utf-8")

    def killed(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    for name in ("rename", "replace", "link"):
        monkeypatch.setattr(os, name, killed)
    new = [LogLine(date(2021, 9, 7), "sown", "chard", "back")]
    with pytest.raises(KeyboardInterrupt):
        {"undo": lambda: undo_log(path), "edit": lambda: edit_log(path, 1, {"note": "wet"}),
         "import": lambda: import_log(path, new)}[what]()  # fmt: skip
    assert path.read_text("utf-8") == OLD


def test_a_number_that_is_not_there_is_refused(folder: Path) -> None:
    (folder / "sown.csv").write_text(OLD, encoding="utf-8")
    assert "1 to 2" in tenhour("log", "edit", "7", "--bed", "back").err
    assert "nothing to change" in tenhour("log", "edit", "1").err
    assert "nothing" in tenhour("log", "edit").err
    with pytest.raises(FileProblem, match="a line from 1 to 2"):
        edit_log(folder / "sown.csv", 3, {"bed": "back"})
    assert (folder / "sown.csv").read_text("utf-8") == OLD


def test_notes_with_line_ends_from_a_spreadsheet_stay_with_their_line(folder: Path) -> None:
    text = 'date,what,crop,note\r\n2021-09-01,sown,kale,"one\r\ntwo"\r\n2021-09-02,sown,chard,\r\n'
    (folder / "sown.csv").write_bytes(text.encode())
    undo_log(folder / "sown.csv")
    assert [line.crop for line in read_log(folder / "sown.csv")] == ["kale"]
    edit_log(folder / "sown.csv", 1, {"bed": "front"})
    (line,) = read_log(folder / "sown.csv")
    assert (line.crop, line.bed, line.note) == ("kale", "front", "one two")


def test_five_hundred_rows_are_read_in_a_moment(folder: Path) -> None:
    """Growth of what stands takes seconds whatever the rows; the rows themselves take none of them."""
    began = date(2020, 1, 1)
    lines = [LogLine(began + timedelta(days=n), "sown", "spinach", "back") for n in range(250)]
    lines += [LogLine(began + timedelta(days=n + 60), "harvested", "spinach", "back", fresh_g=9.0) for n in range(250)]
    (folder / "sown.csv").write_text(export_text(lines), encoding="utf-8")
    start = time.process_time()
    found = read_log(folder / "sown.csv")
    assert len(sowings(found, date(2021, 6, 1))) == 250
    standing(found, date(2021, 6, 1))
    assert time.process_time() - start < 10.0  # a hundred times what it takes
    assert line_text(found[0]) == line_text(lines[0])


def test_a_slip_of_the_pen_is_told_at_once(folder: Path) -> None:
    """More than the bed is refused; what does not stand is noted with a question; export says what to do."""
    done = tenhour("log", "sown", "radish", "--bed", "front", "--area", "40")
    assert done.status == 2
    assert "--area: found 40.00 m² on front; allowed: at most its" in done.err
    assert not (folder / "sown.csv").exists()
    assert tenhour("log", "sown", "radish", "--bed", "front", "--area", "0.5").status == 0
    assert tenhour("log", "edit", "1", "--area", "40").status == 2
    assert "stands by the log" not in tenhour("log", "ready", "radish").err
    done = tenhour("log", "harvested", "leek")
    assert done.status == 0
    assert "No leek stands by the log on" in done.err
    assert tenhour("log", "export", "out.csv").status == 0
    done = tenhour("log", "export", "out.csv")
    assert done.status == 2
    assert "Name another file" in done.err
