"""Scores against numbers that reference libraries gave (scores 2.7.0, xskillscore 0.0.29,
properscoring 0.1, each named), copied once; the stage ``oracle`` asks the libraries themselves.
"""

import numpy as np
import pytest
from support.reference import rows

from windowcast.science.skill.brier import (
    brier_loss,
    brier_parts_by_value,
    brier_parts_in_bins,
    skill,
)
from windowcast.science.skill.cases import mean_of
from windowcast.science.skill.crps import crps_fair, crps_normal, crps_plain
from windowcast.science.skill.reliability import roc_area, wilson_bounds

FIVE = np.array([0.1, 0.4, 0.8, 0.9, 0.3]), np.array([0, 1, 1, 1, 0])
EIGHT = np.array([0.1, 0.4, 0.8, 0.9, 0.3, 0.6, 0.2, 0.7]), np.array([0, 1, 1, 1, 0, 0, 0, 1])


@pytest.mark.parametrize(
    ("mean", "sd", "came", "score"), [(0.0, 1.0, 0.0, 0.2336950), (13.0, 3.0, 15.0, 1.2141491)]
)
def test_a_normal_forecast_scores_as_in_properscoring_and_xskillscore(mean, sd, came, score):
    assert crps_normal(mean, sd, came) == pytest.approx(score, abs=5e-8)


def test_four_members_score_as_in_scores():
    assert crps_plain([1, 2, 4, 5], 3) == pytest.approx(0.625, abs=1e-12)
    assert crps_fair([1, 2, 4, 5], 3) == pytest.approx(0.3333333, abs=5e-8)


def test_five_chances_have_the_brier_score_of_all_three_libraries():
    assert mean_of(brier_loss(*FIVE)).value == pytest.approx(0.102, abs=1e-12)
    assert roc_area(*FIVE).value == 1.0


def test_eight_chances_have_the_scores_of_the_libraries():
    losses = brier_loss(*EIGHT)
    assert mean_of(losses).value == pytest.approx(0.125, abs=1e-12)
    assert skill(losses, brier_loss(np.full(8, 0.5), EIGHT[1])).value == pytest.approx(0.5)
    assert roc_area(*EIGHT).value == 0.9375


def test_eight_chances_in_three_bins_have_the_known_parts_and_what_is_left_over():
    parts = brier_parts_in_bins(*EIGHT, (0.0, 1 / 3, 2 / 3, 1.0))
    told = (parts.reliability, parts.resolution, parts.uncertainty)
    assert told == pytest.approx((0.030, 0.1875, 0.25), abs=1e-12)
    left = parts.within_variance - parts.within_covariance
    assert 0.030 - 0.1875 + 0.25 + left == pytest.approx(0.125, abs=1e-12)


def test_chances_grouped_by_value_leave_nothing_over():
    parts = brier_parts_by_value(*EIGHT)
    assert (parts.within_variance, parts.within_covariance) == (0.0, 0.0)
    assert parts.reliability - parts.resolution + parts.uncertainty == pytest.approx(0.125)


@pytest.mark.parametrize(
    ("hits", "cases", "method", "low", "high"), rows("proportion_intervals.csv")
)
def test_bounds_of_a_share_are_those_of_newcombe_1998(hits, cases, method, low, high):
    bounds = wilson_bounds(hits, cases)
    same = (bounds.low_frac, bounds.high_frac) == pytest.approx((low, high), abs=6e-5)
    assert same == (method == "wilson")
