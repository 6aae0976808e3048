"""Brier score of chances, its skill against another forecast, and what it consists of."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from windowcast.science.skill.bins import FIVE_BINS, bin_of
from windowcast.science.skill.cases import cases_of, chances_of, mean_of, outcomes_of, told_pairs
from windowcast.terms.outlook import Floats
from windowcast.terms.skill import BrierParts, Figure


def brier_loss(chance: ArrayLike, happened: ArrayLike) -> Floats:
    """Squared distance of a chance from what happened, case by case.

    Parameters
    ----------
    chance
        Chance that was told, any shape, NaN where not told. [0-1]
    happened
        1 where it happened, 0 where not, NaN where not told; broadcasts.

    Returns
    -------
    ndarray
        Broadcast shape, 0 to 1; its ``mean_of`` is the Brier score.

    Raises
    ------
    ValueError
        For a chance outside 0 to 1, or an outcome other than 0 and 1.

    Notes
    -----
    (p - o)^2: half of Brier's own sum over both outcomes, as is usual today.

    References
    ----------
    Brier (1950): Verification of forecasts expressed in terms of probability. Monthly Weather
    Review 78:1-3. doi:10.1175/1520-0493(1950)078<0001:VOFEIT>2.0.CO;2
    """
    return np.asarray((chances_of(chance, "chance") - outcomes_of(happened)) ** 2)


def skill(loss: ArrayLike, reference: ArrayLike, least: int = 1) -> Figure:
    """Share of the reference's mean loss that the forecast avoids; below 0 where it is worse.

    Parameters
    ----------
    loss
        Losses of the forecast, such as ``brier_loss``, shape (case,), NaN where untold.
    reference
        Losses of the reference in the same cases, shape (case,).
    least
        With fewer cases in which both are told there is no value.

    Returns
    -------
    Figure
        1 for a forecast without loss; None where the reference has no loss to avoid.

    Raises
    ------
    ValueError
        For an infinite loss, a loss below 0, or other shapes.

    Notes
    -----
    1 - mean(loss) / mean(reference), both over the cases in which both are told.

    References
    ----------
    Murphy (1988): Skill scores based on the mean square error and their relationships to the
    correlation coefficient. Monthly Weather Review 116:2417-2424.
    doi:10.1175/1520-0493(1988)116<2417:SSBOTM>2.0.CO;2
    """
    ours, theirs = cases_of(loss, "loss"), cases_of(reference, "reference")
    if np.any(ours < 0) or np.any(theirs < 0):
        raise ValueError("a loss is 0 or more")
    both = told_pairs(ours, theirs)
    mine, other = mean_of(np.where(both, ours, np.nan), least), mean_of(theirs[both], least)
    value = None
    if mine.value is not None and other.value:
        value = 1.0 - mine.value / other.value
    return Figure(value=value, cases=mine.cases, dropped=mine.dropped)


def brier_parts_by_value(chance: ArrayLike, happened: ArrayLike, least: int = 1) -> BrierParts:
    """Reliability, resolution and uncertainty of cases grouped by the very chance told.

    Parameters
    ----------
    chance
        Chance that was told, shape (case,), NaN where not told. [0-1]
    happened
        1 where it happened, 0 where not, NaN where not told; shape (case,).
    least
        With fewer told cases there are no parts.

    Returns
    -------
    BrierParts
        brier = reliability - resolution + uncertainty.

    Raises
    ------
    ValueError
        For a chance outside 0 to 1, an outcome other than 0 and 1, or other shapes.

    Notes
    -----
    reliability = sum n_k (p_k - o_k)^2 / n, resolution = sum n_k (o_k - o)^2 / n, uncertainty =
    o (1 - o); o_k is the share of the n_k cases told p_k in which it happened, o that of all.

    References
    ----------
    Murphy (1973): A new vector partition of the probability score. Journal of Applied Meteorology
    12:595-600. doi:10.1175/1520-0450(1973)012<0595:ANVPOT>2.0.CO;2
    """
    told, came, dropped = _pairs(chance, happened)
    _, group = np.unique(told, return_inverse=True)
    return _parts(told, came, group, (dropped, least))


def brier_parts_in_bins(
    chance: ArrayLike,
    happened: ArrayLike,
    edges: Sequence[float] = FIVE_BINS,
    least: int = 1,
) -> BrierParts:
    """The same of cases grouped in bins, with the two parts that differences inside bins make.

    Parameters
    ----------
    chance
        Chance that was told, shape (case,), NaN where not told. [0-1]
    happened
        1 where it happened, 0 where not, NaN where not told; shape (case,).
    edges
        Ends of the bins, rising from 0 to 1; a chance on an edge belongs above, 1 to the last bin.
    least
        With fewer told cases there are no parts.

    Returns
    -------
    BrierParts
        brier = reliability - resolution + uncertainty + within_variance - within_covariance.

    Raises
    ------
    ValueError
        For a chance outside 0 to 1, an outcome other than 0 and 1, other shapes, or edges that do
        not rise from 0 to 1.

    Notes
    -----
    As ``brier_parts_by_value`` with p_k the mean chance of bin k; within_variance =
    sum (p_i - p_k)^2 / n, within_covariance = 2 sum (o_i - o_k) (p_i - p_k) / n. Without these two
    the parts do not add up to the score.

    References
    ----------
    Stephenson, Coelho & Jolliffe (2008): Two extra components in the Brier score decomposition.
    Weather and Forecasting 23:752-757. doi:10.1175/2007WAF2006116.1
    """
    told, came, dropped = _pairs(chance, happened)
    return _parts(told, came, bin_of(told, edges), (dropped, least))


def _pairs(chance: ArrayLike, happened: ArrayLike) -> tuple[Floats, Floats, int]:
    told = cases_of(chances_of(chance, "chance"), "chance")
    came = cases_of(outcomes_of(happened), "happened")
    both = told_pairs(told, came)
    return told[both], came[both], int(both.size - both.sum())


def _parts(
    told: Floats, came: Floats, group: NDArray[np.intp], counts: tuple[int, int]
) -> BrierParts:
    dropped, least = counts
    if least < 1:
        raise ValueError("least must be at least 1")
    if told.size < least:
        return BrierParts(
            brier=None, reliability=None, resolution=None, uncertainty=None,
            within_variance=None, within_covariance=None, cases=told.size, dropped=dropped,
        )  # fmt: skip
    size = np.maximum(np.bincount(group), 1)  # an empty bin has no weight
    told_mean = (np.bincount(group, told) / size)[group]
    came_mean = (np.bincount(group, came) / size)[group]
    base = came.mean()
    return BrierParts(
        brier=float(np.mean((told - came) ** 2)),
        reliability=float(np.mean((told_mean - came_mean) ** 2)),
        resolution=float(np.mean((came_mean - base) ** 2)),
        uncertainty=float(base * (1.0 - base)),
        within_variance=float(np.mean((told - told_mean) ** 2)),
        within_covariance=float(2.0 * np.mean((came - came_mean) * (told - told_mean))),
        cases=told.size,
        dropped=dropped,
    )
