"""Sample sizes and chances, worked out by hand beside each; the printed one is in fixtures."""

from __future__ import annotations

import math

import pytest
from support.reference import rows

from windowcast.science.colony.sampling import (
    bees_to_detect,
    chance_of_none,
    chance_to_find,
    colonies_for_error,
    colonies_to_wash,
    mites_with_brood,
    mites_without_brood,
    relative_error_frac,
)


@pytest.mark.parametrize(
    ("rate_percent", "confidence_percent", "printed", "unrounded"), rows("bees_to_detect.csv")
)
def test_the_printed_sample_size_is_rounded_and_ours_is_strict(
    rate_percent, confidence_percent, printed, unrounded
):
    rate, confidence = rate_percent / 100, confidence_percent / 100
    assert round(unrounded) == printed
    assert bees_to_detect(rate, confidence) == math.ceil(unrounded) == 299
    assert chance_of_none(rate, printed) == pytest.approx(0.05004, abs=5e-6)
    assert chance_of_none(rate, 299) <= 1 - confidence < chance_of_none(rate, printed)


def test_no_mite_on_300_bees_at_one_percent():
    """0.99^300."""
    assert chance_of_none(0.01, 300) == pytest.approx(0.0490, abs=5e-5)


def test_five_hot_colonies_among_24():
    """1 - C(19,8) / C(24,8) = 1 - 75582 / 735471."""
    assert chance_to_find(5, 24, 8) == pytest.approx(0.8972, abs=5e-5)
    assert chance_to_find(5, 24, 8) == pytest.approx(1 - 75582 / 735471, abs=1e-12)


def test_a_yard_is_not_without_end():
    """1 - (19/24)^8 = 0.8457 would be the chance with every colony put back."""
    assert 1 - chance_of_none(5 / 24, 8) == pytest.approx(0.8457, abs=5e-5)


@pytest.mark.parametrize(
    ("cv", "colonies", "wanted"), [(1.0, None, 16), (1.0, 24, 10), (0.7, None, 8)]
)
def test_colonies_for_a_quarter_of_the_mean(cv, colonies, wanted):
    """n0 = 16 CV^2 = 16 and 7.84; 16 / (1 + 16/24) = 9.6."""
    assert colonies_for_error(cv, 0.25, colonies) == wanted


def test_the_error_of_ten_of_24_colonies_is_within_what_was_wanted():
    """sqrt((1 - 10/24) / 10) = 0.2415 and sqrt((1 - 9/24) / 9) = 0.2635."""
    assert relative_error_frac(1.0, 10, 24) == pytest.approx(0.2415, abs=5e-5)
    assert relative_error_frac(1.0, 9, 24) == pytest.approx(0.2635, abs=5e-5)


@pytest.mark.parametrize(("colonies", "washed"), [(0, 0), (7, 7), (8, 8), (9, 8), (400, 8)])
def test_eight_colonies_whatever_the_size_of_the_yard(colonies, washed):
    """Lee et al. 2010, abstract."""
    assert colonies_to_wash(colonies) == washed


def test_two_percent_of_12000_bees():
    assert mites_without_brood(0.02, 12_000) == 240
    assert mites_with_brood(0.02, 12_000) == 480
