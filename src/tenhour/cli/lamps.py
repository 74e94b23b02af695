"""``tenhour lamps``: which lamp for which bed, from photons to breaker and bill."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Annotated

import typer

from tenhour.cli.common import (
    CropsOption,
    ElevOption,
    HouseOption,
    JsonOption,
    LatOption,
    LonOption,
    PlaceOption,
    complete_words,
    load_house_in_use,
    own_file,
    user_errors,
)
from tenhour.cli.lamp_options import read_lamp_options
from tenhour.cli.output import CautionsOption, CsvOption, DatesOption, UnitsOption, output_of
from tenhour.cli.progress import working
from tenhour.cli.quick import load_by_module
from tenhour.errors import FileProblem, Problem

if TYPE_CHECKING:
    from tenhour.cli.lamp_options import LampOptions
    from tenhour.model.crop import Crop
    from tenhour.model.house import House
    from tenhour.model.lamp import Lamp
    from tenhour.model.lamp_answer import LampAnswer


def lamps(
    words: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[BED] [CROP]...",
            help="The bed (without one the first) and crops.",
            show_default=False,
            autocompletion=complete_words,
        ),
    ] = None,
    bed: Annotated[str | None, typer.Option("--bed", help="The bed.", show_default=False)] = None,
    crop: Annotated[
        list[str] | None, typer.Option("--crop", help="Crop under the lamp; may be repeated.", show_default=False)
    ] = None,
    lamp: Annotated[
        str,
        typer.Option("--lamp", help='A kind, a lamp file (.toml, .ies), or words: "40 W 104 umol/s 1.15 m".'),
    ] = "led-bar",
    spectrum: Annotated[
        str | None, typer.Option("--spectrum", help="Spectrum of a photometric file or lamp.", show_default=False)
    ] = None,
    intensities: Annotated[
        str | None,
        typer.Option("--intensities", help="What a photometric file holds: photometric or photon.", show_default=False),
    ] = None,
    hours: Annotated[str | None, typer.Option("--hours", help="Lamp hours a day.", show_default=False)] = None,
    dli: Annotated[
        str | None, typer.Option("--dli", help="Light wanted, mol m⁻² d⁻¹, if not the crop's.", show_default=False)
    ] = None,
    first: Annotated[str | None, typer.Option("--from", help="First day.", show_default=False)] = None,
    last: Annotated[str | None, typer.Option("--to", help="Last day.", show_default=False)] = None,
    harvest: Annotated[
        str | None, typer.Option("--harvest", help="Have the crop in by this date.", show_default=False)
    ] = None,
    price: Annotated[
        str | None,
        typer.Option("--price", help='Per kWh: "0.30 EUR", or "0.32 EUR; 23-7=0.14".', show_default=False),
    ] = None,
    worth: Annotated[
        str | None,
        typer.Option("--worth", help="What a kilo is worth to you (a plant, a tray).", show_default=False),
    ] = None,
    rung: Annotated[
        str | None,
        typer.Option("--rung", help="Rung of the ladder to plan: least, steady, full, dull.", show_default=False),
    ] = None,
    volts: Annotated[str, typer.Option("--volts", help="Mains voltage.")] = "230",
    breaker: Annotated[
        str | None, typer.Option("--breaker", help="Breaker in A; 16, or 15 at 120 V.", show_default=False)
    ] = None,
    others: Annotated[str, typer.Option("--others", help="Watts of all else on the circuit.")] = "0",
    headroom: Annotated[
        str | None, typer.Option("--headroom", help="Highest lamps may hang above the leaves (m).", show_default=False)
    ] = None,
    even: Annotated[str, typer.Option("--even", help="Darkest over mean light wanted, 0 to 1.")] = "0.7",
    panels: Annotated[
        str | None,
        typer.Option("--panels", help="Side panels round the bed: their reflectance, 0.9 white.", show_default=False),
    ] = None,
    windows: Annotated[
        str | None, typer.Option("--windows", help="Most times a day the lamps come on: 1 or 2.", show_default=False)
    ] = None,
    shelf: Annotated[
        str | None,
        typer.Option("--shelf", help="A shelf without daylight instead of a bed: 1.2x0.5.", show_default=False),
    ] = None,
    tiers: Annotated[str, typer.Option("--tiers", help="Shelves of a rack, each with its own lamps.")] = "1",
    plants: Annotated[
        str | None,
        typer.Option(
            "--plants", help="How many plants for the garden are wanted, by --harvest: 30 or 30,60.", show_default=False
        ),
    ] = None,
    budget: Annotated[
        str | None,
        typer.Option("--budget", help='What several beds may take together: "400 W" or "150 EUR".', show_default=False),
    ] = None,
    own: Annotated[
        str | None,
        typer.Option(
            "--own", help='What can lamps you have do here? How many; "hung": those of the house.', show_default=False
        ),
    ] = None,
    keep: Annotated[bool, typer.Option("--keep", help="Write the lamps into the house file.")] = False,
    show_map: Annotated[bool, typer.Option("--map", help="Show the lit bed's grid.")] = False,
    crops: CropsOption = None,
    house: HouseOption = None,
    lat: LatOption = None,
    lon: LonOption = None,
    elev: ElevOption = None,
    place: PlaceOption = None,
    as_json: JsonOption = False,
    csv: CsvOption = None,
    units: UnitsOption = None,
    dates: DatesOption = "iso",
    all_notes: CautionsOption = False,
    everything: Annotated[bool, typer.Option("--all", help="Light, heights, clock and power as well.")] = False,
) -> None:
    """Size a lamp for a bed and crop: fixtures, height, clock, circuit, energy and cost."""
    with user_errors():
        load_by_module()
        from tenhour.cli.loading import all_at_once, beds_and_crops, choose_crops
        from tenhour.files.lamp import LampChoice, find_lamp
        from tenhour.report.lamps import lamps_tables, lamps_text

        alone = shelf is not None or plants is not None
        if alone:
            _refuse_house(
                "--shelf" if shelf is not None else "--plants",
                {"--house": house, "--lat": lat, "--lon": lon, "--elev": elev, "--place": place},
            )
        in_use = load_house_in_use(house, lat, lon, elev, place) if not alone else None
        more_beds, more_crops = beds_and_crops(crops, in_use, words)
        crop = [*(crop or ()), *more_crops]
        beds = [*([bed] if bed else []), *more_beds]
        bed = _one_bed(beds) if budget is None else None
        typed = {
            "--hours": hours, "--dli": dli, "--from": first, "--to": last, "--harvest": harvest, "--price": price,
            "--volts": volts, "--breaker": breaker, "--others": others, "--headroom": headroom, "--even": even,
            "--panels": panels, "--windows": windows,
            "--worth": worth, "--rung": rung, "--tiers": tiers, "--shelf": shelf, "--own": own, "--plants": plants,
            "--budget": budget, "BED": bed,
        }  # fmt: skip
        asked, chosen, kind = all_at_once(
            lambda: read_lamp_options(typed),
            lambda: choose_crops(crops, _wanted(crop)),
            lambda: find_lamp(LampChoice(lamp, spectrum, intensities)),
        )
        if keep:
            asked = replace(asked, request=replace(asked.request, over_bed=True))
        out = output_of(
            in_use is not None and in_use.us_units, units, dates, as_json=as_json, csv=csv, cautions=all_notes
        )
        with working("Hanging lamps over the bed", of="steps"):
            answer, kind = _answer(in_use, beds, chosen, kind, asked)
        if keep:
            answer = _kept(answer, kind, in_use)
        out.give(
            answer,
            lambda width: lamps_text(answer, width, style=out.style, with_map=show_map, everything=everything),
            lambda: lamps_tables(answer),
        )


def _answer(
    house: House | None, beds: list[str], crops: list[Crop], kind: Lamp, asked: LampOptions
) -> tuple[LampAnswer, Lamp]:
    """The answer, and the lamp it is about."""
    from tenhour.cli.loading import sources
    from tenhour.files.lamp_kinds import load_cautions
    from tenhour.year.answers.lamps import Shelf, check_request, nursery_shelf, shelf_answer
    from tenhour.year.year import Year

    cautions, by, request = load_cautions(), asked.harvest_by, asked.request
    if house is None:
        spot, counts = Shelf(*asked.shelf_m, asked.tiers_count, request.headroom_m), asked.plants_counts
        if counts:
            spot, counts = nursery_shelf(crops, counts)
        answer = shelf_answer(spot, crops, kind, request, cautions=cautions, harvest_by=by, plants_counts=counts)
        return answer, kind
    year = Year(house, sources(house), crops)
    if asked.budget is not None:
        names = beds or [one.name for one in house.beds]
        return year.lamps_shared(names, crops, kind, request, asked.budget, cautions=cautions, today=date.today()), kind
    name = beds[0] if beds else house.beds[0].name
    kind, asked = _hung(house, name, kind, asked)
    check_request(house, crops, name, asked.request)
    return year.lamps(
        name, crops, kind, asked.request,
        cautions=cautions, harvest_by=by, tiers_count=asked.tiers_count, today=date.today(),
    ), kind  # fmt: skip


def _hung(house: House, bed: str, kind: Lamp, asked: LampOptions) -> tuple[Lamp, LampOptions]:
    """The lamps that hang over the bed in the place of a kind, where those are asked about."""
    from tenhour.model.lamp import OwnLamps

    if not asked.hung:
        return kind, asked
    found = next((hung for hung in house.lamps if hung.bed == bed), None)
    if found is None:
        do = "Say how many you have, and which: --own 4 --lamp led-bar."
        raise FileProblem([Problem("command line", "--own", "hung", f"a bed with [[lamps]]; {bed} has none", do)])
    hours = max(found.hours_h) if found.hours_h else sum(off - on for on, off in found.windows_h)
    own = OwnLamps(found.count, found.height_m, hours)
    return found.lamp, replace(asked, request=replace(asked.request, own=own))


def _kept(answer: LampAnswer, lamp: Lamp, house: House | None) -> LampAnswer:
    """Write the plan into the house file, or say why there is nothing to write or nowhere."""
    from tenhour.files.keep import keep_lamps
    from tenhour.year.inside.lit import hung_values

    path = own_file("" if house is None else house.path, "--keep")
    remark = f"planned by tenhour lamps for {' and '.join(answer.crops)}"
    keep_lamps(path, hung_values(answer, lamp), remark)
    return replace(answer, kept=str(path))


def _refuse_house(shelf: str, typed: dict[str, object]) -> None:
    """A shelf without daylight stands in no house and no place: such words would be lost without a word."""
    lost = [option for option, said in typed.items() if said is not None]
    if lost:
        do = "Leave it out: a shelf has no daylight."
        raise FileProblem(
            [Problem("command line", f"{option} and {shelf}", "both", "one of them", do) for option in lost]
        )


def _one_bed(beds: list[str]) -> str | None:
    if len(beds) > 1:
        raise FileProblem([Problem("command line", "BED", " and ".join(beds), "one bed", "Ask for one at a time.")])
    return beds[0] if beds else None


def _wanted(crop: list[str] | None) -> list[str]:
    if not crop:
        problem = Problem("command line", "--crop", "nothing", "at least one crop", "As in: tenhour lamps front kale.")
        raise FileProblem([problem])
    return crop
