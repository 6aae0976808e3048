"""All that the book's counts of mites say, yard by yard."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from windowcast.science.colony.counting import (
    ENDLESS,
    impossible_washes,
    mite_counts,
    round_spans,
)
from windowcast.science.colony.record import YardRecord
from windowcast.science.colony.results import round_results
from windowcast.science.colony.sampling import colonies_for_error, colonies_to_wash
from windowcast.terms.mites import (
    BOARD,
    METHODS,
    WASH,
    MiteCount,
    MitePractice,
    RoundSpan,
    YardMites,
)
from windowcast.terms.report import Report
from windowcast.terms.visit import Visit
from windowcast.terms.yard import Yard
from windowcast.times import local_date


@dataclass(frozen=True, slots=True, kw_only=True)
class MiteBook:
    """What the book holds of some yards, and the zone of each by its key."""

    yards: Sequence[Yard]
    zones: Mapping[str, str]
    reports: Sequence[Report]
    visits: Sequence[Visit]


Entry = tuple[Yard, tuple[MiteCount, ...], tuple[RoundSpan, ...]]


def mites_of_yards(book: MiteBook, practice: MitePractice, since: date) -> tuple[YardMites, ...]:
    """What the counts of every yard say.

    Parameters
    ----------
    book
        Yards with their zones, and all reports and visits.
    practice
        Which counts belong together, and to a round.
    since
        Counts and rounds before this day of the yard's calendar are passed over.

    Returns
    -------
    tuple of YardMites
        In the order of the yards; those without a count are left out.

    Notes
    -----
    Rule of this project: the last count of each method is the level of a yard. Rounds before
    ``since`` still say which counts follow too soon on one.
    """
    entries = [_entry(book, yard, practice, since) for yard in book.yards]
    found = [_yard_mites(entry, entries, practice, since) for entry in entries]
    whole = [
        replace(mites, refused=impossible_washes(_own(book, yard, since)))
        for mites, yard in zip(found, book.yards, strict=True)
    ]
    return tuple(mites for mites in whole if _says_something(mites))


def _says_something(mites: YardMites) -> bool:
    return bool(mites.wash or mites.board or mites.refused)


def next_washes(wash: MiteCount | None, colonies: int, practice: MitePractice) -> tuple[int, bool]:
    """How many colonies of a yard to wash next, and whether the last washes told it.

    Parameters
    ----------
    wash
        The last washes of the yard, if any.
    colonies
        Colonies in the yard, 0 where the list does not tell.
    practice
        The standard error that is wanted.

    Returns
    -------
    int
        Colonies, 300 bees from each.
    bool
        True where the spread between colonies of the last washes was used.

    Notes
    -----
    Rule of this project: ``sampling.colonies_for_error`` with the spread of the last washes; where
    they show none, the usual number of ``sampling.colonies_to_wash``. A spread of fewer colonies
    than that is too unsure to wash fewer for it.
    """
    usual = colonies_to_wash(colonies or ENDLESS)
    if wash is None or not wash.spread or not wash.mean > 0:
        return usual, False
    spread = wash.spread / wash.mean
    wanted = colonies_for_error(spread, practice.error_frac, colonies or None)
    sure = wanted >= usual or wash.counted >= usual
    return (wanted, True) if sure else (usual, False)


def _own(book: MiteBook, yard: Yard, since: date) -> list[Report]:
    tz = book.zones[yard.key]
    mine = [report for report in book.reports if report.yard_key == yard.key]
    return [report for report in mine if local_date(report.at, tz) >= since]


def _entry(book: MiteBook, yard: Yard, practice: MitePractice, since: date) -> Entry:
    visits = [visit for visit in book.visits if visit.yard_key == yard.key]
    days = [visit.day for visit in visits]
    own = _own(book, yard, since)
    counts = mite_counts(own, yard, book.zones[yard.key], days, practice)
    return yard, counts, round_spans(visits, yard.colonies)


def _record(entry: Entry, method: str) -> YardRecord:
    yard, counts, spans = entry
    kept = tuple(count for count in counts if count.method == method)
    return YardRecord(yard_key=yard.key, counts=kept, spans=spans)


def _yard_mites(
    entry: Entry, entries: Sequence[Entry], practice: MitePractice, since: date
) -> YardMites:
    yard, counts, spans = entry
    rivals = [other for other in entries if other is not entry]
    found = [
        round_results(
            _record(entry, method), [_record(rival, method) for rival in rivals], practice
        )
        for method in METHODS
    ]
    results = tuple(result for some, _ in found for result in some)
    told = {span for result in results for span in result.rounds}
    last = {count.method: count for count in counts}
    to_wash, by_spread = next_washes(last.get(WASH), yard.colonies, practice)
    return YardMites(
        yard_key=yard.key,
        colonies=yard.colonies,
        wash=last.get(WASH),
        board=last.get(BOARD),
        results=results,
        unused=tuple(item for _, some in found for item in some),
        silent=tuple(s for s in spans if s not in told and s.last_day >= since),
        to_wash=to_wash,
        by_spread=by_spread,
    )
