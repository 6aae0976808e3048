"""The line of every key of a TOML file."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from support.configs import document, faults_of

from windowcast.settings.toml_places import CAP_BYTES, Document, dotted, read_document

TEXT = """\
# a remark
name = "x"

[wind]
# another
calm_to = "8 mph"
sides = [
    "n",

    "s",
]
deep.down = { a = 1, b = [1, 2] }
text = '''
[not_a_table]
key = 4
'''
last = 1

[[crews]]
name = "A"

[[crews]]
name = "B"
start = "08:00"

[crews.truck]
seats = 2

[[crews.dogs]]
name = "C"
[[crews.dogs]]
name = "D"
"""


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("name",), 2), (("wind",), 4), (("wind", "calm_to"), 6), (("wind", "sides"), 7),
        (("wind", "sides", 1), 7), (("wind", "deep", "down", "b", 1), 12), (("wind", "text"), 13),
        (("wind", "last"), 17), (("crews", 0), 19), (("crews", 0, "name"), 20),
        (("crews", 1), 22), (("crews", 1, "start"), 24), (("crews", 1, "truck"), 26),
        (("crews", 1, "truck", "seats"), 27), (("crews", 1, "dogs", 0, "name"), 30),
        (("crews", 1, "dogs", 1, "name"), 32),
    ],
)  # fmt: skip
def test_a_key_has_the_line_on_which_its_statement_begins(
    path: tuple[str | int, ...], line: int
) -> None:
    assert document(TEXT).line(path) == line


def test_a_missing_key_has_the_line_of_its_table_or_none() -> None:
    assert document(TEXT).line(("crews", 1, "end")) == 22
    assert document(TEXT).line(("contact",)) is None


def test_lines_count_the_same_with_foreign_line_ends(tmp_path: Path) -> None:
    path = tmp_path / "outfit.toml"
    path.write_bytes(TEXT.replace("\n", "\r\n").encode("utf-8-sig"))
    assert read_document(path, if_missing="write one").line(("crews", 1)) == 22


def test_a_list_that_is_not_closed_is_told_so() -> None:
    (fault,) = document('days = ["Mon",\n "Tue"\nname = "x"\n').faults
    assert (fault.line, fault.cure) == (3, "close it with ]")


def test_several_slips_are_all_told_and_the_rest_is_read() -> None:
    read = document("a = True\nb = 4,5\nc = 1\nd = x\n")
    assert [fault.line for fault in read.faults] == [1, 2, 4]
    assert read.table == {"a": True, "b": 4.5, "c": 1, "d": "x"}


@pytest.mark.parametrize("text", ["x = " + "[" * 1900, "x = " + "9" * 5000, 'x = """never closed'])
def test_what_breaks_the_reader_is_one_fault(text: str) -> None:
    read = document(text)
    assert read.table is None
    assert len(read.faults) == 1
    assert read.faults[0].line == 1


def test_a_line_that_cannot_be_mended_twice_ends_the_reading() -> None:
    read = document("a = b = True\n")
    assert [fault.line for fault in read.faults] == [1]


def test_a_text_of_one_thousand_lines_is_placed_in_a_second() -> None:
    text = "".join(f"[[crews]]\nname = 'c{n}'\nstart = '08:00'\n" for n in range(334))
    began = time.monotonic()
    read = document(text)
    assert [read.line(("crews", n, "start")) for n in (0, 100, 333)] == [3, 303, 1002]
    assert time.monotonic() - began < 1.0


def test_a_deep_nest_is_placed_by_its_beginning() -> None:
    for text in (
        "x" + ".y" * 900 + " = 1",
        "[x" + ".y" * 900 + "]",
        "x = " + "[" * 300 + "]" * 300,
    ):
        assert document(f"\n{text}\n").line(("x",)) == 2


def test_a_list_whose_end_is_too_far_to_look_for_ends_the_counting_of_lines() -> None:
    short, long = ("a = 1\nx = [\n" + "[1],\n" * n + "]\nb = 2\n" for n in (100, 300))
    assert document(short).line(("b",)) == 104
    assert (document(long).line(("a",)), document(long).line(("b",))) == (1, None)


def test_a_file_that_is_too_large_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "outfit.toml"
    path.write_text("#" * (CAP_BYTES + 1))
    (fault,) = faults_of(lambda: read_document(path, if_missing="write one"))
    assert fault.found == "is larger than 128 kB"


def test_tables_of_a_list_are_counted_as_people_count() -> None:
    assert dotted(("crews", 0, "days", 2)) == "crews[1].days[3]"


def test_a_fault_knows_file_line_and_key() -> None:
    fault = Document(TEXT, file="outfit.toml").fault(("crews", 1, "name"), found="x", cure="y")
    assert str(fault) == "outfit.toml:23: crews[2].name: x; y"
