"""Nights of a thermometer inside and out held against the house by the hour: its loss and its draughts."""

from __future__ import annotations

from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tenhour.heat import balance, films
from tenhour.heat import build as parts
from tenhour.heat.fit import Fit, fit_nights
from tenhour.model.house import House
from tenhour.model.readings import OUTSIDE, Change, HeatFit, TempReadings
from tenhour.plan.dates import DAYS
from tenhour.words import heat as words
from tenhour.words.text import joined
from tenhour.year.answers.coldnight import SKY_BELOW_K, hold_degc, mean_weather, night_of
from tenhour.year.outside.hours import year_hours
from tenhour.year.warm.heathouse import LEAK_PER_H
from tenhour.year.warm.warmth import DAY_H, Winters
from tenhour.year.year import Year

Array = NDArray[np.float64]

LEAST_NIGHTS, MOST_NIGHTS = 2, 14
LOSS_FACTORS: Final = np.exp(np.linspace(np.log(0.45), np.log(2.2), 7))
LEAK_FACTORS: Final = np.exp(np.linspace(np.log(0.16), np.log(6.0), 5))
"""Factors between which lows are drawn straight. Derived: three spreads to either side."""
READING_K: Final = 0.5
"""A household thermometer. Practice."""
DAY_BEFORE_K: Final = 0.6
"""What a day's sun before a night, which nobody noted, does to its low. Judgement."""
HELD_K: Final = 1.5
"""Lows so near a set point or above it were held by the heater. Judgement."""
UNIFORM_SD: Final = 3.0**-0.5 / 2.0
"""Standard deviation of an even spread over its width. Definition."""
WINTERS_COUNT: Final = 10
NEAR_D: Final = 15
"""Days on either side whose lows tell those of a date: ten winters alone are too few. Judgement."""
LEAST_LOSS, MOST_LOSS = 0.2, 5.0
"""What a house file takes."""
DAWN_H: Final = (3, 9)
"""Hours among which a reading by the clock is near enough the low of its night. Judgement."""


class Nights(NamedTuple):
    """Nights that were read, oldest first [N]."""

    doy: NDArray[np.intp]
    inside_degc: Array
    outside_degc: Array
    """NaN where nobody read it."""


def heat_found(year: Year, taken: TempReadings | None) -> tuple[HeatFit | None, tuple[Change, ...]]:
    """What nights say of a house's loss, and what to write; nothing where fewer than two nights were read.

    Parameters: year; taken, readings of temperature.
    """
    if taken is None:
        return None, ()
    nights = nights_read(taken, year.house)
    if not len(nights.doy):
        return None, ()
    if len(nights.doy) < LEAST_NIGHTS:
        return HeatFit(len(nights.doy), None, None, None, None, None, None, words.ONE_NIGHT(least=LEAST_NIGHTS)), ()
    world = year.world
    # always against the house as it was reckoned, so that the same nights say the same again
    house = replace(year.house, draughts=replace(year.house.draughts, loss_factor=1.0))
    hours = year_hours(house, year.sources, world.light, count=WINTERS_COUNT)
    winters = Winters(house, world.light, world.warmth.found, world.warmth.states, hours, world.warmth.lamps_w)
    heated = bool(np.isfinite(np.asarray(winters.drive.set_degc)).any())
    if heated and np.median(nights.inside_degc) > hold_degc(house) - HELD_K:
        return HeatFit(len(nights.doy), None, None, None, None, None, None, words.HELD_NIGHTS()), ()
    outside, covariance_k2 = outside_of(winters, nights, float(year.sources.hours["spread"]["day_to_day_ratio"]))
    table = night_table(winters, nights._replace(outside_degc=outside), covariance_k2)
    fit = table.fit(nights.inside_degc)
    told = joined([words.APART() if fit.apart else words.NOT_APART(), words.TAKEN_OFF() if heated else ""])
    draughts = (fit.leak_factor, fit.leak_low_factor, fit.leak_high_factor)
    leak, leak_low, leak_high = (_leak(house, part) if fit.apart else None for part in draughts)
    found = HeatFit(
        len(nights.doy), fit.whole_factor, fit.whole_low_factor, fit.whole_high_factor, leak, leak_low, leak_high, told
    )
    day = taken.time.max().tz_convert(house.site.timezone).date()
    # where they act alike the draughts stay as they are, and panes and walls take up the rest of the whole
    own = fit.loss_factor if fit.apart else (fit.whole_factor - table.leak_frac) / (1.0 - table.leak_frac)
    values: dict[str, object] = {"loss_factor": round(min(max(own, LEAST_LOSS), MOST_LOSS), 2)}
    if fit.apart:
        values["leak_ach"] = round(_leak(house, fit.leak_factor), 2)
    remark = (
        f"{day.isoformat()}, {len(nights.doy)} nights; {fit.whole_low_factor:.2f} to {fit.whole_high_factor:.2f}, "
        "nine times in ten"
    )
    return found, (Change("heat", values, remark=remark),)


def _leak(house: House, factor: float) -> float:
    given = house.draughts.leak_per_h
    return factor * (LEAK_PER_H[house.draughts.leak][0] if given is None else given)


def nights_read(taken: TempReadings, house: House) -> Nights:
    """The last fourteen nights read indoors: lowest of each place, mean of places without a cover of their own.

    Parameters: taken; house. A night belongs to the day it ends on.
    """
    covered = {bed.name for bed in house.beds if len(bed.layers) > len(house.layers)}
    local = taken.time.tz_convert(house.site.timezone)
    noted = taken.part == "min"
    frame = pd.DataFrame({"place": taken.place, "degc": taken.temp_degc, "at": taken.part == "at", "min": noted})
    shifted = local.tz_localize(None) + pd.to_timedelta(np.where(noted, 0, DAY_H // 2), unit="h")
    frame["night"] = shifted.normalize()
    frame["dawn"] = frame["min"] | (frame["at"] & (local.hour >= DAWN_H[0]) & (local.hour < DAWN_H[1]))
    frame = frame[(frame["at"] | frame["min"]) & ~frame["place"].isin(covered)]
    frame = frame[frame.groupby(["night", "place"])["dawn"].transform("any")]
    lows = frame.groupby(["night", "place"])["degc"].min().unstack()
    outside = lows[OUTSIDE] if OUTSIDE in lows else pd.Series(np.nan, index=lows.index)
    inside = lows.drop(columns=[OUTSIDE], errors="ignore").mean(axis=1).dropna()
    kept = inside.index[-MOST_NIGHTS:]
    doy = np.asarray(pd.DatetimeIndex(kept).day_of_year, dtype=np.intp) - 1
    low, out = (np.asarray(part[kept], dtype=np.float64) for part in (inside, outside))
    return Nights(np.minimum(doy, DAYS - 1), low, out)


def outside_of(winters: Winters, nights: Nights, day_to_day_ratio: float) -> tuple[Array, Array]:
    """Lows outdoors [N], and the covariance of their errors [N, N, K²]: those read, else the place's with their width.

    Parameters: winters; nights; day_to_day_ratio, how much of a day's being warm or cold is left on the next: nights
    that nobody read are cold together.
    """
    lows = winters.series.temp_out_degc.reshape(DAYS, DAY_H, -1).min(axis=1)[np.argsort(winters.doy)]
    near = lows[(nights.doy[:, None] + np.arange(-NEAR_D, NEAR_D + 1)) % DAYS].reshape(len(nights.doy), -1)
    known = np.isfinite(nights.outside_degc)
    spread = np.where(known, 0.0, near.std(axis=1))
    apart_d = np.abs(nights.doy[:, None] - nights.doy)
    together = day_to_day_ratio ** np.minimum(apart_d, DAYS - apart_d)
    covariance = np.outer(spread, spread) * together + np.diag(np.where(known, READING_K**2, 0.0))
    return np.where(known, nights.outside_degc, near.mean(axis=1)), covariance


class NightTable(NamedTuple):
    """What a house's nights would be for a grid of factors on its loss and draughts."""

    lows_degc: Array
    """[F, L, N]."""
    covariance_k2: Array
    """Of the errors of lows that are known but for these factors [N, N]."""
    leak_frac: float
    """Share of draughts in the loss as it is reckoned."""

    def fit(self, inside_degc: Array) -> Fit:
        """Fit to the lows that were read [N] [°C]. Method: :func:`tenhour.heat.fit.fit_nights`."""
        return fit_nights(self.lows_degc, LOSS_FACTORS, LEAK_FACTORS, inside_degc, self.covariance_k2, self.leak_frac)


def night_table(winters: Winters, nights: Nights, outside_k2: Array) -> NightTable:
    """Reckon a house's nights for many losses, and how far sky, sun before and thermometers leave them open.

    Parameters: winters, the house and its weather; nights; outside_k2 [N, N], covariance of the lows outdoors [K²].
    Method: docs/method/heat.md.
    """
    grid = [(float(loss), float(leak)) for loss in LOSS_FACTORS for leak in LEAK_FACTORS]
    half = np.full(len(nights.doy), SKY_BELOW_K["half"])
    lows = night_lows_degc(winters, nights, grid, half).reshape(len(LOSS_FACTORS), len(LEAK_FACTORS), -1)
    one = [(1.0, 1.0)]
    clear, dull = (
        night_lows_degc(winters, nights, one, np.full(len(nights.doy), SKY_BELOW_K[sky]))[0]
        for sky in ("clear", "overcast")
    )
    milder = nights._replace(outside_degc=nights.outside_degc + 1.0)
    middle, warmer = (night_lows_degc(winters, part, one, half)[0] for part in (nights, milder))
    sky_k, follows = np.abs(dull - clear) * UNIFORM_SD, warmer - middle
    own_k2 = np.diag(READING_K**2 + DAY_BEFORE_K**2 + sky_k**2)
    return NightTable(lows, own_k2 + np.outer(follows, follows) * outside_k2, leak_share_frac(winters))


def leak_share_frac(winters: Winters) -> float:
    """Share of draughts in the loss of a house in a light wind, as it is reckoned. Definition."""
    build = winters.heat.build
    leak = build.change_w_k * (build.leak_per_h + build.leak_per_wind_ratio)
    panes = float((build.skin.area_m2 / (build.skin.resistance_m2_k_w + films.ROOM_FILM_M2_K_W)).sum())
    return leak / (leak + panes)


def with_loss(build: parts.Build, loss_factor: float, leak_factor: float) -> parts.Build:
    """A house that loses so much more through its panes and walls, and by draughts [-]. Definition of the factors."""
    skin = build.skin._replace(area_m2=build.skin.area_m2 * loss_factor)
    per_h, per_wind = build.leak_per_h * leak_factor, build.leak_per_wind_ratio * leak_factor
    return replace(build, skin=skin, leak_per_h=per_h, leak_per_wind_ratio=per_wind)


def night_lows_degc(winters: Winters, nights: Nights, factors: list[tuple[float, float]], sky_below_k: Array) -> Array:
    """Lowest air of each night [K, N] for the house with each of some pairs of factors, its heaters off.

    Mats and lamps are on as the file has them: nobody unplugs them to read a thermometer.

    Parameters: winters; nights; factors on loss and draughts; sky_below_k [N], sky under the air outdoors [K].
    Method: two months of mean weather, then each night from noon to noon.
    """
    middle = int(np.median(nights.doy))
    first = night_of(winters, middle, 0.0, "half", "breeze")
    out = first.drive.temp_out_degc + nights.outside_degc
    wide = replace(
        first.drive, set_degc=-np.inf, temp_out_degc=out, temp_sky_degc=out - sky_below_k,
        wind_m_s=np.broadcast_to(first.drive.wind_m_s, out.shape),
        zone_sun_w=np.repeat(first.drive.zone_sun_w, out.shape[1], axis=1),
        skin_sun_w_m2=np.repeat(first.drive.skin_sun_w_m2, out.shape[1], axis=1),
    )  # fmt: skip
    start = int(np.flatnonzero(winters.doy == middle)[0]) * DAY_H + DAY_H // 2
    before = replace(mean_weather(winters, start, 60 * DAY_H), set_degc=-np.inf)
    builds = [with_loss(winters.heat.build, *pair) for pair in factors]
    begins = [
        parts.State(*(np.repeat(part, out.shape[1], axis=0) for part in run.final))
        for run in balance.run_together([(build, before) for build in builds])
    ]
    runs = balance.run_together([(build, wide) for build in builds], begins)
    return np.stack([run.air_degc.min(axis=0) for run in runs])
