"""Broken files of every kind, and what must hold of each: a correct answer or clear lines, nothing else."""

from __future__ import annotations

import io
import json
import random
import re
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

from tenhour.errors import FileProblem, NoAnswer, OutOfRange

ROOT: Final = Path(__file__).parents[1]
LONGEST_LINE: Final = 3000
"""A list of all towns or crops to choose from may be long; a dump of the input may not stand in a line."""
MOST_LINES: Final = 6000

ODD_NUMBERS: Final = (
    "0", "-0.0", "-1", "1e308", "-1e308", "1e400", "1e-320", "nan", "inf", "-inf", "1" * 400, "1" * 6000, "0x7fffffff",
    "9007199254740993", "2147483648", "1_000", "1__0", "+5", "05", ".5", "5.", "1,5", "1e", "1e99999", "٣", "½", "−3",
    "1979-05-27", "2026-02-30", "0001-01-01T00:00:00Z", "07:32:00", "9999-12-31T23:59:60+99:99", "9999-12-31 24:00",
    "0001-01-01 00:00+14:00", "2027-03-28 02:30", "2262-04-12 00:00",
)  # fmt: skip
ODD_VALUES: Final = (
    "true", "[]", "{}", "[[]]", '""', "''", '"""', '"9 ft"', '"68 F"', '"9 parsecs"', '"\\u0000"', '"\\ud800"',
    '"\\u202e"', '"../../etc/passwd"', '"/dev/zero"', '"/dev/stdin"', '"CON"', '"' + "x" * 5000 + '"', "[1, [2, [3]]]",
    "{ a = { b = 1 } }", '"=1+1"', '"<script>"', '"{0.__class__}"', '"%s%n"', '"\\u001b[31m"', "[" * 50 + "]" * 50,
    "[" + "1," * 3000 + "]", '"house.toml"', '"."', '"\\n"', '"\\r"',
)  # fmt: skip
ODD_BYTES: Final = (
    b"\0", b"\xff", b"\xc3", b"\r", b"\n", b"\t", b'"', b"'", b"[", b"]", b"{", b"}", b"=", b"#", b",", b";", b".",
    b"\x1b[2J", b"\x85", "\u2028".encode(), "\u202e".encode(), "🌱".encode(), b"\xed\xa0\x80", b"\x7f", b"\\", b"\x0c",
)  # fmt: skip
ODD_STAMPS: Final = (
    "9999-12-31 24:00", "9999-12-31 23:59", "9999-12-31", "0001-01-01", "0001-01-01 00:00+14:00", "1677-09-21 00:12",
    "2262-04-12 00:00", "2027-03-28 02:30", "2027-10-31 02:30", "2028-02-29 24:00", "2027-02-29", "29.02.2028 00:00",
    "31/12/9999 23:59", "01/13/2027", "2027-01-01T00:00:60Z", "2027-01-01 00:00 -14:00", "0", "46000.5", "1e18", "",
    "2027-W01-1", "20270101", "2027-1-1 9:5", "12/31/99 11:59 PM", "Jan 5 2027", "1900-01-00", "2200-12-31 23:59",
)  # fmt: skip
ENCODINGS: Final = ("utf-8-sig", "utf-16", "utf-16-le", "utf-32", "latin-1", "cp1252", "cp037", "shift_jis")


@cache
def seeds(room: str) -> tuple[bytes, ...]:
    """Good files of a room."""
    return tuple(text.encode() if isinstance(text, str) else text for text in SEEDS[room]())


def _houses() -> list[str]:
    paths = [
        ROOT / "src" / "tenhour" / "_data" / "demo-house.toml",
        *sorted((ROOT / "tests/files/good").glob("*.toml")),
    ]
    return [
        *(path.read_text("utf-8") for path in paths),
        (ROOT / "tests/files/good/least.toml").read_text("utf-8") + LIVED_IN,
    ]


LIVED_IN: Final = """
[[lamps]]
bed = "bed 1"
kind = "led-bar"
count = 4
height_m = 0.4
clock = ["05:00-09:00", "16:00-20:00"]
burn_from = "10-10"
burn_to = "03-05"

[heat]
leak = "tight"
wind = "open"
edge = "board"
paths = "paved"
loss_factor = 1.1

[[store]]
name = "drum"
litres = 200
at_m = [2.6, 2.2, 0]
size_m = [0.6, 0.6, 0.9]

[curtain]
faces = ["walls"]
kind = "night-curtain"
closes = "dusk"

[[heater]]
kind = "stove"
power_w = 4000
flue_mm = 120
efficiency_frac = 0.65
price = 0.08

[[mat]]
bed = "bed 1"
set_degc = 20
power_w_m2 = 70
months = [1, 2, 3]

[nursery]
name = "kitchen shelf"
lamp_h = 14
lamp_ppfd_umol_m2_s = 120
day_degc = 19
night_degc = 16
size_m = [1.2, 0.5]

[household]
people = 3
from = "2026-10-01"
to = "2027-05-31"
meals = { salad = 4, cooked = 2, herbs = 3 }
portions_g = { salad = 70 }
likes = ["spinach", "romaine", "kale"]
leave_out = ["leek"]
surety = 0.8
work_h_week = 6
work_worth = "6 EUR"
most_sowings = 40
budget = 300
rest_weeks = 20
may_buy = ["lamp", "cover", "tray"]
price_kg = 9

[[household.animal]]
kind = "hen"
count = 4
greens_g_d = 40

[learned]
kept = 2026-11-28
from = 2026-10-01
sowings = 5
growth = [0.96, 0.86, 1.07]
weighings = 2
yield = [1.10, 0.80, 1.50]

[learned.crop.spinach]
sowings = 3
growth = [0.93, 0.85, 1.02]
"""


def _crops() -> list[str]:
    return [path.read_text("utf-8") for path in sorted((ROOT / "crops").glob("*.toml")) if path.name != "sources.toml"]


def _weather() -> list[str]:
    import numpy as np

    import helpers_weather as made

    truth = made.made_up()
    years = np.asarray(truth.starts.year)
    return [
        made.epw(truth), made.tmy3(truth), made.tmy2(truth), made.pvgis_hourly_csv(truth.utc()),
        made.pvgis_hourly_json(truth.utc()), made.pvgis_tmy_csv(truth.utc(), years),
        made.pvgis_tmy_json(truth.utc(), years), made.power_json(truth, "daily"), made.power_csv(truth),
        made.power_csv(truth, "daily", by_doy=True), made.plain(truth),
        made.plain(truth, stamp="%d.%m.%Y %H:%M").replace(",", ";"),
    ]  # fmt: skip


def _readings() -> list[str]:
    pairs = "time,place,lux\n" + "".join(
        f"2027-01-{day} {hour:02d}:{minute:02d},{place},{lux}\n"
        for day in (12, 15)
        for hour in range(9, 15)
        for minute, place, lux in ((0, "outside", 9000), (1, "front", 4000))
    )
    warm = "date,place,min_degc,max_degc\n" + "".join(
        f"2027-01-{day:02d},front,{day % 3},{15 + day % 4}\n" for day in range(5, 29)
    )
    wide = "Logger 7\nserial;12\nDate;Time (UTC+01:00);front lux;outside lux;air (°F)\n" + "".join(
        f"{day:02d}.01.2027;{hour:02d}:{minute:02d};{400 + hour},5;{900 + minute},0;4{hour % 10},5\n"
        for day in range(3, 9)
        for hour in range(24)
        for minute in (0, 30)
    )
    cells = (
        "date,time,x_m,y_m,value,unit,light\n2027-01-15,12:00,,,9000,lux,daylight\n2027-01-15,12:01,0.5,0.5,70,PPFD,\n"
    )
    return [pairs, warm, wide, cells]


def _logs() -> list[str]:
    head = "date,what,crop,bed,plants_per_m2,fresh_g,note\n"
    body = "2026-09-01,sown,spinach,front,,,\n2026-10-12,harvested,lettuce,back,,320,first\n"
    body += "2026-11-01,sown,land-cress,front,,,x\n"
    return [head + body, (head + body).replace(",", ";"), head + "13/11/2026,cleared,land-cress,,,,\n"]


def _lamps() -> list[str]:
    bar = "power_w = 40\nppf_umol_s = 104\nlength_m = 1.15\n"
    return [
        f'schema = 1\n[lamp]\nname = "bar"\n{bar}beam_deg = 120\ndimmable = true\n',
        'schema = 1\n[lamp]\nlike = "led-bar"\npower_w = 40\n',
        'schema = 1\n[lamp]\nname = "tube"\npower_w = 36\nflux_lm = 3350\nkelvin = 4000\n',
        'schema = 1\n[lamp]\nphotometry = "lamp.ies"\nspectrum = "white-led"\nintensities = "photon"\n',
    ]


def _luminaires() -> list[str]:
    from helpers_lamps import lambert_lm63

    return [
        lambert_lm63(100.0),
        lambert_lm63(100.0, 2.0, 10.0, "0 45 90"),
        "IESNA:LM-63-1995\n[TEST] none\nTILT=INCLUDE\n1\n3\n0 45 90\n1 .9 .8\n"
        "1 -1 1 3 1 1 2 0.1 0.5 0\n1 1 50\n0 45 90\n0\n10 8 0\n",
    ]


def _plans() -> list[str]:
    """Plans of a household as they are kept; the fields that are read back, and some that are not."""
    sowing = {"crop": "spinach", "bed": "front", "sow": "2026-09-01", "raise": False, "area_m2": 1.25,
              "clear_by": "2026-12-01", "why": "salad"}  # fmt: skip
    tray = {"crop": "pea-shoots", "bed": "shelf", "sow": "2026-12-05", "trays_count": 0.75, "cut_to": "2026-12-24"}
    lack = {"start": "2026-12-07", "wish": "salad", "missing_count": 1.5}
    plan = {"command": "feed", "surety_frac": 0.8, "sowings": [sowing, sowing | {"crop": "kale", "raise": True}],
            "trays": [tray], "missing": [lack], "proof": {"mark": "ab12", "bound": 12.5, "season_frac": 0.8}}  # fmt: skip
    bare = {"command": "feed", "sowings": [], "trays": [], "missing": []}
    return [json.dumps(plan, indent=1), json.dumps(bare), json.dumps(plan | {"proof": None})]


def _places() -> list[str]:
    return [
        "place,latitude_deg,longitude_deg,elevation_m\nfirst,57.9,-5.2,100\nsecond,60.2,24.9,\nthird,-45.9,170.5,12\n",
        "latitude_deg,longitude_deg\n47.5,8.5\n41.3,-73.9\n",
    ]


def _outlines() -> list[str]:
    ring = [[8.0, 41.0], [22.0, 41.0], [22.0, 57.5], [8.0, 57.5], [8.0, 41.0]]
    shape = {"type": "Polygon", "coordinates": [ring]}
    whole = {"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {}, "geometry": shape}]}
    many = {"type": "MultiPolygon", "coordinates": [[ring], [[[x + 20.0, y] for x, y in ring]]]}
    return [json.dumps(shape), json.dumps(whole, indent=1), json.dumps(many)]


def _days() -> list[str]:
    rows = "".join(
        f"2026-{month:02d}-{day:02d},{3 + day % 7}.{day % 10},{day % 9 - 2}\n"
        for month in (10, 11)
        for day in range(1, 29)
    )
    return [
        "date,dli_mol_m2_d,temp_degc\n" + rows,
        "date,dli_mol_m2_d\n" + "".join(f"{row.rpartition(',')[0]}\n" for row in rows.splitlines()),
    ]


def _grids() -> list[bytes]:
    """Monthly means on a grid, as NetCDF 4."""
    import h5py

    out = []
    for light, air in (
        (("ghi_w_m2", "W m-2", 1.0), ("temp_degc", "degC", 4.0)),
        (("rsds", "J m-2", 86_400.0), ("tas", "K", 276.0)),
    ):
        stream = io.BytesIO()
        with h5py.File(stream, "w") as file:
            axes = {"month": range(12), "lat": (57.0, 58.0), "lon": (-5.0, -4.0, -3.0)}
            for name, values in axes.items():
                file[name] = [float(value) for value in values]
                file[name].make_scale(name)
            for (name, unit, value), standard in zip((light, air), (STANDARD_LIGHT, STANDARD_AIR), strict=True):
                shares = NORTH_LIGHT_W_M2 if standard == STANDARD_LIGHT else (1.0,) * 12
                file[name] = [[[value * share] * 3] * 2 for share in shares]
                file[name].attrs.update({"units": unit, "standard_name": standard})
                for number, axis in enumerate(axes):
                    file[name].dims[number].attach_scale(file[axis])
        out.append(stream.getvalue())
    return out


STANDARD_LIGHT: Final = "surface_downwelling_shortwave_flux_in_air"
NORTH_LIGHT_W_M2: Final = (12.0, 35.0, 80.0, 140.0, 190.0, 200.0, 190.0, 150.0, 95.0, 50.0, 18.0, 9.0)
"""Such months as 57 N may have, so that a grid gets past the reader."""
STANDARD_AIR: Final = "air_temperature"


@cache
def _zarr_folders() -> tuple[dict[str, bytes], ...]:
    """The same grids as folders of Zarr, of format 2 and of format 3, by the names of the files in them."""
    import tempfile

    import xarray as xr

    out = []
    with tempfile.TemporaryDirectory(prefix="grids-") as name:
        for number, (data, form) in enumerate(zip(_grids(), (2, 3), strict=True)):
            (Path(name) / "grid.nc").write_bytes(data)
            folder = Path(name) / str(number)
            with xr.open_dataset(Path(name) / "grid.nc", engine="h5netcdf") as found:
                found.to_zarr(folder, zarr_format=form, consolidated=form == 2)
            files = (path for path in sorted(folder.rglob("*")) if path.is_file())
            out.append({str(path.relative_to(folder)): path.read_bytes() for path in files})
    return tuple(out)


def _zarrs() -> list[bytes]:
    """One file of such a folder each, below a line that says which: what describes it is there more often."""
    out = []
    for number, files in enumerate(_zarr_folders()):
        for name, data in files.items():
            told = name.endswith((".zmetadata", "zarr.json"))
            short = json.dumps(json.loads(data)).encode() if told else data
            out += [f"{number} {name}\n".encode() + short] * (1 + 4 * told)
    return out


def zarr_folder(data: bytes, into: Path) -> Path:
    """A good folder of Zarr but for one file, which is named in the first line of ``data`` and is the rest of it."""
    line, _, rest = data.partition(b"\n")
    number, _, changed = line.decode("latin-1").partition(" ")
    whole = _zarr_folders()[number == "1"]
    for name, good in whole.items():
        (into / name).parent.mkdir(parents=True, exist_ok=True)
        (into / name).write_bytes(rest if name == changed else good)
    return into


def _requests() -> list[str]:
    """What the page asks of its server: an address, and below it what is sent there; nothing at all is read."""
    edit = {"do": "set", "path": ["bed", 0, "at_m"], "value": [0.2, 0.3]}
    face = {"do": "set", "path": ["face", "north", "cover"], "value": "opaque"}
    lamp = {"do": "add", "path": ["lamps"], "value": {"bed": "bed 1", "kind": "led-bar", "count": 2, "height_m": 0.4}}
    now = {"version": "VERSION", "tab": "t", "number": 1}
    spoken = {"on": "2027-01-15", "dates": "long"}
    lit = {"bed": "bed 1", "crop": "leaf-lettuce", "hours_h": 12, "price": "0.30 EUR"}
    seen = {
        "crop": "kale",
        "sown": "2027-01-05",
        "seen": "2027-01-25",
        "bed": "bed 1",
        "signs": ["pale"],
        "day_degc": 14,
    }
    sown = {"what": "sown", "crop": "kale", "bed": "front", "area_m2": 0.5, "plants_count": 12}
    read = {"time": "2027-01-15 11:40", "place": "front", "x_m": 1.0, "y_m": 0.2, "lux": 9000}
    new = {"place": "Ulm, Germany", "shape": "gable", "length": "16 ft", "opaque": ["north"]}
    told: list[tuple[str, dict[str, Any]]] = [
        ("change", {"edits": [edit], "label": "bed moved"}), ("change", {"edits": [face, edit]}),
        ("day", {"edits": [edit], "day": 14}), ("sky", {"words": {"bed": 0, "x_m": 1.0, "y_m": 0.5}}),
        ("log", {"words": sown | {"on": "2026-01-15"}}), ("reading", {"words": read}),
        ("ask", {"question": "light", "words": spoken}), ("ask", {"question": "why", "words": seen}),
        ("ask", {"question": "lamps", "words": lit}), ("new", {"words": new}), ("change", {"edits": [lamp]}),
        ("change", {"edits": [{"do": "remove", "path": ["house", "width_m"]}]}), ("undo", {}), ("redo", {}),
        ("read", {"words": {"meters": "one"}}), ("keep", {"words": {}}), ("keep-plan", {}), ("keep-lamps", {"words": lit}),
        ("ask", {"question": "feed", "words": {"people_count": 2, "step_weeks": 8, "seconds_s": 1}}),
    ]  # fmt: skip
    posts = [f"api/{what}\n{json.dumps({**now, **body})}" for what, body in told]
    return [*posts, "api/file\n", "api/places?q=Ulm\n", "api/words\n", "app.js\n"]


SEEDS: Final = MappingProxyType(
    {
        "house": _houses,
        "crop": _crops,
        "weather": _weather,
        "readings": _readings,
        "log": _logs,
        "lamp": _lamps,
        "luminaire": _luminaires,
        "plan": _plans,
        "places": _places,
        "outline": _outlines,
        "days": _days,
        "grid": _grids,
        "zarr": _zarrs,
        "request": _requests,
    }
)
ENDING: Final = MappingProxyType(
    {"house": ".toml", "crop": ".toml", "weather": ".csv", "readings": ".csv", "log": ".csv", "lamp": ".toml",
     "luminaire": ".ies", "plan": ".json", "places": ".csv", "outline": ".json", "days": ".csv", "grid": ".nc", "zarr": ".txt", "request": ".txt"}
)  # fmt: skip


# ---- breaking files ----


def _flip(rng: random.Random, data: bytes) -> bytes:
    raw = bytearray(data)
    for _ in range(rng.choice((1, 1, 2, 8, 64))):
        if raw:
            raw[rng.randrange(len(raw))] = rng.randrange(256)
    return bytes(raw)


def _cut(rng: random.Random, data: bytes) -> bytes:
    if rng.random() < 0.3:
        return data[: rng.randrange(len(data) + 1)]
    start = rng.randrange(len(data) + 1)
    return data[:start] + data[start + rng.choice((1, 2, 7, 40, 400)) :]


def _insert(rng: random.Random, data: bytes) -> bytes:
    at = rng.randrange(len(data) + 1)
    return data[:at] + rng.choice(ODD_BYTES) * rng.choice((1, 1, 1, 3, 2000)) + data[at:]


def _lines(rng: random.Random, data: bytes) -> bytes:
    lines = data.split(b"\n")
    at, to = rng.randrange(len(lines)), rng.randrange(len(lines))
    act = rng.randrange(5)
    if act == 0:
        del lines[at : at + rng.choice((1, 1, 3, 30))]
    elif act == 1:
        lines[to:to] = lines[at : at + rng.choice((1, 1, 5))] * rng.choice((1, 1, 2, 50))
    elif act == 2:
        lines[at], lines[to] = lines[to], lines[at]
    elif act == 3:
        rng.shuffle(lines)
    else:
        lines.insert(at, rng.choice(ODD_BYTES) * rng.choice((1, 20)))
    return b"\n".join(lines)


def _number(rng: random.Random, data: bytes) -> bytes:
    """Put odd numbers and values in the places of numbers."""
    return _replaced(rng, data, b"0123456789", (*ODD_NUMBERS, *ODD_VALUES))


def _nudge(rng: random.Random, data: bytes) -> bytes:
    """Change numbers to others that might be meant."""
    text = data.decode("latin-1")
    numbers = list(re.finditer(r"(?<![\w.])-?\d+(?:\.\d+)?(?![\w.])", text[:200_000]))
    for found in sorted(rng.sample(numbers, min(len(numbers), rng.choice((1, 1, 2, 3)))), key=lambda m: -m.start()):
        value = float(found[0])
        new = rng.choice(
            (-value, value * 10, value / 10, value + 1, value * rng.uniform(0.5, 2), rng.choice(numbers)[0])
        )
        text = text[: found.start()] + (new if isinstance(new, str) else f"{new:g}") + text[found.end() :]
    return text.encode("latin-1")


_STAMP: Final = re.compile(
    r"\d{4}-\d\d-\d\d(?:[T ]\d\d:\d\d(?::\d\d)?)?|\d{1,2}[./]\d{1,2}[./]\d{4}(?: \d\d:\d\d)?|\b\d{8,10}\b"
)


def _stamp(rng: random.Random, data: bytes) -> bytes:
    """Put odd dates in the places of one, of some that follow each other, or of a tenth of all."""
    text = data.decode("latin-1")
    found = list(_STAMP.finditer(text[:400_000]))
    if not found:
        return _number(rng, data)
    first = rng.randrange(len(found))
    chosen = rng.choice((found[first : first + rng.choice((1, 1, 3, 30))], rng.sample(found, -(-len(found) // 10))))
    odd = rng.choice(ODD_STAMPS)
    parts, end = [], 0
    for match in sorted(chosen, key=lambda m: m.start()):
        parts += [text[end : match.start()], odd if rng.random() < 0.5 else rng.choice(ODD_STAMPS)]
        end = match.end()
    return "".join([*parts, text[end:]]).encode("latin-1")


def _word(rng: random.Random, data: bytes) -> bytes:
    """Put other words of the same file, or odd values, in the places of words."""
    letters = b"abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ_"
    at = rng.randrange(len(data) + 1)
    near = data[max(0, at - 400) : at + 400].decode("latin-1")
    words = [word for word in near.replace("=", " ").replace(",", " ").split() if len(word) < 60]
    return _replaced(rng, data, letters, (*words, *ODD_VALUES))


def _replaced(rng: random.Random, data: bytes, of: bytes, others: Sequence[str]) -> bytes:
    out = data
    for _ in range(rng.choice((1, 1, 1, 2, 4))):
        start = rng.randrange(len(out) + 1)
        while start < len(out) and out[start] not in of:
            start += 1
        end = start
        while end < len(out) and out[end] in of + b".-":
            end += 1
        new = rng.choice(others).encode("utf-8", "surrogatepass")
        out = out[:start] + new + out[end:]
    return out


def _recoded(rng: random.Random, data: bytes) -> bytes:
    text = data.decode("utf-8", "replace")
    act = rng.randrange(4)
    if act == 0:
        text = text.replace("\n", rng.choice(("\r\n", "\r", "\n\n", "\u2028", "\x0b")))
    if act == 1:
        text = text.replace(",", rng.choice((";", "\t", "|", " ", ",,")))
    return text.encode(rng.choice(("utf-8", *ENCODINGS)), "replace")


def _deep(rng: random.Random, data: bytes) -> bytes:
    depth = rng.choice((10, 100, 1000, 20_000))
    kinds = (
        "x = " + "[" * depth + "]" * depth,
        "x = " + "{a=" * depth + "1" + "}" * depth,
        "[" + ".".join(["a"] * depth) + "]",
        "".join(f"[{'.'.join(['a'] * (n + 1))}]\n" for n in range(min(depth, 100))),
        ".".join(["a"] * depth) + " = 1",
        '{"a":' * depth + "1" + "}" * depth,
        "[[bed]]\n" * depth,
        '"' * depth,
        '"' + ",".join(["1"] * depth),
    )
    return rng.choice(kinds).encode() + b"\n" + (data if rng.random() < 0.7 else b"")


def _noise(rng: random.Random, data: bytes) -> bytes:
    size = rng.choice((0, 1, 2, 3, 30, 3000, 100_000))
    made = rng.randrange(4)
    if made == 0:
        return rng.randbytes(size)
    if made == 1:
        return bytes(rng.choices(b"0123456789.,;-+eE \n\t\"'[]{}=#:/", k=size))
    if made == 2:
        return "".join(chr(rng.randrange(1, 0xD7FF)) for _ in range(min(size, 3000))).encode()
    start = rng.choice((b"PK\x03\x04", b"\x1f\x8b", b"%PDF-1.4", b"\x89PNG\r\n", b"\x7fELF", b"{", b"[", b"LOCATION,"))
    return start + (rng.randbytes(size) if rng.random() < 0.5 else data)


def _splice(rng: random.Random, data: bytes) -> bytes:
    other = rng.choice(seeds(rng.choice(sorted(set(SEEDS) - {"weather"}))))
    return data[: rng.randrange(len(data) + 1)] + other[rng.randrange(len(other) + 1) :]


BREAKS: Final[tuple[Callable[[random.Random, bytes], bytes], ...]] = (
    _flip, _cut, _insert, _lines, _lines, _nudge, _nudge, _nudge, _nudge, _number, _number, _word, _word, _recoded,
    _deep, _noise, _splice, _stamp,
)  # fmt: skip


ODD_NODES: Final = (
    None, True, -1, 0, 2**70, 1e308, -0.0, float("nan"), float("inf"), "", "x", "x" * 5000, "\ud800", "\x00", "a\nb",
    "1e400", "2027-02-30", "../x", "=1+1", [], {}, [[]], [None], {"a": {"b": 1}}, ["x"] * 300, [0, 1, 2, 3, 4, 5, 6, 7],
)  # fmt: skip


def _node(rng: random.Random, data: bytes) -> bytes:
    """Put an odd value in the place of a value of JSON, or take a key out; an address above it stays as it is."""
    head, line, body = data.rpartition(b"\n") if data[:1] not in (b"{", b"[") else (b"", b"", data)
    try:
        whole = json.loads(body)
    except ValueError:
        return _number(rng, data)
    top: dict[Any, Any] = {"": whole}
    holder: Any
    holder, key, found = top, "", whole
    while isinstance(found, dict | list) and found and rng.random() < 0.85:
        holder, key = found, rng.choice(sorted(found) if isinstance(found, dict) else range(len(found)))
        found = holder[key]
    if rng.random() < 0.2:
        del holder[key]
    else:
        holder[key] = rng.choice(ODD_NODES)
    return head + line + json.dumps(top.get("")).encode()


OF_NODES: Final = ("plan", "outline", "zarr", "request")
NODES_ONLY: Final = 0.4
"""Share of the cases of files of JSON that are JSON still."""
NUDGED_ONLY: Final = 0.25
"""Share of the cases that only put other numbers in, and so may get past the reader."""


def broken(room: str, case: int, seed: int = 1) -> bytes:
    """Contents of one case; the same for the same room, number and seed."""
    rng = random.Random(f"{room} {case} {seed}")
    data = rng.choice(seeds(room))
    if room in OF_NODES and rng.random() < NODES_ONLY:
        return _node(rng, data)
    if rng.random() < NUDGED_ONLY:
        return _nudge(rng, data)
    for _ in range(rng.choice((1, 1, 1, 2, 3))):
        data = rng.choice(BREAKS)(rng, data)
    return data


# ---- what must hold ----


def outcome(room: str, path: Path) -> str:
    """Return "answered" or "refused"; anything else a file brings about passes through as an exception."""
    try:
        TRIALS[room](path)
    except FileProblem as error:
        lines = [problem.line() for problem in error.problems]
        assert lines, "refused without a line"
        assert len(lines) <= MOST_LINES, f"{len(lines)} lines"
        for line in lines:
            check_line(line)
        return "refused"
    except (OutOfRange, NoAnswer) as error:
        check_line(str(error))
        return "refused"
    return "answered"


def check_line(line: str) -> None:
    """One line, not empty, of readable length, without anything a terminal acts upon."""
    assert line.strip(), "an empty line"
    assert len(line) <= LONGEST_LINE, f"a line of {len(line)} characters: {line[:200]}"
    odd = sorted({char for char in line if not char.isprintable()})
    assert not odd, f"{odd!r} in {line[:300]!r}"


def _try_house(path: Path) -> None:
    from tenhour.files.house.read import load_house
    from tenhour.model.described import describe
    from tenhour.report.answers import answer_json
    from tenhour.report.check import check_text
    from tenhour.year.inside.scene import room_problems

    house = load_house(path)
    problems = room_problems(house)
    if problems:
        raise FileProblem(problems)
    described = describe(house)
    json.dumps(answer_json(described), allow_nan=False)
    check_text(described, 80)


def _try_crop(path: Path) -> None:
    from tenhour.files.crop import load_crops, load_facts
    from tenhour.model.crop_answer import crop_answer
    from tenhour.report.answers import answer_json
    from tenhour.report.crops import crop_text

    crop = next(crop for crop in load_crops(path.parent) if crop.key == path.stem)
    facts = load_facts(crop)
    json.dumps(answer_json(crop_answer(crop, facts, _sources())), allow_nan=False)
    crop_text(crop, facts, _sources(), 80)


@cache
def _sources() -> object:
    from tenhour.files.crop import load_sources

    return load_sources()


def _try_weather(path: Path) -> None:
    from tenhour.door.weather import load_weather
    from tenhour.model.weather import weather_answer
    from tenhour.report.answers import answer_json
    from tenhour.report.weather import weather_text

    weather = load_weather(path, 57.1, -4.7)
    json.dumps(answer_json(weather_answer(weather, path.name)), allow_nan=False)
    weather_text(weather, path.name, 80)


def _try_readings(path: Path) -> None:
    import numpy as np

    from tenhour.files.house.read import demo_house
    from tenhour.files.readings.read import Wishes, read_readings

    beds = demo_house().beds
    found = read_readings(
        path, Wishes("Europe/London", "", None, beds[0].name, "daylight", "degc", ("daylight",), beds)
    )
    if found.light is not None:
        assert np.isfinite(found.light.value).all()


def _try_log(path: Path) -> None:
    from tenhour.files.log import read_log

    read_log(path, must_exist=True)


def _try_lamp(path: Path) -> None:
    from tenhour.files.lamp import LampChoice, find_lamp

    find_lamp(LampChoice(str(path)))


def _try_luminaire(path: Path) -> None:
    from tenhour.files.lamp import LampChoice, find_lamp

    find_lamp(LampChoice(str(path), "white-led", "photon"))


def _try_plan(path: Path) -> None:
    from tenhour.files.keptplan import read_plan

    read_plan(path)


def _try_places(path: Path) -> None:
    from tenhour.files.atlas.regions import listed_sites

    listed_sites(path)


def _try_outline(path: Path) -> None:
    from tenhour.files.atlas.regions import outline_sites

    outline_sites(path, 5.0)


def _try_days(path: Path) -> None:
    from tenhour.door.weather import load_since

    load_since(path, 57.1, -4.7)


def _try_grid(path: Path) -> None:
    from tenhour.files.atlas.grids import grid_sites

    grid_sites(path)


def _try_zarr(path: Path) -> None:
    import tempfile

    from tenhour.files.atlas.grids import grid_sites
    from tenhour.files.textfile import check_ordinary

    check_ordinary(path)
    with tempfile.TemporaryDirectory(prefix="zarr-") as name:
        grid_sites(zarr_folder(path.read_bytes()[:MOST_ASKED], Path(name)))


def _try_request(path: Path) -> None:
    """Send it to the page of a small house; what is refused is refused in words, and nothing is a fault of ours."""
    from tenhour.files.textfile import check_ordinary

    check_ordinary(path)
    address, _, body = path.read_bytes()[:MOST_ASKED].partition(b"\n")
    address, _, query = address.decode("latin-1").partition("?")
    status, told = asked_of_page(address, query, body)
    lines = told.get("problems", []) if isinstance(told, dict) else []
    assert status in (200, 400, 404, 405, 409, 413, 422), f"status {status} of {address[:60]!r}: {str(told)[:300]}"
    for line in lines if status != 200 else ():
        check_line(line)
    if status != 200:
        raise NoAnswer(f"status {status}: {' '.join(lines)[:200]}")


MOST_ASKED: Final = 1_500_000
"""More than is taken in."""
_PAGES: Final[dict[str, Any]] = {}


def asked_of_page(address: str, query: str, body: bytes) -> tuple[int, Any]:
    """Status and answer of a page that is asked in this process, its house file a fresh one."""
    import tempfile

    with tempfile.TemporaryDirectory(prefix="page-") as name:
        return asked_in(Path(name), address, query, body)


def asked_in(
    folder: Path, address: str, query: str, body: bytes, then: Callable[[], object] = lambda: None
) -> tuple[int, Any]:
    """The same of a page whose house is made in a folder; ``then`` is done when it is there."""
    from datetime import date

    from tenhour.open.desk import Desk
    from tenhour.open.guard import Guard
    from tenhour.open.server import pages
    from tenhour.open.session import Session, version_of

    desk = _PAGES.setdefault("desk", Desk())  # years are kept by the text of their house
    text = (ROOT / "tests/files/good/least.toml").read_text("utf-8")
    house = folder / "house.toml"
    if address != "api/new":
        house.write_text(text, "utf-8")
    guard = Guard(80, token="token")
    app = guard.watched(pages(Session(house), desk, lambda: date(2027, 1, 15)))
    then()
    body = body.replace(b"VERSION", version_of(text).encode())
    asked = {
        "REQUEST_METHOD": "POST" if body else "GET", "HTTP_HOST": "127.0.0.1:80", "PATH_INFO": f"/token/{address}",
        "HTTP_ORIGIN": "http://127.0.0.1:80", "CONTENT_TYPE": "application/json", "QUERY_STRING": query,
        "CONTENT_LENGTH": str(len(body)), "wsgi.input": io.BytesIO(body), "wsgi.errors": io.StringIO(),
        "SERVER_NAME": "127.0.0.1", "SERVER_PORT": "80", "wsgi.url_scheme": "http", "SERVER_PROTOCOL": "HTTP/1.1",
    }  # fmt: skip
    answered: list[str] = []
    data = b"".join(app(asked, lambda status, headers, *more: answered.append(status)))
    assert "Traceback" not in asked["wsgi.errors"].getvalue(), asked["wsgi.errors"].getvalue()[-1500:]
    drafts = [path.name for path in folder.iterdir() if path.name.endswith(".new")]
    assert not drafts, drafts
    now = house.read_text("utf-8") if house.exists() else text
    assert answered[0].startswith("200") or now == text, "refused, and yet written"
    if data[:1] in (b"{", b"["):
        return int(answered[0].split()[0]), json.loads(data, parse_constant=_no_constant)
    return int(answered[0].split()[0]), None


def _no_constant(name: str) -> object:
    raise AssertionError(f"{name} in the answer")


TRIALS: Final = MappingProxyType(
    {
        "house": _try_house,
        "crop": _try_crop,
        "weather": _try_weather,
        "readings": _try_readings,
        "log": _try_log,
        "lamp": _try_lamp,
        "luminaire": _try_luminaire,
        "plan": _try_plan,
        "places": _try_places,
        "outline": _try_outline,
        "days": _try_days,
        "grid": _try_grid,
        "zarr": _try_zarr,
        "request": _try_request,
    }
)
