"""Brier score, its skill and its parts."""

import math

import numpy as np
import pytest

from windowcast.science.skill.bins import FIVE_BINS, bin_of
from windowcast.science.skill.brier import (
    brier_loss,
    brier_parts_by_value,
    brier_parts_in_bins,
    skill,
)
from windowcast.science.skill.cases import mean_of
from windowcast.terms.skill import Figure

NAN = math.nan


def test_a_certain_forecast_that_comes_true_loses_nothing():
    assert brier_loss([1.0, 0.0], [1, 0]).tolist() == [0.0, 0.0]


def test_what_is_untold_on_either_side_is_no_case():
    losses = brier_loss([0.5, NAN, 0.5], [1, 0, NAN])
    assert mean_of(losses) == Figure(value=0.25, cases=1, dropped=2)


@pytest.mark.parametrize(("chance", "happened"), [([1.01], [1]), ([-0.01], [0]), ([0.5], [2])])
def test_percent_and_other_outcomes_are_refused(chance, happened):
    with pytest.raises(ValueError, match=r"between 0 and 1|1 or 0"):
        brier_loss(chance, happened)


def test_skill_is_taken_over_the_cases_that_both_have():
    told = skill([0.1, NAN, 0.1], [0.2, 0.2, NAN])
    assert (told.value, told.cases, told.dropped) == (pytest.approx(0.5), 1, 2)


def test_a_reference_without_loss_leaves_no_skill_to_tell():
    assert skill([0.1, 0.0], [0.0, 0.0]) == Figure(value=None, cases=2)
    assert skill([0.0], [0.0]).value is None


@pytest.mark.parametrize(("least", "told"), [(2, True), (3, False)])
def test_skill_of_too_few_cases_is_not_told(least, told):
    assert (skill([0.1, 0.2], [0.2, 0.2], least).value is not None) == told


def test_a_loss_below_zero_is_refused():
    with pytest.raises(ValueError, match="0 or more"):
        skill([-0.1], [0.2])


@pytest.mark.parametrize("parts_of", [brier_parts_by_value, brier_parts_in_bins])
def test_parts_of_too_few_cases_are_not_told(parts_of):
    parts = parts_of([0.5, NAN], [1, 1], least=2)
    assert (parts.brier, parts.reliability, parts.cases, parts.dropped) == (None, None, 1, 1)


@pytest.mark.parametrize("parts_of", [brier_parts_by_value, brier_parts_in_bins])
def test_a_climate_that_is_always_told_has_no_reliability_error_and_no_resolution(parts_of):
    parts = parts_of(np.full(4, 0.25), [1, 0, 0, 0])
    assert (parts.reliability, parts.resolution) == (0.0, 0.0)
    assert parts.brier == parts.uncertainty == pytest.approx(0.1875)


@pytest.mark.parametrize(
    ("chance", "place"),
    [(0.0, 0), (0.199, 0), (0.2, 1), (30 / 50, 3), (0.599, 2), (0.8, 4), (1.0, 4)],
)
def test_a_chance_on_an_edge_belongs_above_and_one_to_the_last_bin(chance, place):
    assert bin_of(np.array([chance]), FIVE_BINS).tolist() == [place]


@pytest.mark.parametrize(
    "edges", [(0.0,), (0.0, 0.5), (0.1, 1.0), (0.0, 0.5, 0.5, 1.0), (0.0, 0.6, 0.5, 1.0)]
)
def test_edges_that_do_not_rise_from_zero_to_one_are_refused(edges):
    with pytest.raises(ValueError, match="edges"):
        brier_parts_in_bins([0.5], [1], edges)


@pytest.mark.parametrize("parts_of", [brier_parts_by_value, brier_parts_in_bins])
def test_parts_asked_for_without_a_single_case_are_refused(parts_of):
    with pytest.raises(ValueError, match="at least 1"):
        parts_of([], [], least=0)
