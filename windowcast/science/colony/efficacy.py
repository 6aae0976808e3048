"""What a treatment did: with a control, from a total count, and without either.

All take mites before and after in one unit, such as mean mites per bee of the washed colonies, and
give a share that may be negative where mites grew more than without treatment.
"""

from __future__ import annotations

import math

# About four fifths of the mites that a winter treatment with oxalic acid kills fall within a week
# (published practice on trickling; the form of the curve is ours).
WEEK_FALLEN_FRAC = 0.8


def henderson_tilton_frac(
    *, treated_before: float, treated_after: float, control_before: float, control_after: float
) -> float:
    """Efficacy from counts before and after, in treated colonies and in a control.

    Parameters
    ----------
    treated_before, treated_after
        Mites of the treated colonies before and after, Tb and Ta.
    control_before, control_after
        Mites of the untreated colonies at the same times, Cb and Ca.

    Returns
    -------
    float
        1 - (Ta / Tb) (Cb / Ca); at most 1.

    Raises
    ------
    ValueError
        When a count is negative or not told, or when Tb, Cb or Ca is 0: nothing to compare with.

    Notes
    -----
    For groups that differed at the start. The control must have been treated like the others in
    all but the treatment.

    References
    ----------
    Henderson & Tilton (1955): Tests with acaricides against the brown wheat mite. Journal of
    Economic Entomology 48:157-161. doi:10.1093/jee/48.2.157 (from memory).
    """
    _demand_mites("the treated colonies before", treated_before)
    _demand_mites("the treated colonies after", treated_after, or_none=True)
    _demand_mites("the control before", control_before)
    _demand_mites("the control after", control_after)
    return _gone_frac(treated_after / treated_before, control_after / control_before)


def abbott_frac(*, control_after: float, treated_after: float) -> float:
    """Efficacy from counts after the treatment alone, against a control.

    Parameters
    ----------
    control_after, treated_after
        Mites of the untreated and of the treated colonies after the treatment, Ca and Ta.

    Returns
    -------
    float
        (Ca - Ta) / Ca; at most 1.

    Raises
    ------
    ValueError
        When a count is negative or not told, or when Ca is 0: nothing to compare with.

    Notes
    -----
    Only for groups that were alike before; where they were counted before, take
    ``henderson_tilton_frac``.

    References
    ----------
    Abbott (1925): A method of computing the effectiveness of an insecticide. Journal of Economic
    Entomology 18:265-267.
    """
    _demand_mites("the control after", control_after)
    _demand_mites("the treated colonies after", treated_after, or_none=True)
    return _gone_frac(treated_after, control_after)


def total_count_frac(*, killed: float, killed_by_follow_up: float) -> float:
    """Efficacy as the share of all mites that a round killed, the rest killed by a follow-up.

    Parameters
    ----------
    killed
        Mites that the round killed.
    killed_by_follow_up
        Mites that a treatment of more than 95 % efficacy killed afterwards.

    Returns
    -------
    float
        k1 / (k1 + k2). [0-1]

    Raises
    ------
    ValueError
        When a count is negative or not told, or when both are 0.

    References
    ----------
    Dietemann et al. (2013): Standard methods for varroa research, COLOSS BEEBOOK II, section
    4.5.4. Journal of Apicultural Research 52(1). doi:10.3896/IBRA.1.52.1.09 (from memory).
    """
    _demand_mites("the round", killed, or_none=True)
    _demand_mites("the follow-up", killed_by_follow_up, or_none=True)
    _demand_mites("round and follow-up together", killed + killed_by_follow_up)
    return killed / (killed + killed_by_follow_up)


def observed_reduction_frac(*, before: float, after: float) -> float:
    """Fall of the mites in treated colonies, where there was no control. Not an efficacy.

    Parameters
    ----------
    before, after
        Mites of the same colonies before and after the treatment.

    Returns
    -------
    float
        1 - after / before; at most 1.

    Raises
    ------
    ValueError
        When a count is negative or not told, or when there was no mite before.

    Notes
    -----
    Rule of this project: without a control, deaths, births and mites hidden in brood are mixed
    into the fall, and it bears its own name. ``untreated_frac`` says what broodless colonies
    would have kept anyway.
    """
    _demand_mites("the colonies before", before)
    _demand_mites("the colonies after", after, or_none=True)
    return _gone_frac(after, before)


def untreated_frac(over_d: float, deaths_per_day: float) -> float:
    """Share of the mites that live on in a colony without brood and without treatment.

    Parameters
    ----------
    over_d
        Time between two counts. [d]
    deaths_per_day
        Share of the mites that dies in a day. [1/d]

    Returns
    -------
    float
        exp(-mu t). [0-1]

    Raises
    ------
    ValueError
        When either is negative or not told.

    Notes
    -----
    Rule of this project: constant deaths and no births, since mites breed in brood alone.
    Published winter death rates reach from 0.002 to 0.0053 a day, so that this is a range and
    not a number.
    """
    if not (0 <= over_d < math.inf and 0 <= deaths_per_day < math.inf):
        raise ValueError(f"{over_d} days at {deaths_per_day} deaths a day; neither can be negative")
    return math.exp(-deaths_per_day * over_d)


def fallen_frac(after_d: float) -> float:
    """Share of the killed mites that has fallen some days after a winter treatment.

    Parameters
    ----------
    after_d
        Days since the treatment. [d]

    Returns
    -------
    float
        1 - 0.2^(t / 7). [0-1]

    Raises
    ------
    ValueError
        When the time is negative or not told.

    Notes
    -----
    Rule of this project: an exponential through 80 % in the first week, the share that practice
    reports for trickled oxalic acid. A late fall is delayed dropping and no proof that the acid
    still kills. Judge a round by boards no sooner than 7 days after it; tests wait for 14.
    """
    if not 0 <= after_d < math.inf:
        raise ValueError(f"{after_d} days after a treatment; write 0 or more")
    return float(1.0 - (1.0 - WEEK_FALLEN_FRAC) ** (after_d / 7.0))


def _gone_frac(left: float, of: float) -> float:
    """1 - left / of, the one number that all of them come to."""
    return 1.0 - left / of


def _demand_mites(where: str, mites: float, *, or_none: bool = False) -> None:
    if not 0 <= mites < math.inf:
        raise ValueError(f"{mites} mites in {where}; write a number from 0 up")
    if mites == 0 and not or_none:
        raise ValueError(f"no mites in {where}: there is nothing to compare with")
