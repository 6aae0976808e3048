"""Whether what was told as so likely happened so often, and how well chances tell cases apart."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

import numpy as np
from numpy.typing import ArrayLike

from windowcast.science.skill.bins import FIVE_BINS, bin_of
from windowcast.science.skill.cases import (
    cases_of,
    chances_of,
    finite_or_untold,
    outcomes_of,
    told_pairs,
)
from windowcast.terms.counts import Interval
from windowcast.terms.outlook import Floats
from windowcast.terms.skill import Figure, Reliability, ReliabilityBin

CONFIDENCE_FRAC = 0.95  # the convention of Wilson's and Newcombe's papers


def reached(values: ArrayLike, threshold: float) -> Floats:
    """Whether each value is at or above a threshold.

    Parameters
    ----------
    values
        Any shape, NaN where not told.
    threshold
        In the unit of the values.

    Returns
    -------
    ndarray
        1, 0 or NaN, shape of ``values``.

    Raises
    ------
    ValueError
        For an infinite value or a threshold that is no number.

    Notes
    -----
    Rule of this project: the threshold itself counts, and what is untold is no 0.
    """
    if not np.isfinite(threshold):
        raise ValueError("the threshold must be a number")
    told = finite_or_untold(values, "values")
    return np.asarray(np.where(np.isnan(told), np.nan, (told >= threshold) * 1.0))


def share_of_members(happened: ArrayLike) -> Floats:
    """Share of the told members in which it happens: the chance that members tell.

    Parameters
    ----------
    happened
        1 where it happens in a member, 0 where not, NaN where not told; shape (..., member).

    Returns
    -------
    ndarray
        Shape (...); NaN where no member is told. [0-1]

    Raises
    ------
    ValueError
        For an outcome other than 0 and 1.

    Notes
    -----
    Rule of this project: hits / told members, without a correction for their number, so that half
    the members give one half.
    """
    told = outcomes_of(happened)
    known = ~np.isnan(told)
    count = known.sum(axis=-1)
    hits = np.where(known, told, 0.0).sum(axis=-1)
    return np.asarray(np.where(count > 0, hits / np.maximum(count, 1), np.nan))


def wilson_bounds(hits: int, cases: int, confidence_frac: float = CONFIDENCE_FRAC) -> Interval:
    """Where the share may lie of which so many hits in so many cases were seen.

    Parameters
    ----------
    hits
        Cases in which it happened.
    cases
        All cases, at least 1.
    confidence_frac
        How often such bounds shall hold the truth. [0-1]

    Returns
    -------
    Interval
        From 0 without a hit, to 1 with nothing but hits.

    Raises
    ------
    ValueError
        For counts out of order, or a confidence that is not between 0 and 1.

    Notes
    -----
    (p + z^2/2n +- z sqrt(p(1-p)/n + z^2/4n^2)) / (1 + z^2/n). Cases are taken as independent; days
    in a row are not quite, so that the bounds are at least so wide.

    References
    ----------
    Wilson (1927): Probable inference, the law of succession, and statistical inference. Journal
    of the American Statistical Association 22:209-212. doi:10.1080/01621459.1927.10502953
    """
    from scipy.special import ndtri

    if not 0 <= hits <= cases or cases < 1:
        raise ValueError(f"{hits} of {cases} cases is no share")
    if not 0.0 < confidence_frac < 1.0:
        raise ValueError("the confidence must lie between 0 and 1")
    z = float(ndtri(0.5 + confidence_frac / 2.0))
    share = hits / cases
    middle = share + z * z / (2.0 * cases)
    half = z * sqrt(share * (1.0 - share) / cases + z * z / (4.0 * cases * cases))
    scale = 1.0 + z * z / cases
    # At the ends the equation gives exactly 0 and 1; in floating point it misses them by a hair.
    low = 0.0 if hits == 0 else max((middle - half) / scale, 0.0)
    high = 1.0 if hits == cases else min((middle + half) / scale, 1.0)
    return Interval(low_frac=low, high_frac=high)


def reliability(
    chance: ArrayLike, happened: ArrayLike, edges: Sequence[float] = FIVE_BINS
) -> Reliability:
    """How often it happened, for each bin of chances that were told.

    Parameters
    ----------
    chance
        Chance that was told, shape (case,), NaN where not told. [0-1]
    happened
        1 where it happened, 0 where not, NaN where not told; shape (case,).
    edges
        Ends of the bins, rising from 0 to 1; a chance on an edge belongs above, 1 to the last bin.

    Returns
    -------
    Reliability
        One bin for each pair of edges, an empty one with nothing but its count 0.

    Raises
    ------
    ValueError
        For a chance outside 0 to 1, an outcome other than 0 and 1, other shapes, or edges that do
        not rise from 0 to 1.

    Notes
    -----
    In each bin the mean chance told, the share that happened and Wilson's bounds of it: how far
    the share strays from the chance by its count alone must be seen beside it.

    References
    ----------
    Bröcker & Smith (2007): Increasing the reliability of reliability diagrams. Weather and
    Forecasting 22:651-661. doi:10.1175/WAF993.1
    """
    told = cases_of(chances_of(chance, "chance"), "chance")
    came = cases_of(outcomes_of(happened), "happened")
    both = told_pairs(told, came)
    told, came = told[both], came[both]
    places = bin_of(told, edges)
    bins = [
        _bin((edges[n], edges[n + 1]), told[places == n], came[places == n])
        for n in range(len(edges) - 1)
    ]
    return Reliability(bins=tuple(bins), dropped=int(both.size - both.sum()))


def _bin(ends: tuple[float, float], told: Floats, came: Floats) -> ReliabilityBin:
    low, high = ends
    if not told.size:
        return ReliabilityBin(low_frac=low, high_frac=high, cases=0)
    return ReliabilityBin(
        low_frac=low,
        high_frac=high,
        cases=told.size,
        told_frac=float(told.mean()),
        came_frac=float(came.mean()),
        interval=wilson_bounds(int(came.sum()), told.size),
    )


def roc_area(chance: ArrayLike, happened: ArrayLike, least: int = 1) -> Figure:
    """How often a case in which it happened was told the higher chance than one in which not.

    Parameters
    ----------
    chance
        Chance that was told, shape (case,), NaN where not told. [0-1]
    happened
        1 where it happened, 0 where not, NaN where not told; shape (case,).
    least
        With fewer told cases of either kind there is no value; at least 1.

    Returns
    -------
    Figure
        1 for perfect order, 0.5 for none.

    Raises
    ------
    ValueError
        For a chance outside 0 to 1, an outcome other than 0 and 1, or other shapes.

    Notes
    -----
    The area under the curve of hits against false alarms is the Mann-Whitney statistic of all
    pairs, a tie counting one half; it says nothing of reliability.

    References
    ----------
    Mason & Graham (2002): Areas beneath the relative operating characteristics (ROC) and relative
    operating levels (ROL) curves. Quarterly Journal of the Royal Meteorological Society
    128:2145-2166. doi:10.1256/003590002320603584
    """
    if least < 1:
        raise ValueError("least must be at least 1")
    told = cases_of(chances_of(chance, "chance"), "chance")
    came = cases_of(outcomes_of(happened), "happened")
    both = told_pairs(told, came)
    hits, misses = told[both & (came == 1.0)], np.sort(told[both & (came == 0.0)])
    cases, dropped = int(both.sum()), int(both.size - both.sum())
    if min(hits.size, misses.size) < least:
        return Figure(value=None, cases=cases, dropped=dropped)
    below = np.searchsorted(misses, hits, side="left")
    not_above = np.searchsorted(misses, hits, side="right")
    value = float((below + not_above).sum() / (2.0 * hits.size * misses.size))
    return Figure(value=value, cases=cases, dropped=dropped)
