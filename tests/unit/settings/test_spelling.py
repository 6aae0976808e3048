"""How a message shows what was found, and which word it may have meant."""

from __future__ import annotations

from datetime import date, time

import pytest

from windowcast.settings.spelling import (
    SHOWN_CHARS,
    Slip,
    as_toml,
    choices,
    cure_for_word,
    meant,
    printable,
    shown,
    toml_text,
)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("durt", '"durt"'), (True, "true"), (False, "false"), (40, "40"), (0.5, "0.5"),
        (date(2026, 11, 3), "2026-11-03"), (time(8, 30), "08:30:00"), ([1], "a list"),
        ({"a": 1}, "a table"),
    ],
)  # fmt: skip
def test_a_value_is_shown_as_a_person_would_write_it(value: object, text: str) -> None:
    assert shown(value) == text


def test_a_number_of_thousands_of_digits_is_not_shown() -> None:
    assert shown(int("f" * 5000, 16)) == "a very large number"


def test_what_does_not_print_is_shown_as_its_code_on_one_line() -> None:
    assert printable("a\nb\x1b[31m\ufeff") == "a b<U+001B>[31m<U+FEFF>"


def test_a_long_text_is_cut() -> None:
    assert printable("x" * SHOWN_CHARS) == "x" * SHOWN_CHARS
    assert printable("x" * (SHOWN_CHARS + 1)) == "x" * (SHOWN_CHARS - 3) + "..."


def test_the_nearest_word_is_found_whatever_its_capitals_and_hyphens() -> None:
    assert meant("Lane-Lenght", ["lane_length", "lat"]) == "lane_length"
    assert meant("zebra", ["lane_length", "lat"]) is None
    assert meant("x" * 100_000, ["lat"]) is None


def test_a_cure_names_the_nearest_word_or_all_of_them() -> None:
    assert cure_for_word("durt", ("paved", "dirt")) == 'did you mean "dirt"?'
    assert cure_for_word("zzz", ("paved", "gravel", "dirt")) == "use paved, gravel or dirt"
    assert choices(["us"]) == "us"


def test_text_is_written_as_toml_reads_it() -> None:
    assert toml_text('a "b" \\ c\n') == '"a \\"b\\" \\\\ c\\u000A"'
    assert as_toml(["Mon", 2, True]) == '["Mon", 2, true]'


def test_a_slip_is_one_sentence() -> None:
    assert str(Slip("40 has no unit", 'write "40 F"')) == '40 has no unit; write "40 F"'
