"""How many colonies to wash next, and which yards are told of at all."""

from __future__ import annotations

from datetime import date

import pytest
from support.mite_books import DAY_0, LIMITS, TZ, record, visited, washed, yard

from windowcast.science.colony.yard_mites import MiteBook, mites_of_yards, next_washes

EIGHT = (0, 2, 1, 9, 0, 4, 3, 1)
ALIKE = (3, 3, 4, 3, 3, 4, 3, 3)


def washes(*mites, colonies=24):
    (count,) = record(*(washed(0, m, colony=str(c)) for c, m in enumerate(mites)),
                      colonies=colonies).counts  # fmt: skip
    return count


@pytest.mark.parametrize(
    ("mites", "colonies", "told"),
    [
        (EIGHT, 24, (12, True)),  # CV 1.190: n0 = 22.7, over 1 + n0 / 24, rounded up
        (EIGHT, 0, (23, True)),
        (ALIKE, 24, (1, True)),  # CV 0.14: one is enough for a standard error of a quarter
        (ALIKE[:3], 24, (8, False)),  # but three colonies do not show how alike they are
        (EIGHT[:4], 24, (14, True)),  # CV 1.361: n0 = 29.6
        ((0, 0, 0), 24, (8, False)),
        ((6,), 24, (8, False)),
        ((6,), 5, (5, False)),
    ],
)
def test_how_many_colonies_to_wash_next(mites, colonies, told):
    """(CV / 0.25)^2 and Cochran's correction, by hand."""
    assert next_washes(washes(*mites, colonies=colonies), colonies, LIMITS) == told


def test_without_a_wash_it_is_the_usual_number():
    assert next_washes(None, 24, LIMITS) == (8, False)
    assert next_washes(None, 0, LIMITS) == (8, False)


def told(*reports, visits=(), since=date(2026, 7, 1)):
    book = MiteBook(yards=[yard()], zones={"kiln": TZ}, reports=reports, visits=visits)
    return mites_of_yards(book, LIMITS, since)


def test_a_yard_without_a_count_is_left_out():
    assert told(visits=(visited(),)) == ()
    assert [mites.yard_key for mites in told(washed(0, 6))] == ["kiln"]


def test_counts_before_the_day_that_was_asked_for_are_passed_over():
    assert len(told(washed(0, 6), since=DAY_0)) == 1
    assert told(washed(-1, 6), since=DAY_0) == ()


def test_a_round_without_counts_that_show_it_is_named():
    (mites,) = told(washed(-2, 6), visits=(visited(), visited(-300)))
    assert [(span.season, span.round_no) for span in mites.silent] == [(2026, 1)]
