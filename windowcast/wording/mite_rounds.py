"""What rounds did to mites, in sentences that claim no more than the counts do."""

from __future__ import annotations

from collections.abc import Iterator

from windowcast.terms.mites import (
    ABBOTT,
    HENDERSON_TILTON,
    WASH,
    Control,
    MiteCount,
    RoundResult,
    RoundSpan,
)
from windowcast.wording import clock
from windowcast.wording.plain import clean, joined, plural

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


def result_sentences(result: RoundResult) -> Iterator[str]:
    """The sentences of one result."""
    yield f"{rounds_words(result.rounds)}, by {method_word(result.after)}: {_gist(result)}."
    yield f"Counted {_counts(result.before, result.after)}."
    for control in result.controls:
        yield f"Counted at {clean(control.yard_key)} {_counts(control.before, control.after)}."
    for control in result.one_sided:
        yield _no_control(control)
    if not all(span.is_whole for span in result.rounds):
        yield "The fall is of the whole yard, so that it is no efficacy."


def rounds_words(spans: tuple[RoundSpan, ...]) -> str:
    """The rounds of a result: "Round 1, Sun 20 Dec" or "Rounds 1, Sun 20 Dec, and 2, Thu 7 Jan"."""
    told = [f"{span.round_no}, {clock.day_words(span.first_day)}" for span in spans]
    return f"Round {told[0]}" if len(told) == 1 else f"Rounds {', and '.join(told)}"


def _gist(result: RoundResult) -> str:
    if result.fall_frac is None:
        return "no mites before, so that nothing can be said"
    name = "efficacy" if result.is_efficacy else "observed reduction"
    if result.bounds is None:
        found = f"too few to say; {name} as counted {percent(result.fall_frac)}"
    else:
        low, high = percent(result.bounds.low), percent(result.bounds.high)
        found = f"{name} {percent(result.fall_frac)} (from {low} to {high})"
    parts = joined([_part(span) for span in result.rounds if not span.is_whole])
    told = [f"{found} with {parts}" if parts else found, _against(result)]
    if result.bounds is not None and result.bounds.low <= 0:
        told.append("that they did not fall at all is not ruled out")
    return "; ".join(told)


def _part(span: RoundSpan) -> str:
    """How much of a yard a round treated: "1 of 24 colonies treated in round 1"."""
    share = f"{percent(span.done_frac)} of the yard"
    if span.treated is not None and span.of_colonies is not None:
        share = f"{span.treated} of {plural(span.of_colonies, 'colony', 'colonies')}"
    return f"{share} treated in round {span.round_no}"


def _against(result: RoundResult) -> str:
    keys = joined([clean(control.yard_key) for control in result.controls])
    if result.formula == HENDERSON_TILTON:
        return f"against {keys}, not treated in between (Henderson-Tilton)"
    if result.formula == ABBOTT:
        return (
            f"against {keys}, not treated, if both were alike before, which no count shows (Abbott)"
        )
    return "without an untreated yard this is no efficacy"


def _no_control(control: Control) -> str:
    """Why a yard that was counted at about the right time is no control."""
    days = days_of(control.after)
    side = "not after the treatment"
    if control.before is not None:
        days = f"{days_of(control.before)} and {days}"
        side = "not on both sides of the treatment"
    return f"{clean(control.yard_key)} is no control: it was counted {days}, {side}."


def _counts(before: MiteCount | None, after: MiteCount) -> str:
    told = f"after, {days_of(after)}, {level(after.mean, after.method)}"
    if before is None:
        return told
    return f"before, {days_of(before)}, {level(before.mean, before.method)}; {told}"
