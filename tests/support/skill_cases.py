"""Cases to score: drawn from fixed seeds, and those at the edges of what can be."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
NAN = np.nan


def forecasts(seed: int, cases: int = 300) -> tuple[Array, Array]:
    """Forecast and truth of so many cases, a tenth of each untold."""
    draw = np.random.default_rng(seed)
    told, came = draw.normal(5.0, 6.0, (2, cases))
    told[draw.random(cases) < 0.1] = NAN
    came[draw.random(cases) < 0.1] = NAN
    return told, came


def ensembles() -> dict[str, tuple[Array, Array]]:
    """Members (case, member) and truth (case,), by what is odd about them."""
    draw = np.random.default_rng(11)
    usual = draw.normal(5.0, 3.0, (200, 50)), draw.normal(5.0, 4.0, 200)
    holes = usual[0].copy()
    holes[draw.random(holes.shape) < 0.2] = NAN
    holes[0] = NAN
    untold = usual[1].copy()
    untold[::7] = NAN
    ties = np.round(usual[0]), np.round(usual[1])
    return {
        "usual": usual,
        "two members": (usual[0][:, :2], usual[1]),
        "whole degrees with ties": ties,
        "all members alike": (np.repeat(usual[1][:, None], 5, axis=1), usual[1] + 1.0),
        "the truth far outside": (usual[0], usual[1] + 1e4),
        "the truth a member": (usual[0], usual[0][:, 7].copy()),
        "large numbers": (usual[0] + 1e6, usual[1] + 1e6),
        "members untold": (holes, usual[1]),
        "truth untold": (usual[0], untold),
    }


def chances() -> dict[str, tuple[Array, Array]]:
    """Chances and outcomes, both (case,), by what is odd about them."""
    draw = np.random.default_rng(12)
    told = draw.random(400)
    came = (draw.random(400) < told) * 1.0
    untold = told.copy()
    untold[::9] = NAN
    return {
        "usual": (told, came),
        "of fifty members": (np.round(told * 50) / 50, came),
        "certain": (np.round(told), came),
        "always one half": (np.full(400, 0.5), came),
        "on the edges of bins": (draw.choice([0.0, 0.2, 0.4, 0.6, 0.8, 1.0], 400), came),
        "against all sense": (1.0 - told, came),
        "almost never": (told * 0.05, (draw.random(400) < 0.02) * 1.0),
        "some untold": (untold, came),
    }
