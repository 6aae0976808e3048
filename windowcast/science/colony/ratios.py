"""Bounds of a ratio, and of a mean of means, from the bounds of their parts."""

from __future__ import annotations

import math
from collections.abc import Sequence

from windowcast.terms.mites import Estimate


def ratio_of(top: Estimate, bottom: Estimate) -> Estimate:
    """One over the other, with bounds.

    Parameters
    ----------
    top, bottom
        Two independent values with bounds of one confidence, none below 0, ``bottom`` above 0.

    Returns
    -------
    Estimate
        ``top`` / ``bottom``; its upper bound is infinite where ``bottom`` may be 0.

    Raises
    ------
    ValueError
        When a bound is negative, or ``bottom`` is 0.

    Notes
    -----
    The roots R of (a - R b)^2 = (a - l)^2 + R^2 (u' - b)^2 for the lower bound, with l the lower
    bound of a and u' the upper of b, and of the same with the other bounds for the upper one.
    Where both parts have normal bounds this is Fieller's interval. Counts of the same colonies
    before and after hang together, which makes these bounds wider than need be, never narrower.

    References
    ----------
    Donner & Zou (2012): Closed-form confidence intervals for functions of the normal mean and
    standard deviation. Statistical Methods in Medical Research 21:347-359 (from memory). Newcombe
    (2016): MOVER-R confidence intervals for ratios and products of two independent quantities.
    Statistical Methods in Medical Research 25:1774-1778 (from memory).
    """
    if top.low < 0 or bottom.low < 0 or not bottom.value > 0:
        raise ValueError(f"{top} over {bottom}: neither may be below 0, nor the second be 0")
    value = top.value / bottom.value
    low = _lower_root(top, bottom)
    high = _upper_root(top, bottom)
    return Estimate(value=value, low=min(low, value), high=max(high, value))


def mean_of(parts: Sequence[Estimate]) -> Estimate:
    """Mean of independent values, with bounds.

    Parameters
    ----------
    parts
        Values with bounds of one confidence, at least one.

    Returns
    -------
    Estimate
        Their mean. Its lower bound is as far below as the root of the sum of squares of the
        distances of the parts to theirs, over their number; the upper likewise.

    Raises
    ------
    ValueError
        Without any value.

    References
    ----------
    Zou & Donner (2008): Construction of confidence limits about effect measures: a general
    approach. Statistics in Medicine 27:1693-1702 (from memory).
    """
    if not parts:
        raise ValueError("a mean needs at least one value")
    count = len(parts)
    value = math.fsum(part.value for part in parts) / count
    down = math.hypot(*(part.value - part.low for part in parts)) / count
    up = math.hypot(*(part.high - part.value for part in parts)) / count
    return Estimate(value=value, low=value - down, high=value + up)


def _lower_root(top: Estimate, bottom: Estimate) -> float:
    a, b = top.value, bottom.value
    reach = top.low * (2.0 * a - top.low)
    if not reach:
        return 0.0
    if math.isinf(bottom.high):
        return 0.0
    bend = bottom.high * (2.0 * b - bottom.high)
    # The root in the form that stays sound where bend is 0 or negative.
    return reach / (a * b + math.sqrt(max((a * b) ** 2 - reach * bend, 0.0)))


def _upper_root(top: Estimate, bottom: Estimate) -> float:
    a, b = top.value, bottom.value
    bend = bottom.low * (2.0 * b - bottom.low)
    if not bend or math.isinf(top.high):
        return math.inf
    reach = top.high * (2.0 * a - top.high)
    return (a * b + math.sqrt(max((a * b) ** 2 - reach * bend, 0.0))) / bend
