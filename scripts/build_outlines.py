"""Cut the packaged coasts and borders out of a public package; run only when the data is to be renewed.

    npm pack world-atlas@2.0.2 && tar xzf world-atlas-2.0.2.tgz
    python scripts/build_outlines.py package/countries-50m.json     # writes src/tenhour/_data/outlines.npz

Input (build time only): ``world-atlas`` 2.0.2 (ISC), which holds the 1:50m countries of Natural Earth 4.1 (public
domain) as TopoJSON: lines that two countries share are stored once. Kept: the lines, thinned to 0.03 degrees and
rounded to hundredths of a degree; a line of one country is a coast, one of two a border. Names are left out.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

OUT = Path(__file__).parents[1] / "src" / "tenhour" / "_data" / "outlines.npz"
THIN_DEG = 0.03
HUNDREDTHS = 100.0
LEAST_DEG = 0.08
"""Islets smaller than this are left out."""


def main() -> None:
    topology = json.loads(Path(sys.argv[1]).read_text("utf-8"))
    scale, shift = (np.array(topology["transform"][name]) for name in ("scale", "translate"))
    used = Counter(arc for shape in topology["objects"]["countries"]["geometries"] for arc in arcs_of(shape["arcs"]))
    lines, borders = [], []
    for number, raw in enumerate(topology["arcs"]):
        line = np.cumsum(np.array(raw), axis=0) * scale + shift
        thin = thinned(line)
        if number in used and float(np.ptp(thin, axis=0).max()) >= LEAST_DEG and len(thin) > 1:
            lines.append(np.rint(thin * HUNDREDTHS).astype(np.int16))
            borders.append(used[number] > 1)
    lengths = np.array([len(line) for line in lines], dtype=np.int32)
    np.savez_compressed(OUT, points=np.concatenate(lines), lengths=lengths, border=np.array(borders))
    print(f"{len(lines)} lines, {int(lengths.sum())} points, {OUT.stat().st_size} bytes")


def arcs_of(arcs: list[Any]) -> Iterator[int]:
    """Numbers of all lines of a shape; one that is run backwards is stored as ~number."""
    for part in arcs:
        if isinstance(part, list):
            yield from arcs_of(part)
        else:
            yield part if part >= 0 else ~part


def thinned(line: NDArray[np.float64]) -> NDArray[np.float64]:
    """Leave out points that lie within a distance of the line through those kept (Douglas and Peucker 1973)."""
    keep = np.zeros(len(line), dtype=np.bool_)
    keep[[0, -1]] = True
    open_spans = [(0, len(line) - 1)]
    while open_spans:
        first, last = open_spans.pop()
        inner = line[first + 1 : last]
        if not len(inner):
            continue
        along = line[last] - line[first]
        length = float(np.hypot(*along))
        from_first = inner - line[first]
        off = np.abs(from_first @ np.array([-along[1], along[0]])) / length if length else np.hypot(*from_first.T)
        worst = int(off.argmax())
        if off[worst] > THIN_DEG:
            middle = first + 1 + worst
            keep[middle] = True
            open_spans += [(first, middle), (middle, last)]
    return line[keep]


if __name__ == "__main__":
    main()
