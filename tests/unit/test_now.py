"""The clock that a command reads: the machine's, or one that a person has set."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
import typer

from windowcast.cli.now import clock_from


def test_a_clock_that_was_set_runs_on_from_there() -> None:
    clock = clock_from("2027-01-12T06:00-08:00")
    first, second = clock(), clock()
    begin = datetime(2027, 1, 12, 14, tzinfo=UTC)
    assert begin <= first <= second < begin + timedelta(seconds=10)


def test_without_a_setting_it_is_the_machines() -> None:
    clock = clock_from(None)
    before, shown, after = datetime.now(UTC), clock(), datetime.now(UTC)
    assert before <= shown <= after


def test_a_setting_that_is_no_time_is_wrong_use() -> None:
    with pytest.raises(typer.BadParameter, match="is not an ISO 8601 time"):
        clock_from("six o'clock")
