"""When an answer without an issue time was issued at the latest, by its days."""

from datetime import UTC, datetime, timedelta

import pytest
from support.open_meteo_payloads import START, answer, body, on_local_clock

from windowcast.sources.wire.open_meteo import PointForecast, read_forecasts
from windowcast.sources.wire.open_meteo_issue import issue_day_begins, issue_of

DAY = timedelta(days=1)
MORNING = START + timedelta(hours=6)  # 06:00 of 5 January in America/Boise


def point(days: float = 14, start: datetime = START, **more: object) -> PointForecast:
    (told,) = read_forecasts(body(answer(int(days * 24), start=start) | more))
    return told


@pytest.mark.parametrize(
    ("asked_at", "issued_at"),
    [
        (MORNING, MORNING),
        (START + DAY, START + DAY),
        (START + DAY + timedelta(seconds=1), START + DAY),
        (MORNING + 6 * DAY, START + DAY),
    ],
)
def test_nothing_is_issued_after_the_first_day_of_a_short_answer(
    asked_at: datetime, issued_at: datetime
) -> None:
    assert issue_of(point(), asked_at, asked_at).at == issued_at


def test_a_copy_fetched_on_the_day_is_as_old_as_the_fetching() -> None:
    issue = issue_of(point(), MORNING + 6 * DAY, MORNING)
    assert (issue.at, issue.clause) == (MORNING, "")


@pytest.mark.parametrize(("days", "lead"), [(21.95, 0), (22, 7), (23, 7)])
def test_a_whole_answer_begins_seven_days_before_its_day(days: float, lead: int) -> None:
    assert issue_day_begins(point(days)) == START + lead * DAY


@pytest.mark.parametrize(("begins_in", "is_future"), [(timedelta(0), False), (timedelta(1), True)])
def test_a_day_that_has_not_begun_is_told_by_its_beginning(
    begins_in: timedelta, is_future: bool
) -> None:
    issue = issue_of(point(start=START + begins_in), START, START)
    assert issue.at == START + begins_in
    assert issue.clause.startswith("by its days from") is is_future


@pytest.mark.parametrize("hour", [1, 12, 23])
def test_an_answer_that_begins_in_the_midst_of_a_day_is_of_that_day(hour: int) -> None:
    assert issue_day_begins(point(start=START + timedelta(hours=hour))) == START


def test_local_stamps_and_seconds_of_utc_are_of_one_day() -> None:
    (local,) = read_forecasts(body(on_local_clock(answer(), -25200)))
    assert issue_day_begins(local) == START


@pytest.mark.parametrize("offset_s", [-12600, 12600, 19800, 20700, 45900, -34200, 0, 50400])
def test_the_day_is_found_on_every_clock(offset_s: int) -> None:
    midnight = datetime(2027, 1, 5, tzinfo=UTC) - timedelta(seconds=offset_s)
    told = answer(48, start=midnight) | {"utc_offset_seconds": offset_s}
    (point_told,) = read_forecasts(body(told))
    assert issue_day_begins(point_told) == midnight


@pytest.mark.parametrize("offset", [None, "soon", True, 10**9])
def test_without_an_offset_the_day_begins_with_the_answer(offset: object) -> None:
    late = START + timedelta(hours=5)
    told = point(start=late, utc_offset_seconds=offset)
    assert told.utc_offset_s is None
    assert issue_day_begins(told) == late


@pytest.mark.parametrize("days", [14.0, 23.0])
def test_an_answer_of_a_week_ago_is_never_taken_for_todays(days: float) -> None:
    """An old answer begins, to the day, where a question of today would begin."""
    began = issue_day_begins(point(days))
    now = began + timedelta(hours=6) + 7 * DAY
    assert issue_of(point(days), now, now).at == began + DAY
