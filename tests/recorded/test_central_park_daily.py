"""The recorded daily file of Central Park (inches and °F), 1990 to 2022, and a year of LaGuardia.

Check values come from the files by plain arithmetic, apart from the program.
"""

import csv
import gzip
import os
import time
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
import pytest
from support.canned import CannedFetcher
from support.station_files import Season, in_customary, in_metric, in_tenths, wide

from windowcast.problems import SourceGarbled
from windowcast.sources.station_daily import StationDaily
from windowcast.sources.wire.ghcn_daily import read_station_daily
from windowcast.sources.wire.ghcn_hours import spread_over_hours
from windowcast.terms.yard import Yard

pytestmark = pytest.mark.recorded

NEW_YORK = ZoneInfo("America/New_York")
YARD = Yard(key="park", name="Park", lat_deg=40.78, lon_deg=-73.97, tz="America/New_York")


def central_park():
    folder = Path(os.environ["WINDOWCAST_RECORDED"]) / "climate"
    return folder / "central_park_daily_1990_2022.csv.gz"


@pytest.fixture(scope="module")
def rows():
    with gzip.open(central_park(), "rt", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def days():
    return read_station_daily(central_park().read_bytes(), place="station_daily: park")


def test_inches_and_fahrenheit_are_found_out(days, rows):
    assert days.units == "°F and inches"
    assert len(days.table) == len(rows) == 12051
    assert days.dropped == ()


def test_the_first_and_the_last_day_are_those_of_the_file(days):
    first, last = days.table.iloc[0], days.table.iloc[-1]
    assert days.table.index[0] == pd.Timestamp("1990-01-01")
    assert (first.rain_mm, first.tmin_c, first.tmax_c) == pytest.approx(
        (0.24 * 25.4, 1 / 1.8, 16 / 1.8)
    )
    assert days.table.index[-1] == pd.Timestamp("2022-12-29")
    assert (last.rain_mm, last.tmin_c, last.tmax_c) == pytest.approx((0.0, 8 / 1.8, 19 / 1.8))


def test_the_season_has_the_rain_of_its_days(rows):
    now = datetime(2022, 2, 4, 11, tzinfo=UTC)
    told = StationDaily(CannedFetcher({}), file=central_park()).outlooks([YARD], now)
    rain = told.pasts["park"].arrays["rain_mm"]
    fell = sum(float(r["PRCP"]) for r in rows if "2021-09-01" <= r["DATE"] <= "2022-02-03")
    assert np.nansum(rain, dtype=np.float64) == pytest.approx(fell * 25.4, abs=0.01)
    assert told.pasts["park"].hours[0] == np.datetime64("2021-09-01T04", "h")
    assert told.pasts["park"].hours[-1] == np.datetime64("2022-02-04T04", "h")
    assert told.remarks == ()


def test_each_day_of_a_winter_has_its_own_rain(rows):
    now = datetime(2022, 3, 20, 11, tzinfo=UTC)
    past = StationDaily(CannedFetcher({}), file=central_park()).outlooks([YARD], now).pasts["park"]
    hours = pd.DatetimeIndex(past.hours.astype("datetime64[s]")).tz_localize("UTC")
    local = pd.Series(past.arrays["rain_mm"][0], index=hours).tz_convert(NEW_YORK)
    by_day = local.groupby(local.index.date).sum(min_count=23)
    for row in rows:
        if "2021-10-20" <= row["DATE"] <= "2022-03-18":  # both clock changes are inside
            found = by_day[date.fromisoformat(row["DATE"])]
            assert found == pytest.approx(float(row["PRCP"]) * 25.4, abs=1e-3)


def test_forty_yards_are_read_in_a_second():
    yards = [
        Yard(key=f"y{n}", name="Y", lat_deg=40.8, lon_deg=-74.0, tz=YARD.tz) for n in range(40)
    ]
    began = time.monotonic()
    source = StationDaily(CannedFetcher({}), file=central_park())
    source.outlooks(yards, datetime(2022, 3, 20, tzinfo=UTC))
    assert time.monotonic() - began < 1.0


@pytest.mark.parametrize(
    ("says", "form"),
    [
        ("tenths of °C and mm", in_tenths),
        ("°C and mm", in_metric),
        ("°C and mm", lambda told: in_metric(told, 0)),
        ("°F and inches", in_customary),
    ],
)
@pytest.mark.parametrize("count", [20, 45, 90, 200, 420])
def test_any_stretch_in_any_units_is_right_or_refused(rows, says, form, count):
    outcomes = []
    for start in range(0, len(rows) - count, 331):
        body = wide(
            stretch(rows[start : start + count]), form(stretch(rows[start : start + count]))
        )
        try:
            outcomes.append(read_station_daily(body, place="x").units)
        except SourceGarbled:
            outcomes.append(None)
    assert set(outcomes) <= {says, None}
    if count >= 200:
        assert None not in outcomes


def stretch(rows):
    """Some days of the file in °C and mm."""
    highs, lows = (np.array([(float(r[n]) - 32) / 1.8 for r in rows]) for n in ("TMAX", "TMIN"))
    return Season(
        days=tuple(date.fromisoformat(r["DATE"]) for r in rows),
        highs=highs,
        lows=lows,
        rain=np.array([float(r["PRCP"]) * 25.4 for r in rows]),
    )


def test_the_shape_of_a_day_fits_a_year_of_hourly_readings():
    """Daylight hours of 13 °C and more, November to April: a mean error of 0.43 h is known."""
    path = Path(os.environ["WINDOWCAST_RECORDED"]) / "obs" / "obs_hourly_LGA_2013.csv"
    told = pd.read_csv(path)
    index = pd.to_datetime(told["time_hour"], utc=True)
    hourly = pd.Series(((told["temp"] - 32) / 1.8).to_numpy(), index=index).tz_convert(NEW_YORK)
    daily = hourly.groupby(hourly.index.date).agg(["max", "min"])
    columns = {"tmax_c": daily["max"], "tmin_c": daily["min"], "rain_mm": np.nan, "snow_mm": np.nan}
    columns |= {f"{name}_read_min": 1440.0 for name in ("tmax", "tmin", "rain", "snow")}
    table = pd.DataFrame({**columns, "rain_days": 1.0})
    table.index = pd.DatetimeIndex(table.index, name="date")
    spot = (40.78, -73.88, "America/New_York")
    found = spread_over_hours(table, spot, date(2013, 1, 1), datetime(2014, 2, 1, tzinfo=UTC))
    stamps = pd.DatetimeIndex(found.hours.astype("datetime64[s]")).tz_localize("UTC")
    both = pd.DataFrame(
        {"spread": pd.Series(found.arrays["temp_c"], stamps), "read": hourly.tz_convert("UTC")}
    ).dropna()
    both = both.tz_convert(NEW_YORK)
    both = both[both.index.month.isin([1, 2, 3, 4, 11, 12]) & both.index.hour.isin(range(7, 18))]
    warm = (both >= 13).groupby(both.index.date).sum()
    assert abs(warm["spread"] - warm["read"]).mean() <= 0.45
    assert warm["spread"].corr(warm["read"]) >= 0.95


def test_a_record_that_ends_long_before_the_morning_is_remarked_on():
    now = datetime(2022, 12, 30, 11, tzinfo=UTC) + timedelta(days=20)
    told = StationDaily(CannedFetcher({}), file=central_park()).outlooks([YARD], now)
    assert len(told.remarks) == 1
    assert "it ends on 2022-12-30" in told.remarks[0]
