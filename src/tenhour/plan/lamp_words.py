"""Sentences of the lamp answer: the headline, the warnings, the cautions that apply."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Final

from tenhour.lamps.circuit import CONTINUOUS_SHARE, CircuitLoad
from tenhour.model.lamp import Lamp, LampBudget, LampNeed, LampRequest
from tenhour.model.lamp_answer import LampAnswer, LampRung, NurseryRow, OwnRow
from tenhour.words import lamps as words
from tenhour.words.crops import crop_name
from tenhour.words.text import Text, joined, listed

HOT: Final = ("hps", "metal-halide", "incandescent")
COLOURED: Final = ("red-blue-led", "red-led", "red-white-led")
COUNTS_AS_DAY_UMOL_M2_S: Final = 1.5
"""Light that plants take for day when it lasts (threshold about 1 to 2). Memory."""
PLANTS: Final = 100.0
TOUCH_RATIO: Final = 1.02
"""Light beyond a limit by less than this is not told apart. Judgement."""
SHORT_RATIO: Final = 0.99
WASTE_RATIO: Final = 1.5


def headline(answer: LampAnswer) -> Text:
    """The answer in one sentence, or two."""
    where = answer.bed if answer.tiers_count == 1 else words.TIERS(tiers=answer.tiers_count, bed=answer.bed)
    target, crops = answer.target_dli_mol_m2_d, listed(answer.crops)
    month = answer.size_month
    if answer.layout is None:
        dull = answer.daylight_dli_mol_m2_d
        return words.NOT_NEEDED(where=where, crops=crops, target=target, month=month, dull=dull)
    layout = answer.layout
    lamps = (words.ONE_LAMP if layout.each_count == 1 else words.LAMPS)(
        count=layout.each_count, lamp=layout.lamp, each=layout.fixture_w
    )
    row = next(r for r in answer.clock if r.month == month)
    times = listed([f"{on}-{off}" for on, off in row.windows])
    until = words.OFF_FROM(on=answer.off_from) if answer.off_from is not None else words.ALL_YEAR()
    hang = words.HANG(where=where, crops=crops, lamps=lamps, height=layout.height_m, total=answer.power_w)
    light = answer.days[0].total_dli_mol_m2_d
    if answer.sized_on == "mean":
        light = answer.days[1].total_dli_mol_m2_d
    pattern = words.ON_EVERY_DAY if answer.dark else words.ON_IN_MONTH[answer.sized_on]
    return joined([hang, pattern(month=month, times=times, until=until, light=light, target=target)])


def nursery_words(rows: Sequence[NurseryRow], wanted: date | None) -> Text:
    """How many plants by what date, or that it is too late for that.

    Parameters: rows; wanted, date by which they are wanted, or None.
    """
    ready = [row.ready_on for row in rows if row.ready_on is not None]
    if len(ready) < len(rows):
        return words.NOT_RAISED()
    plants = listed([words.NURSERY_PLANTS(count=row.plants_count, crop=row.crop) for row in rows])
    if wanted is not None and max(ready) > wanted:
        return words.NURSERY_LATE(plants=plants, wanted=wanted, ready=max(ready))
    return words.NURSERY(plants=plants, ready=max(ready))


def budget_verdict(answer: LampAnswer, budget: LampBudget) -> Text:
    """Which beds a budget lights, and what that adds.

    Parameters: answer, with the rows of the budget; budget.
    """
    lit = [row for row in answer.budget if row.order is not None]
    extra, money = sum(row.extra_kg for row in lit), answer.currency or ""
    lit.sort(key=lambda row: row.order or 0)
    beds = listed([row.bed for row in lit])
    said = {"beds": words.BUDGET_ORDER(beds=beds) if len(lit) > 1 else beds, "extra": extra, "last": answer.counted_to}
    first: Text = (
        words.BUDGET_WATTS(budget=budget.power_w, **said)
        if budget.power_w is not None
        else words.BUDGET_MONEY(budget=(budget.cost_currency, money), **said)
    )
    costs = [row.cost_season_currency for row in lit if row.cost_season_currency is not None]
    cost = (sum(costs) / extra, money)
    told: list[Text] = [words.BUDGET_KILO(first=first, cost=cost) if costs and extra > 0 else first + "."]
    told += [words.BUDGET_LEFT(beds=row.bed) for row in answer.budget if row.order is None]
    return joined(told)


def own_headline(answer: LampAnswer, rows: Sequence[OwnRow], dli_mol_m2_d: float) -> Text:
    """What lamps that are there do, and how many more would reach the light worth reaching.

    Parameters: answer; rows; dli_mol_m2_d, that light [mol m⁻² d⁻¹].
    """
    layout, mean = answer.layout, answer.days[1]
    assert layout is not None
    planned = next(row for row in reversed(rows) if row.step != "more")
    clock = next(r for r in answer.clock if r.month == answer.size_month)
    said: list[Text] = [
        words.OWN_LAMPS(
            count=planned.fixtures_count, lamp=layout.lamp, each=layout.fixture_w, where=answer.bed,
            crops=listed(answer.crops), height=layout.height_m, month=answer.size_month,
            times=listed([f"{on}-{off}" for on, off in clock.windows]), dark=mean.daylight_dli_mol_m2_d,
            light=mean.total_dli_mol_m2_d,
        )
    ]  # fmt: skip
    if rows[-1].step == "more":
        more = rows[-1].fixtures_count - planned.fixtures_count
        said.append(words.OWN_SHORT(wanted=dli_mol_m2_d, more=more, area=answer.own_for_m2 or 0.0))
    elif mean.total_dli_mol_m2_d >= dli_mol_m2_d * SHORT_RATIO:
        said.append(words.OWN_ENOUGH(wanted=dli_mol_m2_d))
    return joined(said)


def verdict(answer: LampAnswer, rung: LampRung, kind: str, worth_currency: float | None) -> Text:
    """Whether lamps pay here, and what the bed does without them.

    Parameters: answer; rung of it that was chosen; kind of what is counted, "kg", "plants" or "trays";
        worth_currency, what one of those is worth to the grower, or None.
    """
    said = [pays_words(answer, rung, kind, worth_currency), *_seedlings(answer, rung), without_lamps(answer, kind)]
    return joined(said)


def _seedlings(answer: LampAnswer, rung: LampRung) -> Iterator[Text]:
    """What a kilo costs by lamps over the seedlings alone, or over the bed where those are planned."""
    if rung.name == "seedlings":
        over = next((one for one in answer.ladder if "steady" in (one.name, *one.also)), None)
        if over is not None and over.cost_per_kg_currency is not None:
            yield words.BED_COST(cost=(over.cost_per_kg_currency, answer.currency or ""))
        return
    alone = next((one for one in answer.ladder if one.name == "seedlings"), None)
    cost = None if alone is None else alone.cost_per_kg_currency
    if alone is None or cost is None or alone is rung:
        return
    if rung.cost_per_kg_currency is None or cost < rung.cost_per_kg_currency:
        pays = alone.pays and not rung.pays
        yield (words.SEEDLINGS_PAY if pays else words.SEEDLINGS_COST)(cost=(cost, answer.currency or ""))


def pays_words(answer: LampAnswer, rung: LampRung, kind: str, worth_currency: float | None) -> Text:
    """Whether lamps pay here.

    Parameters: as of :func:`verdict`; worth_currency, what one more is worth to the grower, or None.
    """
    worth = worth_currency
    money = answer.currency or ""
    cost = {
        "kg": rung.cost_per_kg_currency,
        "plants": rung.cost_per_hundred_plants_currency,
        "trays": rung.cost_per_tray_currency,
    }[kind]
    if kind == "kg" and rung.extra_kg is None:
        return words.UNTOLD(crops=listed(answer.crops))
    if kind == "kg" and not rung.energy_per_kg_kwh:
        return words.ADDS_NOTHING()
    if cost is None:
        return words.TAKES[kind](energy=rung.energy_per_kg_kwh or rung.energy_season_kwh)
    if worth is None:
        return words.COSTS[kind](cost=(cost, money))
    if kind == "plants":
        worth *= PLANTS
    return (words.PAYS if rung.pays else words.PAYS_NOT)(
        what=words.COSTS_SHORT[kind](cost=(cost, money)), worth=(worth, money)
    )


def none_pays_words(least_kwh: float, least_currency: tuple[float, str] | None, worth_currency: float | None) -> Text:
    """That no step of light pays.

    Parameters: least_kwh, current for one more kilo on the cheapest step [kWh]; least_currency, what that costs and in
        which money, None without a price; worth_currency, what a kilo is worth to the grower, or None.
    """
    if least_currency is None:
        return words.NO_STEP_TAKES(energy=least_kwh)
    if worth_currency is None:
        return words.NO_STEP_COSTS(cost=least_currency)
    return words.NO_STEP_PAYS(cost=least_currency, worth=(worth_currency, least_currency[1]))


def without_lamps(answer: LampAnswer, kind: str) -> Text:
    """What the bed does without them.

    Parameters: answer; kind of what is counted, "kg", "plants" or "trays".
    """
    unlit = answer.unlit
    if unlit is None or answer.dark:
        return words.UNLIT_DARK()
    seen = words.UNLIT_LIGHT(light=unlit.dli_mol_m2_d, month=answer.size_month)
    on, last = answer.counted_from, answer.counted_to
    if unlit.days_to_harvest is None or on is None or last is None:
        return words.UNLIT_NEVER(seen=seen)
    if unlit.harvest_kg is None:
        return words.UNLIT_READY(seen=seen, on=on, days=unlit.days_to_harvest)
    return words.UNLIT_KILOS(seen=seen, on=on, days=unlit.days_to_harvest, kilos=unlit.harvest_kg, last=last)


def warnings_of(
    load: CircuitLoad,
    request: LampRequest,
    bright_enough: bool,
    lamp: Lamp,
    needed_umol_m2_s: float,
    delivered_umol_m2_s: float,
) -> Iterator[Text]:
    """What must be said first: an overloaded circuit, light that falls short, light in excess.

    Parameters: needed_umol_m2_s, delivered_umol_m2_s, level flux on the bed [µmol m⁻² s⁻¹].
    """
    if load.overloaded:
        yield _overloaded(load, request)
    if not bright_enough and delivered_umol_m2_s < needed_umol_m2_s * SHORT_RATIO:
        yield words.TOO_LITTLE(given=delivered_umol_m2_s, needed=needed_umol_m2_s)
    if delivered_umol_m2_s > needed_umol_m2_s * WASTE_RATIO:
        yield words.TOO_BIG(lamp=lamp.title, given=delivered_umol_m2_s, needed=needed_umol_m2_s)
    if lamp.note:
        yield words.NOTE(lamp=lamp.title, note=lamp.note)


def too_bright(needs: Sequence[LampNeed], answer: LampAnswer) -> Iterator[Text]:
    """Crops that get more light than they use or stand: on a bright day, or in the brightest spot of a mean one."""
    kinds = {day.kind: day.total_dli_mol_m2_d for day in answer.days}
    spot = 0.0 if answer.map is None else max(max(row) for row in answer.map.dli_mol_m2_d)
    for need in needs:
        most = need.most_dli_mol_m2_d
        if most is not None and max(kinds["bright"], spot) > most * TOUCH_RATIO and kinds["bright"] > 0:
            yield words.TOO_BRIGHT(crop=crop_name(need.crop), most=most, bright=kinds["bright"], spot=spot)


def _overloaded(load: CircuitLoad, request: LampRequest) -> Text:
    circuit, larger = request.circuit, load.smallest_breaker_a
    alone = load.circuits_count == 1
    return words.OVERLOADED(
        lamps=load.lamps_a,
        others=load.total_a - load.lamps_a,
        total=load.total_a,
        breaker=circuit.breaker_a,
        mains=circuit.mains_v,
        allowed=load.allowed_a,
        share=CONTINUOUS_SHARE,
        advice=words.NO_BREAKER() if larger is None else words.LARGER_BREAKER(breaker=larger),
        split=words.OWN_CIRCUIT()
        if alone
        else words.MORE_CIRCUITS(count=load.circuits_count, breaker=circuit.breaker_a),
    )


def spill_warning(spill: Sequence[tuple[str, float]]) -> Iterator[Text]:
    """Neighbours that see the lamps long enough to count it as day."""
    seen = [words.SPILL_ON(bed=name, light=light) for name, light in spill if light >= COUNTS_AS_DAY_UMOL_M2_S]
    if seen:
        yield words.SPILL(beds=listed(seen))


def cautions_for(rows: Sequence[Mapping[str, str]], lamp: Lamp, heater: bool) -> Iterator[str]:
    """Texts of the cautions that apply to this lamp and house."""
    there = {
        "always": True,
        "heater": heater,
        "discharge": lamp.spectrum in HOT,
        "coloured": lamp.spectrum in COLOURED,
    }
    for row in rows:
        if there.get(row["when"], True):
            yield row["text"]
