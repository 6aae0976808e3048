"""Sunrise and sunset against an ephemeris: JPL DE421 through skyfield.

skyfield computes the apparent place of the sun from DE421 and finds when its centre is 0.8333
degrees below the horizon (the convention of the US Naval Observatory: 34' of refraction and 16'
of radius).
"""

import warnings
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from windowcast.science.sun import light_frac, sun_times
from windowcast.times import hour_index, zone

TOLERANCE_S = 30.0
EXPIRY = r"(?s).*expire"


@pytest.fixture(scope="module")
def ephemeris():
    """DE421 as the package skyfield-data carries it, with skyfield's built-in time scale."""
    from skyfield.api import Loader
    from skyfield_data import get_skyfield_data_path

    with warnings.catch_warnings():
        # skyfield-data warns that its files age; a leap second does not matter at 30 s.
        warnings.filterwarnings("ignore", message=EXPIRY)
        load = Loader(get_skyfield_data_path(), expire=False, verbose=False)
    bodies = load("de421.bsp")
    yield load.timescale(builtin=True), bodies
    bodies.close()


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg", "tz"),
    [(30.0, -98.0, "America/Chicago"), (40.0, -112.0, "America/Denver"),
     (50.0, -119.0, "America/Vancouver")],
)  # fmt: skip
def test_the_sun_rises_and_sets_within_30_s_of_the_ephemeris_over_a_year(
    ephemeris, lat_deg, lon_deg, tz
):
    from skyfield.almanac import find_discrete, sunrise_sunset
    from skyfield.api import wgs84

    scale, bodies = ephemeris
    begin = datetime(2026, 7, 1, 12, tzinfo=UTC)
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message=EXPIRY)  # the same files, read lazily
        times, is_rise = find_discrete(
            scale.from_datetime(begin),
            scale.from_datetime(begin + timedelta(days=365)),
            sunrise_sunset(bodies, wgs84.latlon(lat_deg, lon_deg)),
        )
    errors = []
    for moment, rise in zip(times.utc_datetime(), is_rise, strict=True):
        day = moment.astimezone(zone(tz)).date()
        ours = sun_times(lat_deg, lon_deg, day, tz)[0 if rise else 1]
        errors.append(abs((ours - moment).total_seconds()))
    assert len(errors) >= 729
    assert max(errors) <= TOLERANCE_S


def test_sunset_in_the_american_west_belongs_to_the_local_day():
    """Asked in UTC the answer is the day before: design study, 45 N 122 W, 20 March 2027."""
    day = datetime(2027, 3, 20, tzinfo=UTC).date()
    _, fall = sun_times(45.0, -122.0, day, "America/Los_Angeles")
    assert fall.astimezone(zone("America/Los_Angeles")).date() == day


def test_an_hour_of_sunrise_is_lit_in_part():
    hours = hour_index(np.datetime64("2027-01-12T08", "h"), 24)
    lit = light_frac([(43.9, -119.6, "America/Los_Angeles")], hours)[0]
    assert set(lit[:7]) == {0.0}
    assert 0 < lit[7] < 1  # the sun rises at about 07:30
    assert set(lit[8:16]) == {1.0}
    assert 0 < lit[16] < 1  # and sets at about 16:40
    assert lit.sum() == pytest.approx(9.16, abs=0.1)


@pytest.mark.parametrize(("day", "light_h"), [("2026-06-21", 24.0), ("2026-12-21", 0.0)])
def test_beyond_the_polar_circle_a_day_is_all_light_or_none(day, light_h):
    hours = hour_index(np.datetime64(day, "h") + np.timedelta64(9, "h"), 24)
    assert light_frac([(71.3, -156.8, "America/Anchorage")], hours).sum() == light_h
