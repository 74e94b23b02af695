"""Unpack crops and beds into arrays, grow them, and gather what decisions need."""

from __future__ import annotations

import zlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.growth import seedfed
from tenhour.growth.draws import season_draws
from tenhour.growth.run import dry_target_g_m2, run
from tenhour.growth.shapes import BedClimate, CropArrays, Draws, GrowthRun, Young, bed_climate
from tenhour.growth.stages import bed_window_mean, window_mean
from tenhour.growth.stretch import COOL_BASE_DEGC, stretch
from tenhour.model.crop import Crop, Sourced, growth_columns
from tenhour.plan.dates import DAYS, MONTH_OF_DAY
from tenhour.plan.sowing import LATE_EMERGENCE_D
from tenhour.sky import spread
from tenhour.year.outside.sunlight import CLASSES
from tenhour.year.world import World

Array = NDArray[np.float64]

SOWN_DOY: Final = np.arange(0, DAYS, 15)
"""Days of the generic year on which everything is sown, whichever day one asks about."""
EARLY_D: Final = 21.0
"""Days from emergence over which stretch is judged: the first three weeks count most (growth-and-stretch 8.2)."""
FIRST_WEEK_D: Final = 7
FIRST_D: Final = 28.0
"""Days from emergence whose mean light is held against the need: by definition of the answers."""
YOUNG_FRAC: Final = 0.1
"""Size at which a crop meant to grow large is cut as young leaf, as a share of full size, where nobody gives the leaves
or the length it is then cut at: judgement."""
AGAIN_WAY: Final = "cut"
"""Way of cropping whose stands are cut more than once."""
YOUNG_WAYS: Final = ("head", "pick")
"""Ways of cropping that can be cut young at a share of full size; crops cut by length have a size of their own."""


def value_of(number: Sourced | None, default: float = float("nan")) -> float:
    """Value of a sourced number, or the default where the crop has none."""
    return default if number is None else number.value


def column(crops: Sequence[Crop], read: Callable[[Crop], float]) -> Array:
    """One number of every crop, as an array [C]."""
    return np.array([read(crop) for crop in crops], dtype=np.float64)


def part(section: str, field: str, default: float) -> Callable[[Crop], float]:
    """A reader of one number of a crop, with the default where the crop has none."""

    def read(crop: Crop) -> float:
        part = getattr(crop, section)
        return default if part is None else value_of(getattr(part, field), default)

    return read


def frost_degc(crop: Crop) -> tuple[float, float, float]:
    """Nights that kill a crop hardened and not, and the one that chills it, NaN where none does."""
    climate = crop.climate
    hardened = climate.kill_degc.value
    return hardened, value_of(climate.kill_tender_degc, hardened), value_of(climate.chill_degc)


def tender_degc(crop: Crop) -> float:
    """Night that ends a crop which comes from warmth: the one that kills or, for warm crops, chills it."""
    return float(np.fmax(*frost_degc(crop)[1:]))


def crop_arrays(crops: Sequence[Crop]) -> CropArrays:
    """Growth numbers of crops that live on light, as arrays [C]."""
    return CropArrays(**growth_columns(crops))


def tray_arrays(crops: Sequence[Crop]) -> seedfed.TrayArrays:
    """Numbers of tray crops as arrays [T]."""
    names = seedfed.TrayArrays.__dataclass_fields__
    return seedfed.TrayArrays(**{name: column(crops, part("tray", name, np.nan)) for name in names})


def bed_climates(world: World) -> BedClimate:
    """Light of real days in a fixed order, air and lit hours of every bed [B, 365]."""
    order = spread.class_sequence(DAYS)
    day = np.arange(DAYS)
    dli = np.stack([bed.class_dli_mol_m2_d[day, order] for bed in world.beds])
    return bed_climate(
        dli, world.air.day_degc, world.air.night_degc, world.lit_h, swing_frac=1.0, soil_degc=world.air.soil_degc
    )


def mean_temp_degc(climate: BedClimate) -> Array:
    """Hour-weighted mean air of each bed and day [B, 365]."""
    share = climate.lit_h / 24.0
    return np.asarray(share * climate.temp_day_degc + (1.0 - share) * climate.temp_night_degc)


def bed_mean_degc(world: World, bed: int) -> Array:
    """The same of one bed of a world [365]."""
    share = world.lit_h[bed] / 24.0
    return np.asarray(share * world.air.day_degc[bed] + (1.0 - share) * world.air.night_degc[bed])


def too_warm_to_come_up(crops: Sequence[Crop], climate: BedClimate) -> NDArray[np.bool_]:
    """Whether the weeks in which seed may lie, or one of them, are warmer than it comes up at [C, B, 365].

    A warm week that comes only after the first counts where the seed had warmth enough to be up: it is not cold then.
    """
    days = np.broadcast_to(np.arange(DAYS), (len(climate), DAYS))
    temp = np.maximum(mean_temp_degc(climate), climate.soil_degc)
    first = window_mean(temp, days, FIRST_WEEK_D)
    mean = np.maximum(window_mean(temp, days, LATE_EMERGENCE_D), first)
    weeks = np.arange(0, round(LATE_EMERGENCE_D), FIRST_WEEK_D)
    peak = np.max([np.roll(first, -week, axis=-1) for week in weeks], axis=0)
    most, base, need = (
        column(crops, part("emergence", name, default))[:, None, None]
        for name, default in (("max_degc", np.inf), ("base_degc", np.inf), ("sum_degcday", np.inf))
    )
    above = [
        LATE_EMERGENCE_D * window_mean(np.maximum(temp - value, 0.0), days, LATE_EMERGENCE_D) for value in base.ravel()
    ]
    enough = np.array(above).reshape(len(crops), *temp.shape) >= need  # of no crops too: fruiting ones have no tables
    return np.asarray((mean > most) | ((peak > most) & enough))


def in_season(crops: Sequence[Crop], darkest_day: int) -> NDArray[np.bool_]:
    """Whether a day of the year is one on which a crop is sown at all [C, 365]; winter types have a season of sowing.

    Parameters: crops; darkest_day, day of the year.
    """
    before = (darkest_day - np.arange(DAYS)) % DAYS
    first = column(crops, lambda crop: float(DAYS) if crop.sown is None else crop.sown.earliest_d.value)[:, None]
    last = column(crops, lambda crop: 0.0 if crop.sown is None else crop.sown.latest_d.value)[:, None]
    return np.asarray((before <= first) & (before >= last))


def season_sd_frac(world: World) -> Array:
    """Spread of a whole crop's light about the normals, by month [12]."""
    out = world.outdoors
    classes = out.class_dli_mol_m2_d[:, :CLASSES]
    mean = classes.mean(axis=1, keepdims=True)
    ratio = np.where(mean > 0.0, classes / np.where(mean > 0.0, mean, 1.0), 1.0)
    return spread.season_light_sd_frac(ratio, np.asarray(out.climate.uncertainty_frac))


def seasons_of(world: World | Sequence[World], crops: Sequence[Crop], count: int, seed: int) -> Draws:
    """Seasons whose light and air all crops share, with numbers of its own for each crop.

    Parameters: world, or one of each bed; crops, C; count, how many seasons; seed, of their order: answers use one,
    plans are judged by others.
    """
    each = [world] if isinstance(world, World) else world
    spread = np.stack([season_sd_frac(own)[MONTH_OF_DAY - 1] for own in each], axis=-1)
    spread = spread[:, 0] if isinstance(world, World) else spread
    own = column(crops, lambda crop: crop.own.spread_factor)
    return season_draws(
        [zlib.crc32(crop.key.encode()) for crop in crops], spread, count, seed, growth_spread_factor=own
    )


@dataclass(frozen=True)
class Grown:
    """What became of sowings: arrays [C, B, S, J] for days and yields, [C, B, S] for the rest; NaN where never."""

    harvest_d: Array
    yield_g_m2: Array
    emergence_d: Array
    stretch_score: Array
    early_temp_degc: Array
    early_dif_k: Array
    starved: NDArray[np.bool_]
    young_d: Array
    """Days to young leaf. A stand that is ready in full before its leaves are long is cut then."""
    young_g_m2: Array
    cut_g_m2: Array | None = None
    """Mass of each week's cuts of the crops that are cut again, in their order [W, K, B, S, J], week 0 being the first
    after sowing; None where nobody asked for it."""


@dataclass(frozen=True)
class _Taken:
    """Days and yields of sowings, as they are filled in [C, B, S, J]."""

    harvest_d: Array
    yield_g_m2: Array
    young_d: Array
    young_g_m2: Array


def grow(
    crops: Sequence[Crop], climate: BedClimate, sow_doy: NDArray[np.intp], draws: Draws, *, again: bool = False
) -> Grown:
    """Grow crops of every way with dates; fruiting crops come out as never.

    Parameters: crops, C; climate, B beds; sow_doy [S]; draws, J; again, whether later cuts are asked for.
    Returns: Grown.
    """
    shape = (len(crops), len(climate), len(sow_doy), len(draws))
    taken = _Taken(*(np.full(shape, np.nan) for _ in range(4)))
    emergence = np.full(shape[:3], np.nan)
    starved = np.zeros(shape[:3], dtype=np.bool_)
    carbon = [n for n, crop in enumerate(crops) if crop.grows_by_carbon]
    cuts = None
    if carbon:
        some = [crops[n] for n in carbon]
        cut_again = np.array([crop.way == AGAIN_WAY for crop in some], dtype=np.bool_)
        found = run(
            crop_arrays(some), climate, sow_doy, draws.of_crops(carbon),
            repeat=again, again=cut_again, young=_young(some),
        )  # fmt: skip
        _take(taken, carbon, some, found)
        emergence[carbon] = np.median(found.emergence_d, axis=-1)
        starved[carbon] = (found.status == 1).mean(axis=-1) > 0.5
        cuts = found.week_yield_g_m2
    trays = [n for n, crop in enumerate(crops) if crop.grows_by_reserves]
    if trays:
        tray = seedfed.seed_fed(tray_arrays([crops[n] for n in trays]), climate, sow_doy, draws.of_crops(trays))
        taken.harvest_d[trays], taken.yield_g_m2[trays] = tray.harvest_d, tray.yield_g_m2
        emergence[trays] = np.where(np.isfinite(tray.harvest_d).any(axis=-1), 0.0, np.nan)
    return _with_stretch(crops, climate, sow_doy, taken, emergence, starved, cuts)


def _take(taken: _Taken, carbon: Sequence[int], crops: Sequence[Crop], found: GrowthRun) -> None:
    """Fill in what crops that live on light give, by number among all crops; young leaf of those cut so."""
    taken.harvest_d[carbon] = np.where(_by_leaves(crops), found.transplant_d, found.harvest_d)
    taken.yield_g_m2[carbon] = found.yield_g_m2
    rows, _ = young_rows(crops)
    if found.young_d is None or found.young_yield_g_m2 is None or not rows:
        return
    every = [carbon[row] for row in rows]
    full = np.isnan(found.young_d[rows])
    taken.young_d[every] = np.where(full, found.harvest_d[rows], found.young_d[rows])
    taken.young_g_m2[every] = np.where(full, found.yield_g_m2[rows], found.young_yield_g_m2[rows])


def _by_leaves(crops: Sequence[Crop]) -> NDArray[np.bool_]:
    return np.array([crop.way == "transplant" for crop in crops], dtype=np.bool_)[:, None, None, None]


def _with_stretch(
    crops: Sequence[Crop],
    climate: BedClimate,
    sow_doy: NDArray[np.intp],
    taken: _Taken,
    emergence: Array,
    starved: NDArray[np.bool_],
    cuts: Array | None,
) -> Grown:
    begin = sow_doy[None, None, :] + emergence
    typical = climate.dli_ten_day_mol_m2_d
    dli = bed_window_mean(typical, begin, EARLY_D)
    temp = bed_window_mean(mean_temp_degc(climate), begin, EARLY_D)
    dif = bed_window_mean(climate.temp_day_degc - climate.temp_night_degc, begin, EARLY_D)
    base = column(crops, part("light", "stretch_base_degc", COOL_BASE_DEGC))[:, None, None]
    score = stretch(dli, temp, dif, base).score
    trays = np.array([crop.grows_by_reserves for crop in crops], dtype=np.bool_)
    score = np.where(trays[:, None, None], np.nan, score)
    return Grown(
        taken.harvest_d, taken.yield_g_m2, emergence, score, temp, dif, starved, taken.young_d, taken.young_g_m2, cuts
    )


NO_YOUNG_LEAF: Final = ("Allium", "Apium", "Foeniculum", "Pisum", "Vicia")
"""Genera of which nobody cuts a salad of young leaf: leek and onions, celery, fennel, peas (their shoots are a crop of
their own), beans. Practice."""


def young_rows(crops: Sequence[Crop]) -> tuple[list[int], CropArrays | None]:
    """Crops that can be cut as young leaf, by number, and their arrays as they are then cut.

    Crops cut by length are cut as baby leaf; heads and plants that are picked at a share of their full size.
    """
    rows = [n for n, crop in enumerate(crops) if crop.grows_by_carbon and crop.latin.split(" ")[0] not in NO_YOUNG_LEAF]
    if not rows:
        return [], None
    found = CropArrays(**growth_columns([crops[n] for n in rows], young=True))
    large = np.array([crops[n].way in YOUNG_WAYS for n in rows], dtype=np.bool_)
    cut = np.flatnonzero(large | (found.by_leaves & np.array([crops[n].way == "cut" for n in rows], dtype=np.bool_)))
    small = found.with_values(target_g=np.where(large, YOUNG_FRAC, 1.0) * found.target_g)
    return [rows[k] for k in cut], small.take(cut) if len(cut) else None


def _young(crops: Sequence[Crop]) -> Young | None:
    """When crops that live on light are cut as young leaf; None where none is."""
    rows, small = young_rows(crops)
    if small is None:
        return None
    target, leaves = np.full((2, len(crops)), np.inf)
    drawn = np.zeros(len(crops))
    target[rows], drawn[rows] = dry_target_g_m2(small), small.drawn_ratio
    leaves[rows] = np.where(small.by_leaves, small.transplant_leaves_count, np.inf)
    return Young(target, leaves, drawn)
