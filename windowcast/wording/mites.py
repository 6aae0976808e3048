"""What counts of mites say, in lines of at most 80 characters."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from windowcast.science.colony.sampling import BEES_PER_WASH
from windowcast.terms.mites import (
    LONG_BEFORE,
    TOO_SOON,
    WASH,
    Estimate,
    MiteCount,
    MitePractice,
    RoundSpan,
    UnusedCount,
    YardMites,
)
from windowcast.terms.practice import Practice
from windowcast.wording import clock
from windowcast.wording.mite_rounds import days_of, level, method_word, result_sentences
from windowcast.wording.plain import capital, clean, joined, listed, plural, wrapped
from windowcast.wording.scale import Scale
from windowcast.wording.thresholds import thresholds

_WIDTH = 80
_ABOVE, _BELOW, _OPEN = VERDICTS = ("above", "below", "open")


@dataclass(frozen=True, slots=True, kw_only=True)
class MiteAccount:
    """What is told of an outfit's mites: yards with counts, keys of those without, since when."""

    outfit: str
    since: date
    yards: tuple[YardMites, ...]
    uncounted: tuple[str, ...]
    practice: Practice


def mites_text(account: MiteAccount, scale: Scale) -> str:
    """The whole account as text."""
    since = clock.day_and_year(account.since)
    lines = wrapped(f"Mites, {clean(account.outfit)}, counts since {since}", [_WIDTH])
    for yard in account.yards:
        lines += ["", *_yard_lines(yard, account.practice.mites)]
    lines.append("")
    for sentence in _footing(account, scale):
        lines += wrapped(sentence, [_WIDTH], "  ")
    return "".join(f"{line}\n" for line in lines)


def verdict_of(bounds: Estimate, act_frac: float) -> str:
    """Whether a level is above the one from which to act, below it, or open."""
    if bounds.low >= act_frac:
        return _ABOVE
    return _BELOW if bounds.high < act_frac else _OPEN


def _yard_lines(yard: YardMites, practice: MitePractice) -> list[str]:
    told = plural(yard.colonies, "colony", "colonies") if yard.colonies else "colonies not told"
    lines = wrapped(f"{clean(yard.yard_key)}, {told}", [_WIDTH], "  ")
    for sentence in yard_sentences(yard, practice):
        lines += wrapped(f"  {sentence}", [_WIDTH], "    ")
    return lines


def yard_sentences(yard: YardMites, practice: MitePractice) -> Iterator[str]:
    """Everything about one yard, a sentence or two each."""
    if yard.wash:
        yield f"{_washes(yard.wash, practice)}{_treated_since(yard.wash, yard)}"
    if yard.board:
        yield f"{_boards(yard.board)}{_treated_since(yard.board, yard)}"
    for result in yard.results:
        yield " ".join(result_sentences(result))
    for item in yard.unused:
        yield _unused(item, practice)
    for span in yard.silent:
        yield f"Round {span.round_no}, {_span_days(span)}: no counts that show what it did."
    for number in yard.refused:
        yield f"Report {number} is not used: it has more mites than bees."
    yield _next(yard, practice)


def _treated_since(count: MiteCount, yard: YardMites) -> str:
    """A level from before a round is not the level of today, and says so."""
    spans = [*yard.silent, *(span for result in yard.results for span in result.rounds)]
    later = sorted(
        {span.first_day: span for span in spans if span.first_day >= count.last_day}.items()
    )
    if not later:
        return ""
    told = joined([f"round {span.round_no} on {clock.day_words(day)}" for day, span in later])
    return f" Treated since: {told}."


def _washes(count: MiteCount, practice: MitePractice) -> str:
    act_frac = practice.act_frac(count.last_day)
    act = f"{level(act_frac, WASH)} from which to act"
    name = f"{capital(method_word(count))} {days_of(count)} {count.last_day.year}"
    if count.bounds is not None:
        found = _verdict(count.bounds, act_frac, act)
        return f"{name}: {_with_bounds(count, count.bounds)}, {_share(count)}; {found}."
    alone = count.alone or Estimate(value=count.mean, low=0.0, high=1.0)
    found = _verdict(alone, act_frac, act)
    return (
        f"{name}: {_with_bounds(count, alone)} in the one colony washed; it alone {found}."
        f" {_nobody(count)}"
    )


def _boards(count: MiteCount) -> str:
    name = f"{capital(method_word(count))} {days_of(count)} {count.last_day.year}"
    if count.bounds is not None:
        return f"{name}: {_with_bounds(count, count.bounds)}, {_share(count)}."
    return f"{name}: {level(count.mean, count.method)} in one colony. {_nobody(count)}"


def _nobody(count: MiteCount) -> str:
    whole = f"all {count.colonies}" if count.colonies else "the others"
    return f"Nobody can say from 1 colony what {whole} have."


def _verdict(bounds: Estimate, act_frac: float, act: str) -> str:
    words = {_ABOVE: "is above the", _BELOW: "is below the", _OPEN: "may be above or below the"}
    return f"{words[verdict_of(bounds, act_frac)]} {act}"


def _with_bounds(count: MiteCount, bounds: Estimate) -> str:
    low, high = (level(value, count.method) for value in (bounds.low, bounds.high))
    return f"{level(count.mean, count.method)} (from {low} to {high})"


def _share(count: MiteCount) -> str:
    if count.colonies is None:
        return f"{plural(count.counted, 'colony', 'colonies')} of a yard whose number is not told"
    return f"{count.counted} of {plural(count.colonies, 'colony', 'colonies')}"


def _unused(item: UnusedCount, practice: MitePractice) -> str:
    what = f"{capital(method_word(item.count))} {days_of(item.count)} not used"
    name = f"round {item.span.round_no} of {_span_days(item.span)}"
    if item.why == TOO_SOON and item.days <= 0:
        return f"{what}: {name} was under way."
    days = plural(abs(item.days), "day")
    if item.why == LONG_BEFORE:
        most = int(practice.before_to_h // 24)
        return f"{what} for {name}: {days} before it, and at most {most} are allowed."
    if item.why == TOO_SOON:
        least = int(practice.after_from_h // 24)
        return f"{what}: {days} after {name}, and mites still fall until day {least}."
    most = int(practice.after_to_h // 24)
    return f"{what} for {name}: {days} after it, and at most {most} are allowed."


def _span_days(span: RoundSpan) -> str:
    return clock.day_words(span.first_day)


def _next(yard: YardMites, practice: MitePractice) -> str:
    of = f"{yard.to_wash} of " if yard.colonies else ""
    colonies = f"{of}{plural(yard.colonies or yard.to_wash, 'colony', 'colonies')}"
    order = f"Next time wash {colonies}, drawn by lot, {BEES_PER_WASH} bees each"
    if yard.by_spread:
        error = f"{round(practice.error_frac * 100, 1):g} %"
        return f"{order}: that makes a standard error of {error}, if they differ as last time."
    return f"{order}: the usual number (Lee et al. 2010)."


def _footing(account: MiteAccount, scale: Scale) -> Iterator[str]:
    """What holds for all yards: who was not counted, what the bounds are, where levels are from."""
    if account.uncounted:
        keys = listed([clean(key) for key in account.uncounted], _WIDTH * 2)
        yield f"No counts: {keys}."
    if not account.yards:
        yield "`windowcast seen YARD mites COUNT --bees N` puts a wash into the book."
        return
    yield (
        "Bounds hold 95 times in 100 at best, since mites clump. Boards are mites a day and colony;"
        " how many live in it changes with brood."
    )
    if any(result.controls for yard in account.yards for result in yard.results):
        yield "An untreated yard may differ from the others by more than the treatment."
    held = dict.fromkeys(_act_keys(account.yards, account.practice.mites))
    for item in thresholds(account.practice, ("mites",), scale):
        if item.key in held:
            own = f", your own; the default is {item.default}" if item.default else ""
            yield f"{item.key} = {item.value}{own}: {item.says} ({item.grade}; {item.source})."


def _act_keys(yards: Iterable[YardMites], practice: MitePractice) -> Iterator[str]:
    for yard in yards:
        if yard.wash:
            winter = practice.is_winter(yard.wash.last_day)
            yield "mites.act_winter" if winter else "mites.act_season"
