"""Coefficients of spread carry their grade and are built valid or not at all."""

from __future__ import annotations

import pytest

from windowcast.terms.spread import SpreadPractice
from windowcast.terms.threshold import GRADES, provenance_of


def test_every_coefficient_has_unit_source_and_grade():
    told = list(provenance_of(SpreadPractice()))
    assert len(told) == 26
    for _, key, provenance in told:
        assert provenance.source
        assert provenance.says, key
        assert provenance.grade in GRADES


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"growth_h": 0.0}, "growth_h must be more than 0"),
        ({"fade_scale": float("nan")}, "fade_scale must be numbers"),
        ({"day_corr_step": -0.1}, "day_corr_step must be numbers from 0"),
        ({"rho_most": 1.0}, "rho_most must be less than 1"),
        ({"day_from_h": 17.0}, "day_from must come before day_to"),
        ({"day_to_h": 25.0}, "day_from must come before day_to"),
        ({"past_reach_m": 0.0}, "past_reach_m must be more than 0"),
        ({"default_lag_corr": 1.0}, "default_lag_corr must be less than 1"),
        ({"default_wet_frac": 0.0}, "default_wet_frac must be more than 0"),
        ({"default_wet_day_mm": 1.0}, "default_wet_day must be more than wet_from"),
        ({"handover_to": 5.0}, "handover_from must come before"),
    ],
)
def test_coefficients_that_cannot_be_are_refused(change, says):
    with pytest.raises(ValueError, match=says):
        SpreadPractice(**change)


def test_a_warm_day_may_lie_below_zero():
    assert SpreadPractice(warm_day_c=-1.0).warm_day_c == -1.0
