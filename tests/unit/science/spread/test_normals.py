"""A climate from hourly normals."""

from __future__ import annotations

import numpy as np
import pytest
from support.spreads import CLIMATE

from windowcast.science.spread.normals import (
    climate_of_normals,
    normals_by_sun,
    spread_of_tenths,
)

# Warmest at 14 on the clock of the zone, coldest on 1 January.
HOUR, DAY = np.arange(24), np.arange(365)[:, np.newaxis]
TABLE = 10.0 + 8.0 * -np.cos(2 * np.pi * DAY / 365) + 4.0 * np.cos(2 * np.pi * (HOUR - 14) / 24)


def test_a_station_on_its_meridian_is_moved_by_half_an_hour():
    by_sun = normals_by_sun(TABLE, -7.0, -105.0)
    assert by_sun.shape == (366, 24)
    middle = 0.5 * (TABLE[40, 9] + TABLE[40, 10])
    assert by_sun[40, 9] == pytest.approx(middle)


def test_a_station_in_the_west_of_its_zone_has_its_noon_later():
    """At 112.5 degrees west the sun is half an hour behind the clock of 105 degrees."""
    by_sun = normals_by_sun(TABLE, -7.0, -112.5)
    assert by_sun[40, 9] == pytest.approx(TABLE[40, 10])


def test_29_february_is_the_day_before_again():
    by_sun = normals_by_sun(TABLE, -7.0, -105.0)
    assert (by_sun[59] == by_sun[58]).all()
    assert by_sun[60, 12] > by_sun[58, 12]


def test_the_year_is_round():
    by_sun = normals_by_sun(TABLE, -7.0, -97.5)
    assert by_sun[0, 0] == pytest.approx(TABLE[0, 0])
    assert normals_by_sun(TABLE, -7.0, -90.0)[0, 0] == pytest.approx(
        0.5 * (TABLE[0, 0] + TABLE[364, 23])
    )


def test_a_table_with_a_hole_is_refused():
    holed = TABLE.copy()
    holed[3, 3] = np.nan
    for table in (holed, TABLE[:364], TABLE.ravel()):
        with pytest.raises(ValueError, match="must be \\(365, 24\\) numbers"):
            normals_by_sun(table, -7.0, -105.0)


def test_the_spread_of_a_normal_law_is_found_from_its_tenths():
    """10th and 90th percentile of a standard normal: 1.2815515655446004 either side."""
    assert spread_of_tenths(np.array([-3.0 * 1.2815515655446004]), np.array([0.0])) == (
        pytest.approx([1.5])
    )
    for low, high in ((1.0, 1.0), (2.0, 1.0), (np.nan, 1.0)):
        with pytest.raises(ValueError, match="90th percentile"):
            spread_of_tenths(np.array([low]), np.array([high]))


def test_normals_are_local_and_their_rain_is_anothers():
    mean = normals_by_sun(TABLE, -7.0, -105.0)
    climate = climate_of_normals(mean, None, CLIMATE, "Quarry airport")
    assert climate.local
    assert climate.source == "Quarry airport; rain: continental default"
    assert (climate.spread_dc == CLIMATE.spread_dc).all()
    assert climate.high_c == pytest.approx(mean.max(axis=1), abs=0.2)
    own = climate_of_normals(mean, np.full((366, 24), 3.0), CLIMATE, "Quarry airport")
    assert np.unique(own.high_spread_dc).tolist() == [3.0]
    assert (own.wet_frac == CLIMATE.wet_frac).all()
