"""Lux and joules per PAR photon of common lamp spectra, for the published-value tests and the lamp data.

Needs ``colour-science`` (BSD), which carries the CIE illuminants and lamp spectra collected by NIST; tenhour itself
does not. Run ``python scripts/build_lux_factors.py > tests/published/lamps_lux_factors.csv``.
"""

from __future__ import annotations

import csv
import sys
import warnings

import numpy as np

LUMENS_PER_W = 683.0
PLANCK_J_S = 6.62607015e-34
LIGHT_M_S = 299792458.0
AVOGADRO_PER_MOL = 6.02214076e23
PAR_NM = (400.0, 700.0)
SPECTRA = {
    "daylight": ("D65", "D55", "D50"),
    "incandescent": ("A",),
    "tube-cool-white": ("FL2", "Cool White FL"),
    "tube-triphosphor": (
        "F32T8/TL830 (Triphosphor)",
        "F32T8/TL835 (Triphosphor)",
        "F32T8/TL841 (Triphosphor)",
        "F32T8/TL850 (Triphosphor)",
        "F32T8/TL865/PLUS (Triphosphor)",
    ),
    "hps": ("HP1", "HPS", "C100S54 (HPS)"),
    "white-hps": ("HP2", "SDW-T 100W/LV (Super HPS)"),
    "metal-halide": ("HP3", "HP4", "HP5", "MHC100/U/MP/3K", "MHC100/U/MP/4K"),
    "low-pressure-sodium": ("LPS",),
    "white-led": ("LED-B1", "LED-B2", "LED-B3", "LED-B4", "LED-B5"),
    "white-led-high-cri": ("LED-V1", "LED-V2"),
}


def factors(spectrum: object) -> tuple[float, float, float]:
    """Lux per µmol m⁻² s⁻¹, µmol per joule of PAR, and correlated colour temperature [K] of one spectrum."""
    import colour

    wavelength_nm = np.arange(380.0, 781.0, 1.0)
    aligned = spectrum.copy().align(colour.SpectralShape(380, 780, 1))  # type: ignore[attr-defined]
    power = np.asarray(aligned.values)
    sensitivity = colour.SDS_LEFS["CIE 1924 Photopic Standard Observer"].copy()
    v = np.asarray(sensitivity.align(colour.SpectralShape(380, 780, 1)).values)
    photons = power * wavelength_nm * 1e-9 / (PLANCK_J_S * LIGHT_M_S * AVOGADRO_PER_MOL) * 1e6
    band = (wavelength_nm >= PAR_NM[0]) & (wavelength_nm <= PAR_NM[1])
    par_umol = np.trapezoid(photons[band], wavelength_nm[band])
    lux = LUMENS_PER_W * np.trapezoid(power * v, wavelength_nm)
    xy = colour.XYZ_to_xy(colour.sd_to_XYZ(aligned, illuminant=colour.SDS_ILLUMINANTS["E"]))
    return (
        lux / par_umol,
        par_umol / np.trapezoid(power[band], wavelength_nm[band]),
        float(colour.temperature.xy_to_CCT(xy, "McCamy 1992")),
    )


def main() -> None:
    warnings.filterwarnings("ignore")
    import colour

    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(["family", "spectrum", "lux_umol", "umol_j", "kelvin"])
    for family, names in SPECTRA.items():
        for name in names:
            data = colour.SDS_ILLUMINANTS if name in colour.SDS_ILLUMINANTS else colour.SDS_LIGHT_SOURCES
            lux, energy, kelvin = factors(data[name])
            out.writerow([family, name, f"{lux:.2f}", f"{energy:.3f}", f"{kelvin:.0f}"])


if __name__ == "__main__":
    main()
