"""Half a year of recorded Open-Meteo answers for New York, and what came in place of some.

Check values: the stamps of the files themselves, and the same provider's values for the day after
(dayafter_hourly, which tells UTC beside the local clock).
"""

import csv
import gzip
import json
import os
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.open_meteo import read_forecasts
from windowcast.sources.wire.open_meteo_issue import issue_of

pytestmark = pytest.mark.recorded


def folder():
    return Path(os.environ["WINDOWCAST_RECORDED"]) / "open_meteo"


@pytest.fixture(scope="module")
def archive():
    """Issue time by the local clock -> (the answer as recorded, what we read)."""
    with gzip.open(folder() / "forecasts_06local_2023-24.jsonl.gz", "rt", encoding="utf-8") as file:
        lines = [json.loads(line) for line in file]
    return {
        line["issued_local"]: (
            line["response"],
            *read_forecasts(json.dumps(line["response"]).encode()),
        )
        for line in lines
    }


def test_every_recorded_answer_is_read_line_by_line(archive):
    assert len(archive) == 183
    for raw, point in archive.values():
        assert point.hours.size == len(raw["hourly"]["time"]) == 336
        assert point.remarks == ()
        assert point.tz == "America/New_York"


def test_the_file_across_the_clock_change_starts_and_ends_where_its_offset_says(archive):
    raw, point = archive["2024-03-05T06:00"]
    assert "2024-03-10T02:00" in raw["hourly"]["time"]  # a time that New York did not have
    assert point.hours[0] == np.datetime64("2024-03-05T05", "h")
    assert point.hours[-1] == np.datetime64("2024-03-19T04", "h")


def test_the_file_across_the_autumn_change_has_24_hours_on_that_day_and_ends_where_it_says(archive):
    raw, point = archive["2023-10-28T06:00"]
    assert sum(stamp.startswith("2023-11-05") for stamp in raw["hourly"]["time"]) == 24
    assert point.hours[0] == np.datetime64("2023-10-28T04", "h")
    assert point.hours[-1] == np.datetime64("2023-11-11T03", "h")


def test_the_first_hour_is_that_of_the_file_in_our_units(archive):
    raw, point = archive["2024-03-05T06:00"]
    told = raw["hourly"]
    assert raw["hourly_units"]["windspeed_10m"] == "mp/h"
    assert point.arrays["temp_c"][0] == pytest.approx((told["temperature_2m"][0] - 32) * 5 / 9)
    assert point.arrays["wind_mps"][0] == pytest.approx(told["windspeed_10m"][0] * 0.44704)
    assert point.arrays["gust_mps"][0] == pytest.approx(told["windgusts_10m"][1] * 0.44704)
    assert point.arrays["cloud_frac"][0] == pytest.approx(told["cloudcover"][0] / 100)


def test_no_rain_is_lost_but_that_of_the_hour_before_the_first(archive):
    for raw, point in archive.values():
        told = raw["hourly"]
        parts = zip(told["rain"], told["showers"], told["snowfall"], strict=True)
        whole = [(rain + showers + snow / 7) * 25.4 for rain, showers, snow in parts]
        assert np.nansum(point.arrays["rain_mm"]) == pytest.approx(sum(whole[1:]), abs=1e-6)


def test_an_answer_is_fresh_on_its_morning_and_days_old_six_days_later(archive):
    for asked_at, (_, point) in archive.items():
        local = datetime.fromisoformat(asked_at).replace(tzinfo=ZoneInfo("America/New_York"))
        now = local.astimezone(UTC)
        assert issue_of(point, now, now).at == now
        later = now + timedelta(days=6)
        age = later - issue_of(point, later, later).at
        # 06:00 is 18 hours before the end of the day; the clock may change on that day.
        assert timedelta(hours=125) <= age <= timedelta(hours=127)


def test_untold_chances_of_rain_stay_untold(archive):
    for raw, point in archive.values():
        untold = sum(value is None for value in raw["hourly"]["precipitation_probability"])
        assert untold in (100, 101) or untold == 0
        assert np.isnan(point.arrays["rain_prob_frac"]).sum() == untold + 1  # and the last hour


def test_the_hours_are_those_of_the_days_that_came(archive):
    """Forecasts fit the later values best when neither is moved by an hour."""
    with gzip.open(folder() / "dayafter_hourly_2023-10_2024-04.csv.gz", "rt") as file:
        came = {
            np.datetime64(row["time_utc"][:13], "h"): (float(row["temperature_2m"]) - 32) / 1.8
            for row in csv.DictReader(file)
            if row["temperature_2m"]
        }
    misfit = {
        lag: np.mean(
            [
                abs(temp - came[hour + lag])
                for _, point in archive.values()
                for hour, temp in zip(point.hours[:24], point.arrays["temp_c"][:24], strict=True)
                if hour + lag in came
            ]
        )
        for lag in (-2, -1, 0, 1, 2)
    }
    assert min(misfit, key=misfit.get) == 0


def test_all_bodies_that_came_in_place_of_a_forecast_are_refused_in_one_sentence():
    bodies = sorted((folder() / "errors").iterdir())
    assert len(bodies) == 5
    for body in bodies:
        with pytest.raises(SourceGarbled, match=r"^open_meteo: [^\n]+$"):
            read_forecasts(body.read_bytes())


def test_an_ensemble_without_wind_is_no_forecast():
    with pytest.raises(SourceGarbled, match="wind_speed_10m: the layer is missing"):
        read_forecasts((folder() / "ensemble_21members_2h_trimmed.json").read_bytes())
