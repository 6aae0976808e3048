"""After the forecast: the climate, reached without a jump."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from support.spreads import CLIMATE, PRACTICE, believed, forecast, frame, winters

from windowcast.science.spread.climate import climate_of_days
from windowcast.science.spread.continuation import (
    beyond_reach,
    extended_temp,
    handed_over,
    handover_share,
    past_draws,
    past_share,
    tilt_normals,
)
from windowcast.science.spread.usual import climate_at
from windowcast.terms.lead import OutlookTilt

PAST = climate_of_days(winters(years=range(1990, 2000)), PRACTICE).past
TODAY = np.datetime64("2027-01-12", "D").astype(np.int64)


def test_beyond_the_reach_is_what_follows_the_last_told_hour():
    temp = np.array([[[1.0, np.nan, 3.0, np.nan]], [[np.nan] * 4], [[1.0] * 4]])
    assert beyond_reach(temp).tolist() == [
        [False, False, False, True], [True] * 4, [False] * 4,
    ]  # fmt: skip


def extended(on, temp, climate=CLIMATE):
    beyond = beyond_reach(temp)
    usual = climate_at([climate], on)
    return extended_temp(temp, beyond, usual, PRACTICE)[0, 0], usual.mean_c[0]


def test_a_forecast_goes_on_with_its_last_anomaly():
    on = frame(days=20)
    temp = climate_at([CLIMATE], on).mean_c[:, np.newaxis] + 5.0
    temp[..., 150:] = np.nan
    after, mean = extended(on, temp)
    assert after - mean == pytest.approx(np.full(480, 5.0))


def test_nothing_jumps_at_the_last_told_hour():
    """The last hour alone is 6 degrees warmer than its day: that fades within hours."""
    on = frame(days=20)
    temp = climate_at([CLIMATE], on).mean_c[:, np.newaxis] + 2.0
    temp[..., 150] += 6.0
    temp[..., 151:] = np.nan
    after, mean = extended(on, temp)
    anomaly = after - mean
    assert anomaly[150:153] == pytest.approx([8.0, 7.11, 6.37], abs=0.05)
    assert anomaly[190:] == pytest.approx(np.full(290, 2.25), abs=0.01)


def test_without_any_forecast_there_is_the_climate():
    on = frame(days=3)
    after, mean = extended(on, np.full((1, 1, 72), np.nan))
    assert after.tolist() == mean.tolist()


def test_a_gap_inside_the_forecast_stays_a_gap():
    on = frame(days=3)
    temp = forecast(on, reach_h=60)["temp_c"]
    temp[0, 0, 20] = np.nan
    after, _ = extended(on, temp)
    assert np.flatnonzero(np.isnan(after)).tolist() == [20]


@pytest.mark.parametrize(
    ("reach_h", "nothing_at", "half_at", "all_at"),
    [(14 * 24, 5, 7.5, 10), (7 * 24 + 10, 5, 6, 7), (4 * 24 + 10, 2, 3, 4), (0, 0, 0.5, 1)],
)
def test_the_hand_over_lies_between_day_5_and_10_or_the_last_told_day(
    reach_h, nothing_at, half_at, all_at
):
    on = frame(days=20)
    beyond = beyond_reach(forecast(on, reach_h=reach_h)["temp_c"])
    share = handover_share(on, beyond, PRACTICE)[0]
    at = np.interp([nothing_at, half_at, all_at], on.lead, share)
    assert at.tolist() == [0.0, 0.5, 1.0]
    assert (np.diff(share) >= 0.0).all()


def test_what_is_handed_over_keeps_variance_1():
    draws = np.random.default_rng(2).standard_normal((2, 1, 40_000, 3))
    share = np.array([[0.0, 0.5, 1.0]])
    mixed = handed_over(draws[0], draws[1], share)
    assert mixed.var(axis=1) == pytest.approx(np.ones((1, 3)), abs=0.03)
    assert mixed[..., 0].tolist() == draws[0, ..., 0].tolist()
    assert mixed[..., 2].tolist() == draws[1, ..., 2].tolist()


def test_a_day_that_no_past_year_tells_keeps_its_draw():
    draws = np.ones((1, 2, 3))
    assert handed_over(draws, draws * np.nan, np.ones((1, 3))).tolist() == draws.tolist()


def test_members_take_the_years_in_turn():
    warmth, wetness = past_draws(PAST, np.arange(TODAY, TODAY + 3), 10, PRACTICE)
    for member, year in enumerate(range(1991, 2001)):
        day = int((np.datetime64(f"{year}-01-12") - PAST.first).astype(np.int64))
        assert warmth[member].tolist() == PAST.warmth[day : day + 3].tolist()
        assert wetness[member].tolist() == PAST.wetness[day : day + 3].tolist()


def test_a_year_that_is_taken_again_is_moved_by_ten_days_at_most():
    warmth, _ = past_draws(PAST, np.arange(TODAY, TODAY + 1), 200, PRACTICE)
    again = warmth[10::10, 0]
    first = int((np.datetime64("1991-01-12") - PAST.first).astype(np.int64))
    near = PAST.warmth[first - 10 : first + 11]
    assert set(again) <= set(near)
    assert len(set(again)) > 8


def test_a_day_beyond_the_record_is_not_told():
    short = replace(PAST, warmth=PAST.warmth[:200], wetness=PAST.wetness[:200])
    warmth, _ = past_draws(short, np.array([TODAY, TODAY + 10]), 2, PRACTICE)
    assert np.isfinite(warmth).tolist() == [[True, False], [False, False]]


@pytest.mark.parametrize(
    ("km", "share"), [(0.0, 1.0), (125.0, 0.5625), (249.0, 0.0001), (251.0, 0.0)]
)
def test_past_years_stand_for_places_near_their_station(km, share):
    north = 44.0 + np.rad2deg(km / 6371.0)
    assert past_share(PAST, north, -105.0, PRACTICE) == pytest.approx(share, abs=1e-4)


def tilted(on, *tilts, rho=0.0, climate=CLIMATE):
    usual = climate_at(believed(on, climate).climates, on)
    return tilt_normals(tilts, np.full((1, on.lead.size), rho), usual, on)[0]


def outlook(first, last, below, near, above):
    """An outlook for days ahead of the 12th of January."""
    first, last = (date(2027, 1, 12) + timedelta(days=lead) for lead in (first, last))
    return OutlookTilt(first=first, last=last, below_frac=below, near_frac=near, above_frac=above)


def test_even_chances_move_nothing():
    assert tilted(frame(days=20), outlook(8, 14, 1 / 3, 1 / 3, 1 / 3)) == pytest.approx(0.0)
    assert not tilted(frame(days=20)).any()


def test_an_outlook_moves_the_mean_of_its_span_as_far_as_it_says():
    """Without memory from day to day the mean of 9 days has a third of a day's spread.

    A normal mean moved by m is above the upper third (0.4307) with the chance 1 - Phi(0.4307 - m);
    m = 0.5 gives 0.5276 above and 0.1760 below.
    """
    on = frame(days=30)
    memoryless = replace(CLIMATE, lag_corr=0.0)
    shift = tilted(on, outlook(8, 16, 0.1760, 0.2964, 0.5276), climate=memoryless)
    assert shift[on.lead == 12] == pytest.approx([0.5 / 3.0], abs=1e-3)
    assert not shift[(on.lead < 6) | (on.lead > 18)].any()
    assert np.abs(np.diff(shift)).max() < 0.5 / 3.0 / 4.0


def test_days_that_hold_on_are_moved_more():
    """The mean of two days that correlate by 0.65 has a variance of (2 + 1.3) / 4."""
    on, tilt = frame(days=30), outlook(10, 11, 0.1760, 0.2964, 0.5276)
    memory = tilted(on, tilt)[on.lead == 10]
    without = tilted(on, tilt, climate=replace(CLIMATE, lag_corr=0.0))[on.lead == 10]
    assert memory / without == pytest.approx([np.sqrt(3.3 / 2.0)])


def test_overlapping_outlooks_are_averaged_and_the_forecast_knows_already():
    on = frame(days=30)
    warm, cold = outlook(8, 14, 0.2, 0.3, 0.5), outlook(8, 14, 0.5, 0.3, 0.2)
    assert tilted(on, warm, cold) == pytest.approx(np.zeros(on.lead.size), abs=1e-12)
    assert tilted(on, warm, rho=0.6) == pytest.approx(0.64 * tilted(on, warm))
