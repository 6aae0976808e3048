"""A season dressed with bias and spread that were fitted on its other months.

One place, October 2023 to March 2024; each month is judged with errors learned from the others,
and with a climate of records that end before it. Bounds: rule of this project.
"""

import gzip
import os
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from windowcast.science.skill.brier import brier_loss, skill
from windowcast.science.skill.cases import mean_of
from windowcast.science.skill.crps import crps_normal
from windowcast.science.skill.days import highs_by_lead, lead_days
from windowcast.science.skill.errors import root_mean_square_error, spread_of
from windowcast.science.skill.fitting import fit_by_lead
from windowcast.science.skill.reliability import reached
from windowcast.science.spread.climate import climate_of_days
from windowcast.science.spread.lead import calibrated_sd_dc, forecast_rho, lead_bias_dc
from windowcast.science.spread.usual import leap_day
from windowcast.sources.wire.open_meteo_archive import read_archive
from windowcast.terms.climate import DailyRecord
from windowcast.terms.lead import CONTINENTAL_ERRORS
from windowcast.terms.spread import SpreadPractice
from windowcast.units import f_to_c, in_to_mm

pytestmark = pytest.mark.recorded

PRACTICE = SpreadPractice()
LEADS = np.arange(8)
WARM_C = f_to_c(55.0)


def folder():
    return Path(os.environ["WINDOWCAST_RECORDED"])


@pytest.fixture(scope="module")
def climate():
    path = folder() / "climate" / "central_park_daily_1990_2022.csv.gz"
    with gzip.open(path, "rt") as file:
        table = pd.read_csv(file)
    record = DailyRecord(
        days=table["DATE"].to_numpy(dtype="datetime64[D]"),
        high_c=f_to_c(table["TMAX"].to_numpy(np.float64)),
        low_c=f_to_c(table["TMIN"].to_numpy(np.float64)),
        rain_mm=in_to_mm(table["PRCP"].to_numpy(np.float64)),
        lat_deg=40.78,
        lon_deg=-73.97,
        source="Central Park",
    )
    return climate_of_days(record, PRACTICE)


@pytest.fixture(scope="module")
def season():
    """Day, highest temperature told and come, each (case, lead day)."""
    parts = ("forecasts_06local_2023-24.jsonl.gz", "dayafter_hourly_2023-10_2024-04.csv.gz")
    archive = read_archive(*((folder() / "open_meteo" / name).read_bytes() for name in parts))
    ahead = lead_days(archive.issued, archive.hours, archive.tz)
    sides = (archive.forecast["temp_c"], archive.came["temp_c"])
    day = archive.issued.astype("datetime64[D]").astype(np.int64)[:, None] + LEADS
    return day, *(highs_by_lead(side, ahead, LEADS.size) for side in sides)


@pytest.fixture(scope="module")
def dressed(season, climate):
    """Mean and spread of each day, with errors of the other months, each (case, lead day)."""
    day, told, _ = season
    usual, sigma = (table[leap_day(day)] for table in (climate.high_c, climate.high_spread_dc))
    month = day.astype("datetime64[D]").astype("datetime64[M]")
    mean, sd = np.full(day.shape, np.nan), np.full(day.shape, np.nan)
    for left_out in np.unique(month):
        errors = errors_without(season, month == left_out)
        rho = forecast_rho(np.broadcast_to(LEADS, day.shape), sigma, errors, PRACTICE)
        shrunk = usual + rho * (told - lead_bias_dc(LEADS, errors) - usual)
        mean = np.where(month == left_out, shrunk, mean)
        sd = np.where(month == left_out, calibrated_sd_dc(rho, sigma), sd)
    return mean, sd


def errors_without(season, left_out):
    day, told, came = season
    leads = np.broadcast_to(LEADS, day.shape)
    return fit_by_lead(leads[~left_out], (told - came)[~left_out], CONTINENTAL_ERRORS).errors


def losses(season, climate, dressed, lead):
    """CRPS of the dressed forecast, of the raw one with its own RMSE, and of the climate."""
    day, told, came = (side[:, lead] for side in season)
    raw_dc = root_mean_square_error(told - came).value
    place = leap_day(day)
    return (
        mean_of(crps_normal(dressed[0][:, lead], dressed[1][:, lead], came)).value,
        mean_of(crps_normal(told, raw_dc, came)).value,
        mean_of(crps_normal(climate.high_c[place], climate.high_spread_dc[place], came)).value,
    )


@pytest.mark.parametrize("lead", [1, 3, 7])
def test_the_truth_strays_as_far_as_the_spread_says(season, dressed, lead):
    mean, sd = dressed
    z = (season[2] - mean)[:, lead] / sd[:, lead]
    assert 0.85 <= spread_of(z).value <= 1.15
    assert spread_of(z).cases >= 177


@pytest.mark.parametrize("lead", LEADS)
def test_the_dressed_forecast_beats_the_climate_on_every_day_of_the_week(
    season, climate, dressed, lead
):
    ours, _, usual = losses(season, climate, dressed, lead)
    assert ours < usual


def test_a_week_ahead_it_beats_the_raw_forecast_dressed_with_its_own_error_by_three_percent(
    season, climate, dressed
):
    ours, raw, _ = losses(season, climate, dressed, 7)
    assert ours <= 0.97 * raw


@pytest.mark.parametrize("lead", LEADS)
def test_the_chance_of_a_warm_day_beats_a_plain_yes_or_no(season, dressed, lead):
    from scipy.special import ndtr

    told, came = (reached(side[:, lead], WARM_C) for side in season[1:])
    mean, sd = (side[:, lead] for side in dressed)
    figure = skill(brier_loss(ndtr((mean - WARM_C) / sd), came), brier_loss(told, came))
    assert figure.value > 0.1
