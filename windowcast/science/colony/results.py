"""What rounds did to the mites of yards, from counts before and after and from untreated yards."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from windowcast.science.colony.efficacy import (
    abbott_frac,
    henderson_tilton_frac,
    observed_reduction_frac,
)
from windowcast.science.colony.ratios import mean_of, ratio_of
from windowcast.terms.mites import (
    ABBOTT,
    HENDERSON_TILTON,
    LONG_BEFORE,
    OBSERVED,
    TOO_LATE,
    TOO_SOON,
    Estimate,
    MiteCount,
    MitePractice,
    RoundResult,
    RoundSpan,
    UnusedCount,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class YardRecord:
    """What the book holds of a yard: its counts of one method, by day, and its rounds."""

    yard_key: str
    counts: tuple[MiteCount, ...]
    spans: tuple[RoundSpan, ...]


Found = tuple[tuple[RoundResult, ...], tuple[UnusedCount, ...]]
Pair = tuple[MiteCount, MiteCount]


def round_results(own: YardRecord, others: Iterable[YardRecord], practice: MitePractice) -> Found:
    """What the rounds of a yard did, and which counts were not used for them.

    Parameters
    ----------
    own
        The yard.
    others
        The other yards, with counts of the same method: where one of them was not treated in
        between, it is a control.
    practice
        How near to a round its counts must be.

    Returns
    -------
    results
        One for each count after one or more rounds: with Henderson and Tilton's formula where the
        yard and a control were counted before and after, with Abbott's where the yard was counted
        only after, and the fall of its own mites where there is no control.
    unused
        Counts too soon or too late after a round, or long before it.

    Notes
    -----
    Rule of this project. Colonies of one yard cannot be told apart by treatment in the book, so
    that a control is a whole yard: one without a visit between its two counts, neither of which
    follows too soon on an earlier round of its own. Washes and boards are never mixed. A board
    that lay while a round was under way or soon after it counts mites that died and is not used.
    """
    usable = [count for count in own.counts if not _too_soon(count, own.spans, practice)]
    results: list[RoundResult] = []
    unused = [item for count in own.counts for item in _too_soon(count, own.spans, practice)]
    rivals = tuple(others)
    for at, after in enumerate(usable):
        before = usable[at - 1] if at else None
        spans = _between(before, after, own.spans)
        if not spans:
            continue
        found = list(_far(before, after, spans, practice))
        unused += found
        whys = {item.why for item in found}
        if TOO_LATE in whys:
            continue
        near = None if LONG_BEFORE in whys else before
        result = _result((near, after), spans, rivals, practice)
        results += [result] if result else []
    return tuple(results), tuple(unused)


def _days(hours: float) -> int:
    return int(hours // 24)


def _follows(count: MiteCount, span: RoundSpan) -> bool:
    """Whether a count is from after the beginning of a round; on its first day it is not."""
    return count.last_day > span.first_day


def _too_soon(
    count: MiteCount, spans: Sequence[RoundSpan], practice: MitePractice
) -> tuple[UnusedCount, ...]:
    """The last round on which a count follows too soon, if there is one."""
    before = [span for span in spans if _follows(count, span)]
    found = [
        UnusedCount(count=count, span=span, why=TOO_SOON, days=days)
        for span in before
        if (days := (count.first_day - span.last_day).days) < _days(practice.after_from_h)
    ]
    return tuple(found[-1:])


def _between(
    before: MiteCount | None, after: MiteCount, spans: Sequence[RoundSpan]
) -> tuple[RoundSpan, ...]:
    """The rounds between two counts; of the last season with one where there is none before."""
    found = [
        span for span in spans if _follows(after, span) and not (before and _follows(before, span))
    ]
    last = max((span.season for span in found), default=0)
    return tuple(span for span in found if before or span.season == last)


def _far(
    before: MiteCount | None,
    after: MiteCount,
    spans: Sequence[RoundSpan],
    practice: MitePractice,
) -> Iterator[UnusedCount]:
    """Counts that lie too far from the rounds between them."""
    first = min(spans, key=lambda span: span.first_day)
    last = max(spans, key=lambda span: span.last_day)
    ahead = (first.first_day - before.last_day).days if before else 0
    if before and ahead > _days(practice.before_to_h):
        yield UnusedCount(count=before, span=first, why=LONG_BEFORE, days=ahead)
    behind = (after.first_day - last.last_day).days
    if behind > _days(practice.after_to_h):
        yield UnusedCount(count=after, span=last, why=TOO_LATE, days=behind)


def _result(
    pair: tuple[MiteCount | None, MiteCount],
    spans: tuple[RoundSpan, ...],
    rivals: Sequence[YardRecord],
    practice: MitePractice,
) -> RoundResult | None:
    before, after = pair
    if before is None:
        return _by_abbott(after, spans, rivals, practice)
    controls = _controls(before, after, rivals, practice)
    if before.mean > 0 and controls:
        return _by_henderson_tilton(before, after, spans, controls)
    fall = _fall(before, after)
    bounds = _left(_ratio(after, before)) if fall is not None else None
    return RoundResult(
        rounds=spans, method=after.method, formula=OBSERVED, before=before, after=after,
        fall_frac=fall, bounds=bounds,
    )  # fmt: skip


def _fall(before: MiteCount, after: MiteCount) -> float | None:
    if not before.mean > 0:
        return None
    return observed_reduction_frac(before=before.mean, after=after.mean)


def _by_henderson_tilton(
    before: MiteCount,
    after: MiteCount,
    spans: tuple[RoundSpan, ...],
    controls: Mapping[str, Pair],
) -> RoundResult:
    began = _mean([pair[0] for pair in controls.values()])
    ended = _mean([pair[1] for pair in controls.values()])
    fall = henderson_tilton_frac(
        treated_before=before.mean,
        treated_after=after.mean,
        control_before=began[0],
        control_after=ended[0],
    )
    treated = _ratio(after, before)
    untreated = ratio_of(ended[1], began[1]) if began[1] and ended[1] else None
    bounds = ratio_of(treated, untreated) if treated and untreated else None
    return RoundResult(
        rounds=spans, method=after.method, formula=HENDERSON_TILTON, before=before, after=after,
        fall_frac=fall, bounds=_left(bounds), controls=tuple(controls),
    )  # fmt: skip


def _by_abbott(
    after: MiteCount,
    spans: tuple[RoundSpan, ...],
    rivals: Sequence[YardRecord],
    practice: MitePractice,
) -> RoundResult | None:
    """Abbott's formula against yards without a round of that season when they were counted."""
    controls = {
        rival.yard_key: count
        for rival in rivals
        if (count := _nearest(after, _untreated(rival, spans[0].season), practice))
        and count.mean > 0
    }
    if not controls:
        return None
    value, bounds = _mean(list(controls.values()))
    fall = abbott_frac(control_after=value, treated_after=after.mean)
    ratio = ratio_of(after.bounds, bounds) if after.bounds and bounds else None
    return RoundResult(
        rounds=spans, method=after.method, formula=ABBOTT, before=None, after=after,
        fall_frac=fall, bounds=_left(ratio), controls=tuple(controls),
    )  # fmt: skip


def _untreated(rival: YardRecord, season: int) -> list[MiteCount]:
    spans = [span for span in rival.spans if span.season == season]
    return [count for count in rival.counts if not any(_follows(count, s) for s in spans)]


def _controls(
    before: MiteCount, after: MiteCount, rivals: Sequence[YardRecord], practice: MitePractice
) -> dict[str, Pair]:
    """Yards that were counted with both counts and not treated in between."""
    found = {}
    for rival in rivals:
        usable = [c for c in rival.counts if not _too_soon(c, rival.spans, practice)]
        began = _nearest(before, usable, practice)
        ended = _nearest(after, usable, practice)
        if began is None or ended is None or not began.last_day < ended.first_day:
            continue
        if _between(began, ended, rival.spans) or not (began.mean > 0 and ended.mean > 0):
            continue
        found[rival.yard_key] = (began, ended)
    return found


def _nearest(
    count: MiteCount, candidates: Iterable[MiteCount], practice: MitePractice
) -> MiteCount | None:
    """The candidate whose day is nearest to that of a count, if any is near enough."""
    apart = {candidate: abs((candidate.last_day - count.last_day).days) for candidate in candidates}
    near = [item for item in apart.items() if item[1] <= _days(practice.control_within_h)]
    return min(near, key=lambda item: (item[1], item[0].last_day))[0] if near else None


def _mean(counts: Sequence[MiteCount]) -> tuple[float, Estimate | None]:
    """Mean of some counts, and the same with bounds where each of them has some."""
    bounds = [count.bounds for count in counts if count.bounds is not None]
    value = sum(count.mean for count in counts) / len(counts)
    return value, mean_of(bounds) if len(bounds) == len(counts) else None


def _ratio(after: MiteCount, before: MiteCount) -> Estimate | None:
    return ratio_of(after.bounds, before.bounds) if after.bounds and before.bounds else None


def _left(ratio: Estimate | None) -> Estimate | None:
    """What has gone where so much is left; None where nothing bounds it on one side."""
    if ratio is None or ratio.high == float("inf"):
        return None
    return Estimate(value=1.0 - ratio.value, low=1.0 - ratio.high, high=1.0 - ratio.low)
