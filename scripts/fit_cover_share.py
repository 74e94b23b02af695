"""Fit the rational function that stands in for (1 − exp(−x))/x in ``growth/engine.py``.

It is 1 at 0 and goes as 1/x far out; least worst relative error on 0-20 by re-weighted least squares.
Run: ``python scripts/fit_cover_share.py``; prints the coefficients and the error.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from scipy.optimize import least_squares

X = np.concatenate([np.linspace(1e-6, 3.0, 600), np.linspace(3.0, 20.0, 400)])
EXACT = -np.expm1(-X) / X


def rational(p: Any) -> Any:
    top = 1 + X * (p[0] + X * (p[1] + X * p[2]))
    return top / (1 + X * (p[3] + X * (p[4] + X * (p[5] + X * p[2]))))


def main() -> None:
    weight, p = np.ones_like(X), np.array([0.1, 0.05, 0.01, 0.6, 0.2, 0.05])
    for _ in range(60):
        w = weight
        p = least_squares(lambda q, w=w: (rational(q) / EXACT - 1) * w, p, xtol=1e-15, ftol=1e-15).x
        error = np.abs(rational(p) / EXACT - 1)
        weight = weight * (0.3 + error / error.max())
        weight /= weight.mean()
    print("top", [f"{v:.7g}" for v in p[:3]], "bottom", [f"{v:.7g}" for v in (*p[3:], p[2])])
    print(f"worst relative error {error.max():.1e}")


if __name__ == "__main__":
    main()
