"""UTC hours and local days.

Clock changes are those of 15 U.S.C. 260a: second Sunday in March, first Sunday in November, at
02:00 local time.
"""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta, timezone

import numpy as np
import pytest

from windowcast import times

NEW_YORK = "America/New_York"
LOS_ANGELES = "America/Los_Angeles"


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


@pytest.mark.parametrize(
    ("day", "tz", "start", "end", "length_h"),
    [
        ("2026-10-31", NEW_YORK, "2026-10-31T04:00", "2026-11-01T04:00", 24),
        ("2026-11-01", NEW_YORK, "2026-11-01T04:00", "2026-11-02T05:00", 25),
        ("2026-11-01", LOS_ANGELES, "2026-11-01T07:00", "2026-11-02T08:00", 25),
        ("2027-03-13", LOS_ANGELES, "2027-03-13T08:00", "2027-03-14T08:00", 24),
        ("2027-03-14", NEW_YORK, "2027-03-14T05:00", "2027-03-15T04:00", 23),
        ("2027-03-14", LOS_ANGELES, "2027-03-14T08:00", "2027-03-15T07:00", 23),
        ("2027-03-14", "America/Phoenix", "2027-03-14T07:00", "2027-03-15T07:00", 24),
        ("2026-12-31", "Asia/Kolkata", "2026-12-30T18:30", "2026-12-31T18:30", 24),
        ("2026-12-31", "Asia/Kathmandu", "2026-12-30T18:15", "2026-12-31T18:15", 24),
    ],
)
def test_a_local_day_has_23_24_or_25_hours(
    day: str, tz: str, start: str, end: str, length_h: int
) -> None:
    bounds = times.local_day_bounds(date.fromisoformat(day), tz)
    assert bounds == (utc(start), utc(end))
    assert bounds[1] - bounds[0] == timedelta(hours=length_h)
    assert all(bound.tzinfo is UTC for bound in bounds)


@pytest.mark.parametrize("tz", [NEW_YORK, LOS_ANGELES])
@pytest.mark.parametrize(
    ("day", "clock"),
    [
        (date(2026, 11, 1), [0, 60, 60, *range(120, 1440, 60)]),
        (date(2027, 3, 14), [0, 60, *range(180, 1440, 60)]),
        (date(2027, 1, 12), [*range(0, 1440, 60)]),
    ],
)
def test_the_wall_clock_repeats_or_skips_an_hour(tz: str, day: date, clock: list[int]) -> None:
    start, end = times.local_day_bounds(day, tz)
    count = int((end - start) / timedelta(hours=1))
    days, minutes = times.local_clock(times.hour_index(times.as_hour(start), count), tz)
    assert minutes.tolist() == clock
    assert set(days.tolist()) == {day.toordinal()}


def test_the_hours_beside_a_long_day_belong_to_its_neighbours() -> None:
    hours = times.hour_index(np.datetime64("2026-11-01T03", "h"), 27)
    days, minutes = times.local_clock(hours, NEW_YORK)
    assert days[0] == date(2026, 10, 31).toordinal()
    assert minutes[0] == 23 * 60
    assert days[-1] == date(2026, 11, 2).toordinal()
    assert minutes[-1] == 0


def test_a_half_hour_zone_begins_its_hours_at_half_past() -> None:
    hours = times.hour_index(np.datetime64("2027-01-12T18", "h"), 2)
    days, minutes = times.local_clock(hours, "Asia/Kolkata")
    assert minutes.tolist() == [23 * 60 + 30, 30]
    assert days.tolist() == [date(2027, 1, 12).toordinal(), date(2027, 1, 13).toordinal()]


def test_a_local_clock_cannot_be_changed_in_place() -> None:
    hours = times.hour_index(np.datetime64("2027-01-12T18", "h"), 3)
    days, minutes = times.local_clock(hours, NEW_YORK)
    for answer in (days, minutes):
        with pytest.raises(ValueError, match="read-only"):
            answer[0] = 0


def test_an_empty_hour_index_has_an_empty_clock() -> None:
    days, minutes = times.local_clock(times.hour_index(np.datetime64("2027-01-12", "h"), 0), "UTC")
    assert days.size == minutes.size == 0


@pytest.mark.parametrize(
    ("moment", "day"),
    [
        ("2027-01-12T04:59", date(2027, 1, 11)),
        ("2027-01-12T05:00", date(2027, 1, 12)),
        ("2027-01-13T04:59", date(2027, 1, 12)),
    ],
)
def test_the_local_date_turns_at_local_midnight(moment: str, day: date) -> None:
    assert times.local_date(utc(moment), NEW_YORK) == day


@pytest.mark.parametrize(
    ("day", "at", "moment"),
    [
        ("2027-01-12", time(6), "2027-01-12T13:00"),
        ("2027-03-14", time(1, 59), "2027-03-14T08:59"),
        ("2027-03-14", time(2, 30), "2027-03-14T09:30"),  # skipped: moved on to 03:30
        ("2027-03-14", time(3), "2027-03-14T09:00"),
        ("2026-11-01", time(1, 30), "2026-11-01T07:30"),  # twice: the first
        ("2026-11-01", time(1, 30, fold=1), "2026-11-01T07:30"),
        ("2026-11-01", time(2), "2026-11-01T09:00"),
    ],
)
def test_a_clock_time_has_one_instant(day: str, at: time, moment: str) -> None:
    found = times.clock_instant(date.fromisoformat(day), at, "America/Boise")
    assert found == utc(moment)
    assert found.tzinfo is UTC


@pytest.mark.parametrize(
    ("day", "season"),
    [("2026-06-30", 2025), ("2026-07-01", 2026), ("2026-12-31", 2026), ("2027-01-01", 2026),
     ("2027-06-30", 2026), ("2027-07-01", 2027)],
)  # fmt: skip
def test_a_season_runs_from_july_to_june(day: str, season: int) -> None:
    assert times.season_of(date.fromisoformat(day)) == season


def test_local_is_the_same_instant_on_another_clock() -> None:
    moment = utc("2027-01-12T13:00")
    there = times.local(moment, "America/Boise")
    assert there == moment
    assert there.isoformat() == "2027-01-12T06:00:00-07:00"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2024-02-21T06:00-06:00", "2024-02-21T12:00"),
        ("2022-02-04T03:15:00+00:00", "2022-02-04T03:15"),
        ("2022-02-04T03:15:00Z", "2022-02-04T03:15"),
        ("2026-11-01T01:30-04:00", "2026-11-01T05:30"),
        ("2026-11-01T01:30-05:00", "2026-11-01T06:30"),
    ],
)
def test_an_instant_is_read_with_its_offset(text: str, expected: str) -> None:
    assert times.instant(text) == utc(expected)
    assert times.instant(text).tzinfo is UTC


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            "tomorrow",
            '"tomorrow" is not an ISO 8601 time; write one such as 2027-01-12T06:00-07:00',
        ),
        ("", '"" is not an ISO 8601 time'),
        ("2027-02-30T06:00-07:00", '"2027-02-30T06:00-07:00" is not an ISO 8601 time'),
        ("2027-01-12T06:00", "has no offset from UTC; write one such as 2027-01-12T06:00-07:00"),
        ("2027-01-12", "has no offset from UTC; write one such as 2027-01-12T00:00-07:00"),
        ("0001-01-01T00:00+14:00", "is out of reach; write a year from 1900 to 2199"),
        ("9999-12-31T23:59-12:00", "is out of reach; write a year from 1900 to 2199"),
    ],
)
def test_a_time_that_is_no_instant_is_refused(text: str, sentence: str) -> None:
    with pytest.raises(ValueError, match=re.escape(sentence)):
        times.instant(text)


@pytest.mark.parametrize(
    "name",
    ["", "Mars/Olympus", "America", "../../etc/passwd", "/etc/localtime", "a\0b", "A" * 5000, "é"],
)
def test_what_is_no_zone_is_refused(name: str) -> None:
    with pytest.raises(ValueError, match='is not a time zone; write an IANA name such as "America'):
        times.zone(name)


def test_the_hour_that_holds_a_moment() -> None:
    assert times.as_hour(utc("2027-01-12T13:00")) == np.datetime64("2027-01-12T13", "h")
    assert times.as_hour(utc("2027-01-12T13:59:59")) == np.datetime64("2027-01-12T13", "h")
    boise = datetime(2027, 1, 12, 6, 30, tzinfo=timezone(timedelta(hours=-7)))
    assert times.as_hour(boise) == np.datetime64("2027-01-12T13", "h")


def test_a_naive_moment_has_no_hour() -> None:
    with pytest.raises(ValueError, match="naive"):
        times.as_hour(datetime(2027, 1, 12, 6))  # noqa: DTZ001  (the fault under test)


def test_an_hour_of_the_index_is_an_aware_moment() -> None:
    moment = times.as_datetime(np.datetime64("2027-01-12T13", "h"))
    assert moment == utc("2027-01-12T13:00")
    assert moment.tzinfo is UTC


def test_an_hour_index_has_no_gap() -> None:
    hours = times.hour_index(np.datetime64("2026-12-31T22", "h"), 4)
    assert hours.dtype == np.dtype("datetime64[h]")
    assert [str(hour) for hour in hours] == [
        "2026-12-31T22", "2026-12-31T23", "2027-01-01T00", "2027-01-01T01",
    ]  # fmt: skip


def test_an_hour_index_may_start_from_a_finer_time() -> None:
    hours = times.hour_index(np.datetime64("2027-01-12T13:45:10", "s"), 1)
    assert str(hours[0]) == "2027-01-12T13"
