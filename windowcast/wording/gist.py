"""The gist of a morning: what is enough to send a crew, or to keep it at home."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from windowcast.terms.advice import OutfitDay, WindowScore
from windowcast.terms.outlook import FORECAST
from windowcast.wording import clock
from windowcast.wording.alarms import watch
from windowcast.wording.plain import clean, listed, plural
from windowcast.wording.reasons import against, broad, numbers
from windowcast.wording.rounds import nothing_due, pressing
from windowcast.wording.scale import whole
from windowcast.wording.view import Named, View, label, named

SCOPE = "Weather and dates only: brood, road, label are yours."
_OUTFIT_ROOM = 24
_PHRASE_ROOM = 52


@dataclass(frozen=True, slots=True, kw_only=True)
class Gist:
    """The head of a notice. ``windows`` are hours with the yards that have them.

    ``pressing`` are yards whose round is overdue by the calendar, or has its last day today.
    """

    title: str
    decision: str
    next_up: tuple[str, ...]
    windows: tuple[Named, ...]
    starts: tuple[Named, ...]
    left_out: tuple[Named, ...]
    left_out_when: str
    watch: tuple[Named, ...]
    stale: str | None
    blind: tuple[str, ...]
    better: str | None
    pressing: tuple[Named, ...] = ()


def gist_of(view: View) -> Gist:
    """The head of a notice in sentences and lists of yards."""
    chosen = view.chosen
    going = view.served(chosen) if chosen is not None else []
    idle = against(view.of_day(chosen.day), view) if chosen is not None and going else []
    return Gist(
        title=_title(view),
        decision=decision(view),
        next_up=_next_up(view),
        windows=windows(going, view),
        starts=starts(going, view),
        left_out=tuple(named(reason.phrase, scores) for reason, scores in idle),
        left_out_when="Not today" if view.today_served else "Not then",
        watch=watch(going),
        stale=_stale(view),
        blind=tuple(view.unseen(view.chosen_date)),
        better=_better(view),
        pressing=tuple(pressing(view)),
    )


def _title(view: View) -> str:
    morning = view.morning
    when = f"{clock.day_and_year(view.today)}, {clock.at(morning.issued_at, morning.tz)}"
    zone = clock.abbreviation(morning.issued_at, morning.tz)
    named = when if when.endswith(zone) else f"{when} {zone}"
    return f"{clean(morning.outfit, _OUTFIT_ROOM)}, {named}"


def decision(view: View) -> str:
    """The first thing to know: go today or not, from when to when, how many yards."""
    if view.chosen is None:
        if view.by_key and not view.anything_due:
            return f"Nothing to go for: {nothing_due(view)}."
        return "No forecast for any yard: nothing is advised."
    if view.today_served:
        hours = envelope(view, view.served(view.chosen))
        return f"Go today {hours}: {share(view, view.chosen)}."
    return f"No go today: {today_reason(view)}."


def today_reason(view: View) -> str:
    """Why nobody goes today."""
    scores = view.of_day(view.today)
    reasons = against(scores, view)
    if not view.due_on(view.today):
        return "no round is due"
    if not reasons:
        return "no forecast for today"
    if len(reasons) == 1:
        return f"{reasons[0][0].phrase}{numbers(reasons[0][0].code, reasons[0][1], view)}"
    return listed([f"{r.phrase} ({plural(len(s), 'yard')})" for r, s in reasons], _PHRASE_ROOM)


def _offer(view: View, day: OutfitDay) -> str:
    """A day on which somebody can go: "Fri 15 Jan, 08:00-12:00, 3 of 5 yards, good"."""
    hours = envelope(view, view.served(day))
    return ", ".join([clock.day_words(day.day), hours, share(view, day), day.verdict])


def envelope(view: View, scores: Sequence[WindowScore]) -> str:
    """From the earliest start to the latest end: "08:00-12:00", or "08:00-12:00 local".

    Yards whose clocks differ are each read on their own clock, which "local" says: a day is a
    calendar day of each yard, so no one clock could tell such a span without breaking it.
    """
    runs = [(s.start, s.end, view.tz(s)) for s in scores if s.start and s.end]
    if not runs:
        return ""
    first, last = min(run[0] for run in runs), max(run[1] for run in runs)
    zones = {run[2] for run in runs}
    if not clock.agree(zones, first, last):
        return f"{clock.widest(runs)} local"
    return view.between(first, last, view.morning.tz if view.morning.tz in zones else min(zones))


def share(view: View, day: OutfitDay) -> str:
    """How many of the yards that are due: "all 5 yards", "3 of 5 yards", "3 of 5 yards due"."""
    served, total = len(view.served(day)), view.due_on(day.day)
    due = " due" if total < len(view.by_key) + len(view.blind) else ""
    if served == total:
        return {1: "the one yard", 2: "both yards"}.get(total, f"all {total} yards") + due
    return f"{served} of {plural(total, 'yard')}{due}"


def _next_up(view: View) -> tuple[str, ...]:
    """Where nobody goes today: the next day that is worth it, or why there is none."""
    chosen = view.chosen
    if chosen is None or view.today_served:
        return ()
    if chosen.served:
        return (*_soonest(view, chosen), f"Best: {_offer(view, chosen)}")
    return (_why_none(view), _least_bad(view))


def _soonest(view: View, best: OutfitDay) -> tuple[str, ...]:
    """The first day on which anybody can go, where that is not the best one."""
    first = min((day for day in view.morning.days if day.served), key=lambda day: day.day)
    return () if first == best else (f"Soonest: {_offer(view, first)}",)


def _why_none(view: View) -> str:
    counts: dict[str, int] = {}
    for day in view.morning.days:
        for phrase, _ in broad(view.of_day(day.day), view)[:1]:
            counts[phrase] = counts.get(phrase, 0) + 1
    ordered = sorted(counts.items(), key=lambda item: (-item[1], item[0]))
    told = listed([f"{phrase} ({plural(count, 'day')})" for phrase, count in ordered], _PHRASE_ROOM)
    last = max(day.day for day in view.morning.days)
    if last == view.today:
        return "Nothing is told of later days."
    return f"Nor on any day to {clock.day_words(last)}: {told}"


def _least_bad(view: View) -> str:
    """The day with the most usable hours at any yard, though no yard has enough of them."""
    best = max(
        (score for day in view.morning.days for score in view.of_day(day.day)),
        key=lambda score: (score.score, score.usable_hours, -score.day.toordinal()),
        default=None,
    )
    if best is None or best.usable_hours == 0:
        return "Not one usable hour at any yard."
    hours = plural(best.usable_hours, "hour")
    where = f"{label(best.yard_key)} {view.hours(best)}"
    return f"Least bad: {clock.day_words(best.day)}, {where}, {hours}"


def windows(scores: Sequence[WindowScore], view: View) -> tuple[Named, ...]:
    """Hours and verdict with the yards that share them, the earlier start first."""
    return _together(scores, lambda score: f"{view.hours(score)} {score.verdict}")


def starts(scores: Sequence[WindowScore], view: View) -> tuple[Named, ...]:
    """The same by the start alone, for mornings with very many different windows."""
    return _together(scores, lambda score: f"from {view.begin(score)}")


def _together(
    scores: Sequence[WindowScore], phrase_of: Callable[[WindowScore], str]
) -> tuple[Named, ...]:
    groups: dict[str, list[WindowScore]] = {}
    for score in sorted(scores, key=lambda s: (s.start is None, s.start, s.end)):
        groups.setdefault(phrase_of(score), []).append(score)
    return tuple(named(phrase, members) for phrase, members in groups.items())


def _stale(view: View) -> str | None:
    """The age of forecasts older than the age passed over in silence, and of kept ones."""
    silent_h = view.morning.practice.age.silent_to_h
    ages: dict[str, float] = {}
    for use in view.morning.sources:
        origin, age = use.origin, use.age_h
        if origin.kind == FORECAST and age is not None and (origin.kept or age > silent_h):
            name = f"{clean(origin.name, 20)}{', kept' if origin.kept else ''}"
            ages[name] = max(age, ages.get(name, 0.0))
    told = [f"forecast {whole(age)} h old ({name})" for name, age in ages.items()]
    return listed(told, _PHRASE_ROOM) if told else None


def _better(view: View) -> str | None:
    """A day that ranks above the one that is spoken about."""
    first = min(view.morning.days, key=lambda day: day.rank, default=None)
    if first is None or first == view.chosen or not first.served:
        return None
    return f"Better still: {_offer(view, first)}"
