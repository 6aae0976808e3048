"""Sample sizes and chances at their ends, and refusals."""

from __future__ import annotations

import math

import pytest

from windowcast.science.colony.sampling import (
    bees_to_detect,
    chance_of_none,
    chance_to_find,
    colonies_for_error,
    mites_with_brood,
    mites_without_brood,
    relative_error_frac,
)


@pytest.mark.parametrize(
    ("hot", "washed", "chance"), [(0, 8, 0.0), (5, 0, 0.0), (24, 1, 1.0), (1, 24, 1.0)]
)
def test_a_search_that_cannot_fail_or_cannot_succeed(hot: int, washed: int, chance: float) -> None:
    assert chance_to_find(hot, 24, washed) == chance


def test_the_last_colony_that_may_be_missed() -> None:
    """20 cold colonies: 20 washed may all be cold, once in C(24,20) = 10626; 21 may not."""
    assert chance_to_find(4, 24, 20) == pytest.approx(1 - 1 / 10626)
    assert chance_to_find(4, 24, 21) == 1.0


def test_one_hot_colony_is_found_as_often_as_it_is_drawn() -> None:
    assert chance_to_find(1, 24, 8) == pytest.approx(8 / 24)


@pytest.mark.parametrize(("hot", "colonies", "washed"), [(25, 24, 8), (5, 24, 25), (0, 0, 0)])
def test_more_than_there_are_is_refused(hot: int, colonies: int, washed: int) -> None:
    with pytest.raises(ValueError, match="is not a whole number"):
        chance_to_find(hot, colonies, washed)


@pytest.mark.parametrize(
    ("share", "confidence", "bees"),
    [(0.5, 0.5, 1), (0.5, 0.75, 2), (0.5, 0.751, 3), (0.1, 0.19, 2)],
)
def test_a_sample_that_is_just_enough_is_enough(share: float, confidence: float, bees: int) -> None:
    """(1 - p)^n = 1 - confidence on the nose, and a little beyond."""
    assert bees_to_detect(share, confidence) == bees


@pytest.mark.parametrize(("share", "confidence"), [(0, 0.95), (1, 0.95), (0.01, 0), (0.01, 1)])
def test_certainty_has_no_sample_size(share: float, confidence: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        bees_to_detect(share, confidence)


def test_no_bee_shows_no_mite() -> None:
    assert chance_of_none(0.01, 0) == 1.0
    assert chance_of_none(1.0, 1) == 0.0


@pytest.mark.parametrize("share", [-0.1, 1.1, math.nan])
def test_a_share_is_from_0_to_1(share: float) -> None:
    for rule in (chance_of_none, mites_without_brood, mites_with_brood):
        with pytest.raises(ValueError, match="not from 0 to 1"):
            rule(share, 300)


def test_a_yard_is_never_asked_for_more_colonies_than_it_has() -> None:
    assert colonies_for_error(3.0, 0.01, 24) == 24
    assert colonies_for_error(0.0, 0.25, 24) == 1


def test_a_yard_washed_to_the_last_colony_has_no_error_between_colonies() -> None:
    assert relative_error_frac(1.0, 24, 24) == 0.0


@pytest.mark.parametrize(("cv", "error"), [(-1, 0.25), (1, 0), (math.nan, 0.25), (1, math.nan)])
def test_a_spread_or_an_error_that_cannot_be_is_refused(cv: float, error: float) -> None:
    with pytest.raises(ValueError, match="out of reach"):
        colonies_for_error(cv, error)


def test_an_error_needs_a_spread_and_colonies() -> None:
    with pytest.raises(ValueError, match="negative or not told"):
        relative_error_frac(-1.0, 8, 24)
    with pytest.raises(ValueError, match="colonies washed 25"):
        relative_error_frac(1.0, 25, 24)
