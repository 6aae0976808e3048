"""What a person types about a visit: day, time, colonies, grams, crew."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta
from difflib import get_close_matches
from typing import TYPE_CHECKING

from windowcast.cli.moments import past_day
from windowcast.times import clock_instant, local, local_date

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from windowcast.terms.visit import Treated
    from windowcast.terms.yard import Crew

_CLOCK = re.compile(r"([0-9]{1,2}):([0-9]{2})")
_COUNT = re.compile(r"[0-9]{1,6}")
_GRAMS = re.compile(r"([0-9]{1,7}(?:\.[0-9]{1,6})?) ?g?")


def visit_day(text: str, now: datetime, tz: str) -> date:
    """The local day of a visit: a weekday is the last such day, today included.

    ValueError for a day to come, and for what is no day.
    """
    today = local_date(now, tz)
    word = text.strip().casefold()
    if len(word) >= 3 and word.isalpha() and word not in ("today", "yesterday"):
        gone = (today - timedelta(days=back) for back in range(7))
        named = [day for day in gone if f"{day:%A}".casefold().startswith(word)]
        if named:
            return named[0]
    day = past_day(text, today)
    if day > today:
        raise ValueError(
            f'"{text}" is still to come at the yard, where it is {today.isoformat()}; write today'
            " or a day gone by"
        )
    return day


def began_at(text: str, day: date, now: datetime, tz: str) -> datetime:
    """The instant at which the work began, by the yard's clock; ValueError for one to come.

    A time that the clock showed twice is the first of the two.
    """
    found = _CLOCK.fullmatch(text.strip())
    if found is None or int(found[1]) > 23 or int(found[2]) > 59:
        raise ValueError(f'"{text}" is no time of day; write one such as 09:30')
    at = time(int(found[1]), int(found[2]))
    moment = clock_instant(day, at, tz)
    if local(moment, tz).time() != at:
        raise ValueError(
            f'"{text}" was skipped by the clocks on {day.isoformat()}; write a time that they'
            " showed"
        )
    if moment > now:
        raise ValueError(f'"{text}" on {day.isoformat()} is still to come; write a time gone by')
    return moment


def treated(done: str | None, grams: str | None) -> tuple[Treated, ...]:
    """Colonies and grams by kind of hive, in the usual order; ValueError for what is neither."""
    from windowcast.terms.visit import HIVE_KINDS, Treated

    counts = _by_kind(done, HIVE_KINDS, _count, "doubles=12,nucs=3") if done is not None else {}
    masses = _by_kind(grams, HIVE_KINDS, _mass, "doubles=48") if grams is not None else {}
    for kind in masses:
        if kind not in counts:
            raise ValueError(f"grams for {kind}, but none were done; write --done {kind}=12 too")
    return tuple(
        Treated(kind=kind, colonies=int(counts[kind]), acid_g=masses.get(kind))
        for kind in HIVE_KINDS
        if kind in counts
    )


def _by_kind(
    text: str, kinds: Sequence[str], read: Callable[[str], float], example: str
) -> Mapping[str, float]:
    told: dict[str, float] = {}
    for part in text.split(","):
        word, mark, number = part.partition("=")
        kind = word.strip().casefold()
        if not mark:
            raise ValueError(f'"{part.strip()}" is no kind with a number; write {example}')
        if kind not in kinds:
            near = get_close_matches(kind, kinds, 1)
            cure = f'did you mean "{near[0]}"?' if near else f"use {', '.join(kinds)}"
            raise ValueError(f'"{word.strip()}" is no kind of hive; {cure}')
        if kind in told:
            raise ValueError(f"{kind} stand twice; write each kind once")
        told[kind] = read(number.strip())
    return told


def _count(text: str) -> float:
    if not _COUNT.fullmatch(text) or not int(text):
        raise ValueError(f'"{text}" is no number of colonies; write a whole number from 1 on')
    return int(text)


def _mass(text: str) -> float:
    found = _GRAMS.fullmatch(text)
    if found is None or not float(found[1]):
        raise ValueError(f'"{text}" is no mass; write the grams for all of that kind, such as 48')
    return float(found[1])


def crew_of(text: str, crews: Iterable[Crew]) -> str:
    """The name of a crew as outfit.toml has it; ValueError with the nearest for another."""
    if not text.strip():
        return ""
    names = {crew.name.casefold(): crew.name for crew in crews}
    wanted = text.strip().casefold()
    if wanted in names:
        return names[wanted]
    near = get_close_matches(wanted, names, 1)
    known = ", ".join(names.values())
    cure = f'did you mean "{names[near[0]]}"?' if near else f"it has {known}"
    raise ValueError(f'outfit.toml has no crew "{text.strip()}"; {cure}')
