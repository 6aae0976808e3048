"""How many bees and colonies to wash, and what a sample would have found."""

from __future__ import annotations

import math

from windowcast.terms.text import demand_count

# Lee et al. 2010, from 31 commercial apiaries.
BEES_PER_WASH = 300
COLONIES_PER_YARD = 8

BROOD_DOUBLES = 2.0  # Lee et al. 2010: with brood, as many mites again sit under the cappings

_EXACT = 9  # decimals: 2.0000000000000004 bees are 2


def colonies_to_wash(colonies: int) -> int:
    """Colonies of a yard to wash, 300 bees from each.

    Parameters
    ----------
    colonies
        Colonies in the yard.

    Returns
    -------
    int
        Eight, whatever the size of the yard, or all of a smaller yard.

    References
    ----------
    Lee, Moon, Burkness, Hutchison & Spivak (2010): Practical sampling plans for Varroa destructor
    in Apis mellifera colonies and apiaries. Journal of Economic Entomology 103:1039-1050.
    """
    demand_count("colonies", colonies)
    return min(colonies, COLONIES_PER_YARD)


def colonies_for_error(cv: float, error_frac: float, colonies: int | None = None) -> int:
    """Colonies to wash so that a yard's mean is as sure as wanted.

    Parameters
    ----------
    cv
        Standard deviation between colonies over their mean.
    error_frac
        Wanted standard error of the mean over the mean.
    colonies
        Colonies in the yard; None for a yard without end.

    Returns
    -------
    int
        n0 / (1 + n0 / N) rounded up, n0 = (CV / D)^2; at least 1.

    Raises
    ------
    ValueError
        When the spread is negative, or the wanted error not more than 0.

    References
    ----------
    Cochran (1977): Sampling Techniques, 3rd ed., section 4.6 (from memory).
    """
    if not 0 <= cv <= 1000 or not 0.001 <= error_frac <= 1000:
        raise ValueError(f"a spread of {cv} for an error of {error_frac} is out of reach")
    endless = (cv / error_frac) ** 2
    if colonies is None:
        return _at_least(endless)
    demand_count("colonies", colonies, least=1)
    return _at_least(endless / (1.0 + endless / colonies))


def relative_error_frac(cv: float, washed: int, colonies: int) -> float:
    """Standard error of a yard's mean over the mean.

    Parameters
    ----------
    cv
        Standard deviation between colonies over their mean.
    washed, colonies
        Colonies that are washed, of so many in the yard.

    Returns
    -------
    float
        CV sqrt((1 - n / N) / n).

    Raises
    ------
    ValueError
        When the spread is negative, or more colonies are washed than there are.

    References
    ----------
    Cochran (1977): Sampling Techniques, 3rd ed., Eq. 2.20 (from memory).
    """
    demand_count("colonies", colonies, least=1)
    demand_count("colonies washed", washed, least=1, most=colonies)
    if not 0 <= cv < math.inf:
        raise ValueError(f"a spread of {cv} is negative or not told")
    return cv * math.sqrt((1.0 - washed / colonies) / washed)


def chance_of_none(share_frac: float, drawn: int) -> float:
    """Chance that a sample from without end holds none of those that are looked for.

    Parameters
    ----------
    share_frac
        Their share, such as mites per bee. [0-1]
    drawn
        Size of the sample, such as bees in a wash.

    Returns
    -------
    float
        (1 - p)^n. [0-1]

    Raises
    ------
    ValueError
        When the share is not from 0 to 1.

    Notes
    -----
    For mites a lower bound: they clump, and a sample misses them more often.

    References
    ----------
    Feller (1968): An Introduction to Probability Theory and Its Applications, vol. 1, 3rd ed.,
    chapter VI: the binomial distribution at 0 (from memory).
    """
    _demand_share(share_frac)
    demand_count("the sample", drawn)
    return float((1.0 - share_frac) ** drawn)


def bees_to_detect(share_frac: float, confidence_frac: float) -> int:
    """Least bees in a wash that shows at least one mite as often as wanted.

    Parameters
    ----------
    share_frac
        Mites per bee that shall not be missed. [0-1]
    confidence_frac
        How often at least one shall be found. [0-1]

    Returns
    -------
    int
        ln(1 - confidence) / ln(1 - p), rounded up.

    Raises
    ------
    ValueError
        When either is not between 0 and 1, or the mites are too rare to be found at all.

    Notes
    -----
    Strictly: one bee less finds it less often. Printed tables round to the nearest and may be
    one bee lower.

    References
    ----------
    Feller (1968): as for ``chance_of_none``, solved for the size of the sample.
    """
    if not (1e-6 <= share_frac < 1 and 0 < confidence_frac < 1):
        raise ValueError(
            f"{share_frac} mites a bee at a confidence of {confidence_frac}: both must lie"
            " between 0 and 1"
        )
    return _at_least(math.log1p(-confidence_frac) / math.log1p(-share_frac))


def chance_to_find(hot: int, colonies: int, washed: int) -> float:
    """Chance that a sample of a yard's colonies holds at least one of those with many mites.

    Parameters
    ----------
    hot
        Colonies with many mites.
    colonies
        Colonies in the yard.
    washed
        Colonies drawn by lot and washed.

    Returns
    -------
    float
        1 - C(N - K, n) / C(N, n). [0-1]

    Raises
    ------
    ValueError
        When more are hot, or washed, than there are.

    Notes
    -----
    That the wash of a hot colony shows it is taken for granted, and colonies are drawn by lot:
    those beside the gate are no sample.

    References
    ----------
    Feller (1968): An Introduction to Probability Theory and Its Applications, vol. 1, 3rd ed.,
    chapter II.6: the hypergeometric distribution at 0 (from memory).
    """
    demand_count("colonies", colonies, least=1)
    demand_count("hot colonies", hot, most=colonies)
    demand_count("colonies washed", washed, most=colonies)
    if not hot or not washed:
        return 0.0
    if hot + washed > colonies:
        return 1.0
    missed = (math.log1p(-washed / (colonies - step)) for step in range(hot))
    return -math.expm1(math.fsum(missed))


def mites_without_brood(share_frac: float, adults: int) -> float:
    """Mites in a colony without brood: all sit on bees.

    Parameters
    ----------
    share_frac
        Mites per bee. [0-1]
    adults
        Adult bees in the colony.

    Returns
    -------
    float
        p A.

    Raises
    ------
    ValueError
        When the share is not from 0 to 1.

    Notes
    -----
    Rule of this project: a wash is taken to stand for all bees of the colony.
    """
    _demand_share(share_frac)
    demand_count("adult bees", adults)
    return share_frac * adults


def mites_with_brood(share_frac: float, adults: int) -> float:
    """Mites in a colony with brood: as many again as on its bees.

    Parameters
    ----------
    share_frac
        Mites per bee. [0-1]
    adults
        Adult bees in the colony.

    Returns
    -------
    float
        2 p A.

    Raises
    ------
    ValueError
        When the share is not from 0 to 1.

    References
    ----------
    Lee, Moon, Burkness, Hutchison & Spivak (2010): Journal of Economic Entomology 103:1039-1050:
    double the density on adults for that on adults and pupae.
    """
    return BROOD_DOUBLES * mites_without_brood(share_frac, adults)


def _at_least(count: float) -> int:
    return max(math.ceil(round(count, _EXACT)), 1)


def _demand_share(share_frac: float) -> None:
    if not 0 <= share_frac <= 1:
        raise ValueError(f"a share of {share_frac} is not from 0 to 1")
