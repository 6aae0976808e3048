"""Limits of the rounds and what they refuse to be."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from windowcast.terms.rounds import RoundPractice, Treatment
from windowcast.terms.threshold import provenance_of


def test_the_defaults_are_those_of_the_trade() -> None:
    limits = RoundPractice()
    assert (limits.min_gap_d, limits.max_gap_d, limits.planned) == (14, 21, 2)
    told = {key: (p.default, p.grade) for _, key, p in provenance_of(limits)}
    assert told == {
        "min_gap": ("14 d", "common practice (no source)"),
        "max_gap": ("21 d", "common practice (no source)"),
        "rounds": ("2", "common practice (no source)"),
    }


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"min_gap_h": 0.0}, "min_gap must be a whole number of days"),
        ({"min_gap_h": 340.0}, "min_gap must be a whole number of days"),
        ({"max_gap_h": 367 * 24.0}, "max_gap must be a whole number of days"),
        ({"min_gap_h": 22 * 24.0}, "min_gap must not be longer than max_gap"),
        ({"min_gap_h": float("nan")}, "min_gap must be a whole number of days"),
        ({"rounds": 0.0}, "rounds must be a whole number"),
        ({"rounds": 13.0}, "rounds must be a whole number"),
        ({"rounds": 1.5}, "rounds must be a whole number"),
    ],
)
def test_limits_that_cannot_be_are_refused(changes: dict[str, float], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        RoundPractice(**changes)


def test_the_least_gap_may_be_the_most() -> None:
    assert RoundPractice(min_gap_h=504.0).min_gap_d == RoundPractice().max_gap_d == 21


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"done_frac": 0.0}, "a share of 0.0"),
        ({"done_frac": 1.01}, "a share of 1.01"),
        ({"done_frac": float("nan")}, "a share of nan"),
        ({"round_no": 0}, "round 0"),
        ({"yard_key": ""}, "yard ''"),
        ({"day": date(1066, 10, 14)}, "day is out of reach"),
    ],
)
def test_a_treatment_that_cannot_be_is_refused(changes: dict[str, Any], sentence: str) -> None:
    usual = {"yard_key": "kiln", "day": date(2026, 12, 20), "round_no": 1, "done_frac": 1.0}
    with pytest.raises(ValueError, match=sentence):
        Treatment(**{**usual, **changes})
