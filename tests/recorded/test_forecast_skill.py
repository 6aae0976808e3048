"""Figures of merit of half a year of recorded forecasts.

Check values: the same figures worked out from the files with pandas, by the days that their local
stamps name, without the program's parsers, hours and zones.
"""

import gzip
import json
import os
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from windowcast.science.skill.brier import brier_loss, skill
from windowcast.science.skill.cases import mean_of
from windowcast.science.skill.days import highs_by_lead, lead_days
from windowcast.science.skill.errors import bias, mean_absolute_error, root_mean_square_error
from windowcast.science.skill.fitting import fit_by_lead
from windowcast.science.skill.reliability import reached, roc_area
from windowcast.sources.wire.open_meteo_archive import read_archive
from windowcast.terms.lead import CONTINENTAL_ERRORS
from windowcast.units import f_to_c

pytestmark = pytest.mark.recorded

DAYS = 14
WARM_C = f_to_c(55.0)


def folder():
    return Path(os.environ["WINDOWCAST_RECORDED"]) / "open_meteo"


def files():
    names = ("forecasts_06local_2023-24.jsonl.gz", "dayafter_hourly_2023-10_2024-04.csv.gz")
    return [(folder() / name).read_bytes() for name in names]


@pytest.fixture(scope="module")
def archive():
    return read_archive(*files())


@pytest.fixture(scope="module")
def highs(archive):
    """Highest temperature of each local day, told and come, each (case, day). [°C]"""
    ahead = lead_days(archive.issued, archive.hours, archive.tz)
    sides = (archive.forecast["temp_c"], archive.came["temp_c"])
    return [highs_by_lead(side, ahead, DAYS) for side in sides]


@pytest.fixture(scope="module")
def by_stamps():
    """Errors in C° by the local dates of the files, shape (case, day), clock changes left out."""
    lines, table = (gzip.decompress(body).decode() for body in files())
    rows = pd.DataFrame([row.split(",") for row in table.splitlines()[1:]])
    came = rows[3].astype(float).groupby(rows[0].str[:10]).max()
    errors = []
    for line in lines.splitlines():
        hourly = json.loads(line)["response"]["hourly"]
        told = pd.Series(hourly["temperature_2m"]).groupby(
            pd.Series(hourly["time"]).str[:10]
        ).max()  # fmt: skip
        # On the day before a change the table has the offset of the day after.
        changes = {"2023-11-04", "2023-11-05", "2024-03-09", "2024-03-10"} & set(told.index)
        error = (told - came.reindex(told.index)).to_numpy() / 1.8
        errors.append(np.full(DAYS, np.nan) if changes else error)
    return np.array(errors)


def test_every_line_is_a_case_and_one_hour_of_the_table_is_told_twice(archive):
    assert archive.issued.size == 183
    assert (archive.lead_h[0], archive.lead_h[-1]) == (-6, 329)
    assert len(archive.remarks) == 1
    assert "a row tells an hour that another row tells too" in archive.remarks[0]


def test_the_table_covers_all_but_the_first_week_and_the_hour_that_its_own_clock_skips(archive):
    told = ~np.isnan(archive.came["temp_c"])
    assert archive.hours[told].min() == np.datetime64("2023-10-08T04", "h")
    missing = np.unique(archive.hours[7:][~told[7:]])
    assert missing.tolist() == [np.datetime64("2023-11-04T04", "h").tolist()]


def test_errors_away_from_clock_changes_are_those_of_the_stamps(highs, by_stamps):
    mine = highs[0] - highs[1]
    both = ~np.isnan(by_stamps)
    assert both.sum() > 1500
    assert mine[both] == pytest.approx(by_stamps[both], abs=1e-6)


def test_figures_by_lead_day_are_those_of_pandas(highs, by_stamps):
    both = ~np.isnan(by_stamps)
    for lead in (0, 1, 3, 7, 13):
        error = np.where(both[:, lead], (highs[0] - highs[1])[:, lead], np.nan)
        truth = pd.Series(by_stamps[:, lead])
        assert bias(error).value == pytest.approx(truth.mean(), abs=1e-9)
        assert mean_absolute_error(error).value == pytest.approx(truth.abs().mean(), abs=1e-9)
        assert root_mean_square_error(error).value == pytest.approx(
            float((truth**2).mean() ** 0.5), abs=1e-9
        )
        assert bias(error).cases == truth.count()


def test_errors_grow_from_the_second_day_to_the_tenth(highs):
    error = highs[0] - highs[1]
    wide = [root_mean_square_error(error[:, lead]).value for lead in (2, 4, 6, 8, 9)]
    assert wide == sorted(wide)


def test_plain_yes_and_no_to_a_warm_day_beat_the_climate_within_a_week(highs):
    told, came = (reached(side, WARM_C) for side in highs)
    for lead in range(7):
        usual = np.full(came.shape[0], mean_of(came[:, lead]).value)
        figure = skill(brier_loss(told[:, lead], came[:, lead]), brier_loss(usual, came[:, lead]))
        assert figure.value > 0.2
        assert figure.cases >= 176


@pytest.mark.parametrize("lead", [0, 3, 7])
def test_forecasts_of_other_days_have_no_skill(highs, lead):
    told, came = (reached(side[7:, lead], WARM_C) for side in highs)
    shuffled = np.random.default_rng(lead).permutation(told)
    usual = np.full(came.size, mean_of(came).value)
    assert skill(brier_loss(shuffled, came), brier_loss(usual, came)).value < 0.0
    assert abs(roc_area(shuffled, came).value - 0.5) < 0.1


def test_a_fit_lies_between_the_archive_and_the_defaults(highs):
    error = (highs[0] - highs[1])[:, :8]
    leads = np.broadcast_to(np.arange(8), error.shape)
    fit = fit_by_lead(leads.ravel(), error.ravel(), CONTINENTAL_ERRORS)
    assert fit.unused == 28  # the first week has days without truth
    for lead in range(8):
        mean = bias(error[:, lead]).value
        assert mean <= fit.errors.bias_dc[lead] <= 0.0
        spread = float(np.nanstd(error[:, lead]))
        usual = CONTINENTAL_ERRORS.raw_dc[lead]
        assert min(spread, usual) - 0.05 <= fit.errors.raw_dc[lead] <= max(spread, usual) + 0.05
