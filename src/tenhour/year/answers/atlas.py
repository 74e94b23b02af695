"""Many places at once: houses that are traced once and stand at every site, sites side by side as beds of one year."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Final, Literal

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import OutOfRange
from tenhour.growth.shapes import middle_draw
from tenhour.heat import balance
from tenhour.house import bedlight
from tenhour.house.outside import Dome
from tenhour.house.suntable import DECLINATIONS, sun_nodes
from tenhour.model.crop import Crop
from tenhour.model.house import House
from tenhour.plan.dates import month_means
from tenhour.sky import dome as skydome
from tenhour.year.answers.latitudes import Lookup, Placed
from tenhour.year.crops import growing
from tenhour.year.crops.grown import DRAWS, Table
from tenhour.year.inside.panes import pane_states
from tenhour.year.inside.scene import scene_of
from tenhour.year.outside.hours import year_hours
from tenhour.year.outside.sunlight import DOME_DIVISION, DULL, SEED, Sources
from tenhour.year.warm.warmth import FEW_WINTERS, IndoorAir, Winters, indoor_air
from tenhour.year.world import Warmth, World

Array = NDArray[np.float64]
Question = Literal["light", "dates", "heat"]
QUESTIONS: Final[tuple[Question, ...]] = ("light", "dates", "heat")

ZENITH_DEG: Final = 90.0
"""Latitude at which the net of sun positions is one of azimuth and height: it then serves every place alike."""
AZIMUTHS: Final = 96
"""Of that net: twice as many as one house has hour angles, for daily paths cross it aslant."""
SUN_RAYS: Final = 150_000
"""Rays that follow the suns of that net into the house: with the 30 000 of one place, whose suns are a sixth as many, a
day's bounced light was off by 4 to 8 % (root of the mean square), with these by 2 to 3.5 %."""
TOGETHER_WINTERS: Final = 150
"""Winters of all sites whose hours are run side by side: enough to hide numpy's overhead, few enough for 1.4 GB.
Practice."""
FEWER_WINTERS: Final = 5
"""Winters behind the dates of the middle draw, half of those behind one house: what it costs in dates and degrees is
measured in docs/method/scale.md."""
W_PER_KW: Final = 1000.0
COLDEST_DEGC, WARMEST_DEGC = -20.0, 30.0
"""Months in which every pane is wet, and in which none is."""


@dataclass(frozen=True)
class Ask:
    """What is asked of every site."""

    questions: tuple[Question, ...] = QUESTIONS
    all_draws: bool = False
    """Whether dates are medians of all draws, as in the answers on one house, or those of the middle draw."""
    winters: int = FEWER_WINTERS
    """Winters whose hours are followed."""

    @classmethod
    def usual(cls, questions: tuple[Question, ...], all_draws: bool, winters: int | None) -> Ask:
        """As asked; of winters as many as suit the draws where none are named: five, or with all draws ten."""
        return cls(questions, all_draws, winters or (FEW_WINTERS if all_draws else FEWER_WINTERS))


@dataclass(frozen=True)
class Standing:
    """A house traced once for all the places it is to stand at."""

    house: House
    lookup: Lookup
    """Its light anywhere."""


def standing(house: House, moved: Sequence[House]) -> Standing:
    """Trace a house for every place it may stand at.

    Parameters: house; moved, the same house at places on either side of the equator and near it, for the months of
    snow move along with it.
    Method: the coefficients of sky and ground know no place; those of the sun are traced on a net of azimuth and height
    (the net of hour angle and declination, seen from the pole), so that every sun anywhere lies on it.
    """
    states: list[dict[str, float]] = []
    for here in moved:
        for temp in (COLDEST_DEGC, WARMEST_DEGC):
            states += [own for own in pane_states(here, np.full(12, temp)).factors if own not in states]
    sky = skydome.dome(DOME_DIVISION)
    around = Dome(sky.sample_direction, sky.sample_solid_angle_sr, sky.sample_patch)
    nodes = sun_nodes(ZENITH_DEG, _every_sun(), AZIMUTHS, closer=1)
    light = bedlight.coefficients(bedlight.solver(scene_of(house), around), nodes, states, SUN_RAYS)
    return Standing(house, Lookup(house, light, tuple(states)))


def _every_sun() -> Array:
    """Directions in every cell of the net above the horizon."""
    azimuth = (np.arange(AZIMUTHS) + 0.5) * (360.0 / AZIMUTHS)
    height = (np.arange(DECLINATIONS // 2) + 0.5) * (180.0 / DECLINATIONS)
    both = np.meshgrid(azimuth, height)
    return skydome.unit_vector(both[0].ravel(), both[1].ravel())


@dataclass(frozen=True)
class _Beds(World):
    """Houses at several places as one house-year, all their beds side by side."""

    each: tuple[World, ...] = ()

    @cached_property
    def air(self) -> IndoorAir:
        """Warmth of every bed on each day of the year."""
        air = [world.air for world in self.each]
        joined: dict[str, Any] = {name: np.concatenate([getattr(own, name) for own in air]) for name in _BY_BED}
        joined |= {name: np.concatenate([getattr(own, name) for own in air], axis=1) for name in _BY_WINTER}
        return replace(air[0], **joined)

    @property
    def lit_h(self) -> Array:
        """Hours with the sun up of every bed [B, 365]."""
        return np.concatenate([world.lit_h for world in self.each])

    @property
    def photoperiod_h(self) -> Array:
        """Civil twilight at every bed [B, 365]."""
        return np.concatenate([np.tile(world.photoperiod_h, (len(world.beds), 1)) for world in self.each])


def answers(
    standings: Sequence[Standing],
    moved: Callable[[House, int], House],
    count: int,
    sources: Sources,
    crops: Sequence[Crop],
    ask: Ask,
) -> dict[str, Array]:
    """Answers of several houses at several sites.

    Parameters: standings, H houses, their beds one behind the other B; moved, puts a house at a site by its number;
    count, N sites; sources, without a weather file; crops, C, of which fruiting crops get no dates; ask.
    Returns: by name, first axis N: outdoor light [N, 12], bed light [N, B, 12], dates as days of the year from 1
    [N, B, C], warmth [N, H]; NaN where there is none, and whole rows of NaN where there are no climate data near.
    Method: growth, dates and hours of heat are the functions that answer for one house; sites ride on their axes of
    beds and of winters.
    """
    beds = sum(len(own.house.beds) for own in standings)
    out = empty(count, len(standings), beds, len(crops), ask)
    first_bed = np.cumsum([0, *(len(own.house.beds) for own in standings)])
    for number, own in enumerate(standings):
        rows = slice(int(first_bed[number]), int(first_bed[number + 1]))
        for sites, worlds in _worlds(own, moved, count, sources, ask, out, number, rows):
            if "dates" in ask.questions and crops:
                found = _dates(worlds, crops, ask)
                for name, days in found.items():
                    per_site = np.moveaxis(days.reshape(len(crops), len(sites), -1), 0, -1)
                    out[name][sites, rows] = per_site
    return out


def empty(count: int, houses: int, beds: int, crops: int, ask: Ask) -> dict[str, Array]:
    """Answers of sites that have none. Parameters: count, of sites; how many houses, beds, crops; ask."""
    shapes: dict[str, tuple[int, ...]] = {"outdoor_dli_mol_m2_d": (count, 12), "outdoor_temp_degc": (count, 12)}
    shapes |= {"bed_dli_mol_m2_d": (count, beds, 12), "bed_dull_dli_mol_m2_d": (count, beds, 12)}
    if "dates" in ask.questions:
        shapes |= {"sow_by_doy": (count, beds, crops), "pays_from_doy": (count, beds, crops)}
    if "heat" in ask.questions:
        shapes |= {"lowest_air_degc": (count, houses), "energy_winter_kwh": (count, houses)}
        shapes |= {"hours_below_0_h": (count, houses)}
    return {name: np.full(shape, np.nan) for name, shape in shapes.items()}


def _worlds(
    own: Standing,
    moved: Callable[[House, int], House],
    count: int,
    sources: Sources,
    ask: Ask,
    out: dict[str, Array],
    number: int,
    rows: slice,
) -> Iterator[tuple[NDArray[np.intp], list[World]]]:
    """House-years of a house at all sites that have climate data, those with the same darkest day together."""
    warm = "dates" in ask.questions or "heat" in ask.questions
    groups: dict[int, list[tuple[int, World]]] = {}
    together = max(1, TOGETHER_WINTERS // ask.winters)
    for begin in range(0, count, together):
        waiting: list[tuple[int, World, Winters | None]] = []
        for site in range(begin, min(begin + together, count)):
            here = moved(own.house, site)
            try:
                placed = own.lookup.at(here, sources)
            except OutOfRange:
                continue
            world = _unheated(here, sources, placed, own.lookup.found)
            _note_light(out, site, rows, world)
            if warm:
                hours = year_hours(here, sources, placed.light, count=ask.winters)
                waiting.append((site, world, Winters.of_shine(placed.heat, placed.shine, hours)))
        _run_together([winters for *_, winters in waiting if winters is not None])
        for site, world, winters in waiting:
            if winters is not None:
                _note_heat(out, site, number, winters)
                vars(world)["air"] = indoor_air(winters)  # the cached property's place, here too
                groups.setdefault(world.darkest_day, []).append((site, world))
        waiting.clear()  # hours of many winters: they would lie there while crops grow
    for alike in groups.values():
        yield np.array([site for site, _ in alike]), [world for _, world in alike]


def _run_together(many: Sequence[Winters]) -> None:
    """Run the hours of all sites in one march; each has the run it would have alone."""
    runs = balance.run_together([(one.heat.build, one.drive) for one in many]) if many else []
    for one, found in zip(many, runs, strict=True):
        vars(one)["run"] = found  # the cached property's place


_BY_BED: Final = ("day_degc", "night_degc", "cold_night_degc", "rare_night_degc", "soil_degc")
_BY_WINTER: Final = ("lows_degc", "lit_degc")


def _unheated(house: House, sources: Sources, placed: Placed, found: bedlight.BedLight) -> World:
    """The light of a house-year, its air still to come."""
    light, beds = placed.light, placed.beds
    darkest = int(np.argmin(light.outdoors.noon_height_deg))
    warmth = Warmth(house, sources, light, found, placed.states)
    return World(house, light, beds, warmth, tuple(range(len(beds))), (), (), (), darkest)


def _note_light(out: dict[str, Array], site: int, rows: slice, world: World) -> None:
    outdoors = world.outdoors
    out["outdoor_dli_mol_m2_d"][site] = month_means(outdoors.dli_mol_m2_d)
    out["outdoor_temp_degc"][site] = outdoors.climate.temp_degc
    out["bed_dli_mol_m2_d"][site, rows] = [month_means(bed.dli_mol_m2_d) for bed in world.beds]
    out["bed_dull_dli_mol_m2_d"][site, rows] = [month_means(bed.class_dli_mol_m2_d[:, DULL]) for bed in world.beds]


def _note_heat(out: dict[str, Array], site: int, number: int, winters: Winters) -> None:
    if "energy_winter_kwh" not in out:
        return
    out["energy_winter_kwh"][site, number] = winters.run.heat_w.sum(axis=0).mean() / W_PER_KW
    out["lowest_air_degc"][site, number] = np.median(winters.lowest_degc(winters.run.air_degc).min(axis=1))
    out["hours_below_0_h"][site, number] = (winters.run.air_degc < 0.0).sum(axis=0).mean()


def _dates(worlds: list[World], crops: Sequence[Crop], ask: Ask) -> dict[str, Array]:
    """Days of the year, from 1, of every crop on all beds side by side [C, B]; NaN where none."""
    rows = [n for n, crop in enumerate(crops) if crop.way != "fruiting"]
    some = [crops[n] for n in rows]
    beds = tuple(bed for world in worlds for bed in world.beds)
    every = {name: getattr(worlds[0], name) for name in World.__dataclass_fields__}
    year = _Beds(**every | {"beds": beds}, each=tuple(worlds))
    climate = growing.bed_climates(year)
    draws = middle_draw()
    if ask.all_draws:
        draws = growing.seasons_of([world for world in worlds for _ in world.beds], some, DRAWS, SEED)
    table = Table(tuple(some), year, climate, draws, growing.grow(some, climate, growing.SOWN_DOY, draws), lean=True)
    out = {}
    for name, days in zip(("pays_from_doy", "sow_by_doy"), table.dates, strict=True):
        out[name] = np.full((len(crops), len(beds)), np.nan)
        out[name][rows] = days + 1.0
    return out
