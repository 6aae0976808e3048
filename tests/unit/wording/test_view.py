from datetime import UTC, date, datetime, timedelta

import pytest
from support.mornings import DAY, advice, dark, fit, morning, poor, yard

from windowcast.terms.advice import Blind
from windowcast.wording.view import KEY_ROOM, NO_ADVICE, label, view_of

PACIFIC = "America/Los_Angeles"


def test_units_must_be_known():
    with pytest.raises(ValueError, match="us or si"):
        view_of(morning([advice("kiln", fit())]), "metric")


def test_today_is_the_day_on_the_outfits_clock():
    late = datetime(2027, 1, 13, 6, 30, tzinfo=UTC)  # 23:30 on the 12th in Boise
    view = view_of(morning([advice("kiln", fit())], issued_at=late), "us")
    assert view.today == date(2027, 1, 12)


def test_a_blind_yard_is_blind_every_day_and_a_dark_day_only_then():
    view = view_of(
        morning([advice("kiln", fit()), advice("mill", dark())], blind=[Blind(key="fen", why="x")]),
        "us",
    )
    assert view.unseen(DAY) == ["fen", "mill"]
    # a day that is no lead day on a yard's own clock makes nobody blind there
    assert view.unseen(DAY + timedelta(days=1)) == ["fen"]


def test_a_yard_that_got_nothing_at_all_is_named_as_blind():
    told = morning([advice("kiln", fit())], yards=(yard("kiln"), yard("lost")))
    assert view_of(told, "us").blind == {"lost": NO_ADVICE}


def test_today_counts_as_served_only_when_somebody_can_go_today():
    assert view_of(morning([advice("kiln", fit())]), "us").today_served
    tomorrow = advice("kiln", poor(), fit(DAY + timedelta(days=1)))
    assert not view_of(morning([tomorrow]), "us").today_served
    assert not view_of(morning([advice("kiln", poor())]), "us").today_served


def test_hours_carry_their_zone_only_away_from_home():
    away = fit(tz=PACIFIC)
    view = view_of(morning([advice("kiln", fit()), advice(yard("mill", tz=PACIFIC), away)]), "us")
    shown = [view.hours(score) for score in view.of_day(DAY)]
    assert shown == ["08:00-12:00", "08:00-12:00 PST"]
    assert view.hours(poor()) == ""


def test_a_long_key_is_cut_to_its_room():
    assert label("heron-slough") == "heron-slough"
    assert len(label("k" * 40)) == KEY_ROOM
