"""What must hold for every local day, wherever the yard stands."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from support.outcomes import value_or_refusal

from windowcast import times

ZONES = st.sampled_from(
    [
        "America/New_York", "America/Los_Angeles", "America/Boise", "America/Phoenix",
        "America/St_Johns", "Asia/Kolkata", "Australia/Adelaide", "Pacific/Auckland",
        "Europe/London", "America/Havana", "UTC",
    ]
)  # fmt: skip
DAYS = st.dates(date(2020, 1, 1), date(2040, 12, 31))
HOURS = st.integers(0, 24 * 365 * 40)
MOMENTS = st.datetimes(datetime(1950, 1, 1), datetime(2150, 1, 1), timezones=st.just(UTC))  # noqa: DTZ001


@given(day=DAYS, tz=ZONES)
def test_days_touch_and_have_23_24_or_25_hours(day: date, tz: str) -> None:
    start, end = times.local_day_bounds(day, tz)
    assert times.local_day_bounds(day + timedelta(days=1), tz)[0] == end
    assert end - start in [timedelta(hours=h) for h in (23, 24, 25)]


@given(day=DAYS, tz=ZONES)
def test_a_day_holds_its_first_and_not_its_last_moment(day: date, tz: str) -> None:
    start, end = times.local_day_bounds(day, tz)
    assert times.local_date(start, tz) == day
    assert times.local_date(end - timedelta(seconds=1), tz) == day
    assert times.local_date(end, tz) == day + timedelta(days=1)
    assert times.local_date(start - timedelta(seconds=1), tz) == day - timedelta(days=1)


@given(first=HOURS, count=st.integers(1, 400), tz=ZONES)
def test_the_local_clock_agrees_with_the_local_date(first: int, count: int, tz: str) -> None:
    hours = times.hour_index(np.datetime64(first, "h"), count)
    days, minutes = times.local_clock(hours, tz)
    assert np.all(np.isin(np.diff(days), (0, 1)))
    assert np.all((minutes >= 0) & (minutes < 24 * 60))
    last = times.local(times.as_datetime(hours[-1]), tz)
    assert days[-1] == last.date().toordinal()
    assert minutes[-1] == last.hour * 60 + last.minute


@given(moment=MOMENTS, offset_h=st.integers(-12, 14))
def test_an_instant_survives_being_written_in_any_offset(moment: datetime, offset_h: int) -> None:
    there = moment.astimezone(timezone(timedelta(hours=offset_h)))
    assert times.instant(there.isoformat()) == moment
    assert times.as_hour(there) == times.as_hour(moment)


@given(first=HOURS)
def test_an_hour_becomes_a_moment_and_comes_back(first: int) -> None:
    hour = np.datetime64(first, "h")
    assert times.as_hour(times.as_datetime(hour)) == hour


@given(text=st.text() | MOMENTS.map(str) | st.from_regex(r"[0-9]{4}-[0-9]{2}.{0,20}"))
def test_any_text_is_an_instant_or_one_clause(text: str) -> None:
    moment, refusal = value_or_refusal(times.instant, text)
    assert "; write " in str(refusal) if moment is None else moment.tzinfo is UTC


@given(text=st.text() | ZONES)
def test_any_text_is_a_zone_or_one_clause(text: str) -> None:
    where, refusal = value_or_refusal(times.zone, text)
    assert "; write an IANA name" in str(refusal) if where is None else where.key == text
