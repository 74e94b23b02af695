"""``tenhour new``: write a commented house file by a few questions, or all by flags."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from tenhour.cli.common import user_errors
from tenhour.cli.output import CautionsOption

Text = str | None
SHAPES = ("gable", "lean-to", "hoop", "box", "cold-frame", "window-sill")


def complete_shapes(incomplete: str) -> list[str]:
    """Shapes that begin so, for the shell."""
    return [shape for shape in SHAPES if shape.startswith(incomplete)]


def complete_covers(incomplete: str) -> list[str]:
    """Covers of the catalogue that begin so, for the shell."""
    from tenhour.files.textfile import packaged_toml

    return [key for key in packaged_toml("covers.toml")["cover"] if key.startswith(incomplete)]


def new(
    output: Annotated[Path, typer.Option("--output", "-o", help="File to write.")] = Path("house.toml"),
    place: Annotated[Text, typer.Option("--place", help='Nearest town, as "name, region".', show_default=False)] = None,
    lat: Annotated[Text, typer.Option("--lat", help="Latitude, south negative.", show_default=False)] = None,
    lon: Annotated[Text, typer.Option("--lon", help="Longitude, west negative.", show_default=False)] = None,
    elev: Annotated[Text, typer.Option("--elev", help="Elevation, m or 1300ft.", show_default=False)] = None,
    shape: Annotated[
        Text,
        typer.Option(
            "--shape",
            help="gable, lean-to, hoop, box, cold-frame or window-sill.",
            show_default=False,
            autocompletion=complete_shapes,
        ),
    ] = None,
    length: Annotated[Text, typer.Option("--length", help='Along the front, m or "16 ft".', show_default=False)] = None,
    width: Annotated[Text, typer.Option("--width", help="From the front to the back.", show_default=False)] = None,
    eaves: Annotated[Text, typer.Option("--eaves", help="Height of the walls.", show_default=False)] = None,
    ridge: Annotated[Text, typer.Option("--ridge", help="Height of the ridge.", show_default=False)] = None,
    front: Annotated[Text, typer.Option("--front", help="Height of the front wall.", show_default=False)] = None,
    back: Annotated[Text, typer.Option("--back", help="Height of the back wall.", show_default=False)] = None,
    faces: Annotated[
        Text, typer.Option("--faces", help="Where the front looks: south, SW, 200.", show_default=False)
    ] = None,
    azimuth: Annotated[
        Text,
        typer.Option("--azimuth", help="Compass direction along the front; 90: it faces south.", show_default=False),
    ] = None,
    cover: Annotated[
        Text,
        typer.Option(
            "--cover",
            help="What the house is made of: a cover, or words.",
            show_default=False,
            autocompletion=complete_covers,
        ),
    ] = None,
    opaque: Annotated[
        list[str] | None, typer.Option("--opaque", help="A face that lets no light in; repeat.", show_default=False)
    ] = None,
    window: Annotated[
        list[str] | None,
        typer.Option("--window", help='"face,left,sill,width,height[,cover]"; repeat.', show_default=False),
    ] = None,
    bed: Annotated[
        list[str] | None,
        typer.Option("--bed", help='"name,x,y,length,width[,height]"; repeat.', show_default=False),
    ] = None,
    snow: Annotated[
        Text, typer.Option("--snow", help="Months with white ground: 12,1,2, or Nov to March.", show_default=False)
    ] = None,
    day: Annotated[
        Text, typer.Option("--day", help='Heater set point by day, C or "59 F".', show_default=False)
    ] = None,
    night: Annotated[Text, typer.Option("--night", help="Heater set point by night.", show_default=False)] = None,
    name: Annotated[Text, typer.Option("--name", help="What to call the house.", show_default=False)] = None,
    units: Annotated[Text, typer.Option("--units", help="Print answers in metric or us.", show_default=False)] = None,
    people: Annotated[Text, typer.Option("--people", help="People who eat from it.", show_default=False)] = None,
    since: Annotated[
        Text, typer.Option("--from", help="First day with something on the table, like 1 Oct.", show_default=False)
    ] = None,
    until: Annotated[Text, typer.Option("--until", help="The last, like 31 May.", show_default=False)] = None,
    meals: Annotated[
        Text, typer.Option("--meals", help='A week and person: "salad 4, cooked 2, herbs 3".', show_default=False)
    ] = None,
    likes: Annotated[
        Text, typer.Option("--likes", help="Crops to eat, the best liked first.", show_default=False)
    ] = None,
    leave_out: Annotated[Text, typer.Option("--leave-out", help="Crops never to sow.", show_default=False)] = None,
    animals: Annotated[
        Text, typer.Option("--animals", help='That get greens: "4 hens, 2 rabbits".', show_default=False)
    ] = None,
    may_buy: Annotated[
        Text, typer.Option("--may-buy", help="What the plan may buy: lamps, trays, covers.", show_default=False)
    ] = None,
    budget: Annotated[Text, typer.Option("--budget", help='For how much: "120 EUR".', show_default=False)] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace a file that is there.")] = False,
    all_notes: CautionsOption = False,
) -> None:
    """Write a commented house file: by a few questions, or all by flags (no question with a place and a shape)."""
    with user_errors():
        from tenhour.cli.asking import ask_missing
        from tenhour.cli.output import Outputs
        from tenhour.cli.questions import next_question
        from tenhour.errors import one_line
        from tenhour.files.house.draft import Draft, draft_text
        from tenhour.files.problems import at_once
        from tenhour.files.write import write_text

        draft = Draft(
            name=name, place=place, lat=lat, lon=lon, elev=elev, shape=shape, length=length, width=width, eaves=eaves,
            ridge=ridge, front=front, back=back, azimuth=azimuth, faces=faces, cover=cover, opaque=tuple(opaque or ()),
            window=tuple(window or ()), bed=tuple(bed or ()), snow=snow, day=day, night=night, units=units,
            people=people, since=since, until=until, meals=meals, likes=likes, leave_out=leave_out, animals=animals,
            may_buy=may_buy, budget=budget,
        )  # fmt: skip
        wanted = ("--output", output, (".toml",))
        if not draft.complete:
            Outputs(force, wanted)
            draft = ask_missing(draft, next_question)
            _drawn(draft_text(draft))
        at_once(lambda: Outputs(force, wanted), lambda: draft_text(draft))
        write_text(output, draft_text(draft), force)
        print(one_line(f"Wrote {output}. Look at it, then run: tenhour check {output}"))
        if all_notes:
            from tenhour.cli.output import print_notes
            from tenhour.files.house.read import load_house
            from tenhour.model.house import cautions_of
            from tenhour.model.results import Basis
            from tenhour.words.style import Style

            house = load_house(output)
            print_notes(Basis({}, house.assumptions, (), cautions_of(house)), Style(us_units=house.us_units))


def _drawn(text: str) -> None:
    """Show the house that the answers made, so that a wrong one is seen before it is used."""
    from tenhour.cli.common import remark
    from tenhour.files.house.read import house_from_text
    from tenhour.report.floorplan import floor_plan
    from tenhour.words.style import Style

    house = house_from_text(text, "house.toml")
    for line in ["", "The house and its beds from above:", *floor_plan(house, Style(us_units=house.us_units))]:
        remark(line)
