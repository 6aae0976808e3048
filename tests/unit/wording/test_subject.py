from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest
from support.mornings import advice, dark, days_on, fit, morning, poor, usual, yard

from windowcast.terms.advice import Blind, Morning
from windowcast.terms.rounds import ALL_DONE, OPEN, RoundDue
from windowcast.wording.gist import decision
from windowcast.wording.subject import LONGEST, subject_of
from windowcast.wording.view import view_of

TODAY, TOMORROW, THIRD = days_on(3)


def subject(told: Morning, **given: bool) -> str:
    return subject_of(view_of(told, "us"), **given)


def test_a_day_to_go_tells_hours_and_yards() -> None:
    assert subject(usual()) == "Go today 08:00-12:00: 3 of 5 yards"


def test_it_says_what_the_notice_says() -> None:
    assert decision(view_of(usual(), "us")) == f"{subject(usual())}."


def test_a_day_to_stay_tells_the_best_one() -> None:
    told = morning([advice("kiln", poor(TODAY), fit(TOMORROW, (8, 13))), advice("mill-ditch")])
    assert subject(told) == "No go today; best Wed 13 Jan, 08:00-13:00, 1 of 2 yards"


def test_a_week_without_a_day_is_told_with_its_end() -> None:
    told = morning([advice("kiln", poor(TODAY), poor(TOMORROW), poor(THIRD))])
    assert subject(told) == "No go on any day to Thu 14 Jan"


def test_a_forecast_of_today_alone_speaks_of_today_alone() -> None:
    assert subject(morning([advice("kiln", poor(TODAY))])) == "No go today"


@pytest.mark.parametrize("items", [[], [advice("kiln", dark(TODAY))]])
def test_a_morning_that_sees_nothing_advises_nothing(items: list) -> None:
    told = subject(morning(items, blind=[Blind(key="dry-fork", why="nws: no answer")]))
    assert "best" not in told
    assert not told.startswith("Go")


def due(key: str, round_no: int | None = 1, **changes: Any) -> RoundDue:
    state = ALL_DONE if round_no is None else OPEN
    return RoundDue(yard_key=key, state=state, round_no=round_no, **changes)


@pytest.mark.parametrize(
    ("rounds", "told"),
    [
        ((due("kiln"), due("mill-ditch")), "both yards, round 1"),
        ((due("kiln", 2), due("mill-ditch", 2)), "both yards, round 2"),
        ((due("kiln"), due("mill-ditch", 2)), "both yards"),
        ((due("kiln"),), "both yards"),
        ((), "both yards"),
        ((due("kiln"), due("mill-ditch", 2, earliest=TOMORROW)), "the one yard due, round 1"),
    ],
)
def test_the_round_is_told_where_all_yards_of_the_day_share_it(rounds: tuple, told: str) -> None:
    items = [advice(key, fit(TODAY)) for key in ("kiln", "mill-ditch")]
    assert subject(morning(items, rounds=rounds)) == f"Go today 08:00-12:00: {told}"


def test_a_season_that_is_over_says_that_nothing_is_due() -> None:
    told = morning([advice("kiln", fit(TODAY))], rounds=(due("kiln", None),), days=())
    assert subject(told).startswith("Nothing to go for: no round is left")


def test_a_late_one_tells_the_time_first() -> None:
    told = replace(usual(), issued_at=datetime(2027, 1, 12, 17, 40, tzinfo=UTC))
    assert subject(told, late=True) == "Late 10:40: Go today 08:00-12:00: 3 of 5 yards"
    assert subject(told) == "Go today 08:00-12:00: 3 of 5 yards"


def test_a_late_one_in_the_hour_that_comes_twice_tells_which() -> None:
    told = replace(usual(), issued_at=datetime(2026, 11, 1, 8, 30, tzinfo=UTC), days=())
    assert subject(told, late=True).startswith("Late 01:30 MST: ")


def test_no_subject_is_longer_than_a_line() -> None:
    zones = ("America/Boise", "America/Los_Angeles")
    told = morning(
        (
            advice(yard(f"kiln-{n}", tz=zones[n % 2]), poor(TODAY), fit(TOMORROW, tz=zones[n % 2]))
            for n in range(1200)
        ),
        blind=[Blind(key="dry-fork", why="nws: no answer")],
        issued_at=datetime(2027, 1, 12, 17, 40, tzinfo=UTC),
    )
    assert subject(told, late=True) == (
        "Late 10:40: No go today; best Wed 13 Jan, 08:00-12:00 local, 1200 of 1,201 yards"[:77]
        + "…"
    )
    assert len(subject(told, late=True)) == LONGEST
