"""Every visit comes back from its table as it was."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as some
from support.any_books import TEXTS, visits

from windowcast.problems import ConfigProblem
from windowcast.records.visits import COLUMNS, in_order, new_among, read_visits, visits_text
from windowcast.terms.visit import Visit, VisitWeather

LATE = datetime(2200, 1, 1, tzinfo=UTC)
ZONES = some.sampled_from(["America/Boise", "America/Los_Angeles", "Asia/Kathmandu", ""])
WORDS = some.one_of(TEXTS, some.sampled_from(["=1+1", "'=x", "-3.5", "@a\r\nb", " ", "😀", "a;b"]))


@some.composite
def any_visits(draw: some.DrawFn) -> Visit:
    """Legal visits with text that harms tables in every field for text."""
    names = ("yard_name", "state", "crew", "person", "product", "registration", "note")
    return replace(draw(visits()), **{name: draw(WORDS) for name in names})


def words(weather: VisitWeather) -> str:
    return f"=weather of {weather.source}"


@given(some.lists(any_visits(), max_size=4), ZONES)
def test_every_visit_comes_back(booked: list[Visit], tz: str) -> None:
    zones = {visit.yard_key: tz for visit in booked if tz}
    text = visits_text(booked, zones=zones, weather_words=words)
    read = read_visits(text, file="v.csv", now=LATE)
    assert list(read) == [replace(v, treated=in_order(v.treated)) for v in booked]
    assert new_among(read, booked) == ()


@given(any_visits(), some.timedeltas(timedelta(0), timedelta(days=9)))
def test_the_number_and_the_time_of_logging_make_no_other_visit(
    visit: Visit, later: timedelta
) -> None:
    again = replace(visit, logged_at=visit.logged_at + later)
    assert new_among([again], [replace(visit, number=7)]) == ()
    assert new_among([again], []) == (again,)


@given(some.dictionaries(some.sampled_from(COLUMNS), some.text(max_size=8)))
def test_any_cells_are_a_visit_or_faults_with_their_line(cells: dict[str, str]) -> None:
    told = {"date": "2027-01-12", "yard": "kiln", "round": "1", **cells}
    rows = [",".join(told), ",".join('"' + c.replace('"', '""') + '"' for c in told.values())]
    lines: set[int | None] = {2}
    try:
        read_visits("\r\n".join(rows), file="v.csv", now=LATE)
    except ConfigProblem as problem:
        lines = {fault.line for fault in problem.faults}
    assert lines == {2}
