"""Directions, sunshine and flight at their edges."""

import numpy as np
import pytest

from windowcast.science.air import (
    clear_sky_wm2,
    extraterrestrial_wm2,
    flight_frac,
    mean_direction_deg,
    sun_under_cloud_wm2,
    turn_deg,
)
from windowcast.terms.practice import FlightPractice
from windowcast.times import hour_index

FLIGHT = FlightPractice()


def test_the_mean_of_350_and_10_degrees_is_north():
    assert mean_direction_deg([350.0, 10.0], [1.0, 1.0]) == 0.0


@pytest.mark.parametrize(("angles", "mean"), [
    ([80.0, 100.0], 90.0), ([180.0], 180.0), ([0.0, 90.0], 45.0), ([300.0, 20.0], 340.0),
    ([360.0], 0.0),
])  # fmt: skip
def test_directions_are_meaned_as_vectors(angles, mean):
    assert mean_direction_deg(angles, np.ones(len(angles))) == pytest.approx(mean)


def test_a_calm_hour_has_no_direction():
    assert mean_direction_deg([90.0, 0.0], [2.0, 0.0]) == pytest.approx(90.0)
    assert mean_direction_deg([90.0], [0.0]) is None
    assert mean_direction_deg([np.nan], [3.0]) is None


def test_opposite_winds_have_no_mean():
    assert mean_direction_deg([90.0, 270.0], [2.0, 2.0]) is None


@pytest.mark.parametrize(("one", "other", "turn"), [
    (350, 10, 20), (10, 350, 20), (0, 180, 180), (90, 30, 60), (0, 360, 0),
])  # fmt: skip
def test_a_turn_is_the_smaller_angle(one, other, turn):
    assert turn_deg(one, other) == pytest.approx(turn)


def test_the_sun_gives_nothing_at_night_and_most_near_noon():
    hours = hour_index(np.datetime64("2027-01-12T08", "h"), 24)  # from local midnight at 120 W
    above = extraterrestrial_wm2(44.0, -120.0, hours)
    assert np.all(above[:7] == 0.0)
    assert np.all(above[18:] == 0.0)
    assert int(np.argmax(above)) in (11, 12)


def test_many_places_are_the_same_as_each_alone():
    hours = hour_index(np.datetime64("2027-01-12T08", "h"), 24)
    both = extraterrestrial_wm2(np.array([44.0, 30.0]), np.array([-120.0, -85.0]), hours)
    assert np.array_equal(both[1], extraterrestrial_wm2(30.0, -85.0, hours))


def test_beyond_the_polar_circle_there_is_no_sun_in_december_and_no_night_in_june():
    winter = hour_index(np.datetime64("2026-12-21T00", "h"), 24)
    summer = hour_index(np.datetime64("2026-06-21T00", "h"), 24)
    assert extraterrestrial_wm2(75.0, 0.0, winter).max() == 0.0
    assert extraterrestrial_wm2(75.0, 0.0, summer).min() > 0.0


def test_height_and_cloud_change_sunshine_as_the_formulas_say():
    assert clear_sky_wm2(np.array([1000.0]), 0.0).tolist() == [750.0]
    assert clear_sky_wm2(np.array([1000.0]), 1000.0).tolist() == [770.0]
    clouds = np.array([0.0, 1.0, np.nan])
    assert sun_under_cloud_wm2(np.full(3, 400.0), clouds).tolist()[:2] == [400.0, 100.0]
    assert np.isnan(sun_under_cloud_wm2(np.full(3, 400.0), clouds)[2])


def flight(temp=16.0, wind=2.0, sun=300.0, cloud=0.0):
    return float(
        flight_frac(np.float64(temp), np.float64(wind), np.float64(sun), np.float64(cloud), FLIGHT)
    )


@pytest.mark.parametrize(("told", "expected"), [
    ({}, 1.0), ({"temp": 10.0}, 0.0), ({"temp": 13.0}, 0.5), ({"temp": 16.1}, 1.0),
    ({"wind": 4.0}, 1.0), ({"wind": 6.0}, 0.5), ({"wind": 8.0}, 0.0),
    ({"sun": 150.0}, 0.5), ({"sun": 0.0}, 0.2),
    ({"sun": np.nan, "cloud": 0.5}, 1.0), ({"sun": np.nan, "cloud": 0.75}, 0.75),
    ({"sun": np.nan, "cloud": 1.0}, 0.5), ({"sun": np.nan, "cloud": np.nan}, 1.0),
])  # fmt: skip
def test_flight_is_the_product_of_its_ramps(told, expected):
    assert flight(**told) == pytest.approx(expected)


def test_flight_is_unknown_without_temperature_or_wind():
    assert np.isnan(flight(temp=np.nan))
    assert np.isnan(flight(wind=np.nan))
