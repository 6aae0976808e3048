"""CRPS of members, points and normal distributions."""

import math

import numpy as np
import pytest

from windowcast.science.skill.crps import crps_fair, crps_normal, crps_plain, crps_point

NAN = math.nan


def test_the_order_of_members_does_not_matter():
    assert crps_plain([5.0, 1.0, 4.0, 2.0], 3.0) == crps_plain([1.0, 2.0, 4.0, 5.0], 3.0)


def test_members_that_all_tell_the_truth_lose_nothing_to_the_last_digit():
    truth = np.array([0.1, 12.777, -3.3])
    members = np.repeat(truth[:, None], 50, axis=1)
    assert crps_plain(members, truth).tolist() == [0.0, 0.0, 0.0]
    assert crps_fair(members, truth).tolist() == [0.0, 0.0, 0.0]


def test_members_that_agree_score_as_a_single_line():
    assert crps_plain([[7.0, 7.0, 7.0]], [4.0]) == pytest.approx(crps_point([7.0], [4.0]))


def test_an_untold_member_is_left_out_and_the_rest_stand_for_it():
    assert crps_plain([1.0, NAN, 2.0, 4.0, 5.0], 3.0) == crps_plain([1.0, 2.0, 4.0, 5.0], 3.0)
    assert crps_fair([1.0, NAN, 2.0, 4.0, 5.0], 3.0) == crps_fair([1.0, 2.0, 4.0, 5.0], 3.0)


@pytest.mark.parametrize(("members", "came"), [([NAN, NAN], 1.0), ([1.0, 2.0], NAN)])
def test_an_untold_case_is_not_told(members, came):
    assert np.isnan(crps_plain(members, came))
    assert np.isnan(crps_fair(members, came))


def test_one_member_is_a_line_and_too_few_for_the_fair_score():
    assert crps_plain([2.0], 5.0) == 3.0
    assert np.isnan(crps_fair([2.0], 5.0))
    assert not np.isnan(crps_fair([2.0, 3.0], 5.0))


def test_members_that_are_not_those_of_the_cases_are_refused():
    for members in (5.0, [1.0, 2.0], [[1.0], [2.0]]):
        with pytest.raises(ValueError, match="members"):
            crps_plain(members, [1.0, 2.0, 3.0])


@pytest.mark.parametrize("members", [[math.inf, 1.0], [-math.inf, 1.0]])
def test_an_infinite_member_is_refused(members):
    with pytest.raises(ValueError, match="infinite"):
        crps_plain(members, 1.0)


def test_a_normal_without_spread_is_a_point_and_one_below_is_refused():
    assert crps_normal([3.0, 3.0], [0.0, 0.0], [5.0, 3.0]).tolist() == [2.0, 0.0]
    with pytest.raises(ValueError, match="0 or more"):
        crps_normal(3.0, -0.1, 5.0)


def test_many_members_of_a_normal_score_as_the_normal():
    members = np.random.default_rng(7).normal(2.0, 3.0, 200_000)
    assert crps_fair(members, 4.0) == pytest.approx(float(crps_normal(2.0, 3.0, 4.0)), abs=0.02)
