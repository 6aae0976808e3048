"""Rounds by the calendar: which is due at each yard, from when, until when.

The calendar knows visits and limits. It knows nothing of brood, and weather decides the day.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date, timedelta

from windowcast.terms.rounds import (
    ALL_DONE,
    HELD_BY_GAP,
    HELD_BY_LABEL_DAYS,
    HELD_BY_LABEL_YEAR,
    OPEN,
    OVERDUE,
    WAITING,
    RoundDue,
    RoundPractice,
    RoundTotal,
    Treatment,
)
from windowcast.terms.visit import Visit
from windowcast.terms.yard import Label, Yard
from windowcast.times import season_of

_WHOLE = 1.0 - 1e-6  # three thirds are a yard

Bound = tuple[date, str]


def treatment_of(visit: Visit, yard: Yard) -> Treatment:
    """What a visit did to its yard, as a share of the colonies.

    Parameters
    ----------
    visit
        A visit of the book.
    yard
        The yard as it stands in the list of yards.

    Returns
    -------
    Treatment
        The whole yard where colonies were not counted, or a person said that it is whole.

    Notes
    -----
    Rule of this project: see ``Visit.share_of``. The count of the day holds, so that a change of
    the list changes no season gone by.
    """
    return Treatment(
        yard_key=visit.yard_key,
        day=visit.day,
        round_no=visit.round_no,
        done_frac=visit.share_of(yard.colonies),
    )


def rounds_due(
    todays: Mapping[str, date],
    treatments: Iterable[Treatment],
    practice: RoundPractice,
    label: Label,
) -> tuple[RoundDue, ...]:
    """The next round of every yard.

    Parameters
    ----------
    todays
        Today on the calendar of each yard, by its key.
    treatments
        What was treated, in any order; also of yards that are not asked for, and of seasons past.
    practice
        Gaps and number of rounds.
    label
        The owner's reading of the label.

    Returns
    -------
    tuple of RoundDue
        In the order of ``todays``.

    Notes
    -----
    Rule of this project: see ``round_due``.
    """
    by_yard: dict[str, list[Treatment]] = {key: [] for key in todays}
    for item in treatments:
        if item.yard_key in by_yard:
            by_yard[item.yard_key].append(item)
    return tuple(
        round_due(key, by_yard[key], today, practice, label) for key, today in todays.items()
    )


def round_due(
    yard_key: str,
    treatments: Sequence[Treatment],
    today: date,
    practice: RoundPractice,
    label: Label,
) -> RoundDue:
    """The next round of one yard: which, from when, until when, and whether it is overdue.

    Parameters
    ----------
    yard_key
        Key of the yard; treatments of other yards are left out.
    treatments
        What was treated, in any order; seasons past count for gaps and for the label's year.
    today
        Today on the yard's calendar; its season is the one that is asked for.
    practice
        Gaps and number of rounds.
    label
        The owner's reading of the label.

    Returns
    -------
    RoundDue
        Dates on the yard's calendar.

    Notes
    -----
    Rule of this project. Due is the round after the highest that the whole yard has; a round
    beyond the planned ones is never due. *Earliest*: the least gap after the last visit of any
    other round, since a colony of that visit may be met again. The label overrides: its least
    days where they are more, and where so many applications fall into twelve months as it allows,
    a year after the first of them (the strictest reading of "per year"; a round is one
    application). *Latest*: the most gap after the first visit of the round before. A round that
    is begun and is followed by another is to be finished in max_gap - min_gap days, so that the
    whole yard fits into the next. Where that day comes before the earliest, the latest is as many
    days after the earliest. The first round of a season
    has no latest day: the calendar does not know when brood begins.
    """
    mine = [item for item in treatments if item.yard_key == yard_key]
    season = [item for item in mine if season_of(item.day) == season_of(today)]
    due_no = max(_whole_rounds(season), default=0) + 1
    if due_no > practice.planned:
        return RoundDue(yard_key=yard_key, state=ALL_DONE)
    own = [item for item in season if item.round_no == due_no]
    gap_d = max(practice.min_gap_d, label.min_days_between or 0)
    earliest = _earliest([item for item in mine if item not in own], gap_d, practice, label)
    latest = _latest(season, due_no, practice)
    if earliest and latest and latest < earliest[0]:
        latest = earliest[0] + timedelta(days=practice.spare_d)
    late = latest is not None and today > latest
    waiting = earliest is not None and today < earliest[0]
    return RoundDue(
        yard_key=yard_key,
        state=OVERDUE if late else WAITING if waiting else OPEN,
        round_no=due_no,
        done_frac=min(sum(item.done_frac for item in own), 1.0),
        earliest=earliest[0] if earliest else None,
        latest=latest,
        held_by=earliest[1] if earliest else None,
        overdue_since=latest + timedelta(days=1) if latest and late else None,
    )


def is_due_on(due: RoundDue | None, day: date) -> bool:
    """Whether the next round of a yard may be done on a day by the calendar.

    Parameters
    ----------
    due
        The next round, None where nobody asked the calendar.
    day
        A day of the yard's calendar.

    Returns
    -------
    bool
        True also where the round is overdue.

    Notes
    -----
    Rule of this project: from the earliest day on. The latest day calls for haste and closes
    nothing, since a late round is better than none.
    """
    if due is None:
        return True
    return due.state != ALL_DONE and (due.earliest is None or day >= due.earliest)


def season_totals(
    yard_keys: Collection[str],
    treatments: Iterable[Treatment],
    season: int,
    practice: RoundPractice,
) -> tuple[RoundTotal, ...]:
    """How many yards have each round of a season.

    Parameters
    ----------
    yard_keys
        Yards of the outfit; treatments of others are left out.
    treatments
        What was treated, in any order, also in other seasons.
    season
        The year in which the season began.
    practice
        Number of rounds.

    Returns
    -------
    tuple of RoundTotal
        The planned rounds, and those beyond that somebody has begun.

    Notes
    -----
    Rule of this project: booked is what was booked. A yard with a second round and no first is
    missing from the first, and a yard of which a share is treated is begun and not done.
    """
    wanted = set(yard_keys)
    shares = _shares(
        (item.yard_key, item.round_no, item.done_frac)
        for item in treatments
        if item.yard_key in wanted and season_of(item.day) == season
    )
    last = max((round_no for _, round_no in shares), default=0)
    done = Counter(round_no for (_, round_no), share in shares.items() if share >= _WHOLE)
    begun = Counter(round_no for (_, round_no), share in shares.items() if share < _WHOLE)
    return tuple(
        RoundTotal(round_no=no, done=done[no], begun=begun[no], yards=len(wanted))
        for no in range(1, max(last, practice.planned) + 1)
    )


def _whole_rounds(season: Iterable[Treatment]) -> list[int]:
    shares = _shares((item.yard_key, item.round_no, item.done_frac) for item in season)
    return [round_no for (_, round_no), share in shares.items() if share >= _WHOLE]


def _shares(parts: Iterable[tuple[str, int, float]]) -> Mapping[tuple[str, int], float]:
    """Share of each yard that has each round."""
    shares: dict[tuple[str, int], float] = {}
    for yard_key, round_no, done_frac in parts:
        shares[yard_key, round_no] = shares.get((yard_key, round_no), 0.0) + done_frac
    return shares


def _earliest(
    others: Sequence[Treatment], gap_d: int, practice: RoundPractice, label: Label
) -> Bound | None:
    """The first day that every limit allows, and the limit that set it."""
    if not others:
        return None
    by_label = gap_d > practice.min_gap_d
    after_last = max(item.day for item in others) + timedelta(days=gap_d)
    bounds = [(after_last, HELD_BY_LABEL_DAYS if by_label else HELD_BY_GAP)]
    most = label.max_applications_per_year
    applied = _applications(others)
    if most is not None and len(applied) >= most:
        bounds.append((_year_later(applied[most - 1]), HELD_BY_LABEL_YEAR))
    return max(bounds, key=lambda bound: bound[0])


def _latest(season: Sequence[Treatment], due_no: int, practice: RoundPractice) -> date | None:
    before = [item.day for item in season if item.round_no == due_no - 1]
    own = [item.day for item in season if item.round_no == due_no]
    limits = [min(before) + timedelta(days=practice.max_gap_d)] if before else []
    if own and due_no < practice.planned:
        limits.append(min(own) + timedelta(days=practice.spare_d))
    return min(limits, default=None)


def _applications(treatments: Iterable[Treatment]) -> list[date]:
    """The last day of every round of every season, newest first."""
    last: dict[tuple[int, int], date] = {}
    for item in treatments:
        application = season_of(item.day), item.round_no
        last[application] = max(last.get(application, item.day), item.day)
    return sorted(last.values(), reverse=True)


def _year_later(day: date) -> date:
    """The same date a year on; 1 March for 29 February."""
    if (day.month, day.day) == (2, 29):
        return date(day.year + 1, 3, 1)
    return day.replace(year=day.year + 1)
