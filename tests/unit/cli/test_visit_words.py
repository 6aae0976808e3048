"""What people type about a visit: days and times gone by on the yard's clock, colonies, crews."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

import pytest

from windowcast.cli.visit_words import began_at, crew_of, treated, visit_day
from windowcast.terms.visit import Treated
from windowcast.terms.yard import Crew

TZ = "America/Los_Angeles"
TUESDAY = datetime(2027, 1, 12, 19, 20, tzinfo=UTC)  # 11:20 at the yard
CREWS = [Crew(name=n, start=time(8), end=time(17), weekdays=frozenset()) for n in ("A", "River")]


@pytest.mark.parametrize(
    ("word", "day"),
    [
        ("today", 12), ("Yesterday", 11), ("tue", 12), ("TUESDAY", 12), ("mon", 11), ("wed", 6),
        ("sunday", 10), (" fri ", 8), ("2027-01-12", 12), ("2027-01-03", 3),
    ],
)  # fmt: skip
def test_a_weekday_is_the_last_one_today_included(word: str, day: int) -> None:
    assert visit_day(word, TUESDAY, TZ) == date(2027, 1, day)


@pytest.mark.parametrize("word", ["tomorrow", "tu", "12", "", "friday week", "2027-13-01", "=1"])
def test_what_is_no_day_is_refused(word: str) -> None:
    with pytest.raises(ValueError, match="is not a day; write today, yesterday or one such as"):
        visit_day(word, TUESDAY, TZ)


def test_a_day_to_come_is_refused_by_the_clock_of_the_yard() -> None:
    night = datetime(2027, 1, 13, 7, 30, tzinfo=UTC)  # 23:30 on the 12th at the yard
    assert visit_day("today", night, TZ) == date(2027, 1, 12)
    with pytest.raises(ValueError, match='"2027-01-13" is still to come at the yard, where it is'):
        visit_day("2027-01-13", night, TZ)
    assert visit_day("2027-01-13", night, "America/Denver") == date(2027, 1, 13)


@pytest.mark.parametrize(("text", "minute"), [("09:30", 30), ("9:30", 30), (" 09:05 ", 5)])
def test_the_work_began_by_the_clock_of_the_yard(text: str, minute: int) -> None:
    found = began_at(text, date(2027, 1, 12), TUESDAY, TZ)
    assert found == datetime(2027, 1, 12, 17, minute, tzinfo=UTC)


@pytest.mark.parametrize("text", ["24:00", "09:60", "9", "9.30", "09:30:00", "noon", ""])
def test_what_is_no_time_of_day_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is no time of day; write one such as 09:30"):
        began_at(text, date(2027, 1, 12), TUESDAY, TZ)


def test_a_time_to_come_is_refused_to_the_minute() -> None:
    assert began_at("11:20", date(2027, 1, 12), TUESDAY, TZ) == TUESDAY
    with pytest.raises(ValueError, match='"11:21" on 2027-01-12 is still to come'):
        began_at("11:21", date(2027, 1, 12), TUESDAY, TZ)


# 1 November 2026 and 14 March 2027: the days on which US clocks change, by the zone database.
def test_a_time_that_the_clock_showed_twice_is_the_first() -> None:
    now = datetime(2026, 11, 2, 20, tzinfo=UTC)
    found = [began_at(at, date(2026, 11, 1), now, TZ) for at in ("00:59", "01:30", "02:00")]
    assert [moment.hour for moment in found] == [7, 8, 10]


def test_a_time_that_the_clock_skipped_is_refused() -> None:
    now, day = datetime(2027, 3, 15, 20, tzinfo=UTC), date(2027, 3, 14)
    assert began_at("01:59", day, now, TZ) == datetime(2027, 3, 14, 9, 59, tzinfo=UTC)
    assert began_at("03:00", day, now, TZ) == datetime(2027, 3, 14, 10, tzinfo=UTC)
    for text in ("02:00", "02:59"):
        with pytest.raises(ValueError, match=f'"{text}" was skipped by the clocks on 2027-03-14'):
            began_at(text, day, now, TZ)


def test_colonies_and_grams_are_told_by_kind_in_any_order() -> None:
    assert treated(" nucs=3, Doubles=12", "doubles=48.5 g") == (
        Treated(kind="doubles", colonies=12, acid_g=48.5), Treated(kind="nucs", colonies=3),
    )  # fmt: skip
    assert treated(None, None) == ()


@pytest.mark.parametrize(
    ("done", "grams", "told"),
    [
        ("doublez=12", None, '"doublez" is no kind of hive; did you mean "doubles"\\?'),
        ("12", None, '"12" is no kind with a number; write doubles=12,nucs=3'),
        ("", None, "is no kind with a number"),
        ("x=1", None, "use doubles, singles, nucs, nucs_above"),
        ("nucs=1,nucs=2", None, "nucs stand twice; write each kind once"),
        ("nucs=0", None, '"0" is no number of colonies'),
        ("nucs=-1", None, '"-1" is no number of colonies'),
        ("nucs=1.5", None, '"1.5" is no number of colonies'),
        (None, "nucs=4", "grams for nucs, but none were done; write --done nucs=12 too"),
        ("nucs=1", "nucs=0", '"0" is no mass'),
        ("nucs=1", "nucs=4 oz", '"4 oz" is no mass'),
        ("nucs=1", "nucs=nan", '"nan" is no mass'),
    ],
)
def test_what_is_no_count_is_refused_with_a_cure(
    done: str | None, grams: str | None, told: str
) -> None:
    with pytest.raises(ValueError, match=told):
        treated(done, grams)


def test_a_crew_is_known_by_its_name_however_it_is_written() -> None:
    assert [crew_of(text, CREWS) for text in ("a", " RIVER ", "")] == ["A", "River", ""]
    with pytest.raises(ValueError, match='has no crew "rivr"; did you mean "River"\\?'):
        crew_of("rivr", CREWS)
    with pytest.raises(ValueError, match='has no crew "X"; it has A, River'):
        crew_of("X", CREWS)
