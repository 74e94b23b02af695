"""The why answer: what seedlings have had since they came up, the causes of their stretching, and each remedy."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Final, NamedTuple

import numpy as np

from tenhour.growth.shapes import BedClimate, bed_climate
from tenhour.growth.stages import window_mean
from tenhour.growth.stretch import COOL_BASE_DEGC, ENOUGH_BLUE
from tenhour.model.crop import Crop
from tenhour.model.diagnosis import Diagnosis, Evidence, Remedy, WhyAnswer
from tenhour.model.log import LogLine, standing
from tenhour.model.results import Basis
from tenhour.plan.dates import DAYS, MONTH_OF_DAY, day_index
from tenhour.plan.diagnosis import MAT, diagnose, light_for, match, score
from tenhour.plan.remedies import Option, Situation, in_order, options, warmer
from tenhour.plan.whywords import (
    RAISED_DEGC,
    Tale,
    brush_of,
    bury_text,
    measures,
    not_up,
    paragraph,
    plants_of,
    stage_of,
)
from tenhour.words import why as words
from tenhour.words.crops import crop_name
from tenhour.words.text import listed
from tenhour.year.answers.whycase import (
    SHOOT_UP_D,
    Case,
    Had,
    Told,
    WhyTools,
    case_of,
    climate_of,
    days_to_up,
    had_by,
    told_causes,
    window_means,
)
from tenhour.year.answers.whygrowth import Plants, good_climate, plants_in, shifted
from tenhour.year.crops.growing import EARLY_D, season_sd_frac, value_of
from tenhour.year.world import World

RESOW_STEP_D: Final = 7
RESOW_AHEAD_D: Final = 180
GROWS_ABOVE_K: Final = 6.0
"""A crop without a stated least mean stands still this far above its growth minimum: judgement."""
CHILL_MARGIN_K: Final = 2.0
WARM_DEGC: Final = 25.0
CLOSED_RATIO: Final = 1.0
"""Leaf area over ground from which plants shade each other (Gent 2017)."""
STURDY: Final = 25.0
LEGGY: Final = 45.0
STARVED_RATIO: Final = 0.3
FED_RATIO: Final = 0.7
FEWER_LEAVES: Final = 1.5
SOON_D: Final = 14.0
"""Days ahead in which a remedy must be possible: judgement."""
ENOUGH_BLUE_UMOL_M2_S: Final = 15.0
"""Hoenecke, Bula & Tibbitts 1992, HortScience 27:427 (read, abstract)."""


def why_of(world: World, crop: Crop, told: Told, tools: WhyTools, log: Sequence[LogLine] = ()) -> WhyAnswer:
    """Diagnose seedlings of one crop in a house-year."""
    case = case_of(crop, told, world)
    climate = climate_of(case, case.bed)
    plants = plants_in(crop, climate, case.day, case.age_d, case.density_per_m2)
    up_d, note = days_to_up(case, plants)
    case = replace(case, notes=(*case.notes, note) if note else case.notes)
    stands = tuple(s.label for s in standing(log, told.seen) if s.bed == world.bed_names[case.bed])
    if up_d is None or up_d >= case.age_d:
        return _not_yet(case, up_d, stands)
    had = had_by(case, climate, up_d, tools)
    case = replace(case, notes=(*case.notes, *had.notes))
    found = diagnose(had.evidence, tools.checks, told.signs, told_causes(told), tools.troubles)
    return _answer(case, climate, _Found(plants, up_d, had, found), stands)


class _Found(NamedTuple):
    """What growth and diagnosis say; up_d, days from sowing until they came up."""

    plants: Plants
    up_d: float
    had: Had
    diagnosis: Diagnosis

    @property
    def treated(self) -> Evidence:
        """What the remedies are for: plants as they look where the numbers say otherwise."""
        return self.diagnosis.as_seen or self.diagnosis.evidence


def _situation(case: Case, found: _Found) -> Situation:
    crop, told, evidence = case.crop, case.told, found.treated
    cold = crop.bolting.cold_degc if crop.bolting is not None else None
    return Situation(
        least_mean_degc=least_mean_degc(crop),
        most_mean_degc=most_mean_degc(crop),
        bolt_degc=value_of(cold),
        density_per_m2=case.density_per_m2,
        other_beds=tuple(_other_beds(case, found)),
        resow=_resow(case, found),
        young=words.CUT_YOUNG_HOW() if crop.way in ("head", "cut", "pick") else "",
        bury=bury_text(crop.latin, crop.way),
        outdoors_degc=float(window_mean(case.world.outdoors.temp_degc, day_index(told.seen), SOON_D)),
        mat=any(sign.key == MAT for sign in told.signs),
        lamp_dli_mol_m2_d=evidence.lamp_share * evidence.dli_mol_m2_d if told.lamp is not None else 0.0,
        lamp_h=told.lamp_h,
        brush=brush_of(crop.latin),
    )


def least_mean_degc(crop: Crop) -> float:
    """Mean temperature below which a crop does not go on, or is harmed."""
    least = value_of(crop.climate.least_mean_degc)
    if np.isnan(least):
        least = value_of(crop.growth.temp_min_degc) + GROWS_ABOVE_K if crop.growth is not None else COOL_BASE_DEGC + 1.0
    return float(np.nanmax([least, value_of(crop.climate.chill_degc) + CHILL_MARGIN_K]))


def most_mean_degc(crop: Crop) -> float:
    """Mean temperature beyond which a crop likes no more warmth."""
    if crop.climate.best_mean_degc is not None:
        return crop.climate.best_mean_degc.high
    return value_of(crop.growth.temp_opt_degc) if crop.growth is not None else WARM_DEGC


def _as_here(there: Evidence, found: _Found) -> Evidence:
    """Bend numbers of another place or day as those here were bent to what is seen."""
    given, seen = found.diagnosis.evidence, found.treated
    ratio = seen.dli_mol_m2_d / max(given.dli_mol_m2_d, 0.05)
    return replace(
        there,
        dli_mol_m2_d=there.dli_mol_m2_d * ratio,
        day_degc=there.day_degc + seen.day_degc - given.day_degc,
        night_degc=there.night_degc + seen.night_degc - given.night_degc,
    )


def _other_beds(case: Case, found: _Found) -> list[tuple[str, Evidence]]:
    if case.told.dli_mol_m2_d is not None:
        return []
    plain = Case(case.crop, replace(case.told, lamp=None), case.world, 0, case.density_per_m2)
    length = float(np.clip(case.age_d - found.up_d, 1.0, EARLY_D))
    out = []
    for number, name in enumerate(case.world.bed_names):
        if number != case.bed:
            dli, day, night, lit = window_means(climate_of(plain, number), case.day + found.up_d, length)
            there = replace(found.treated, dli_mol_m2_d=dli, day_degc=day, night_degc=night, lit_h=lit, lamp_share=0.0)
            out.append((name, _as_here(replace(there, red_far_red_ratio=None), found)))
    return out


def _resow(case: Case, found: _Found) -> tuple[date, Evidence] | None:
    """First later sowing that stays sturdy as things are in the bed, else the first that is not leggy."""
    climate = _climate_by_date(case)
    ages = np.arange(0, RESOW_AHEAD_D, RESOW_STEP_D)
    days = (day_index(case.told.seen) + ages) % DAYS
    up = plants_in(case.crop, climate, days, case.age_d, case.density_per_m2).emergence_d
    workable: tuple[date, Evidence] | None = None
    for age, day, emergence in zip(ages, days, up, strict=True):
        begin = SHOOT_UP_D if case.crop.growth is None else emergence
        if np.isnan(begin):
            continue
        dli, warm, cool, lit = window_means(climate, float(day + begin), EARLY_D)
        then = replace(found.treated, dli_mol_m2_d=dli, day_degc=warm, night_degc=cool, lit_h=lit)
        then = replace(_as_here(then, found), dark_d=0.0, late_d=0.0, leaf_area_ratio=min(then.leaf_area_ratio, 0.5))
        on = case.told.seen + timedelta(days=int(age))
        if score(then) < STURDY:
            return on, then
        if workable is None and score(then) < LEGGY:
            workable = on, then
    return workable


def _climate_by_date(case: Case) -> BedClimate:
    """The bed's climate; light given as one number follows the outdoor light through the year."""
    climate = climate_of(case, case.bed)
    told = case.told
    if told.dli_mol_m2_d is None:
        return climate
    outdoors = case.world.outdoors.dli_mol_m2_d
    here = float(window_mean(outdoors, case.day, max(case.age_d, 1)))
    part = told.lamp_dli_mol_m2_d or 0.0 if told.lamp is not None else 0.0
    sun = max(told.dli_mol_m2_d - part, 0.0)
    dli = part + sun * outdoors / here if here > 0.0 else climate.dli_mol_m2_d[0]
    return bed_climate(dli, climate.temp_day_degc, climate.temp_night_degc, climate.lit_h)


def _not_yet(case: Case, up_d: float | None, stands: tuple[str, ...]) -> WhyAnswer:
    told = case.told
    due = None if up_d is None else told.sown + timedelta(days=int(np.ceil(up_d)))
    return WhyAnswer(
        basis=_basis(case), crop=case.crop.key, name=case.crop.name, bed=_bed_name(case), sown=told.sown,
        seen=told.seen, emerged=due, stage="not up yet", expected_stage="not up yet", leaves_count=None,
        expected_leaves_count=None,
        score=None, low_score=None, high_score=None, word=None, needs_dli_mol_m2_d=None, sturdy_dli_mol_m2_d=None,
        sentence=not_up(crop_name(case.crop.key), told.sown, told.seen, due, _warm_d(case)), standing=stands,
    )  # fmt: skip


def _warm_d(case: Case) -> float:
    """Days until seed would be up in a warm room; NaN where nobody knows."""
    if case.crop.growth is None:
        return np.nan
    climate = climate_of(case, case.bed)
    warm = np.full_like(climate.temp_day_degc, RAISED_DEGC)
    room = bed_climate(climate.dli_mol_m2_d, warm, warm, climate.lit_h)
    return float(plants_in(case.crop, room, case.day, case.age_d, case.density_per_m2).emergence_d[0])


def _bed_name(case: Case) -> str:
    if case.told.bed is None and case.told.dli_mol_m2_d is not None:
        return ""
    return case.world.bed_names[case.bed]


def _answer(case: Case, climate: BedClimate, found: _Found, stands: tuple[str, ...]) -> WhyAnswer:
    told, crop, given = case.told, case.crop, found.diagnosis.evidence
    situation = _situation(case, found)
    listed = _options(found, situation)
    now, expected, leaves = _leaves(case, climate, found.treated, listed)
    remedies = _remedies(found, situation, listed, leaves, now)
    ready = value_of(crop.growth.transplant_leaves_count) if crop.growth is not None else None
    count = told.leaves_count if told.leaves_count is not None else now
    emerged = told.sown + timedelta(days=int(np.ceil(found.up_d)))
    sturdy = light_for(STURDY, given)
    low, high = _range(case, given)
    limits = situation.least_mean_degc, situation.most_mean_degc
    tale = Tale(
        plants_of(crop_name(crop.key), crop.way), found.diagnosis, emerged, sturdy, situation.least_mean_degc, remedies,
        situation.bury, told.signs,
    )  # fmt: skip
    return WhyAnswer(
        basis=_basis(case, found.diagnosis, _lamp_caution(remedies)),
        crop=crop.key,
        name=crop.name,
        bed=_bed_name(case),
        sown=told.sown,
        seen=told.seen,
        emerged=emerged,
        stage=stage_of(count, ready),
        expected_stage=stage_of(expected, ready),
        leaves_count=count,
        expected_leaves_count=expected,
        score=found.diagnosis.score,
        low_score=low,
        high_score=high,
        word=found.diagnosis.word,
        needs_dli_mol_m2_d=light_for(LEGGY, given),
        sturdy_dli_mol_m2_d=sturdy,
        sentence=paragraph(tale),
        evidence=given,
        causes=found.diagnosis.causes,
        remedies=remedies,
        matches=tuple(match(value, given, *limits) for value in (STURDY, LEGGY)),
        conflicts=found.diagnosis.conflicts,
        troubles=found.diagnosis.troubles,
        contradicted=found.diagnosis.contradicted,
        measure=measures() if found.diagnosis.contradicted else (),
        doubts=tuple(_doubts(case, found, now)),
        standing=stands,
    )


def _options(found: _Found, situation: Situation) -> tuple[Option, ...]:
    """Every remedy that helps: warmth for plants that stand too cold and are not drawn, else what shortens."""
    if found.diagnosis.as_seen is None and found.diagnosis.word == "sturdy":
        cold = found.treated.mean_degc < situation.least_mean_degc
        return (warmer(found.treated, situation.least_mean_degc),) if cold else ()
    return options(found.treated, situation)


def _remedies(
    found: _Found, situation: Situation, listed: Sequence[Option], leaves: dict[str, float], now: float | None
) -> tuple[Remedy, ...]:
    """Return what mends a trouble first, then what shortens."""
    here = found.diagnosis.score
    first = [
        Remedy(f"trouble-{one.trouble.replace(' ', '-')}", one.do, here, one.check, free=True)
        for one in found.diagnosis.troubles
    ]
    main = found.diagnosis.causes[0].cause if found.diagnosis.causes else ""
    return (*first, *(in_order(listed, found.treated, situation, leaves, now, main) if listed else ()))


def _lamp_caution(remedies: Sequence[Remedy]) -> tuple[str, ...]:
    touched = any(remedy.key.startswith(("lamp", "white-lamps")) for remedy in remedies)
    return (words.LAMP_CAUTION,) if touched else ()


def _leaves(
    case: Case, climate: BedClimate, given: Evidence, listed: Sequence[Option]
) -> tuple[float | None, float | None, dict[str, float]]:
    """Leaves by now as it is, in good light, and under each remedy that changes growth; one array computation."""
    if case.crop.growth is None:
        return None, None, {}
    grows = [option for option in listed if option.grows]
    beds = [climate, good_climate(climate), *(shifted(climate, given, option.evidence) for option in grows)]
    joined = bed_climate(*(np.concatenate([getattr(bed, name) for bed in beds]) for name in _PARTS))
    count = plants_in(case.crop, joined, case.day, case.age_d, case.density_per_m2).leaves_count
    named = {option.key: float(leaves) for option, leaves in zip(grows, count[2:], strict=True)}
    now, expected = (None if np.isnan(leaves) else float(leaves) for leaves in count[:2])
    return now, expected, named


_PARTS: Final = ("dli_mol_m2_d", "temp_day_degc", "temp_night_degc", "lit_h", "dli_ten_day_mol_m2_d")


def _range(case: Case, given: Evidence) -> tuple[float | None, float | None]:
    """Score with the light of a brighter and a duller season than usual; nothing where light was given."""
    if case.told.dli_mol_m2_d is not None:
        return None, None
    sd = float(season_sd_frac(case.world)[int(MONTH_OF_DAY[case.day]) - 1])
    low, high = (score(replace(given, dli_mol_m2_d=given.dli_mol_m2_d * factor)) for factor in (1.0 + sd, 1.0 - sd))
    return low, high


def _doubts(case: Case, found: _Found, now: float | None) -> list[str]:
    """Where growth and stretch disagree, and what trials disagree about."""
    out: list[str] = []
    ratio, diagnosis = float(found.plants.source_sink_ratio[0]), found.diagnosis
    if ratio < STARVED_RATIO and diagnosis.score < STURDY:
        out.append(words.STARVED(part=ratio))
    climate = [cause for cause in diagnosis.causes if cause.cause in ("low light", "heat")]
    if ratio > FED_RATIO and diagnosis.score > LEGGY and sum(cause.share_frac for cause in climate) > 0.5:
        out.append(words.WELL_FED(part=ratio))
    told = case.told.leaves_count
    if told is not None and now is not None and now - told > FEWER_LEAVES:
        out.append(words.FEWER_LEAVES(told=told, now=now))
    if case.told.density_per_m2 is None and found.had.leaf_area_ratio > CLOSED_RATIO:
        out.append(words.CLOSED_TRAY(density=case.density_per_m2))
    if case.crop.way == "seed-fed":
        out.append(words.SHOOTS())
    return [*out, *_lamp_doubts(diagnosis.evidence)]


def _lamp_doubts(given: Evidence) -> list[str]:
    """What trials of lamp colour leave open."""
    if given.lamp_share <= 0.0:
        return []
    if given.blue_frac < ENOUGH_BLUE:
        least = score(replace(given, blue_frac=ENOUGH_BLUE))
        return [words.BLUE_DOUBT(least=least, most=score(given), enough=ENOUGH_BLUE_UMOL_M2_S)]
    return [words.FAR_RED_DOUBT()] if given.red_far_red_ratio is None else []


def _basis(case: Case, found: Diagnosis | None = None, cautions: Sequence[str] = ()) -> Basis:
    told = case.told
    inputs: dict[str, object] = {
        "house": case.world.house.path or "built-in demo house",
        "crop": case.crop.key,
        "sown": told.sown.isoformat(),
        "seen": told.seen.isoformat(),
        "bed": told.bed,
        "dli_mol_m2_d": told.dli_mol_m2_d,
        "day_degc": told.day_degc,
        "night_degc": told.night_degc,
        "density_per_m2": told.density_per_m2,
        "lamp": told.lamp,
        "lamp_dli_mol_m2_d": told.lamp_dli_mol_m2_d,
        "dark_d": told.dark_d,
        "signs": [sign.key for sign in told.signs],
    }
    notes = [*case.notes]
    if found is not None and found.brought_in:
        notes.append(words.BROUGHT_IN(what=listed(found.brought_in)))
    if told.dli_mol_m2_d is None and case.world.house.calibration_note:
        notes.append(words.LIGHT_OF_HOUSE(note=case.world.house.calibration_note))
    own = told.day_degc is not None and told.night_degc is not None and told.dli_mol_m2_d is not None
    notes += [] if own else list(case.world.assumptions)
    return Basis(inputs, tuple(notes), () if own else case.world.warnings, (*cautions, *case.world.cautions))
