"""Stated climates: near enough to be better than nothing, and never called local."""

from __future__ import annotations

import numpy as np
import pytest
from support.spreads import PRACTICE

from windowcast.science.spread.defaults import continental_climate, is_maritime, maritime_climate
from windowcast.science.spread.diurnal import warmth_of_hour

JANUARY, JULY = 14, 196


@pytest.mark.parametrize(
    "climate", [continental_climate(41.0, None, PRACTICE), maritime_climate(45.6, 10.0, PRACTICE)]
)
def test_a_default_is_not_local(climate):
    assert not climate.local
    assert climate.source.endswith("default")
    assert climate.past is None


@pytest.mark.parametrize(
    ("climate", "january_c", "july_c"),
    [
        (
            continental_climate(40.8, 10.0, PRACTICE),
            0.9,
            25.3,
        ),  # New York, means 1991-2020 from memory
        (continental_climate(33.7, 313.0, PRACTICE), 6.8, 26.8),  # Atlanta, likewise
        (continental_climate(46.8, 500.0, PRACTICE), -11.0, 22.0),  # Bismarck, likewise
        (maritime_climate(47.4, 110.0, PRACTICE), 5.6, 19.3),  # Seattle, likewise
    ],
)
def test_means_are_within_4_degrees_of_known_cities(climate, january_c, july_c):
    found = 0.5 * (climate.mean_c.max(axis=1) + climate.mean_c.min(axis=1))
    assert found[[JANUARY, JULY]] == pytest.approx([january_c, july_c], abs=4.0)


def test_the_spreads_are_the_stated_ones():
    assert np.unique(continental_climate(44.0, None, PRACTICE).high_spread_dc).tolist() == [6.2]
    assert np.unique(maritime_climate(44.0, None, PRACTICE).spread_dc).tolist() == [4.3]


def test_the_south_has_its_winter_in_july():
    climate = continental_climate(-44.0, None, PRACTICE)
    assert climate.high_c[JULY] < climate.high_c[JANUARY] - 20.0


def test_higher_is_colder_and_an_unknown_height_is_the_sea():
    high = continental_climate(44.0, 1000.0, PRACTICE).high_c
    assert continental_climate(44.0, None, PRACTICE).high_c - high == pytest.approx(
        np.full(366, 2.0)
    )


@pytest.mark.parametrize("lat", [-90.0, 0.0, 66.6, 90.0])
def test_every_latitude_has_a_climate(lat):
    assert np.isfinite(continental_climate(lat, None, PRACTICE).mean_c).all()


@pytest.mark.parametrize(
    ("lat", "lon", "maritime"),
    [(45.5, -122.6, True), (45.5, -121.0, True), (45.5, -120.9, False), (45.5, 5.0, False),
     (31.9, -121.5, False), (32.0, -121.5, True)],
)  # fmt: skip
def test_the_pacific_side_is_maritime(lat, lon, maritime):
    assert is_maritime(lat, lon) is maritime


def test_hours_rise_from_sunrise_to_two_hours_after_noon_and_fall_until_sunrise():
    course = warmth_of_hour(44.0)[JANUARY]
    assert course[[13, 14]] == pytest.approx([1.0, 1.0], abs=0.02)
    assert course.argmin() == 7
    assert (np.diff(course[7:14]) > 0.0).all()
    assert (np.diff(np.concatenate([course[14:], course[:7]])) < 0.0).all()


def test_where_the_sun_does_not_rise_a_day_still_has_a_course():
    course = warmth_of_hour(80.0)
    assert course.min() >= 0.0
    assert course.max(axis=1) == pytest.approx(np.ones(366), abs=0.1)
