"""Spread by days ahead and chances of runs against the project's own derivation.

fixtures/reference/spread_by_lead.csv and run_chances.csv, each with its source; the worked week
is told here.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import ndtr
from support.reference import rows
from support.spreads import PRACTICE

from windowcast.science.spread.lattice import RAIN, TEMPERATURE, normal_field
from windowcast.science.spread.lead import (
    calibrated_sd_dc,
    chained,
    day_correlation,
    fading_rho,
    forecast_rho,
    run_chance,
)
from windowcast.terms.lead import CONTINENTAL_ERRORS, MARITIME_ERRORS

SIGMA_DC = 6.2
LEADS = np.arange(1, 8)

# The worked week: forecast maxima from tomorrow on, the climate's mean, and the chance of rain
# that counts half. Written for this project; its chances from 400,000 draws of another program.
FORECAST_C = np.array([9.0, 12.0, 14.5, 16.0, 13.5, 10.0, 8.0])
RAIN_FRAC = 0.5 * np.array([0.1, 0.1, 0.2, 0.3, 0.6, 0.5, 0.3])
CLIMATE_C, WARM_C = 6.0, 13.0
DRAWS = 40_000


@pytest.mark.parametrize(("lead", "rho", "raw_sd", "calibrated_sd"), rows("spread_by_lead.csv"))
def test_rho_and_spread_by_lead(lead, rho, raw_sd, calibrated_sd):
    found = fading_rho(lead, PRACTICE)
    assert found == pytest.approx(rho, abs=1e-3)
    assert SIGMA_DC * np.sqrt(2.0 * (1.0 - found)) == pytest.approx(raw_sd, abs=0.01)
    assert calibrated_sd_dc(found, SIGMA_DC) == pytest.approx(calibrated_sd, abs=0.01)


def test_the_table_of_errors_is_within_002_of_the_closed_form():
    table = forecast_rho(LEADS, SIGMA_DC, CONTINENTAL_ERRORS, PRACTICE)
    assert table == pytest.approx(fading_rho(LEADS, PRACTICE), abs=0.02)


def test_a_maritime_climate():
    """Days 1, 3, 5 and 7 with a standard deviation of 4.3 °C."""
    rho = forecast_rho([1, 3, 5, 7], 4.3, MARITIME_ERRORS, PRACTICE)
    assert rho == pytest.approx([0.864, 0.826, 0.774, 0.740], abs=1e-3)
    assert calibrated_sd_dc(rho, 4.3) == pytest.approx([2.16, 2.43, 2.72, 2.89], abs=0.01)


@pytest.mark.parametrize(("chances", "days", "chance"), rows("run_chances.csv"))
def test_chances_of_runs(chances, days, chance):
    found = run_chance([float(text) for text in chances.split()], days)
    assert found == pytest.approx(chance, abs=1e-6)


def week():
    rho = fading_rho(LEADS, PRACTICE)
    return CLIMATE_C + rho * (FORECAST_C - CLIMATE_C), calibrated_sd_dc(rho, SIGMA_DC)


def has_run(good, days):
    """Whether so many good days in a row are in each row, shape (draw, day)."""
    windows = np.lib.stride_tricks.sliding_window_view(good, days, axis=-1)
    return windows.all(axis=-1).any(axis=-1)


def test_the_worked_week_day_by_day():
    mean, spread = week()
    assert mean == pytest.approx([8.75, 11.45, 13.55, 14.52, 12.00, 8.93, 7.30], abs=0.01)
    assert spread == pytest.approx([2.45, 2.58, 2.85, 3.24, 3.72, 4.22, 4.70], abs=0.01)
    warm = ndtr((mean - WARM_C) / spread)
    assert warm == pytest.approx([0.042, 0.275, 0.576, 0.681, 0.394, 0.167, 0.113], abs=1e-3)
    assert run_chance(warm, 2) == pytest.approx(0.584, abs=1e-3)
    assert run_chance(warm, 3) == pytest.approx(0.243, abs=1e-3)
    assert run_chance(warm * (1.0 - RAIN_FRAC), 2) == pytest.approx(0.456, abs=1e-3)


def test_the_worked_week_with_draws_of_the_lattice():
    """Standard error of each share over 40,000 draws: 0.0025."""
    mean, spread = week()
    days = 20_800 + LEADS[np.newaxis]
    fresh, rain = (
        normal_field([44.0], [-112.0], days, DRAWS, stream)[0] for stream in (TEMPERATURE, RAIN)
    )
    draws = chained(fresh, day_correlation(LEADS, 0.65, PRACTICE))
    warm = mean + spread * draws >= WARM_C
    dry = ndtr(rain) >= RAIN_FRAC
    chances = [has_run(good, n).mean() for good, n in ((warm, 2), (warm, 3), (warm & dry, 2))]
    assert chances == pytest.approx([0.621, 0.358, 0.507], abs=0.01)
