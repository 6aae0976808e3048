"""Members without a forecast against the winters of Central Park that they were not made from.

One decade is left out and gives no day to the members. Five figures of December to February are
compared with the decade by the standard error of the difference, the decade and the other years
both resampled by whole winters (Efron 1979).
"""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from support.spreads import PRACTICE, believed, forecast

from windowcast.science.spread.climate import climate_of_days
from windowcast.science.spread.frame import Places, frame_of
from windowcast.science.spread.members import spread_members
from windowcast.science.spread.usual import season_of_day
from windowcast.sources.wire.ghcn_daily import read_station_daily
from windowcast.terms.climate import DailyRecord
from windowcast.times import hour_index

pytestmark = pytest.mark.recorded

WINTER_D, WARM_C = 90, 13.0
SEASONS = range(1990, 2022)
DECADES = (range(1990, 2000), range(2000, 2010), range(2010, 2020))
RESAMPLED = 400


@pytest.fixture(scope="module")
def record():
    folder = Path(os.environ["WINDOWCAST_RECORDED"]) / "climate"
    body = (folder / "central_park_daily_1990_2022.csv.gz").read_bytes()
    table = read_station_daily(body, place="park").table
    return DailyRecord(
        days=table.index.to_numpy().astype("datetime64[D]"), high_c=table["tmax_c"].to_numpy(),
        low_c=table["tmin_c"].to_numpy(), rain_mm=table["rain_mm"].to_numpy(),
        lat_deg=40.78, lon_deg=-73.97, source="park",
    )  # fmt: skip


def part(record, keep):
    return replace(
        record, days=record.days[keep], high_c=record.high_c[keep], low_c=record.low_c[keep],
        rain_mm=record.rain_mm[keep],
    )  # fmt: skip


def observed(record, seasons):
    """Highest and rain of the winters of some seasons, each (winter, day)."""
    first = [np.searchsorted(record.days, np.datetime64(f"{year}-12-01")) for year in seasons]
    rows = np.array(first)[:, np.newaxis] + np.arange(WINTER_D)
    return record.high_c[rows], record.rain_mm[rows]


def generated(climate):
    """The same of members for four winters, issued a month before and told nothing."""
    highs, rains = [], []
    for year in range(2025, 2029):
        issued = np.datetime64(f"{year}-11-01T05", "h")
        where = Places(
            lat_deg=np.array([40.78]), lon_deg=np.array([-73.97]), issued=np.array([issued])
        )
        hours = hour_index(np.datetime64(f"{year}-12-01T05"), 24 * WINTER_D)
        on = frame_of(where, hours, issued, PRACTICE)
        nothing = forecast(on, reach_h=0)
        made = spread_members(nothing, on, believed(on, climate), 66, PRACTICE)
        highs.append(made["temp_c"][0].reshape(-1, WINTER_D, 24).max(axis=-1))
        rains.append(made["rain_mm"][0].reshape(-1, WINTER_D, 24).sum(axis=-1))
    return np.concatenate(highs), np.concatenate(rains)


def figures(high_c, rain_mm):
    """Mean and spread of the highest, wet days, dry of warm days, two warm days within seven."""
    warm, wet = high_c >= WARM_C, rain_mm >= PRACTICE.wet_from_mm
    both = warm[:, 1:] & warm[:, :-1]
    within = np.lib.stride_tricks.sliding_window_view(both, 6, axis=1).any(axis=-1)
    return np.array(
        [high_c.mean(), high_c.std(), wet.mean(), (warm & ~wet).sum() / warm.sum(), within.mean()]
    )


def standard_errors(high_c, rain_mm):
    draw = np.random.default_rng(1990)
    picks = draw.integers(0, len(high_c), (RESAMPLED, len(high_c)))
    return np.std([figures(high_c[pick], rain_mm[pick]) for pick in picks], axis=0)


@pytest.mark.parametrize("with_past_years", [True, False])
def test_a_decade_left_out_is_like_the_members(record, with_past_years):
    season = season_of_day(record.days.astype(np.int64))
    misses = []
    for decade in DECADES:
        climate = climate_of_days(part(record, ~np.isin(season, decade)), PRACTICE)
        assert not set(climate.past.seasons) & set(decade)
        made = generated(climate if with_past_years else replace(climate, past=None))
        left_out = observed(record, decade)
        rest = observed(record, [year for year in SEASONS if year not in decade])
        error = np.hypot(standard_errors(*left_out), standard_errors(*rest))
        misses.append((figures(*made) - figures(*left_out)) / error)
    far = np.abs(np.array(misses))
    assert (far > 2.0).sum() <= 2
    assert far.max() <= 3.0


def test_the_climate_is_that_of_the_record(record):
    """Means and chances of December to February by plain arithmetic on the file's days."""
    climate = climate_of_days(record, PRACTICE)
    high, rain = observed(record, SEASONS)
    winter = np.r_[335:366, 0:59]
    assert climate.winters == 32
    assert climate.high_c[winter].mean() == pytest.approx(high.mean(), abs=0.1)
    assert climate.wet_frac[winter].mean() == pytest.approx((rain >= 1.0).mean(), abs=0.01)
    warm = high >= WARM_C
    dry = (rain[warm] < 1.0).mean()
    assert np.nanmean(climate.dry_warm_frac[winter]) == pytest.approx(dry, abs=0.03)
    assert climate.lag_corr == pytest.approx(0.63, abs=0.01)  # worked out apart, 1991-2020
