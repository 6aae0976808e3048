"""Bias and spread by lead day, learned from an archive of forecasts and what came."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from windowcast.science.skill.cases import cases_of
from windowcast.terms.lead import LeadErrors
from windowcast.terms.outlook import Floats
from windowcast.terms.skill import LeadFit
from windowcast.terms.threshold import OURS

# Rules of this project. The defaults weigh as much as so many days: about half the winter days
# that one would want, since errors of days in a row are worth less than their count.
DEFAULT_CASES = 30.0
CLIPPED_FROM = 4.0  # standard deviations; of a normal error one in 16,000 lies further out
SD_PER_MAD = 1.4826  # of a normal distribution


class _Day(NamedTuple):
    bias_dc: float
    raw_dc: float
    cases: int
    clipped: int


def fit_by_lead(lead_d: ArrayLike, error_dc: ArrayLike, defaults: LeadErrors) -> LeadFit:
    """Errors of an outfit's own archive, leaning on the defaults where it has few cases.

    Parameters
    ----------
    lead_d
        Lead day of each case, shape (case,). [d]
    error_dc
        Forecast of the daily maximum less what came, shape (case,), NaN where untold. [°C]
    defaults
        Errors to lean on; the fit has their lead days.

    Returns
    -------
    LeadFit
        Bias and spread about it for each lead day, and what they rest on. A day without a case has
        the default.

    Raises
    ------
    ValueError
        For a lead day that is not whole, an infinite error, or other shapes.

    Notes
    -----
    Rule of this project. For each lead day with n cases, median m and robust spread
    s = max(1.4826 MAD, default): errors beyond m +- 4 s are moved to that bound, so that a slip in
    an archive (a wrong unit, a stuck sensor) counts as one bad day and no more. With w = 30,

        bias = (n mean + w default) / (n + w)
        raw^2 = (sum (e - bias)^2 + w default^2) / (n + w)

    ``raw_dc`` is the spread about the bias, which is taken off the forecast before it is dressed:
    to count the bias in both would widen every chance.
    """
    leads, errors = _cases(lead_d, error_dc)
    size = len(defaults.raw_dc)
    used = ~np.isnan(errors) & (leads >= 0) & (leads < size)
    days = [
        _day(errors[used & (leads == lead)], defaults.bias_dc[lead], defaults.raw_dc[lead])
        for lead in range(size)
    ]
    fitted = LeadErrors(
        raw_dc=tuple(day.raw_dc for day in days),
        bias_dc=tuple(day.bias_dc for day in days),
        source=f"fitted to {int(used.sum())} days of an own archive, leaning on: {defaults.source}",
        grade=OURS,
    )
    return LeadFit(
        errors=fitted if used.any() else defaults,
        cases=tuple(day.cases for day in days),
        clipped=tuple(day.clipped for day in days),
        unused=int(used.size - used.sum()),
    )


def _cases(lead_d: ArrayLike, error_dc: ArrayLike) -> tuple[NDArray[np.int64], Floats]:
    leads, errors = cases_of(lead_d, "lead_d"), cases_of(error_dc, "error_dc")
    if leads.shape != errors.shape:
        raise ValueError(f"{leads.shape} lead days are not those of {errors.shape} errors")
    if np.any(leads != np.round(leads)):
        raise ValueError("a lead day is a whole number")
    return leads.astype(np.int64), errors


def _day(errors: Floats, bias_dc: float, raw_dc: float) -> _Day:
    """One lead day: its errors clipped, then shrunk to the default bias and spread."""
    n, weight = errors.size, DEFAULT_CASES
    if not n:
        return _Day(bias_dc, raw_dc, 0, 0)
    middle = float(np.median(errors))
    wide = max(SD_PER_MAD * float(np.median(np.abs(errors - middle))), raw_dc)
    far = CLIPPED_FROM * wide
    near = np.clip(errors, middle - far, middle + far)
    bias = (float(near.sum()) + weight * bias_dc) / (n + weight)
    squares = (float(np.sum((near - bias) ** 2)) + weight * raw_dc**2) / (n + weight)
    clipped = int(np.sum(np.abs(errors - middle) > far))
    return _Day(bias, float(np.sqrt(squares)), n, clipped)
