"""The two recorded grids, hour by hour.

Expected numbers were taken from the files apart from the program: counts, sums and the range of
each local day in °F, mm, percent and mph.
"""

import math
import os
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from windowcast.sources.wire.nws_grid import Grid, read_grid
from windowcast.sources.wire.nws_points import read_point
from windowcast.times import local_clock
from windowcast.units import c_to_f, mps_to_mph

pytestmark = pytest.mark.recorded

TAE, TAE_ZONE = "gridpoint_TAE_58_65_2022-02-04T0315Z.json", "America/New_York"
BMX, BMX_ZONE = "gridpoint_BMX_59_84_2024-02-20T1515Z_times_restored.json", "America/Chicago"
NAN = math.nan

# Local day, hours of temperature, lowest and highest °F, rain mm, chance of rain %, gust mph.
TAE_DAYS = [
    (date(2022, 2, 3), 8, 66, 73, 0.0, 8, 18.4),
    (date(2022, 2, 4), 24, 49, 72, 14.224, 87, 15.0),
    (date(2022, 2, 5), 24, 39, 55, 2.794, 45, 17.3),
    (date(2022, 2, 6), 24, 38, 58, 0.0, 5, 10.4),
    (date(2022, 2, 7), 24, 42, 60, 0.254, 16, 11.5),
    (date(2022, 2, 8), 24, 40, 59, 1.439, 16, 11.5),
    (date(2022, 2, 9), 24, 39, 62, 1.312, 21, 9.2),
    (date(2022, 2, 10), 24, 38, 65, 0.042, 19, 10.4),
    (date(2022, 2, 11), 6, 40, 45, NAN, 16, 8.1),
]
BMX_DAYS = [
    (date(2024, 2, 20), 21, 34, 63, 0.0, 0, 6.9),
    (date(2024, 2, 21), 24, 39, 69, 0.0, 0, 20.7),
    (date(2024, 2, 22), 24, 49, 70, 2.794, 89, 34.5),
    (date(2024, 2, 23), 24, 47, 64, 1.524, 60, 26.5),
    (date(2024, 2, 24), 24, 40, 65, 0.0, 0, 26.5),
    (date(2024, 2, 25), 24, 37, 70, 0.0, 1, 19.6),
    (date(2024, 2, 26), 24, 48, 73, 0.0, 2, 21.9),
    (date(2024, 2, 27), 19, 58, 76, 0.254, 29, 29.9),
]


def recorded(name: str) -> bytes:
    return (Path(os.environ["WINDOWCAST_RECORDED"]) / "nws" / name).read_bytes()


def day_of(grid: Grid, zone: str, day: date) -> dict[str, np.ndarray]:
    local_day, _ = local_clock(grid.hours, zone)
    return {name: array[local_day == day.toordinal()] for name, array in grid.arrays.items()}


def total(rain: np.ndarray) -> float:
    return float(np.nansum(rain)) if np.isfinite(rain).any() else NAN


@pytest.mark.parametrize(
    ("name", "zone", "day"),
    [(TAE, TAE_ZONE, day) for day in TAE_DAYS] + [(BMX, BMX_ZONE, day) for day in BMX_DAYS],
    ids=lambda value: str(value[0]) if isinstance(value, tuple) else None,
)
def test_the_ranges_of_each_local_day(name: str, zone: str, day: tuple) -> None:
    local_day, count, low, high, rain, chance, gust = day
    told = day_of(read_grid(recorded(name)), zone, local_day)
    temps = told["temp_c"][np.isfinite(told["temp_c"])]
    assert temps.size == count
    assert c_to_f(temps.min()) == pytest.approx(low, abs=1e-6)
    assert c_to_f(temps.max()) == pytest.approx(high, abs=1e-6)
    assert total(told["rain_mm"]) == pytest.approx(rain, abs=5e-4, nan_ok=True)
    assert np.nanmax(told["rain_prob_frac"]) * 100 == pytest.approx(chance)
    assert mps_to_mph(np.nanmax(told["gust_mps"])) == pytest.approx(gust, abs=0.05)


@pytest.mark.parametrize(
    ("name", "hours", "first", "rain_hours", "rain_mm"),
    [(TAE, 182, "2022-02-03T21", 159, 20.066), (BMX, 184, "2024-02-20T09", 195, 4.572)],
)
def test_the_hours_and_the_sum_of_the_rain(
    name: str, hours: int, first: str, rain_hours: int, rain_mm: float
) -> None:
    grid = read_grid(recorded(name))
    assert grid.hours[0] == np.datetime64(first, "h")
    assert np.isfinite(grid.arrays["temp_c"]).sum() == hours
    assert np.isfinite(grid.arrays["rain_mm"]).sum() == rain_hours
    assert np.nansum(grid.arrays["rain_mm"]) == pytest.approx(rain_mm, abs=1e-6)


def test_periods_across_local_midnight_are_split_by_the_hour() -> None:
    grid = read_grid(recorded(TAE))
    rain = dict(zip(grid.hours.astype(str), grid.arrays["rain_mm"].tolist(), strict=True))
    # periods of six hours from 06, 12, 18 and 00 UTC hold 2.032, 4.826, 4.826 and 3.048 mm
    assert rain["2022-02-04T05"] == 0.0
    assert rain["2022-02-04T06"] == pytest.approx(2.032 / 6, abs=1e-9)
    assert rain["2022-02-04T17"] == pytest.approx(4.826 / 6, abs=1e-9)
    assert rain["2022-02-05T04"] == pytest.approx(3.048 / 6, abs=1e-9)
    assert rain["2022-02-05T05"] == pytest.approx(3.048 / 6, abs=1e-9)


def test_what_the_grids_say_of_themselves() -> None:
    tae, bmx = read_grid(recorded(TAE)), read_grid(recorded(BMX))
    assert (tae.cell, bmx.cell) == ("TAE 58,65", "BMX 59,84")
    assert tae.updated_at == datetime(2022, 2, 4, 3, 15, 41, tzinfo=UTC)
    assert bmx.updated_at == datetime(2024, 2, 20, 15, 15, 12, tzinfo=UTC)
    assert (tae.elev_m, bmx.elev_m) == (3.9624, 167.0304)
    assert len(tae.polygon) == len(bmx.polygon) == 5
    assert tae.remarks == bmx.remarks == ()
    assert tae.hazards == bmx.hazards == ()


def test_the_wind_of_the_coast_ends_an_hour_before_its_temperature() -> None:
    arrays = read_grid(recorded(TAE)).arrays
    assert np.isfinite(arrays["wind_mps"]).sum() == 181
    assert np.isfinite(arrays["gust_mps"]).sum() == 181
    assert np.isfinite(arrays["rain_prob_frac"]).sum() == 183
    assert np.isfinite(arrays["snow_mm"]).sum() == 99


def test_the_last_temperature_hour_begins_where_the_file_ends() -> None:
    grid = read_grid(recorded(TAE))
    last = grid.hours[np.isfinite(grid.arrays["temp_c"])][-1]
    assert last == np.datetime64("2022-02-11T10", "h")


def test_a_grid_moved_by_whole_days_tells_the_same_hours() -> None:
    body = recorded(TAE).decode()
    days = {date(2022, 2, 3) + timedelta(days=n) for n in range(9)}
    for day in sorted(days, reverse=True):  # the last first, so that no day is moved twice
        body = body.replace(f"{day}T", f"{day + timedelta(days=364)}T")
    before, after = read_grid(recorded(TAE)), read_grid(body.encode())
    assert (after.hours - before.hours == np.timedelta64(364 * 24, "h")).all()
    for name, array in before.arrays.items():
        np.testing.assert_array_equal(after.arrays[name], array)


def test_the_recorded_points_lead_to_the_recorded_grids() -> None:
    tae, bmx = (
        read_point(recorded(name))
        for name in ("points_30_-85_TAE.json", "points_33.521_-86.812_BMX.json")
    )
    assert tae.grid_link == "https://api.weather.gov/gridpoints/TAE/58,65"
    assert bmx.stations_link == "https://api.weather.gov/gridpoints/BMX/59,84/stations"
    assert (tae.tz, bmx.tz) == (TAE_ZONE, BMX_ZONE)
