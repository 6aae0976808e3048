import json

import pytest

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.json_body import (
    as_list,
    as_number,
    as_object,
    as_text,
    dotted,
    plain,
    read_json,
    shown,
)


def test_json_is_read_with_and_without_a_byte_order_mark() -> None:
    assert read_json(b'{"a": [1, 2.5, null]}', "here") == {"a": [1, 2.5, None]}
    assert read_json(b'\xef\xbb\xbf{"a": 1}', "here") == {"a": 1}


def test_a_cut_body_is_refused_with_the_place_of_the_cut() -> None:
    with pytest.raises(SourceGarbled, match=r"^here: the answer is not JSON from character 8 of 8"):
        read_json(b'{"a": [1', "here")


def test_a_web_page_is_quoted_by_its_beginning() -> None:
    with pytest.raises(SourceGarbled, match=r'it begins with "<html>'):
        read_json(b"  <html><body>Busy</body></html>", "here")


def test_a_place_is_written_as_a_path() -> None:
    assert dotted(("nws grid", "temperature", "values", 3, "value")) == (
        "nws grid: temperature.values[3].value"
    )
    assert dotted(("nws grid",)) == "nws grid"
    assert dotted(("nws grid", 0, "a")) == "nws grid: [0].a"


@pytest.mark.parametrize("value", ["5", True, False, None, [], {}, 10**400, float("inf")])
def test_what_is_no_number_is_refused(value: object) -> None:
    with pytest.raises(SourceGarbled, match=r"^here: a\[2\]: found .*, expected a number"):
        as_number(value, "here", "a", 2)


def test_a_whole_and_a_broken_number_are_numbers() -> None:
    assert (as_number(5, "here"), as_number(-2.5, "here")) == (5.0, -2.5)


@pytest.mark.parametrize(
    ("take", "value"), [(as_text, 5), (as_object, []), (as_object, None), (as_text, None)]
)
def test_another_type_is_refused_by_name(take: object, value: object) -> None:
    with pytest.raises(SourceGarbled, match=r"^here: a: found "):
        take(value, "here", "a")  # type: ignore[operator]


@pytest.mark.parametrize(("length", "refused"), [(3, False), (4, True)])
def test_a_list_has_a_greatest_length(length: int, refused: bool) -> None:
    if refused:
        with pytest.raises(SourceGarbled, match="found 4 elements, expected at most 3"):
            as_list([0] * length, "here", most=3)
    else:
        assert as_list([0] * length, "here", most=3) == [0, 0, 0]


@pytest.mark.parametrize(
    "value",
    ["\x1b[31mred\x1b[0m", "a\nb", "\ud800", "é" * 200, "x" * 10_000, 10**400, {}, [], 1e300],
)
def test_a_foreign_value_is_shown_on_one_short_plain_line(value: object) -> None:
    text = shown(value)
    assert len(text) <= 60
    assert text.isascii()
    assert text.isprintable()


def test_what_json_does_not_know_is_shown_by_its_type() -> None:
    assert shown(object()) == "a value of type object"


def test_foreign_text_is_made_safe_to_print() -> None:
    assert plain("Heron\x1b[2J  Slough\n\ud800") == "Heron [2J Slough"
    assert plain("x" * 100, most=5) == "xxxxx"


@pytest.mark.parametrize("word", ["NaN", "Infinity", "-Infinity"])
def test_what_json_does_not_know_as_a_number_is_refused(word: str) -> None:
    with pytest.raises(SourceGarbled, match=f"holds {word}"):
        read_json(json.dumps({"a": 1}).replace("1", word).encode(), "here")
