"""What a forecast is worth by days ahead."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from support.spreads import PRACTICE

from windowcast.science.spread.lead import (
    calibrated_sd_dc,
    chained,
    day_correlation,
    fading_rho,
    forecast_rho,
    lead_bias_dc,
    run_chance,
)
from windowcast.terms.lead import CONTINENTAL_ERRORS, MARITIME_ERRORS


def test_a_day_that_is_over_counts_as_today():
    for rho in (
        fading_rho([-3, 0], PRACTICE),
        forecast_rho([-3, 0], 6.2, CONTINENTAL_ERRORS, PRACTICE),
        lead_bias_dc([-3, 0], replace(CONTINENTAL_ERRORS, bias_dc=(0.5,) * 8)),
    ):
        assert rho[0] == rho[1] != 0.0


def test_no_forecast_is_credited_with_more_than_the_cap():
    sure = replace(CONTINENTAL_ERRORS, raw_dc=(0.1,) * 8)
    assert forecast_rho([0, 7], 6.2, sure, PRACTICE).tolist() == [0.95, 0.95]


def test_a_forecast_worse_than_climate_is_worth_nothing():
    assert forecast_rho(3, 1.0, CONTINENTAL_ERRORS, PRACTICE) == 0.0


def test_beyond_the_table_rho_fades_from_its_last_value():
    told = forecast_rho(np.arange(15), 4.3, MARITIME_ERRORS, PRACTICE)
    fade = fading_rho(np.arange(15), PRACTICE)
    assert told[8:] / told[7] == pytest.approx(fade[8:] / fade[7])
    assert (np.diff(told) < 0.0).all()


def test_more_spread_of_the_climate_is_more_worth_of_the_forecast():
    assert np.all(
        np.diff(forecast_rho(5, np.array([3.0, 4.3, 6.2]), MARITIME_ERRORS, PRACTICE)) > 0
    )


def test_the_bias_beyond_the_table_is_its_last():
    table = replace(CONTINENTAL_ERRORS, bias_dc=(0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0))
    assert lead_bias_dc([1, 7, 8, 30], table).tolist() == [1.0, 7.0, 7.0, 7.0]


def test_a_worthless_forecast_leaves_the_spread_of_the_climate():
    assert calibrated_sd_dc([0.0, 0.6], 5.0).tolist() == [5.0, 4.0]


@pytest.mark.parametrize(
    ("lead", "corr"), [(0, 0.30), (1, 0.30), (2, 0.35), (7, 0.60), (8, 0.65), (9, 0.65), (40, 0.65)]
)
def test_errors_hold_on_longer_the_further_ahead(lead, corr):
    assert day_correlation(lead, 0.65, PRACTICE) == pytest.approx(corr)


def test_a_chain_has_variance_1_and_the_correlations_asked_for():
    draws = np.random.default_rng(3).standard_normal((40_000, 4))
    days = chained(draws, np.array([0.9, 0.3, 0.65, 0.0]))
    found = np.corrcoef(days.T)
    assert days.var(axis=0) == pytest.approx(np.ones(4), abs=0.03)
    assert np.diag(found, 1) == pytest.approx([0.3, 0.65, 0.0], abs=0.02)
    assert found[0, 2] == pytest.approx(0.3 * 0.65, abs=0.02)
    assert days[:, 0].tolist() == draws[:, 0].tolist()


def test_a_chain_of_no_days_is_empty():
    assert chained(np.empty((2, 0)), np.empty(0)).shape == (2, 0)


def test_a_run_of_one_is_any_day_and_longer_ones_are_rarer():
    chances = [run_chance([0.3, 0.6, 0.1], days) for days in (1, 2, 3, 4)]
    assert chances == pytest.approx([1.0 - 0.7 * 0.4 * 0.9, 0.18 + 0.06 - 0.018, 0.018, 0.0])


def test_a_run_has_at_least_one_day():
    with pytest.raises(ValueError, match="at least one day"):
        run_chance([0.5], 0)
