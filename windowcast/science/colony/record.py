"""What the book holds of one yard, and which of its counts follow on which of its rounds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from windowcast.terms.mites import TOO_SOON, MiteCount, MitePractice, RoundSpan, UnusedCount


@dataclass(frozen=True, slots=True, kw_only=True)
class YardRecord:
    """What the book holds of a yard: its counts of one method, by day, and its rounds."""

    yard_key: str
    counts: tuple[MiteCount, ...]
    spans: tuple[RoundSpan, ...]


def whole_days(hours: float) -> int:
    """Whole days of a limit.

    Parameters
    ----------
    hours
        The limit, which is a whole number of days.

    Returns
    -------
    int
        Days.

    Notes
    -----
    Rule of this project: counts and rounds have days and no hours.
    """
    return int(hours // 24)


def follows(count: MiteCount, span: RoundSpan) -> bool:
    """Whether a count is from after the beginning of a round.

    Parameters
    ----------
    count
        A count of a yard.
    span
        A round of the same yard.

    Returns
    -------
    bool
        False on the first day of the round.

    Notes
    -----
    Rule of this project: what was counted on the day of a treatment is taken to be from before it.
    """
    return count.last_day > span.first_day


def too_soon(
    count: MiteCount, spans: Sequence[RoundSpan], practice: MitePractice
) -> tuple[UnusedCount, ...]:
    """The last round on which a count follows too soon, if there is one.

    Parameters
    ----------
    count
        A count of a yard.
    spans
        The rounds of the same yard, by their first day.
    practice
        How soon is too soon.

    Returns
    -------
    tuple of UnusedCount
        One, or none.

    Notes
    -----
    Rule of this project: mites that a treatment killed still fall for some days. A count begins
    with its first day, which of a board is that on which it was put in.
    """
    before = [span for span in spans if follows(count, span)]
    found = [
        UnusedCount(count=count, span=span, why=TOO_SOON, days=days)
        for span in before
        if (days := (count.first_day - span.last_day).days) < whole_days(practice.after_from_h)
    ]
    return tuple(found[-1:])


def rounds_between(
    before: MiteCount | None, after: MiteCount, spans: Sequence[RoundSpan]
) -> tuple[RoundSpan, ...]:
    """The rounds between two counts.

    Parameters
    ----------
    before
        The earlier count, None where there is none.
    after
        The later one.
    spans
        The rounds of the same yard.

    Returns
    -------
    tuple of RoundSpan
        Where there is no earlier count, those of the last season with one.

    Notes
    -----
    Rule of this project: a count tells of every round between it and the one before.
    """
    found = [
        span for span in spans if follows(after, span) and not (before and follows(before, span))
    ]
    last = max((span.season for span in found), default=0)
    return tuple(span for span in found if before or span.season == last)
