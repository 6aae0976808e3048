"""Rounds by the calendar, in words: how far the season is, and what is due where and until when."""

from __future__ import annotations

from datetime import date

from windowcast.terms.rounds import (
    ALL_DONE,
    HELD_BY_GAP,
    HELD_BY_LABEL_DAYS,
    HELD_BY_LABEL_YEAR,
    OVERDUE,
    WAITING,
    RoundDue,
    RoundTotal,
)
from windowcast.wording import clock
from windowcast.wording.plain import plural
from windowcast.wording.scale import percent
from windowcast.wording.view import Named, View

_HOLDS = {
    HELD_BY_GAP: "days between rounds",
    HELD_BY_LABEL_DAYS: "label's days between",
    HELD_BY_LABEL_YEAR: "label's number a year",
}
_OVERDUE = "overdue"
_NEAR_D = 180
NONE_BOOKED = "none is booked yet (windowcast visit YARD)"


def totals_sentence(view: View) -> str:
    """How many yards have each round: "Round 1: 9 of 34 yards, 1 begun."."""
    totals = view.morning.totals
    told = [_total(item) for item in totals]
    if totals and not any(item.done or item.begun for item in totals):
        return f"Round 1: 0 of {plural(totals[0].yards, 'yard')}; {NONE_BOOKED}."
    return " ".join(f"{text}." for text in told)


def _total(item: RoundTotal) -> str:
    begun = f", {item.begun} begun" if item.begun else ""
    return f"Round {item.round_no}: {item.done} of {plural(item.yards, 'yard')}{begun}"


def round_groups(view: View) -> list[Named]:
    """Yards by what is due there and until when, the most urgent first.

    A first round that nobody has begun anywhere is no news, and is left to the sentence above.
    """
    rounds = view.morning.rounds
    if all(_untouched(item) for item in rounds):
        return []
    together: dict[str, list[str]] = {}
    for item in sorted(rounds, key=_urgency):
        together.setdefault(round_phrase(item, view.today), []).append(item.yard_key)
    return [Named(phrase=phrase, keys=tuple(keys)) for phrase, keys in together.items()]


def urgent(group: Named) -> bool:
    """Whether a group of ``round_groups`` is overdue."""
    return _OVERDUE in group.phrase


def pressing(view: View) -> list[Named]:
    """Yards whose round is overdue, or in time for the last time today, by round."""
    together: dict[str, list[str]] = {}
    for item in sorted(view.morning.rounds, key=_urgency):
        if item.state == OVERDUE:
            together.setdefault(f"round {item.round_no} overdue", []).append(item.yard_key)
        elif item.latest == view.today:
            phrase = f"last day of round {item.round_no}"
            together.setdefault(phrase, []).append(item.yard_key)
    return [Named(phrase=phrase, keys=tuple(keys)) for phrase, keys in together.items()]


def _untouched(item: RoundDue) -> bool:
    return item.round_no == 1 and item.done_frac == 0 and item.earliest is None


def _urgency(item: RoundDue) -> tuple[bool, bool, date]:
    """Overdue and soonest to close first, then open without an end, then waiting, then done."""
    open_ended = item.latest or date.max
    waits = item.state == WAITING
    return item.state == ALL_DONE, waits, (item.earliest or date.max) if waits else open_ended


def round_phrase(item: RoundDue, today: date) -> str:
    """What is due at a yard: "round 2 from Tue 12 Jan to Tue 19 Jan (days between rounds)"."""
    if item.round_no is None:
        return "nothing more due this season"
    begun = f", {percent(item.done_frac)} done" if item.done_frac > 0 else ""
    return f"round {item.round_no} {_when(item, today)}{begun}"


def _when(item: RoundDue, today: date) -> str:
    if item.state == OVERDUE and item.latest is not None:
        return f"{_OVERDUE}, was due by {_day(item.latest, today)}"
    if item.state == WAITING and item.earliest is not None:
        until = f" to {_day(item.latest, today)}" if item.latest else ""
        return f"from {_day(item.earliest, today)}{until} ({_HOLDS[item.held_by or '']})"
    if item.latest is not None:
        begun = "begun, finish by" if item.done_frac > 0 else "open, by"
        return f"{begun} {_day(item.latest, today)}"
    return "open"


def _day(day: date, today: date) -> str:
    """A day, with its year where it could be read as one of this winter."""
    near = abs((day - today).days) <= _NEAR_D
    return clock.day_words(day) if near else clock.day_and_year(day)


def nothing_due(view: View) -> str:
    """Why no yard counts on any day that is ranked, blind yards with a round due first."""
    dark = [key for key in view.blind if view.is_due(key, view.today)]
    if dark:
        whom = "the only yard" if len(dark) == 1 else f"all {len(dark)} yards"
        return f"{whom} with a round due {'is' if len(dark) == 1 else 'are'} blind"
    seen = [item for item in view.morning.rounds if item.yard_key in view.by_key]
    waiting = [item.earliest for item in seen if item.state == WAITING and item.earliest]
    if waiting:
        return f"no round may be done before {_day(min(waiting), view.today)}"
    if view.blind:
        return "no round is left at the yards that have a forecast"
    return f"no round is left, {plural(len(seen), 'yard')}"
