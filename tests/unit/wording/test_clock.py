from datetime import UTC, date, datetime, time

import pytest

from windowcast.terms.yard import Crew
from windowcast.wording import clock

NIGHT = Crew(name="N", start=time(0), end=time(6), weekdays=frozenset({6}))
DAYTIME = Crew(name="D", start=time(8), end=time(17), weekdays=frozenset(range(7)))


def utc(*parts):
    return datetime(*parts, tzinfo=UTC)


def test_days_read_the_same_in_every_locale():
    assert clock.day_words(date(2024, 2, 21)) == "Wed 21 Feb"
    assert clock.day_and_year(date(2027, 1, 3)) == "Sun 3 Jan 2027"


@pytest.mark.parametrize(
    ("tz", "name"),
    [("America/Boise", "MST"), ("America/Phoenix", "MST"), ("America/Sao_Paulo", "UTC-03")],
)
def test_a_zone_has_a_short_name(tz, name):
    assert clock.abbreviation(utc(2027, 1, 12), tz) == name


def test_a_span_reads_on_the_zones_clock():
    start, end = utc(2027, 1, 12, 15), utc(2027, 1, 12, 19)
    assert clock.span(start, end, "America/Boise") == "08:00-12:00"
    assert clock.span(start, end, "America/Los_Angeles") == "07:00-11:00"


def test_a_run_to_midnight_ends_at_24():
    assert clock.span(utc(2027, 1, 13, 4), utc(2027, 1, 13, 7), "America/Boise") == "21:00-24:00"
    assert clock.span(utc(2027, 1, 12, 7), utc(2027, 1, 12, 9), "America/Boise") == "00:00-02:00"


def test_an_hour_that_comes_twice_says_which():
    assert clock.at(utc(2026, 11, 1, 8), "America/Los_Angeles") == "01:00 PDT"
    assert clock.at(utc(2026, 11, 1, 9), "America/Los_Angeles") == "01:00 PST"
    assert clock.at(utc(2026, 11, 1, 10), "America/Los_Angeles") == "02:00"


def test_stamps_for_people_and_for_programs():
    moment = utc(2027, 1, 11, 22)
    assert clock.stamp(moment, "America/Boise") == "Mon 11 Jan 15:00"
    assert clock.iso(moment, "America/Boise") == "2027-01-11T15:00:00-07:00"


def test_a_change_of_clocks_is_said_on_its_day_only():
    assert clock.zone_change(date(2026, 11, 1), "America/New_York") == "Clocks go back on Sun 1 Nov"
    forward = clock.zone_change(date(2027, 3, 14), "America/Los_Angeles")
    assert forward == "Clocks go forward on Sun 14 Mar"
    assert clock.zone_change(date(2027, 3, 14), "America/Phoenix") is None
    assert clock.zone_change(date(2027, 3, 15), "America/Los_Angeles") is None


def test_a_change_matters_only_inside_working_hours():
    day, tz = date(2026, 11, 1), "America/New_York"
    assert clock.change_at_work(day, tz, [DAYTIME]) is None
    told = clock.change_at_work(day, tz, [DAYTIME, NIGHT])
    assert told == "Clocks go back on Sun 1 Nov, inside working hours."
    assert clock.change_at_work(date(2026, 11, 8), tz, [NIGHT]) is None


def test_noon_is_local():
    assert clock.noon(date(2027, 1, 12), "America/Boise") == utc(2027, 1, 12, 19)


def test_the_widest_span_reads_every_run_on_its_own_clock():
    east = (utc(2027, 1, 12, 15), utc(2027, 1, 12, 21), "America/New_York")
    guam = (utc(2027, 1, 11, 22), utc(2027, 1, 12, 14), "Pacific/Guam")
    assert clock.widest([east]) == "10:00-16:00"
    assert clock.widest([east, guam]) == "08:00-24:00"


def test_clocks_agree_only_while_they_show_the_same_time():
    winter, summer = utc(2027, 1, 12, 15), utc(2027, 7, 12, 15)
    assert clock.agree(["America/Denver", "America/Phoenix"], winter)
    assert not clock.agree(["America/Denver", "America/Phoenix"], winter, summer)
