"""Visits in words: what was booked, what is odd about it, and the list of a season."""

from __future__ import annotations

import shlex
from collections import Counter
from collections.abc import Collection, Iterable, Sequence

from windowcast.terms.doubt import BACKWARDS, BEYOND, GRAMS, MORE, SKIPPED, TWICE, Doubt, RoundMeant
from windowcast.terms.rounds import (
    HELD_BY_GAP,
    HELD_BY_LABEL_DAYS,
    HELD_BY_LABEL_YEAR,
    RoundDue,
    RoundPractice,
)
from windowcast.terms.visit import Treated, Visit, VisitWeather
from windowcast.terms.yard import Yard
from windowcast.wording import clock
from windowcast.wording.plain import clean, cost, cut, plural
from windowcast.wording.scale import Scale, speeds, temperature
from windowcast.wording.wind import letters

_KINDS = {
    "doubles": ("double", "doubles"),
    "singles": ("single", "singles"),
    "nucs": ("nuc", "nucs"),
    "nucs_above": ("nuc above", "nucs above"),
}
_MOST_STRAY = 8
_DIGITS = 6  # three thirds are a yard
_ASKED_BY = {HELD_BY_GAP: "practice.toml", HELD_BY_LABEL_DAYS: "label.toml"}
# What stands in a line of the list, and how many cells it takes at most.
_ROOMS = {"no.": 4, "day": 10, "yard": 18, "round": 5, "colonies": 21, "who": 12, "weather": 15}


def colonies_words(treated: Iterable[Treated]) -> str:
    """Colonies by kind: "12 doubles (48 g), 3 nucs"; without a count, the whole yard."""
    told = [
        plural(item.colonies, *_KINDS[item.kind])
        + (f" ({item.acid_g:g} g)" if item.acid_g is not None else "")
        for item in treated
    ]
    return ", ".join(told) or "the whole yard"


def _done_words(visit: Visit, *, grams: bool) -> str:
    """Colonies by kind, after "whole" where a person said that the round is whole with them."""
    parts = visit.treated if grams else [_without_grams(item) for item in visit.treated]
    said = "whole: " if visit.whole and parts else ""
    return f"{said}{colonies_words(parts)}"


def weather_words(weather: VisitWeather, scale: Scale) -> str:
    """The weather of an hour in few words: "41 °F, 5 mph NW"; "" where nothing is told."""
    told = []
    if weather.temp_c is not None:
        told.append(temperature(weather.temp_c, scale))
    if weather.wind_mps is not None:
        told.append(speeds(weather.wind_mps, weather.wind_mps, scale))
        if weather.wind_from_deg is not None:
            told[-1] += f" {letters(weather.wind_from_deg)}"
    return ", ".join(told)


def visit_sentence(visit: Visit) -> str:
    """A visit on one line: "visit 7: kiln, Tue 12 Jan 2027, round 1, 12 doubles, crew A"."""
    crew = f"crew {clean(visit.crew)}" if visit.crew.strip() else ""
    told = [
        clean(visit.yard_key),
        clock.day_and_year(visit.day),
        f"round {visit.round_no}",
        _done_words(visit, grams=True),
        crew,
        clean(visit.person) if visit.person.strip() else "",
    ]
    return f"visit {visit.number}: {', '.join(text for text in told if text)}"


def booked_lines(
    visit: Visit, yard: Yard, done_frac: float, due: RoundDue, practice: RoundPractice
) -> list[str]:
    """What was booked, how much of the yard that makes, and what comes next there."""
    share = _share(visit, yard, done_frac)
    return [f"Booked {visit_sentence(visit)}.", share, *_next(visit, due, practice)]


def _share(visit: Visit, yard: Yard, done_frac: float) -> str:
    what = f"{clean(yard.key)} round {visit.round_no}"
    there = visit.of_colonies or yard.colonies
    if not there or not visit.treated or visit.whole:
        return f"{what}: the whole yard."
    colonies = plural(there, "colony", "colonies")
    if round(done_frac, _DIGITS) >= 1.0:
        return f"{what}: {there} of {colonies}."
    done = min(round(done_frac * there), there - 1)
    rest = "If the rest is dead or gone: strike this out, book it again with --whole."
    return f"{what}: {done} of {colonies}. {rest}"


def _next(visit: Visit, due: RoundDue, practice: RoundPractice) -> list[str]:
    if due.round_no is None:
        return [f"All {plural(practice.planned, 'planned round')} of this season are done there."]
    if due.round_no == visit.round_no or due.earliest is None:
        return []
    until = f" to {clock.day_and_year(due.latest)}" if due.latest else " on"
    return [f"Round {due.round_no}: from {clock.day_and_year(due.earliest)}{until}."]


def weather_line(visit: Visit, why: str, scale: Scale, tz: str) -> str:
    """The weather that was kept with a visit and of which hour, or why there is none."""
    weather = visit.weather
    if weather is None:
        return f"Kept without weather: {clean(why)}."
    hour = clock.at(weather.hour, tz)
    which = hour if visit.began_at else f"{hour}, when it was logged"
    return f"Weather of {which}: {weather_words(weather, scale)} ({clean(weather.source)})."


def undo_line(visit: Visit, config: str) -> str:
    """How to strike a visit out."""
    where = "" if config == "." else f" --config {shlex.quote(config)}"
    return f"To strike it out: windowcast visits --undo {visit.number}{where}"


def doubt_sentence(doubt: Doubt, visit: Visit, yard: Yard) -> str:
    """One sentence about what is odd about a visit."""
    key = clean(yard.key)
    if doubt.code == MORE:
        there = plural(doubt.limit, *_KINDS[doubt.kind])
        return (
            f"yards.csv has {there} at {key}, and with this visit {doubt.count} would have round"
            f" {visit.round_no}."
        )
    if doubt.code == GRAMS:  # no amount is shown: a number here might be taken for a dose
        done = plural(doubt.count, *_KINDS[doubt.kind])
        return f"The grams for {done} are more than label.toml names for so many; check both."
    if doubt.code == SKIPPED:
        return f"No round {doubt.count} is booked for {key} in this season by that day."
    if doubt.code == BEYOND:
        planned = plural(doubt.limit, "round")
        return f"practice.toml plans {planned} a season, and this is round {visit.round_no}."
    if doubt.code == HELD_BY_LABEL_YEAR:
        most = plural(doubt.limit, "application")
        return f"label.toml names {most} a year at most, and this is one more{_fine(doubt)}."
    if doubt.other is None:
        raise ValueError(f"a doubt {doubt.code} is about another visit")
    return _about(doubt, doubt.other, visit, key)


def _about(doubt: Doubt, other: Visit, visit: Visit, key: str) -> str:
    name = f"visit {other.number} ({clock.day_and_year(other.day)}, round {other.round_no})"
    if doubt.code == TWICE:
        same = colonies_words([_without_grams(item) for item in other.treated])
        return f"{name}, {same}, is of the same day, round and hives: a double entry?"
    if doubt.code == BACKWARDS:
        return f"{name} is of a later round than this and was done before it."
    if doubt.code in _ASKED_BY:
        side = "before" if other.day > visit.day else "after"
        apart = f"{plural(doubt.count, 'day')} {side}" if doubt.count else "the same day as"
        asked = f"{_ASKED_BY[doubt.code]} asks for {plural(doubt.limit, 'day')}"
        return f"This is {apart} {name}; {asked}{_fine(doubt)}."
    return f"The whole of {key} has had round {visit.round_no} already, last with {name}."


def _fine(doubt: Doubt) -> str:
    return f": fine from {clock.day_and_year(doubt.fine_from)}" if doubt.fine_from else ""


def no_round_sentence(meant: RoundMeant, yard: Yard, practice: RoundPractice) -> str:
    """Why a person must say which round a visit is of."""
    if meant.later:
        why = f"{clean(yard.key)} has a visit after it, on {clock.day_and_year(meant.later)}"
    else:
        why = f"{clean(yard.key)} has all {plural(practice.planned, 'planned round')}"
    return f"{why}; say which round this one is of, such as --round 1"


def visit_lines(visits: Sequence[Visit], scale: Scale, width: int) -> list[str]:
    """A list of visits, one on a line and no line wider than ``width`` cells."""
    heading = {name: name for name in _ROOMS} | {"note": "note"}
    return [_line(cells, width) for cells in (heading, *(_cells(v, scale) for v in visits))]


def _cells(visit: Visit, scale: Scale) -> dict[str, str]:
    who = [clean(text) for text in (visit.crew, visit.person) if text.strip()]
    return {
        "no.": str(visit.number),
        "day": visit.day.isoformat(),
        "yard": clean(visit.yard_key),
        "round": str(visit.round_no),
        "colonies": _done_words(visit, grams=False),
        "who": ", ".join(who),
        "weather": weather_words(visit.weather, scale) if visit.weather else "",
        "note": clean(visit.note) if visit.note.strip() else "",
    }


def _without_grams(treated: Treated) -> Treated:
    return Treated(kind=treated.kind, colonies=treated.colonies)


def _line(cells: dict[str, str], width: int) -> str:
    told = [_padded(cells[name], room) for name, room in _ROOMS.items()]
    return cut(" ".join([*told, cells["note"]]).rstrip(), width)


def _padded(text: str, room: int) -> str:
    shown = cut(text, room)
    return shown + " " * (room - cost(shown))


def stray_lines(visits: Iterable[Visit], listed: Collection[str]) -> list[str]:
    """A sentence for each yard of some visits that the list of yards lacks; the rest is counted."""
    stray = Counter(visit.yard_key for visit in visits if visit.yard_key not in listed)
    shown = list(stray.items())[:_MOST_STRAY]
    lines = [f"{_counted(n)} of {clean(key)}, which is not in yards.csv: {_idle(n)}"
             for key, n in shown]  # fmt: skip
    more, left = len(stray) - len(shown), sum(stray.values()) - sum(n for _, n in shown)
    if more:
        yards = plural(more, "more such yard")
        lines.append(f"{_counted(left)} of {yards}: {_idle(left)}")
    return lines


def _counted(visits: int) -> str:
    return plural(visits, "visit")


def _idle(visits: int) -> str:
    return f"{'it counts' if visits == 1 else 'they count'} for no yard"


def total_line(visits: Sequence[Visit], told: str) -> str:
    """How many visits a list has, and of what."""
    known = [visit.colonies for visit in visits if visit.colonies is not None]
    counted = f", {plural(sum(known), 'colony', 'colonies')} counted" if known else ""
    return f"{plural(len(visits), 'visit')} {told}{counted}"
