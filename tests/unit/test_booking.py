"""Where the weather of a visit comes from, and why there may be none."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta

import pytest
from support.outlooks import outlook, yard

from windowcast.booking import SOURCES_TELL, hour_meant, weather_at
from windowcast.gather import Gathered
from windowcast.problems import ConfigProblem, Fault, SourceDown
from windowcast.terms.advice import Blind
from windowcast.terms.kept import KeptOutlook
from windowcast.terms.outlook import Origin, Outlook
from windowcast.terms.visit import Visit
from windowcast.terms.yard import Place
from windowcast.times import Hours

NOW = datetime(2027, 1, 12, 19, 20, tzinfo=UTC)
HOUR = datetime(2027, 1, 12, 18, tzinfo=UTC)
TZ = "America/Los_Angeles"


class OneOutlook:
    """A memory that holds one outlook or none."""

    def __init__(self, kept: Outlook | None = None) -> None:
        self.kept = kept
        self.place: Place | None = None
        self.asked: list[int] = []

    def visits(self, season: int | None = None) -> tuple[Visit, ...]:
        return ()

    def hours_of(self, yard_key: str, hours: Hours) -> Outlook | None:
        self.asked.append(hours.size)
        return self.kept

    def outlook_of(self, yard_key: str, issued_from: datetime) -> KeptOutlook | None:
        if self.kept is None or self.place is None:
            return None
        return KeptOutlook(outlook=self.kept, place=self.place, issued_at=NOW, kept_at=NOW)


def gathered(*outlooks: Outlook, blind: tuple[Blind, ...] = ()) -> Gathered:
    yards = tuple(yard() for _ in outlooks)
    return Gathered(yards=yards, outlooks=outlooks, blind=blind, remarks=())


def nobody() -> Gathered:
    raise AssertionError("the sources were asked")


def raising(problem: BaseException) -> Callable[[], Gathered]:
    def ask() -> Gathered:
        raise problem

    return ask


def why(ask: Callable[[], Gathered], hour: datetime | None = HOUR) -> str:
    weather, said = weather_at("kiln", hour, NOW, OneOutlook(), ask)
    assert weather is None
    return said


def test_the_book_is_asked_first_and_for_one_hour() -> None:
    book = OneOutlook(outlook(temp_c=3.0, origin=Origin(name="nws", kind="past")))
    weather, said = weather_at("kiln", HOUR, NOW, book, nobody)
    assert weather is not None
    assert (weather.temp_c, weather.source, weather.hour, said) == (3.0, "nws", HOUR, "")
    assert book.asked == [1]


def test_the_sources_are_asked_where_the_book_has_nothing() -> None:
    for book in (OneOutlook(), OneOutlook(outlook(count=3))):
        weather, said = weather_at("kiln", HOUR, NOW, book, lambda: gathered(outlook()))
        assert weather is not None
        assert (weather.source, said) == ("nws forecast", "")


def test_without_an_hour_nobody_is_asked() -> None:
    assert why(nobody, None) == "nobody told when the work began (--began)"


def test_the_sources_are_asked_about_seven_days_and_no_more() -> None:
    edge = NOW - SOURCES_TELL
    assert why(nobody, edge - timedelta(hours=1)).startswith("the book has none for that hour")
    assert why(gathered, edge) == "neither the book nor a source tells that hour"


@pytest.mark.parametrize(
    ("ask", "said"),
    [
        (raising(SourceDown("nws: no answer\nafter 3 tries")), "nws: no answer"),
        (raising(ConfigProblem([Fault(file="key", found="is missing", cure="write it")])),
         "key: is missing; write it"),
        (raising(KeyboardInterrupt()), "asking was stopped"),
        (lambda: gathered(blind=(Blind(key="kiln", why="nws: refused"),)), "nws: refused"),
        (lambda: gathered(outlook(count=2)), "neither the book nor a source tells that hour"),
    ],
)  # fmt: skip
def test_whatever_goes_wrong_with_the_sources_is_a_sentence(
    ask: Callable[[], Gathered], said: str
) -> None:
    assert why(ask) == said


def test_the_hour_is_that_in_which_the_work_began() -> None:
    began = datetime(2027, 1, 12, 18, 59, 59, tzinfo=UTC)
    assert hour_meant(began, date(2027, 1, 12), NOW, TZ) == HOUR


@pytest.mark.parametrize(
    ("now", "hour"),
    [
        (datetime(2027, 1, 13, 7, 59, tzinfo=UTC), 7),  # 23:59 at the yard, after midnight UTC
        (datetime(2027, 1, 13, 8, 0, tzinfo=UTC), None),
        (datetime(2027, 1, 12, 8, 0, tzinfo=UTC), 8),
        (datetime(2027, 1, 12, 7, 59, tzinfo=UTC), None),
    ],
)
def test_without_a_time_the_hour_of_logging_stands_for_today_alone(
    now: datetime, hour: int | None
) -> None:
    found = hour_meant(None, date(2027, 1, 12), now, TZ)
    assert (found.hour if found else None) == hour


def test_an_hour_is_one_of_utc_also_where_the_clock_is_off_by_half_an_hour() -> None:
    now = datetime(2027, 1, 12, 6, 50, tzinfo=UTC)  # 12:20 in the zone asked for
    found = hour_meant(None, date(2027, 1, 12), now, "Asia/Kolkata")
    assert found == datetime(2027, 1, 12, 6, tzinfo=UTC)


@pytest.mark.parametrize(("lat_deg", "asked"), [(43.9, [1]), (44.2, [])])
def test_the_weather_of_a_place_where_the_yard_stands_no_more_is_not_its_own(
    lat_deg: float, asked: list[int]
) -> None:
    memory = OneOutlook(outlook(first=HOUR, count=1))
    memory.place = Place(lat_deg=lat_deg, lon_deg=-119.6)
    weather, _ = weather_at("kiln", HOUR, NOW, memory, gathered, yard())
    assert memory.asked == asked
    assert (weather is not None) is bool(asked)
