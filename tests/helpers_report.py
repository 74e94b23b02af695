"""Made-up answers to draw and write: smooth curves and invented crops, no claim about any place or plant."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date, timedelta

from tenhour.files.lamp_kinds import load_cautions
from tenhour.model.crop import Source
from tenhour.model.lamp_answer import ClockMonth, LampAnswer, LampCircuit, LampLayout, LampMap
from tenhour.model.report import HousePlan, PlanBed, ReportAnswer
from tenhour.model.results import (
    Basis,
    BedLight,
    BedMap,
    BedMonth,
    BedSowing,
    CropVerdict,
    LightAnswer,
    OutdoorMonth,
    SowAnswer,
    Verdict,
)
from tenhour.model.season import (
    BedSeason,
    CropSeason,
    GardenPlants,
    Route,
    SeasonAnswer,
    SeasonWeek,
    SeedNeed,
    SowWeek,
    Span,
    Succession,
    Task,
)
from tenhour.model.sunpaths import BedSky, SunPaths, SunTrack
from tenhour.plan.choosing import chosen_of, with_short
from tenhour.words.text import Sentence

TODAY = date(2027, 1, 15)
START = date(2026, 9, 7)
WEEKS = 52
BASIS = Basis(
    {"house": "made up", "date": TODAY.isoformat()},
    (
        "Dirt on the panes 5 % (default).",
        Sentence("Air by night {2:warmer} above outdoors, about {-3:temp} in January.")(),
    ),
    ("March is the weakest month of the normals.",),
    ("Snow on the roof takes more light than this.",),
)
DARKEST = date(2026, 12, 21)


def season_wave(on: date) -> float:
    """0 at the darkest day, 1 half a year later."""
    return 0.5 - 0.5 * math.cos(2 * math.pi * (on - DARKEST).days / 365.25)


def month_light(share: float, month: int) -> float:
    return share * (1.5 + 38.0 * season_wave(date(2027, month, 15)))


def bed_month(month: int, share: float) -> BedMonth:
    mean = month_light(share, month)
    return BedMonth(month, mean, 0.45 * mean, 1.6 * mean, 0.4 * mean, 0.6 * mean, 1.5 * mean, share, 0.35, 0.5, 0.15)


def outdoor_month(month: int) -> OutdoorMonth:
    mean = month_light(1.0, month)
    wave = season_wave(date(2027, month, 15))
    return OutdoorMonth(
        month, 6.5 + 11.5 * wave, 8.2 + 11.8 * wave, 9.5 + 47.0 * wave, mean, 0.45 * mean, 1.6 * mean, 0.4 * mean,
        0.1, 0.2, mean / 0.1744, -1.0 + 16.0 * wave,
    )  # fmt: skip


def light_answer(bed_names: tuple[str, ...] = ("front", "back"), *, us_units: bool = False) -> LightAnswer:
    beds = tuple(
        BedLight(name, 0.6 - 0.12 * i, tuple(bed_month(month, 0.6 - 0.12 * i) for month in range(1, 13)))
        for i, name in enumerate(bed_names)
    )
    return LightAnswer(
        BASIS, 57.1, -4.7, 40.0, "a made-up glen", date(2026, 10, 25), date(2027, 2, 16),
        tuple(outdoor_month(month) for month in range(1, 13)), beds, "twelve made-up monthly means",
        us_units=us_units,
    )  # fmt: skip


def bed_map(bed: str, when: str, mean: float) -> BedMap:
    x_m = tuple(0.25 + 0.5 * i for i in range(9))
    y_m = tuple(0.1 + 0.2 * i for i in range(4))
    rows = tuple(
        tuple(mean * (1.4 - 0.25 * j) * (1.0 + 0.1 * math.sin(i)) for i in range(len(x_m))) for j in range(len(y_m))
    )
    return BedMap(bed, when, x_m, y_m, rows)


def crop_names(count: int) -> tuple[str, ...]:
    known = ("lettuce, loose-leaf", "spinach", "kale", "chard", "radish", "mizuna", "pea shoots", "parsley", "tomato")
    return tuple(known[i] if i < len(known) else f"made-up crop {i + 1}" for i in range(count))


VERDICTS: tuple[Verdict, ...] = (
    "sow", "slow", "wait", "needs-lamps", "cut-young", "set-out-grown", "too-cold", "not-here",
)  # fmt: skip


def verdict(i: int, name: str) -> CropVerdict:
    kind = VERDICTS[i % len(VERDICTS)]
    return CropVerdict(
        name.replace(",", "").replace(" ", "-"), name, kind, f"A made-up sentence about {name}: ready 5 Mar 2027.",
        date(2027, 3, 5) if kind in ("sow", "slow") else None, date(2027, 4, 2) if kind in ("sow", "slow") else None,
        50, 60, 75, 3.1, 3.0 + 0.35 * i, max(0.0, 0.35 * i - 1.0), 30.0 + i, date(2027, 2, 20), date(2026, 9, 28),
        2.4, 40.0,
    )  # fmt: skip


def sow_answer(bed_names: tuple[str, ...] = ("front", "back"), crops: int = 9, *, us_units: bool = False) -> SowAnswer:
    names = crop_names(crops)
    beds = tuple(
        BedSowing(
            bed,
            tuple(verdict(i, name) for i, name in enumerate(names)),
            cold_night_degc=-2.0,
            cold_night_1in10_degc=-5.0,
        )
        for bed in bed_names
    )
    return with_short(SowAnswer(BASIS, TODAY, beds, date(2026, 10, 25), date(2027, 2, 16), us_units=us_units))


def week_start(i: int) -> date:
    return START + timedelta(days=7 * i)


def sow_week(i: int, need: float) -> SowWeek:
    on = week_start(i)
    light = month_light(0.55, on.month)
    ahead = month_light(0.55, week_start(i + 4).month)
    state: Verdict = "sow"
    if ahead < 0.6 * need:
        state = "wait"
    elif light < 0.8 * need:
        state = "cut-young"
    elif light < 1.2 * need:
        state = "slow"
    if season_wave(on) < 0.03 and need > 5.0:
        state = "too-cold"
    days = None if state == "wait" else round(40 + 120 * (1 - season_wave(week_start(i + 6))))
    return SowWeek(
        on, state, days and days - 10, days, days and days + 14, 3.0 if days else None, 60.0 - 40.0 * season_wave(on)
    )


def crop_season(i: int, name: str) -> CropSeason:
    need = 2.0 + 0.3 * i
    weeks = tuple(sow_week(n, need) for n in range(WEEKS))
    spans: tuple[Span, ...] = ()
    picking: tuple[float | None, ...] = ()
    hold = i % 3 == 0
    if hold:
        spans = (
            Span("sow-for-winter", date(2026, 9, 7), date(2026, 9, 28)),
            Span("hold", date(2026, 11, 20), date(2027, 2, 20)),
            Span("pick", date(2027, 2, 21), date(2027, 4, 20)),
        )
        picking = tuple(120.0 if 24 <= n < 32 else None for n in range(WEEKS))
    if i % 3 == 1:
        spans = (
            Span("harvest", date(2027, 4, 20), date(2027, 6, 20)),
            Span("trays", date(2026, 10, 1), date(2027, 3, 1)),
        )
    return CropSeason(
        name.replace(",", "").replace(" ", "-"), name, "picked" if hold else "one harvest", weeks, spans,
        date(2026, 9, 28) if hold else None, date(2027, 2, 20 + i % 8), date(2026, 11, 20) if hold else None,
        date(2027, 2, 20) if hold else None, picking, 6.0 if hold else None,
        f"Sow {name} by 28 Sep 2026 to pick through the dark.", name,
        route=Route("made-up sill", date(2026, 9, 20), date(2026, 10, 20), 22, date(2027, 1, 10), date(2027, 2, 8), 28,
                    33, 20.0, f"Raised on the made-up sill: sow {name} by 2026-09-20.") if hold else None,
    )  # fmt: skip


def season_answer(
    bed_names: tuple[str, ...] = ("front", "back"), crops: int = 9, *, us_units: bool = False
) -> SeasonAnswer:
    names = crop_names(crops)
    beds = []
    for b, bed in enumerate(bed_names):
        share = 0.6 - 0.12 * b
        weeks = tuple(
            SeasonWeek(
                week_start(i),
                share * (1.5 + 38.0 * season_wave(week_start(i))),
                share * (0.6 + 16.0 * season_wave(week_start(i))),
                8.0 + 16.0 * season_wave(week_start(i)),
                1.0 + 11.0 * season_wave(week_start(i)),
                -6.0 + 12.0 * season_wave(week_start(i)),
                -9.0 + 12.0 * season_wave(week_start(i)),
                7.0 + 11.0 * season_wave(week_start(i)),
            )
            for i in range(WEEKS)
        )
        rows = tuple(crop_season(i, name) for i, name in enumerate(names))
        beds.append(
            BedSeason(bed, 3.7, weeks, rows, tuple(0.5 + 0.5 * season_wave(week_start(i)) for i in range(WEEKS)))
        )
    tasks = tuple(
        Task(date(2027, 2, 10 + i), bed, names[i], f"Sow {names[i]} on {bed}, about 12 g m⁻² of seed.")
        for bed in bed_names
        for i in range(min(3, len(names)))
    )
    successions = (
        Succession(bed_names[0], names[0], date(2027, 2, 20), date(2027, 4, 5), date(2027, 4, 25), 0.6, 1.2, "made up"),
    )
    answer = SeasonAnswer(
        BASIS,
        START,
        tuple(beds),
        tasks,
        successions,
        date(2026, 10, 25),
        date(2027, 2, 16),
        date(2027, 5, 10),
        us_units=us_units,
        seeds=(SeedNeed(names[0], names[0], 0.6, 1.2),),
        garden=(
            GardenPlants(
                "made-up-plants",
                "made-up plants",
                "front",
                date(2027, 3, 8),
                date(2027, 4, 20),
                40,
                22.0,
                "Sow made-up plants about 2027-03-08 (front), to set out in the garden about 2027-04-20.",
            ),
        ),
    )
    return replace(answer, chosen=chosen_of(answer.beds, None))  # fmt: skip


def _hill_deg(azimuth_deg: float) -> float:
    return 6.0 if 110 <= azimuth_deg <= 160 else 1.0


def sun_paths(bed_names: tuple[str, ...] = ("front", "back")) -> SunPaths:
    """Sun by the plain spherical triangle at 57 degrees, a hill in the south-east, a wall to the north."""
    latitude = math.radians(57.0)
    tracks = []
    for on, declination in ((date(2026, 12, 21), -23.4), (date(2027, 3, 21), 0.0), (date(2027, 6, 21), 23.4)):
        delta = math.radians(declination)
        points = []
        for step in range(96):
            hour_angle = math.radians(15.0 * (step / 4 - 12.0))
            up = math.sin(latitude) * math.sin(delta) + math.cos(latitude) * math.cos(delta) * math.cos(hour_angle)
            east = -math.cos(delta) * math.sin(hour_angle)
            north = math.cos(latitude) * math.sin(delta) - math.sin(latitude) * math.cos(delta) * math.cos(hour_angle)
            if up > 0.0:
                azimuth = math.degrees(math.atan2(east, north)) % 360.0
                points.append((azimuth, math.degrees(math.asin(up)), step / 4, _hill_deg(azimuth)))
        tracks.append(SunTrack(on, *(tuple(part) for part in zip(*points, strict=True))))
    azimuths = tuple(float(a) for a in range(0, 360, 5))
    heights = tuple(2.5 + 5.0 * j for j in range(16))
    skyline = tuple(_hill_deg(a) for a in azimuths)
    beds = tuple(
        BedSky(
            name,
            azimuths,
            heights,
            tuple(tuple(0.0 if (a < 85 or a > 275 or h > 50 + 5 * b) else 0.9 for a in azimuths) for h in heights),
        )
        for b, name in enumerate(bed_names)
    )
    return SunPaths(57.0, tuple(tracks), azimuths, skyline, beds)


CLOCK = (("06:00", "09:15"), ("15:00", "20:00"))


def lamp_answer(bed: str = "front") -> LampAnswer:
    """Made-up lamps: two bars, on in seven months, round midnight in one."""
    clock = tuple(
        ClockMonth(
            month,
            (("22:30", "02:00"),) if month == 3 else () if 4 <= month <= 8 else CLOCK,
            0.0 if 4 <= month <= 8 else 8.25, 16.0, 15.5, 12.0, 3.6, 30,
        )
        for month in range(1, 13)
    )  # fmt: skip
    layout = LampLayout(
        "white bar", (1.2, 0.06), 40.0, 104.0, 2, 2, 1, "the length", (0.9, 2.7), (0.4, 0.4), 0.35, 0.62, 0.9, 120.0,
        0.72, 0.2, 0.05, 0.03, True, 0.7,
    )  # fmt: skip
    grid = LampMap(
        (0.45, 1.35, 2.25, 3.15), (0.2, 0.6), ((8.0, 9.0, 9.1, 8.2), (7.0, 8.1, 8.0, 7.2)), ((100.0,) * 4,) * 2
    )
    cautions = tuple(row["text"] for row in load_cautions())
    return LampAnswer(
        Basis({"bed": bed}, ("Lamp hours not given.",), (), cautions),
        bed, 3.6, 1, ("spinach",), f"Over {bed} for spinach: 2 white bars, 0.35 m above the canopy.", 12.0, 2.0, 10.0,
        12, 150.0, 8.25, 208.0, 2, 80.0, clock, date(2026, 9, 20), date(2027, 4, 2), 0.66, 120.0, 36.0, "EUR",
        LampCircuit(230.0, 16.0, 0.35, 0.0, 0.35, 12.8, False, 6.0, 1), layout, map=grid,
    )  # fmt: skip


def report_answer(
    bed_names: tuple[str, ...] = ("front", "back"),
    crops: int = 9,
    *,
    house: str = "made-up house",
    us_units: bool = False,
    lamps: bool = False,
) -> ReportAnswer:
    maps = tuple(
        bed_map(bed, when, mean)
        for bed in bed_names
        for when, mean in (("December", 1.0), ("February", 5.0), ("April", 15.0))
    )
    return ReportAnswer(
        BASIS,
        house,
        TODAY,
        light_answer(bed_names, us_units=us_units),
        maps,
        sow_answer(bed_names, crops, us_units=us_units),
        season_answer(bed_names, crops, us_units=us_units),
        sun_paths(bed_names),
        (lamp_answer(bed_names[0]),) if lamps else (),
        (Source("INV", "An invented table", "invented"),),
        (("judgement", 12),),
        us_units,
        house_plan(bed_names),
    )


def house_plan(bed_names: tuple[str, ...]) -> HousePlan:
    """Beds side by side along a made-up house, a shelf over the first."""
    beds = [PlanBed(name, (0.2 + 1.5 * n, 0.3), (1.4, 0.8), (1.0, 5.0, 15.0)) for n, name in enumerate(bed_names)]
    shelf = PlanBed("shelf", (0.3, 0.4), (1.2, 0.3), (0.5, 3.0, 9.0))
    return HousePlan(0.4 + 1.5 * len(bed_names), 2.0, ("December", "February", "April"), (*beds, shelf))


HOSTILE = (
    '<script>alert("x")</script>',
    "a \"quoted\" & 'single' $math$ ]]> -->",
    "🥬🌱 𝔤𝔯𝔢𝔢𝔫 مرحبا 温室",
    "x" * 200,
)
"""Bed names that would break a careless page."""
STEERING = "red\x1b[31mred\x07\u202eback\x00"
