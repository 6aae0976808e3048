"""What rounds did to the mites of yards, from counts before and after and from untreated yards."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from windowcast.science.colony.controls import Judged, controls_of
from windowcast.science.colony.efficacy import (
    abbott_frac,
    henderson_tilton_frac,
    observed_reduction_frac,
)
from windowcast.science.colony.ratios import mean_of, ratio_of
from windowcast.science.colony.record import YardRecord, rounds_between, too_soon, whole_days
from windowcast.terms.mites import (
    ABBOTT,
    HENDERSON_TILTON,
    LONG_BEFORE,
    OBSERVED,
    TOO_LATE,
    Control,
    Estimate,
    MiteCount,
    MitePractice,
    RoundResult,
    RoundSpan,
    UnusedCount,
)

Found = tuple[tuple[RoundResult, ...], tuple[UnusedCount, ...]]
Controls = tuple[Control, ...]


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
    follows too soon on an earlier round of its own, on the same sides of the treatment as those
    of the yard (``controls.controls_of``). Washes and boards are never mixed. A board that lay
    while a round was under way or soon after it counts mites that died and is not used.
    """
    usable = [count for count in own.counts if not too_soon(count, own.spans, practice)]
    results: list[RoundResult] = []
    unused = [item for count in own.counts for item in too_soon(count, own.spans, practice)]
    rivals = tuple(others)
    for at, after in enumerate(usable):
        before = usable[at - 1] if at else None
        spans = rounds_between(before, after, own.spans)
        if not spans:
            continue
        found = list(_far(before, after, spans, practice))
        unused += found
        whys = {item.why for item in found}
        if TOO_LATE in whys:
            continue
        near = None if LONG_BEFORE in whys else before
        result = _result(Judged(before=near, after=after, spans=spans), rivals, practice)
        results += [result] if result else []
    return tuple(results), tuple(unused)


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
    if before and ahead > whole_days(practice.before_to_h):
        yield UnusedCount(count=before, span=first, why=LONG_BEFORE, days=ahead)
    behind = (after.first_day - last.last_day).days
    if behind > whole_days(practice.after_to_h):
        yield UnusedCount(count=after, span=last, why=TOO_LATE, days=behind)


def _result(
    judged: Judged, rivals: Sequence[YardRecord], practice: MitePractice
) -> RoundResult | None:
    before, after = judged.before, judged.after
    controls, one_sided = controls_of(judged, rivals, practice)
    if before is None:
        return _by_abbott(judged, controls, one_sided) if controls else None
    if before.mean > 0 and controls:
        return _by_henderson_tilton(before, judged, controls, one_sided)
    fall = _fall(before, after)
    bounds = _left(_ratio(after, before)) if fall is not None else None
    return RoundResult(
        rounds=judged.spans, method=after.method, formula=OBSERVED, before=before, after=after,
        fall_frac=fall, bounds=bounds, one_sided=one_sided,
    )  # fmt: skip


def _fall(before: MiteCount, after: MiteCount) -> float | None:
    if not before.mean > 0:
        return None
    return observed_reduction_frac(before=before.mean, after=after.mean)


def _by_henderson_tilton(
    before: MiteCount, judged: Judged, controls: Controls, one_sided: Controls
) -> RoundResult:
    after = judged.after
    began = _mean([control.before for control in controls if control.before])
    ended = _mean([control.after for control in controls])
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
        rounds=judged.spans, method=after.method, formula=HENDERSON_TILTON, before=before,
        after=after, fall_frac=fall, bounds=_left(bounds), controls=controls, one_sided=one_sided,
    )  # fmt: skip


def _by_abbott(judged: Judged, controls: Controls, one_sided: Controls) -> RoundResult:
    """Abbott's formula against yards without a round of that season when they were counted."""
    after = judged.after
    value, bounds = _mean([control.after for control in controls])
    fall = abbott_frac(control_after=value, treated_after=after.mean)
    ratio = ratio_of(after.bounds, bounds) if after.bounds and bounds else None
    return RoundResult(
        rounds=judged.spans, method=after.method, formula=ABBOTT, before=None, after=after,
        fall_frac=fall, bounds=_left(ratio), controls=controls, one_sided=one_sided,
    )  # fmt: skip


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
