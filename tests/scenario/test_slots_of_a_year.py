"""A year of looking at the clock every half hour, in zones with every kind of clock change."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta

import pytest

from windowcast.slots import due_now
from windowcast.terms.kept import SlotKey
from windowcast.times import local_date

ZONES = (
    "America/Boise",  # an hour, at 02:00
    "America/New_York",
    "Europe/London",  # an hour, at 01:00
    "Australia/Lord_Howe",  # half an hour
    "Africa/Casablanca",  # back for a month, by the moon
    "Pacific/Apia",  # beside the date line
    "Asia/Kathmandu",  # a quarter to six hours from UTC
    "America/Havana",  # an hour, at midnight: 00:00 to 00:59 is skipped
)
TIMES = (time(0), time(1, 30), time(2), time(2, 30), time(6), time(23, 59))
BEGIN = datetime(2026, 1, 1, tzinfo=UTC)
POLLS = [BEGIN + timedelta(minutes=30 * step) for step in range(366 * 48)]


@pytest.mark.parametrize("at", TIMES, ids=str)
@pytest.mark.parametrize("tz", ZONES)
def test_every_local_date_has_its_one_slot(tz: str, at: time) -> None:
    run, settled, missed, late = [], set[SlotKey](), 0, 0
    for now in POLLS:
        due = due_now((at,), tz, now, settled)
        missed, late = missed + len(due.missed), late + due.late
        if due.run is not None:
            run.append(due.run.day)
            settled = {due.run}  # a slot before the newest settled one is never opened again
    first = run[0].toordinal()
    assert [day.toordinal() for day in run] == [*range(first, first + len(run))]
    assert run[-1] in {local_date(POLLS[-1], tz) - timedelta(days=back) for back in (0, 1)}
    assert len(run) >= 366
    assert missed == 0
    assert late <= 1  # the first look of all comes when it comes
