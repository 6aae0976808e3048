"""Tables of errors and outlooks are built valid or not at all."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from windowcast.terms.lead import CONTINENTAL_ERRORS, MARITIME_ERRORS, LeadErrors, OutlookTilt
from windowcast.terms.threshold import OURS

TILT = OutlookTilt(
    first=date(2027, 1, 20), last=date(2027, 1, 26),
    below_frac=0.3, near_frac=0.3, above_frac=0.4,
)  # fmt: skip


@pytest.mark.parametrize("errors", [CONTINENTAL_ERRORS, MARITIME_ERRORS])
def test_built_in_errors_reach_day_7_and_grow(errors):
    assert len(errors.raw_dc) == 8
    assert list(errors.raw_dc) == sorted(errors.raw_dc)
    assert not any(errors.bias_dc)
    assert errors.grade == OURS


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"raw_dc": ()}, "one number for each lead day"),
        ({"bias_dc": (0.0,)}, "one number for each lead day"),
        ({"raw_dc": (1.0,) * 7 + (0.0,)}, "more than 0"),
        ({"raw_dc": (1.0,) * 7 + (float("inf"),)}, "more than 0"),
        ({"bias_dc": (float("nan"),) * 8}, "must be numbers"),
        ({"grade": "good"}, "not a grade"),
    ],
)
def test_tables_of_errors_that_cannot_be_are_refused(change, says):
    with pytest.raises(ValueError, match=says):
        replace(CONTINENTAL_ERRORS, **change)


def test_a_table_of_one_day_is_one():
    assert LeadErrors(raw_dc=(2.0,), bias_dc=(0.1,), source="own", grade=OURS).raw_dc == (2.0,)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"first": date(2027, 1, 27)}, "must end on its first day"),
        ({"last": date(2027, 2, 20)}, "up to 31 d on"),
        ({"first": date(27, 1, 20)}, "first"),
        ({"below_frac": 0.0}, "between 0 and 1"),
        ({"above_frac": 0.43}, "add up to 1"),
        ({"above_frac": float("nan")}, "between 0 and 1"),
    ],
)
def test_outlooks_that_cannot_be_are_refused(change, says):
    with pytest.raises(ValueError, match=says):
        replace(TILT, **change)


def test_chances_in_whole_percent_may_miss_one_by_two():
    assert replace(TILT, above_frac=0.42).above_frac == 0.42


def test_an_outlook_covers_one_day_to_31():
    assert replace(TILT, first=TILT.last).first == TILT.last
    assert replace(TILT, last=date(2027, 2, 19)).last == date(2027, 2, 19)
