"""The crop table as text and JSON, and one crop with the source of each value."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from tenhour.model.crop import Crop, Fact, Source, Sourced, honesty
from tenhour.model.crop_answer import unit_of, used_sources
from tenhour.report.tables import Field, Table
from tenhour.report.terminal import Column, bold, table, wrap
from tenhour.words import crops as words
from tenhour.words.style import METRIC, QUANTITIES, Style
from tenhour.words.text import written

WAY_WORDS: Final = {
    "head": "one harvest",
    "root": "roots, one harvest",
    "cut": "cut, grows again",
    "pick": "picked from grown plants",
    "seed-fed": "tray, lives on its seed",
    "bulb": "leaf from bulbs",
    "transplant": "raised to be set out",
    "fruiting": "fruit; light and warmth only",
}

LABELS: Final = {
    "emergence.base_degc": "no emergence below",
    "emergence.sum_degcday": "warmth to emergence",
    "emergence.max_degc": "seed fails above",
    "growth.temp_min_degc": "growth begins at",
    "growth.temp_opt_degc": "growth fastest at",
    "growth.temp_max_degc": "growth ends at",
    "growth.leaf_rate_per_d": "new leaves at best",
    "growth.rgr_per_d": "relative growth at best",
    "growth.leaf_area_m2_g": "leaf area per dry mass",
    "growth.extinction_ratio": "light extinction by leaves",
    "growth.seedling_mg": "dry mass at emergence",
    "growth.root_frac": "root's share of dry mass",
    "growth.transplant_leaves_count": "leaves when set out",
    "harvest.density_per_m2": "plants at harvest",
    "harvest.dry_matter_frac": "dry matter of produce",
    "harvest.harvest_frac": "share of the shoot taken",
    "harvest.target_g": "fresh mass per plant",
    "harvest.leaves_count": "leaves when cut as baby leaf",
    "harvest.salad_leaves_count": "leaves when cut for salad",
    "harvest.cut_g_m2": "least cut",
    "harvest.holds_degcday": "stands, once ready, for",
    "harvest.cuts_most_count": "cuts it gives",
    "harvest.drawn_ratio": "drawn in dim light by the power",
    "harvest.regrow_frac": "shoot left by a cut",
    "harvest.standing_g_m2": "grown stand, dry",
    "harvest.pick_g_m2": "one picking",
    "harvest.pick_frac": "share of new shoot picked",
    "tray.base_degc": "no growth below",
    "tray.sum_degcday": "warmth to cutting",
    "tray.reserve_mass_g_m2": "fresh mass from reserves",
    "tray.light_mass_g_m2": "most that light adds",
    "tray.half_light_mol_m2": "light for half of that",
    "tray.seed_g_m2": "seed or bulbs",
    "tray.dark_d": "days in the dark first",
    "climate.kill_degc": "killed, hardened, by a night of",
    "climate.kill_tender_degc": "killed, not hardened, by one of",
    "climate.chill_degc": "harmed by nights below",
    "climate.least_mean_degc": "least mean",
    "climate.best_mean_degc": "best mean",
    "climate.most_mean_degc": "quality falls above",
    "light.dli_min_mol_m2_d": "least light",
    "light.dli_target_mol_m2_d": "light to aim for",
    "light.dli_most_mol_m2_d": "little gain above",
    "light.photoperiod_max_h": "longest lamp day",
    "light.stretch_base_degc": "base of the stretch score",
    "sown.earliest_d": "sown before the shortest day, from",
    "sown.latest_d": "sown before the shortest day, until",
    "keeping.night_degc": "kept over winter, nights above",
    "keeping.rest_degc": "rests at",
    "keeping.dli_mol_m2_d": "light that keeps it so",
    "keeping.ripe_base_degc": "fruit ripens above",
    "keeping.ripe_sum_degcday": "warmth that ripens green fruit",
    "bolting.photoperiod_h": "bolts at days of",
    "bolting.cold_degc": "cold counts below",
    "bolting.cold_d": "cold days that suffice",
    "bolting.juvenile_leaves_count": "counts cold from",
    "bolting.bulbing_photoperiod_h": "bulbs at days of",
    "bolting.heat_base_degc": "heat counts above",
    "bolting.heat_sum_degcday": "heat to flower",
    "raising.tray_density_per_m2": "plants in the tray",
    "raising.transplant_d": "sowing to setting out",
    "raising.after_frost_d": "outdoors, from last frost",
    "use.meal_g": "one serving",
    "use.thousand_seed_g": "a thousand seeds",
}
"""What each number is called to a reader."""

KINDS: Final = (
    ("_degcday", "thermal_time"),
    ("_degc", "temp"),
    ("_per_m2", "density"),
    ("_g_m2", "fresh_area"),
    ("_mg", None),
    ("_g", "fresh"),
)
"""Ends of keys whose numbers US readers see in their own units; light, leaf area and milligrams stay as they are."""
US_DIGITS: Final = 3


def crops_tables(crops: Sequence[Crop]) -> tuple[Table, ...]:
    """Return the crop table as data."""
    fields = (
        Field("crop", "crop"),
        Field("name", "name"),
        Field("latin", "latin"),
        Field("way", "cropped"),
        Field("dli_min_mol_m2_d", "least light", "dli"),
        Field("dli_target_mol_m2_d", "light to aim for", "dli"),
        Field("best_mean_low_degc", "best mean from", "temp"),
        Field("best_mean_high_degc", "best mean to", "temp"),
        Field("chill_degc", "harmed below", "temp"),
        Field("kill_degc", "killed at", "temp"),
        Field("harvest", "harvest", "prose"),
        Field("also", "also"),
    )
    rows = tuple(
        (
            crop.key,
            crop.name,
            crop.latin,
            WAY_WORDS[crop.way],
            _value(crop.light.dli_min_mol_m2_d),
            _value(crop.light.dli_target_mol_m2_d),
            None if crop.climate.best_mean_degc is None else crop.climate.best_mean_degc.low,
            None if crop.climate.best_mean_degc is None else crop.climate.best_mean_degc.high,
            _value(crop.climate.chill_degc),
            _value(crop.climate.kill_degc),
            _harvest(crop),
            ", ".join(crop.also),
        )
        for crop in crops
    )
    return (Table("crops", "The crop table", fields, rows),)


def crop_tables(crop: Crop) -> tuple[Table, ...]:
    """Return every number of one crop with its source as data, in SI: the unit stands beside each."""
    fields = tuple(Field(key, key) for key in ("key", "value", "low", "high", "unit", "mark", "source", "where"))
    rows = tuple(
        (key, f"{n.value:g}", f"{n.low:g}", f"{n.high:g}", unit_of(key), n.mark, n.source, n.where)
        for key, n in crop.numbers()
    )
    return (Table("values", f"{crop.name}: every number with its source", fields, rows),)


def crops_text(crops: Sequence[Crop], facts: Sequence[Fact], width: int, style: Style = METRIC) -> str:
    """Return the crop table for the terminal."""
    degrees = QUANTITIES["temp"].label(style)
    columns = [
        Column("crop", right=False),
        Column("cropped", right=False, wrap=True),
        Column("light mol m⁻² d⁻¹"),
        Column(f"best mean {degrees}"),
        Column(f"killed at {degrees}"),
        Column("harvest", right=False, wide_only=True),
        Column("also", right=False, wide_only=True, wrap=True),
    ]
    rows = [
        [
            crop.key,
            WAY_WORDS[crop.way],
            _plain(crop.light.dli_target_mol_m2_d),
            _degrees(crop.climate.best_mean_degc, style, spread=True),
            _degrees(crop.climate.kill_degc, style),
            written(_harvest(crop), style),
            ", ".join(crop.also),
        ]
        for crop in crops
    ]
    lines = table(columns, rows, width)
    lines += ["", *wrap(_honesty_text(crops, facts), width)]
    lines += wrap("One crop with the source of each value: tenhour crops NAME.", width)
    return "\n".join(lines)


def crop_text(
    crop: Crop, facts: Sequence[Fact], sources: Mapping[str, Source], width: int, style: Style = METRIC
) -> str:
    """Return one crop for the terminal, with the source of each value."""
    lines = [bold(f"{crop.name} ({crop.key})"), *wrap(_subtitle(crop), width)]
    lines += wrap(written(crop.note, style), width) if crop.note else []
    columns = [
        Column("", right=False, wrap=True),
        Column("value"),
        Column("low to high"),
        Column("", right=False),
        Column("mark", right=False),
        Column("source", right=False, wrap=True),
    ]
    for name, _ in crop.sections():
        rows = [_value_row(key, number, style) for key, number in crop.numbers() if key.startswith(f"{name}.")]
        if rows:
            lines += ["", bold(name), *table(columns, rows, width)]
    lines += _finding_lines(facts, width)
    lines += ["", bold("sources")]
    for key in used_sources(crop, facts):
        lines += wrap(f"{key}: {sources[key].title}", width)
    return "\n".join([*lines, "", *wrap(_honesty_text((crop,), ()), width)])


def _finding_lines(facts: Sequence[Fact], width: int) -> list[str]:
    if not facts:
        return []
    columns = [
        Column("finding", right=False),
        Column("value"),
        Column("unit", right=False),
        Column("mark", right=False),
        Column("source", right=False),
        Column("under which conditions", right=False, wrap=True),
    ]
    rows = [
        [fact.prop.replace("_", " "), fact.value, "" if fact.unit == "text" else fact.unit, fact.mark, fact.source,
         "; ".join(part for part in (fact.condition, fact.note) if part)]
        for fact in facts
    ]  # fmt: skip
    return ["", bold("findings kept beside it"), *table(columns, rows, width)]


def _subtitle(crop: Crop) -> str:
    parts = [crop.latin, WAY_WORDS[crop.way], f"also {', '.join(crop.also)}" if crop.also else "", crop.origin]
    return "; ".join(part for part in parts if part)


def _value_row(key: str, number: Sourced, style: Style) -> list[str]:
    value, low, high = (_shown(key, part, style) for part in (number.value, number.low, number.high))
    spread = f"{low} to {high}" if number.low < number.high else ""
    source = f"{number.source}: {number.where}" if number.where else number.source
    kind = _kind_of(key)
    unit = unit_of(key) if kind is None or not style.us_units else QUANTITIES[kind].label(style)
    return [LABELS[key], value, spread, unit, number.mark, source]


def _kind_of(key: str) -> str | None:
    """Kind of number a key holds, where readers of US units write it in another unit."""
    return next((kind for end, kind in KINDS if key.endswith(end)), None)


def _shown(key: str, value: float, style: Style) -> str:
    kind = _kind_of(key)
    if kind is None or not style.us_units:
        return f"{value:g}"
    return f"{QUANTITIES[kind].in_style(value, style):.{US_DIGITS}g}"


def _honesty_text(crops: Sequence[Crop], facts: Sequence[Fact]) -> str:
    counted = honesty(crops)
    parts = [f"{count} {mark}" for mark, count in counted.count_by_mark.items() if count]
    text = f"{counted.count} numbers: {', '.join(parts)}; {counted.judgement_share:.0%} rest on judgement alone."
    if facts:
        beside = honesty((), facts).count_by_mark
        text += f" Kept beside them: {len(facts)} findings, {beside['read'] + beside['derived']} of them read."
    return text


def _harvest(crop: Crop) -> str:
    if crop.harvest is not None:
        h = crop.harvest
        if crop.way == "pick" and h.pick_g_m2 is not None:
            return words.A_PICK(mass=h.pick_g_m2.value)
        if h.leaves_count is not None:
            if h.salad_leaves_count is not None:
                return words.AT_LEAVES_SALAD(leaves=h.leaves_count.value, salad=h.salad_leaves_count.value)
            return words.AT_LEAVES(leaves=h.leaves_count.value)
        if h.target_g is None:
            return words.STAND(density=h.density_per_m2.value)
        return words.HEADS(mass=h.target_g.value, density=h.density_per_m2.value)
    if crop.tray is not None:
        return words.TRAY(mass=crop.tray.reserve_mass_g_m2.value / GRAMS_PER_KG)
    return words.RAISED(days=crop.raising.transplant_d.value) if crop.raising is not None else ""


def _plain(number: Sourced | None) -> str:
    return "" if number is None else f"{number.value:g}"


def _degrees(number: Sourced | None, style: Style, *, spread: bool = False) -> str:
    """Return a temperature in the reader's degrees, or what it runs from and to."""
    if number is None:
        return ""
    ends = (number.low, number.high) if spread and number.low < number.high else (number.value,)
    temp = QUANTITIES["temp"]
    return "–".join(temp.number(end, style) if temp.converts(style) else f"{end:g}" for end in ends)


def _value(number: Sourced | None) -> float | None:
    return None if number is None else number.value


GRAMS_PER_KG: Final = 1000.0
