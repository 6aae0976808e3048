"""Whatever stands in the files: settings, or faults that each name a file and a cure."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.configs import LABEL, OUTFIT, PRACTICE, YARDS, document

from windowcast.problems import ConfigProblem, Fault
from windowcast.settings.label import label_of
from windowcast.settings.outfit import outfit_of
from windowcast.settings.practice import practice_of
from windowcast.settings.practice_file import practice_file_text
from windowcast.settings.text_files import read_text
from windowcast.settings.yard_columns import COLUMNS, column_by_any_name
from windowcast.settings.yards import YardFile, yards_of

T = TypeVar("T")
NOWHERE = Path("nowhere").absolute()

READERS: dict[str, Callable[[str], object]] = {
    "outfit.toml": lambda text: outfit_of(document(text, "outfit.toml"), NOWHERE),
    "practice.toml": lambda text: practice_of(document(text, "practice.toml")),
    "label.toml": lambda text: label_of(document(text, "label.toml")),
    "yards.csv": lambda text: yards_of(text, "yards.csv", us_only=True),
}
WAYS_OUT = (
    '[fetch]\ndeadline = "30 s"\n[mail]\nhost = "x.example"\nport = 587\nsecurity = "tls"\n'
    'user = "a"\npassword_env = "P"\nfrom = "a@b.example"\nto = ["a@b.example"]\n'
    '[[posts]]\nname = "barn"\nurl = "https://x.example/a?b"\nallow_http = true\n'
    'token_file = "t"\n'
)
SOUND = {
    "outfit.toml": 'zone = "America/Boise"\nrun_at = ["06:00"]\n' + OUTFIT + WAYS_OUT,
    "practice.toml": PRACTICE + practice_file_text().replace("\n#edge", "\nedge"),
    "label.toml": LABEL,
    "yards.csv": YARDS,
}
every_file = pytest.mark.parametrize("file", READERS)

TOML_BITS = (
    "=", "[", "]", "[[", "]]", "{", "}", '"', "'", '"""', "#", ",", ".", "\\", "\n", " ", "name",
    "crews", "sources", "run_at", "mail", "posts", "url", "to", "temperature", "best_low",
    "chambers", "06:30", "43,6", "True", "true", '"40 F"', "1", "1e999", "nan", "-0", "2026-11-03",
    "“", "\u0000", "\ud7ff", "=\n", "0x",
)  # fmt: skip
CSV_BITS = (
    ",", ";", "\t", "\n", '"', '""', "key", "name", "lat", "lon", "doubles", "x_", "45.9", "-119.6",
    "0", "-", "N", "W", "°", "kiln", "sep=;", "\u0000", "yes", " ", "1" * 20, "600 ft",
)  # fmt: skip


def outcome(file: str, text: str) -> None:
    """Assert that a text is read, or refused as it must be; anything else raised goes through."""
    read, faults = read_or_faults(READERS[file], text)
    assert (read is None) == bool(faults)
    for fault in faults:
        assert fault.file == file
        assert fault.found
        assert fault.cure
        assert "\n" not in str(fault)
        assert len(str(fault)) < 700
        assert fault.line is None or 1 <= fault.line <= text.count("\n") + 1


def read_or_faults(
    read: Callable[[str], T], text: str
) -> tuple[T, tuple[()]] | tuple[None, tuple[Fault, ...]]:
    try:
        return read(text), ()
    except ConfigProblem as problem:
        return None, problem.faults


@st.composite
def spoilt(draw: st.DrawFn, sound: str, bits: tuple[str, ...]) -> str:
    """A sound text with a few pieces cut out, doubled, replaced or put in."""
    text = sound
    for _ in range(draw(st.integers(1, 4))):
        begin = draw(st.integers(0, len(text)))
        end = min(len(text), begin + draw(st.integers(0, 12)))
        piece = draw(st.sampled_from(bits) | st.text(max_size=4) | st.just(text[begin:end] * 2))
        text = text[:begin] + piece + text[end:]
    return text


@every_file
@given(text=st.text())
def test_any_text_is_settings_or_faults(file: str, text: str) -> None:
    outcome(file, text)


@every_file
@given(choice=st.data())
def test_pieces_of_the_language_are_settings_or_faults(file: str, choice: st.DataObject) -> None:
    bits = CSV_BITS if file.endswith("csv") else TOML_BITS
    outcome(file, "".join(choice.draw(st.lists(st.sampled_from(bits), max_size=40))))


@every_file
@given(choice=st.data())
def test_a_spoilt_file_is_settings_or_faults(file: str, choice: st.DataObject) -> None:
    bits = CSV_BITS if file.endswith("csv") else TOML_BITS
    outcome(file, choice.draw(spoilt(SOUND[file], bits)))


VALUES = (
    "1", "-1", "0.5", "true", '""', '"x"', "[]", "{}", "[1]", "2026-11-03", "06:30:00", "nan",
    "inf", "9223372036854775808", '"40 F"', '"8 mph"', '["Mon"]', '[["Mon"]]', "{a = 1}",
)  # fmt: skip


@pytest.mark.parametrize("file", ["outfit.toml", "practice.toml", "label.toml"])
@given(choice=st.data())
def test_a_value_of_another_kind_is_settings_or_faults(file: str, choice: st.DataObject) -> None:
    lines = SOUND[file].split("\n")
    told = [n for n, line in enumerate(lines) if "=" in line and not line.startswith("#")]
    for number in choice.draw(st.sets(st.sampled_from(told), min_size=1, max_size=5)):
        key = lines[number].partition("=")[0]
        lines[number] = f"{key}= {choice.draw(st.sampled_from(VALUES))}"
    outcome(file, "\n".join(lines))


cells = st.sampled_from(CSV_BITS) | st.text(max_size=8) | st.floats().map(str)


@given(
    heading=st.lists(st.sampled_from([*COLUMNS, "phone", "x_a", ""]), max_size=8),
    rows=st.lists(st.lists(cells, max_size=9), max_size=6),
)
def test_any_table_is_yards_or_faults(heading: list[str], rows: list[list[str]]) -> None:
    lines = [",".join(heading), *(",".join(row) for row in rows)]
    outcome("yards.csv", "\n".join(lines))


def forgivingly(text: str) -> YardFile:
    return yards_of(text, "hives.csv", known=column_by_any_name)


@given(text=st.text() | spoilt(YARDS, CSV_BITS))
def test_the_forgiving_reader_ends_in_yards_or_faults_too(text: str) -> None:
    found, faults = read_or_faults(forgivingly, text)
    assert all(fault.file == "hives.csv" and fault.cure for fault in faults)
    assert found is None or len(found.yards) == len(found.rows) > 0


@given(content=st.binary(max_size=200))
def test_any_bytes_are_text_or_one_fault(
    tmp_path_factory: pytest.TempPathFactory, content: bytes
) -> None:
    path = tmp_path_factory.getbasetemp() / "any.csv"
    path.write_bytes(content)
    text, faults = read_or_faults(
        lambda _: read_text(path, cap_bytes=150, if_missing="write one"), ""
    )
    assert all(fault.file == "any.csv" and fault.cure for fault in faults)
    assert len(faults) == (text is None)
    assert text is None or not {"\r", "\0"} & {*text}


@given(order=st.permutations(YARDS.splitlines()[1:]))
def test_the_order_of_rows_decides_nothing_but_the_order_of_yards(order: list[str]) -> None:
    turned = yards_of("\n".join([YARDS.splitlines()[0], *order]), "yards.csv")
    straight = yards_of(YARDS, "yards.csv")
    assert sorted(turned.yards, key=lambda yard: yard.key) == sorted(
        straight.yards, key=lambda yard: yard.key
    )
