"""Where the weather comes from, how old it is, and what was worked out from it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from windowcast.terms.advice import SourceUse
from windowcast.terms.outlook import FORECAST, Origin
from windowcast.wording import clock
from windowcast.wording.plain import clean, plural
from windowcast.wording.scale import whole
from windowcast.wording.view import View

_NAME_ROOM = 20
_DETAIL_ROOM = 28
_DISTANCE = re.compile(r", \d+ km$")
_VARIABLE_WORDS = {
    "sun_wm2": "sunshine computed from sky cover",
    "dewpoint_c": "dew point computed from humidity",
    "rain_mm": "rain by the hour computed from longer spans",
    "wind_from_deg": "wind direction computed",
}
SPREAD = "Daily extremes and totals of {names} are spread over the hours."


def source_sentences(view: View) -> list[str]:
    """One sentence for each source and kind: how old, how many hours, from where."""
    groups: dict[tuple[str, str, bool], list[SourceUse]] = {}
    for use in view.morning.sources:
        key = (use.origin.name, use.origin.kind, use.origin.kept)
        groups.setdefault(key, []).append(use)
    if not groups:
        return ["No source gave a forecast."]
    return [_source_sentence(uses, view) for uses in groups.values()]


def _source_sentence(uses: Sequence[SourceUse], view: View) -> str:
    name, kind, kept = uses[0].origin.name, uses[0].origin.kind, uses[0].origin.kept
    same = [o for o in _origins(view) if (o.name, o.kind, o.kept) == (name, kind, kept)]
    places = sorted({_place(origin) for origin in same if origin.detail})
    where = clean(places[0], _DETAIL_ROOM) if len(places) == 1 else f"{len(places)} places"
    hours = plural(max(use.hours for use in uses), "hour")
    told = [
        f"{clean(name, _NAME_ROOM)}: {'from the book, ' if kept else ''}{_issued(uses, view)}",
        f"up to {hours} a yard",
        where if places else "",
    ]
    return ", ".join(filter(None, told)) + "."


def _place(origin: Origin) -> str:
    """What an origin rests on; one station stands at many distances from many yards."""
    return origin.detail if origin.kind == FORECAST else _DISTANCE.sub("", origin.detail)


def _origins(view: View) -> list[Origin]:
    """Every origin that any yard rests on."""
    used = [use.origin for use in view.morning.sources]
    return [*used, *(origin for item in view.morning.advice for origin in item.origins)]


def _issued(uses: Sequence[SourceUse], view: View) -> str:
    ages = [use.age_h for use in uses if use.age_h is not None]
    times = [use.origin.issued_at for use in uses if use.origin.issued_at is not None]
    when = clock.stamp(min(times), view.morning.tz) if times else ""
    if uses[0].origin.kind != FORECAST and uses[0].origin.kept:
        return "hours of the past"
    if uses[0].origin.kind != FORECAST:
        return f"record of the past to {when}" if when else "record of the past"
    if not ages:
        return f"forecast of {when}" if when else "forecast, age not told"
    issued = f", issued {when}" if when else ""
    return f"forecast {whole(max(ages))} h old{issued}"


def made_sentences(view: View) -> list[str]:
    """What was computed or spread and not told by a service."""
    origins = _origins(view)
    derived = sorted({name for origin in origins for name in origin.derived})
    words = [_VARIABLE_WORDS.get(name, f"{name} computed") for name in derived]
    spread = list(dict.fromkeys(clean(o.name, _NAME_ROOM) for o in origins if o.spread))
    told = [f"Not told but worked out: {', '.join(words)}."] if words else []
    return [*told, SPREAD.format(names=" and ".join(spread))] if spread else told


def credit_lines(view: View) -> list[str]:
    """The lines that services want to see beside their data, each once, never cut."""
    credits = [origin.credit for origin in _origins(view) if origin.credit]
    return list(dict.fromkeys(clean(credit) for credit in credits))


def remark_sentences(view: View) -> list[str]:
    """What is missing or odd without making a yard blind."""
    return list(dict.fromkeys(clean(remark) for remark in view.morning.remarks))


def clock_notes(view: View) -> list[str]:
    """Whose clock the hours are on, and when it changes."""
    morning = view.morning
    day = view.chosen.day if view.chosen else view.today
    changes = {
        note: None
        for tz in sorted(set(view.zones.values()))
        for ranked in sorted(item.day for item in morning.days)
        if (note := clock.change_at_work(ranked, tz, morning.crews))
    }
    noon = clock.noon(day, morning.tz)
    home, now = (clock.abbreviation(when, morning.tz) for when in (noon, morning.issued_at))
    away = [name for name in view.abbreviations(noon) if name != home]
    if away:
        return [f"Each yard on its own clock: {home}, or {' or '.join(away)} as marked.", *changes]
    return [f"Hours on {clock.day_words(day)} are {home}.", *changes] if home != now else [*changes]
