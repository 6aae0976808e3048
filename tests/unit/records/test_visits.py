"""Visits as a table: what stands in it, what is read from other people's, what is refused."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from support.books import NOW, visit

from windowcast.problems import ConfigProblem
from windowcast.records.visits import (
    COLUMNS,
    new_among,
    read_visits,
    unknown_yards,
    visits_text,
)
from windowcast.terms.visit import Treated, Visit, VisitWeather

WEATHER = VisitWeather(
    hour=datetime(2027, 1, 11, 18, tzinfo=UTC), source="nws, station XZZA", temp_c=5.0,
    wind_mps=2.5, wind_from_deg=110.0,
)  # fmt: skip
WHOLE = visit(
    number=7, began_at=datetime(2027, 1, 11, 18, 30, tzinfo=UTC), yard_name="Kiln", state="WA",
    treated=(Treated(kind="doubles", colonies=12, acid_g=48.0), Treated(kind="nucs", colonies=3)),
    crew="A", product="acid", registration="00000-0", weather=WEATHER, note='=a "b"\nc',
    of_colonies=24, whole=True,
)  # fmt: skip


def table(*visits: Visit, zones: dict[str, str] | None = None) -> str:
    return visits_text(visits, zones=zones or {}, weather_words=lambda _: "41 °F")


def read(text: str) -> tuple[Visit, ...]:
    return read_visits(text, file="v.csv", now=NOW)


def faults(text: str) -> list[str]:
    with pytest.raises(ConfigProblem) as caught:
        read(text)
    return [str(fault) for fault in caught.value.faults]


def row(**cells: str) -> str:
    told = {"date": "2027-01-11", "yard": "kiln", "round": "1", **cells}
    return f"{','.join(told)}\n{','.join(told.values())}\n"


def test_a_visit_fills_the_columns_that_treatment_records_ask_for() -> None:
    heading, *lines = table(WHOLE, zones={"kiln": "America/Los_Angeles"}).split("\r\n")
    assert heading == ",".join(COLUMNS)
    assert lines == [
        "7,2027-01-11,2027-01-11T10:30:00-08:00,kiln,Kiln,WA,1,15,24,yes,12,,3,,,48.0,,,,acid,00000-0,A,"
        'Ines,41 °F,2027-01-11T10:00:00-08:00,5.0,,2.5,110.0,,,"nws, station XZZA","\'=a ""b""'
        '\nc",2027-01-12T05:40:00-08:00',
        "",
    ]


def test_a_yard_whose_zone_nobody_knows_is_written_in_utc() -> None:
    assert "2027-01-11T18:30:00+00:00" in table(WHOLE)
    assert read(table(WHOLE)) == (replace(WHOLE, number=None),)


def test_three_columns_are_enough() -> None:
    (found,) = read("round;YARD;Date\n1;kiln;2027-01-11\n")
    assert found == Visit(yard_key="kiln", day=date(2027, 1, 11), round_no=1, logged_at=NOW)


@pytest.mark.parametrize(
    ("cell", "whole"), [("yes", True), (" TRUE ", True), ("no", False), ("false", False)]
)
def test_a_round_that_is_whole_is_read_as_people_and_spreadsheets_write_it(
    cell: str, whole: bool
) -> None:
    (found,) = read(row(doubles="12", of_colonies="24", whole=cell))
    assert (found.whole, found.of_colonies) == (whole, 24)


def test_an_older_table_without_the_yard_s_colonies_adds_nothing_twice() -> None:
    (older,) = read(row(doubles="12", logged_at="2027-01-12T13:40Z"))
    assert (older.of_colonies, older.whole) == (None, False)
    assert new_among([older], [replace(older, number=1, of_colonies=24)]) == ()
    assert new_among([replace(older, whole=True)], [older]) == (replace(older, whole=True),)


def test_a_spreadsheet_of_a_country_with_decimal_commas_is_read() -> None:
    (found,) = read("date;yard;round;doubles;grams_doubles\n2027-01-11;kiln;1;12;48,5\n")
    assert found.treated == (Treated(kind="doubles", colonies=12, acid_g=48.5),)


def test_grams_in_all_belong_to_the_only_kind() -> None:
    (found,) = read(row(doubles="12", grams="48"))
    assert found.treated == (Treated(kind="doubles", colonies=12, acid_g=48.0),)


@pytest.mark.parametrize(
    ("cells", "told"),
    [
        ({"date": "1/11/2027"}, 'date: "1/11/2027" is not a day; write it as 2027-01-12'),
        ({"round": "two"}, 'round: "two" is not a whole number'),
        ({"round": "0"}, "round 0 is not a whole number from 1 to 99"),
        ({"yard": ""}, "yard '' is no name"),
        ({"date": "2027-01-14"}, "2027-01-14 had not begun when the visit was logged"),
        ({"began": "10:30"}, 'began: "10:30" is not a time; write it as'),
        ({"began": "2027-01-11T10:30"}, 'began: "2027-01-11T10:30" has no offset from UTC'),
        ({"began": "0001-01-01T00:00+05:00"}, 'began: "0001-01-01T00:00+05:00" is not a time'),
        ({"began": "2027-01-14T08:00-08:00"}, "is not on 2027-01-11 anywhere"),
        ({"logged_at": "2027-02-01T00:00Z"}, 'logged_at: "2027-02-01T00:00Z" has not come yet'),
        ({"doubles": "12", "colonies": "13"}, "colonies 13 is not the sum of its kinds"),
        ({"doubles": "12", "grams": "9", "grams_doubles": "8"}, "grams 9 is not the sum"),
        ({"doubles": "1", "nucs": "1", "grams": "9"}, "grams in all cannot be shared out"),
        ({"grams": "9"}, "grams in all cannot be shared out"),
        ({"whole": "maybe"}, 'whole: "maybe" is neither yes nor no; write yes'),
        ({"of_colonies": "0"}, "of_colonies 0 is not a whole number from 1"),
        ({"grams_nucs": "9"}, "grams for nucs stand beside none treated"),
        ({"doubles": "12", "grams_doubles": "-1"}, "-1.0 is no mass in grams"),
        ({"temp_c": "4"}, "weather has no hour"),
        ({"weather_hour": "2027-01-11T10:30Z"}, "is not the beginning of an hour"),
        ({"weather_hour": "2027-01-11T10:00Z", "temp_c": "70"}, "temp_c 70.0 is not from"),
        ({"wind_mps": "calm"}, 'wind_mps: "calm" is not a number'),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_with_its_line(cells: dict[str, str], told: str) -> None:
    (fault,) = faults(row(**cells))
    assert fault.startswith("v.csv:2: ")
    assert told in fault
    assert "; " in fault


def test_all_faults_of_all_rows_are_told_at_once() -> None:
    text = "date,yard,round,temp_c\nx,kiln,y,z\n2027-01-11,kiln,1,\n2027-01-11,,1,\n"
    assert [fault[:9] for fault in faults(text)] == ["v.csv:2: "] * 3 + ["v.csv:4: "]


def test_a_visit_that_the_book_has_is_not_new() -> None:
    kept, other = visit(number=3, logged_at=NOW), visit(round_no=2)
    assert new_among([visit(), other], [kept]) == (other,)


def test_two_alike_booked_at_two_times_are_two_visits_and_one_row_twice_is_one() -> None:
    later = visit(logged_at=NOW.replace(minute=41))
    assert new_among([visit(), visit()], []) == (visit(),)
    assert new_among([visit(), later], []) == (visit(), later)
    assert new_among([visit(), later], [visit(number=1)]) == (later,)
    assert new_among([visit(), later], [visit(number=1), visit(number=2)]) == ()


def test_the_order_of_kinds_makes_no_other_visit() -> None:
    kinds = (Treated(kind="nucs", colonies=3), Treated(kind="doubles", colonies=12))
    assert new_among([visit(treated=kinds)], [visit(treated=kinds[::-1])]) == ()


def test_yards_that_the_list_lacks_are_named_once() -> None:
    some = [visit(yard_key=key) for key in ("b", "kiln", "a", "b")]
    assert unknown_yards(some, ["kiln"]) == ("b", "a")


@pytest.mark.parametrize("cells", [{"doubles": "0"}, {"colonies": "0"}])
def test_a_row_of_no_colonies_is_no_visit_to_the_whole_yard(cells: dict[str, str]) -> None:
    assert "0 colonies are no treatment" in faults(row(**cells))[0]
