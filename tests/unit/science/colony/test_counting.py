"""Which washes and boards belong together, on which days, and what they come to."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from support.mite_books import DAY_0, LIMITS, TZ, board, visited, washed, yard

from windowcast.science.colony.counting import impossible_washes, mite_counts, round_spans
from windowcast.terms.mites import BOARD, WASH


def counts(*reports, colonies=24, treated=()):
    return mite_counts(reports, yard(colonies), TZ, treated, LIMITS)


def test_washes_of_three_days_are_one_count_and_of_the_fourth_another():
    assert [count.counted for count in counts(washed(0, 1), washed(2, 3), washed(3, 5))] == [3]
    assert [count.counted for count in counts(washed(0, 1), washed(2, 3), washed(4, 5))] == [2, 1]


def test_a_treatment_parts_what_was_counted_on_both_sides_of_it():
    split = counts(washed(0, 1), washed(1, 3), treated=[DAY_0])
    assert [count.last_day for count in split] == [DAY_0, DAY_0 + timedelta(days=1)]
    assert len(counts(washed(0, 1), washed(0, 3), treated=[DAY_0])) == 1


def test_washes_and_boards_are_counted_apart():
    found = counts(washed(0, 6), board(0, 9))
    assert [(count.method, count.mean) for count in found] == [(BOARD, 3.0), (WASH, 0.02)]


def test_a_board_begins_where_it_was_put_in():
    (count,) = counts(board(0, 9, over_d=3.0))
    assert (count.first_day, count.last_day) == (DAY_0 - timedelta(days=3), DAY_0)


def test_of_a_named_colony_the_last_wash_of_a_count_holds():
    (count,) = counts(washed(0, 30, colony="7"), washed(1, 3, colony="7"), washed(1, 9))
    assert (count.counted, round(count.mean, 6)) == (2, 0.02)


def test_the_day_is_that_of_the_yard():
    late = washed(0, 3)
    (count,) = counts(type(late)(**{**_told(late), "at": late.at.replace(hour=7)}))
    assert count.last_day == DAY_0 - timedelta(days=1)


def _told(report):
    return {name: getattr(report, name) for name in ("yard_key", "seen", "logged_at")}


def test_one_wash_stands_for_its_colony_alone():
    (count,) = counts(washed(0, 6))
    assert count.bounds is None
    assert (round(count.alone.low, 4), round(count.alone.high, 4)) == (0.0092, 0.0429)


def test_more_washes_than_the_list_has_colonies_are_of_a_yard_without_end():
    (count,) = counts(washed(0, 6), washed(0, 3), colonies=1)
    assert (count.counted, count.colonies) == (2, None)
    assert count.bounds is not None


def test_a_wash_with_more_mites_than_bees_is_named_and_left_out():
    slip = washed(0, 300, bees=6)
    assert counts(slip) == ()
    assert impossible_washes([slip, washed(0, 3)]) == (0,)


def test_a_round_is_all_visits_of_its_number_and_season():
    spans = round_spans([visited(4, colonies=12), visited(0, colonies=10), visited(-300)])
    assert [(s.season, s.first_day, s.last_day, s.treated) for s in spans] == [
        (2025, date(2026, 2, 23), date(2026, 2, 23), None),
        (2026, DAY_0, DAY_0 + timedelta(days=4), 22),
    ]


@pytest.mark.parametrize(
    ("visits", "told"),
    [
        ([visited(colonies=10)], (10, 40, 0.25)),
        ([visited(colonies=10, of=20)], (10, 20, 0.5)),
        ([visited(colonies=10, of=20), visited(2, colonies=10, of=25)], (20, None, 0.9)),
        ([visited(of=20)], (None, 20, 1.0)),
        ([visited(colonies=20, of=20), visited(2, colonies=9, of=20)], (29, 20, 1.0)),
    ],
)
def test_a_round_is_of_a_share_of_the_yard_as_it_was(visits, told):
    (span,) = round_spans(visits, 40)
    assert (span.treated, span.of_colonies, span.done_frac) == pytest.approx(told)
    assert span.is_whole == (told[2] == 1.0)
