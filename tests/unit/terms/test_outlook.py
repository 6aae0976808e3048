"""Hourly weather of a yard, and yards laid on one hour index."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest

from windowcast.terms.outlook import (
    PLAUSIBLE,
    VARIABLES,
    Answer,
    Batch,
    Floats,
    Origin,
    Outlook,
    outlook_of,
    stack,
)
from windowcast.terms.yard import Yard
from windowcast.times import Hours, hour_index

NWS = Origin(name="nws", issued_at=datetime(2027, 1, 12, 12, tzinfo=UTC))


def hours(first: str, count: int) -> Hours:
    return hour_index(np.datetime64(first, "h"), count)


def arrays(members: int, count: int) -> dict[str, Floats]:
    return {name: np.zeros((members, count), np.float32) for name in VARIABLES}


def outlook(first: str, temps_c: list[float], **others: list[float]) -> Outlook:
    told = {"temp_c": np.array(temps_c), **{k: np.array(v) for k, v in others.items()}}
    return outlook_of("kiln", hours(first, len(temps_c)), told, NWS)


def yard(key: str) -> Yard:
    return Yard(key=key, name=key, lat_deg=43.6, lon_deg=-116.2)


def built(**changes: Any) -> Outlook:
    usual: dict[str, Any] = {
        "yard_key": "kiln",
        "hours": hours("2027-01-12T13", 3),
        "arrays": arrays(1, 3),
        "origins": (NWS,),
        "origin_of_hour": np.zeros(3, np.int8),
    }
    return Outlook(**{**usual, **changes})


def test_every_variable_has_a_plausible_range() -> None:
    assert set(PLAUSIBLE) == set(VARIABLES)
    assert all(low < high for low, high in PLAUSIBLE.values())


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"hours": np.array(["2027-01-12"], "datetime64[D]")}, "hours must be a datetime64[h]"),
        ({"hours": hours("2027-01-12T13", 3).reshape(1, 3)}, "hours must be a datetime64[h]"),
        ({"hours": hours("2027-01-12T13", 5)[::2]}, "hours have a gap"),
        ({"hours": hours("2027-01-12T13", 3)[::-1]}, "hours have a gap"),
        ({"arrays": {"temp_c": np.zeros((1, 3), np.float32)}}, "arrays lack dewpoint_c, wind_mps"),
        ({"arrays": arrays(1, 4)}, "arrays are not all (member, hour)"),
        (
            {"arrays": {n: a[0] for n, a in arrays(1, 3).items()}},
            "arrays are not all (member, hour",
        ),
        (
            {"arrays": {**arrays(2, 3), "rain_mm": np.zeros((1, 3), np.float32)}},
            "arrays are not all (member, hour): [(1, 3), (2, 3)]",
        ),
        ({"origin_of_hour": np.zeros(2, np.int8)}, "origin_of_hour is not (hour,)"),
        ({"origin_of_hour": np.ones(3, np.int8)}, "origin_of_hour points past the origins"),
        ({"origin_of_hour": np.full(3, -2, np.int8)}, "origin_of_hour points past the origins"),
    ],
)
def test_an_outlook_that_does_not_fit_together_is_refused(
    changes: dict[str, Any], sentence: str
) -> None:
    with pytest.raises(ValueError, match=re.escape(sentence)):
        built(**changes)


def test_an_outlook_counts_its_members() -> None:
    assert built().members == 1
    assert built(arrays=arrays(50, 3)).members == 50


def test_two_outlooks_are_never_the_same_thing() -> None:
    one = built()
    assert one == one  # noqa: PLR0124  (identity is the point)
    assert one != built()


def test_an_hour_is_told_when_temperature_and_wind_are() -> None:
    nan = np.nan
    told = outlook("2027-01-12T13", [5.0, 5.0, nan, nan], wind_mps=[2.0, nan, 2.0, nan]).told()
    assert told.tolist() == [True, False, False, False]


def test_one_member_that_tells_is_enough() -> None:
    some = arrays(2, 3)
    some["temp_c"][0] = np.nan
    some["wind_mps"][:, 2] = np.nan
    assert built(arrays=some).told().tolist() == [True, True, False]


def test_what_a_source_does_not_tell_is_nan_and_not_zero() -> None:
    one = outlook("2027-01-12T13", [5.0, 6.0], rain_mm=[0.0, 0.3])
    assert set(one.arrays) == set(VARIABLES)
    assert np.isnan(one.arrays["wind_mps"]).all()
    assert one.arrays["rain_mm"].tolist() == [[0.0, pytest.approx(0.3)]]
    assert one.arrays["rain_mm"].dtype == np.float32


def test_an_hour_of_which_nothing_is_told_belongs_to_nobody() -> None:
    one = outlook("2027-01-12T13", [5.0, np.nan, np.nan], cloud_frac=[np.nan, 0.5, np.nan])
    assert one.origin_of_hour.tolist() == [0, 0, -1]
    assert one.origins == (NWS,)


def test_an_array_under_a_name_that_is_not_ours_is_refused() -> None:
    with pytest.raises(ValueError, match="unknown arrays temperature, wind"):
        outlook_of("kiln", hours("2027-01-12T13", 1), {"wind": 1, "temperature": 2}, NWS)  # type: ignore[dict-item]


def test_a_source_cannot_hand_in_an_array_of_another_length() -> None:
    with pytest.raises(ValueError, match=re.escape("arrays are not all (hour,): wind_mps")):
        outlook("2027-01-12T13", [5.0, 6.0], wind_mps=[1.0])


def test_an_origin_is_forecast_or_past_and_has_a_zone() -> None:
    with pytest.raises(ValueError, match="'guess' is neither 'forecast' nor 'past'"):
        Origin(name="nws", kind="guess")
    with pytest.raises(ValueError, match="issued_at has no time zone"):
        Origin(name="nws", issued_at=datetime(2027, 1, 12, 12))  # noqa: DTZ001  (the fault)
    assert Origin(name="station_daily", kind="past").issued_at is None


def test_yards_are_laid_on_one_hour_index_and_gaps_are_nan() -> None:
    early = outlook("2027-01-12T12", [1.0, 2.0, 3.0])
    late = outlook("2027-01-12T15", [6.0, 7.0])
    batch = stack([yard("kiln"), yard("quarry")], [early, late], hours("2027-01-12T13", 4))
    nan = np.nan
    np.testing.assert_array_equal(
        batch.arrays["temp_c"], [[[2.0, 3.0, nan, nan]], [[nan, nan, 6.0, 7.0]]]
    )
    assert batch.arrays["temp_c"].shape == (2, 1, 4)
    assert batch.arrays["temp_c"].dtype == np.float32


@pytest.mark.parametrize("first", ["2027-01-12T01", "2027-01-13T13"])
def test_an_outlook_of_other_hours_leaves_its_yard_untold(first: str) -> None:
    batch = stack([yard("kiln")], [outlook(first, [1.0, 2.0])], hours("2027-01-12T13", 4))
    assert np.isnan(batch.arrays["temp_c"]).all()


def test_an_empty_outlook_leaves_its_yard_untold() -> None:
    batch = stack([yard("kiln")], [outlook("2027-01-12T13", [])], hours("2027-01-12T13", 4))
    assert np.isnan(batch.arrays["temp_c"]).all()


def test_a_stack_does_not_touch_the_outlooks() -> None:
    one = outlook("2027-01-12T13", [1.0, 2.0])
    batch = stack([yard("kiln")], [one], hours("2027-01-12T13", 2))
    batch.arrays["temp_c"][:] = 99.0
    assert one.arrays["temp_c"].tolist() == [[1.0, 2.0]]


def test_outlooks_of_different_member_counts_are_not_stacked() -> None:
    with pytest.raises(ValueError, match=re.escape("outlooks differ in members: [1, 2]")):
        stack(
            [yard("kiln"), yard("quarry")],
            [built(), built(arrays=arrays(2, 3))],
            hours("2027-01-12T13", 3),
        )


def test_a_batch_has_one_outlook_for_each_yard() -> None:
    with pytest.raises(ValueError, match="one outlook for each yard"):
        Batch(yards=(yard("kiln"),), hours=hours("2027-01-12T13", 1), arrays={}, outlooks=())


def test_no_yards_make_an_empty_batch() -> None:
    batch = stack([], [], hours("2027-01-12T13", 2))
    assert batch.arrays["temp_c"].shape == (0, 1, 2)


def test_an_answer_that_says_nothing_is_empty() -> None:
    answer = Answer()
    assert not answer.outlooks
    assert not answer.trouble
    assert answer.remarks == ()
