"""Continuous ranked probability score: how far a told distribution lies from what came."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from windowcast.science.skill.cases import finite_or_untold
from windowcast.science.skill.errors import forecast_error
from windowcast.terms.outlook import Floats


def crps_plain(members: ArrayLike, came: ArrayLike) -> Floats:
    """CRPS of the members taken as the whole distribution, case by case.

    Parameters
    ----------
    members
        Shape (..., member), in any order; NaN where not told.
    came
        What came, shape (...).

    Returns
    -------
    ndarray
        Shape (...), 0 or more, in the unit of the members; NaN where the truth or every member is
        untold.

    Raises
    ------
    ValueError
        For an infinite number.

    Notes
    -----
    sum |x_i - y| / m - sum_ij |x_i - x_j| / (2 m^2) over the m told members: the members that are
    told stand for those that are not. The double sum is taken over sorted members.

    References
    ----------
    Hersbach (2000): Decomposition of the continuous ranked probability score for ensemble
    prediction systems. Weather and Forecasting 15:559-570.
    doi:10.1175/1520-0434(2000)015<0559:DOTCRP>2.0.CO;2. Gneiting & Raftery (2007): Strictly proper
    scoring rules, prediction, and estimation. Journal of the American Statistical Association
    102:359-378, equation 21. doi:10.1198/016214506000001437
    """
    away, apart, count = _sums(members, came)
    with np.errstate(invalid="ignore", divide="ignore"):
        score = away / count - apart / count**2
    return np.asarray(np.maximum(score, 0.0))  # rounding may leave a hair below


def crps_fair(members: ArrayLike, came: ArrayLike) -> Floats:
    """CRPS that members drawn from the true distribution lose on average, whatever their number.

    Parameters
    ----------
    members
        Shape (..., member), in any order; NaN where not told.
    came
        What came, shape (...).

    Returns
    -------
    ndarray
        Shape (...), in the unit of the members, for a single case perhaps below 0; NaN where the
        truth or all but one member are untold.

    Raises
    ------
    ValueError
        For an infinite number.

    Notes
    -----
    As ``crps_plain``, with m (m - 1) in place of m^2: the score of infinitely many such members is
    estimated without bias, so that 50 members and one line can be compared.

    References
    ----------
    Ferro (2014): Fair scores for ensemble forecasts. Quarterly Journal of the Royal
    Meteorological Society 140:1917-1923. doi:10.1002/qj.2270
    """
    away, apart, count = _sums(members, came)
    with np.errstate(invalid="ignore", divide="ignore"):
        score = away / count - apart / (count * (count - 1.0))
    return np.asarray(np.where(count > 1, score, np.nan))


def _sums(members: ArrayLike, came: ArrayLike) -> tuple[Floats, Floats, Floats]:
    """Sum of |x - y|, half the sum of all |x_i - x_j|, and the number of told members."""
    told = finite_or_untold(members, "members")
    truth = finite_or_untold(came, "came")
    if told.ndim == 0:
        raise ValueError("members must have an axis of members")
    if told.shape[:-1] != truth.shape:
        raise ValueError(f"members {told.shape} are not those of the cases {truth.shape}")
    away = np.sort(told - truth[..., None], axis=-1)  # untold ones come last
    known = ~np.isnan(away)
    count = known.sum(axis=-1) * 1.0
    place = np.arange(1, away.shape[-1] + 1)
    weight = 2.0 * place - count[..., None] - 1.0
    apart = np.where(known, weight * away, 0.0).sum(axis=-1)
    untold = np.isnan(truth) | (count == 0)
    whole = np.where(known, np.abs(away), 0.0).sum(axis=-1)
    return np.where(untold, np.nan, whole), np.where(untold, np.nan, apart), count


def crps_point(forecast: ArrayLike, came: ArrayLike) -> Floats:
    """CRPS of a single line that claims to be certain: its absolute error.

    Parameters
    ----------
    forecast
        What was told, any shape, NaN where not told.
    came
        What came, broadcasts.

    Returns
    -------
    ndarray
        Broadcast shape, 0 or more, in the unit of the forecast.

    Raises
    ------
    ValueError
        For an infinite number.

    Notes
    -----
    |x - y|, the CRPS of a distribution that is all at x.

    References
    ----------
    Gneiting & Raftery (2007): Strictly proper scoring rules, prediction, and estimation. Journal
    of the American Statistical Association 102:359-378. doi:10.1198/016214506000001437
    """
    return np.asarray(np.abs(forecast_error(forecast, came)))


def crps_normal(mean: ArrayLike, sd: ArrayLike, came: ArrayLike) -> Floats:
    """CRPS of a normal distribution, case by case.

    Parameters
    ----------
    mean
        Mean that was told, any shape, NaN where not told.
    sd
        Standard deviation, 0 or more, broadcasts; 0 is a point.
    came
        What came, broadcasts.

    Returns
    -------
    ndarray
        Broadcast shape, in the unit of the mean.

    Raises
    ------
    ValueError
        For an infinite number, or a standard deviation below 0.

    Notes
    -----
    sd (z (2 Phi(z) - 1) + 2 phi(z) - 1 / sqrt(pi)) with z = (y - mean) / sd.

    References
    ----------
    Gneiting, Raftery, Westveld & Goldman (2005): Calibrated probabilistic forecasting using
    ensemble model output statistics and minimum CRPS estimation. Monthly Weather Review
    133:1098-1118, equation 5. doi:10.1175/MWR2904.1
    """
    from scipy.special import ndtr

    error = -forecast_error(mean, came)
    wide = finite_or_untold(sd, "sd")
    if np.any(wide < 0):
        raise ValueError("a standard deviation is 0 or more")
    error, wide = np.broadcast_arrays(error, wide)
    z = error / np.where(wide == 0.0, 1.0, wide)
    inside = 2.0 * np.exp(-0.5 * z**2) / math.sqrt(2.0 * math.pi) - 1.0 / math.sqrt(math.pi)
    score = error * (2.0 * ndtr(z) - 1.0) + wide * inside
    return np.asarray(np.where(wide == 0.0, np.abs(error), score))
