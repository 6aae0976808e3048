"""The mites that fall on boards in a yard, a day and a colony."""

from __future__ import annotations

import math
from collections.abc import Sequence

from windowcast.science.colony.counts import CONFIDENCE_FRAC, demanded_confidence, mites_per_day
from windowcast.terms.mites import Estimate, YardFall
from windowcast.terms.report import MiteBoard
from windowcast.terms.text import demand_count


def yard_fall(
    boards: Sequence[MiteBoard], colonies: int, confidence_frac: float = CONFIDENCE_FRAC
) -> YardFall:
    """Mites a day and colony on the boards of a yard, with bounds from its colonies.

    Parameters
    ----------
    boards
        One board from each of some colonies of the yard.
    colonies
        Colonies in the yard, counted or not.
    confidence_frac
        How often such bounds shall hold the truth. [0-1]

    Returns
    -------
    YardFall
        Every colony counts the same, however long its board lay.

    Raises
    ------
    ValueError
        Without a board, or with more boards than colonies.

    Notes
    -----
    As for washes: mean of the n colonies +- t(n-1) s sqrt((1 - n/N) / n), cut at 0. Rule of this
    project: never narrower than the exact bounds of all mites pooled over all days, since the fall
    is a count, and more uneven than a Poisson one. The bounds are of the fall in those days; how
    many mites sit in a colony for one that falls changes with brood and is not in them.

    References
    ----------
    Cochran (1977): Sampling Techniques, 3rd ed., Eq. 2.20 and 2.24 (from memory). Garwood (1936):
    Fiducial limits for the Poisson distribution. Biometrika 28:437-442 (from memory).
    """
    demand_count("colonies", colonies, least=max(len(boards), 1))
    if not boards:
        raise ValueError("no board was counted; a yard's mean needs at least one")
    level = demanded_confidence(confidence_frac)
    falls = [mites_per_day(board) for board in boards]
    counted = len(falls)
    mean = math.fsum(falls) / counted
    pooled = _pooled(boards, level)
    if counted == 1:
        alone = Estimate(value=mean, low=pooled[0], high=pooled[1]) if colonies == 1 else None
        return YardFall(mites_per_day=mean, counted=1, bounds=alone)
    spread = math.sqrt(math.fsum((fall - mean) ** 2 for fall in falls) / (counted - 1))
    reach = spread * math.sqrt((1.0 - counted / colonies) / counted) * _t(counted - 1, level)
    bounds = Estimate(
        value=mean,
        low=max(min(mean - reach, pooled[0]), 0.0),
        high=max(mean + reach, pooled[1]),
    )
    return YardFall(mites_per_day=mean, counted=counted, spread_per_day=spread, bounds=bounds)


def _pooled(boards: Sequence[MiteBoard], level: float) -> tuple[float, float]:
    """Exact Poisson bounds of all mites over all days that the boards lay."""
    from scipy.special import gammaincinv

    mites, over_d = sum(b.mites for b in boards), math.fsum(b.over_d for b in boards)
    tail = (1.0 - level) / 2.0
    low = float(gammaincinv(mites, tail)) if mites else 0.0
    return low / over_d, float(gammaincinv(mites + 1, 1.0 - tail)) / over_d


def _t(freedom: int, level: float) -> float:
    from scipy.special import stdtrit

    return float(stdtrit(freedom, 0.5 + level / 2.0))
