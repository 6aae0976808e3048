"""Errors of single-valued forecasts: bias, MAE, RMSE, and how far they stray from what was said."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from windowcast.science.skill.cases import finite_or_untold, mean_of
from windowcast.terms.outlook import Floats
from windowcast.terms.skill import Figure


def forecast_error(forecast: ArrayLike, came: ArrayLike) -> Floats:
    """Error of each case.

    Parameters
    ----------
    forecast
        What was told, any shape, NaN where not told.
    came
        What came, broadcasts.

    Returns
    -------
    ndarray
        Forecast less what came, broadcast shape; NaN where either is untold.

    Raises
    ------
    ValueError
        For an infinite number.

    References
    ----------
    Wilks (2011): Statistical Methods in the Atmospheric Sciences, 3rd ed., section 8.3.2
    (from memory).
    """
    return np.asarray(finite_or_untold(forecast, "forecast") - finite_or_untold(came, "came"))


def bias(error: ArrayLike, least: int = 1) -> Figure:
    """Mean error: more than 0 where the forecast told too much.

    Parameters
    ----------
    error
        Forecast less what came, shape (case,).
    least
        With fewer told cases there is no value.

    Returns
    -------
    Figure
        In the unit of the error.

    Notes
    -----
    sum(e) / n.

    References
    ----------
    Wilks (2011): Statistical Methods in the Atmospheric Sciences, 3rd ed., section 8.3.2
    (from memory).
    """
    return mean_of(error, least)


def mean_absolute_error(error: ArrayLike, least: int = 1) -> Figure:
    """Mean distance of forecast and truth.

    Parameters
    ----------
    error
        Forecast less what came, shape (case,).
    least
        With fewer told cases there is no value.

    Returns
    -------
    Figure
        In the unit of the error.

    Notes
    -----
    sum(|e|) / n.

    References
    ----------
    Willmott & Matsuura (2005): Advantages of the mean absolute error over the root mean square
    error. Climate Research 30:79-82. doi:10.3354/cr030079
    """
    return mean_of(np.abs(np.asarray(error, np.float64)), least)


def root_mean_square_error(error: ArrayLike, least: int = 1) -> Figure:
    """Root of the mean squared error, in which large errors count for more.

    Parameters
    ----------
    error
        Forecast less what came, shape (case,).
    least
        With fewer told cases there is no value.

    Returns
    -------
    Figure
        In the unit of the error.

    Notes
    -----
    sqrt(sum(e^2) / n).

    References
    ----------
    Willmott & Matsuura (2005): Advantages of the mean absolute error over the root mean square
    error. Climate Research 30:79-82. doi:10.3354/cr030079
    """
    mean = mean_of(np.square(np.asarray(error, np.float64)), least)
    value = None if mean.value is None else mean.value**0.5
    return Figure(value=value, cases=mean.cases, dropped=mean.dropped)


def standardised(members: ArrayLike, came: ArrayLike) -> Floats:
    """How many standard deviations of the members the truth lies above their mean.

    Parameters
    ----------
    members
        Shape (..., member), NaN where not told.
    came
        What came, shape (...).

    Returns
    -------
    ndarray
        Shape (...); NaN where the truth or all but one member are untold, or members do not differ.

    Raises
    ------
    ValueError
        For an infinite number.

    Notes
    -----
    z = (y - mean) / sd, sd with n - 1.

    References
    ----------
    Gneiting, Balabdaoui & Raftery (2007): Probabilistic forecasts, calibration and sharpness.
    Journal of the Royal Statistical Society B 69:243-268. doi:10.1111/j.1467-9868.2007.00587.x
    """
    told = finite_or_untold(members, "members")
    truth = finite_or_untold(came, "came")
    known = ~np.isnan(told)
    count = known.sum(axis=-1)
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = np.where(known, told, 0.0).sum(axis=-1) / count
        squares = np.where(known, (told - mean[..., None]) ** 2, 0.0).sum(axis=-1)
        sd = np.sqrt(squares / (count - 1))
        z = (truth - mean) / sd
    return np.asarray(np.where((count > 1) & (sd > 0.0), z, np.nan))


def spread_of(values: ArrayLike, least: int = 2) -> Figure:
    """Standard deviation of the told cases: 1 for ``standardised`` of honest members.

    Parameters
    ----------
    values
        Shape (case,), NaN where not told.
    least
        With fewer told cases there is no value; at least 2.

    Returns
    -------
    Figure
        In the unit of the values.

    Raises
    ------
    ValueError
        For an infinite number, another shape, or ``least`` below 2.

    Notes
    -----
    sqrt(sum((v - mean)^2) / (n - 1)).

    References
    ----------
    Gneiting, Balabdaoui & Raftery (2007), as for ``standardised``.
    """
    if least < 2:
        raise ValueError("a spread needs at least 2 cases")
    mean = mean_of(values)
    if mean.value is None or mean.cases < least:
        return Figure(value=None, cases=mean.cases, dropped=mean.dropped)
    away = np.square(np.asarray(values, np.float64) - mean.value)
    value = float(np.sqrt(np.nansum(away) / (mean.cases - 1)))
    return Figure(value=value, cases=mean.cases, dropped=mean.dropped)
