"""Visits as a table with what treatment records usually ask for, and back.

Every visit comes back as it was, its kinds of hives in the order of ``HIVE_KINDS``. Columns in SI
are the record; ``colonies`` and ``grams`` in all are compared with their parts, ``weather`` is for
people, and ``number`` is the book's own: the last two are not read.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import fields
from datetime import UTC, date, datetime
from functools import partial
from typing import Any

from windowcast.problems import ConfigProblem
from windowcast.records.cells import (
    Row,
    count_of,
    each_read,
    number_of,
    shown,
    table_rows,
    table_text,
)
from windowcast.terms.visit import HIVE_KINDS, WEATHER_NAMES, Treated, Visit, VisitWeather
from windowcast.times import local

GRAMS = {kind: f"grams_{kind}" for kind in HIVE_KINDS}
COLUMNS = (
    "number", "date", "began", "yard", "yard_name", "state", "round", "colonies", "of_colonies",
    "whole", *HIVE_KINDS, "grams", *GRAMS.values(), "product", "registration", "crew", "person",
    "weather", "weather_hour", *WEATHER_NAMES, "weather_source", "note", "logged_at",
)  # fmt: skip
NEEDED = ("date", "yard", "round")

_TEXTS = ("yard_name", "state", "product", "registration", "crew", "person", "note")
_ROUNDING = 1e-6  # of a sum that a spreadsheet worked out
_WHOLE = {"": False, "no": False, "false": False, "yes": True, "true": True}


def visits_text(
    visits: Iterable[Visit],
    *,
    zones: Mapping[str, str],
    weather_words: Callable[[VisitWeather], str],
) -> str:
    """The table of some visits. Instants are on the clock of ``zones`` by yard, else in UTC."""
    return table_text(
        COLUMNS,
        (_cells(visit, zones.get(visit.yard_key), weather_words) for visit in visits),
    )


def read_visits(text: str, *, file: str, now: datetime) -> tuple[Visit, ...]:
    """The visits of a table; ConfigProblem with every fault of every row.

    A visit without ``logged_at`` counts as logged ``now``.
    """
    rows = table_rows(text, file=file, columns=COLUMNS, needed=NEEDED)
    return each_read(rows, partial(_visit, now=now))


def new_among(read: Iterable[Visit], booked: Iterable[Visit]) -> tuple[Visit, ...]:
    """Those of the read visits that the book lacks.

    A visit is the same whose content is, apart from its number, the time of logging and the
    colonies of its yard, which older tables lack. What stands in a file twice, with one time of
    logging, counts once; what was booked twice at two times is two visits.
    """
    left = Counter(_content(visit) for visit in booked)
    once = {(_content(visit), visit.logged_at): visit for visit in read}
    fresh = []
    for (content, _), visit in once.items():
        if left[content]:
            left[content] -= 1
        else:
            fresh.append(visit)
    return tuple(fresh)


def in_order(treated: Iterable[Treated]) -> tuple[Treated, ...]:
    """The same in the order of ``HIVE_KINDS``."""
    return tuple(sorted(treated, key=lambda item: HIVE_KINDS.index(item.kind)))


def _content(visit: Visit) -> tuple[Any, ...]:
    told = [
        getattr(visit, field.name)
        for field in fields(visit)
        if field.name not in ("number", "logged_at", "treated", "of_colonies")
    ]
    return (*told, in_order(visit.treated))


def _cells(
    visit: Visit, tz: str | None, weather_words: Callable[[VisitWeather], str]
) -> Sequence[str]:
    by_kind = {item.kind: item for item in visit.treated}
    weather = visit.weather
    cells = {
        "number": _plain(visit.number),
        "date": visit.day.isoformat(),
        "began": _moment(visit.began_at, tz),
        "yard": visit.yard_key,
        "round": str(visit.round_no),
        "colonies": _plain(visit.colonies),
        "of_colonies": _plain(visit.of_colonies),
        "whole": "yes" if visit.whole else "",
        "grams": _plain(visit.acid_g),
        **{name: getattr(visit, name) for name in _TEXTS},
        **{kind: str(item.colonies) for kind, item in by_kind.items()},
        **{GRAMS[kind]: _plain(item.acid_g) for kind, item in by_kind.items()},
        "logged_at": _moment(visit.logged_at, tz),
    }
    if weather is not None:
        cells |= {
            "weather": weather_words(weather),
            "weather_hour": _moment(weather.hour, tz),
            "weather_source": weather.source,
            **{name: _plain(getattr(weather, name)) for name in WEATHER_NAMES},
        }
    return [cells.get(column, "") for column in COLUMNS]


def _plain(value: float | None) -> str:
    """A number with all its digits: as many as make the same number again."""
    if value is None:
        return ""
    return str(value) if isinstance(value, int) else repr(float(value))


def _moment(moment: datetime | None, tz: str | None) -> str:
    if moment is None:
        return ""
    return (local(moment, tz) if tz else moment.astimezone(UTC)).isoformat()


def _visit(row: Row, *, now: datetime) -> Visit:
    """The visit of a row; ConfigProblem with all that is wrong with it."""
    number = partial(_if_told, partial(number_of, commas=row.commas))
    made = row.read(
        {
            "date": _day,
            "yard": str.strip,
            "round": count_of,
            "began": partial(_if_told, _instant),
            "logged_at": partial(_if_told, partial(_logged, now=now)),
            "weather_hour": partial(_if_told, _instant),
            **dict.fromkeys(("weather_source", *_TEXTS), str),
            "whole": _yes,
            **dict.fromkeys(("colonies", "of_colonies", *HIVE_KINDS), partial(_if_told, count_of)),
            **dict.fromkeys(("grams", *GRAMS.values(), *WEATHER_NAMES), number),
        }
    )
    try:
        return Visit(
            yard_key=made["yard"],
            day=made["date"],
            round_no=made["round"],
            began_at=made["began"],
            logged_at=made["logged_at"] or now,
            treated=_treated(made),
            of_colonies=made["of_colonies"],
            whole=made["whole"],
            weather=_weather(made),
            **{name: made[name] for name in _TEXTS},
        )
    except ValueError as error:
        raise ConfigProblem([row.wrong("", error)]) from error


def _treated(made: Mapping[str, Any]) -> tuple[Treated, ...]:
    told = {kind: made[kind] for kind in HIVE_KINDS if made[kind]}
    if not told and any(made[kind] == 0 for kind in (*HIVE_KINDS, "colonies")):
        raise ValueError("0 colonies are no treatment; delete the row, or empty its counts")
    grams = {kind: made[GRAMS[kind]] for kind in HIVE_KINDS if made[GRAMS[kind]] is not None}
    for kind in grams:
        if kind not in told:
            raise ValueError(f"grams for {kind} stand beside none treated; write how many were")
    if made["grams"] is not None and not grams and len(told) == 1:
        grams = dict.fromkeys(told, made["grams"])
    _demand_sum("colonies", made["colonies"], told.values())
    if made["grams"] is not None and len(grams) < max(len(told), 1):
        raise ValueError("grams in all cannot be shared out; write the grams of each kind")
    _demand_sum("grams", made["grams"], grams.values())
    return tuple(
        Treated(kind=kind, colonies=count, acid_g=grams.get(kind)) for kind, count in told.items()
    )


def _demand_sum(what: str, whole: float | None, parts: Iterable[float]) -> None:
    total = math.fsum(parts)
    if whole is not None and not math.isclose(whole, total, rel_tol=_ROUNDING):
        raise ValueError(
            f"{what} {whole:g} is not the sum of its kinds, which is {total:g}; correct one of them"
        )


def _weather(made: Mapping[str, Any]) -> VisitWeather | None:
    told = {name: made[name] for name in WEATHER_NAMES}
    if made["weather_hour"] is None:
        if made["weather_source"].strip() or any(value is not None for value in told.values()):
            raise ValueError("weather has no hour; write weather_hour, or leave the weather away")
        return None
    return VisitWeather(hour=made["weather_hour"], source=made["weather_source"], **told)


def _if_told(read: Callable[[str], Any], text: str) -> Any:
    return read(text) if text.strip() else None


def _yes(text: str) -> bool:
    word = text.strip().casefold()
    if word not in _WHOLE:
        raise ValueError(f"{shown(text)} is neither yes nor no; write yes, or leave it empty")
    return _WHOLE[word]


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text.strip())
    except ValueError as error:
        raise ValueError(
            f"{shown(text)} is not a day; write it as 2027-01-12, in a column formatted as text"
        ) from error


def _instant(text: str) -> datetime:
    example = "2027-01-12T10:30-08:00"
    try:
        moment = datetime.fromisoformat(text.strip())
        if moment.tzinfo is not None:
            return moment.astimezone(UTC)
    except (ValueError, OverflowError) as error:
        raise ValueError(f"{shown(text)} is not a time; write it as {example}") from error
    raise ValueError(f"{shown(text)} has no offset from UTC; write it as {example}")


def _logged(text: str, *, now: datetime) -> datetime:
    moment = _instant(text)
    if moment > now:
        raise ValueError(f"{shown(text)} has not come yet; write a time gone by")
    return moment


def unknown_yards(visits: Iterable[Visit], known: Iterable[str]) -> tuple[str, ...]:
    """Yards of some visits that are not among those known, each once, in their order."""
    listed = frozenset(known)
    return tuple(dict.fromkeys(v.yard_key for v in visits if v.yard_key not in listed))
