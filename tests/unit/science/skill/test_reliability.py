"""Reliability in bins, shares of members, area under the ROC curve."""

import math

import numpy as np
import pytest

from windowcast.science.skill.reliability import (
    reached,
    reliability,
    roc_area,
    share_of_members,
    wilson_bounds,
)
from windowcast.terms.skill import Figure, ReliabilityBin

NAN = math.nan


def test_the_threshold_itself_is_reached_and_the_untold_is_no_zero():
    told = reached([12.7, 12.8, 12.9, NAN], 12.8)
    assert told[:3].tolist() == [0.0, 1.0, 1.0]
    assert np.isnan(told[3])


def test_half_the_members_give_one_half():
    assert share_of_members([[1, 0] * 25]).tolist() == [0.5]


def test_untold_members_are_left_out_of_the_share():
    told = share_of_members([[1, 1, 0, NAN], [NAN, NAN, NAN, NAN]])
    assert told[0] == pytest.approx(2 / 3)
    assert np.isnan(told[1])


def test_each_bin_tells_its_count_its_mean_chance_and_how_often_it_happened():
    told = reliability([0.05, 0.15, 0.65, 0.75, NAN], [0, 1, 1, 1, 1])
    first, fourth = told.bins[0], told.bins[3]
    assert (first.cases, first.told_frac, first.came_frac) == (2, pytest.approx(0.1), 0.5)
    assert (fourth.cases, fourth.told_frac, fourth.came_frac) == (2, pytest.approx(0.7), 1.0)
    assert told.dropped == 1


def test_an_empty_bin_has_nothing_but_its_count():
    told = reliability([0.5], [1])
    assert told.bins[0] == ReliabilityBin(low_frac=0.0, high_frac=0.2, cases=0)
    assert [each.cases for each in told.bins] == [0, 0, 1, 0, 0]


def test_without_a_case_every_bin_is_empty():
    told = reliability([NAN], [1])
    assert (sum(each.cases for each in told.bins), told.dropped) == (0, 1)


def test_bounds_hold_the_share_that_happened():
    (only,) = reliability([0.5] * 10, [1] * 3 + [0] * 7, (0.0, 1.0)).bins
    assert only.interval is not None
    assert only.interval.low_frac < 0.3 < only.interval.high_frac


@pytest.mark.parametrize(("hits", "cases"), [(0, 0), (-1, 5), (6, 5)])
def test_counts_that_are_no_share_have_no_bounds(hits, cases):
    with pytest.raises(ValueError, match="no share"):
        wilson_bounds(hits, cases)


@pytest.mark.parametrize("confidence", [0.0, 1.0, 95.0])
def test_a_confidence_that_is_none_is_refused(confidence):
    with pytest.raises(ValueError, match="confidence"):
        wilson_bounds(1, 2, confidence)


def test_ties_count_one_half_in_the_area():
    assert roc_area([0.5, 0.5], [1, 0]).value == 0.5
    assert roc_area([0.2, 0.9], [1, 0]).value == 0.0


@pytest.mark.parametrize("happened", [[1, 1], [0, 0], [1, NAN], [NAN, NAN]])
def test_without_both_kinds_of_cases_there_is_no_area(happened):
    assert roc_area([0.5, 0.6], happened).value is None


@pytest.mark.parametrize(("least", "told"), [(2, True), (3, False)])
def test_the_area_needs_the_cases_asked_for_of_both_kinds(least, told):
    area = roc_area([0.1, 0.2, 0.3, 0.4, 0.5], [0, 1, 0, 1, 1], least)
    assert (area.value is not None) == told
    assert area.cases == 5


def test_an_untold_chance_is_dropped_from_the_area():
    assert roc_area([0.9, 0.1, NAN], [1, 0, 1]) == Figure(value=1.0, cases=2, dropped=1)


def test_an_area_without_cases_and_a_threshold_that_is_none_are_refused():
    with pytest.raises(ValueError, match="at least 1"):
        roc_area([0.5], [1], 0)
    with pytest.raises(ValueError, match="threshold must be a number"):
        reached([1.0], NAN)
