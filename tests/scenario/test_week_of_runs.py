"""A week of mornings by a timer that looks every quarter of an hour, with all that goes wrong."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest
from support.errands import DAY, DUE, HOUR, MINUTE, THERE, Outfit, an_outfit

QUARTER = 15 * MINUTE


@pytest.fixture
def outfit(tmp_path: Path) -> Iterator[Outfit]:
    with an_outfit(tmp_path) as one:
        yield one


def look(outfit: Outfit, since: datetime, until: datetime) -> list[tuple[str, str, str]]:
    """A timer that looks from one time until before another: who got what, and when (UTC)."""
    got: list[tuple[str, str, str]] = []
    outfit.clock.now = since
    while outfit.clock.now < until:
        before = len(outfit.mail.got)
        outfit.call()
        new = outfit.mail.got[before:]
        got += [(f"{outfit.clock.now:%H:%M}", to.partition("@")[0], s) for to, s, _ in new]
        outfit.clock.forward(QUARTER)
    return got


def at_once(at: str, subject: str = "2 yards") -> list[tuple[str, str, str]]:
    return [(at, "office", subject), (at, "truck", subject)]


def test_a_week(outfit: Outfit) -> None:
    midnight = DUE - 6 * HOUR
    # Tuesday: all is well. The timer is a few minutes off the hour.
    assert look(outfit, midnight + 7 * MINUTE, midnight + DAY) == at_once("14:07")

    # Wednesday: the service is away until eight. The outlook of Tuesday stands in at once.
    day = midnight + DAY
    outfit.weather.away = True
    assert look(outfit, day, day + 8 * HOUR) == at_once("14:00")
    outfit.weather.away = False
    assert look(outfit, day + 8 * HOUR, day + DAY) == []

    # Thursday: the machine is off. Friday: it is switched on at ten.
    day = midnight + 3 * DAY
    assert look(outfit, day + 10 * HOUR, day + DAY) == at_once("18:00", "late: 2 yards")
    assert outfit.mail.texts[-1] == (
        "the morning of Thu 14 Jan 06:00 was missed: nobody ran it in time"
    )

    # Saturday: the truck's mailbox is full until half past seven.
    day = midnight + 4 * DAY
    outfit.mail.refuses = {"truck@vellamoor.example"}
    assert look(outfit, day, day + 7.5 * HOUR) == [("14:00", "office", "2 yards")]
    outfit.mail.refuses = set()
    assert look(outfit, day + 7.5 * HOUR, day + DAY) == [("15:30", "truck", "late: 2 yards")]

    # Sunday: a person sends it at half past six, and again at noon to everybody.
    day = midnight + 5 * DAY
    assert look(outfit, day, day + 6 * HOUR) == []
    outfit.clock.now = day + 6 * HOUR + MINUTE
    assert len(outfit.ask().sent) == 2
    assert look(outfit, day + 6 * HOUR + QUARTER, day + 12 * HOUR) == []
    assert len(outfit.ask(again=True).sent) == 2
    assert look(outfit, day + 12 * HOUR, day + DAY) == []

    # In all: each identity once, and no slot without an answer.
    identities = [identity for _, _, identity in outfit.mail.got]
    assert len(identities) == len(set(identities)) == 12
    states = [run.state for run in outfit.book.runs(midnight.date())]
    assert states == ["done", "done", "missed", "done", "done", "done"]


def test_two_timers_and_a_person_send_each_morning_once(outfit: Outfit) -> None:
    for day in range(7):
        outfit.clock.now = DUE + day * DAY
        assert outfit.call() is not None
        assert outfit.call(THERE) is None
        assert outfit.ask().sent == ()
        outfit.clock.forward(MINUTE)
    assert len(outfit.mail.got) == 14
    assert len(set(outfit.mail.got)) == 14


def test_a_clock_that_was_set_back_sends_nothing_again(outfit: Outfit) -> None:
    for day in range(4):
        outfit.clock.now = DUE + day * DAY
        outfit.call()
    for back in (MINUTE, HOUR, DAY, 3 * DAY):
        outfit.clock.now = DUE + 3 * DAY - back
        assert outfit.call() is None
    assert len(outfit.mail.got) == 8


def test_both_changes_of_the_clock_have_one_morning_a_day(outfit: Outfit) -> None:
    for month, day in ((10, 31), (3, 13)):
        first = datetime(2026 if month > 6 else 2027, month, day, 8, tzinfo=DUE.tzinfo)
        times = [at for at, _, _ in look(outfit, first, first + 3 * DAY)]
        outfit.mail.got.clear()
        assert len(times) == 6
        assert times[0] != times[-1]  # an hour apart in UTC, six o'clock in both
