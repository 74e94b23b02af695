"""A place where plants are raised before they are set out: a sill, a lit shelf, a cellar, or a bed of the house."""

from __future__ import annotations

from dataclasses import dataclass

from tenhour.errors import OutOfRange
from tenhour.model.checks import check_between, check_length
from tenhour.model.site import MONTHS, Monthly


@dataclass(frozen=True)
class Nursery:
    """Light and air of a place for raising plants; months are January to December.

    Light comes from ``dli_mol_m2_d`` as stated, or from the daylight of ``bed`` and lamps together. Air that is not
    stated is that of ``bed``.
    """

    name: str = "nursery"
    bed: str = ""
    """The bed of the house it stands on; empty for a place elsewhere."""
    dli_mol_m2_d: Monthly | None = None
    """All the light it gets, lamps included."""
    lamp_ppfd_umol_m2_s: float | None = None
    lamp_h: float | None = None
    lit_h: Monthly | None = None
    """Hours with daylight or lamps."""
    day_degc: Monthly | None = None
    night_degc: Monthly | None = None

    def __post_init__(self) -> None:
        for name, low, high in (
            ("dli_mol_m2_d", 0.0, 100.0),
            ("lit_h", 0.0, 24.0),
            ("day_degc", -60.0, 60.0),
            ("night_degc", -60.0, 60.0),
        ):
            values = getattr(self, name)
            if values is not None:
                check_length(f"nursery: {name}", values, MONTHS)
                for value in values:
                    check_between(f"nursery: {name}", value, low, high)
        if (self.lamp_ppfd_umol_m2_s is None) != (self.lamp_h is None):
            raise OutOfRange("nursery: lamps need both lamp_h and lamp_ppfd_umol_m2_s")
        if self.dli_mol_m2_d is None and self.lamp_h is None and not self.bed:
            raise OutOfRange("nursery: its light is unknown: give dli_mol_m2_d, lamps, or a bed")
