"""Every option of every command does something: a row per option, and an option without a row fails.

Rows of four kinds: runs made here, with what must move and which way; options that commands share and that refuse
nonsense by their own name before anything is traced; options whose effect another test shows, which must name the
command and the option; and, in words, why no number need move. Directions are those of the guide.
"""

# ruff: noqa: E501 - one row, one line

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from helpers_cli import tenhour
from helpers_fuzz import seeds
from helpers_long import many
from helpers_once import build_once, few_winters
from helpers_options import HOUSE, commands

TESTS = Path(__file__).parents[1]


@dataclass(frozen=True)
class Run:
    """One call with and without the option: the JSON path that moves and between which factors; None: what is printed."""

    base: str
    added: str
    path: str | None = None
    low: float | None = None
    high: float | None = None


NEW = "new --lat 48 --lon 16 --elev 200 --shape lean-to -o new.toml"
RAISE = "sow --on 2027-02-20 --crop tomato-plants --raise-dli 10"
SET_OUT = "beds.0.crops.0.raising.set_out"
LAMPS = "lamps front --crop kale"
WHY = "why leaf-lettuce --sown 2027-01-05 --seen 2027-02-10"
COLD = "heat --tonight -9"
RUNS: dict[tuple[str, str], Run] = {
    ("light", "spread"): Run("light", "--spread"),
    ("light", "months"): Run("light", "--months"),
    ("light", "on"): Run("light", "--on 2027-06-21", "day.outdoor.dli_mol_m2_d"),
    ("light", "map"): Run("light", "--map front", "map.dli_mol_m2_d"),
    ("new", "output"): Run(NEW, "-o other.toml"),
    ("new", "length"): Run(NEW, "--length 7"),
    ("new", "width"): Run(NEW, "--width 2.2"),
    ("new", "eaves"): Run(NEW.replace("lean-to", "gable"), "--eaves 2.1"),
    ("new", "ridge"): Run(NEW.replace("lean-to", "gable"), "--ridge 3.1"),
    ("new", "front"): Run(NEW, "--front 1.4"),
    ("new", "back"): Run(NEW, "--back 2.9"),
    ("new", "faces"): Run(NEW, "--faces SW"),
    ("new", "azimuth"): Run(NEW, "--azimuth 120"),
    ("new", "cover"): Run(NEW, "--cover multi-wall-16"),
    ("new", "opaque"): Run(NEW, "--opaque east"),
    ("new", "window"): Run(NEW, "--opaque east --window east,0.2,0.5,0.8,0.8"),
    ("new", "bed"): Run(NEW, "--bed mine,0.2,0.2,1.5,0.6"),
    ("new", "snow"): Run(NEW, "--snow 12,1,2"),
    ("new", "day"): Run(NEW, "--day 14"),
    ("new", "people"): Run(NEW, "--people 3"),
    **{
        ("new", option): Run(f"{NEW} --people 3", f"--{option} {said}")
        for option, said in {
            "from": "oct-15",
            "until": "april",
            "meals": "salad=5,roots=1",
            "likes": "spinach,kale",
            "leave-out": "arugula",
            "animals": "4-hens",
            "may-buy": "lamp,tray",
            "budget": "90EUR",
        }.items()
    },
    ("new", "night"): Run(NEW, "--night 6"),
    ("new", "name"): Run(NEW, "--name mine"),
    ("new", "shape"): Run(NEW, "--shape box"),
    ("new", "lat"): Run(NEW, "--lat 47"),
    ("new", "lon"): Run(NEW, "--lon 15"),
    ("new", "elev"): Run(NEW, "--elev 350"),
    ("new", "units"): Run(NEW, "--units us"),
    ("sow", "raise-dli"): Run(RAISE, "--raise-dli 4", SET_OUT),
    ("sow", "raise-hours"): Run(RAISE, "--raise-hours 8", SET_OUT),
    ("sow", "raise-day"): Run(RAISE, "--raise-day 15", SET_OUT),
    ("sow", "raise-night"): Run(RAISE, "--raise-night 11", SET_OUT),
    ("sow", "raise-bed"): Run(RAISE, "--raise-bed front", "beds.0.crops.0.raising.nursery"),
    ("lamps", "headroom"): Run(LAMPS, "--headroom 0.4", "knee.3.energy_kwh", 0.9, 0.999),
    ("lamps", "even"): Run(LAMPS, "--even 0.5", "power_w", 0.5, 0.999),
    ("lamps", "breaker"): Run(LAMPS, "--breaker 6", "circuit.allowed_a", 0.37, 0.38),
    ("lamps", "windows"): Run(
        f"{LAMPS} --hours 12 --price 0.90;5-9=0.10;16-22=0.10", "--windows 1", "ladder.1.cost_season", 1.1, 3.0
    ),
    ("why", "lamp-dli"): Run(f"{WHY} --lamp white-led", "--lamp-dli 8", "causes.1.share_frac"),
    ("why", "lamp-hours"): Run(f"{WHY} --lamp white-led", "--lamp-hours 6", "had.lit_h", 0.5, 0.8),
    ("why", "dark-days"): Run(WHY, "--dark-days 3", "high_score"),
    ("why", "late-days"): Run(WHY, "--late-days 10", "high_score"),
    ("why", "leaves"): Run(WHY, "--leaves 7", "stage"),
    ("why", "brushed"): Run(WHY, "--brushed", "had.brushing_frac"),
    ("heat", "sky"): Run(COLD, "--sky overcast", "tonight.heat_kwh", 0.5, 0.99),
    ("heat", "wind"): Run(COLD, "--wind windy", "tonight.heat_kwh", 1.005, 2.0),
    ("heat", "places"): Run("heat", "--places"),
    ("heat", "all"): Run("heat", "--all"),
}
SHARED = {
    "crops": "missing-folder",
    "lat": "91",
    "lon": "181",
    "elev": "x",
    "place": "no such town",
    "house": "missing.toml",
    "units": "parsecs",
    "dates": "never",
}
"""Options that commands share, each with nonsense that must be refused by its name."""
ON_EVERY_ANSWER = {
    "json": "the answer as data, by one function (tests/model, tests/pinned)",
    "csv": "its rows, by one function (tests/rules, tests/cli/test_report.py)",
    "cautions": "every caution, by one function (tests/cli/test_screen.py)",
}
SEEN = {
    ("week", "year/test_so_far.py"): "on",
    ("light", "cli/test_answers.py"): "map",
    ("light", "cli/test_learn.py"): "on",
    ("light", "cli/test_report.py"): "plot force",
    ("light", "cli/test_screen.py"): "months",
    ("light", "year/test_same_house.py"): "brighter",
    ("sow", "cli/test_answers.py"): "month",
    ("sow", "cli/test_learn.py"): "on",
    ("sow", "cli/test_report.py"): "bed lamps",
    ("sow", "files/test_versions.py"): "all",
    ("sow", "year/test_hung_lamps.py"): "crop",
    ("season", "cli/test_answers.py"): "crop every meals",
    ("season", "cli/test_report.py"): "bed ics lamps plot force",
    ("season", "cli/test_week.py"): "from all",
    ("lamps", "cli/test_lamps.py"): "crop lamp intensities hours harvest price volts others shelf tiers",
    ("lamps", "cli/test_lamps_ladder.py"): "worth rung",
    ("lamps", "cli/test_lamps_own.py"): "own",
    ("lamps", "cli/test_lamps_household.py"): "budget plants",
    ("lamps", "cli/test_lamps_radiance.py"): "dli panels",
    ("lamps", "cli/test_report.py"): "bed map",
    ("lamps", "cli/test_week.py"): "from all",
    ("lamps", "year/test_hung_lamps.py"): "keep",
    ("lamps", "year/test_same_house.py"): "to",
    ("feed", "year/test_feed.py"): "on every seconds all",
    ("feed", "year/test_feed_living.py"): "people week keep ics sheet plot force",
    ("heat", "cli/test_heat.py"): "tonight cut",
    ("heat", "year/test_so_far.py"): "on",
    ("report", "cli/test_report.py"): "pdf bed lamps price force",
    ("report", "cli/test_words.py"): "on",
    ("report", "year/test_hung_lamps.py"): "crop lamp",
    ("why", "cli/test_report.py"): "bed",
    ("why", "cli/test_why.py"): "sown seen up dli day-c night-c density lamp looks log all",
    ("read", "cli/test_read.py"): "light meters unit zone date-order keep",
    ("read", "cli/test_words.py"): "bed",
    ("log", "cli/test_learn.py"): "on plants because of",
    ("log", "cli/test_log.py"): "density grams note log",
    ("log", "cli/test_log_more.py"): "area variety",
    ("log", "cli/test_words.py"): "bed",
    ("learn", "cli/test_learn.py"): "log from keep forget on",
    ("atlas", "atlas/test_places.py"): "box places outline country step ask crop draws workers chunk grid force",
    ("weather judge", "cli/test_weather.py"): "stamp",
    ("weather fetch", "cli/test_weather.py"): "from years again write tries",
    ("weather fetch", "files/test_fetch_days.py"): "since into",
}
"""Options whose effect another test shows, by command and file."""
SAID = {
    (
        "season",
        "raise-bed raise-dli raise-hours raise-day raise-night",
    ): "the nursery of sow, read by the same function",
    (
        "season",
        "last-frost",
    ): "the day itself is printed and dates of the garden hang on it (tests/plan/test_season.py)",
    ("lamps", "spectrum"): "where photons are given it only bounds them (tests/files/test_lamp.py)",
    ("feed", "seeds shelf"): "which part of the plan is printed",
    ("heat", "helps"): "which part is printed, and pairs of measures (tests/cli/test_heat.py, slow)",
    ("report", "output"): "the name of the page",
    ("report", "volts"): "as for lamps",
    ("new", "place"): "looked up like everywhere (tests/files)",
    ("new", "force"): "whether a file may be replaced (tests/robust)",
    ("why", "crop"): "the crop, which may stand bare as well",
    ("open", "port no-browser share idle"): "how the page is served (tests/open/test_server.py)",
    ("atlas", "folder"): "where files go",
    ("atlas", "scheduler winters"): "how and how finely it is worked out",
    ("weather judge", "trust"): "lets pass what is refused (tests/year/test_weather_judged.py)",
    ("weather fetch", "timeout"): "how long one waits",
}


def _options(command: Any) -> list[str]:
    found = [p for p in command.params if p.param_type_name == "option" and "--help" not in p.opts]
    return [next(name for name in p.opts if name.startswith("--")).lstrip("-") for p in found]


def _rows() -> set[tuple[str, str]]:
    listed = {(name, option) for (name, _), options in SEEN.items() for option in options.split()}
    listed |= {(name, option) for (name, options) in SAID for option in options.split()}
    return listed | set(RUNS)


def test_every_option_of_every_command_has_a_row() -> None:
    everywhere = set(SHARED) | set(ON_EVERY_ANSWER)
    every = {(name, option) for name, command in commands().items() for option in _options(command)}
    assert not sorted((n, o) for n, o in every if (n, o) not in _rows() and o not in everywhere)
    assert not sorted(_rows() - every), "rows of options that are gone"


@pytest.mark.parametrize(("name", "file"), list(SEEN), ids=lambda part: part.replace("/", " "))
def test_the_other_test_asks_with_that_option(name: str, file: str) -> None:
    text = (TESTS / file).read_text(encoding="utf-8")
    assert name.split()[0] in text
    assert not [option for option in SEEN[name, file].split() if f"--{option}" not in text]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "house.toml").write_text(HOUSE, encoding="utf-8")
    (tmp_path / "readings.csv").write_bytes(seeds("readings")[0])
    monkeypatch.chdir(tmp_path)
    build_once(monkeypatch)
    few_winters(monkeypatch)
    return tmp_path


APART = {"open", "new"}
"""The page is served, and the questions of new take the words as answers."""
LEAST = {
    "light": [], "sow": [], "season": [], "lamps": ["front", "--crop", "kale"], "feed": [], "heat": [], "crops": [], "report": [], "week": [],
    "new": ["--shape", "box", "-o", "new.toml"], "check": [], "why": ["leaf-lettuce", "--sown", "2027-01-05"], "read": ["readings.csv"],
    "log": ["sown", "kale"], "open": ["--no-browser", "--idle", "0.001"], "learn": [], "weather judge": ["weather.csv"],
    "weather fetch": ["--no-write"], "atlas": ["--ask", "light", "-o", "region", "--workers", "0", "--box", "51,12,52,13", "--step", "1"],
}  # fmt: skip


@pytest.mark.parametrize(
    ("name", "option"),
    [
        (name, option)
        for name, command in commands().items()
        for option in _options(command)
        if option in SHARED and name not in APART
    ],
)
def test_nonsense_is_refused_by_the_options_name(folder: Path, name: str, option: str) -> None:
    done = tenhour(*name.split(), *LEAST[name], f"--{option}", SHARED[option])
    assert done.status == 2, done.out
    assert option in done.err or SHARED[option] in done.err


_SAID: dict[str, Any] = {}


def _once(words: str, folder: Path) -> Any:
    """What a call says that changes no file, asked once."""
    if words.startswith("new"):
        return _said(words, folder)
    if words not in _SAID:
        _SAID[words] = _said(words, folder)
    return _SAID[words]


def _said(words: str, folder: Path) -> Any:
    done = tenhour(*words.split(), *([] if words.startswith("new") else ["--json"]))
    assert done.status in (0, 1), done.err
    written = [
        path.name + path.read_text(encoding="utf-8")
        for path in sorted(folder.glob("*.toml"))
        if path.name != "house.toml"
    ]
    for path in folder.glob("*.toml"):
        if path.name != "house.toml":
            path.unlink()
    return written or json.loads(done.out)


def _at(answer: Any, path: str) -> Any:
    for step in path.split("."):
        answer = (
            answer[int(step)] if isinstance(answer, list) else answer.get(step) if isinstance(answer, dict) else None
        )
    return answer


@pytest.mark.parametrize(("name", "option"), many(list(RUNS)[::2], list(RUNS)))
def test_the_option_moves_what_the_guide_says(folder: Path, name: str, option: str) -> None:
    row = RUNS[name, option]
    if row.path is None and name != "new":
        before, after = (tenhour(*words.split()).out for words in (row.base, f"{row.base} {row.added}"))
    else:
        before, after = _once(row.base, folder), _said(f"{row.base} {row.added}", folder)
    if row.path is not None:
        before, after = _at(before, row.path), _at(after, row.path)
        assert before is not None or after is not None, row.path
    assert after != before, f"{row.path} stays {before}"
    if row.low is not None and row.high is not None:
        assert row.low <= after / before <= row.high, f"{row.path}: {before} -> {after}"
