"""The mites of a yard from washes of some of its colonies."""

from __future__ import annotations

import math
from collections.abc import Sequence

from windowcast.science.colony.counts import (
    CONFIDENCE_FRAC,
    demanded_confidence,
    exact_interval,
    wash_frac,
)
from windowcast.terms.counts import Interval, YardMean
from windowcast.terms.report import MiteWash
from windowcast.terms.text import demand_count


def yard_mean(
    washes: Sequence[MiteWash], colonies: int, confidence_frac: float = CONFIDENCE_FRAC
) -> YardMean:
    """Mites per bee of a yard, with an interval from its colonies and not from its pooled bees.

    Parameters
    ----------
    washes
        One wash from each of some colonies of the yard.
    colonies
        Colonies in the yard, washed or not.
    confidence_frac
        How often such an interval shall hold the truth. [0-1]

    Returns
    -------
    YardMean
        Every colony counts the same, however many bees were washed.

    Raises
    ------
    ValueError
        Without a wash, with more washes than colonies, or when a wash is refused.

    Notes
    -----
    Mean p of the n colony shares; standard error s sqrt((1 - n/N) / n), N colonies in the yard;
    p +- t(n-1) times it, cut at 0 and 1. Rule of this project: the interval is never narrower
    than the exact one of all bees pooled, since colonies that happen to agree, or a yard washed
    to the last colony, do not make 300 bees a census. One wash of several colonies says nothing
    about the others: then there is no interval.

    References
    ----------
    Cochran (1977): Sampling Techniques, 3rd ed., Eq. 2.20 and 2.24 (from memory). Lee, Moon,
    Burkness, Hutchison & Spivak (2010): Practical sampling plans for Varroa destructor in Apis
    mellifera colonies and apiaries. Journal of Economic Entomology 103:1039-1050.
    """
    demand_count("colonies", colonies, least=1)
    shares = _shares(washes, colonies)
    level = demanded_confidence(confidence_frac)
    mean = math.fsum(shares) / len(shares)
    pooled = exact_interval(*_pooled(washes), level)
    if len(shares) == 1:
        interval = pooled if colonies == 1 else None
        return YardMean(rate_frac=mean, washed=1, colonies=colonies, interval=interval)
    washed = len(shares)
    spread = math.sqrt(math.fsum((p - mean) ** 2 for p in shares) / (washed - 1))
    error = spread * math.sqrt((1.0 - washed / colonies) / washed)
    reach = error * _t_quantile(washed - 1, level) if error else 0.0
    interval = Interval(
        low_frac=max(min(mean - reach, pooled.low_frac), 0.0),
        high_frac=min(max(mean + reach, pooled.high_frac), 1.0),
    )
    return YardMean(
        rate_frac=mean, washed=washed, colonies=colonies, spread_frac=spread, error_frac=error,
        interval=interval,
    )  # fmt: skip


def clumping(washes: Sequence[MiteWash]) -> float:
    """How unevenly mites are spread over colonies: 1 as if by chance, more where they clump.

    Parameters
    ----------
    washes
        One wash from each of at least two colonies.

    Returns
    -------
    float
        Index of dispersion; NaN where no mite was found at all.

    Raises
    ------
    ValueError
        With fewer than two washes, or when a wash is refused.

    Notes
    -----
    Sum of (m - E)^2 / E over colonies, divided by n - 1; E = bees times the pooled share. With as
    many bees in every wash this is the variance of the counts over their mean.

    References
    ----------
    Fisher, Thornton & Mackenzie (1922): The accuracy of the plating method of estimating the
    density of bacterial populations. Annals of Applied Biology 9:325-359 (from memory).
    """
    if len(washes) < 2:
        raise ValueError(f"{len(washes)} washes show no spread; wash at least two colonies")
    mites, bees = _pooled(washes)
    if not mites:
        return math.nan
    share = mites / bees
    expected = [wash.bees * share for wash in washes]
    parts = ((w.mites - e) ** 2 / e for w, e in zip(washes, expected, strict=True))
    return math.fsum(parts) / (len(washes) - 1)


def _shares(washes: Sequence[MiteWash], colonies: int) -> list[float]:
    if not washes:
        raise ValueError("no colony was washed; a yard's mean needs at least one wash")
    if len(washes) > colonies:
        raise ValueError(
            f"{len(washes)} washes from {colonies} colonies; give one wash for each colony, and"
            " the colonies of the whole yard"
        )
    return [wash_frac(wash) for wash in washes]


def _pooled(washes: Sequence[MiteWash]) -> tuple[int, int]:
    for wash in washes:
        wash_frac(wash)
    return sum(wash.mites for wash in washes), sum(wash.bees for wash in washes)


def _t_quantile(freedom: int, confidence_frac: float) -> float:
    from scipy.special import stdtrit

    return float(stdtrit(freedom, 0.5 + confidence_frac / 2.0))
