from datetime import UTC, datetime

import pytest

from windowcast.sources.wire.intervals import read_duration_s, read_instant, read_interval

START_S = int(datetime(2027, 1, 12, 12, tzinfo=UTC).timestamp())


@pytest.mark.parametrize(
    "text",
    [
        "2027-01-12T12:00:00+00:00/PT6H",
        "2027-01-12T12:00:00Z/PT6H",
        "2027-01-12T12:00Z/PT6H",
        "2027-01-12T05:00:00-07:00/PT6H",
        "2027-01-12T05:00:00-0700/PT6H",
        "2027-01-12T05:00:00-07/PT6H",
        "2027-01-12T12:00:00.5Z/PT6H",
        "2027-01-12T12:00:00Z/PT360M",
        "2027-01-12T12:00:00Z/PT21600S",
        "2027-01-12T12:00:00Z/PT5H59M60S",
        "2027-01-12T12:00:00Z/2027-01-12T18:00:00Z",
        "2027-01-12T12:00:00Z/2027-01-12T11:00:00-07:00",
        "PT6H/2027-01-12T18:00:00Z",
    ],
)
def test_every_form_of_the_same_six_hours_is_read_alike(text: str) -> None:
    assert read_interval(text) == (START_S, 6 * 3600)


@pytest.mark.parametrize(
    ("text", "hours"),
    [("PT1H", 1), ("P1D", 24), ("P1DT10H", 34), ("P7DT18H", 186), ("P2W", 336), ("P1WT1H", 169)],
)
def test_durations_are_whole_seconds(text: str, hours: int) -> None:
    assert read_duration_s(text) == hours * 3600


def test_the_end_is_start_and_duration() -> None:
    assert read_interval("2027-01-12T12:00:00Z/PT90M").end_s == START_S + 5400


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("2027-01-12T12:00:00Z/P1M", "days, hours"),
        ("2027-01-12T12:00:00Z/P1Y", "days, hours"),
        ("2027-01-12T12:00:00Z/P", "days, hours"),
        ("2027-01-12T12:00:00Z/PT", "days, hours"),
        ("2027-01-12T12:00:00Z/P1DT", "days, hours"),
        ("2027-01-12T12:00:00Z/-PT1H", "no time"),
        ("2027-01-12T12:00:00Z/PT-1H", "days, hours"),
        ("2027-01-12T12:00:00Z/PT1.5H", "days, hours"),
        ("2027-01-12T12:00:00Z/PT٣H", "days, hours"),
        ("2027-01-12T12:00:00Z/PT0S", "not last"),
        ("2027-01-12T12:00:00Z/2027-01-12T12:00:00Z", "not last"),
        ("2027-01-12T12:00:00Z/2027-01-12T11:00:00Z", "not last"),
        ("2027-01-12T12:00:00Z/P999999999D", "longer than a year"),
        ("2027-01-12T12:00:00Z/P367D", "longer than a year"),
        ("2027-01-12T12:00:00/PT1H", "no time"),
        ("2027-01-12/PT1H", "no time"),
        ("12.01.2027 12:00/PT1H", "no time"),
        ("2027-02-30T12:00:00Z/PT1H", "no calendar"),
        ("2027-01-12T25:00:00Z/PT1H", "no calendar"),
        ("2027-01-12T12:00:00+24:00/PT1H", "no calendar"),
        ("1969-12-31T23:00:00Z/PT1H", "1970"),
        ("2200-01-01T00:00:00Z/PT1H", "1970"),
        ("NOW/PT1H", "NOW"),
        ("2027-01-12T12:00:00Z/NOW", "NOW"),
        ("PT1H/PT1H", "no time"),
        ("2027-01-12T12:00:00Z", "slash"),
        ("2027-01-12T12:00:00Z/PT1H/PT1H", "slash"),
        ("", "slash"),
    ],
)
def test_what_is_no_interval_is_refused_with_the_reason(text: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        read_interval(text)


def test_a_year_is_the_longest_interval() -> None:
    assert read_interval("2027-01-12T12:00:00Z/P366D").seconds == 366 * 86_400


def test_an_instant_is_told_in_utc() -> None:
    assert read_instant("2027-01-12T05:00:00-07:00") == datetime(2027, 1, 12, 12, tzinfo=UTC)
