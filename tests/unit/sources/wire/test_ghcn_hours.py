"""Daily extremes and totals over the hours that they belong to."""

import math
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pandas as pd
import pytest

from windowcast.science.sun import sun_times
from windowcast.sources.wire.ghcn_hours import SpreadHours, spread_over_hours

# On the meridian of its zone, so that solar noon differs from 12:00 by the equation of time only:
# 0 minutes on 25 December, +16 on 1 November (any almanac).
SPOT = (45.0, -120.0, "Etc/GMT+8")
FIRST = date(2026, 12, 20)
LATER = datetime(2027, 6, 1, tzinfo=UTC)


def table(first: date, count: int, **told: object) -> pd.DataFrame:
    """Days with 10 °C, 0 °C and no rain, read at midnight, but for what is told."""
    index = pd.date_range(first, periods=count, freq="D", name="date")
    usual = {"tmax_c": 10.0, "tmin_c": 0.0, "rain_mm": 0.0, "snow_mm": math.nan, "rain_days": 1.0}
    usual |= {f"{name}_read_min": 1440.0 for name in ("tmax", "tmin", "rain", "snow")}
    return pd.DataFrame({**usual, **told}, index=index)


def spread(days: pd.DataFrame, spot=SPOT, first=FIRST, until=LATER) -> SpreadHours:
    found = spread_over_hours(days, spot, first, until)
    assert found is not None
    return found


def local(found: SpreadHours, name: str, start: str, count: int = 24, ahead_h: int = -8):
    """Values from a local hour on, at a clock so many hours ahead of UTC."""
    begin = np.datetime64(start, "h") - np.timedelta64(ahead_h, "h")
    n = int((begin - found.hours[0]).astype(int))
    return found.arrays[name][n : n + count]


# --- temperature ----------------------------------------------------------------------------


def test_the_warmest_hour_is_two_hours_after_solar_noon() -> None:
    temps = local(spread(table(FIRST, 10)), "temp_c", "2026-12-25T00")
    assert int(np.argmax(temps)) == 14
    assert temps[14] == pytest.approx(10.0, abs=0.01)


def test_the_coldest_moment_is_sunrise() -> None:
    rise, _ = sun_times(*SPOT[:2], date(2026, 12, 25), SPOT[2])  # 07:36 at 45 degrees north
    temps = local(spread(table(FIRST, 10)), "temp_c", "2026-12-25T00")
    assert rise.hour - 8 == 7
    assert int(np.argmin(temps)) in (7, 8)
    assert temps[7] > 0.0
    assert temps[8] > temps[7]


def test_it_rises_as_a_quarter_of_a_sine_and_falls_as_a_quarter_of_a_cosine() -> None:
    found = spread(table(FIRST, 10))
    dawn, next_dawn = (
        sun_times(*SPOT[:2], date(2026, 12, day), SPOT[2])[0].timestamp() for day in (25, 26)
    )
    peak = datetime(2026, 12, 25, 22, tzinfo=UTC).timestamp()
    for hour in (17, 19, 21):  # UTC: 09, 11 and 13 by the clock of the place
        moment = datetime(2026, 12, 25, hour, tzinfo=UTC)
        share = (moment.timestamp() - dawn) / (peak - dawn)
        (temp,) = local(found, "temp_c", f"2026-12-25T{hour - 8:02}", 1)
        assert temp == pytest.approx(10 * math.sin(math.pi / 2 * share), abs=0.05)
    moment = datetime(2026, 12, 26, 6, tzinfo=UTC)
    share = (moment.timestamp() - peak) / (next_dawn - peak)
    (temp,) = local(found, "temp_c", "2026-12-25T22", 1)
    assert temp == pytest.approx(10 * math.cos(math.pi / 2 * share), abs=0.05)


def test_it_falls_to_the_lowest_of_the_next_morning() -> None:
    days = table(FIRST, 10, tmin_c=[0.0] * 6 + [-8.0] + [0.0] * 3)  # 26 December
    temps = local(spread(days), "temp_c", "2026-12-26T05", 3)
    assert temps[0] > temps[1] > temps[2] > -8.0
    assert temps[2] < -6.0


def test_a_missing_highest_leaves_the_time_between_two_mornings_untold() -> None:
    days = table(FIRST, 10, tmax_c=[10.0] * 5 + [math.nan] + [10.0] * 4)  # 25 December
    temps = local(spread(days), "temp_c", "2026-12-25T00", 48)
    untold = np.flatnonzero(np.isnan(temps))
    assert untold.tolist() == list(range(8, 24 + 8))


def test_a_missing_lowest_leaves_the_night_and_the_morning_untold() -> None:
    days = table(FIRST, 10, tmin_c=[0.0] * 5 + [math.nan] + [0.0] * 4)
    temps = local(spread(days), "temp_c", "2026-12-24T00", 48)
    untold = np.flatnonzero(np.isnan(temps))
    assert untold[0] in (14, 15)  # after the warmest moment of the 24th
    assert untold[-1] in (24 + 13, 24 + 14)


@pytest.mark.parametrize(
    ("read_min", "warm_day", "cold_day"),
    [
        (420.0, "2026-12-24", "2026-12-25"),  # 07:00
        (1020.0, "2026-12-25", "2026-12-25"),  # 17:00
        (1440.0, "2026-12-25", "2026-12-25"),
        (60.0, "2026-12-24", "2026-12-24"),  # 01:00: the night has hardly begun
    ],
)
def test_extremes_belong_to_the_24_hours_before_the_reading(
    read_min: float, warm_day: str, cold_day: str
) -> None:
    days = table(
        FIRST,
        10,
        tmax_c=[10.0] * 5 + [20.0] + [10.0] * 4,  # told under 25 December
        tmin_c=[0.0] * 5 + [-20.0] + [0.0] * 4,
        tmax_read_min=read_min,
        tmin_read_min=read_min,
    )
    found = spread(days)
    warm = np.nanmax(local(found, "temp_c", f"{warm_day}T12", 6))
    cold = np.nanmin(local(found, "temp_c", f"{cold_day}T03", 6))
    assert warm == pytest.approx(20.0, abs=0.1)
    assert cold < -10.0
    assert np.nansum(found.arrays["temp_c"] > 15) < 12


def test_two_readings_for_one_morning_keep_the_colder() -> None:
    days = table(
        FIRST,
        10,
        tmin_c=[0.0] * 5 + [-5.0, -9.0] + [0.0] * 3,
        tmin_read_min=[1440.0] * 6 + [60.0] + [1440.0] * 3,
    )
    temps = local(spread(days), "temp_c", "2026-12-25T03", 5)
    assert np.nanmin(temps) < -7.0


def test_where_the_sun_does_not_rise_temperature_is_untold() -> None:
    found = spread(table(FIRST, 10), (75.0, -120.0, "Etc/GMT+8"))
    assert np.isnan(found.arrays["temp_c"]).all()
    assert np.isfinite(found.arrays["rain_mm"]).all()


# --- amounts --------------------------------------------------------------------------------


def test_rain_is_even_over_the_day_and_its_sum_is_kept() -> None:
    days = table(FIRST, 10, rain_mm=[0.0] * 5 + [12.0] + [0.0] * 4)
    found = spread(days)
    assert local(found, "rain_mm", "2026-12-25T00").tolist() == pytest.approx([0.5] * 24)
    assert found.arrays["rain_mm"].sum() == pytest.approx(12.0)


def test_rain_read_at_seven_fell_from_seven_to_seven() -> None:
    days = table(FIRST, 10, rain_mm=[0.0] * 5 + [12.0] + [0.0] * 4, rain_read_min=420.0)
    rain = spread(days).arrays["rain_mm"]
    wet = local(spread(days), "rain_mm", "2026-12-24T07")
    assert wet.tolist() == pytest.approx([0.5] * 24)
    assert np.nansum(rain) == pytest.approx(12.0)


@pytest.mark.parametrize(
    ("day", "hours"), [(date(2026, 11, 1), 25), (date(2027, 3, 14), 23), (date(2027, 1, 5), 24)]
)
def test_a_day_of_23_or_25_hours_has_its_rain_in_all_of_them(day: date, hours: int) -> None:
    first = day - timedelta(days=3)
    days = table(first, 7, rain_mm=[0.0] * 3 + [float(hours)] + [0.0] * 3)
    rain = spread(days, (43.6, -116.2, "America/Boise"), first).arrays["rain_mm"]
    assert rain[np.nan_to_num(rain) > 0].tolist() == pytest.approx([1.0] * hours)


def test_a_reading_at_seven_after_a_clock_change_is_at_seven_by_the_new_clock() -> None:
    days = table(date(2026, 10, 29), 7, rain_mm=[0, 0, 0, 25.0, 0, 0, 0], rain_read_min=420.0)
    found = spread(days, (43.6, -116.2, "America/Boise"), date(2026, 10, 29))
    wet = np.flatnonzero(np.nan_to_num(found.arrays["rain_mm"]) > 0)
    assert found.hours[wet[0]] == np.datetime64("2026-10-31T13", "h")  # 07:00, UTC-6
    assert found.hours[wet[-1]] == np.datetime64("2026-11-01T13", "h")  # 06:00, UTC-7
    assert wet.size == 25


def test_an_untold_day_is_untold_and_not_dry() -> None:
    days = table(FIRST, 10, rain_mm=[0.0] * 5 + [math.nan] + [0.0] * 4)
    found = spread(days)
    assert np.isnan(local(found, "rain_mm", "2026-12-25T00")).all()
    assert np.isnan(found.arrays["rain_mm"]).sum() == 24


def test_a_total_of_three_days_is_even_over_them() -> None:
    rain = [0.0] * 3 + [math.nan, math.nan, 7.2] + [0.0] * 4
    days = table(FIRST, 10, rain_mm=rain, rain_days=[1.0] * 5 + [3.0] + [1.0] * 4)
    found = spread(days)
    assert local(found, "rain_mm", "2026-12-23T00", 72).tolist() == pytest.approx([0.1] * 72)
    assert np.isfinite(found.arrays["rain_mm"]).all()


def test_when_the_hour_of_reading_changes_no_hour_counts_twice() -> None:
    minutes = [1440.0] * 5 + [420.0] * 5
    found = spread(table(FIRST, 10, rain_mm=2.4, rain_read_min=minutes))
    rain = found.arrays["rain_mm"]
    assert local(found, "rain_mm", "2026-12-25T00", 7).tolist() == pytest.approx([2.4 / 7] * 7)
    assert np.nansum(rain) == pytest.approx(24.0)


def test_snow_is_even_over_its_hours_too() -> None:
    found = spread(table(FIRST, 10, snow_mm=[math.nan] * 5 + [48.0] + [math.nan] * 4))
    assert local(found, "snow_mm", "2026-12-25T00").tolist() == pytest.approx([2.0] * 24)
    assert np.isnan(found.arrays["snow_mm"]).sum() == found.hours.size - 24


def test_an_hour_that_is_told_only_in_part_is_untold() -> None:
    days = table(FIRST, 3, rain_mm=[math.nan, 24.0, math.nan])
    rain = spread(days, (22.0, 82.5, "Asia/Kolkata")).arrays["rain_mm"]
    told = rain[np.isfinite(rain)]
    assert told.tolist() == pytest.approx([1.0] * 23)  # local midnight is 18:30 UTC


# --- from when to when ----------------------------------------------------------------------


def test_hours_begin_at_the_first_local_midnight_and_end_with_the_last_reading() -> None:
    found = spread(table(FIRST - timedelta(days=1), 5))
    assert found.hours[0] == np.datetime64("2026-12-20T08", "h")
    assert found.hours[-1] == np.datetime64("2026-12-24T07", "h")
    assert found.last_read == datetime(2026, 12, 24, 8, tzinfo=UTC)
    assert np.isfinite(found.arrays["temp_c"][0])  # the day before told the evening


def test_what_is_read_later_than_now_is_not_known_yet() -> None:
    at_midnight = datetime(2026, 12, 25, 8, tzinfo=UTC)
    before = spread(table(FIRST, 10), until=at_midnight - timedelta(seconds=1))
    assert before.last_read == datetime(2026, 12, 24, 8, tzinfo=UTC)
    assert spread(table(FIRST, 10), until=at_midnight).last_read == at_midnight


def test_the_evening_after_the_last_highest_is_untold() -> None:
    temps = local(spread(table(FIRST, 5)), "temp_c", "2026-12-24T00")
    assert np.isfinite(temps[13])
    assert np.isnan(temps[15:]).all()


@pytest.mark.parametrize(
    ("first", "until"), [(date(2027, 1, 10), LATER), (FIRST, datetime(2026, 12, 20, tzinfo=UTC))]
)
def test_nothing_since_the_first_day_is_nothing(first: date, until: datetime) -> None:
    assert spread_over_hours(table(FIRST, 10), SPOT, first, until) is None


def test_a_table_without_a_value_is_nothing() -> None:
    nothing = table(FIRST, 10, tmax_c=math.nan, tmin_c=math.nan, rain_mm=math.nan)
    assert spread_over_hours(nothing, SPOT, FIRST, LATER) is None
