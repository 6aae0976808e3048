"""Hours to local days by lead."""

import numpy as np
import pytest

from windowcast.science.skill.days import highs_by_lead, lead_days

BOISE = "America/Boise"


def hours_from(issued, count):
    first = np.datetime64(issued, "h")
    return np.array([first]), (first + np.arange(count))[None, :]


def test_the_day_changes_at_local_midnight():
    ahead = lead_days(*hours_from("2027-01-05T13", 40), BOISE)  # six in the morning
    assert np.flatnonzero(np.diff(ahead[0])).tolist() == [17]
    assert ahead[0][[0, 17, 18]].tolist() == [0, 0, 1]


@pytest.mark.parametrize(("issued", "length"), [("2027-03-13T13", 23), ("2026-10-31T12", 25)])
def test_a_day_on_which_clocks_change_has_its_own_length(issued, length):
    ahead = lead_days(*hours_from(issued, 96), BOISE)
    assert int((ahead == 1).sum()) == length
    assert int((ahead == 2).sum()) == 24


def test_hours_of_the_day_before_have_a_lead_below_zero():
    issued, hours = hours_from("2027-01-05T13", 4)
    assert lead_days(issued, hours - 8, BOISE)[0].tolist() == [-1, -1, 0, 0]


def test_each_case_counts_from_its_own_day():
    issued = np.array(["2027-01-05T13", "2027-01-06T13"], "datetime64[h]")
    hours = np.tile(np.datetime64("2027-01-07T20", "h"), (2, 1))
    assert lead_days(issued, hours, BOISE).tolist() == [[2], [1]]


def test_the_high_is_the_highest_told_hour_of_the_day():
    temp = np.array([[1.0, 5.0, np.nan, -3.0, -2.0]])
    ahead = np.array([[0, 0, 0, 1, 1]])
    assert highs_by_lead(temp, ahead, 2, least_hours=2).tolist() == [[5.0, -2.0]]


@pytest.mark.parametrize(("told", "is_told"), [(19, False), (20, True)])
def test_a_day_needs_twenty_told_hours(told, is_told):
    temp = np.where(np.arange(24) < told, 4.0, np.nan)[None, :]
    high = highs_by_lead(temp, np.zeros((1, 24), np.int64), 1)
    assert bool(np.isfinite(high[0, 0])) is is_told


def test_days_outside_those_asked_for_are_left_out():
    temp = np.array([[9.0, 1.0, 8.0]])
    high = highs_by_lead(temp, np.array([[-1, 0, 1]]), 1, least_hours=0)
    assert high.tolist() == [[1.0]]


def test_a_day_without_hours_is_not_told_even_when_none_are_asked_for():
    assert np.isnan(highs_by_lead(np.full((1, 3), np.nan), np.zeros((1, 3), int), 1, 0)).all()


def test_hours_that_do_not_fit_are_refused():
    with pytest.raises(ValueError, match="not the same hours"):
        highs_by_lead(np.zeros((1, 3)), np.zeros((1, 2), np.int64), 1)
