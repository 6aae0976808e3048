"""Which untreated yards the counts of a treated one are held against."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from windowcast.science.colony.record import (
    YardRecord,
    follows,
    rounds_between,
    too_soon,
    whole_days,
)
from windowcast.terms.mites import Control, MiteCount, MitePractice, RoundSpan


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """The counts of a treated yard, the earlier None if there is none, and the rounds between."""

    before: MiteCount | None
    after: MiteCount
    spans: tuple[RoundSpan, ...]


Sides = tuple[tuple[Control, ...], tuple[Control, ...]]


def controls_of(judged: Judged, rivals: Iterable[YardRecord], practice: MitePractice) -> Sides:
    """Yards that were counted when a treated one was, and not treated.

    Parameters
    ----------
    judged
        The treated yard.
    rivals
        The other yards, with counts of the same method.
    practice
        How near to those of the treated yard the counts of a control must be.

    Returns
    -------
    controls
        Where the treated yard has an earlier count, yards with a count near each of the two and no
        visit in between; else yards without a round of that season that were counted near the
        later one. None of their counts is without mites, and none follows too soon on a round of
        their own.
    one_sided
        Yards that would be controls, had they been counted on the same sides of the treatment.

    Notes
    -----
    Rule of this project. The earlier count of a control is from the first day of the treatment at
    the latest, and the later one begins after its last day: mites multiply, so that a control that
    was counted twice after it tells of other days than those in which the treated mites fell.
    """
    controls: list[Control] = []
    one_sided: list[Control] = []
    for rival in rivals:
        usable = list(_usable(judged, rival, practice))
        found = _control(judged, rival, _ahead(judged, usable), _behind(judged, usable), practice)
        if found:
            controls.append(found)
        elif found := _control(judged, rival, usable, usable, practice):
            one_sided.append(found)
    return tuple(controls), tuple(one_sided)


def _usable(judged: Judged, rival: YardRecord, practice: MitePractice) -> Iterator[MiteCount]:
    """Counts of a rival that tell of its untreated mites; for Abbott, of its whole season."""
    season = judged.spans[0].season
    spans = [span for span in rival.spans if span.season == season]
    for count in rival.counts:
        if judged.before and not too_soon(count, rival.spans, practice):
            yield count
        if not judged.before and not any(follows(count, span) for span in spans):
            yield count


def _ahead(judged: Judged, counts: Iterable[MiteCount]) -> list[MiteCount]:
    first_day = min(span.first_day for span in judged.spans)
    return [count for count in counts if count.last_day <= first_day]


def _behind(judged: Judged, counts: Iterable[MiteCount]) -> list[MiteCount]:
    last_day = max(span.last_day for span in judged.spans)
    return [count for count in counts if count.first_day > last_day]


def _control(
    judged: Judged,
    rival: YardRecord,
    ahead: Sequence[MiteCount],
    behind: Sequence[MiteCount],
    practice: MitePractice,
) -> Control | None:
    """The rival with its counts nearest to those of the treated yard, if they make a control."""
    ended = _nearest(judged.after, behind, practice)
    if ended is None or not ended.mean > 0:
        return None
    if judged.before is None:
        return Control(yard_key=rival.yard_key, before=None, after=ended)
    began = _nearest(judged.before, ahead, practice)
    if began is None or not began.mean > 0 or not began.last_day < ended.first_day:
        return None
    if rounds_between(began, ended, rival.spans):
        return None
    return Control(yard_key=rival.yard_key, before=began, after=ended)


def _nearest(
    count: MiteCount, candidates: Iterable[MiteCount], practice: MitePractice
) -> MiteCount | None:
    """The candidate whose day is nearest to that of a count, if any is near enough."""
    apart = {candidate: abs((candidate.last_day - count.last_day).days) for candidate in candidates}
    near = [item for item in apart.items() if item[1] <= whole_days(practice.control_within_h)]
    return min(near, key=lambda item: (item[1], item[0].last_day))[0] if near else None
