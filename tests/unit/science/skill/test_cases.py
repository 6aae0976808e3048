"""What counts as a case, and what is told when there are too few."""

import math

import numpy as np
import pytest

from windowcast.science.skill.cases import cases_of, mean_of, outcomes_of, told_pairs
from windowcast.science.skill.errors import (
    bias,
    forecast_error,
    mean_absolute_error,
    root_mean_square_error,
    spread_of,
    standardised,
)
from windowcast.terms.skill import Figure

NAN = math.nan


def test_untold_cases_are_dropped_and_counted():
    assert mean_of([1.0, NAN, 3.0]) == Figure(value=2.0, cases=2, dropped=1)


@pytest.mark.parametrize(("least", "value"), [(1, 2.0), (2, 2.0), (3, None)])
def test_too_few_cases_give_no_value_but_their_count(least, value):
    assert mean_of([1.0, NAN, 3.0], least) == Figure(value=value, cases=2, dropped=1)


@pytest.mark.parametrize("values", [[], [NAN], [NAN, NAN]])
def test_no_case_gives_no_value(values):
    for figure in (
        mean_of(values),
        bias(values),
        root_mean_square_error(values),
        spread_of(values),
    ):
        assert figure == Figure(value=None, cases=0, dropped=len(values))


@pytest.mark.parametrize("values", [[[1.0]], 1.0, [1.0, math.inf], [-math.inf]])
def test_what_is_no_row_of_finite_cases_is_refused(values):
    with pytest.raises(ValueError, match="values"):
        mean_of(values)


def test_a_figure_asked_for_without_a_single_case_is_refused():
    with pytest.raises(ValueError, match="at least 1"):
        mean_of([1.0], 0)
    with pytest.raises(ValueError, match="at least 2"):
        spread_of([1.0], 1)


def test_bias_mae_and_rmse_of_three_errors():
    error = forecast_error([5.0, 1.0, NAN, 4.0], [4.0, 3.0, 0.0, 0.0])  # 1, -2, untold, 4
    assert bias(error) == Figure(value=1.0, cases=3, dropped=1)
    assert mean_absolute_error(error).value == pytest.approx(7 / 3)
    assert root_mean_square_error(error).value == pytest.approx(math.sqrt(7))


def test_an_untold_truth_makes_an_untold_error():
    assert np.isnan(forecast_error([1.0], [NAN])).all()


def test_members_about_the_truth_are_standardised_by_their_own_spread():
    assert standardised([[1.0, 3.0, NAN]], [4.0]) == pytest.approx([2.0 / math.sqrt(2.0)])


@pytest.mark.parametrize(
    ("members", "came"), [([1.0, NAN], 1.0), ([2.0, 2.0], 2.0), ([1.0, 2.0], NAN)]
)
def test_members_without_a_spread_or_a_truth_have_no_standing(members, came):
    assert np.isnan(standardised(members, came))


def test_spread_of_two_cases_is_their_standard_deviation_and_of_one_nothing():
    assert spread_of([1.0, NAN, 3.0]).value == pytest.approx(math.sqrt(2.0))
    assert spread_of([1.0]) == Figure(value=None, cases=1)


def test_an_outcome_is_one_or_zero_or_untold():
    assert outcomes_of([True, False, NAN]).tolist()[:2] == [1.0, 0.0]
    with pytest.raises(ValueError, match="1 or 0"):
        outcomes_of([0.5])


def test_cases_of_different_length_are_not_compared():
    with pytest.raises(ValueError, match="not the same cases"):
        told_pairs(cases_of([1.0], "a"), cases_of([1.0, 2.0], "b"))


@pytest.mark.parametrize(
    "figure", [{"value": 1.0, "cases": 0}, {"value": NAN, "cases": 1}, {"value": None, "cases": -1}]
)
def test_a_number_out_of_nothing_is_no_figure(figure):
    with pytest.raises(ValueError, match=r"not a figure|counts"):
        Figure(**figure)
