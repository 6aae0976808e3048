"""Which morning is due.

Clock changes in Boise are those of 15 U.S.C. 260a: 8 March and 1 November 2026, at 02:00 local
time; UTC-7 in winter, UTC-6 in summer, so that every instant below can be worked out by hand.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest

from windowcast.slots import NOTHING, Due, due_now, latest_due, slot_instant
from windowcast.terms.kept import SlotKey
from windowcast.times import zone

BOISE = "America/Boise"
SIX = (time(6),)
MARCH = date(2026, 3, 8)
NOVEMBER = date(2026, 11, 1)
TUESDAY = date(2027, 1, 12)  # 06:00 in Boise is 13:00 UTC


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def six(day: date, *, later: int = 0) -> SlotKey:
    return SlotKey(day=day + timedelta(days=later), at=time(6))


def due(now: str, *settled: SlotKey, run_at: tuple[time, ...] = SIX) -> Due:
    return due_now(run_at, BOISE, utc(now), frozenset(settled))


@pytest.mark.parametrize(
    ("day", "at", "instant"),
    [
        (MARCH, "02:30", "2026-03-08T09:30"),  # skipped: moved on to 03:30
        (MARCH, "06:00", "2026-03-08T12:00"),
        (NOVEMBER, "01:30", "2026-11-01T07:30"),  # twice: the first
        (NOVEMBER, "06:00", "2026-11-01T13:00"),
        (TUESDAY, "06:00", "2027-01-12T13:00"),
    ],
)
def test_a_slot_has_one_instant(day: date, at: str, instant: str) -> None:
    found = slot_instant(SlotKey(day=day, at=time.fromisoformat(at)), BOISE)
    assert found == utc(instant)
    assert found.tzinfo is UTC


@pytest.mark.parametrize(("day", "hours"), [(MARCH, 23), (NOVEMBER, 25), (TUESDAY, 24)])
def test_slots_are_23_or_25_hours_apart_when_clocks_change(day: date, hours: int) -> None:
    before, after = (slot_instant(six(day, later=later), BOISE) for later in (-1, 0))
    assert after - before == timedelta(hours=hours)


def test_the_repeated_hour_is_compared_in_utc() -> None:
    """On one zone's clock both halves of the hour are equal; in UTC an hour lies between."""
    first, second = (datetime(2026, 11, 1, 1, 30, tzinfo=zone(BOISE), fold=fold) for fold in (0, 1))
    assert first == second  # the trap
    done = SlotKey(day=NOVEMBER, at=time(1, 30))
    assert due_now((time(1, 30),), BOISE, first, frozenset()).run == done
    assert not due_now((time(1, 30),), BOISE, first, frozenset()).late
    assert due_now((time(1, 30),), BOISE, second, frozenset()).late
    assert due_now((time(1, 30),), BOISE, second, {done}) == NOTHING


@pytest.mark.parametrize(
    ("now", "day"),
    [
        ("2027-01-12T12:59:59", date(2027, 1, 11)),
        ("2027-01-12T13:00:00", TUESDAY),
        ("2027-01-13T12:59:59", TUESDAY),
    ],
)
def test_a_slot_is_due_from_its_instant_on(now: str, day: date) -> None:
    assert latest_due(SIX, BOISE, utc(now)) == six(day)


def test_nothing_is_due_before_the_time_of_the_day() -> None:
    assert due("2027-01-12T12:59:59", six(TUESDAY, later=-1)) == NOTHING


def test_a_slot_runs_on_time() -> None:
    found = due("2027-01-12T13:00:30", six(TUESDAY, later=-1))
    assert found == Due(run=six(TUESDAY), at=utc("2027-01-12T13:00"))


def test_a_settled_slot_does_not_run_again() -> None:
    assert due("2027-01-12T13:01", six(TUESDAY)) == NOTHING


@pytest.mark.parametrize(
    ("now", "late"), [("2027-01-12T13:20", False), ("2027-01-12T13:20:01", True)]
)
def test_more_than_twenty_minutes_is_late(now: str, late: bool) -> None:
    assert due(now, six(TUESDAY, later=-1)).late == late


def test_a_morning_is_caught_up_to_ten_hours_later() -> None:
    found = due("2027-01-12T23:00", six(TUESDAY, later=-1))
    assert found == Due(run=six(TUESDAY), at=utc("2027-01-12T13:00"), late=True)


def test_beyond_ten_hours_a_morning_is_missed() -> None:
    found = due("2027-01-12T23:00:01", six(TUESDAY, later=-1))
    assert found == Due(missed=(six(TUESDAY),))


def test_a_missed_morning_is_told_once() -> None:
    marked = due("2027-01-12T23:30", six(TUESDAY, later=-1)).missed
    assert due("2027-01-12T23:31", six(TUESDAY, later=-1), *marked) == NOTHING


def test_the_catch_up_is_an_argument() -> None:
    now, done = utc("2027-01-12T15:00:01"), {six(TUESDAY, later=-1)}
    assert due_now(SIX, BOISE, now, done, timedelta(hours=2)).run is None
    assert due_now(SIX, BOISE, now, done, timedelta(hours=3)).run == six(TUESDAY)


def test_after_four_days_off_only_the_newest_runs() -> None:
    found = due("2027-01-12T14:00", six(TUESDAY, later=-4))
    assert found.run == six(TUESDAY)
    assert found.late
    assert found.missed == tuple(six(TUESDAY, later=later) for later in (-3, -2, -1))


def test_a_gap_in_the_book_before_the_newest_settled_slot_stays_closed() -> None:
    assert due("2027-01-12T14:00", six(TUESDAY, later=-4), six(TUESDAY)) == NOTHING


def test_an_empty_book_promised_nothing_but_may_run_today() -> None:
    assert due("2027-01-12T14:00") == Due(run=six(TUESDAY), at=utc("2027-01-12T13:00"), late=True)
    assert due("2027-01-12T23:30") == NOTHING


def test_a_clock_set_back_runs_nothing_twice() -> None:
    done = (six(TUESDAY, later=-1), six(TUESDAY))
    for now in ("2027-01-12T12:00", "2027-01-12T13:00", "2027-01-12T14:00"):
        assert due(now, *done) == NOTHING
    assert due("2027-01-13T13:00", *done).run == six(TUESDAY, later=1)


def test_a_slot_that_ran_under_a_clock_years_ahead_does_not_stop_today() -> None:
    assert due("2027-01-12T13:00", six(date(2031, 5, 1)), six(TUESDAY, later=-1)).run == six(
        TUESDAY
    )


def test_a_slot_of_another_kind_is_no_morning() -> None:
    other = SlotKey(day=TUESDAY, at=time(6), kind="rehearsal")
    assert due("2027-01-12T13:00", other, six(TUESDAY, later=-1)).run == six(TUESDAY)


def test_of_two_times_a_day_each_runs() -> None:
    times = (time(17), time(6))
    morning, evening = (SlotKey(day=TUESDAY, at=at) for at in (time(6), time(17)))
    before = SlotKey(day=date(2027, 1, 11), at=time(17))
    assert due("2027-01-12T13:00", before, run_at=times).run == morning
    assert due("2027-01-12T23:59", before, morning, run_at=times) == NOTHING
    assert due("2027-01-13T00:00", before, morning, run_at=times).run == evening


def test_the_later_of_two_times_replaces_the_earlier() -> None:
    found = due("2027-01-12T14:00", six(TUESDAY, later=-1), run_at=(time(6), time(7)))
    assert found.run == SlotKey(day=TUESDAY, at=time(7))
    assert found.missed == (SlotKey(day=date(2027, 1, 11), at=time(7)), six(TUESDAY))


def test_an_earlier_time_written_in_after_the_run_waits_for_tomorrow() -> None:
    assert due("2027-01-12T14:00", six(TUESDAY), run_at=(time(5),)) == NOTHING
    tomorrow = due("2027-01-13T12:00", six(TUESDAY), run_at=(time(5),))
    assert tomorrow == Due(
        run=SlotKey(day=date(2027, 1, 13), at=time(5)), at=utc("2027-01-13T12:00")
    )


def test_two_times_that_a_clock_change_throws_together_are_one_morning() -> None:
    """Lord Howe goes from 02:00 to 02:30 on 4 October 2026: both are 15:30 UTC the day before."""
    times, spring = (time(2), time(2, 30)), date(2026, 10, 4)
    done = {SlotKey(day=date(2026, 10, 3), at=time(2, 30))}
    found = due_now(times, "Australia/Lord_Howe", utc("2026-10-03T15:30"), done)
    assert found == Due(run=SlotKey(day=spring, at=time(2, 30)), at=utc("2026-10-03T15:30"))
    assert found.run is not None
    later = due_now(times, "Australia/Lord_Howe", utc("2026-10-03T16:00"), done | {found.run})
    assert later == NOTHING


def test_a_date_that_a_zone_left_out_has_no_slot() -> None:
    """Apia went from 29 to 31 December 2011 when it crossed the date line."""
    done = {six(date(2011, 12, 29))}
    found = due_now(SIX, "Pacific/Apia", utc("2011-12-30T16:00"), done)
    assert found == Due(run=six(date(2011, 12, 31)), at=utc("2011-12-30T16:00"))


@pytest.mark.parametrize(
    ("run_at", "now", "sentence"),
    [
        ((), utc("2027-01-12T13:00"), "no time of the day"),
        (SIX, datetime(2027, 1, 12, 13), "naive"),  # noqa: DTZ001  (the fault under test)
        (SIX, utc("9999-12-31T23:59"), "the year 9999 is not from 1900 to 2199"),
    ],
)
def test_what_cannot_be_asked_is_refused(
    run_at: tuple[time, ...], now: datetime, sentence: str
) -> None:
    with pytest.raises(ValueError, match=sentence):
        due_now(run_at, BOISE, now, frozenset())


def test_a_zone_that_does_not_exist_is_refused() -> None:
    with pytest.raises(ValueError, match="is not a time zone"):
        due_now(SIX, "Idaho/Kiln", utc("2027-01-12T13:00"), frozenset())
