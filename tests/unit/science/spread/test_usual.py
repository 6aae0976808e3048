"""Climates laid on the days and hours of a block."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from support.spreads import CLIMATE, NOW, frame, places

from windowcast.science.spread.usual import climate_at, leap_day, season_of_day


def days_of(*texts):
    return np.array(texts, "datetime64[D]").astype(np.int64)


def test_every_day_has_one_place_in_every_year():
    asked = days_of("2027-01-01", "2027-02-28", "2027-03-01", "2027-12-31")
    assert leap_day(asked).tolist() == [0, 58, 60, 365]
    asked = days_of("2028-02-28", "2028-02-29", "2028-03-01", "2028-12-31", "1969-03-01")
    assert leap_day(asked).tolist() == [58, 59, 60, 365, 60]


def test_a_season_begins_on_the_first_of_july():
    asked = days_of("2026-06-30", "2026-07-01", "2027-06-30", "1969-07-01")
    assert season_of_day(asked).tolist() == [2025, 2026, 2026, 1969]


def test_hours_are_taken_by_the_sun_between_the_middles_of_hours():
    on = frame(places(lon_deg=[-105.0]), days=2)
    usual = climate_at([CLIMATE], on)
    assert usual.mean_c[0, 0] == pytest.approx(CLIMATE.mean_c[11, 6])  # 06 by the sun, 12 January
    quarter = climate_at([CLIMATE], frame(places(lon_deg=[-108.75]), days=2))
    by_hand = 0.25 * CLIMATE.mean_c[11, 5] + 0.75 * CLIMATE.mean_c[11, 6]
    assert quarter.mean_c[0, 0] == pytest.approx(by_hand)


def test_each_yard_has_its_own_climate_and_yards_may_share_one():
    other = replace(CLIMATE, mean_c=CLIMATE.mean_c + 5.0, lag_corr=0.5)
    on = frame(places(lat_deg=(44.0,) * 3, lon_deg=(-105.0,) * 3), days=1)
    usual = climate_at([CLIMATE, other, CLIMATE], on)
    assert usual.mean_c[1] - usual.mean_c[0] == pytest.approx(np.full(24, 5.0))
    assert (usual.mean_c[2] == usual.mean_c[0]).all()
    assert usual.lag_corr.tolist() == [0.65, 0.5, 0.65]


def test_days_are_those_of_the_frame():
    rising = replace(CLIMATE, wet_day_mm=np.arange(366.0) + 2.0)
    on = frame(days=2, first=NOW, now=NOW)
    assert climate_at([rising], on).wet_day_mm[0].tolist() == [12.0, 13.0, 14.0, 15.0, 16.0]


def test_a_climate_for_each_yard():
    with pytest.raises(ValueError, match="one climate for each yard"):
        climate_at([CLIMATE, CLIMATE], frame())
