"""Washes and boards: ends, refusals, and what one wash cannot say about a yard."""

from __future__ import annotations

import math
import subprocess
import sys

import pytest

from windowcast.science.colony.counts import (
    clopper_pearson_interval,
    exact_interval,
    mites_per_day,
    upper_bound_frac,
    wash_frac,
    wilson_interval,
)
from windowcast.science.colony.yards import clumping, yard_mean
from windowcast.terms.counts import Interval
from windowcast.terms.report import MiteBoard, MiteWash


def wash(mites: int, bees: int = 300) -> MiteWash:
    return MiteWash(mites=mites, bees=bees)


def test_six_mites_on_300_bees_are_two_percent() -> None:
    assert wash_frac(wash(6)) == 0.02


@pytest.mark.parametrize("bees", [0, -300, 300.5, True])
def test_a_wash_without_a_count_of_bees_is_refused(bees: int) -> None:
    with pytest.raises(ValueError, match="bees"):
        wash(0, bees)


def test_a_negative_count_of_mites_is_refused() -> None:
    with pytest.raises(ValueError, match="mites -1"):
        wash(-1)


@pytest.mark.parametrize(
    "rule", [wash_frac, wilson_interval, clopper_pearson_interval, upper_bound_frac]
)
def test_more_mites_than_bees_are_the_wrong_way_round(rule) -> None:
    rule(wash(300))
    with pytest.raises(ValueError, match="301 mites on 300 bees is more than one mite a bee"):
        rule(wash(301))


@pytest.mark.parametrize("rule", [wilson_interval, clopper_pearson_interval, upper_bound_frac])
@pytest.mark.parametrize("confidence", [0.0, 1.0, 95, -0.5, math.nan])
def test_a_confidence_is_between_0_and_1(rule, confidence: float) -> None:
    with pytest.raises(ValueError, match="not between 0 and 1"):
        rule(wash(6), confidence)


@pytest.mark.parametrize("rule", [wilson_interval, clopper_pearson_interval])
def test_no_mite_and_nothing_but_mites_reach_the_ends_exactly(rule) -> None:
    assert rule(wash(0)).low_frac == 0.0
    assert 0 < rule(wash(0)).high_frac < 0.02
    assert rule(wash(300)).high_frac == 1.0
    assert 0.98 < rule(wash(300)).low_frac < 1


def test_the_bound_of_nothing_but_mites_is_one() -> None:
    assert upper_bound_frac(wash(300)) == 1.0


@pytest.mark.parametrize(("low", "high"), [(-0.1, 0.5), (0.5, 1.1), (0.6, 0.5), (math.nan, 0.5)])
def test_an_interval_has_its_ends_in_order(low: float, high: float) -> None:
    with pytest.raises(ValueError, match="not an interval"):
        Interval(low_frac=low, high_frac=high)


def test_mites_on_a_board_are_counted_by_the_day() -> None:
    assert mites_per_day(MiteBoard(mites=21, over_d=3)) == 7.0
    assert mites_per_day(MiteBoard(mites=5, over_d=0.5)) == 10.0


@pytest.mark.parametrize("over_d", [0, -1, math.nan])
def test_a_board_of_no_days_is_refused(over_d: float) -> None:
    with pytest.raises(ValueError, match="days"):
        MiteBoard(mites=21, over_d=over_d)


def test_every_colony_of_a_yard_counts_the_same() -> None:
    mean = yard_mean([wash(6, 300), wash(0, 600)], 10)
    assert mean.rate_frac == pytest.approx(0.01)
    assert (mean.washed, mean.colonies) == (2, 10)


def test_one_colony_of_many_gives_a_mean_without_an_interval() -> None:
    mean = yard_mean([wash(6)], 24)
    assert mean.rate_frac == 0.02
    assert mean.interval is mean.spread_frac is mean.error_frac is None


def test_the_only_colony_of_a_yard_gives_its_own_interval() -> None:
    assert yard_mean([wash(6)], 1).interval == clopper_pearson_interval(wash(6))


def test_colonies_that_agree_do_not_make_the_yard_certain() -> None:
    assert yard_mean([wash(0)] * 8, 24).interval == exact_interval(0, 2400, 0.95)
    assert yard_mean([wash(3)] * 8, 24).interval == exact_interval(24, 2400, 0.95)


def test_a_yard_washed_to_the_last_colony_is_not_certain_either() -> None:
    mean = yard_mean([wash(0), wash(6), wash(3)], 3)
    assert mean.error_frac == 0.0
    assert mean.interval == exact_interval(9, 900, 0.95)


def test_colonies_that_differ_widen_the_interval_beyond_that_of_their_bees() -> None:
    found = yard_mean([wash(0), wash(0), wash(0), wash(20)], 24).interval
    pooled = exact_interval(20, 1200, 0.95)
    assert found is not None
    assert found.low_frac == 0.0 < pooled.low_frac
    assert found.high_frac > pooled.high_frac


def test_a_yard_of_many_thousand_bees_is_counted() -> None:
    mean = yard_mean([wash(3)] * 400, 1000)
    assert mean.rate_frac == pytest.approx(0.01)


@pytest.mark.parametrize(
    ("washes", "colonies", "sentence"),
    [
        ([], 24, "no colony was washed"),
        ([wash(1)] * 3, 2, "3 washes from 2 colonies"),
        ([wash(1)], 0, "colonies 0"),
        ([wash(1), wash(301)], 24, "301 mites on 300 bees"),
    ],
)
def test_a_yard_that_cannot_be_is_refused(
    washes: list[MiteWash], colonies: int, sentence: str
) -> None:
    with pytest.raises(ValueError, match=sentence):
        yard_mean(washes, colonies)


def test_clumping_is_one_by_chance_and_more_in_clumps() -> None:
    """Variance over mean: of 2, 4, 6 it is 4 / 4; of 0, 0, 12 it is 48 / 4."""
    assert clumping([wash(2), wash(4), wash(6)]) == pytest.approx(1.0)
    assert clumping([wash(0), wash(0), wash(12)]) == pytest.approx(12.0)


def test_clumping_allows_for_washes_of_different_size() -> None:
    assert clumping([wash(2, 200), wash(4, 400)]) == pytest.approx(0.0)


def test_clumping_needs_two_washes_and_a_mite() -> None:
    assert math.isnan(clumping([wash(0), wash(0)]))
    with pytest.raises(ValueError, match="at least two colonies"):
        clumping([wash(3)])


def test_scipy_is_loaded_when_it_is_needed_and_not_before() -> None:
    code = "import sys, windowcast.science.colony.yards; sys.exit('scipy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
