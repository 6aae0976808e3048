"""Visits and reports in the book: added, listed, struck out."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from support.books import HOUR, NOW, report, visit

from windowcast.problems import StoreProblem
from windowcast.store.book import Book
from windowcast.terms.report import PollenSeen, RoadSeen
from windowcast.terms.visit import Treated, VisitWeather


def test_a_visit_comes_back_as_it_was_with_a_number(book: Book) -> None:
    whole = visit(
        began_at=datetime(2027, 1, 11, 18, 5, 0, 123456, tzinfo=UTC),
        treated=(Treated(kind="doubles", colonies=12, acid_g=48.1),
                 Treated(kind="nucs", colonies=3),),
        of_colonies=24, whole=True,
        yard_name="Kiln", state="OR", crew="A", product="made up", registration="00000-0",
        note="gate code on the post\nbees calm 🐝",
        weather=VisitWeather(hour=NOW.replace(minute=0), source="nws", temp_c=4.4, rain_mm=0.0),
    )  # fmt: skip
    kept = book.add_visit(whole, NOW)
    assert kept == replace(whole, number=1)
    assert book.visits() == (kept,)


def test_a_second_visit_on_the_same_day_is_a_visit_of_its_own(book: Book) -> None:
    assert [book.add_visit(visit(), NOW).number for _ in range(2)] == [1, 2]
    assert len(book.visits()) == 2


def test_a_visit_is_kept_only_if_those_of_its_yard_are_the_ones_that_were_judged(
    book: Book,
) -> None:
    first = book.add_judged_visit(visit(), [], NOW)
    assert first == visit(number=1)
    assert book.add_judged_visit(visit(), [], NOW) is None
    book.add_visit(visit(yard_key="mill-ditch"), NOW)
    assert book.add_judged_visit(visit(), [1], NOW) == visit(number=3)
    book.undo_visit(1, NOW)
    assert book.add_judged_visit(visit(), [1, 3], NOW) is None
    assert [kept.number for kept in book.visits()] == [2, 3]


def test_visits_are_listed_by_day_and_then_as_they_were_logged(book: Book) -> None:
    for day in (11, 9, 11, 10):
        book.add_visit(visit(day=date(2027, 1, day)), NOW)
    assert [(v.day.day, v.number) for v in book.visits()] == [(9, 2), (10, 4), (11, 1), (11, 3)]


def test_a_season_runs_from_july_to_june(book: Book) -> None:
    days = [date(2025, 6, 30), date(2025, 7, 1), date(2026, 6, 30), date(2026, 7, 1)]
    book.add_visits([visit(day=day) for day in days], NOW)
    assert [[v.day for v in book.visits(season)] for season in (2024, 2025, 2026, 2027)] == [
        days[:1], days[1:3], days[3:], [],
    ]  # fmt: skip


def test_an_undone_visit_is_listed_no_more_and_its_number_is_not_used_again(book: Book) -> None:
    kept = book.add_visit(visit(), NOW)
    assert book.undo_visit(1, NOW) == kept
    assert book.visits() == ()
    assert book.add_visit(visit(), NOW).number == 2


def test_a_visit_is_undone_once(book: Book) -> None:
    book.add_visit(visit(), NOW)
    book.undo_visit(1, NOW)
    with pytest.raises(StoreProblem, match="visit 1 was undone on 2027-01-12 already"):
        book.undo_visit(1, NOW + timedelta(days=1))


def test_what_the_book_does_not_have_cannot_be_undone(book: Book) -> None:
    with pytest.raises(StoreProblem, match="has no visit 7; list the visits for their numbers"):
        book.undo_visit(7, NOW)
    with pytest.raises(StoreProblem, match="has no report 7; list the reports for their numbers"):
        book.undo_report(7, NOW)


def test_a_file_of_visits_is_kept_as_a_whole_or_not_at_all(book: Book) -> None:
    def torn():
        yield visit()
        raise ValueError("line 2 is wrong")

    with pytest.raises(ValueError, match="line 2 is wrong"):
        book.add_visits(torn(), NOW)
    assert book.visits() == ()
    kept = book.add_visits([visit(), visit(round_no=2)], NOW)
    assert book.visits() == kept
    assert [v.round_no for v in kept] == [1, 2]


def test_a_file_of_reports_is_kept_as_a_whole_or_not_at_all(book: Book) -> None:
    def torn():
        yield report()
        raise ValueError("line 2 is wrong")

    with pytest.raises(ValueError, match="line 2 is wrong"):
        book.add_reports(torn(), NOW)
    assert book.reports() == ()
    kept = book.add_reports([report(), report(person="Ola")], NOW)
    assert book.reports() == kept
    assert [r.person for r in kept] == ["", "Ola"]


def test_a_report_comes_back_as_it_was_with_a_number(book: Book) -> None:
    whole = report(seen=PollenSeen(coming=False, plant="maple"), person="Ola", note="grey")
    kept = book.add_report(whole, NOW)
    assert kept == replace(whole, number=1)
    assert book.reports() == (kept,)


def test_reports_are_listed_by_the_time_of_seeing_within_bounds(book: Book) -> None:
    seen = [NOW - hours * HOUR for hours in (1, 3, 2)]
    book.add_reports([report(at=at, seen=RoadSeen(footing="soft")) for at in seen], NOW)
    assert [r.number for r in book.reports()] == [2, 3, 1]
    assert [r.number for r in book.reports(since=NOW - 2 * HOUR)] == [3, 1]
    assert [r.number for r in book.reports(until=NOW - 2 * HOUR)] == [2]


def test_an_undone_report_is_listed_no_more(book: Book) -> None:
    kept = book.add_report(report(), NOW)
    assert book.undo_report(1, NOW) == kept
    assert book.reports() == ()
