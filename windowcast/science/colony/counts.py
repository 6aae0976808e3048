"""Mites per bee from washes, mites per day from boards, each with what the count leaves open.

Mites are not strictly binomial: several may sit on one bee, and they clump. Every interval here is
therefore a lower bound on its true width.
"""

from __future__ import annotations

import math

from windowcast.terms.counts import Interval
from windowcast.terms.report import MiteBoard, MiteWash

CONFIDENCE_FRAC = 0.95  # the convention of the papers below


def wash_frac(wash: MiteWash) -> float:
    """Mites per bee of one wash: its percent infestation as a share.

    Parameters
    ----------
    wash
        Mites washed from so many bees.

    Returns
    -------
    float
        m / n. [0-1]

    Raises
    ------
    ValueError
        When there are more mites than bees.

    Notes
    -----
    More mites than bees is refused: the intervals need a share, and no wash of a living colony
    gives it. It is a slip, such as the two numbers written the wrong way round.

    References
    ----------
    Dietemann et al. (2013): Standard methods for varroa research, COLOSS BEEBOOK II. Journal of
    Apicultural Research 52(1). doi:10.3896/IBRA.1.52.1.09 (from memory).
    """
    if wash.mites > wash.bees:
        raise ValueError(
            f"{wash.mites} mites on {wash.bees} bees is more than one mite a bee;"
            " write the mites first and then the bees"
        )
    return wash.mites / wash.bees


def wilson_interval(wash: MiteWash, confidence_frac: float = CONFIDENCE_FRAC) -> Interval:
    """Two-sided score interval of one wash: on average it covers as often as it says.

    Parameters
    ----------
    wash
        Mites washed from so many bees.
    confidence_frac
        How often such an interval shall hold the truth. [0-1]

    Returns
    -------
    Interval
        From 0 where no mite was found.

    Raises
    ------
    ValueError
        When there are more mites than bees, or the confidence is not between 0 and 1.

    Notes
    -----
    (p + z^2/2n +- z sqrt(p(1-p)/n + z^2/4n^2)) / (1 + z^2/n), z the normal quantile of
    (1 + confidence) / 2. No continuity correction.

    References
    ----------
    Wilson (1927): Probable inference, the law of succession, and statistical inference. Journal
    of the American Statistical Association 22:209-212. Newcombe (1998): Two-sided confidence
    intervals for the single proportion. Statistics in Medicine 17:857-872, method 3.
    """
    from scipy.special import ndtri

    share, bees = wash_frac(wash), wash.bees
    z = float(ndtri(0.5 + demanded_confidence(confidence_frac) / 2.0))
    middle = share + z * z / (2.0 * bees)
    half = z * math.sqrt(share * (1.0 - share) / bees + z * z / (4.0 * bees * bees))
    scale = 1.0 + z * z / bees
    # At the ends the equation gives exactly 0 and 1; in floating point it misses them by a hair.
    low = 0.0 if wash.mites == 0 else (middle - half) / scale
    high = 1.0 if wash.mites == bees else (middle + half) / scale
    return Interval(low_frac=max(low, 0.0), high_frac=min(high, 1.0))


def clopper_pearson_interval(wash: MiteWash, confidence_frac: float = CONFIDENCE_FRAC) -> Interval:
    """Two-sided exact interval of one wash: it covers at least as often as it says.

    Parameters
    ----------
    wash
        Mites washed from so many bees.
    confidence_frac
        How often, at least, such an interval shall hold the truth. [0-1]

    Returns
    -------
    Interval
        From 0 where no mite was found.

    Raises
    ------
    ValueError
        When there are more mites than bees, or the confidence is not between 0 and 1.

    References
    ----------
    Clopper & Pearson (1934): The use of confidence or fiducial limits illustrated in the case of
    the binomial. Biometrika 26:404-413.
    """
    wash_frac(wash)
    return exact_interval(wash.mites, wash.bees, confidence_frac)


def upper_bound_frac(wash: MiteWash, confidence_frac: float = CONFIDENCE_FRAC) -> float:
    """One-sided exact bound of one wash: what it does not rule out.

    Parameters
    ----------
    wash
        Mites washed from so many bees.
    confidence_frac
        How often, at least, the truth shall lie at or below the bound. [0-1]

    Returns
    -------
    float
        Mites per bee; 1 - (1 - confidence)^(1/n) where no mite was found. [0-1]

    Raises
    ------
    ValueError
        When there are more mites than bees, or the confidence is not between 0 and 1.

    References
    ----------
    Clopper & Pearson (1934): Biometrika 26:404-413.
    """
    from scipy.special import betaincinv

    wash_frac(wash)
    free = wash.bees - wash.mites
    level = demanded_confidence(confidence_frac)
    return float(betaincinv(wash.mites + 1, free, level)) if free else 1.0


def mites_per_day(board: MiteBoard) -> float:
    """Natural fall of mites on a board.

    Parameters
    ----------
    board
        Mites that fell in some days.

    Returns
    -------
    float
        Mites per day.

    Notes
    -----
    Rule of this project: a plain quotient without an interval. The fall of a day hangs together
    with that of the next, and how many mites sit in the colony for one that falls changes with
    brood, so that no published interval fits. After a treatment the fall counts mites that were
    killed and is no measure of those that live.
    """
    return board.mites / board.over_d


def exact_interval(mites: int, bees: int, confidence_frac: float) -> Interval:
    """Clopper-Pearson interval of bare counts, such as those of many washes together.

    Parameters
    ----------
    mites, bees
        Counts, at least one bee and at most one mite a bee.
    confidence_frac
        How often, at least, such an interval shall hold the truth. [0-1]

    Returns
    -------
    Interval
        From 0 where no mite was found.

    Notes
    -----
    Quantiles of beta distributions: B(a/2; m, n-m+1) and B(1-a/2; m+1, n-m), a = 1 - confidence.

    References
    ----------
    Clopper & Pearson (1934): Biometrika 26:404-413.
    """
    from scipy.special import betaincinv

    tail = (1.0 - demanded_confidence(confidence_frac)) / 2.0
    free = bees - mites
    low = float(betaincinv(mites, free + 1, tail)) if mites else 0.0
    high = float(betaincinv(mites + 1, free, 1.0 - tail)) if free else 1.0
    return Interval(low_frac=low, high_frac=high)


def demanded_confidence(confidence_frac: float) -> float:
    """A confidence that is one: more than 0 and less than 1.

    Parameters
    ----------
    confidence_frac
        What was asked for. [0-1]

    Returns
    -------
    float
        The same.

    Raises
    ------
    ValueError
        When it is not between 0 and 1, such as 95 for 0.95.

    Notes
    -----
    Rule of this project: shares are 0 to 1 inside; percent exists only in text.
    """
    if not 0 < confidence_frac < 1:
        raise ValueError(f"a confidence of {confidence_frac} is not between 0 and 1")
    return confidence_frac
