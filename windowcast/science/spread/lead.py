"""What a forecast is worth by days ahead, and what days in a row have in common."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from windowcast.terms.lead import LeadErrors
from windowcast.terms.outlook import Floats
from windowcast.terms.spread import SpreadPractice


def fading_rho(lead: ArrayLike, practice: SpreadPractice) -> Floats:
    """Correlation of forecast and truth by the closed form, for a climate like the fit's.

    Parameters
    ----------
    lead
        Days ahead, any shape; below 0 counts as 0. [d]
    practice
        Coefficients.

    Returns
    -------
    ndarray
        0 to 1, shape of ``lead``.

    Notes
    -----
    Rule of this project: rho = start exp(-(lead / scale)^power), fitted to errors of US winter
    maxima at leads 0 to 5 and 5.2 °C at 7; an extrapolation beyond.
    """
    ahead = np.maximum(np.asarray(lead, np.float64), 0.0)
    return np.asarray(practice.fade_start * np.exp(-_faded(ahead, practice)))


def _faded(lead: Floats, practice: SpreadPractice) -> Floats:
    return np.asarray((lead / practice.fade_scale) ** practice.fade_power)


def forecast_rho(
    lead: ArrayLike, sigma_dc: ArrayLike, errors: LeadErrors, practice: SpreadPractice
) -> Floats:
    """Correlation of forecast and truth from a table of errors and the local spread.

    Parameters
    ----------
    lead
        Whole days ahead, any shape; below 0 counts as 0. [d]
    sigma_dc
        Standard deviation of the local climate, broadcasts. [°C]
    errors
        Root mean square error by lead day.
    practice
        Coefficients.

    Returns
    -------
    ndarray
        0 to ``rho_most``, broadcast shape.

    Notes
    -----
    Rule of this project: if forecast and truth have the same variance sigma^2 and correlate by
    rho, the raw error has the variance 2 sigma^2 (1 - rho). Beyond the table rho fades as in
    ``fading_rho``, from its last value on.
    """
    raw = np.asarray(errors.raw_dc)
    ahead = np.maximum(np.asarray(lead, np.int64), 0)
    last = raw.size - 1
    error = raw[np.minimum(ahead, last)]
    told = np.clip(1.0 - error**2 / (2.0 * np.asarray(sigma_dc) ** 2), 0.0, practice.rho_most)
    beyond = _faded(np.maximum(ahead, last) * 1.0, practice) - _faded(
        np.array(last * 1.0), practice
    )
    return np.asarray(told * np.exp(-beyond))


def lead_bias_dc(lead: ArrayLike, errors: LeadErrors) -> Floats:
    """Mean error of the forecast by lead day.

    Parameters
    ----------
    lead
        Whole days ahead, any shape; below 0 counts as 0, beyond the table its last value. [d]
    errors
        Table of errors.

    Returns
    -------
    ndarray
        Forecast less truth, shape of ``lead``. [°C]

    Notes
    -----
    Rule of this project: a bias is taken off before the forecast is shrunk.
    """
    bias = np.asarray(errors.bias_dc)
    return np.asarray(bias[np.clip(np.asarray(lead, np.int64), 0, bias.size - 1)])


def calibrated_sd_dc(rho: ArrayLike, sigma_dc: ArrayLike) -> Floats:
    """Spread of the truth about the shrunk forecast.

    Parameters
    ----------
    rho
        Correlation of forecast and truth, any shape.
    sigma_dc
        Standard deviation of the local climate, broadcasts. [°C]

    Returns
    -------
    ndarray
        Broadcast shape. [°C]

    Notes
    -----
    Rule of this project: sigma sqrt(1 - rho^2), the residual of a regression on the forecast.
    """
    return np.asarray(np.asarray(sigma_dc) * np.sqrt(1.0 - np.asarray(rho) ** 2))


def day_correlation(lead: ArrayLike, most: ArrayLike, practice: SpreadPractice) -> Floats:
    """Correlation of a day's error with that of the day before.

    Parameters
    ----------
    lead
        Days ahead of the later day, any shape. [d]
    most
        Correlation that it grows to: that of daily anomalies of the climate, broadcasts.
    practice
        Coefficients.

    Returns
    -------
    ndarray
        Broadcast shape.

    Notes
    -----
    Rule of this project: min(most, first + step (lead - 1)), not below its value at day 1. As the
    lead grows the error becomes the anomaly.
    """
    further = np.maximum(np.asarray(lead, np.float64) - 1.0, 0.0)
    return np.asarray(np.minimum(most, practice.day_corr_first + practice.day_corr_step * further))


def chained(normals: Floats, corr: Floats) -> Floats:
    """Normals of days in a row, made to correlate.

    Parameters
    ----------
    normals
        Independent standard normals, shape (..., day).
    corr
        Correlation of each day with the one before, shape (day,) or broadcasting; that of the
        first day is not read.

    Returns
    -------
    ndarray
        Standard normals, shape (..., day).

    Notes
    -----
    e_0 = n_0, e_d = c_d e_(d-1) + sqrt(1 - c_d^2) n_d.

    References
    ----------
    Wilks (2011): Statistical Methods in the Atmospheric Sciences, 3rd ed., section 9.3.1,
    first-order autoregression (from memory).
    """
    fresh = np.sqrt(1.0 - corr**2) * normals
    days = [normals[..., 0]] if normals.shape[-1] else []
    for day in range(1, normals.shape[-1]):
        days.append(corr[..., day] * days[-1] + fresh[..., day])
    return np.stack(days, axis=-1) if days else normals


def run_chance(chance: ArrayLike, days: int) -> float:
    """Chance of so many good days in a row, if days were independent.

    Parameters
    ----------
    chance
        Chance of each day, shape (day,).
    days
        Length of the run that is asked for, at least 1.

    Returns
    -------
    float
        0 to 1.

    Raises
    ------
    ValueError
        If ``days`` is less than 1.

    Notes
    -----
    A Markov chain on the length of the present run, absorbed at ``days``: a check of members, in
    which days are not independent, against what can be computed exactly.

    References
    ----------
    Feller (1968): An Introduction to Probability Theory and Its Applications, vol. 1, 3rd ed.,
    XIII.7, success runs (from memory).
    """
    if days < 1:
        raise ValueError("a run has at least one day")
    state = np.zeros(days + 1)
    state[0] = 1.0
    for hit in np.asarray(chance, np.float64):
        after = np.zeros_like(state)
        after[0] = state[:days].sum() * (1.0 - hit)
        after[1:] = state[:days] * hit
        after[days] += state[days]
        state = after
    return float(state[days])
