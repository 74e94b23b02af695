"""The tables of a house file that say how it holds and makes warmth: [heat], [[store]], [curtain], [[heater]]."""

from __future__ import annotations

from typing import Annotated, Final, Literal

from pydantic import BeforeValidator, Field

from tenhour.files.house.schema import MAT_HELD, ListOf, Months, Name, OutXYZ, SizeXYZ
from tenhour.files.problems import Section
from tenhour.files.units_text import Quantity
from tenhour.model.house import HeaterKind

LITRES: Final = Quantity("number", 1.0, 100_000.0)
WATTS: Final = Quantity("number", 10.0, 100_000.0)
EFFICIENCY: Final = Quantity("fraction", 0.05, 1.0)
PRICE: Final = Quantity("number", 0.0, 100.0)
FLUE: Final = Quantity("number", 50.0, 400.0)
RESISTANCE: Final = Quantity("number", 0.01, 5.0)
MAT_POWER: Final = Quantity("number", 5.0, 400.0)
LEAK: Final = Quantity("number", 0.0, 20.0)
LOSS: Final = Quantity("number", 0.2, 5.0)


class DraughtTable(Section):
    """[heat]: how heat leaves beside the panes."""

    leak: Literal["tight", "ordinary", "draughty"] | None = Field(default=None, examples=['"ordinary"'])
    leak_ach: Annotated[float, BeforeValidator(LEAK)] | None = None
    wind: Literal["sheltered", "open"] | None = Field(default=None, examples=['"sheltered"'])
    edge: Literal["bare", "board"] | None = Field(default=None, examples=['"bare"'])
    paths: Literal["soil", "paved"] | None = Field(default=None, examples=['"soil"'])
    loss_factor: Annotated[float, BeforeValidator(LOSS)] | None = None


class StoreTable(Section):
    """[[store]]: water in vessels."""

    name: Name | None = None
    litres: Annotated[float, BeforeValidator(LITRES)] = Field(examples=["200"])
    at_m: OutXYZ | None = None
    size_m: SizeXYZ | None = None


class CurtainTable(Section):
    """[curtain]: drawn under faces at night."""

    faces: Annotated[
        tuple[Name, ...], BeforeValidator(ListOf(1, 40, 'a list of faces like ["south", "roof-south"]'))
    ] = Field(examples=['["south", "roof-south"]'])
    kind: Name | None = None
    resistance_m2_k_w: Annotated[float, BeforeValidator(RESISTANCE)] | None = None
    closes: Literal["dusk"] = Field(default="dusk", examples=['"dusk"'])


class HeaterTable(Section):
    """[[heater]]."""

    kind: HeaterKind = Field(examples=['"electric"'])
    power_w: Annotated[float, BeforeValidator(WATTS)] = Field(examples=["2000"])
    efficiency_frac: Annotated[float, BeforeValidator(EFFICIENCY)] | None = None
    price: Annotated[float, BeforeValidator(PRICE)] | None = None
    flue_mm: Annotated[float, BeforeValidator(FLUE)] | None = None


class MatTable(Section):
    """[[mat]]: heated from below, under a thermostat among the roots."""

    bed: Name = Field(examples=['"front"'])
    set_degc: Annotated[float, BeforeValidator(MAT_HELD)] | None = None
    power_w_m2: Annotated[float, BeforeValidator(MAT_POWER)] | None = None
    months: Months | None = None
    price: Annotated[float, BeforeValidator(PRICE)] | None = None
