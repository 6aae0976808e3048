"""Cases with something untold are dropped and counted; too few give no figure."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from windowcast.terms.outlook import Bools, Floats
from windowcast.terms.skill import Figure


def cases_of(values: ArrayLike, what: str) -> Floats:
    """One number for each case, NaN where not told.

    Parameters
    ----------
    values
        Numbers, shape (case,).
    what
        What they are, for the sentence of the error.

    Returns
    -------
    ndarray
        Shape (case,).

    Raises
    ------
    ValueError
        If there is another number of axes than one, or an infinite number.

    Notes
    -----
    Rule of this project: an infinite value is a slip of whoever computed it and never a case.
    """
    told = finite_or_untold(values, what)
    if told.ndim != 1:
        raise ValueError(f"{what} must have the shape (case,), not {told.shape}")
    return told


def finite_or_untold(values: ArrayLike, what: str) -> Floats:
    """Numbers of any shape, none of them infinite.

    Parameters
    ----------
    values
        Numbers, any shape, NaN where not told.
    what
        What they are, for the sentence of the error.

    Returns
    -------
    ndarray
        The same shape.

    Raises
    ------
    ValueError
        For an infinite number.

    Notes
    -----
    Rule of this project, as for ``cases_of``.
    """
    told = np.asarray(values, np.float64)
    if np.isinf(told).any():
        raise ValueError(f"{what} holds an infinite number")
    return told


def chances_of(values: ArrayLike, what: str) -> Floats:
    """Chances or outcomes of any shape, each within 0 to 1.

    Parameters
    ----------
    values
        Numbers, any shape, NaN where not told. [0-1]
    what
        What they are, for the sentence of the error.

    Returns
    -------
    ndarray
        The same shape.

    Raises
    ------
    ValueError
        For a number outside 0 to 1.

    Notes
    -----
    Rule of this project: a percent where a fraction belongs must not pass for a bad forecast.
    """
    told = np.asarray(values, np.float64)
    if np.any((told < 0.0) | (told > 1.0)):
        raise ValueError(f"{what} must lie between 0 and 1")
    return told


def outcomes_of(values: ArrayLike, what: str = "happened") -> Floats:
    """Whether it happened, of any shape: 1, 0 or NaN.

    Parameters
    ----------
    values
        Numbers or truth values, any shape, NaN where not told.
    what
        What they are, for the sentence of the error.

    Returns
    -------
    ndarray
        The same shape.

    Raises
    ------
    ValueError
        For any other number.

    Notes
    -----
    Rule of this project, as for ``chances_of``.
    """
    told = np.asarray(values, np.float64)
    if np.any((told != 0.0) & (told != 1.0) & ~np.isnan(told)):
        raise ValueError(f"{what} must be 1 or 0 where it is told")
    return told


def told_pairs(first: Floats, second: Floats) -> Bools:
    """Cases in which both are told.

    Parameters
    ----------
    first, second
        Shape (case,) each.

    Returns
    -------
    ndarray
        Shape (case,).

    Raises
    ------
    ValueError
        If they are of different length: a shorter one would stand for cases that it does not know.

    Notes
    -----
    Rule of this project: what is compared is compared on the same cases.
    """
    if first.shape != second.shape:
        raise ValueError(f"{first.shape} and {second.shape} are not the same cases")
    return np.asarray(~(np.isnan(first) | np.isnan(second)))


def mean_of(values: ArrayLike, least: int = 1) -> Figure:
    """Mean over the cases that are told.

    Parameters
    ----------
    values
        Losses or errors, shape (case,), NaN where something is untold.
    least
        With fewer told cases there is no value; at least 1.

    Returns
    -------
    Figure
        The mean, with its cases and those that were dropped.

    Raises
    ------
    ValueError
        For an infinite loss, another shape, or ``least`` below 1.

    Notes
    -----
    Rule of this project: no figure out of nothing, and each figure with the count that it rests on.
    """
    if least < 1:
        raise ValueError("least must be at least 1")
    losses = cases_of(values, "values")
    told = losses[~np.isnan(losses)]
    value = float(told.mean()) if told.size >= least else None
    return Figure(value=value, cases=told.size, dropped=losses.size - told.size)
