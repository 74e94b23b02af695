"""A house-year for Python, and the questions to it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from copy import copy
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from tenhour.door.answer import Answer
from tenhour.door.arguments import When, bed_of, choice_of, count_of, crop_of, day_of, number_of, wrong
from tenhour.door.beds import Beds
from tenhour.door.house import House

if TYPE_CHECKING:
    import pandas as pd

    from tenhour.model.crop import Crop
    from tenhour.model.house import House as HouseModel
    from tenhour.model.log import LogLine
    from tenhour.model.results import Answer as AnswerModel
    from tenhour.report.tables import Table
    from tenhour.words.style import Style
    from tenhour.year.outside.sunlight import Sources
    from tenhour.year.year import Year as HouseYear


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
            raise wrong("house", house, "a house, as read_house gives it")
        described = house.model
        if weather is not None:
            site = replace(described.site, climate="file", weather_path=str(weather), means=None)
            described = replace(described, site=site)
        self._table, chosen = crops_of(crops)
        self._named = crops is not None and not isinstance(crops, (str, Path))
        """Whether crops were asked for by name."""
        self._year = HouseYear(described, sources_of(described), chosen)
        self.house = House(described)

    def rewarmed(self, house: House) -> Year | None:
        """The year of a house that differs in its warmth alone (set points, heaters, curtains, draughts): light that
        was traced already serves it too; None where more differs or nothing is traced yet.
        """
        found = self._year.rewarmed(house.model)
        if found is None:
            return None
        year = copy(self)
        year._year, year.house = found, house
        return year

    @property
    def model(self) -> HouseYear:
        """The house-year itself: light by day and point, for what no table shows."""
        return self._year

    @property
    def outdoors(self) -> pd.DataFrame:
        """Light and air outdoors, one row for each day of the generic year (365).

        Columns: day_doy 1-365, month, day; daylength_h, photoperiod_h (civil twilight included), sunrise_h and
        sunset_h of standard time; noon_height_deg; dli_mol_m2_d of the mean day, dull_dli_mol_m2_d and
        bright_dli_mol_m2_d (one day in five is duller, brighter); temp_degc, mean of day and night.
        """
        import pandas as pd

        from tenhour.plan.dates import day_columns
        from tenhour.year.outside.sunlight import BRIGHT, DULL

        out = self._year.world.outdoors
        return pd.DataFrame(
            {
                **day_columns(),
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

        day = None if on is None else day_of("on", on)
        shown = None if map_bed is None else bed_of(self._year.house, "map_bed", map_bed)
        answer = self._year.light(on=day, map_bed=shown, with_gains=brighter, today=day)
        return self._answer(
            answer,
            lambda w, s: light_text(answer, w, style=s, months=False, now=day),
            lambda: light_tables(answer),
        )

    def sow(self, on: When, beds: Iterable[str] = ()) -> Answer:
        """What to do with every crop on every bed on one date; what stands there is told by the log beside the file.

        Parameters: on, the date; beds, names of those to show, all if none.
        Returns: an answer with ``beds`` and ``crops``.
        Errors: FileProblem.
        """
        from tenhour.model.log import standing_by_bed
        from tenhour.report.sow import sow_tables, sow_text

        day = day_of("on", on)
        named = self._beds(beds)
        answer = self._year.sow(day, beds=named, standing=standing_by_bed(self._log(), day), logged=self._log())
        return self._answer(
            answer,
            lambda w, s: sow_text(answer, w, style=s, everything=self._named, by_bed=bool(named)),
            lambda: sow_tables(answer),
        )

    def week(self, on: When) -> Answer:
        """What to do in the seven days from a date; what stands is told by the log beside the house file.

        Parameters: on, the first day.
        Returns: an answer with ``sow``, ``later``, ``stands``, ``beds``, ``lamps``.
        Errors: FileProblem.
        """
        from tenhour.report.week import week_tables, week_text

        answer = self._year.week(day_of("on", on), log=self._log())
        return self._answer(answer, lambda w, s: week_text(answer, w, style=s), lambda: week_tables(answer))

    def log(self, on: When) -> Answer:
        """What stands by the log beside the house file, when it is ready, and what to do with it.

        Parameters: on, the day asked for.
        Returns: an answer with ``standing``, ``stands``, ``lines``.
        Errors: FileProblem for a log of unknown crops or beds too.
        """
        from tenhour.report.log import log_tables, log_text

        day, path = day_of("on", on), self._log_path()
        answer = self._year.log(day, lines=self._log(), path=path)
        return self._answer(answer, lambda w, s: log_text(answer, day, path, w, s), lambda: log_tables(answer))

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
        from tenhour.year.crops.supply import Wishes

        every = None if every_d is None else int(number_of("every_d", every_d, 1, 182))
        meals = meals_per_week_count
        if meals is not None:
            meals = number_of("meals_per_week_count", meals, 0.1, 100)
        wishes = Wishes.of(every, meals, None if last_frost is None else day_of("last_frost", last_frost))
        named = self._beds(beds)
        answer = self._year.season(day_of("start", start), beds=named, wishes=wishes, logged=self._log())
        everything = self._named or bool(named)
        return self._answer(
            answer,
            lambda w, s: season_text(answer, w, style=s, everything=everything),
            lambda: season_tables(answer),
        )

    def heat(
        self,
        today: When,
        *,
        tonight_degc: float | None = None,
        sky: Literal["clear", "half", "overcast"] = "clear",
        wind: Literal["calm", "breeze", "windy"] = "calm",
        cut_h: float = 12,
        pairs: bool = False,
    ) -> Answer:
        """Whether the house is warm enough, and what that costs.

        Parameters: today; tonight_degc, lowest outdoors of the coming night by the forecast, with its sky and wind;
        cut_h, hours for which heat fails, 1 to 168; pairs, whether pairs of changes are run too (slow).
        Returns: an answer with ``winter``, ``months``, ``heater``, ``measures``, ``pairs``, ``spots``, ``power_cut``,
        ``tonight``.
        Errors: FileProblem.
        """
        from tenhour.report.heat import heat_tables, heat_text

        lowest = None if tonight_degc is None else number_of("tonight_degc", tonight_degc, -60.0, 30.0)
        choice_of("sky", sky, ("clear", "half", "overcast"))
        choice_of("wind", wind, ("calm", "breeze", "windy"))
        answer = self._year.heat(
            today=day_of("today", today), tonight_degc=lowest,
            sky=sky,
            wind=wind,
            cut_h=int(number_of("cut_h", cut_h, 1, 168)), with_pairs=pairs,
        )  # fmt: skip
        return self._answer(
            answer, lambda w, s: heat_text(answer, w, s, "helps" if pairs else "winter"), lambda: heat_tables(answer)
        )

    def feed(
        self,
        today: When,
        *,
        people_count: int | None = None,
        step_weeks: int | None = None,
        seconds_s: float = 60.0,
        kept: str | Path | None = None,
    ) -> Answer:
        """Plan of the household: what to sow where and when so that every week has its meals.

        Parameters: today, day from which on is sown; people_count, if not those of the house file (2 without a
        [household]); step_weeks, weeks between the sowings offered, 1 to 8, else one for each
        twenty beds; seconds_s, most time for the search [s]; kept, the file of a plan made before (its JSON), which is
        changed no more than it must be.
        Returns: an answer with ``weeks``, ``eat``, ``sowings``, ``jobs``, ``trays``, ``shelf``, ``seeds``, ``stands``,
        ``changes``, ``missing``, ``remedies``, ``surety``.
        Errors: FileProblem; NoAnswer where the household's season is over.
        """
        from tenhour.files.covers import shipped_covers
        from tenhour.files.house.household import household_data, usual_household
        from tenhour.files.keptplan import read_plan
        from tenhour.files.lamp import LampChoice, find_lamp
        from tenhour.model.lamp import LampRequest
        from tenhour.report.feed import feed_tables, feed_text
        from tenhour.year.feed.asked import Asked

        household = self._year.house.household or usual_household()
        if people_count is not None:
            household = replace(household, people_count=count_of("people_count", people_count, 1, 50))
        step = None if step_weeks is None else count_of("step_weeks", step_weeks, 1, 8)
        plan = None if kept is None else read_plan(Path(kept))
        asked = Asked(
            household, self._year.crops, household_data(), day_of("today", today), step, tuple(self._log()), plan,
            fleece=shipped_covers().get("fleece"),
        )  # fmt: skip
        answer = self._year.feed(
            asked, find_lamp(LampChoice()), LampRequest(), seconds_s=number_of("seconds_s", seconds_s, 1, 3600)
        )
        return self._answer(answer, lambda w, s: feed_text(answer, w, style=s), lambda: feed_tables(answer))

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
        worth_currency: float | None = None,
        rung: str | None = None,
        mains_v: float = 230.0,
        breaker_a: float | None = None,
        others_w: float = 0.0,
        headroom_m: float | None = None,
        evenness_frac: float = 0.7,
        panels_refl_frac: float | None = None,
        windows_count: int | None = None,
        tiers_count: int = 1,
        own_count: int | None = None,
        over_bed: bool = False,
    ) -> Answer:
        """Size a lamp for a bed and crop: fixtures, height, clock, circuit, energy and cost.

        Parameters: bed; crop, a name or several; lamp, a kind, a file, or words like "40 W 104 umol/s 1.15 m"; start
        and end, first and last day; harvest_by, a date to have the crop in by; hours_h and dli_mol_m2_d, lamp hours
        a day and light wanted, if not the crop's own; price of a kWh as "0.30 EUR" or "0.32 EUR; 23-7=0.14";
        worth_currency, what a kilogram is worth to you (a plant, a tray); rung of the ladder that is planned in full:
        least, steady, full, dull; mains_v;
        breaker_a, 16 or at less than 150 V 15 if None; others_w, watts of all else on the circuit; headroom_m, highest
        a lamp may hang above the leaves; evenness_frac, darkest over mean light wanted; panels_refl_frac, reflectance
        of side panels; windows_count, most times a day the lamps come on; tiers_count, shelves of a rack;
        own_count, how many of them you have already, to ask what these can do; over_bed, whether the bed itself is
        to be lit, so that lamps over seedlings alone are no answer.
        Returns: an answer with ``ladder``, ``own``, ``knee``, ``clock``, ``windows``, ``heights``, ``days``,
        ``remedies``, ``clock_changes``.
        Errors: FileProblem; NoAnswer where no light brings the crop in.
        """
        from tenhour.files.lamp import LampChoice, find_lamp
        from tenhour.files.lamp_kinds import load_cautions
        from tenhour.files.lamp_words import parse_price
        from tenhour.model.lamp import REQUEST_BOUNDS, RUNGS, Circuit, LampRequest, OwnLamps, usual_breaker_a
        from tenhour.report.lamps import lamps_tables, lamps_text

        given = {
            "hours_h": hours_h, "dli_mol_m2_d": dli_mol_m2_d, "mains_v": mains_v, "breaker_a": breaker_a,
            "others_w": others_w, "headroom_m": headroom_m, "evenness_frac": evenness_frac,
            "panels_refl_frac": panels_refl_frac, "windows_count": windows_count, "tiers_count": tiers_count,
            "worth_currency": worth_currency, "own_count": own_count,
        }  # fmt: skip
        n = {k: None if v is None else number_of(k, v, *REQUEST_BOUNDS[k]) for k, v in given.items()}
        first, last = day_of("start", start), None if end is None else day_of("end", end)
        if last is not None and last < first:
            raise wrong("end", last.isoformat(), f"{first.isoformat()} or later")
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
            rung=next((known for known in RUNGS if rung is not None and known == choice_of("rung", rung, RUNGS)), None),
            worth_currency=n["worth_currency"],
            own=None if n["own_count"] is None else OwnLamps(round(n["own_count"])),
            over_bed=over_bed,
        )
        names = [crop] if isinstance(crop, str) else list(crop)
        answer = self._year.lamps(
            bed_of(self._year.house, "bed", bed), [self._crop("crop", name) for name in names],
            find_lamp(LampChoice(lamp)), request, cautions=load_cautions(), tiers_count=tiers_count, today=first,
            harvest_by=None if harvest_by is None else day_of("harvest_by", harvest_by),
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
        from tenhour.files.signs import load_signs, load_troubles, sign_of
        from tenhour.files.spectra import load_spectra
        from tenhour.report.why import why_tables, why_text
        from tenhour.year.answers.whycase import BOUNDS, Told, WhyTools, check_told, young

        known, checks = load_signs()
        spectra = load_spectra()
        for name in measured:
            choice_of("measured", name, BOUNDS)
        told = Told(
            day_of("sown", sown),
            day_of("seen", seen),
            bed=None if bed is None else bed_of(self._year.house, "bed", bed),
            up=None if up is None else day_of("up", up),
            lamp=None if lamp is None else choice_of("lamp", lamp, spectra),
            brushed=brushed,
            signs=tuple(sign_of(sign) or known[choice_of("signs", sign, known)] for sign in signs),
            **{k: None if v is None else number_of(k, v, *BOUNDS[k]) for k, v in measured.items()},
        )
        check_told(told)
        asked = young(self._crop("crop", crop), self._table)
        answer = self._year.why(asked, told, WhyTools(checks, spectra, load_troubles()), self._log())
        return self._answer(answer, lambda w, s: why_text(answer, w, s, everything=False), lambda: why_tables(answer))

    def learn(self, today: When, since: When | None = None) -> Answer:
        """What the log beside the house file has taught: growth and yield against the table, and what they change.

        Parameters: today; since, rows before it are of another house and teach nothing, the house file's own if None.
        Returns: an answer with ``factors``, ``effects``, ``left_out``. Nothing is written.
        Errors: FileProblem.
        """
        from tenhour.files.house.learned import prior_numbers
        from tenhour.report.learn import learn_tables, learn_text
        from tenhour.year.readings.learn import learn_of

        start = None if since is None else day_of("since", since)
        answer = learn_of(self._year, self._log(), prior_numbers(), today=day_of("today", today), since=start)
        return self._answer(answer, lambda w, s: learn_text(answer, w, s), lambda: learn_tables(answer))

    def _log(self) -> tuple[LogLine, ...]:
        """The grower's log beside the house file, if there is one."""
        from tenhour.files.log import house_log

        return house_log(self._year.house, self._table)

    def _log_path(self) -> str:
        """Where the grower's log lies."""
        from tenhour.files.log import log_path

        return str(log_path(self._year.house.path))

    def _beds(self, names: Iterable[str]) -> tuple[str, ...]:
        chosen = (names,) if isinstance(names, str) else tuple(names)
        return tuple(bed_of(self._year.house, "beds", name) for name in chosen)

    def _crop(self, argument: str, name: str) -> Crop:
        return crop_of(argument, name, self._table)

    def _answer(
        self, answer: AnswerModel, text: Callable[[int, Style], str], tables: Callable[[], Sequence[Table]]
    ) -> Answer:
        return Answer(answer, text, tables, self._year.house.us_units)


def sources_of(house: HouseModel) -> Sources:
    """Load the packaged climate, and the weather file if the house names one.

    Errors: FileProblem for a weather file that cannot be used.
    """
    from tenhour.files.grower import load_grower_lines
    from tenhour.files.kept import Kept, kept_folder
    from tenhour.files.packaged import normals, perez_sky, weather_hours
    from tenhour.year.outside.sunlight import Sources, made

    site, grid, weather = house.site, normals(), None
    if site.weather_path:
        from tenhour.door.weather import load_weather
        from tenhour.year.outside.weather import held_to_normals

        path = site.weather_path
        weather = load_weather(Path(path), site.latitude_deg, site.longitude_deg)
        weather = held_to_normals(weather, grid, path, elevation_m=site.elevation_m, trust=site.weather_trust)
    since = None
    if site.weather_since:
        from tenhour.door.weather import load_since

        since = load_since(Path(site.weather_since), site.latitude_deg, site.longitude_deg)
    folder = kept_folder()
    keeper = made if folder is None else Kept(folder)
    return Sources(
        normals=grid, perez=perez_sky(), weather=weather, hours=weather_hours(), since=since, kept=keeper,
        grower=load_grower_lines(),
    )  # fmt: skip


def crops_of(asked: str | Path | Sequence[str] | None) -> tuple[tuple[Crop, ...], tuple[Crop, ...]]:
    """The crop table, and the crops of it to judge."""
    from tenhour.files.crop import load_crops

    if asked is None or isinstance(asked, str | Path):
        table = tuple(load_crops(None if asked is None else Path(asked)))
        return table, table
    table = tuple(load_crops())
    return table, tuple(dict.fromkeys(crop_of("crops", name, table) for name in asked))
