"""Limits of counts of mites and what they refuse to be."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from windowcast.terms.mites import Estimate, MitePractice
from windowcast.terms.threshold import HANDBOOK, OURS, provenance_of

NAN = float("nan")


def test_the_levels_from_which_to_act_say_when_their_source_was_read() -> None:
    told = {key: p for _, key, p in provenance_of(MitePractice)}
    for key in ("act_winter", "act_season"):
        assert (told[key].default, told[key].grade) == ("3 %", HANDBOOK)
        assert "November 2026" in told[key].source
    assert {p.grade for key, p in told.items() if not key.startswith("act")} == {OURS}


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"act_winter_frac": 0.0}, "act_winter must be more than 0 %"),
        ({"act_season_frac": 3.0}, "act_season must be more than 0 % and at most 100 %"),
        ({"act_season_frac": NAN}, "act_season must be more than 0 %"),
        ({"error_frac": 0.009}, "error must be from 1 % to 100 %"),
        ({"error_frac": 1.01}, "error must be from 1 % to 100 %"),
        ({"winter_from": 0.0}, "winter_from must be a month"),
        ({"winter_to": 13.0}, "winter_to must be a month"),
        ({"winter_to": 2.5}, "winter_to must be a month"),
        ({"winter_to": NAN}, "winter_to must be a month"),
        ({"together_h": 12.0}, "together must be a whole number of days"),
        ({"before_to_h": -24.0}, "before_to must be a whole number of days"),
        ({"control_within_h": 367 * 24.0}, "control_within must be a whole number of days"),
        ({"after_from_h": NAN}, "after_from must be a whole number of days"),
        ({"after_from_h": 28 * 24.0}, "after_from must be shorter than after_to"),
    ],
)
def test_limits_that_cannot_be_are_refused(changes: dict[str, Any], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        MitePractice(**changes)


@pytest.mark.parametrize(
    ("day", "winter"),
    [
        (date(2026, 10, 31), False),
        (date(2026, 11, 1), True),
        (date(2027, 2, 28), True),
        (date(2027, 3, 1), False),
    ],
)
def test_winter_goes_over_the_new_year(day: date, winter: bool) -> None:
    limits = MitePractice(act_winter_frac=0.01)
    assert limits.is_winter(day) == winter
    assert limits.act_frac(day) == (0.01 if winter else 0.03)


def test_a_winter_inside_of_one_year_is_one_too() -> None:
    limits = MitePractice(winter_from=6.0, winter_to=8.0)
    months = [month for month in range(1, 13) if limits.is_winter(date(2027, month, 15))]
    assert months == [6, 7, 8]


@pytest.mark.parametrize("ends", [(2.0, 3.0), (0.0, 0.5), (NAN, 1.0), (0.0, NAN)])
def test_bounds_that_do_not_hold_their_value_are_refused(ends: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="is not from"):
        Estimate(value=1.0, low=ends[0], high=ends[1])
