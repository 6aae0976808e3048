"""Files and function bodies stay small enough to be read at one sitting."""

from __future__ import annotations

import ast
from pathlib import Path
from statistics import median

import pytest
from support.tree import modules, named, tree

NEARLY_ALL = 0.95


def lines(path: Path) -> int:
    return len(path.read_text("utf-8").splitlines())


def written(path: Path) -> int:
    """Lines to be read; a blank line is air."""
    return sum(bool(line.strip()) for line in path.read_text("utf-8").splitlines())


def body_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines of a body, its docstring left out."""
    body = function.body[1:] if ast.get_docstring(function) is not None else function.body
    return (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0


def bodies(path: Path) -> list[tuple[str, int]]:
    return [
        (f"{named(path)}:{node.lineno} {node.name}", body_lines(node))
        for node in ast.walk(tree(path))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    ]


def share(counts: list[int], limit: int) -> float:
    return sum(count <= limit for count in counts) / len(counts)


@pytest.mark.parametrize("path", modules(), ids=named)
def test_no_file_is_over_400_lines(path: Path) -> None:
    assert lines(path) <= 400


@pytest.mark.parametrize("path", modules(), ids=named)
def test_no_body_is_over_40_lines(path: Path) -> None:
    assert [body for body in bodies(path) if body[1] > 40] == []


def test_half_the_files_are_under_120_lines_and_nearly_all_under_300() -> None:
    assert median([written(path) for path in modules()]) < 120
    assert share([lines(path) for path in modules()], 300) >= NEARLY_ALL


def test_half_the_bodies_are_under_8_lines_and_nearly_all_under_25() -> None:
    counts = [count for path in modules() for _, count in bodies(path)]
    assert median(counts) < 8
    assert share(counts, 25) >= NEARLY_ALL


def test_a_docstring_does_not_count_as_body() -> None:
    function = ast.parse(
        'def f():\n    """One.\n\n    Two.\n    """\n    a = 1\n    return a\n'
    ).body
    assert isinstance(function[0], ast.FunctionDef)
    assert body_lines(function[0]) == 2
