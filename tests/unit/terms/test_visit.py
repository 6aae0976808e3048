"""Visits, and what they refuse to be."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from windowcast.terms.visit import HIVE_KINDS, Treated, Visit, VisitWeather
from windowcast.terms.yard import Yard

NOW = datetime(2027, 1, 12, 13, 40, tzinfo=UTC)


def visit(**changes: Any) -> Visit:
    usual = {"yard_key": "kiln", "day": date(2027, 1, 11), "round_no": 1, "logged_at": NOW}
    return Visit(**{**usual, **changes})


def treated(kind: str = "doubles", colonies: int = 12, acid_g: float | None = None) -> Treated:
    return Treated(kind=kind, colonies=colonies, acid_g=acid_g)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"yard_key": ""}, "yard '' is no name"),
        ({"yard_key": " kiln"}, "yard ' kiln' is no name"),
        ({"yard_key": "kiln\nmill-ditch"}, "is no name; write one line"),
        ({"day": NOW}, "the day of a visit is a date and no instant"),
        ({"day": date(1899, 12, 31)}, "day is out of reach; write a year from 1900 to 2199"),
        ({"round_no": 0}, "round 0 is not a whole number from 1 to 99"),
        ({"round_no": 100}, "round 100 is not a whole number from 1 to 99"),
        ({"round_no": True}, "round True is not a whole number"),
        ({"logged_at": datetime(2027, 1, 12)}, "logged_at has no time zone"),  # noqa: DTZ001
        ({"note": "a\0b"}, "note holds characters that are no text"),
        ({"person": "Iñ\udce9s"}, "person holds characters that are no text"),
        ({"note": "x" * 2001}, "note has 2001 characters; write at most 2000"),
        ({"crew": "x" * 201}, "crew has 201 characters; write at most 200"),
        ({"of_colonies": 0}, "of_colonies 0 is not a whole number from 1"),
        ({"of_colonies": 12.0}, "of_colonies 12.0 is not a whole number"),
        ({"treated": (treated(), treated())}, "a kind of hive is counted twice"),
        ({"began_at": datetime(2027, 1, 11, 9)}, "began_at has no time zone"),  # noqa: DTZ001
    ],
)
def test_a_visit_that_cannot_be_is_refused(changes: dict[str, Any], sentence: str) -> None:
    with pytest.raises(ValueError, match=re.escape(sentence)):
        visit(**changes)


def test_a_note_may_have_lines_and_any_letters() -> None:
    assert visit(note="first line\nsecond\tone, 3 °C 🐝", person="Iñés").note.count("\n") == 1
    assert len(visit(note="x" * 2000).note) == 2000


def test_a_day_may_be_logged_as_soon_as_it_has_begun_anywhere() -> None:
    begins = datetime(2027, 1, 12, 10, tzinfo=UTC)  # midnight of 13 January at UTC+14
    assert visit(day=date(2027, 1, 13), logged_at=begins).day == date(2027, 1, 13)
    with pytest.raises(ValueError, match="2027-01-13 had not begun when the visit was logged"):
        visit(day=date(2027, 1, 13), logged_at=begins - timedelta(seconds=1))


@pytest.mark.parametrize(
    ("began_at", "fits"),
    [
        (datetime(2027, 1, 10, 9, 59, tzinfo=UTC), False),
        (datetime(2027, 1, 10, 10, 0, tzinfo=UTC), True),
        (datetime(2027, 1, 12, 11, 59, tzinfo=UTC), True),
        (datetime(2027, 1, 12, 12, 0, tzinfo=UTC), False),
    ],
)
def test_the_work_began_on_that_day_somewhere_on_earth(began_at: datetime, fits: bool) -> None:
    if fits:
        assert visit(began_at=began_at).began_at == began_at
    else:
        with pytest.raises(ValueError, match="is not on 2027-01-11 anywhere on Earth"):
            visit(began_at=began_at)


def test_the_work_began_before_it_was_logged() -> None:
    assert visit(day=date(2027, 1, 12), began_at=NOW).began_at == NOW
    with pytest.raises(ValueError, match="the work began after the visit was logged"):
        visit(day=date(2027, 1, 12), began_at=NOW + timedelta(seconds=1))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"kind": "doubels"}, "'doubels' is no kind of hive; use doubles, singles, nucs"),
        ({"colonies": 0}, "colonies 0 is not a whole number from 1"),
        ({"colonies": 1.5}, "colonies 1.5 is not a whole number"),
        ({"acid_g": 0.0}, "0.0 is no mass in grams"),
        ({"acid_g": float("nan")}, "nan is no mass in grams"),
        ({"acid_g": float("inf")}, "inf is no mass in grams"),
    ],
)
def test_colonies_that_cannot_have_been_treated_are_refused(
    changes: dict[str, Any], sentence: str
) -> None:
    with pytest.raises(ValueError, match=re.escape(sentence)):
        treated(**changes)


def test_every_kind_of_hive_of_a_yard_can_be_treated() -> None:
    yard = Yard(key="kiln", name="Kiln", lat_deg=43.9, lon_deg=-119.6)
    assert [getattr(yard, kind) for kind in HIVE_KINDS] == [0, 0, 0, 0]


def test_colonies_and_grams_are_added_up() -> None:
    whole = visit(treated=(treated("doubles", 12, 48.1), treated("nucs", 3, 3.3)))
    assert (whole.colonies, whole.acid_g) == (15, pytest.approx(51.4))


@pytest.mark.parametrize(
    ("changes", "listed", "share"),
    [
        ({"of_colonies": 24}, 48, 0.5),
        ({}, 48, 0.25),
        ({}, 0, 1.0),
        ({"of_colonies": 24, "treated": ()}, 24, 1.0),
        ({"of_colonies": 10}, 24, 1.0),
        ({"of_colonies": 24, "whole": True}, 24, 1.0),
    ],
)
def test_a_visit_is_of_a_share_of_the_yard_as_it_was(
    changes: dict[str, Any], listed: int, share: float
) -> None:
    assert visit(**{"treated": (treated("doubles", 12),), **changes}).share_of(listed) == share


def test_what_was_not_counted_is_not_zero() -> None:
    assert (visit().colonies, visit().acid_g) == (None, None)
    half = visit(treated=(treated("doubles", 12, 48.0), treated("nucs", 3)))
    assert (half.colonies, half.acid_g) == (15, None)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"hour": NOW}, "2027-01-12T13:40:00+00:00 is not the beginning of an hour"),
        ({"temp_c": 55.1}, "temp_c 55.1 is not from -60 to 55"),
        ({"temp_c": float("nan")}, "temp_c nan is not from -60 to 55"),
        ({"wind_from_deg": 360.1}, "wind_from_deg 360.1 is not from 0 to 360"),
        ({"cloud_frac": -0.1}, "cloud_frac -0.1 is not from 0 to 1"),
    ],
)
def test_weather_that_cannot_have_been_is_refused(changes: dict[str, Any], sentence: str) -> None:
    usual = {"hour": NOW.replace(minute=0), "source": "nws"}
    with pytest.raises(ValueError, match=re.escape(sentence)):
        VisitWeather(**{**usual, **changes})
