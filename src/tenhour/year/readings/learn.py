"""What a log of sowings and harvests says of the grower's growth and yield, and what that changes.

Old rows are run through today's model each time; nothing that was once foretold is kept.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.growth.run import run
from tenhour.growth.shapes import Draws
from tenhour.model.crop import Crop
from tenhour.model.house import House
from tenhour.model.learn_answer import LearnAnswer, LearnEffect, LearnFactor, LearnLeftOut, Taught
from tenhour.model.learned import Learned, Lessons, Own
from tenhour.model.log import LogLine, Sowing, sowings
from tenhour.model.results import Basis
from tenhour.plan import learning
from tenhour.plan.dates import day_index, next_on_or_after
from tenhour.words import learning as words
from tenhour.words.crops import crop_name
from tenhour.year.crops.growing import bed_climates, crop_arrays
from tenhour.year.world import World
from tenhour.year.year import Year

Array = NDArray[np.float64]

LONGEST_D: Final = 364
WHOLE_WAYS: Final = ("head", "root")
OVERDUE_RATIO: Final = 1.3
"""Times the model's days after which nobody knows whether an unlogged stand is still there; the log then asks."""
UNKNOWN_RATIO: Final = 2.0
"""Times the model's days after which an unlogged stand says nothing at all. Judgement."""
FAILED: Final = ("frost", "slugs", "mould", "not-up", "other")
"""Reasons for clearing that say nothing of when a crop would have been ripe."""
AUTUMN_D: Final = -95
SPRING_D: Final = 45
"""Days from the darkest day of the sowings whose dates are shown: mid-September and early February in the north."""
TABLE_CROPS: Final = 6
"""Crops whose sowings to come are shown."""


@dataclass(frozen=True)
class _Row:
    """A sowing that can teach."""

    crop: Crop
    bed: int
    sown: date
    age_d: float
    open: bool
    eaten: bool
    winter: str


def learn_of(
    year: Year, lines: Sequence[LogLine], numbers: Mapping[str, float], *, today: date, since: date | None = None
) -> LearnAnswer:
    """Return what the log has taught.

    Parameters: year, of the house as its file has it; lines, of the log; numbers, spreads before anything is known, by
    name (files.house.learned.prior_numbers); today; since, rows before it are left out, the house file's own if None.
    Errors: see Year.world.
    """
    world = year.world
    crops = [replace(crop, own=Own()) for crop in year.crops]
    start = year.house.lessons.since if since is None else since
    table = _Model(world, crops)
    every = sowings(lines, today, [crop.key for crop in crops if crop.way in WHOLE_WAYS])
    rows, left_out = _rows(table, every, today, start)
    told = any(sowing.ready is not None for sowing in every)
    priors = _priors(year.house, numbers, told)
    posterior, winters = _fitted(table, rows, numbers["look_d"], priors)
    weighed = _weighed(table, every, rows)
    factors = _factors(posterior, rows, winters, weighed, numbers)
    lessons = _lessons(factors, today, start)
    asked: dict[str, object] = {"today": today.isoformat(), "since": None if start is None else start.isoformat()}
    return LearnAnswer(
        basis=Basis(asked, cautions=world.cautions),
        rows_count=len(rows),
        winters_count=len(winters),
        factors=factors,
        effects=_effects(table, rows, posterior, today) if rows else (),
        left_out=left_out,
        ask=_asked(table, lines, rows, told, weighed, today),
        lessons=lessons,
        us_units=year.house.us_units,
    )


class _Model:
    """The growth model under other light, air and growth, asked sowing by sowing and remembered."""

    def __init__(self, world: World, crops: Sequence[Crop]) -> None:
        self.world = world
        self.crops = {crop.key: crop for crop in crops}
        self.beds = world.bed_names
        self._climate = bed_climates(world)
        light, air, growth = np.meshgrid(learning.LIGHT_LN, learning.AIR_K, learning.GROWTH_LN, indexing="ij")
        one = np.ones(light.size)
        factor = np.exp(growth.ravel())
        self._draws = Draws(np.exp(light.ravel()), air.ravel(), factor, factor, one, one)
        self._middle = int(np.argmin(np.abs(light.ravel()) + np.abs(air.ravel()) + np.abs(growth.ravel())))
        self._known: dict[tuple[str, int, int], tuple[Array, Array]] = {}

    def _of(self, crop: Crop, bed: int, sown_doy: int) -> tuple[Array, Array]:
        key = (crop.key, bed, sown_doy)
        if key not in self._known:
            climate = self._climate.take(slice(bed, bed + 1))
            found = run(crop_arrays([crop]), climate, [sown_doy], self._draws)
            self._known[key] = found.harvest_d[0, 0, 0], found.yield_g_m2[0, 0, 0]
        return self._known[key]

    def days(self, crop: Crop, bed: int, sown: date) -> float:
        """Days of the model as it stands; NaN where never."""
        return float(self._of(crop, bed, day_index(sown))[0][self._middle])

    def yield_g_m2(self, crop: Crop, bed: int, sown: date) -> float:
        """Fresh mass of the first harvest as the model stands."""
        return float(self._of(crop, bed, day_index(sown))[1][self._middle])

    def surface(self, crop: Crop, bed: int, sown: date) -> Array:
        """Logarithm of days [7, 5, 7]; where it never gets there, a year."""
        days = self._of(crop, bed, day_index(sown))[0]
        shape = (len(learning.LIGHT_LN), len(learning.AIR_K), len(learning.GROWTH_LN))
        return np.log(np.where(np.isfinite(days), np.maximum(days, 1.0), float(LONGEST_D + 1))).reshape(shape)


def _rows(
    table: _Model, every: Sequence[Sowing], today: date, since: date | None
) -> tuple[list[_Row], tuple[LearnLeftOut, ...]]:
    """Sort sowings into those that teach and those that do not, with the reason."""
    rows: list[_Row] = []
    left: list[LearnLeftOut] = []
    for sowing in every:
        found = _row(table, sowing, today, since)
        if isinstance(found, str):
            left.append(LearnLeftOut(sowing.crop, sowing.bed, sowing.sown, found))
        elif found is not None:
            rows.append(found)
    return rows, tuple(left)


def _row(table: _Model, sowing: Sowing, today: date, since: date | None) -> _Row | str | None:
    """One sowing as a row, or why it is none; None for one too young to say anything."""
    crop = table.crops.get(sowing.crop)
    if crop is None:
        return words.NO_CROP
    reason = _other_clock(crop) or (words.RAISED if sowing.set_out not in (None, sowing.sown) else "")
    if reason:
        return reason
    if since is not None and sowing.sown < since:
        return words.EARLIER(on=since)
    bed = _bed(table.beds, sowing.bed)
    if bed is None:
        return words.NO_BED if sowing.bed else words.WHICH_BED
    model_d = table.days(crop, bed, sowing.sown)
    if not np.isfinite(model_d):
        return words.NO_DATE
    ripe = sowing.ready or sowing.first_harvest
    if ripe is None and sowing.because in FAILED:
        return words.FAILED(because=sowing.because)
    unknown_d = UNKNOWN_RATIO * model_d
    if ripe is None and sowing.stands is None and sowing.cleared is None and (today - sowing.sown).days > unknown_d:
        return words.UNKNOWN
    seen = ripe or _last_seen(sowing, today, model_d)
    age = (seen - sowing.sown).days
    if age > LONGEST_D:
        return words.LONG
    if age < 1 or (ripe is None and age < model_d / 2.0):
        return None if ripe is None else words.JUST_SOWN
    middle = sowing.sown + timedelta(days=int(model_d) // 2)
    eaten = ripe is not None and sowing.ready is None
    return _Row(crop, bed, sowing.sown, float(age), ripe is None, eaten, winter_of(table.world, middle))


def _other_clock(crop: Crop) -> str:
    """Why a crop's date does not tell of its growth; nothing where it does."""
    if crop.way == "fruiting":
        return words.FRUIT
    if crop.grows_by_reserves:
        return words.TRAY
    if crop.way == "transplant":
        return words.RAISED
    return words.BY_LENGTH if bool(crop_arrays([crop]).by_leaves[0]) else ""


def _bed(names: Sequence[str], name: str) -> int | None:
    if not name:
        return 0 if len(names) == 1 else None
    return list(names).index(name) if name in names else None


def _last_seen(sowing: Sowing, today: date, model_d: float) -> date:
    """The last day an unripe stand is known to have stood."""
    if sowing.stands is not None:
        return sowing.stands
    if sowing.cleared is not None:
        return sowing.cleared
    return min(today, sowing.sown + timedelta(days=int(OVERDUE_RATIO * model_d)))


def winter_of(world: World, on: date) -> str:
    """The winter whose darkest day is nearest, like 2026-27; one year alone where the dark is in mid-year."""
    dark = next_on_or_after(world.darkest_day, on - timedelta(days=182))
    first = dark - timedelta(days=90)
    last = dark + timedelta(days=90)
    return str(dark.year) if first.year == last.year else f"{first.year}-{last.year % 100:02d}"


def _priors(house: House, numbers: Mapping[str, float], told: bool) -> learning.Priors:
    """Spreads before the log: narrower where a meter or a thermometer has been at work."""
    metered = bool(house.light_factor)
    warm = house.air.day_degc is not None or all(bed.day_degc is not None for bed in house.beds)
    return learning.Priors(
        light_sd_frac=numbers["light_measured" if metered else "light"],
        winter_sd_frac=numbers["winter"],
        air_k=numbers["air_measured_k" if warm else "air_k"],
        growth_sd_frac=numbers["growth"],
        crop_sd_frac=numbers["growth_crop"],
        dates_sd_frac=numbers["dates"],
        late_d=numbers["late_d"] if told else 0.0,
        wider_factor=numbers["wider"],
        predicted_factor=numbers["dates_predicted"],
    )


def _fitted(
    table: _Model, rows: Sequence[_Row], look_d: float, priors: learning.Priors
) -> tuple[learning.Posterior, list[str]]:
    keys = _crop_keys(rows)
    winters = sorted({row.winter for row in rows})
    shape = (len(learning.LIGHT_LN), len(learning.AIR_K), len(learning.GROWTH_LN))
    surfaces = learning.Surfaces(
        np.array([table.surface(row.crop, row.bed, row.sown) for row in rows]).reshape(-1, *shape),
        np.array([keys.index(row.crop.key) for row in rows], dtype=np.intp),
        np.array([winters.index(row.winter) for row in rows], dtype=np.intp),
    )
    dates = learning.Dates(
        np.array([row.age_d for row in rows]),
        np.array([row.open for row in rows], dtype=np.bool_),
        np.full(len(rows), look_d),
        np.array([row.eaten for row in rows], dtype=np.bool_),
    )
    return learning.fit(surfaces, dates, priors, len(keys), len(winters)), winters


def _crop_keys(rows: Sequence[_Row]) -> list[str]:
    return sorted({row.crop.key for row in rows})


@dataclass(frozen=True)
class _Weighing:
    crop: str
    ln_ratio: float


def _weighed(table: _Model, every: Sequence[Sowing], rows: Sequence[_Row]) -> list[_Weighing]:
    """First harvests with a weight and an area, against the model."""
    known = {(one.crop, one.sown, _bed(table.beds, one.bed)): one for one in every}
    out = []
    for row in rows:
        sowing = known[row.crop.key, row.sown, row.bed]
        model = table.yield_g_m2(row.crop, row.bed, row.sown)
        if sowing.first_fresh_g > 0.0 and sowing.area_m2 and model > 0.0 and row.crop.way != "pick":
            ratio = sowing.first_fresh_g / sowing.area_m2 / model
            out.append(_Weighing(row.crop.key, float(np.log(ratio))))
    return out


def _factors(
    posterior: learning.Posterior,
    rows: Sequence[_Row],
    winters: Sequence[str],
    weighed: Sequence[_Weighing],
    numbers: Mapping[str, float],
) -> tuple[LearnFactor, ...]:
    if not rows:
        return ()
    keys = _crop_keys(rows)
    found = [_growth(posterior, None, len(rows))]
    found += [
        _growth(posterior, number, sum(row.crop.key == key for row in rows), key) for number, key in enumerate(keys)
    ]
    found += _yields(weighed, numbers)
    found.append(_factor(posterior, "light", 0, len(rows)))
    for number, winter in enumerate(winters):
        place = learning.SHARED + len(keys) + number
        count = sum(row.winter == winter for row in rows)
        found.append(replace(_factor(posterior, "winter-light", place, count), winter=winter))
    middle, sd = posterior.mean[1], np.sqrt(posterior.covariance[1, 1])
    ends = (middle - learning.NINETY * sd, middle + learning.NINETY * sd)
    found.append(LearnFactor("air", "", "", float(middle), float(ends[0]), float(ends[1]), len(rows), False))
    if any(row.eaten for row in rows) and posterior.priors.late_d > 0.0:
        late = max(float(posterior.mean[learning.PUT_OFF]), 0.0)
        width = learning.NINETY * float(np.sqrt(posterior.covariance[learning.PUT_OFF, learning.PUT_OFF]))
        count = sum(row.eaten for row in rows)
        found.append(LearnFactor("days-put-off", "", "", late, max(late - width, 0.0), late + width, count, False))
    return tuple(found)


def _growth(posterior: learning.Posterior, crop: int | None, rows: int, key: str = "") -> LearnFactor:
    """Growth of a crop with rows, or of crops without."""
    mean, spread = posterior.sums(crop)
    return _of_ln("growth", key, float(mean[2]), float(spread[2, 2]), rows, used=True)


def _factor(posterior: learning.Posterior, name: Taught, place: int, rows: int) -> LearnFactor:
    return _of_ln(name, "", float(posterior.mean[place]), float(posterior.covariance[place, place]), rows, used=False)


def _of_ln(name: Taught, crop: str, mean: float, variance: float, rows: int, *, used: bool) -> LearnFactor:
    width = learning.NINETY * float(np.sqrt(variance))
    ends = (float(np.exp(mean - width)), float(np.exp(mean + width)))
    return LearnFactor(name, crop, "", float(np.exp(mean)), *ends, rows, used)


def _yields(weighed: Sequence[_Weighing], numbers: Mapping[str, float]) -> list[LearnFactor]:
    if not weighed:
        return []
    keys = sorted({one.crop for one in weighed})
    places = np.array([keys.index(one.crop) for one in weighed], dtype=np.intp)
    sd = (numbers["yield"], numbers["yield_crop"], numbers["yield_row"])
    mean, cov = learning.fit_yields(np.array([one.ln_ratio for one in weighed]), places, len(keys), sd)
    found = [_of_ln("yield", "", float(mean[0]), float(cov[0, 0]) + sd[1] ** 2, len(weighed), used=True)]
    for number, key in enumerate(keys, start=1):
        both = np.zeros(len(mean))
        both[[0, number]] = 1.0
        rows = int((places == number - 1).sum())
        found.append(_of_ln("yield", key, float(both @ mean), float(both @ cov @ both), rows, used=True))
    return found


def _lessons(factors: Sequence[LearnFactor], today: date, since: date | None) -> Lessons:
    """The factors that answers use, as the house file keeps them."""
    used = [factor for factor in factors if factor.used]
    kept = {(one.factor, one.crop): Learned(one.value, one.low, one.high, one.rows) for one in used}
    return Lessons(
        kept=today,
        since=since,
        growth=kept.get(("growth", "")),
        weight=kept.get(("yield", "")),
        growth_of={crop: found for (name, crop), found in kept.items() if name == "growth" and crop},
        weight_of={crop: found for (name, crop), found in kept.items() if name == "yield" and crop},
    )


def _effects(
    table: _Model, rows: Sequence[_Row], posterior: learning.Posterior, today: date
) -> tuple[LearnEffect, ...]:
    """What the sowings of the next autumn and spring gain or lose."""
    keys = _crop_keys(rows)
    often = sorted(keys, key=lambda key: -sum(row.crop.key == key for row in rows))[:TABLE_CROPS]
    cases = [
        (table.crops[key], bed, next_on_or_after((table.world.darkest_day + shift) % 365, today))
        for key in often
        for bed in sorted({row.bed for row in rows if row.crop.key == key})
        for shift in (AUTUMN_D, SPRING_D)
    ]
    cases = [case for case in cases if np.isfinite(table.days(*case))]
    if not cases:
        return ()
    surfaces = learning.Surfaces(
        np.array([table.surface(*case) for case in cases]),
        np.array([keys.index(crop.key) for crop, _, _ in cases], dtype=np.intp),
        np.zeros(len(cases), dtype=np.intp),
    )
    middle, low, high = learning.foretold(surfaces, posterior, surfaces.crop, np.full(len(cases), -1, dtype=np.intp))
    return tuple(
        LearnEffect(
            crop.key,
            table.beds[bed],
            sown,
            table.days(crop, bed, sown),
            float(middle[n]),
            float(low[n]),
            float(high[n]),
        )
        for n, (crop, bed, sown) in enumerate(cases)
    )


def _asked(
    table: _Model,
    lines: Sequence[LogLine],
    rows: Sequence[_Row],
    told: bool,
    weighed: Sequence[_Weighing],
    today: date,
) -> tuple[str, ...]:
    """What to look at and log next."""
    asked: list[str] = []
    for row in rows:
        overdue = row.open and (today - row.sown).days > OVERDUE_RATIO * table.days(row.crop, row.bed, row.sown)
        if overdue and row.sown + timedelta(days=int(row.age_d)) < today:
            asked.append(words.STILL(on=row.sown, name=crop_name(row.crop.key), bed=table.beds[row.bed]))
    if rows and not told and any(row.eaten for row in rows):
        asked.append(words.SURER())
    if not weighed and any(line.fresh_g and line.on <= today for line in lines):
        asked.append(words.AREA())
    return tuple(asked)


def kept(answer: LearnAnswer, file: str) -> LearnAnswer:
    """Return the answer marked as written into a house file."""
    return replace(answer, kept_in=file)
