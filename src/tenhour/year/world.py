"""The house-year: light on every bed and air, by day of the generic year. Built once, always with all beds."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import FileProblem
from tenhour.house.bedlight import BedLight, Solver
from tenhour.house.outside import Outside
from tenhour.house.shapes import Block, Surface
from tenhour.house.suntable import SunNodes
from tenhour.model.house import BedLamps, House, cautions_of
from tenhour.model.results import Basis
from tenhour.model.site import Site
from tenhour.plan.dates import DAYS, month_means
from tenhour.sky.frost import frost_tail_d, last_frost_days
from tenhour.sky.hours import Hours
from tenhour.units import GENERIC_YEAR
from tenhour.words import remarks as words
from tenhour.words.learning import USES, USES_YIELD
from tenhour.words.text import counted
from tenhour.year.inside.beds import BedYear, beds_of, room_of, traced
from tenhour.year.inside.lit import lamp_heat_w, lamps_over, with_lamps
from tenhour.year.inside.panes import PaneStates
from tenhour.year.inside.scene import room_problems
from tenhour.year.outside.hours import Springs, springs, year_hours
from tenhour.year.outside.sunlight import Outdoors, Sources, Sunlight, made, sunlight_at
from tenhour.year.warm.warmth import FEW_WINTERS, IndoorAir, Winters, indoor_air, open_air

Array = NDArray[np.float64]

WAYS_OF_LIGHT: Final = (BedLight, SunNodes, Outside, Block, Surface, PaneStates)
"""Classes that what was traced is made of."""
FROST_CHANCES_FRAC: Final = (0.5, 0.1)
SNOWY_DEGC: Final = -2.0
"""Months colder than this on the mean usually have a white ground. Practice."""


@dataclass(frozen=True)
class Warmth:
    """Warmth of a traced house: its winters are run by the hour when something first asks for them."""

    house: House
    """With the bed of its nursery."""
    sources: Sources
    light: Sunlight
    found: BedLight
    states: PaneStates
    """Where light goes in the house, and the states of its panes."""
    lamps_w: Array | None = None
    """Heat of the lamps of the house by day of the year and hour [365, 24]."""

    @cached_property
    def hours(self) -> Hours:
        """Hours outdoors of the winters behind every answer."""
        return year_hours(self.house, self.sources, self.light, count=FEW_WINTERS)

    @cached_property
    def air(self) -> IndoorAir:
        """Warmth of every bed of ``house``."""
        return _air_of(self.house, self.sources, self._air)

    @property
    def kept_air(self) -> IndoorAir | None:
        """The same where house-years are kept and this one is; never by what was asked of this object before."""
        return kept_air(self.house, self.sources)

    def _air(self) -> IndoorAir:
        return indoor_air(Winters(self.house, self.light, self.found, self.states, self.hours, self.lamps_w))

    def heating_spared_kwh(self, lamps_w: Sequence[Array], around_w: Array | None) -> list[float]:
        """Heat that the house need not be given for each of several ways to light it, in its middle winter [kWh].

        Parameters: lamps_w, heat that stays of each way [365, 24], on the days counted; around_w, of lamps that burn
        in any case.
        """
        from tenhour.year.warm.lampheat import heating_spared_kwh, middle_winter

        hours = middle_winter(self.hours, int(np.argmin(self.light.outdoors.noon_height_deg)))
        return heating_spared_kwh(Winters(self.house, self.light, self.found, self.states, hours, around_w), lamps_w)

    @cached_property
    def outdoor_air(self) -> IndoorAir:
        """Warmth of open ground, as one bed, over the same winters."""
        key = (self.house.site, self.sources.weather, self.sources.since)
        return self.sources.kept("outdoor-air", key, lambda: open_air(self.hours, self.light), (IndoorAir,))

    @cached_property
    def frost_doy(self) -> tuple[float, float]:
        """Days of the year from 0 after which half of the springs, and one in ten, still freeze; NaN where fewer do."""
        own = self.house.site.last_frost_doy
        if own is not None:
            return float(own), float((own + self.frost_tail_d(own)) % DAYS)
        low, freezes_degc, _ = self.springs
        half, tenth = last_frost_days(low, FROST_CHANCES_FRAC, south=self._south, freezes_degc=freezes_degc).tolist()
        return half, tenth

    def frost_tail_d(self, half_doy: int) -> int:
        """Days from half of the springs to one in ten, for a garden that knows the day of the former."""
        return frost_tail_d(self.springs.low_degc, half_doy, south=self._south)

    @cached_property
    def springs(self) -> Springs:
        """Nights that the garden's last frost is told from."""
        return springs(self.house, self.sources, self.light)

    @property
    def _south(self) -> bool:
        return self.house.site.latitude_deg < 0


class _NotKeptError(LookupError):
    """No such house-year is kept."""


def _air_of(whole: House, sources: Sources, make: Callable[[], IndoorAir]) -> IndoorAir:
    return sources.kept("air", (whole, sources.weather, sources.since), make, (IndoorAir,))


def kept_air(house: House, sources: Sources) -> IndoorAir | None:
    """Warmth of every bed of a house, and of its nursery's, where it is kept; None where it would have to be run."""
    with suppress(_NotKeptError):
        return _air_of(_with_nursery_bed(house)[0], sources, _refuse)
    return None


def _refuse() -> IndoorAir:
    raise _NotKeptError


@dataclass(frozen=True)
class World:
    """Everything the answers start from."""

    house: House
    light: Sunlight
    beds: tuple[BedYear, ...]
    warmth: Warmth
    """Of the whole house, whichever beds are shown."""
    shown: tuple[int, ...]
    """Numbers of the beds among those of the whole house."""
    assumptions: tuple[str, ...]
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]
    darkest_day: int
    """Day of the generic year with the lowest noon sun."""
    lamps: tuple[BedLamps, ...] = ()
    """What burns over its beds."""
    nursery_bed: World | None = None
    """The one bed the nursery stands on, if it does, whether or not that is among the beds asked for."""
    solved: Solver | None = None
    """The house ready for other suns and panes, where that was asked for."""

    @property
    def outdoors(self) -> Outdoors:
        """Light and air outdoors."""
        return self.light.outdoors

    @cached_property
    def air(self) -> IndoorAir:
        """Warmth of every bed on each day of the year."""
        return self.warmth.air.of_beds(self.shown)

    @property
    def lit_h(self) -> Array:
        """Hours with the sun up or lamps on, of every bed [B, 365]."""
        sun = np.clip(self.outdoors.daylength_h, 0.0, 24.0)
        out = np.tile(sun, (len(self.beds), 1))
        for lamps in self.lamps:
            for number, bed in enumerate(self.beds):
                if bed.name == lamps.bed:
                    out[number] = np.maximum(out[number], np.array(lamps.lit_h))
        return out

    @property
    def photoperiod_h(self) -> Array:
        """Day length that turns plants to flower or bulb [365]: civil twilight, and lamps over any bed of the house."""
        out = np.maximum(self.outdoors.photoperiod_h, 0.0)
        for lamps in self.lamps:
            out = np.maximum(out, np.array(lamps.photoperiod_h))
        return np.asarray(out)

    @property
    def bed_names(self) -> list[str]:
        """Names in the order of the arrays."""
        return [bed.name for bed in self.beds]

    def basis(self, inputs: dict[str, object]) -> Basis:
        """What every answer about this house states beside itself."""
        return Basis(inputs, self.assumptions, self.warnings, self.cautions)

    def of_beds(self, names: Sequence[str]) -> World:
        """The same house-year, all its beds in place, shown for the named ones alone; for all where none is named."""
        if not names:
            return self
        return _some_beds(self, [number for number, bed in enumerate(self.beds) if bed.name in names])


def build(house: House, sources: Sources, *, for_changes: bool = False) -> World:
    """Run the chain from site to bed light and air.

    Parameters: house; sources; for_changes, whether the house is held ready for changes that are tried on it.
    Errors: OutOfRange where the site has no climate data near; FileProblem for a room that cannot be traced.
    """
    problems = room_problems(house)
    if problems:
        raise FileProblem(problems)
    light = sunlight_at(house, sources)
    out = light.outdoors
    whole, place = _with_nursery_bed(house)
    # named by the room alone, so that another heater traces nothing anew
    room = () if sources.kept is made else room_of(whole, light)
    solved: list[Solver] = []
    hold = solved.append if for_changes else None
    found, states = sources.kept("light", room, lambda: traced(whole, light, hold), WAYS_OF_LIGHT)
    beds = beds_of(whole, light, found, states)
    darkest = int(np.argmin(out.noon_height_deg))
    over = lamps_over(house, beds)
    lit = tuple(with_lamps(bed, over) for bed in beds)
    warnings = (*out.climate.notes, *_snow_likely(house.site, out))
    warmth = Warmth(whole, sources, light, found, states, lamp_heat_w(whole, beds, over))
    every = tuple(range(len(whole.beds)))
    notes, cautions = _assumptions(house, out.source), cautions_of(house)
    world = World(whole, light, lit, warmth, every, notes, warnings, cautions, darkest, over)
    there = None if place is None else _some_beds(world, [place])
    ready = solved[0] if solved and len(whole.beds) == len(house.beds) else None
    return replace(_some_beds(world, range(len(house.beds))), nursery_bed=there, solved=ready)


def rewarmed(world: World, house: House) -> World | None:
    """The world of a house that differs in its warmth alone (air, draughts, curtains, heaters), its light not traced
    again; None where more differs.
    """
    own = world.house
    if world.nursery_bed is not None:
        return None
    same = replace(
        house, air=own.air, draughts=own.draughts, curtains=own.curtains, heaters=own.heaters,
        mats=own.mats, household=own.household, assumptions=own.assumptions,
    )  # fmt: skip
    if same != own:
        return None
    notes, cautions = _assumptions(house, world.outdoors.source), cautions_of(house)
    return replace(world, house=house, warmth=replace(world.warmth, house=house), assumptions=notes, cautions=cautions)


def _with_nursery_bed(house: House) -> tuple[House, int | None]:
    """The house with the bed its nursery stands on, and that bed's number."""
    bed = None if house.nursery is None else house.nursery.bed
    if bed is None:
        return house, None
    names = [own.name for own in house.beds]
    if bed.name in names:
        return house, names.index(bed.name)
    return replace(house, beds=(*house.beds, bed)), len(names)


def _some_beds(world: World, numbers: Sequence[int]) -> World:
    """The same house-year with some of its beds."""
    which = list(numbers)
    house = replace(world.house, beds=tuple(world.house.beds[number] for number in which))
    beds = tuple(world.beds[number] for number in which)
    shown = tuple(world.shown[number] for number in which)
    return replace(world, house=house, beds=beds, shown=shown, solved=None)


def lessons_used(house: House) -> tuple[str, ...]:
    """The line of every answer that uses what the log has taught; none where nothing is kept."""
    lessons = house.lessons
    if lessons.kept is None:
        return ()
    of = ((USES, lessons.growth, "sowing"), (USES_YIELD, lessons.weight, "weighing"))
    return tuple(
        uses(rows=counted(learned.rows_count, one), on=lessons.kept) for uses, learned, one in of if learned is not None
    )


def _assumptions(house: House, source: str) -> tuple[str, ...]:
    notes = [*lessons_used(house), *house.assumptions]
    notes.append(words.SOURCE(source=source))
    if house.air.day_degc is None or house.air.night_degc is None:
        notes.append(words.AIR_NOT_GIVEN())
    notes.append("One photon factor for all skies: 2.018 µmol per joule of global radiation, ± 4 %.")
    return tuple(dict.fromkeys(notes))


def _snow_likely(site: Site, out: Outdoors) -> tuple[str, ...]:
    """A hint where winter is cold enough for snow and the house file does not speak of any."""
    cold = np.flatnonzero(np.asarray(out.climate.temp_degc) < SNOWY_DEGC) + 1
    if not cold.size or site.snow_months or len(set(site.ground_reflectance_frac)) > 1:
        return ()
    # in the order of the winter, which in the north runs over New Year
    gap = next((n for n in range(len(cold) - 1) if cold[n + 1] - cold[n] > 1), -1)
    months = [int(month) for month in np.roll(cold, -(gap + 1))]
    return (words.SNOW_LIKELY(limit=SNOWY_DEGC, months=months),)


def month_mean(values: Array) -> Array:
    """Mean by month [..., 12] of values by day [..., 365]."""
    return month_means(values)


def mid_month_index() -> NDArray[np.intp]:
    """Day of the generic year of the 15th of each month [12]."""
    return np.array([(date(GENERIC_YEAR, month, 15) - date(GENERIC_YEAR, 1, 1)).days for month in range(1, 13)])
