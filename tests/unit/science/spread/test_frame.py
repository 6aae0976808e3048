"""Hours on solar days ahead."""

from __future__ import annotations

import numpy as np
import pytest
from support.spreads import NOW, frame, places

from windowcast.science.spread.frame import (
    at_own_day,
    between_days,
    normals_between_days,
)


def by_number(on):
    """The number of each day as its value, shape (yard, 1, day)."""
    return np.broadcast_to(on.lead * 1.0, (on.day.shape[0], 1, on.lead.size))


def test_lead_days_are_counted_by_the_sun_from_the_day_of_issue():
    on = frame(days=3)
    lead = on.lead[on.own[0]]
    assert np.flatnonzero(np.diff(lead)).tolist() == [17, 41, 65]  # 06 to 23 is the first day
    assert (lead[0], lead[-1]) == (0, 3)
    assert (on.lead[0], on.lead[-1]) == (-1, 4)


def test_an_old_forecast_is_further_ahead():
    on = frame(places(lat_deg=(44.0, 44.0), lon_deg=(-105.0, -105.0)), days=2)
    old = frame(places(issued=NOW - 24), days=2)
    assert (old.lead[old.own[0]] == on.lead[on.own[0]] + 1).all()
    assert old.ahead_h[0, 0] == 24.5


def test_hours_before_the_issue_are_not_ahead():
    on = frame(days=3, first=NOW - 30)
    assert on.ahead_h[0, :31].tolist() == [0.0] * 30 + [0.5]
    assert on.past.sum() == 30
    assert not on.past[30]


def test_by_day_an_hour_is_its_own_day_and_at_night_between_two():
    on = frame(days=3)
    value, clock = between_days(by_number(on), on)[0, 0], on.clock_h[0]
    assert clock[18] == 0.5
    assert value[3:11].tolist() == [0.0] * 8  # 09:30 to 16:30
    assert value[18] == pytest.approx(7.5 / 16.0)
    assert value[26] == pytest.approx(15.5 / 16.0)
    assert value[27] == 1.0
    assert np.diff(value).max() == pytest.approx(1.0 / 16.0)


def test_whether_a_day_is_wet_changes_at_midnight():
    on = frame(days=2)
    assert at_own_day(by_number(on), on)[0, 0, [17, 18]].tolist() == [0.0, 1.0]


def test_normals_have_variance_1_at_night_too():
    on = frame(days=3)
    draws = np.random.default_rng(5).standard_normal((1, 40_000, on.lead.size))
    hourly = normals_between_days(draws, np.zeros((1, on.lead.size)), on)
    assert hourly.var(axis=1) == pytest.approx(np.ones((1, 72)), abs=0.04)


def test_days_that_hold_on_are_not_blown_up_at_night():
    on = frame(days=3)
    same = np.ones((1, 1, on.lead.size))
    hourly = normals_between_days(same, np.ones((1, on.lead.size)), on)
    assert hourly == pytest.approx(np.ones((1, 1, 72)))


def test_no_yards_make_an_empty_frame():
    on = frame(places(lat_deg=(), lon_deg=()), days=1)
    assert on.own.shape == (0, 24)


@pytest.mark.parametrize(
    ("lat", "lon", "says"),
    [([44.0], [1.0, 2.0], "not all"), ([np.nan], [1.0], "without latitude")],
)
def test_places_that_are_none_are_refused(lat, lon, says):
    with pytest.raises(ValueError, match=says):
        places(lat_deg=lat, lon_deg=lon)
