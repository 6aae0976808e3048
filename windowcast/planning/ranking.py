"""Yard-days to outfit-days, best first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date

from windowcast.planning.rounds import is_due_on
from windowcast.terms.advice import (
    BLIND,
    GOOD,
    PART_CODES,
    POOR,
    VERDICTS,
    WORKABLE,
    Advice,
    OutfitDay,
    WindowScore,
)
from windowcast.terms.practice import DayPractice
from windowcast.terms.rounds import RoundDue

SCORE_DECIMALS = 6


def verdict_of(score: float, practice: DayPractice) -> str:
    """Verdict of a score: good, workable or poor.

    Parameters
    ----------
    score
        Day score. [0-1]
    practice
        Limits.

    Returns
    -------
    str
        A verdict other than blind.

    Notes
    -----
    Rule of this project: both limits belong to the better side; scores are compared at 1e-6.
    """
    compared = round(score, SCORE_DECIMALS)
    if compared >= practice.good_from:
        return GOOD
    return WORKABLE if compared >= practice.workable_from else POOR


def worse_of(one: str, other: str) -> str:
    """The worse of two verdicts.

    Parameters
    ----------
    one, other
        Verdicts.

    Returns
    -------
    str
        Whichever stands later in ``VERDICTS``.

    Notes
    -----
    Rule of this project: good, workable, poor, blind.
    """
    return max(one, other, key=VERDICTS.index)


def ranked_days(
    advice: Sequence[Advice],
    practice: DayPractice,
    since: date = date.min,
    rounds: Sequence[RoundDue] = (),
) -> tuple[OutfitDay, ...]:
    """Every calendar day that at least one yard with a round due can see, best first.

    Parameters
    ----------
    advice
        Advice of every yard that has a forecast.
    practice
        Limits.
    since
        First day that is listed: today on the clock of the notice.
    rounds
        The next round of the yards; a yard that is not among them counts on every day.

    Returns
    -------
    tuple of OutfitDay
        Ranks from 1: by verdict, then score, then the earlier day.

    Notes
    -----
    Rule of this project. Only yards whose round may be done on a day count on it. Score: mean of
    the day scores of the yards that see the day, weighted by their colonies. Verdict by the same
    limits, never better than that of its best yard, so that a cap on every yard caps the day.
    """
    by_day: dict[date, list[tuple[Advice, WindowScore]]] = {}
    due = {item.yard_key: item for item in rounds}
    for item in advice:
        for score in (score for score in item.scores if score.day >= since):
            if is_due_on(due.get(item.yard.key), score.day):
                by_day.setdefault(score.day, []).append((item, score))
    days = [_outfit_day(day, seen, practice) for day, seen in by_day.items()]
    ordered = sorted(
        (day for day in days if day.verdict != BLIND),
        key=lambda d: (VERDICTS.index(d.verdict), -round(d.score, SCORE_DECIMALS), d.day),
    )
    return tuple(replace(day, rank=rank) for rank, day in enumerate(ordered, start=1))


def _outfit_day(
    day: date, seen: Sequence[tuple[Advice, WindowScore]], practice: DayPractice
) -> OutfitDay:
    sighted = [(a, s) for a, s in seen if s.verdict != BLIND]
    unseen = tuple(sorted(a.yard.key for a, s in seen if s.verdict == BLIND))
    if not sighted:
        return OutfitDay(
            day=day, rank=0, score=0.0, verdict=BLIND, served=(), unseen=unseen, limited_by=None
        )
    weights = _weights([a.yard.colonies for a, _ in sighted])
    score = sum(w * s.score for w, (_, s) in zip(weights, sighted, strict=True))
    best = min((s.verdict for _, s in sighted), key=VERDICTS.index)
    verdict = worse_of(verdict_of(score, practice), best)
    served = tuple(sorted(a.yard.key for a, s in sighted if s.verdict in (GOOD, WORKABLE)))
    limit = None if verdict == GOOD else _limit(weights, [s for _, s in sighted])
    return OutfitDay(
        day=day, rank=0, score=score, verdict=verdict, served=served, unseen=unseen,
        limited_by=limit,
    )  # fmt: skip


def _weights(colonies: Sequence[int]) -> list[float]:
    """Shares of the colonies; equal shares where nobody counted any."""
    total = sum(colonies)
    return [count / total if total else 1.0 / len(colonies) for count in colonies]


def _limit(weights: Sequence[float], scores: Sequence[WindowScore]) -> str | None:
    """The part with the lowest mean credit over yards, weighted like the score."""
    means: Mapping[str, float] = {}
    for position, code in enumerate(PART_CODES):
        told = [
            (w, credit)
            for w, s in zip(weights, scores, strict=True)
            if (credit := s.mean_credits[position]) is not None
        ]
        share = sum(w for w, _ in told)
        if share > 0:
            means = {**means, code: sum(w * credit for w, credit in told) / share}
    lowest = min(means, key=lambda code: round(means[code], SCORE_DECIMALS), default=None)
    return lowest if lowest is not None and round(means[lowest], SCORE_DECIMALS) < 1.0 else None
