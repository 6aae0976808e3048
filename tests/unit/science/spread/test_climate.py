"""A climate from the daily records of an invented station, whose law is known."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import ndtr
from support.spreads import PRACTICE, winters

from windowcast.science.spread.climate import climate_of_days

RECORD = winters(years=range(1990, 2020))
CLIMATE = climate_of_days(RECORD, PRACTICE)
MID_JANUARY, MID_JULY = 14, 196


def test_mean_and_spread_are_those_of_the_law():
    assert CLIMATE.high_c[[MID_JANUARY, MID_JULY]] == pytest.approx([4.0, 24.0], abs=0.7)
    assert CLIMATE.high_spread_dc == pytest.approx(np.full(366, 5.0), abs=0.6)
    assert CLIMATE.lag_corr == pytest.approx(0.7, abs=0.05)


def test_hours_lie_between_lowest_and_highest():
    highest, lowest = CLIMATE.mean_c.max(axis=1), CLIMATE.mean_c.min(axis=1)
    assert highest == pytest.approx(CLIMATE.high_c, abs=0.1)
    assert lowest == pytest.approx(CLIMATE.high_c - 9.0, abs=0.7)  # sunrise is between hours
    assert (CLIMATE.mean_c.argmax(axis=1) >= 13).all()


def test_rain_is_that_of_the_law():
    assert CLIMATE.wet_frac.mean() == pytest.approx(0.3, abs=0.02)
    wet = RECORD.rain_mm[RECORD.rain_mm >= 1.0]
    assert CLIMATE.wet_day_mm.mean() == pytest.approx(wet.mean(), rel=0.03)


def test_warm_days_are_wetter_where_the_law_says_so():
    """A warm January day (1.8 standard deviations) is dry in fewer than the usual seven of ten."""
    assert CLIMATE.warm_wet_corr.mean() == pytest.approx(0.3, abs=0.04)
    assert CLIMATE.dry_warm_frac[MID_JANUARY] < 0.65
    assert CLIMATE.dry_warm_frac[MID_JULY] == pytest.approx(1.0 - CLIMATE.wet_frac[196], abs=0.05)


def test_without_warm_days_nothing_is_said_of_them():
    cold = replace(RECORD, high_c=RECORD.high_c - 30.0, low_c=RECORD.low_c - 30.0)
    assert np.isnan(climate_of_days(cold, PRACTICE).dry_warm_frac).all()


def test_past_days_turn_back_into_the_record():
    past, place = CLIMATE.past, CLIMATE.wet_frac.shape[0]
    assert place == 366
    assert past.first == RECORD.days[0]
    january = np.flatnonzero(RECORD.days == np.datetime64("2000-01-15"))[0]
    high = CLIMATE.high_c[MID_JANUARY] + CLIMATE.high_spread_dc[MID_JANUARY] * past.warmth[january]
    assert high == pytest.approx(RECORD.high_c[january])
    below = ndtr(-past.wetness)
    wet = RECORD.rain_mm >= 1.0
    assert abs(np.nanmean(past.wetness)) < 0.03
    assert np.nanstd(past.wetness) == pytest.approx(1.0, abs=0.05)
    assert below[wet].max() < below[~wet].max()


def test_a_wet_past_day_brings_its_own_rain_again():
    wet = np.flatnonzero((RECORD.rain_mm > 2.0) & (RECORD.rain_mm < 20.0))[40]
    month_day = RECORD.days[wet].astype(object)
    place = (month_day.replace(year=2000) - month_day.replace(year=2000, month=1, day=1)).days
    chance, mean = CLIMATE.wet_frac[place], CLIMATE.wet_day_mm[place]
    again = 1.0 - (mean - 1.0) * np.log(ndtr(-CLIMATE.past.wetness[wet]) / chance)
    assert again == pytest.approx(RECORD.rain_mm[wet])


def test_nine_winters_are_no_climate_and_ten_are():
    with pytest.raises(ValueError, match=r"invented: 9 winters .* needs 10"):
        climate_of_days(winters(years=range(1990, 1999)), PRACTICE)
    climate = climate_of_days(winters(years=range(1990, 2000)), PRACTICE)
    assert (climate.winters, climate.local, len(climate.past.seasons)) == (10, True, 10)


def test_a_winter_with_80_told_days_counts_and_one_with_79_does_not():
    record = winters(years=range(1990, 2000))
    season = np.flatnonzero(record.days == np.datetime64("1994-12-01"))[0]
    for missing, counted in ((10, 10), (11, 9)):
        rain = record.rain_mm.copy()
        rain[season : season + missing] = np.nan
        few = replace(PRACTICE, least_winters=9)
        assert climate_of_days(replace(record, rain_mm=rain), few).winters == counted


@pytest.mark.parametrize("name", ["high_c", "low_c", "rain_mm"])
def test_a_station_that_never_tells_one_of_the_three_has_no_climate(name):
    silent = replace(RECORD, **{name: np.full(RECORD.days.size, np.nan)})
    with pytest.raises(ValueError, match="0 winters"):
        climate_of_days(silent, PRACTICE)


def test_days_that_are_missing_or_not_told_do_no_harm():
    keep = np.arange(RECORD.days.size) % 40 != 7
    high = RECORD.high_c.copy()
    high[100:110] = np.nan
    gappy = replace(
        RECORD, days=RECORD.days[keep], high_c=high[keep], low_c=RECORD.low_c[keep],
        rain_mm=RECORD.rain_mm[keep],
    )  # fmt: skip
    climate = climate_of_days(gappy, PRACTICE)
    assert climate.high_c == pytest.approx(CLIMATE.high_c, abs=0.5)
    assert np.isnan(climate.past.warmth[[7, 47, 102]]).all()


def test_a_station_without_any_rain_still_has_a_climate():
    dry = climate_of_days(replace(RECORD, rain_mm=RECORD.rain_mm * 0.0), PRACTICE)
    assert np.unique(dry.wet_frac).tolist() == [0.01]
    assert not dry.warm_wet_corr.any()


def test_the_same_record_gives_the_same_bytes():
    again = climate_of_days(winters(years=range(1990, 2020)), PRACTICE)
    assert again.mean_c.tobytes() == CLIMATE.mean_c.tobytes()
    assert again.past.wetness.tobytes() == CLIMATE.past.wetness.tobytes()


def test_winters_of_every_other_day_do_not_say_how_long_weather_lasts():
    """45 days of each winter, none beside another."""
    even = RECORD.days.astype(np.int64) % 2 == 0
    sparse = replace(RECORD, high_c=np.where(even, RECORD.high_c, np.nan))
    with pytest.raises(ValueError, match="0 winters"):
        climate_of_days(sparse, PRACTICE)
    with pytest.raises(ValueError, match="too few days in a row"):
        climate_of_days(sparse, replace(PRACTICE, least_winters=0))
