"""Boards of a yard: published bounds of a count, and what one board cannot say."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from windowcast.science.colony.boards import yard_fall
from windowcast.terms.report import MiteBoard


def boards(*mites: int, over_d: float = 1.0) -> list[MiteBoard]:
    return [MiteBoard(mites=count, over_d=over_d) for count in mites]


@pytest.mark.parametrize(
    ("mites", "low", "high"),
    [(0, 0.0, 3.689), (1, 0.0253, 5.572), (5, 1.623, 11.668), (10, 4.795, 18.390)],
)
def test_one_board_of_one_colony_has_the_exact_bounds_of_a_count(mites, low, high):
    """Garwood (1936), 95 %: as in printed tables of exact Poisson limits (from memory)."""
    bounds = yard_fall(boards(mites), 1).bounds
    assert bounds is not None
    assert (bounds.low, bounds.high) == (
        pytest.approx(low, abs=0.0006),
        pytest.approx(high, abs=0.0006),
    )


def test_eight_boards_have_bounds_from_their_colonies():
    """Mean 2.5, s = 2.97610, sqrt((1 - 8/24) / 8) s = 0.85912, t(7) = 2.36462, by hand."""
    fall = yard_fall(boards(0, 2, 1, 9, 0, 4, 3, 1), 24)
    assert (fall.mites_per_day, fall.counted) == (2.5, 8)
    assert fall.spread_per_day == pytest.approx(2.9761, abs=5e-5)
    assert fall.bounds is not None
    assert fall.bounds.low == pytest.approx(2.5 - 2.03149, abs=5e-4)
    assert fall.bounds.high == pytest.approx(2.5 + 2.03149, abs=5e-4)


def test_three_days_make_a_third_a_day():
    assert yard_fall(boards(3, 6, over_d=3.0), 2).mites_per_day == 1.5


def test_one_board_of_many_colonies_has_no_bounds():
    assert yard_fall(boards(6), 24).bounds is None


def test_colonies_that_happen_to_agree_are_no_census():
    fall = yard_fall(boards(4, 4, 4), 3)
    assert fall.spread_per_day == 0.0
    assert fall.bounds is not None
    assert fall.bounds.low < 4 < fall.bounds.high


def test_more_boards_than_colonies_and_none_at_all_are_refused():
    with pytest.raises(ValueError, match="colonies"):
        yard_fall(boards(1, 2), 1)
    with pytest.raises(ValueError, match="no board"):
        yard_fall([], 3)


@given(st.lists(st.integers(0, 500), min_size=2, max_size=9), st.floats(0.5, 30))
def test_bounds_hold_the_mean_and_are_never_negative(mites, over_d):
    fall = yard_fall(boards(*mites, over_d=over_d), 12)
    assert fall.bounds is not None
    assert 0 <= fall.bounds.low <= fall.mites_per_day <= fall.bounds.high
