"""Bias and spread by lead day from an archive, leaning on defaults."""

import math

import numpy as np
import pytest

from windowcast.science.skill.fitting import DEFAULT_CASES, fit_by_lead
from windowcast.terms.lead import CONTINENTAL_ERRORS, LeadErrors
from windowcast.terms.skill import LeadFit
from windowcast.terms.threshold import OURS

DEFAULTS = LeadErrors(raw_dc=(2.0, 3.0), bias_dc=(0.0, 0.5), source="a table", grade=OURS)


def errors_about(middle, spread, count):
    """Errors with exactly this mean and this mean squared distance from it."""
    return middle + spread * np.tile([-1.0, 1.0], count // 2)


def test_without_cases_the_fit_is_the_defaults_themselves():
    fit = fit_by_lead([], [], CONTINENTAL_ERRORS)
    assert fit.errors is CONTINENTAL_ERRORS
    assert fit.cases == (0,) * 8


def test_as_many_cases_as_the_defaults_weigh_stand_half_way():
    count = int(DEFAULT_CASES)
    fit = fit_by_lead(np.zeros(count), errors_about(2.0, 1.0, count), DEFAULTS)
    assert fit.errors.bias_dc == (pytest.approx(1.0), 0.5)
    # half of 1 and of the 1 that the bias leaves, half of the default's 4
    assert fit.errors.raw_dc == (pytest.approx(math.sqrt((1 + 1 + 4) / 2)), 3.0)
    assert (fit.cases, fit.clipped, fit.unused) == ((30, 0), (0, 0), 0)


def test_very_many_cases_outweigh_the_defaults():
    fit = fit_by_lead(np.ones(60_000), errors_about(-1.5, 4.0, 60_000), DEFAULTS)
    assert fit.errors.bias_dc[1] == pytest.approx(-1.5, abs=0.002)
    assert fit.errors.raw_dc[1] == pytest.approx(4.0, abs=0.002)


def test_perfect_forecasts_leave_a_spread_above_zero():
    fit = fit_by_lead(np.zeros(300), np.zeros(300), DEFAULTS)
    assert 0.0 < fit.errors.raw_dc[0] < 1.0


def test_one_slip_in_the_archive_hardly_moves_the_fit():
    clean = np.random.default_rng(3).normal(0.0, 2.0, 60)
    slip = np.append(clean, 300.0)
    before = fit_by_lead(np.zeros(60), clean, DEFAULTS)
    after = fit_by_lead(np.zeros(61), slip, DEFAULTS)
    assert after.clipped == (1, 0)
    assert abs(after.errors.bias_dc[0] - before.errors.bias_dc[0]) < 0.2
    assert after.errors.raw_dc[0] - before.errors.raw_dc[0] < 0.5


@pytest.mark.parametrize(("error", "clipped"), [(7.9, 0), (8.1, 1)])
def test_errors_are_clipped_from_four_default_spreads_on(error, clipped):
    fit = fit_by_lead(np.zeros(41), [*[0.0] * 40, error], DEFAULTS)
    assert fit.clipped[0] == clipped


def test_untold_errors_and_days_beyond_the_table_are_counted_and_not_used():
    fit = fit_by_lead([0, 0, 2, -1, 1], [1.0, math.nan, 5.0, 5.0, 1.0], DEFAULTS)
    assert (fit.cases, fit.unused) == ((1, 1), 3)


def test_the_fit_says_what_it_rests_on():
    fit = fit_by_lead([0, 1], [1.0, 1.0], DEFAULTS)
    assert fit.errors.source == "fitted to 2 days of an own archive, leaning on: a table"
    assert fit.errors.grade == OURS


@pytest.mark.parametrize(
    ("lead", "error"), [([0.5], [1.0]), ([0], [math.inf]), ([0, 1], [1.0]), ([math.nan], [1.0])]
)
def test_cases_that_cannot_be_are_refused(lead, error):
    with pytest.raises(ValueError, match=r"whole|infinite|not those"):
        fit_by_lead(lead, error, DEFAULTS)


def test_a_fit_has_a_count_for_each_day():
    with pytest.raises(ValueError, match="one count"):
        LeadFit(errors=DEFAULTS, cases=(1,), clipped=(0, 0), unused=0)
