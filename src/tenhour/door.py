"""The door for Python and notebooks: a house, its year, and every answer with its tables.

    import tenhour as th
    year = th.Year(th.demo_house())
    year.sow("2027-01-15").crops

What an argument has wrong is raised as :class:`tenhour.FileProblem`, which names the argument, what was found and what
is allowed. Nothing here is kept between calls but in the objects handed out; these are never changed, and may be
shared between threads.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar, Final

import numpy as np
import pandas as pd

from tenhour.errors import ARGUMENT, FileProblem, Problem
from tenhour.model.fields import entries
from tenhour.report.answers import answer_json, json_text

if TYPE_CHECKING:
    from tenhour.model.crop import Crop
    from tenhour.model.house import House as HouseModel
    from tenhour.model.log import LogLine
    from tenhour.model.results import Answer as AnswerModel
    from tenhour.report.tables import Table
    from tenhour.report.units import Style
    from tenhour.year.sunlight import Sources
    from tenhour.year.year import Year as HouseYear

When = date | str
"""A date, or its text as 2027-01-15."""
WIDTH: Final = 80
SHOWN_ROWS: Final = 60
"""Rows of a table that a notebook shows of an answer by itself. Judgement."""
YEARS: Final = range(1000, 9000)


class House:
    """A house as a file describes it: where it stands, its walls and panes, its beds."""

    def __init__(self, described: HouseModel) -> None:
        """Hold a house that was read; :func:`read_house` and :func:`demo_house` make one."""
        self.model = described

    @property
    def name(self) -> str:
        """What the file calls it."""
        return self.model.name

    @property
    def bed_names(self) -> tuple[str, ...]:
        """Names of its beds, in the order of the file."""
        return tuple(bed.name for bed in self.model.beds)

    def at(self, latitude_deg: float, longitude_deg: float, elevation_m: float | None = None) -> House:
        """The same house in another place.

        Parameters: latitude_deg, -90 to 90, south negative; longitude_deg, -180 to 180, west negative [°];
        elevation_m, metres above the sea, looked up on a coarse map if None.
        Returns: a new house; skyline, ground and heating move along, a weather file or own means do not.
        Errors: FileProblem for a number out of bounds.
        """
        from tenhour.files.house.read import house_at

        latitude_deg = _number("latitude_deg", latitude_deg, -90.0, 90.0)
        longitude_deg = _number("longitude_deg", longitude_deg, -180.0, 180.0)
        if elevation_m is not None:
            elevation_m = _number("elevation_m", elevation_m, -450.0, 6000.0)
        return House(house_at(self.model, latitude_deg, longitude_deg, elevation_m))

    def check(self) -> Answer:
        """The house as it was understood: ``faces`` and ``beds`` as data frames.

        Errors: FileProblem for things that stand outside the room or in each other.
        """
        from tenhour.model.described import describe
        from tenhour.report.check import check_text
        from tenhour.year.scene import room_problems

        problems = room_problems(self.model)
        if problems:
            raise FileProblem(problems)
        described = describe(self.model)
        return Answer(described, lambda width, style: check_text(described, width, style), tuple, self.model.us_units)

    def __str__(self) -> str:
        return str(self.check())

    def __repr__(self) -> str:
        site = self.model.site
        return f"<House {self.name!r} at {site.latitude_deg:g}, {site.longitude_deg:g}: {', '.join(self.bed_names)}>"


def read_house(source: str | Path | Mapping[str, Any]) -> House:
    """Read a house.

    Parameters: source, the path of a house file; or its text, if it has a newline; or its tables as a dict.
    Returns: the house; a weather file that it names is looked for beside the file, or in the working folder.
    Errors: FileProblem with every problem found, one line each.
    """
    from tenhour.files.house.read import house_from_tables, house_from_text, load_house

    if isinstance(source, Mapping):
        return House(replace(house_from_tables(source, "house"), path=""))
    if isinstance(source, str) and "\n" in source:
        return House(replace(house_from_text(source, "house"), path=""))
    if not isinstance(source, str | Path):
        raise _wrong("source", source, "a path, the text of a house file, or a dict")
    return House(load_house(source))


def demo_house() -> House:
    """Return the built-in house, an invented one with four beds."""
    from tenhour.files.house.read import demo_house as built_in

    return House(built_in())


class Beds(Mapping[str, "BedYear"]):
    """The beds of a year by name: each a data frame of 365 days with the light on a grid beside it."""

    def __init__(self, year: HouseYear) -> None:
        """Hold a year; :attr:`Year.beds` makes one."""
        self._year = year

    def __getitem__(self, name: str) -> BedYear:
        return _bed_frame(self._year, _bed(self._year.house, "bed", name))

    def __iter__(self) -> Iterator[str]:
        return (bed.name for bed in self._year.house.beds)

    def __len__(self) -> int:
        return len(self._year.house.beds)

    def __contains__(self, name: object) -> bool:
        return any(bed.name == name for bed in self._year.house.beds)

    def get(self, name: str, default: Any = None) -> Any:
        """The bed of that name, or ``default``."""
        if name in self:
            return self[name]
        return default


class BedYear(pd.DataFrame):
    """One bed by day of the generic year, and its light on a grid; what is cut out of it is a plain data frame."""

    _metadata: ClassVar[list[str]] = ["_grid"]
    _grid: pd.DataFrame

    @property
    def _constructor(self) -> Callable[..., pd.DataFrame]:
        return pd.DataFrame

    @property
    def grid(self) -> pd.DataFrame:
        """Mean light of each month at each point: ``month``, ``x_m``, ``y_m`` [m, of the house], ``dli_mol_m2_d``."""
        return self._grid.copy()


class Year:
    """A house-year: light on every bed, air, and what grows there; traced when first asked for, then kept."""

    def __init__(
        self, house: House, weather: str | Path | None = None, crops: str | Path | Sequence[str] | None = None
    ) -> None:
        """Take a house, its climate and the crops to judge.

        Parameters: house; weather, a weather file to use in place of the house's climate; crops, a folder of your own
        crop files, or the names of the crops to judge: all of the table if None.
        Errors: FileProblem for a file that cannot be used, a folder that is none, a name no crop has.
        """
        from tenhour.year.year import Year as HouseYear

        if not isinstance(house, House):
            raise _wrong("house", house, "a house, as read_house gives it")
        described = house.model
        if weather is not None:
            site = replace(described.site, climate="file", weather_path=str(weather), means=None)
            described = replace(described, site=site)
        self._table, chosen = _crops(crops)
        self._year = HouseYear(described, sources_of(described), chosen)
        self.house = House(described)

    @property
    def outdoors(self) -> pd.DataFrame:
        """Light and air outdoors, one row for each day of the generic year (365).

        Columns: day_doy 1-365, month, day; daylength_h, photoperiod_h (civil twilight included), sunrise_h and
        sunset_h of standard time; noon_height_deg; dli_mol_m2_d of the mean day, dull_dli_mol_m2_d and
        bright_dli_mol_m2_d (one day in five is duller, brighter); temp_degc, mean of day and night.
        """
        from tenhour.year.sunlight import BRIGHT, DULL

        out = self._year.world.outdoors
        return pd.DataFrame(
            {
                **_calendar(),
                "daylength_h": out.daylength_h,
                "photoperiod_h": out.photoperiod_h,
                "sunrise_h": out.sunrise_h,
                "sunset_h": out.sunset_h,
                "noon_height_deg": out.noon_height_deg,
                "dli_mol_m2_d": out.dli_mol_m2_d,
                "dull_dli_mol_m2_d": out.class_dli_mol_m2_d[:, DULL],
                "bright_dli_mol_m2_d": out.class_dli_mol_m2_d[:, BRIGHT],
                "temp_degc": out.temp_degc,
            }
        )

    @property
    def beds(self) -> Beds:
        """The beds by name: ``year.beds["front"]`` is a data frame of 365 days, ``.grid`` its light point by point.

        Columns: day_doy, month, day; dli_mol_m2_d of the mean day (mean over the bed), dull_ and
        bright_dli_mol_m2_d; beam_, sky_ and bounced_dli_mol_m2_d, its parts; lit_h, sun up or lamps on; day_degc and
        night_degc, air of the lit and the dark hours.
        """
        return Beds(self._year)

    def light(self, on: When | None = None, map_bed: str | None = None, brighter: bool = False) -> Answer:
        """Light through the year, outdoors and on every bed.

        Parameters: on, a date to show beside the months; map_bed, a bed whose grid is shown; brighter, whether cheap
        changes are traced and ranked (slow).
        Returns: an answer with ``months``, ``beds``, ``beds_months``, ``day_beds``, ``brighter``.
        Errors: FileProblem.
        """
        from tenhour.report.light import light_tables, light_text

        day = None if on is None else _day("on", on)
        shown = None if map_bed is None else _bed(self._year.house, "map_bed", map_bed)
        answer = self._year.light(on=day, map_bed=shown, with_gains=brighter, today=day)
        return self._answer(answer, lambda w, s: light_text(answer, w, style=s), lambda: light_tables(answer))

    def sow(self, on: When, beds: Iterable[str] = ()) -> Answer:
        """What to do with every crop on every bed on one date; what stands there is told by the log beside the file.

        Parameters: on, the date; beds, names of those to show, all if none.
        Returns: an answer with ``beds`` and ``crops``.
        Errors: FileProblem.
        """
        from tenhour.model.log import standing_by_bed
        from tenhour.report.sow import sow_tables, sow_text

        day = _day("on", on)
        answer = self._year.sow(day, beds=self._beds(beds), standing=standing_by_bed(self._log(), day))
        return self._answer(answer, lambda w, s: sow_text(answer, w, style=s), lambda: sow_tables(answer))

    def season(
        self,
        start: When,
        beds: Iterable[str] = (),
        *,
        every_d: int | None = None,
        meals_per_week_count: float | None = None,
        last_frost: When | None = None,
    ) -> Answer:
        """A year of every crop on every bed.

        Parameters: start, first day shown; beds, names of those to show; every_d, days between harvests of a steady
        supply; meals_per_week_count, servings of each crop a week in it; last_frost, last spring frost outdoors.
        Returns: an answer with ``beds``, ``weeks``, ``crops``, ``crops_weeks``, ``spans``, ``picking_g_m2_week``,
        ``tasks``, ``successions``, ``seeds``, ``garden``.
        Errors: FileProblem.
        """
        from tenhour.report.season import season_tables, season_text
        from tenhour.year.supply import Wishes

        every = None if every_d is None else int(_number("every_d", every_d, 1, 182))
        meals = meals_per_week_count
        if meals is not None:
            meals = _number("meals_per_week_count", meals, 0.1, 100)
        wishes = Wishes.of(every, meals, None if last_frost is None else _day("last_frost", last_frost))
        answer = self._year.season(_day("start", start), beds=self._beds(beds), wishes=wishes)
        return self._answer(answer, lambda w, s: season_text(answer, w, style=s), lambda: season_tables(answer))

    def lamps(
        self,
        bed: str,
        crop: str | Sequence[str],
        lamp: str = "led-bar",
        *,
        start: When,
        end: When | None = None,
        harvest_by: When | None = None,
        hours_h: float | None = None,
        dli_mol_m2_d: float | None = None,
        price: str | None = None,
        mains_v: float = 230.0,
        breaker_a: float | None = None,
        others_w: float = 0.0,
        headroom_m: float | None = None,
        evenness_frac: float = 0.7,
        panels_refl_frac: float | None = None,
        windows_count: int | None = None,
        tiers_count: int = 1,
    ) -> Answer:
        """Size a lamp for a bed and crop: fixtures, height, clock, circuit, energy and cost.

        Parameters: bed; crop, a name or several; lamp, a kind, a file, or words like "40 W 104 umol/s 1.15 m"; start
        and end, first and last day; harvest_by, a date to have the crop in by; hours_h and dli_mol_m2_d, lamp hours
        a day and light wanted, if not the crop's own; price of a kWh as "0.30 EUR" or "0.32 EUR; 23-7=0.14"; mains_v;
        breaker_a, 16 or at less than 150 V 15 if None; others_w, watts of all else on the circuit; headroom_m, highest
        a lamp may hang above the leaves; evenness_frac, darkest over mean light wanted; panels_refl_frac, reflectance
        of side panels; windows_count, most times a day the lamps come on; tiers_count, shelves of a rack.
        Returns: an answer with ``clock``, ``windows``, ``heights``, ``days``, ``remedies``, ``clock_changes``.
        Errors: FileProblem; NoAnswer where no light brings the crop in.
        """
        from tenhour.files.lamp import LampChoice, find_lamp
        from tenhour.files.lamp_kinds import load_cautions
        from tenhour.files.lamp_words import parse_price
        from tenhour.model.lamp import REQUEST_BOUNDS, Circuit, LampRequest, usual_breaker_a
        from tenhour.report.lamps import lamps_tables, lamps_text

        given = {
            "hours_h": hours_h, "dli_mol_m2_d": dli_mol_m2_d, "mains_v": mains_v, "breaker_a": breaker_a,
            "others_w": others_w, "headroom_m": headroom_m, "evenness_frac": evenness_frac,
            "panels_refl_frac": panels_refl_frac, "windows_count": windows_count, "tiers_count": tiers_count,
        }  # fmt: skip
        n = {k: None if v is None else _number(k, v, *REQUEST_BOUNDS[k]) for k, v in given.items()}
        first, last = _day("start", start), None if end is None else _day("end", end)
        if last is not None and last < first:
            raise _wrong("end", last.isoformat(), f"{first.isoformat()} or later")
        request = LampRequest(
            hours_h=n["hours_h"],
            target_dli_mol_m2_d=n["dli_mol_m2_d"],
            first=first,
            last=last,
            tariff=None if price is None else parse_price(price),
            circuit=Circuit(mains_v, n["breaker_a"] or usual_breaker_a(mains_v), others_w),
            headroom_m=n["headroom_m"],
            evenness_frac=evenness_frac,
            panels_refl_frac=n["panels_refl_frac"],
            windows_count=windows_count,
        )
        names = [crop] if isinstance(crop, str) else list(crop)
        answer = self._year.lamps(
            _bed(self._year.house, "bed", bed), [self._crop("crop", name) for name in names],
            find_lamp(LampChoice(lamp)), request, cautions=load_cautions(), tiers_count=tiers_count, today=first,
            harvest_by=None if harvest_by is None else _day("harvest_by", harvest_by),
        )  # fmt: skip
        return self._answer(answer, lambda w, s: lamps_text(answer, w, style=s), lambda: lamps_tables(answer))

    def why(
        self,
        crop: str,
        sown: When,
        seen: When,
        *,
        bed: str | None = None,
        up: When | None = None,
        signs: Sequence[str] = (),
        lamp: str | None = None,
        brushed: bool = False,
        **measured: float | None,
    ) -> Answer:
        """Why seedlings are leggy: the share of each cause, and what each remedy would do.

        Parameters: crop; sown and seen, day of sowing and day they look as they do; bed, where they stand; up, day
        they came up; signs, what is seen (keys of signs such as "pale", "leaning"); lamp, spectrum of lamps over them;
        brushed, whether they are brushed or stand in moving air; measured, numbers by name where they are known:
        dli_mol_m2_d, day_degc, night_degc, density_per_m2, lamp_dli_mol_m2_d, lamp_h, dark_d, late_d, leaves_count.
        Returns: an answer with ``causes``, ``remedies``, ``matches``.
        Errors: FileProblem.
        """
        from tenhour.files.signs import load_signs
        from tenhour.files.spectra import load_spectra
        from tenhour.report.why import why_tables, why_text
        from tenhour.year.whycase import BOUNDS, Told, WhyTools, check_told, young

        known, checks = load_signs()
        spectra = load_spectra()
        for name in measured:
            _choice("measured", name, BOUNDS)
        told = Told(
            _day("sown", sown),
            _day("seen", seen),
            bed=None if bed is None else _bed(self._year.house, "bed", bed),
            up=None if up is None else _day("up", up),
            lamp=None if lamp is None else _choice("lamp", lamp, spectra),
            brushed=brushed,
            signs=tuple(known[_choice("signs", sign, known)] for sign in signs),
            **{k: None if v is None else _number(k, v, *BOUNDS[k]) for k, v in measured.items()},
        )
        check_told(told)
        asked = young(self._crop("crop", crop), self._table)
        answer = self._year.why(asked, told, WhyTools(checks, spectra), self._log())
        return self._answer(answer, lambda w, s: why_text(answer, w, s), lambda: why_tables(answer))

    def _log(self) -> tuple[LogLine, ...]:
        """The grower's log beside the house file, if there is one."""
        from tenhour.files.log import log_path, read_log

        path = self._year.house.path
        return read_log(log_path(path)) if path else ()

    def _beds(self, names: Iterable[str]) -> tuple[str, ...]:
        chosen = (names,) if isinstance(names, str) else tuple(names)
        return tuple(_bed(self._year.house, "beds", name) for name in chosen)

    def _crop(self, argument: str, name: str) -> Crop:
        return _named_crop(argument, name, self._table)

    def _answer(
        self, answer: AnswerModel, text: Callable[[int, Style], str], tables: Callable[[], Sequence[Table]]
    ) -> Answer:
        return Answer(answer, text, tables, self._year.house.us_units)


class Answer:
    """An answer: printed it is the command's text; its lists are data frames; the rest are plain values.

    ``answer.crops`` is a data frame if the JSON has a list of that name, otherwise the value of that key.
    """

    def __init__(
        self,
        answer: AnswerModel,
        text: Callable[[int, Style], str],
        tables: Callable[[], Sequence[Table]],
        us_units: bool,
    ) -> None:
        """Hold an answer and what writes it; the methods of :class:`Year` make one."""
        self.data = answer
        self._write = text
        self._tables = tables
        self._us_units = us_units

    def to_json(self) -> str:
        """The JSON that the command prints: SI units, ISO dates (docs/schema)."""
        return json_text(self.data)

    def to_dict(self) -> dict[str, Any]:
        """The same as a dict of plain values."""
        return answer_json(self.data)

    @cached_property
    def _frames(self) -> dict[str, pd.DataFrame]:
        from tenhour.report.frames import frames_of

        return frames_of(self.data)

    @property
    def frames(self) -> dict[str, pd.DataFrame]:
        """Every list as a data frame, by name; yours to change."""
        return {name: frame.copy() for name, frame in self._frames.items()}

    def text(self, width: int = WIDTH, units: str | None = None, dates: str = "iso") -> str:
        """The command's text.

        Parameters: width, columns, 40 or more; units, "metric" or "us", that of the house file if None; dates, how
        they are written: "iso", "long", "us" or "locale".
        Errors: FileProblem.
        """
        from tenhour.report.terminal import plain
        from tenhour.report.units import DATE_STYLES, Style

        styles = {style: style for style in DATE_STYLES}
        us_units = self._us_units if units is None else _choice("units", units, ("metric", "us")) == "us"
        style = Style(us_units, styles[_choice("dates", dates, styles)])  # type: ignore[index]
        return plain(self._write(int(_number("width", width, 40, 1000)), style))

    def __str__(self) -> str:
        return self.text()

    def __repr__(self) -> str:
        return f"<answer of {self.data.COMMAND}: {', '.join(self._frames)}>"

    def __getattr__(self, name: str) -> Any:
        if not name.startswith("_"):
            if name in self._frames:
                return self._frames[name].copy()
            for entry in entries(type(self.data)):
                if entry.name == name:
                    return entry.of(self.data)
        raise AttributeError(f"this answer has no {name!r}; its tables: {', '.join(self._frames)}")

    def __dir__(self) -> list[str]:
        return sorted({*super().__dir__(), *self._frames, *(entry.name for entry in entries(type(self.data)))})

    def _repr_html_(self) -> str:
        """The first table of the answer, for a notebook."""
        from tenhour.report.page.html import join, table_html, tag
        from tenhour.report.units import Style

        tables = self._tables()
        if not tables:
            return tag("pre", str(self))
        first, more = tables[0], len(tables[0].rows) - SHOWN_ROWS
        shown = table_html(replace(first, rows=first.rows[:SHOWN_ROWS]), Style(us_units=self._us_units))
        rest = [f"{more} more rows." if more > 0 else "", f"Tables: {', '.join(self._frames)}."]
        return join(shown, tag("p", " ".join(part for part in rest if part)))


def sources_of(house: HouseModel) -> Sources:
    """Load the packaged climate, and the weather file if the house names one.

    Errors: FileProblem for a weather file that cannot be used.
    """
    from tenhour.files.packaged import normals, perez_sky, weather_hours
    from tenhour.year.sunlight import Sources

    site, weather = house.site, None
    if site.weather_path:
        from tenhour.files.weather.read import load_weather

        weather = load_weather(Path(site.weather_path), site.latitude_deg, site.longitude_deg)
    return Sources(normals=normals(), perez=perez_sky(), weather=weather, hours=weather_hours())


def _bed_frame(year: HouseYear, name: str) -> BedYear:
    from tenhour.plan.dates import month_means
    from tenhour.year.sunlight import BRIGHT, DULL

    world = year.world
    number = world.bed_names.index(name)
    bed = world.beds[number]
    frame = BedYear(
        {
            **_calendar(),
            "dli_mol_m2_d": bed.dli_mol_m2_d,
            "dull_dli_mol_m2_d": bed.class_dli_mol_m2_d[:, DULL],
            "bright_dli_mol_m2_d": bed.class_dli_mol_m2_d[:, BRIGHT],
            "beam_dli_mol_m2_d": bed.beam_dli_mol_m2_d,
            "sky_dli_mol_m2_d": bed.sky_dli_mol_m2_d,
            "bounced_dli_mol_m2_d": bed.bounced_dli_mol_m2_d,
            "lit_h": world.lit_h[number],
            "day_degc": world.air.day_degc[number],
            "night_degc": world.air.night_degc[number],
        }
    )
    months = month_means(bed.point_dli_mol_m2_d.T)
    points = len(bed.x_m)
    frame._grid = pd.DataFrame(
        {
            "month": np.repeat(np.arange(1, 13), points),
            "x_m": np.tile(bed.x_m, 12),
            "y_m": np.tile(bed.y_m, 12),
            "dli_mol_m2_d": months.T.ravel(),
        }
    )
    return frame


def _calendar() -> dict[str, Any]:
    from tenhour.plan.dates import COMMON_YEAR

    days = pd.date_range(f"{COMMON_YEAR}-01-01", periods=365)
    return {"day_doy": np.arange(1, 366), "month": days.month.to_numpy(), "day": days.day.to_numpy()}


def _crops(asked: str | Path | Sequence[str] | None) -> tuple[tuple[Crop, ...], tuple[Crop, ...]]:
    """The crop table, and the crops of it to judge."""
    from tenhour.files.crop import load_crops

    if asked is None or isinstance(asked, str | Path):
        table = tuple(load_crops(None if asked is None else Path(asked)))
        return table, table
    table = tuple(load_crops())
    return table, tuple(dict.fromkeys(_named_crop("crops", name, table) for name in asked))


def _named_crop(argument: str, name: str, table: Sequence[Crop]) -> Crop:
    from tenhour.files.crop import crops_by_name, plain_name

    known = crops_by_name(table)
    if not isinstance(name, str) or plain_name(name) not in known:
        raise _wrong(argument, name, "a crop of the table", _near(str(name), [crop.key for crop in table]))
    return known[plain_name(name)]


def _bed(house: HouseModel, argument: str, name: str) -> str:
    return _choice(argument, name, [bed.name for bed in house.beds])


def _choice(argument: str, name: str, known: Iterable[str]) -> str:
    names = list(known)
    if name not in names:
        near = _near(str(name), names)
        raise _wrong(argument, name, f"one of {', '.join(names)}", "" if near.startswith("Choose") else near)
    return name


def _near(name: str, known: Sequence[str]) -> str:
    from tenhour.files.problems import suggest

    return suggest(name, list(known))


def _day(argument: str, value: When) -> date:
    """A date given as one, or as ISO text."""
    allowed = "a date, or a day that exists written as 2027-01-15"
    try:
        found = date.fromisoformat(value) if isinstance(value, str) else value
    except ValueError:
        raise _wrong(argument, value, allowed) from None
    if not isinstance(found, date):
        raise _wrong(argument, value, allowed)
    found = date(found.year, found.month, found.day)
    if found.year not in YEARS:
        raise _wrong(argument, value, f"years from {YEARS[0]} to {YEARS[-1]}")
    return found


def _number(argument: str, value: float, low: float, high: float) -> float:
    try:
        number = float(value)
    except (TypeError, ValueError):
        number = float("nan")
    if isinstance(value, bool) or not low <= number <= high:
        raise _wrong(argument, value, f"a number from {low:g} to {high:g}")
    return number


def _wrong(argument: str, found: object, allowed: str, do: str = "") -> FileProblem:
    return FileProblem([Problem(ARGUMENT, argument, repr(found), allowed, do)])
