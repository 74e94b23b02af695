"""learn on the command line: what a log teaches, and that every answer then uses it."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from helpers_cli import tenhour
from helpers_long import many
from helpers_schema import schema_faults
from helpers_world import PLAIN
from tenhour.files.log import read_log
from tenhour.model.log import sowings

HOUSE = PLAIN.format(
    lat=48.0, lon=16.0, elev=200, zone="Europe/Vienna", azimuth=90.0, faces="", cover="glass-1",
    air="day_set_degc = 14\nnight_set_degc = 8",
)  # fmt: skip
SOWN = (date(2025, 8, 20), date(2026, 2, 5), date(2026, 2, 25))


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "house.toml").write_text(HOUSE + "\n# my own remark\n", encoding="utf-8")
    return tmp_path


def answer(*arguments: str) -> Any:
    done = tenhour(*arguments, "--json")
    assert done.status == 0, done.err
    return json.loads(done.out)


def model_days(on: date) -> float:
    """Days of the model from one sowing, as learn itself counts them."""
    text = f"date,what,crop,bed\n{on.isoformat()},sown,romaine,front\n{on + timedelta(days=70)},ready,romaine,front\n"
    Path("probe.csv").write_text(text, encoding="utf-8")
    found = answer("learn", "--log", "probe.csv", "--on", (on + timedelta(days=80)).isoformat())
    assert found["rows_count"] == 1
    ahead = answer("sow", "--on", on.isoformat(), "--crop", "romaine")
    return float(ahead["beds"][0]["crops"][0]["days_median"])


def write_log(late: float) -> None:
    lines = ["date,what,crop,bed"]
    for on in SOWN:
        lines.append(f"{on.isoformat()},sown,romaine,front")
        lines.append(f"{(on + timedelta(days=round(late * model_days(on)))).isoformat()},ready,romaine,front")
    Path("sown.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


def test_a_slow_grower_is_learned_kept_used_and_forgotten(folder: Path) -> None:
    before = answer("sow", "--on", "2026-08-20", "--crop", "romaine")["beds"][0]["crops"][0]
    write_log(1.2)
    found = answer("learn", "--on", "2026-08-01")
    assert schema_faults("learn", found) == []
    assert (found["rows_count"], found["winters_count"]) == (3, 1)
    growth = next(one for one in found["factors"] if one["factor"] == "growth" and one["crop"] == "romaine")
    assert growth["low"] < growth["value"] < 0.97
    assert all(one["days_after"] > one["days_before"] for one in found["effects"])
    assert "Romaine grows" in tenhour("learn", "--on", "2026-08-01").out
    assert (folder / "house.toml").read_text(encoding="utf-8") == HOUSE + "\n# my own remark\n"

    assert answer("learn", "--on", "2026-08-01", "--keep")["kept_in"].endswith("house.toml")
    text = (folder / "house.toml").read_text(encoding="utf-8")
    for kept in ("# my own remark", "[learned.crop.romaine]", "kept = 2026-08-01"):
        assert kept in text
    after = answer("sow", "--on", "2026-08-20", "--crop", "romaine")
    assert after["beds"][0]["crops"][0]["days_median"] > before["days_median"]
    assert "Growth as your own log has it (3 sowings, kept 2026-08-01)." in after["assumptions"]
    few = many(("--crop", "romaine"), ())
    for command in (("sow", "--on", "2026-08-20", *few), ("season", "--from", "2026-08-20", *few),
                    ("week", "--on", "2026-08-20"), ("log", "--on", "2026-03-01")):  # fmt: skip
        assert "Growth as your own log has it" in " ".join(tenhour(*command).out.split())

    again = answer("learn", "--on", "2026-08-01")  # old rows through the model without what it has learned
    assert again["factors"] == found["factors"]
    forgot = tenhour("learn", "--forget", "romaine", "--on", "2026-08-01")
    assert forgot.status == 0
    assert "what the log taught of romaine is taken out" in forgot.err
    assert "[learned.crop" not in (folder / "house.toml").read_text(encoding="utf-8")
    assert tenhour("learn", "--forget", "all", "--on", "2026-08-01").status == 0
    assert (folder / "house.toml").read_text(encoding="utf-8") == HOUSE + "\n# my own remark\n"


def test_what_cannot_teach_is_left_out_with_its_reason() -> None:
    rows = [
        "2025-09-06,sown,baby-lettuce,front,,", "2025-10-20,harvested,baby-lettuce,front,,",
        "2025-09-06,sown,romaine,attic,,", "2025-10-30,cleared,romaine,attic,eaten,", "2025-09-06,sown,spinach,front,,",
        "2025-11-01,cleared,spinach,front,frost,", "2025-10-06,sown,pea-shoots,front,,",
    ]  # fmt: skip
    Path("sown.csv").write_text("date,what,crop,bed,because,note\n" + "\n".join(rows) + "\n", encoding="utf-8")
    found = answer("learn", "--on", "2026-08-01")
    assert found["rows_count"] == 0
    because = {(one["crop"], one["bed"]): one["because"] for one in found["left_out"]}
    assert "length" in because["baby-lettuce", "front"]
    assert "no bed" in because["romaine", "attic"]
    assert "frost" in because["spinach", "front"]
    assert "warmth" in because["pea-shoots", "front"]
    assert tenhour("learn", "--keep", "--on", "2026-08-01").status == 1


def test_bad_lessons_and_bad_wishes_get_one_line(folder: Path) -> None:
    assert tenhour("learn", "--keep", "--forget", "all").status == 2
    assert "nothing learned" in tenhour("learn", "--forget", "kale").err or "something learned" in tenhour(
        "learn", "--forget", "kale"
    ).err  # fmt: skip
    (folder / "house.toml").write_text(HOUSE + "\n[learned]\ngrowth = [1.0, 1.2, 1.4]\n", encoding="utf-8")
    done = tenhour("light")
    assert done.status == 2
    assert "learned.growth" in done.err
    assert "[middle, low, high]" in done.err


def test_rows_before_the_house_was_changed_teach_nothing(folder: Path) -> None:
    write_log(1.2)
    late = answer("learn", "--on", "2026-08-01", "--from", "2026-01-01")
    assert late["rows_count"] == 2
    (folder / "house.toml").write_text(HOUSE + "\n[learned]\nfrom = 2026-02-10\n", encoding="utf-8")
    assert answer("learn", "--on", "2026-08-01")["rows_count"] == 1
    assert answer("learn", "--on", "2026-08-01", "--keep")["rows_count"] == 1
    assert "from = 2026-02-10" in (folder / "house.toml").read_text(encoding="utf-8")


def test_an_old_log_gains_the_columns_a_line_needs_and_keeps_its_rows(folder: Path) -> None:
    old = 'date,what,crop,bed,plants_per_m2,fresh_g,note\n2021-09-01,sown,kale,front,9,,"a, b"\n'
    (folder / "sown.csv").write_text(old, encoding="utf-8")
    done = tenhour(
        "log", "cleared", "kale", "--bed", "front", "--because", "frost", "--of", "2021-09-01", "--on", "2021-12-01"
    )  # fmt: skip
    assert done.status == 0, done.err
    assert (folder / "sown.csv").read_text(encoding="utf-8").splitlines()[1] == old.splitlines()[1]
    (sowing,) = sowings(read_log(folder / "sown.csv"), date(2022, 1, 1))
    assert (sowing.cleared, sowing.because, sowing.plants_per_m2) == (date(2021, 12, 1), "frost", 9.0)
    assert tenhour("log", "sown", "kale", "--because", "frost").status == 2
    assert tenhour("log", "cleared", "kale", "--because", "wolves").status == 2
    done = tenhour(
        "log", "sown", "kale", "--area", "20 sq ft", "--variety", "red", "--plants", "12", "--on", "2021-09-01"
    )
    assert done.status == 0, done.err
    assert read_log(folder / "sown.csv")[-1].area_m2 == pytest.approx(1.858, abs=0.001)
