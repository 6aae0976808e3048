"""Bounds of a ratio: against Fieller's, at zero, and where nothing bounds it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from windowcast.science.colony.counts import exact_interval
from windowcast.science.colony.ratios import mean_of, ratio_of
from windowcast.terms.mites import Estimate


def around(value: float, half: float) -> Estimate:
    return Estimate(value=value, low=value - half, high=value + half)


@pytest.mark.parametrize(
    ("a", "half_a", "b", "half_b"), [(2.0, 0.5, 5.0, 1.0), (8.0, 7.9, 9.0, 0.3), (1, 0.9, 4, 3.9)]
)
def test_with_normal_bounds_it_is_fieller_s_interval(a, half_a, b, half_b):
    """Fieller (1954): roots of R^2 (b^2 - hb^2) - 2 a b R + (a^2 - ha^2) = 0."""
    bend, reach = b**2 - half_b**2, a**2 - half_a**2
    root = math.sqrt((a * b) ** 2 - bend * reach)
    found = ratio_of(around(a, half_a), around(b, half_b))
    assert found.value == a / b
    assert (found.low, found.high) == (
        pytest.approx((a * b - root) / bend),
        pytest.approx((a * b + root) / bend),
    )


def test_a_sure_divisor_only_scales():
    found = ratio_of(Estimate(value=2.0, low=1.0, high=6.0), around(4.0, 0.0))
    assert (found.low, found.value, found.high) == pytest.approx((0.25, 0.5, 1.5))


def test_none_left_has_no_lower_bound_above_none_and_an_upper_one():
    """With a = 0 the root is u / sqrt(l' (2 b - l')), by hand: 1 / sqrt(2 (8 - 2))."""
    found = ratio_of(Estimate(value=0.0, low=0.0, high=1.0), Estimate(value=4, low=2, high=9))
    assert (found.low, found.value) == (0.0, 0.0)
    assert found.high == pytest.approx(1 / math.sqrt(12))


def test_a_divisor_that_may_be_none_leaves_the_ratio_open_above():
    found = ratio_of(around(1.0, 0.5), Estimate(value=2.0, low=0.0, high=7.0))
    assert math.isinf(found.high)
    assert 0 < found.low < 0.5


def test_an_open_ratio_is_still_a_ratio_to_divide_by():
    open_above = Estimate(value=1.0, low=0.5, high=math.inf)
    assert ratio_of(around(1.0, 0.5), open_above).low == 0.0
    assert math.isinf(ratio_of(open_above, around(1.0, 0.5)).high)


@pytest.mark.parametrize(
    ("top", "bottom"),
    [(around(1.0, 2.0), around(2.0, 1.0)), (around(1.0, 0.5), around(0.0, 0.0)),
     (around(1.0, 0.5), around(1.0, 1.5))],
)  # fmt: skip
def test_what_cannot_be_a_level_of_mites_is_refused(top, bottom):
    with pytest.raises(ValueError, match="neither may be below 0"):
        ratio_of(top, bottom)


def test_a_mean_of_equal_parts_is_surer_than_each():
    found = mean_of([around(3.0, 1.0)] * 4)
    assert (found.low, found.value, found.high) == (2.5, 3.0, 3.5)


def test_a_mean_of_nothing_is_refused():
    with pytest.raises(ValueError, match="at least one"):
        mean_of([])


@st.composite
def levels(draw: st.DrawFn, least: float = 0.0) -> Estimate:
    low, value, high = sorted(draw(st.floats(least, 1.0)) for _ in range(3))
    return Estimate(value=value, low=low, high=high)


@given(levels(), levels(1e-6), st.floats(0.1, 10))
def test_bounds_hold_the_ratio_and_a_change_of_unit_changes_nothing(top, bottom, unit):
    found = ratio_of(top, bottom)
    assert 0 <= found.low <= found.value <= found.high
    scaled = ratio_of(*(
        Estimate(value=e.value * unit, low=e.low * unit, high=e.high * unit) for e in (top, bottom)
    ))  # fmt: skip
    assert scaled.value == pytest.approx(found.value, rel=1e-6)
    assert scaled.low == pytest.approx(found.low, rel=1e-3, abs=1e-9)


@given(levels(), levels(1e-3), st.floats(0.0, 0.5))
def test_less_sure_counts_never_make_the_ratio_surer(top, bottom, more):
    wider = Estimate(value=top.value, low=top.low * (1 - more), high=top.high + more)
    before, after = ratio_of(top, bottom), ratio_of(wider, bottom)
    assert after.low <= before.low * (1 + 1e-9)
    assert after.high >= before.high * (1 - 1e-9)


def test_a_true_efficacy_lies_inside_about_as_often_as_promised():
    """Four washes of 300 bees at 8, 0.8, 7 and 6 %, drawn 2000 times with a fixed seed."""
    shares = np.array([0.08, 0.008, 0.07, 0.06])
    true = (shares[1] / shares[0]) / (shares[3] / shares[2])
    drawn = np.random.default_rng(7).binomial(300, shares, size=(2000, 4))
    held = [_holds(true, *(_level(int(mites)) for mites in row)) for row in drawn]
    assert np.mean(held) >= 0.95


def _level(mites: int) -> Estimate:
    found = exact_interval(mites, 300, 0.95)
    return Estimate(value=mites / 300, low=found.low_frac, high=found.high_frac)


def _holds(true: float, *levels: Estimate) -> bool:
    before, after, began, ended = levels
    found = ratio_of(ratio_of(after, before), ratio_of(ended, began))
    return found.low <= true <= found.high
