"""The line of a key, held against its slow definition."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

from hypothesis import assume, given
from hypothesis import strategies as st
from support.configs import document

HEADINGS = ("[a]", "[a.b]", "[[c]]", "[c.d]", "[[c.e]]", "[[f.g]]", "[ h . i ] # x")
VALUES = (
    "1", '"x"', "[1, [2, {k = 3}]]", "{k = {l = 1}}", "[\n  1,\n\n  2,\n]", "'''\n[a]\nz = 1\n'''",
    '"""\n[[c]]\n# no\n"""', "[ # one\n  [1], # two\n  [2]]",
)  # fmt: skip
KEYS = ("k", "l", "m.n", '"o.p"', "q . r")
statements = st.one_of(
    st.sampled_from(HEADINGS),
    st.sampled_from(["", "# [a]", "  # k = 1"]),
    st.builds("{} = {}".format, st.sampled_from(KEYS), st.sampled_from(VALUES)),
)


def paths(told: Any, above: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    steps = told.items() if isinstance(told, dict) else enumerate(told)
    for step, inner in steps:
        yield (*above, step)
        if isinstance(inner, dict | list):
            yield from paths(inner, (*above, step))


def sound(lines: list[str]) -> dict[str, Any] | None:
    try:
        return tomllib.loads("\n".join(lines))
    except tomllib.TOMLDecodeError:
        return None


@given(told=st.lists(statements, max_size=9))
def test_a_statement_begins_after_all_lines_that_do_not_hold_its_key(told: list[str]) -> None:
    text = "\n".join(told)
    lines = text.split("\n")
    table = sound(lines)
    assume(table is not None)
    read = document(text)
    holding = {
        n: set(paths(prefix))
        for n in range(len(lines) + 1)
        if (prefix := sound(lines[:n])) is not None
    }
    for path in paths(table):
        line = read.line(path)
        assert line is not None
        first_holding = min(n for n, held in holding.items() if path in held)
        last_without = max(n for n, held in holding.items() if n < first_holding)
        assert line == last_without + 1
