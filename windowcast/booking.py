"""The weather that a visit keeps: from the book, else from the sources, and never at any price."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta

import numpy as np

from windowcast.gather import ANY_AGE, Gathered, has_moved
from windowcast.ports import Memory
from windowcast.problems import WindowcastError
from windowcast.science.visit_hour import weather_of_hour
from windowcast.terms.visit import VisitWeather
from windowcast.terms.yard import Yard
from windowcast.times import as_hour, local_date

SOURCES_TELL = timedelta(days=7)  # how far back records of the past reach

NO_HOUR = "nobody told when the work began (--began)"
TOO_OLD = "the book has none for that hour, and the services tell no more than the last 7 days"
NOT_TOLD = "neither the book nor a source tells that hour"
STOPPED = "asking was stopped"


def hour_meant(began_at: datetime | None, day: date, now: datetime, tz: str) -> datetime | None:
    """The UTC hour whose weather a visit keeps, None where none is known.

    That in which the work began; of a visit of today without it, that of the logging.
    """
    at = began_at or (now if local_date(now, tz) == day else None)
    return at.astimezone(UTC).replace(minute=0, second=0, microsecond=0) if at else None


def weather_at(
    yard_key: str,
    hour: datetime | None,
    now: datetime,
    memory: Memory,
    ask: Callable[[], Gathered],
    yard: Yard | None = None,
) -> tuple[VisitWeather | None, str]:
    """The weather of an hour gone by or running, and why there is none where there is none.

    The book is asked first. The sources are asked through ``ask``, and only about the last seven
    days; whatever goes wrong with them, or a person who has no patience, is a sentence. What was
    kept where ``yard`` stands no more is not its weather.
    """
    if hour is None:
        return None, NO_HOUR
    wanted = as_hour(hour)
    last = memory.outlook_of(yard_key, now - ANY_AGE)
    if yard is not None and last is not None and has_moved(yard, last.place):
        return _from_sources(wanted, ask)
    kept = memory.hours_of(yard_key, np.array([wanted], dtype="datetime64[h]"))
    found = weather_of_hour(kept, wanted) if kept else None
    if found:
        return found, ""
    if hour < now - SOURCES_TELL:
        return None, TOO_OLD
    return _from_sources(wanted, ask)


def _from_sources(
    hour: np.datetime64, ask: Callable[[], Gathered]
) -> tuple[VisitWeather | None, str]:
    try:
        gathered = ask()
    except WindowcastError as problem:
        return None, str(problem).partition("\n")[0]
    except KeyboardInterrupt:
        return None, STOPPED
    told = (weather_of_hour(outlook, hour) for outlook in gathered.outlooks)
    found = next((weather for weather in told if weather), None)
    if found:
        return found, ""
    return None, "; ".join(blind.why for blind in gathered.blind) or NOT_TOLD
