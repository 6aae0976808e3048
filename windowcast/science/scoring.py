"""Weather arrays to scored days: the whole window rule in one call, for any number of yards."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from windowcast.science.days import (
    DaySlots,
    Runs,
    best_runs,
    by_day,
    day_scores,
    flags_by_day,
    mean_where,
)
from windowcast.science.window import hour_credits, hour_scores, light_credit, usable_hours
from windowcast.terms.outlook import Bools, Floats
from windowcast.terms.practice import Practice


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ScoredDays:
    """Hours and days with their scores.

    Shapes: ``credits`` and ``hour_score`` (yard, member, hour), ``lit_frac`` (yard, 1, hour);
    ``score_by_day``, ``usable`` and ``working`` (yard, member, day, slot), ``working`` with one
    member; ``runs``, ``score`` and each of ``mean_credits`` (yard, member, day).
    """

    slots: DaySlots
    lit_frac: Floats
    credits: Mapping[str, Floats]
    hour_score: Floats
    score_by_day: Floats
    usable: Bools
    working: Bools
    runs: Runs
    score: Floats
    mean_credits: Mapping[str, Floats]


def scored_days(
    weather: Mapping[str, Floats],
    lit_frac: Floats,
    at_work: Bools,
    ahead: Bools,
    slots: DaySlots,
    practice: Practice,
) -> ScoredDays:
    """Score every hour and every day of every yard and member.

    Parameters
    ----------
    weather
        Arrays by name (``terms.outlook.VARIABLES``), shape (yard, member, hour).
    lit_frac
        Share of each hour between sunrise and sunset, shape (yard, 1, hour). [0-1]
    at_work
        Whether each hour lies wholly inside working hours, shape (yard, 1, hour).
    ahead
        Whether each hour begins at or after now, shape (hour,).
    slots
        Local days wanted.
    practice
        Thresholds.

    Returns
    -------
    ScoredDays
        See there.

    Notes
    -----
    Rule of this project: an hour's score is the product of its parts' credits; a day's is the mean
    of the best hours of its best run. Rows are worked out alone, so that one yard gets the same
    numbers in any company.
    """
    credits = hour_credits(weather, lit_frac, practice)
    score = hour_scores(credits)
    usable = flags_by_day(usable_hours(credits, np.asarray(at_work & ahead), practice), slots)
    score_by_day = by_day(score, slots)
    working = flags_by_day(np.asarray(at_work & (light_credit(lit_frac) > 0)), slots)
    runs = best_runs(score_by_day, usable)
    return ScoredDays(
        slots=slots,
        lit_frac=lit_frac,
        credits=credits,
        hour_score=score,
        score_by_day=score_by_day,
        usable=usable,
        working=working,
        runs=runs,
        score=day_scores(score_by_day, runs, int(practice.day.min_run_h)),
        mean_credits={
            code: mean_where(by_day(credit, slots), working) for code, credit in credits.items()
        },
    )
