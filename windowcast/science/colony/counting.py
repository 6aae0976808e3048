"""Reports of a yard as counts: which washes and boards belong together, and what they come to."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from windowcast.science.colony.boards import yard_fall
from windowcast.science.colony.counts import wilson_interval
from windowcast.science.colony.yards import yard_mean
from windowcast.terms.counts import Interval
from windowcast.terms.mites import BOARD, WASH, Estimate, MiteCount, MitePractice, RoundSpan
from windowcast.terms.report import MiteBoard, MiteWash, Report
from windowcast.terms.visit import Visit
from windowcast.terms.yard import Yard
from windowcast.times import local_date, season_of

# A yard whose colonies nobody counted is taken to have no end: its bounds are wider for it.
ENDLESS = 100_000


@dataclass(frozen=True, slots=True, kw_only=True)
class DatedSight:
    """A wash or board of a report on the days of its yard: a board begins where it was put in."""

    report: Report
    seen: MiteWash | MiteBoard
    first_day: date
    last_day: date


def mite_counts(
    reports: Iterable[Report],
    yard: Yard,
    tz: str,
    treated: Sequence[date],
    practice: MitePractice,
) -> tuple[MiteCount, ...]:
    """The counts of a yard, washes and boards apart, by their last day.

    Parameters
    ----------
    reports
        Reports of that yard; others than washes and boards are passed over, and washes with more
        mites than bees.
    yard
        The yard as it stands in the list of yards.
    tz
        Zone of the yard.
    treated
        Days on which the yard was treated: what was counted on both sides of one is two counts.
    practice
        How far apart in time sights of one count may lie.

    Returns
    -------
    tuple of MiteCount
        Means with bounds, as far as there are any.

    Notes
    -----
    Rule of this project: a count begins with a sight and takes in those of the next days. Of a
    named colony the last sight of a count holds; each without a name is of another colony. What
    was counted on the day of a treatment is taken to be from before it.
    """
    told = [_dated(report, tz) for report in sorted(reports, key=lambda r: (r.at, r.number or 0))]
    sights = [item for item in told if item is not None]
    counts = [
        _count(group, yard)
        for kind in (MiteWash, MiteBoard)
        for group in _groups([s for s in sights if isinstance(s.seen, kind)], treated, practice)
    ]
    return tuple(sorted(counts, key=lambda count: (count.last_day, count.method)))


def impossible_washes(reports: Iterable[Report]) -> tuple[int, ...]:
    """Numbers of the reports of washes with more mites than bees.

    Parameters
    ----------
    reports
        Reports of the book.

    Returns
    -------
    tuple of int
        In the order of the reports.

    Notes
    -----
    Rule of this project: see ``counts.wash_frac``. They are named and not used.
    """
    return tuple(
        report.number or 0
        for report in reports
        if isinstance(report.seen, MiteWash) and report.seen.mites > report.seen.bees
    )


def round_spans(visits: Iterable[Visit], listed: int = 0) -> tuple[RoundSpan, ...]:
    """The rounds of one yard as they were done, by their first day.

    Parameters
    ----------
    visits
        Visits of that yard, in any order.
    listed
        Colonies in the yard as it stands in the list, 0 where the list does not tell; for visits
        that do not tell how many there were.

    Returns
    -------
    tuple of RoundSpan
        One for each season and number of a round.

    Notes
    -----
    Rule of this project: all visits of a season with the same number are one round, from the
    first to the last, and their shares add up.
    """
    by_round: dict[tuple[int, int], list[Visit]] = {}
    for visit in visits:
        by_round.setdefault((season_of(visit.day), visit.round_no), []).append(visit)
    spans = [_span(season, number, some, listed) for (season, number), some in by_round.items()]
    return tuple(sorted(spans, key=lambda span: (span.first_day, span.round_no)))


def _span(season: int, round_no: int, visits: Sequence[Visit], listed: int) -> RoundSpan:
    counted = [visit.colonies for visit in visits]
    told = [count for count in counted if count is not None]
    there = {visit.of_colonies or listed for visit in visits}
    return RoundSpan(
        yard_key=visits[0].yard_key,
        season=season,
        round_no=round_no,
        first_day=min(visit.day for visit in visits),
        last_day=max(visit.day for visit in visits),
        treated=sum(told) if len(told) == len(counted) else None,
        of_colonies=(max(there) or None) if len(there) == 1 else None,
        done_frac=min(sum(visit.share_of(listed) for visit in visits), 1.0),
    )


def _dated(report: Report, tz: str) -> DatedSight | None:
    seen, last = report.seen, local_date(report.at, tz)
    if isinstance(seen, MiteWash) and seen.mites <= seen.bees:
        return DatedSight(report=report, seen=seen, first_day=last, last_day=last)
    if isinstance(seen, MiteBoard):
        first = local_date(report.at - timedelta(days=seen.over_d), tz)
        return DatedSight(report=report, seen=seen, first_day=first, last_day=last)
    return None


def _groups(
    sights: Sequence[DatedSight], treated: Sequence[date], practice: MitePractice
) -> list[list[DatedSight]]:
    groups: list[list[DatedSight]] = []
    for sight in sights:
        if groups and _belongs(sight, groups[-1], treated, practice):
            groups[-1].append(sight)
        else:
            groups.append([sight])
    return groups


def _belongs(
    sight: DatedSight, group: Sequence[DatedSight], treated: Sequence[date], practice: MitePractice
) -> bool:
    apart = sight.last_day - group[0].last_day
    split = any(group[-1].last_day <= day < sight.last_day for day in treated)
    return apart <= timedelta(hours=practice.together_h) and not split


def _count(group: Sequence[DatedSight], yard: Yard) -> MiteCount:
    """The count of a group: the last sight of each named colony, and all without a name."""
    last = {item.seen.colony or f"\n{at}": item for at, item in enumerate(group)}
    sights = list(last.values())
    washes = [item.seen for item in sights if isinstance(item.seen, MiteWash)]
    boards = [item.seen for item in sights if isinstance(item.seen, MiteBoard)]
    known = yard.colonies >= len(sights)
    colonies = yard.colonies if known else ENDLESS
    told = _of_washes(washes, colonies) if washes else _of_boards(boards, colonies)
    mean, spread, bounds, alone = told
    return MiteCount(
        yard_key=yard.key,
        method=WASH if washes else BOARD,
        first_day=min(item.first_day for item in sights),
        last_day=max(item.last_day for item in sights),
        counted=len(sights),
        colonies=yard.colonies if known else None,
        mean=mean,
        spread=spread,
        bounds=bounds,
        alone=alone,
    )


_Told = tuple[float, float | None, Estimate | None, Estimate | None]


def _of_washes(washes: Sequence[MiteWash], colonies: int) -> _Told:
    level = yard_mean(washes, colonies)
    if level.interval is None:
        return level.rate_frac, None, None, _around(level.rate_frac, wilson_interval(washes[0]))
    return level.rate_frac, level.spread_frac, _around(level.rate_frac, level.interval), None


def _around(rate_frac: float, interval: Interval) -> Estimate:
    low, high = min(interval.low_frac, rate_frac), max(interval.high_frac, rate_frac)
    return Estimate(value=rate_frac, low=low, high=high)


def _of_boards(boards: Sequence[MiteBoard], colonies: int) -> _Told:
    fall = yard_fall(boards, colonies)
    return fall.mites_per_day, fall.spread_per_day, fall.bounds, None
