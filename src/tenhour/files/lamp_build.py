"""Work out a user's lamp from what was said of it, and refuse what physics does not allow."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Annotated, Any, Final, Literal

from pydantic import BeforeValidator, Field

from tenhour.files.lamp_kinds import ceilings, load_kinds, white_led_lux_umol
from tenhour.files.lm63 import Photometry, read_lm63
from tenhour.files.problems import Problems, Section
from tenhour.files.spectra import load_spectra
from tenhour.files.units_text import Quantity
from tenhour.model.lamp import Intensities, Lamp, LampSize, Shape
from tenhour.words import remarks as words

DEFAULT_KIND: Final = "led-bar"
KELVIN: Final = (1500.0, 20000.0)
MOST_LM_W: Final = 260.0
"""No white light source passes this far: broad white light ends near 250-300 lm per watt without any loss. Memory."""
LUMENS_LIKE: Final = (30.0, 400.0)
"""A quotient of "photons" over watts in this range is lumens per watt. Judgement."""
PHOTON_RATIO: Final = (0.8, 1.25)
LUMEN_RATIO: Final = (45.0, 95.0)
"""Integral of a file over its photons: near 1 it holds photons, near 55-85 lumens; the spread of lamps added."""
STATED_TOLERANCE: Final = 0.15
"""A file whose integral departs this far from its stated lumens is damaged or misread. Judgement."""
BAR_RATIO: Final = 2
"""A face longer than this many widths is a bar. Judgement."""
KEPT_FIELDS: Final = (
    "beam_deg", "down_share", "maintenance_frac", "clearance_m", "clearance_above_m", "power_factor", "dimmable",
)  # fmt: skip
Counted = Literal["photon", "photometric"]

_LENGTH = Annotated[float, BeforeValidator(Quantity("length", 0.0, 5.0))]
_HEIGHT = Annotated[float, BeforeValidator(Quantity("length", 0.01, 3.0))]
_POWER = Annotated[float, BeforeValidator(Quantity("number", 0.1, 5000.0))]
_FLUX = Annotated[float, BeforeValidator(Quantity("number", 0.01, 2e6))]
_LUX = Annotated[float, BeforeValidator(Quantity("number", 20.0, 250.0))]
_KELVIN = Annotated[float, BeforeValidator(Quantity("number", *KELVIN))]
_BEAM = Annotated[float, BeforeValidator(Quantity("angle", 1.0, 179.0))]
_SHARE = Annotated[float, BeforeValidator(Quantity("fraction", 0.0, 1.0))]
_KEPT = Annotated[float, BeforeValidator(Quantity("fraction", 0.3, 1.0))]
_FACTOR = Annotated[float, BeforeValidator(Quantity("fraction", 0.2, 1.0))]


class OwnLamp(Section):
    """The [lamp] table of a lamp file; what is not said is taken from the kind named by ``like``."""

    name: str = ""
    like: str = DEFAULT_KIND
    power_w: _POWER | None = Field(default=None, examples=[40])
    ppf_umol_s: _FLUX | None = None
    flux_lm: _FLUX | None = None
    kelvin: _KELVIN | None = None
    spectrum: str | None = None
    lux_umol: _LUX | None = None
    length_m: _LENGTH | None = None
    width_m: _LENGTH | None = None
    beam_deg: _BEAM | None = None
    down_share: _SHARE | None = None
    maintenance_frac: _KEPT | None = None
    clearance_m: _HEIGHT | None = None
    clearance_above_m: _HEIGHT | None = None
    power_factor: _FACTOR | None = None
    dimmable: bool | None = None
    photometry: str | None = None
    intensities: Counted | None = None


def build_lamp(own: OwnLamp, file: str, folder: Path, title: str = "", key: str = "lamp.") -> Lamp:
    """Return the lamp in full: gaps filled from the kind it is like, photons worked out, claims checked.

    Parameters: own, what was said; file, for messages; folder, where a photometric file's name starts; title; key,
        what stands before the name of a field in messages.
    Errors: FileProblem with every problem found.
    """
    problems = Problems(file)
    base = load_kinds().get(own.like)
    if base is None:
        problems.choice(f"{key}like", own.like, "a kind nobody knows", list(load_kinds()))
    if own.spectrum is not None and own.spectrum not in ceilings():
        problems.choice(f"{key}spectrum", own.spectrum, "a spectrum nobody knows", list(ceilings()))
    problems.check()
    assert base is not None
    light = read_lm63(folder / own.photometry) if own.photometry is not None else None
    return _Builder(own, base, light, key, problems).lamp(file, title)


@dataclass
class _Builder:
    """One lamp in the making."""

    own: OwnLamp
    base: Lamp
    light: Photometry | None
    key: str
    problems: Problems
    notes: list[str] = field(default_factory=list)

    @property
    def spectrum(self) -> str:
        return self.own.spectrum or self.base.spectrum

    @property
    def power_w(self) -> float | None:
        """Watts as given, or as the photometric file says."""
        if self.own.power_w is not None:
            return self.own.power_w
        return self.light.power_w if self.light is not None and self.light.power_w > 0 else None

    def lamp(self, file: str, title: str) -> Lamp:
        size = self._size()
        given: dict[str, Any] = {
            name: getattr(self.own, name) for name in KEPT_FIELDS if getattr(self.own, name) is not None
        }
        table = None
        if self.light is not None:
            scale = size.ppf_umol_s / self.light.flux
            table = Intensities(self.light.vertical_deg, self.light.horizontal_deg, self.light.intensity * scale)
            given["down_share"] = 1.0
        shape: Shape = "bar" if size.length_m > BAR_RATIO * size.width_m else "panel"
        named = self.own.name or title or (self.light.title if self.light is not None else "")
        return replace(
            self.base,
            key=f"own {self.base.key}",
            title=named or f"your lamp, like {self.base.key}",
            shape=shape,
            sizes=(size,),
            spectrum=self.spectrum,
            par_umol_j=ceilings()[self.spectrum].high,
            intensities=table,
            sources={},
            origin=file,
            assumptions=tuple(self.notes),
            **given,
        )

    def _size(self) -> LampSize:
        power = self.power_w
        if power is None:
            do = "Add for example power_w = 40."
            self.problems.add(f"{self.key}power_w", "nothing", "the watts the lamp draws", do)
        ppf = self._photons(power)
        self.problems.check()
        assert power is not None
        assert ppf is not None
        self._check_claim(ppf / power)
        self.problems.check()
        near = min(self.base.sizes, key=lambda s: abs(s.power_w - power))
        sides = self.light or near
        length = sides.length_m if self.own.length_m is None else self.own.length_m
        width = sides.width_m if self.own.width_m is None else self.own.width_m
        if self.own.length_m is None and self.light is None:
            self.notes.append(words.LAMP_SIZE(length=length, width=width, kind=self.base.title))
        if self.light is not None:
            return LampSize(length, width, power, ppf)
        return LampSize(max(length, width), min(length, width), power, ppf)

    def _photons(self, power_w: float | None) -> float | None:
        """Photons per second of one fixture, from whatever was given."""
        if self.light is not None:
            return self._photons_of_file(self.light)
        if self.own.ppf_umol_s is not None:
            return self.own.ppf_umol_s
        if self.own.flux_lm is not None:
            return self._photons_of_lumens(self.own.flux_lm, power_w)
        efficacy = self.base.sizes[0].efficacy_umol_j
        self.notes.append(f"Photons not given: {efficacy:.2f} µmol/J, as a {self.base.title}; its own label is better.")
        return None if power_w is None else power_w * efficacy

    def _lux_umol(self) -> tuple[float | None, str]:
        """Lux per µmol m⁻² s⁻¹ of the lamp's spectrum, and how it was found."""
        if self.own.lux_umol is not None:
            return self.own.lux_umol, "as stated"
        if self.own.kelvin is not None and self.spectrum.endswith("white-led"):
            known = white_led_lux_umol(self.own.kelvin)
            return known.value, f"white LED of {self.own.kelvin:.0f} K, {known.low:.0f} to {known.high:.0f}"
        table = load_spectra().get(self.spectrum)
        if table is None or table.lux_umol is None:
            return None, ""
        return table.lux_umol.value, f"{table.title}, {table.lux_umol.low:g} to {table.lux_umol.high:g}"

    def _photons_of_lumens(self, flux_lm: float, power_w: float | None) -> float | None:
        factor, how = self._lux_umol()
        if factor is None:
            do = "Give ppf_umol_s: lumens say nothing about a lamp of red and blue."
            self.problems.add(f"{self.key}flux_lm", f"lumens of {self.spectrum}", "lumens of white light", do)
            return None
        if power_w is not None and flux_lm / power_w > MOST_LM_W:
            do = "Give the watts the lamp draws, not those of the bulb it replaces."
            found = f"{flux_lm / power_w:.0f} lm/W"
            self.problems.add(f"{self.key}flux_lm", found, f"up to {MOST_LM_W:.0f} lm/W", do)
        self.notes.append(f"Photons from lumens at {factor:.1f} lux per µmol ({how}): good to about ± 10 %.")
        return flux_lm / factor

    def _photons_of_file(self, light: Photometry) -> float | None:
        stated = light.stated_flux
        if stated is not None and abs(light.flux / stated - 1) > STATED_TOLERANCE:
            total = f"The file's intensities add up to {light.flux:.0f}, its stated flux is {stated:.0f}"
            self.notes.append(f"{total}: losses in the fixture, or damage.")
        if self.own.intensities is None:
            allowed = "photometric (candela) or photon (µmol per s and sr)"
            self.problems.add(f"{self.key}intensities", "nothing", allowed, self._guess(light))
            return None
        ppf = light.flux if self.own.intensities == "photon" else self._photons_of_candela(light)
        return None if ppf is None else self._agreed(ppf, light)

    def _photons_of_candela(self, light: Photometry) -> float | None:
        if self.own.spectrum is None and self.own.lux_umol is None and self.own.kelvin is None:
            known = ", ".join(key for key in ceilings() if key in load_spectra())
            allowed = "the spectrum, to turn candela into photons"
            self.problems.add(f"{self.key}spectrum", "nothing", allowed, f"Name one: {known}.")
            return None
        factor, how = self._lux_umol()
        if factor is None:
            do = "Give lux_umol, the lux per µmol of this lamp's spectrum."
            self.problems.add(f"{self.key}intensities", f"candela of {self.spectrum}", "candela of white light", do)
            return None
        self.notes.append(f"Photons from candela at {factor:.1f} lux per µmol ({how}): good to about ± 10 %.")
        return light.flux / factor

    def _agreed(self, ppf_umol_s: float, light: Photometry) -> float:
        """The stated photons, if the file bears them out."""
        stated = self.own.ppf_umol_s
        if stated is None:
            return ppf_umol_s
        ratio = light.flux / stated
        low, high = PHOTON_RATIO if self.own.intensities == "photon" else LUMEN_RATIO
        if not low <= ratio <= high:
            do = "It looks photometric." if LUMEN_RATIO[0] <= ratio <= LUMEN_RATIO[1] else "Check both."
            do = "It looks like photons." if PHOTON_RATIO[0] <= ratio <= PHOTON_RATIO[1] else do
            found = f"{self.own.intensities}, but the file adds up to {ratio:.2f} times ppf_umol_s"
            self.problems.add(f"{self.key}intensities", found, f"{low:g} to {high:g} times", do)
        return stated

    def _guess(self, light: Photometry) -> str:
        """What the file seems to hold, from its total over the watts."""
        power = self.power_w
        if power is None:
            return "The file does not say which."
        per_w = light.flux / power
        seems = "photometric" if per_w > LUMENS_LIKE[0] else "photon"
        return f"The file does not say which; its total of {per_w:.1f} per watt looks {seems}."

    def _check_claim(self, efficacy_umol_j: float) -> None:
        """Refuse more photons than photon energy allows."""
        ceiling = ceilings()[self.spectrum]
        if efficacy_umol_j <= ceiling.high:
            return
        given, do = "flux_lm", "Give the watts the lamp draws, not those of the bulb it replaces."
        if self.light is not None:
            given = "intensities"
            do = "Is it photometric (candela)?" if self.own.intensities == "photon" else "Check the watts."
        elif self.own.ppf_umol_s is not None:
            given = "ppf_umol_s"
            if LUMENS_LIKE[0] <= efficacy_umol_j <= LUMENS_LIKE[1]:
                do = "That looks like lumens: write flux_lm (on the command line, lm) instead."
        allowed = f"up to {ceiling.high:g} µmol/J, all that photon energy allows {self.spectrum}"
        self.problems.add(f"{self.key}{given}", f"{efficacy_umol_j:.2f} µmol/J", allowed, do)
