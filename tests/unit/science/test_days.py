"""Runs and days: ties, short runs, days of 23 and 25 hours."""

from datetime import date

import numpy as np
import pytest

from windowcast.science.days import best_runs, by_day, day_scores, day_slots, mean_where
from windowcast.times import hour_index


def runs_of(scores):
    """Best run of one day; a score of 0 stands for an hour that is not usable."""
    score = np.zeros(25)
    score[: len(scores)] = scores
    runs = best_runs(score, score > 0)
    return int(runs.start), int(runs.length)


@pytest.mark.parametrize(
    ("scores", "run"),
    [
        ([], (0, 0)),
        ([1.0], (0, 1)),
        ([0, 1, 1, 0, 1], (1, 2)),
        ([1, 0, 0.6, 0.6, 0], (2, 2)),
        ([1, 1, 0, 1, 1], (0, 2)),
        ([0.5, 0.5, 0, 1.0], (0, 2)),
        ([0.1] * 3 + [0] + [0.3], (0, 3)),
        ([0] * 24 + [1], (24, 1)),
        ([1] * 25, (0, 25)),
    ],
)
def test_the_run_with_the_greatest_sum_is_chosen_and_the_earlier_on_a_tie(scores, run):
    assert runs_of(scores) == run


def test_sums_that_differ_by_rounding_noise_are_a_tie():
    assert runs_of([0.1, 0.2, 0, 0.3 + 1e-9]) == (0, 2)


@pytest.mark.parametrize(
    ("scores", "min_run_h", "day_score"),
    [([1.0], 2, 0.0), ([1.0], 1, 1.0), ([0.5, 1.0], 2, 0.75), ([0.6, 1.0, 0.8, 0.6], 2, 0.9)],
)
def test_a_day_scores_the_mean_of_the_best_hours_of_its_run(scores, min_run_h, day_score):
    score = np.zeros(25)
    score[: len(scores)] = scores
    assert day_scores(score, best_runs(score, score > 0), min_run_h) == pytest.approx(day_score)


def test_a_better_hour_outside_the_run_does_not_lift_the_day():
    score = np.array([0.6, 0.6, 0.6, 0.0, 1.0] + [0.0] * 20)
    assert day_scores(score, best_runs(score, score > 0), 2) == pytest.approx(0.6)


def test_unknown_hours_leave_the_day_score_a_number():
    score = np.array([np.nan, 0.9, 0.8, np.nan] + [0.0] * 21)
    usable = np.nan_to_num(score) > 0
    assert day_scores(score, best_runs(score, usable), 2) == pytest.approx(0.85)


@pytest.mark.parametrize("tz", ["America/New_York", "America/Los_Angeles"])
@pytest.mark.parametrize(
    ("day", "hours"), [(date(2026, 11, 1), 25), (date(2027, 3, 14), 23), (date(2027, 1, 12), 24)]
)
def test_a_local_day_has_all_its_hours_when_clocks_change(tz, day, hours):
    start = np.datetime64(day, "h") - np.timedelta64(24, "h")
    slots = day_slots(hour_index(start, 96), [tz], [day])
    assert int(slots.inside.sum()) == hours
    first = slots.index[0, 0, 0]
    assert slots.index[0, 0, :hours].tolist() == list(range(first, first + hours))


def test_yards_in_two_zones_get_their_own_days():
    hours = hour_index(np.datetime64("2027-01-12T00", "h"), 72)
    zones = ["America/New_York", "America/Los_Angeles"]
    slots = day_slots(hours, zones, [date(2027, 1, 13)])
    assert slots.index[:, 0, 0].tolist() == [29, 32]


def test_a_day_beyond_the_index_is_outside():
    hours = hour_index(np.datetime64("2027-01-12T05", "h"), 30)
    slots = day_slots(hours, ["America/New_York"], [date(2027, 1, 13), date(2027, 1, 14)])
    assert slots.inside.sum(axis=-1).tolist() == [[6, 0]]
    cut = by_day(np.arange(30.0)[np.newaxis, np.newaxis], slots)
    assert np.isfinite(cut).sum(axis=-1).tolist() == [[[6, 0]]]


def test_a_mean_leaves_out_what_is_not_told():
    values = np.array([[1.0, np.nan, 0.5], [np.nan] * 3])
    where = np.array([True, True, False])
    assert mean_where(values, where).tolist()[0] == 1.0
    assert np.isnan(mean_where(values, where)[1])
