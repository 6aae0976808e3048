"""The weather of one hour: values as they were told, the source by its name."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from support.outlooks import outlook

from windowcast.science.visit_hour import weather_of_hour
from windowcast.terms.outlook import Origin
from windowcast.terms.visit import VisitWeather
from windowcast.times import as_hour

HOUR = datetime(2027, 1, 12, 19, tzinfo=UTC)
STATION = Origin(name="nws", kind="past", detail="station XZZA, 12 km")


def at(hour: datetime = HOUR, **told: object) -> VisitWeather | None:
    return weather_of_hour(outlook(**told), as_hour(hour))


def test_an_hour_keeps_what_was_told_about_it_alone() -> None:
    rain = [0.0] * 11 + [0.25] + [9.0] * 36
    found = at(origin=STATION, rain_mm=rain, dewpoint_c=np.nan)
    assert found == VisitWeather(
        hour=HOUR, source="nws, station XZZA, 12 km", temp_c=6.0, wind_mps=1.0,
        wind_from_deg=270.0, rain_mm=0.25, cloud_frac=1.0,
    )  # fmt: skip


@pytest.mark.parametrize(("hours", "told"), [(-1, False), (0, True), (47, True), (48, False)])
def test_hours_outside_of_the_outlook_are_not_told(hours: int, told: bool) -> None:
    first = datetime(2027, 1, 12, 8, tzinfo=UTC)
    assert (at(first + timedelta(hours=hours)) is not None) is told


def test_an_hour_without_a_temperature_is_not_told() -> None:
    assert at(temp_c=np.nan) is None
    assert at(wind_mps=np.nan) is not None


def test_an_hour_that_nobody_told_is_not_told() -> None:
    names = ("temp_c", "wind_mps", "wind_from_deg", "rain_mm", "rain_prob_frac", "cloud_frac",
             "thunder", "freezing_rain")  # fmt: skip
    assert at(**dict.fromkeys(names, np.nan)) is None


@pytest.mark.parametrize(
    ("origin", "source"),
    [
        (Origin(name="nws"), "nws forecast"),
        (Origin(name="nws", kept=True), "nws forecast kept in the book"),
        (Origin(name="nws", detail="grid\tZZZ 10,20\x1b"), "nws forecast, grid ZZZ 10,20"),
        (Origin(name="nws", kind="past", detail="x" * 300), f"nws, {'x' * 195}"),
    ],
)
def test_the_source_is_named_on_one_line(origin: Origin, source: str) -> None:
    found = at(origin=origin)
    assert found is not None
    assert found.source == source


def test_what_cannot_be_is_not_told_and_decimals_are_those_of_a_float() -> None:
    found = at(temp_c=4.44444, wind_mps=99.0, cloud_frac=1.0004)
    assert found is not None
    assert (found.temp_c, found.wind_mps, found.cloud_frac) == (4.444, None, 1.0)
