"""Latitude and longitude in every way in which people write them."""

from __future__ import annotations

import pytest
from support.outcomes import value_or_refusal

from windowcast.settings.coordinates import decimal, latitude, longitude

NORTH = 43 + 36 / 60 + 30 / 3600


@pytest.mark.parametrize(
    "written",
    [
        "43.608333333333334", "N 43 36.5", "43 36.5 N", "43°36.5'N", "43° 36' 30\"", "43°36′30″N",
        "43 36 30", "43:36:30", "n43 36 30", "43º 36’ 30” N", "43 36' 30'' N", "+43 36 30",
        "43° 36' 30.000\" n",
    ],
)  # fmt: skip
def test_one_latitude_has_many_spellings(written: str) -> None:
    assert latitude(written) == pytest.approx(NORTH, abs=1e-12)


@pytest.mark.parametrize(
    ("written", "degrees"),
    [
        ("-116.2023", -116.2023), ("−116.2", -116.2), ("116 12.3 W", -116.205),
        ("W116 12.300", -116.205), ("116.2E", 116.2), ("-180", -180.0), ("180", 180.0),
        ("-0.5", -0.5), ("7° W", -7.0),
    ],
)  # fmt: skip
def test_longitudes_have_a_sign_or_a_letter(written: str, degrees: float) -> None:
    assert longitude(written) == pytest.approx(degrees, abs=1e-12)


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("91", "is no latitude"), ("-90.0001", "is no latitude"),
        ("43 60", "60 minutes or seconds"), ("43 30 60", "60 minutes or seconds"),
        ("43.5 30", "has a fraction before its last part"),
        ("43 36.5 30", "has a fraction before its last part"), ("N-43", "has a sign and a letter"),
        ("W 43", "is a longitude"), ("43,61", "write 43.61"), ("43.6, -116.2", "holds two numbers"),
        ("43.6 / -116.2", "holds two numbers"), ("", "is empty"), ("X 43", "is not a latitude"),
        ("43N36", "is not a latitude"), ("4.36E+01", "is not a latitude"),
        ("nan", "is not a latitude"),
        ("٤٣", "is not a latitude"), ("43ſ", "is not a latitude"), ("43365", "is not a latitude"),
        ("N 43 36.500 W116 12.300", "is not a latitude"), ("9" * 5000, "is not a latitude"),
    ],
)  # fmt: skip
def test_what_is_no_latitude_is_told_why(written: str, told: str) -> None:
    value, sentence = value_or_refusal(latitude, written)
    assert value is None
    assert told in str(sentence)


def test_degrees_round_the_globe_are_told_their_western_form() -> None:
    _, sentence = value_or_refusal(longitude, "243.8")
    assert "write -116.2" in str(sentence)
    assert "is no longitude" in str(value_or_refusal(longitude, "360.1")[1])


def test_the_poles_are_latitudes() -> None:
    assert (latitude("90"), latitude("-90")) == (90.0, -90.0)


@pytest.mark.parametrize(
    ("degrees", "written"), [(43.61, "43.61"), (-116.0, "-116"), (-1e-9, "0"), (1 / 3, "0.333333")]
)
def test_degrees_are_written_to_a_tenth_of_a_metre(degrees: float, written: str) -> None:
    assert decimal(degrees) == written
