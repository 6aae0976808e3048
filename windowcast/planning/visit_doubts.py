"""What is odd about a visit before it is booked, and which round it is of."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta

from windowcast.planning.rounds import round_due, treatment_of
from windowcast.terms.doubt import (
    BACKWARDS,
    BEYOND,
    GRAMS,
    MORE,
    SKIPPED,
    TWICE,
    WHOLE,
    Doubt,
    RoundMeant,
)
from windowcast.terms.rounds import (
    HELD_BY_GAP,
    HELD_BY_LABEL_DAYS,
    HELD_BY_LABEL_YEAR,
    RoundPractice,
)
from windowcast.terms.visit import HIVE_KINDS, Visit
from windowcast.terms.yard import Label, Yard
from windowcast.times import season_of

_WHOLE = 1.0 - 1e-6  # three thirds are a yard

# What the label calls one hive of a kind.
_ONE_OF = {"doubles": "double", "singles": "single", "nucs": "nuc", "nucs_above": "nuc_above"}


def round_meant(
    yard: Yard, day: date, booked: Iterable[Visit], practice: RoundPractice, label: Label
) -> RoundMeant:
    """The round that a visit is of when nobody says.

    Parameters
    ----------
    yard
        The yard as it stands in the list of yards.
    day
        Day of the visit on the yard's calendar.
    booked
        Visits of the book, in any order, also of other yards and seasons.
    practice
        Gaps and number of rounds.
    label
        The owner's reading of the label.

    Returns
    -------
    RoundMeant
        The round, or why a person must say.

    Notes
    -----
    Rule of this project: the round that is due that day, since that is what a crew drives out for.
    A visit that is booked late, with another one of its season done after it, may be of any round.
    """
    mine = [visit for visit in booked if visit.yard_key == yard.key]
    later = [
        visit.day for visit in mine if visit.day > day and season_of(visit.day) == season_of(day)
    ]
    if later:
        return RoundMeant(round_no=None, later=min(later))
    treatments = [treatment_of(visit, yard) for visit in mine]
    return RoundMeant(round_no=round_due(yard.key, treatments, day, practice, label).round_no)


def done_frac(yard: Yard, visit: Visit, booked: Iterable[Visit]) -> float:
    """Share of a yard that has the round of a visit, that visit included.

    Parameters
    ----------
    yard
        The yard as it stands in the list of yards.
    visit
        A visit to it.
    booked
        The other visits of the book, in any order, also of other yards and seasons.

    Returns
    -------
    float
        From 0 to 1.

    Notes
    -----
    Rule of this project: the shares of the visits of one round and one season add up.
    """
    own = [
        item
        for item in booked
        if (item.yard_key, item.round_no, season_of(item.day))
        == (visit.yard_key, visit.round_no, season_of(visit.day))
    ]
    return min(sum(treatment_of(item, yard).done_frac for item in (*own, visit)), 1.0)


def visit_doubts(
    visit: Visit, yard: Yard, booked: Iterable[Visit], practice: RoundPractice, label: Label
) -> tuple[Doubt, ...]:
    """All that is odd about a visit before it is booked.

    Parameters
    ----------
    visit
        The visit that a person wants to book.
    yard
        Its yard as it stands in the list of yards.
    booked
        Visits of the book, in any order, also of other yards and seasons.
    practice
        Gaps and number of rounds.
    label
        The owner's reading of the label.

    Returns
    -------
    tuple of Doubt
        None where the visit fits.

    Notes
    -----
    Rule of this project. A doubt is asked about and never refused: what was done was done, and a
    record that may not be written is a record that is missing. Gaps are asked for towards every
    other round, before and after the visit, as in ``rounds.round_due``; so is the label's number
    of applications in any twelve months that hold the day, a round being one application.
    Colonies add up over the visits of a round. A yard without counts cannot have too many. Grams
    are held against the label's greatest per brood chamber, where it names that and the chambers.
    """
    mine = [item for item in booked if item.yard_key == visit.yard_key]
    season = [item for item in mine if season_of(item.day) == season_of(visit.day)]
    own = [item for item in season if item.round_no == visit.round_no]
    others = [item for item in mine if item not in own]
    return (
        *_twice(visit, own),
        *_too_many(visit, yard, own),
        *_too_much(visit, label),
        *_out_of_order(visit, season, practice),
        *_too_near(visit, others, practice, label),
        *_over_label(visit, others, label),
    )


def _twice(visit: Visit, own: Sequence[Visit]) -> Iterator[Doubt]:
    """Visits of the same day and round whose colonies may be the same."""
    kinds = {item.kind for item in visit.treated}
    for other in own:
        shared = kinds & {item.kind for item in other.treated}
        if other.day == visit.day and (shared or not kinds or not other.treated):
            yield Doubt(code=TWICE, other=other)


def _too_many(visit: Visit, yard: Yard, own: Sequence[Visit]) -> Iterator[Doubt]:
    if own and sum(treatment_of(item, yard).done_frac for item in own) >= _WHOLE:
        yield Doubt(code=WHOLE, other=max(own, key=lambda item: item.day))
    elif yard.colonies:
        with_this = Counter[str]()
        for item in (*own, visit):
            with_this.update({part.kind: part.colonies for part in item.treated})
        for kind in HIVE_KINDS:
            there = getattr(yard, kind)
            if with_this[kind] > there and kind in {part.kind for part in visit.treated}:
                yield Doubt(code=MORE, kind=kind, count=with_this[kind], limit=there)


def _too_much(visit: Visit, label: Label) -> Iterator[Doubt]:
    """Kinds with more grams than the label names for their chambers, where it names both."""
    chambers = dict(label.chambers)
    for item in visit.treated:
        of_one = chambers.get(_ONE_OF[item.kind])
        if item.acid_g is None or of_one is None or label.max_g_per_chamber is None:
            continue
        if item.acid_g * _WHOLE > label.max_g_per_chamber * of_one * item.colonies:
            yield Doubt(code=GRAMS, kind=item.kind, count=item.colonies)


def _out_of_order(
    visit: Visit, season: Sequence[Visit], practice: RoundPractice
) -> Iterator[Doubt]:
    if visit.round_no > practice.planned:
        yield Doubt(code=BEYOND, count=visit.round_no, limit=practice.planned)
    before = visit.round_no - 1
    if before and before not in {item.round_no for item in season if item.day <= visit.day}:
        yield Doubt(code=SKIPPED, count=before)
    further = [i for i in season if i.round_no > visit.round_no and i.day <= visit.day]
    if further:
        yield Doubt(code=BACKWARDS, other=min(further, key=lambda item: item.day))


def _too_near(
    visit: Visit, others: Sequence[Visit], practice: RoundPractice, label: Label
) -> Iterator[Doubt]:
    """The nearest visits of other rounds on both sides, where they are nearer than the gap."""
    gap_d = max(practice.min_gap_d, label.min_days_between or 0)
    code = HELD_BY_LABEL_DAYS if gap_d > practice.min_gap_d else HELD_BY_GAP
    before = [item for item in others if item.day <= visit.day]
    after = [item for item in others if item.day > visit.day]
    nearest = [max(before, key=_day)] if before else []
    nearest += [min(after, key=_day)] if after else []
    for other in nearest:
        days = abs((visit.day - other.day).days)
        if days < gap_d:
            fine_from = None if after else other.day + timedelta(days=gap_d)
            yield Doubt(code=code, other=other, count=days, limit=gap_d, fine_from=fine_from)


def _day(visit: Visit) -> date:
    return visit.day


def _over_label(visit: Visit, others: Sequence[Visit], label: Label) -> Iterator[Doubt]:
    most = label.max_applications_per_year
    if most is None:
        return
    last: dict[tuple[int, int], date] = {}
    for item in others:
        application = season_of(item.day), item.round_no
        last[application] = max(last.get(application, item.day), item.day)
    days = sorted([*last.values(), visit.day])
    spans = [span for span in zip(days, days[most:], strict=False) if _holds(span, visit.day)]
    if spans:
        ahead = any(day > visit.day for day in days)
        fine_from = None if ahead else _year_later(days[-1 - most])
        yield Doubt(code=HELD_BY_LABEL_YEAR, count=most + 1, limit=most, fine_from=fine_from)


def _holds(span: tuple[date, date], day: date) -> bool:
    """Whether a span is shorter than a year and holds a day."""
    first, last = span
    return first <= day <= last < _year_later(first)


def _year_later(day: date) -> date:
    """The same date a year on; 1 March for 29 February."""
    if (day.month, day.day) == (2, 29):
        return date(day.year + 1, 3, 1)
    return day.replace(year=day.year + 1)
