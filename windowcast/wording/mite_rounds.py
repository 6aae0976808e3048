"""What rounds did to mites, in sentences that claim no more than the counts do."""

from __future__ import annotations

from collections.abc import Iterator

from windowcast.terms.mites import (
    ABBOTT,
    HENDERSON_TILTON,
    WASH,
    MiteCount,
    RoundResult,
    RoundSpan,
)
from windowcast.wording import clock
from windowcast.wording.plain import clean, joined

_DECIMALS = 1


def method_word(count: MiteCount) -> str:
    """What was counted, as "wash", "washes", "board" or "boards"."""
    if count.method == WASH:
        return "wash" if count.counted == 1 else "washes"
    return "board" if count.counted == 1 else "boards"


def days_of(count: MiteCount) -> str:
    """The day of a count, or its first and last."""
    first, last = clock.day_words(count.first_day), clock.day_words(count.last_day)
    return first if count.first_day == count.last_day else f"{first} to {last}"


def level(value: float, method: str) -> str:
    """A level in the unit of its method: "0.8 %" of a wash, "3.5 a day" of a board."""
    if method == WASH:
        return percent(value)
    return f"{round(value, _DECIMALS) + 0.0:.{_DECIMALS}f} a day"


def percent(frac: float) -> str:
    """A share in percent, to a tenth."""
    return f"{round(frac * 100, _DECIMALS) + 0.0:.{_DECIMALS}f} %"


def result_sentences(result: RoundResult, colonies: int) -> Iterator[str]:
    """The sentences of one result; ``colonies`` are those of the yard, 0 "not told"."""
    yield f"{rounds_words(result.rounds)}, by {method_word(result.after)}: {_gist(result)}."
    yield f"{_counted(result)}."
    for span in result.rounds:
        if span.treated is not None and span.treated < colonies:
            part = f"only {span.treated} of {colonies} colonies"
            yield f"Round {span.round_no} treated {part}; the fall is of the whole yard."


def rounds_words(spans: tuple[RoundSpan, ...]) -> str:
    """The rounds of a result: "Round 1, Sun 20 Dec" or "Rounds 1, Sun 20 Dec, and 2, Thu 7 Jan"."""
    told = [f"{span.round_no}, {clock.day_words(span.first_day)}" for span in spans]
    return f"Round {told[0]}" if len(told) == 1 else f"Rounds {', and '.join(told)}"


def _gist(result: RoundResult) -> str:
    if result.fall_frac is None:
        return "no mites before, so that nothing can be said"
    name = "observed reduction" if not result.controls else "efficacy"
    if result.bounds is None:
        found = f"too few to say; {name} as counted {percent(result.fall_frac)}"
    else:
        low, high = percent(result.bounds.low), percent(result.bounds.high)
        found = f"{name} {percent(result.fall_frac)} (from {low} to {high})"
    told = [found, _against(result)]
    if result.bounds is not None and result.bounds.low <= 0:
        told.append("that they did not fall at all is not ruled out")
    return "; ".join(told)


def _against(result: RoundResult) -> str:
    keys = joined([clean(key) for key in result.controls])
    if result.formula == HENDERSON_TILTON:
        return f"against {keys}, not treated in between (Henderson-Tilton)"
    if result.formula == ABBOTT:
        return (
            f"against {keys}, not treated, if both were alike before, which no count shows (Abbott)"
        )
    return "without an untreated yard this is no efficacy"


def _counted(result: RoundResult) -> str:
    after = f"after, {days_of(result.after)}, {level(result.after.mean, result.method)}"
    if result.before is None:
        return f"Counted {after}"
    before = f"before, {days_of(result.before)}, {level(result.before.mean, result.method)}"
    return f"Counted {before}; {after}"
