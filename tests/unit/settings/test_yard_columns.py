"""The columns of ``yards.csv``, their cells and their headings."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from support.outcomes import value_or_refusal

from windowcast.settings.yard_columns import (
    ALIASES,
    COLUMNS,
    YardRow,
    column,
    column_by_any_name,
    count,
    heading_and_unit,
    height,
    key_text,
    lane,
    made_key,
    nearest_column,
    own_column,
    surface,
    yes,
)


@pytest.mark.parametrize(
    ("written", "number"), [("0", 0), ("12", 12), ("12.0", 12), ("+4", 4), ("9999", 9999)]
)
def test_colonies_are_whole_numbers(written: str, number: int) -> None:
    assert count(written) == number


@pytest.mark.parametrize(
    ("written", "told"),
    [("1,200", "write 1200"), ("twelve", "digits only"), ("-4", "digits only"),
     ("12.5", "digits only"), ("1e3", "digits only"), ("١٢", "digits only"),
     ("10000", "do not stand in one yard"), ("", "digits only")],
)  # fmt: skip
def test_what_is_no_number_of_colonies_is_refused(written: str, told: str) -> None:
    value, sentence = value_or_refusal(count, written)
    assert value is None
    assert told in str(sentence)


def test_a_surface_is_one_of_seven_in_any_capitals() -> None:
    assert (surface("Gravel"), surface("plowed"), surface(" CLAY ")) == (
        "gravel",
        "ploughed",
        "clay",
    )


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("durt", 'did you mean "dirt"?'),
        ("asphalt", 'did you mean "paved"?'),
        ("zzz", "use paved, gravel"),
    ],
)
def test_another_surface_is_told_what_it_may_be(written: str, told: str) -> None:
    assert told in str(value_or_refusal(surface, written)[1])


@pytest.mark.parametrize("read", [lane, height])
def test_a_length_has_its_unit(read: Callable[[object], float]) -> None:
    assert read("600 ft") == pytest.approx(182.88)
    assert read("180 m") == 180.0
    assert 'write "600 ft" or "600 m"' in str(value_or_refusal(read, "600")[1])


def test_a_lane_is_not_negative_but_a_yard_may_lie_below_the_sea() -> None:
    assert value_or_refusal(lane, "-1 ft")[1]
    assert height("-200 ft") == pytest.approx(-60.96)
    assert value_or_refusal(height, "9001 m")[1]


def test_a_key_is_made_from_a_name() -> None:
    assert made_key("  Heron Slough #2 (north) ") == "heron-slough-2-north"
    assert made_key("Cañada_Real") == "cañada-real"
    assert made_key("!!!") == ""
    assert len(made_key("x " * 100)) <= 40


@pytest.mark.parametrize("written", ["kiln one", "", "-a", "a/b", "x" * 41, "a\tb"])
def test_a_key_that_cannot_be_typed_is_refused_with_a_better_one(written: str) -> None:
    _, sentence = value_or_refusal(key_text, written)
    assert "such as" in str(sentence)
    better = str(sentence).rpartition('such as "')[2].rstrip('"')
    assert key_text(better) == better


@pytest.mark.parametrize(
    ("word", "answer"), [("yes", True), ("X", True), ("No", False), ("0", False)]
)
def test_yes_and_no_have_a_few_spellings(word: str, answer: bool) -> None:
    assert yes(word) is answer
    assert value_or_refusal(yes, "maybe")[1]


def test_capitals_blanks_and_hyphens_of_a_heading_do_not_matter() -> None:
    assert [column(h) for h in ("Lat", " lane-length ", "NUCS ABOVE", "Lane_Surface:")] == [
        "lat", "lane_length", "nucs_above", "lane_surface",
    ]  # fmt: skip
    assert column("latitude") is None


@pytest.mark.parametrize(
    ("heading", "name"),
    [("Latitude", "lat"), ("Long", "lon"), ("lng", "lon"), ("Yard", "name"), ("Site", "name"),
     ("Hives", "doubles"), ("Double Deeps", "doubles"), ("lane length (ft)", "lane_length"),
     ("Elev [m]", "elevation"), ("key", "key"), ("phone", None)],
)  # fmt: skip
def test_people_s_own_headings_are_understood(heading: str, name: str | None) -> None:
    assert column_by_any_name(heading) == name


def test_no_heading_stands_for_two_columns() -> None:
    every = [plain for plains in ALIASES.values() for plain in plains]
    assert len(every) == len(set(every))
    assert set(ALIASES) == set(COLUMNS)
    assert all(
        column(plain) in (None, name) for name, plains in ALIASES.items() for plain in plains
    )


@pytest.mark.parametrize(
    ("heading", "name"),
    [("doubels", "doubles"), ("lattitude", "lat"), ("Longtitude", "lon"),
     ("lane_lenght", "lane_length"),
     ("phone", None), ("owner", None), ("state road", None), ("", None)],
)  # fmt: skip
def test_a_misspelt_heading_is_near_to_one_column_only(heading: str, name: str | None) -> None:
    assert nearest_column(heading) == name


def test_a_column_of_one_s_own_begins_with_x() -> None:
    assert own_column("x_phone")
    assert own_column("X phone")
    assert not own_column("x")
    assert not own_column("phone")


def test_a_unit_may_stand_in_a_heading() -> None:
    assert heading_and_unit("Lane length (ft)") == ("Lane length", "ft")
    assert heading_and_unit("lane_length_[m]") == ("lane_length", "m")
    assert heading_and_unit("notes (old)") == ("notes (old)", None)


def test_every_column_says_what_it_holds() -> None:
    assert all(field.description for field in YardRow.model_fields.values())
