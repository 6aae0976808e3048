"""Yards, crews and what they refuse to be."""

from __future__ import annotations

from datetime import time
from typing import Any

import pytest

from windowcast.terms.yard import SURFACES, Crew, Label, Place, Yard


def yard(**changes: Any) -> Yard:
    return Yard(**{"key": "kiln", "name": "Kiln", "lat_deg": 43.6, "lon_deg": -116.2, **changes})


def crew(**changes: Any) -> Crew:
    return Crew(
        **{
            "name": "A",
            "start": time(8),
            "end": time(17),
            "weekdays": frozenset({0, 1, 2, 3, 4, 5}),
            **changes,
        }
    )


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"key": ""}, "a yard needs a key"),
        ({"lat_deg": 90.1}, "latitude 90.1 is not from -90 to 90"),
        ({"lat_deg": -90.1}, "latitude -90.1 is not from -90 to 90"),
        ({"lat_deg": float("nan")}, "latitude nan is not from -90 to 90"),
        ({"lon_deg": 180.1}, "longitude 180.1 is not from -180 to 180"),
        ({"lon_deg": float("nan")}, "longitude nan is not from -180 to 180"),
        ({"doubles": -1}, "a count of colonies is negative"),
        ({"singles": -1}, "a count of colonies is negative"),
        ({"nucs": -1}, "a count of colonies is negative"),
        ({"nucs_above": -1}, "a count of colonies is negative"),
        ({"lane_surface": "durt"}, "'durt' is not a surface"),
    ],
)
def test_a_yard_that_cannot_be_is_refused(changes: dict[str, Any], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        yard(**changes)


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg"), [(90.0, 180.0), (-90.0, -180.0), (0.0, 0.0)], ids=str
)
def test_the_ends_of_the_earth_are_places(lat_deg: float, lon_deg: float) -> None:
    assert yard(lat_deg=lat_deg, lon_deg=lon_deg).lat_deg == lat_deg


@pytest.mark.parametrize("surface", SURFACES)
def test_every_surface_is_a_lane(surface: str) -> None:
    assert yard(lane_surface=surface).lane_surface == surface


def test_colonies_of_every_kind_are_counted_once() -> None:
    assert yard(doubles=1000, singles=200, nucs=30, nucs_above=4).colonies == 1234
    assert yard().colonies == 0


def test_a_yard_is_its_fields_and_cannot_change() -> None:
    assert yard() == yard()
    assert yard() != yard(doubles=1)
    with pytest.raises(AttributeError):
        yard().key = "other"  # type: ignore[misc]


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"end": time(8)}, "crew A ends work before it starts"),
        ({"end": time(7, 59)}, "crew A ends work before it starts"),
        ({"weekdays": frozenset({7})}, "crew A has a weekday out of 0 to 6"),
        ({"weekdays": frozenset({-1, 0})}, "crew A has a weekday out of 0 to 6"),
    ],
)
def test_a_crew_that_cannot_work_is_refused(changes: dict[str, Any], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        crew(**changes)


def test_a_crew_may_work_one_minute_on_any_day() -> None:
    assert crew(end=time(8, 1), weekdays=frozenset(range(7))).end == time(8, 1)


def test_a_label_that_was_not_read_says_nothing() -> None:
    label = Label()
    assert label.max_g_per_chamber is None
    assert label.chambers == ()


def test_a_place_may_know_nothing() -> None:
    assert (Place().tz, Place().elev_m) == (None, None)
