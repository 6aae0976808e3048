"""When somebody can be at a yard."""

from datetime import time

import numpy as np
import pytest

from windowcast.planning.working import working_hours
from windowcast.terms.yard import Crew
from windowcast.times import hour_index, local_clock


def crew(start, end, weekdays=range(7)):
    return Crew(name="A", start=time(*start), end=time(*end), weekdays=frozenset(weekdays))


def clock_hours(crews, first="2027-01-12T08", tz="America/Los_Angeles", count=24):
    """Local minutes at which working hours begin; 12 January 2027 is a Tuesday."""
    hours = hour_index(np.datetime64(first, "h"), count)
    inside = working_hours(hours, tz, crews)
    return (local_clock(hours, tz)[1][inside] / 60).tolist()


@pytest.mark.parametrize(("start", "end", "first", "last"), [
    ((8, 0), (17, 0), 8, 16), ((8, 1), (17, 0), 9, 16), ((8, 0), (16, 59), 8, 15),
    ((7, 30), (12, 30), 8, 11), ((0, 0), (23, 59), 0, 22),
])  # fmt: skip
def test_only_hours_wholly_inside_count(start, end, first, last):
    found = clock_hours([crew(start, end)])
    assert (found[0], found[-1]) == (first, last)


def test_two_crews_add_up():
    assert clock_hours([crew((6, 0), (8, 0)), crew((15, 0), (17, 0))]) == [6, 7, 15, 16]


@pytest.mark.parametrize(("weekdays", "works"), [([1], True), ([0, 2, 3, 4, 5, 6], False)])
def test_a_crew_works_on_its_weekdays(weekdays, works):
    assert bool(clock_hours([crew((8, 0), (17, 0), weekdays)])) is works


def test_in_a_half_hour_zone_an_hour_must_fit_between_the_halves():
    found = clock_hours([crew((8, 0), (10, 0))], first="2027-01-12T00", tz="Asia/Kolkata")
    assert found == [8.5]


def test_an_hour_that_crosses_midnight_belongs_to_nobody():
    found = clock_hours([crew((0, 0), (1, 0))], first="2027-01-12T00", tz="Asia/Kolkata", count=48)
    assert found == []


def test_without_crews_nobody_works():
    assert clock_hours([]) == []
