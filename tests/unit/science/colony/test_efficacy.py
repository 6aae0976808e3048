"""Efficacy, and the fall that is none: signs, zeros and refusals."""

from __future__ import annotations

import math

import pytest

from windowcast.science.colony.efficacy import (
    abbott_frac,
    fallen_frac,
    henderson_tilton_frac,
    observed_reduction_frac,
    total_count_frac,
    untreated_frac,
)

GROUPS = {"treated_before": 30, "treated_after": 6, "control_before": 28, "control_after": 26}


def test_no_mite_left_is_full_efficacy() -> None:
    assert henderson_tilton_frac(**{**GROUPS, "treated_after": 0}) == 1.0
    assert abbott_frac(control_after=26, treated_after=0) == 1.0
    assert observed_reduction_frac(before=30, after=0) == 1.0
    assert total_count_frac(killed=30, killed_by_follow_up=0) == 1.0


def test_mites_that_grew_more_than_in_the_control_are_a_negative_efficacy() -> None:
    """1 - (60 / 30) (28 / 28) = -1."""
    found = henderson_tilton_frac(
        treated_before=30, treated_after=60, control_before=28, control_after=28
    )
    assert found == -1.0
    assert abbott_frac(control_after=26, treated_after=52) == -1.0
    assert observed_reduction_frac(before=30, after=45) == -0.5


def test_a_control_that_stood_still_makes_efficacy_the_observed_reduction() -> None:
    still = {**GROUPS, "control_after": 28}
    assert henderson_tilton_frac(**still) == pytest.approx(
        observed_reduction_frac(before=30, after=6)
    )


def test_groups_alike_before_make_both_formulas_one() -> None:
    alike = {**GROUPS, "control_before": 30}
    assert henderson_tilton_frac(**alike) == pytest.approx(
        abbott_frac(control_after=26, treated_after=6)
    )


def test_a_growing_control_raises_the_efficacy_and_a_dying_one_lowers_it() -> None:
    usual = henderson_tilton_frac(**GROUPS)
    assert henderson_tilton_frac(**{**GROUPS, "control_after": 40}) > usual
    assert henderson_tilton_frac(**{**GROUPS, "control_after": 10}) < usual


@pytest.mark.parametrize("name", ["treated_before", "control_before", "control_after"])
def test_no_mites_to_compare_with_are_refused(name: str) -> None:
    with pytest.raises(ValueError, match=f"no mites in .*{name.split('_')[0]}"):
        henderson_tilton_frac(**{**GROUPS, name: 0})


@pytest.mark.parametrize("name", GROUPS)
@pytest.mark.parametrize("wrong", [-1, math.nan, math.inf])
def test_a_count_that_cannot_be_is_refused(name: str, wrong: float) -> None:
    with pytest.raises(ValueError, match=f"{wrong} mites in .*; write a number from 0 up"):
        henderson_tilton_frac(**{**GROUPS, name: wrong})


def test_the_other_formulas_refuse_the_same() -> None:
    for rule, counts in (
        (abbott_frac, {"control_after": 0, "treated_after": 6}),
        (total_count_frac, {"killed": 0, "killed_by_follow_up": 0}),
        (observed_reduction_frac, {"before": 0, "after": 6}),
    ):
        with pytest.raises(ValueError, match="nothing to compare with"):
            rule(**counts)
        with pytest.raises(ValueError, match="write a number from 0 up"):
            rule(**{**counts, next(iter(counts)): -1})


def test_nothing_dies_in_no_time() -> None:
    assert untreated_frac(0, 0.003) == untreated_frac(60, 0) == 1.0


@pytest.mark.parametrize(("days", "rate"), [(-1, 0.003), (60, -0.1), (math.nan, 0.003)])
def test_a_time_or_a_death_rate_below_zero_is_refused(days: float, rate: float) -> None:
    with pytest.raises(ValueError, match="neither can be negative"):
        untreated_frac(days, rate)


@pytest.mark.parametrize("days", [-0.1, math.nan, math.inf])
def test_a_board_before_the_treatment_is_refused(days: float) -> None:
    with pytest.raises(ValueError, match="write 0 or more"):
        fallen_frac(days)
