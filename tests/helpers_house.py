"""Houses written out for Radiance, and its light at the same points; nothing here uses the code under test."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

ROWS = (30, 30, 24, 24, 18, 12, 6, 1)
"""Patches in each row of the sky, 12 degrees high, from the horizon up (Tregenza 1987)."""
PATCHES = sum(ROWS)

BINS = """{ Sky patch of a direction: rows of 12 degrees, first patch of each row centred on north, counted eastward. }
alt = 57.29577951308232 * asin(if(Dz-0.999999, 0.999999, Dz));
row = if(alt-84, 7, floor(alt/12));
cnt(r) = select(r+1, 30, 30, 24, 24, 18, 12, 6, 1);
before(r) = select(r+1, 0, 30, 60, 84, 108, 126, 138, 144);
azi = mod(57.29577951308232 * atan2(Dx, Dy) + 720 + 180/cnt(row), 360);
skybin = before(row) + floor(azi * cnt(row) / 360);
"""


PANES = """{ Flat clear panes behind each other: refractive index, transmittance of one pane's material at normal
  incidence, number of panes (1-3). Each polarisation on its own, averaged at the end. }
nn = arg(FIRST);
ci = abs(Rdot);
ct = sqrt(1 - (1 - ci*ci)/(nn*nn));
rs = ((ci - nn*ct)/(ci + nn*ct))^2;
rp = ((nn*ci - ct)/(nn*ci + ct))^2;
ta = arg(FIRST+1)^(1/ct);
t1(r) = ta*(1-r)^2/(1 - (r*ta)^2);
r1(r) = r*(1 + ta*t1(r));
t2(r) = t1(r)^2/(1 - r1(r)^2);
r2(r) = r1(r) + t1(r)^2*r1(r)/(1 - r1(r)^2);
t3(r) = t1(r)*t2(r)/(1 - r1(r)*r2(r));
r3(r) = r2(r) + t2(r)^2*r1(r)/(1 - r1(r)*r2(r));
ptrans = (select(arg(FIRST+2), t1(rs), t2(rs), t3(rs)) + select(arg(FIRST+2), t1(rp), t2(rp), t3(rp)))/2;
prefl = (select(arg(FIRST+2), r1(rs), r2(rs), r3(rs)) + select(arg(FIRST+2), r1(rp), r2(rp), r3(rp)))/2;
"""


CURVES = """{ A pane with its own angle curve: index, transmittance of one pane's material at normal incidence, number of
  panes; share of the curve that goes straight and is let past frames; factor on what is mirrored; flat transmittance
  (0: the panes' own), which also bounds the mirror. }
straight = arg(FIRST+3) * if(arg(FIRST+5), arg(FIRST+5), ptrans);
thrown = arg(FIRST+4) * prefl;
room = 1 - if(arg(FIRST+5), arg(FIRST+5), ptrans);
smooth = if(room - thrown, thrown, room);
"""


def grey(value: float) -> str:
    """Three equal channels."""
    return f"{value:.9g} {value:.9g} {value:.9g}"


def plastic(name: str, reflectance: float) -> str:
    """Diffuse opaque material."""
    return f"void plastic {name}\n0\n0\n5 {grey(reflectance)} 0 0\n"


def glass(name: str, internal: float) -> str:
    """Clear pane of index 1.52 with this transmittance of the material at normal incidence, Fresnel by Radiance."""
    return f"void glass {name}\n0\n0\n4 {grey(internal)} 1.52\n"


def clear_panes(name: str, index: float, internal: float, panes: int) -> str:
    """Stack of clear panes with its own angle curve; the sun in its mirror becomes a virtual source."""
    stack = f"{index:g} {internal:g} {panes}"
    curve = "prefl prefl prefl ptrans ptrans ptrans 0 0 0 panes.cal"
    pane = f"void BRTDfunc {name}.p\n10 {curve}\n0\n12 0 0 0 0 0 0 0 0 0 {stack}\n"
    strength = f"void brightfunc {name}.m\n2 prefl mirrors.cal\n0\n3 {stack}\n"
    return f"{pane}{strength}{name}.m mirror {name}\n1 {name}.p\n0\n3 1 1 1\n"


def trans(name: str, transmitted: float, straight_share: float, reflected: float) -> str:
    """Pane that passes the same share at any angle, part straight, part in all directions; reflects diffusely."""
    total = transmitted + reflected
    return f"void trans {name}\n0\n0\n7 {grey(total)} 0 0 {transmitted / total:.9g} {straight_share:.9g}\n"


def polygon(material: str, name: str, vertices: Array) -> str:
    """One polygon."""
    flat = "\n".join(" ".join(f"{v:.9g}" for v in p) for p in vertices)
    return f"{material} polygon {name}\n0\n0\n{3 * len(vertices)}\n{flat}\n"


def holed(vertices: Array, holes: Sequence[Array]) -> Array:
    """A polygon with rectangular holes as one outline with seams, as Radiance wants it."""
    normal = np.cross(vertices, np.roll(vertices, -1, axis=0)).sum(axis=0)
    path = list(vertices)
    for hole in holes:
        own = np.cross(hole, np.roll(hole, -1, axis=0)).sum(axis=0)
        turned = hole if own @ normal < 0 else hole[::-1]
        path += [*turned, turned[0], vertices[-1]]
    return np.array(path)


def box_faces(low: Sequence[float], high: Sequence[float]) -> list[Array]:
    """Corners of the six faces of a box along the axes."""
    lo, hi = np.array(low, dtype=float), np.array(high, dtype=float)
    faces = []
    for axis in range(3):
        u, v = (axis + 1) % 3, (axis + 2) % 3
        for at in (lo[axis], hi[axis]):
            corners = np.tile(lo, (4, 1))
            corners[:, axis] = at
            corners[[1, 2], u] = hi[u]
            corners[[2, 3], v] = hi[v]
            faces.append(corners)
    return faces


SKY = """void glow skyglow
0
0
4 1 1 1 0
skyglow source sky
0
0
4 0 0 1 180
void glow groundglow
0
0
4 1 1 1 0
groundglow source ground
0
0
4 0 0 -1 180
"""


def sun_sources(directions: Array) -> str:
    """Suns of the real one's width, each of unit irradiance on a plane that faces it."""
    text = []
    size = 0.533
    radiance = 1.0 / (np.pi * np.sin(np.radians(size / 2)) ** 2)
    for k, d in enumerate(directions):
        at = " ".join(f"{v:.9g}" for v in d)
        text.append(f"void light sun{k}\n0\n0\n3 {grey(radiance)}\nsun{k} source s{k}\n0\n0\n4 {at} {size}\n")
    return "".join(text)


@dataclass
class Setting:
    """How finely Radiance traces; named so that a convergence test can vary it."""

    bounces: int = 10
    divisions: int = 2048
    weight: float = 2e-5
    mirrorings: int = 1

    def options(self) -> list[str]:
        """Options common to rtrace and rcontrib."""
        return [
            *("-ab", str(self.bounces), "-ad", str(self.divisions), "-as", "0", "-aa", "0"),
            *("-lw", f"{self.weight:g}", "-lr", "-10", "-st", "0.001", "-ss", "1", "-u+"),
            *("-dc", "1", "-dt", "0", "-dj", "0", "-ds", "0", "-dp", "0", "-dr", str(self.mirrorings)),
        ]


def tool(name: str) -> str:
    """Path of a bundled Radiance program."""
    import pyradiance

    return str(Path(pyradiance.__file__).parent / "bin" / name)


def run(arguments: list[str], folder: Path, given: bytes = b"") -> bytes:
    """Run a Radiance program in a folder."""
    environment = {**os.environ, "RAYPATH": f"{folder}:{Path(tool('rtrace')).parent.parent / 'lib'}"}
    done = subprocess.run(arguments, cwd=folder, input=given, capture_output=True, check=False, env=environment)
    if done.returncode:
        raise RuntimeError(done.stderr.decode())
    return done.stdout


def _octree(folder: Path, name: str, text: str) -> str:
    for file, first in (("panes.cal", "10"), ("mirrors.cal", "1")):
        (folder / file).write_text((PANES + CURVES).replace("FIRST", first), encoding="utf-8")
    (folder / f"{name}.rad").write_text(text, encoding="utf-8")
    (folder / f"{name}.oct").write_bytes(run([tool("oconv"), f"{name}.rad"], folder))
    return f"{name}.oct"


def _rays(points: Array) -> bytes:
    return "\n".join(" ".join(f"{v:.9g}" for v in (*p, 0, 0, 1)) for p in points).encode() + b"\n"


def sky_contributions(folder: Path, scene: str, points: Array, setting: Setting) -> Array:
    """Irradiance per unit radiance of each sky patch, then of the ground [points, 146] [sr]."""
    (folder / "bins.cal").write_text(BINS, encoding="utf-8")
    octree = _octree(folder, "sky", scene + SKY)
    command = [tool("rcontrib"), "-I+", "-V-", "-h", "-fad", *setting.options()]
    command += ["-f", "bins.cal", "-b", "skybin", "-bn", str(PATCHES), "-m", "skyglow"]
    command += ["-b", "0", "-bn", "1", "-m", "groundglow", octree]
    out = np.frombuffer(run(command, folder, _rays(points)))
    return np.asarray(out.reshape(len(points), PATCHES + 1, 3)[:, :, 1])


def sun_contributions(folder: Path, scene: str, points: Array, suns: Array, setting: Setting) -> Array:
    """Irradiance per unit of beam of each sun [points, suns] [-]."""
    octree = _octree(folder, "sun", scene + sun_sources(suns))
    (folder / "suns.txt").write_text("\n".join(f"sun{k}" for k in range(len(suns))), encoding="utf-8")
    command = [tool("rcontrib"), "-I+", "-V+", "-h", "-fad", *setting.options(), "-M", "suns.txt", octree]
    out = np.frombuffer(run(command, folder, _rays(points)))
    return np.asarray(out.reshape(len(points), len(suns), 3)[:, :, 1])
