"""Times gone by as people say them, and the clock they are read on."""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, date, datetime, timedelta

import pytest
from support.configs import OUTFIT
from support.outlooks import outlook
from support.reporting import outfit, settings_of

from windowcast.cli.moments import moment_of, past_day, zone_for_days, zone_known
from windowcast.terms.yard import Place
from windowcast.wiring import book_of

NOW = datetime(2027, 1, 12, 16, 40, tzinfo=UTC)  # 08:40 at the yard
TZ = "America/Los_Angeles"


@pytest.mark.parametrize(
    ("text", "hours_ago"),
    [
        ("07:40", 1),
        ("7:40", 1),
        ("08:40", 0),
        ("today 07:40", 1),
        ("yesterday 20:40", 12),
        ("Yesterday  20:40", 12),
        ("2027-01-11 20:40", 12),
        ("2027-01-11T20:40", 12),
        ("2027-01-12T16:40Z", 0),
        ("2027-01-12T17:40+02:00", 1),
        (" 07:40 ", 1),
    ],
)
def test_a_time_as_people_say_it(text, hours_ago):
    assert moment_of(text, NOW, TZ) == NOW - timedelta(hours=hours_ago)


def test_yesterday_is_that_of_the_yard():
    late = datetime(2027, 1, 12, 7, 30, tzinfo=UTC)  # still the eleventh at the yard
    assert moment_of("yesterday 12:00", late, TZ) == datetime(2027, 1, 10, 20, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("08:41", 'still to come; write a time gone by, such as "yesterday 08:41"'),
        ("tomorrow 08:00", '"tomorrow" is not a day'),
        ("24:00", "no time of day"),
        ("07:60", "no time of day"),
        ("0740", "is not a time"),
        ("2027-01-11", "has no offset|is not a time"),
        ("", "is not a time"),
        ("2027-01-11 20:40 PST", "is not a time"),
        ("0001-01-01 00:00", "out of reach"),
        ("9999-12-31 23:59", "out of reach"),
    ],
)
def test_a_time_that_is_none_is_told_how_to_write_one(text, said):
    with pytest.raises(ValueError, match=said):
        moment_of(text, NOW, TZ)


@pytest.mark.parametrize("text", ["07:40", "yesterday 07:40", "2027-01-11 07:40"])
def test_without_a_clock_an_offset_is_wanted(text):
    with pytest.raises(ValueError, match="write the offset from UTC too"):
        moment_of(text, NOW, None)


def test_a_day_gone_by():
    assert past_day("Today", date(2027, 1, 12)) == date(2027, 1, 12)
    assert past_day("yesterday", date(2027, 1, 1)) == date(2026, 12, 31)


@pytest.fixture
def folder(tmp_path):
    return outfit(tmp_path, zone="")


def test_the_zone_of_the_row_goes_before_that_of_the_outfit(tmp_path):
    yards = "key,name,lat,lon,zone\nkiln,Kiln,45.9,-119.6,America/Boise\nmill,Mill,45.9,-119.7,\n"
    settings = settings_of(outfit(tmp_path, yards=yards))
    with closing(book_of(settings)) as book:
        zones = [zone_known(settings, yard, book) for yard in settings.yards]
    assert zones == ["America/Boise", TZ]


def test_the_weather_kept_tells_the_zone_where_no_file_does(folder):
    settings = settings_of(folder)
    yard = settings.yards[0]
    with closing(book_of(settings)) as book:
        assert zone_known(settings, yard, book) is None
        book.keep_outlooks([outlook(yard.key)], NOW, {yard.key: Place(tz=TZ)})
        assert zone_known(settings, yard, book) == TZ


@pytest.mark.parametrize(
    ("lon", "behind"), [("-119.6", 8), ("-7.4", 0), ("0", 0), ("171.2", -11), ("-180", 12)]
)
def test_where_no_zone_is_known_days_go_by_the_sun(tmp_path, lon, behind):
    yards = f"key,name,lat,lon,zone,far\nkiln,Kiln,45.9,{lon},,yes\n"
    open_meteo = '\n[[sources]]\nname = "open_meteo"\nnoncommercial = true\n'
    settings = settings_of(outfit(tmp_path, zone="", yards=yards, outfit=OUTFIT + open_meteo))
    with closing(book_of(settings)) as book:
        tz = zone_for_days(settings, settings.yards[0], book)
    noon = datetime(2027, 1, 12, 12, tzinfo=UTC) + timedelta(hours=behind)
    assert moment_of("2027-01-12 12:00", NOW + timedelta(days=9), tz) == noon
