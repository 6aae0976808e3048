"""Counts of mites against published and independently computed numbers.

The tables are fixtures/reference/*.csv, each with its title and source. The yard of 24 colonies
was worked out by hand for this project, from the formulas of Cochran (1977).
"""

from __future__ import annotations

import pytest
from statsmodels.stats.proportion import proportion_confint
from statsmodels.stats.weightstats import DescrStatsW
from support.reference import rows

from windowcast.science.colony.counts import (
    clopper_pearson_interval,
    exact_interval,
    upper_bound_frac,
    wilson_interval,
)
from windowcast.science.colony.yards import clumping, yard_mean
from windowcast.terms.report import MiteWash

METHODS = {"wilson": wilson_interval, "clopper_pearson": clopper_pearson_interval}
YARD = [MiteWash(mites=mites, bees=300) for mites in (0, 2, 1, 9, 0, 4, 3, 1)]
HALF_OF = {digits: 0.5 * 10.0**-digits + 1e-12 for digits in (2, 3, 4, 5, 6)}


@pytest.mark.parametrize(("found", "of", "method", "low", "high"), rows("proportion_intervals.csv"))
def test_newcombe_table_1(found, of, method, low, high):
    interval = METHODS[method](MiteWash(mites=found, bees=of))
    assert (interval.low_frac, interval.high_frac) == pytest.approx((low, high), abs=HALF_OF[4])


@pytest.mark.parametrize(
    ("mites", "bees", "wilson_low", "wilson_high", "exact_low", "exact_high"),
    rows("wash_intervals.csv"),
)
def test_mites_on_300_bees(mites, bees, wilson_low, wilson_high, exact_low, exact_high):
    wash = MiteWash(mites=mites, bees=bees)
    wilson, exact = wilson_interval(wash), clopper_pearson_interval(wash)
    percent = [100 * end for one in (wilson, exact) for end in (one.low_frac, one.high_frac)]
    printed = [wilson_low, wilson_high, exact_low, exact_high]
    assert percent == pytest.approx(printed, abs=HALF_OF[3])


@pytest.mark.parametrize("confidence", [0.5, 0.8, 0.95, 0.999])
@pytest.mark.parametrize("bees", [1, 2, 17, 300, 5000])
def test_intervals_are_those_of_statsmodels(bees, confidence):
    for mites in {0, 1, bees // 7, bees // 2, bees - 1, bees}:
        wash = MiteWash(mites=mites, bees=bees)
        for ours, theirs in ((wilson_interval, "wilson"), (clopper_pearson_interval, "beta")):
            interval = ours(wash, confidence)
            low, high = proportion_confint(mites, bees, alpha=1 - confidence, method=theirs)
            assert interval.low_frac == pytest.approx(low, abs=1e-12)
            assert interval.high_frac == pytest.approx(high, abs=1e-12)


def test_the_one_sided_bound_of_no_mite_on_300_bees():
    """1 - 0.05^(1/300)."""
    bound = upper_bound_frac(MiteWash(mites=0, bees=300))
    assert 100 * bound == pytest.approx(0.994, abs=HALF_OF[3])


def test_a_one_sided_bound_is_an_end_of_a_wider_two_sided_interval():
    for mites in (0, 3, 40, 299):
        wash = MiteWash(mites=mites, bees=300)
        wider = proportion_confint(mites, 300, alpha=0.1, method="beta")
        assert upper_bound_frac(wash) == pytest.approx(wider[1], abs=1e-12)


def test_a_yard_of_24_colonies_of_which_eight_were_washed():
    mean = yard_mean(YARD, 24)
    assert 100 * mean.rate_frac == pytest.approx(0.8333, abs=HALF_OF[4])
    assert 100 * mean.spread_frac == pytest.approx(0.9920, abs=HALF_OF[4])
    assert 100 * mean.error_frac == pytest.approx(0.28637, abs=HALF_OF[5])
    assert 100 * mean.interval.low_frac == pytest.approx(0.156, abs=HALF_OF[3])
    assert 100 * mean.interval.high_frac == pytest.approx(1.511, abs=HALF_OF[3])


def test_the_same_colonies_of_a_yard_without_end():
    """Without finite correction 0.004 to 1.663 %, which a yard of a hundred thousand comes to."""
    endless = yard_mean(YARD, 100_000).interval
    assert 100 * endless.low_frac == pytest.approx(0.004, abs=HALF_OF[3])
    assert 100 * endless.high_frac == pytest.approx(1.663, abs=HALF_OF[3])
    theirs = DescrStatsW([wash.mites / wash.bees for wash in YARD]).tconfint_mean(alpha=0.05)
    assert (endless.low_frac, endless.high_frac) == pytest.approx(theirs, abs=1e-6)


def test_its_bees_pooled_would_promise_too_much():
    pooled = exact_interval(20, 2400, 0.95)
    assert 100 * pooled.low_frac == pytest.approx(0.510, abs=HALF_OF[3])
    assert 100 * pooled.high_frac == pytest.approx(1.284, abs=HALF_OF[3])
    assert clumping(YARD) == pytest.approx(3.54, abs=HALF_OF[2])
