"""Nothing is skipped: a test runs, or a mark deselects it and a stage of its own selects it."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
from support.tree import ROOT, named, tree

SKIPPING = {"skip", "skipif", "skipTest", "xfail", "importorskip", "skip_module"}
TESTS = sorted((ROOT / "tests").rglob("*.py"))


def skips(node: ast.AST) -> Iterator[int]:
    """Lines on which a test would be skipped, or be allowed to fail."""
    for part in ast.walk(node):
        match part:
            case ast.Attribute(attr=name) | ast.Name(id=name) | ast.alias(name=name):
                if name in SKIPPING:
                    yield part.lineno


@pytest.mark.parametrize("path", TESTS, ids=named)
def test_nothing_is_skipped(path: Path) -> None:
    assert list(skips(tree(path))) == []


@pytest.mark.parametrize(
    "source",
    ["pytest.skip('x')", "@pytest.mark.xfail\ndef f(): ...", "from pytest import importorskip"],
)
def test_a_skip_is_found(source: str) -> None:
    assert list(skips(ast.parse(source)))


@pytest.mark.parametrize("path", TESTS, ids=named)
def test_a_file_of_tests_has_tests_and_no_two_of_one_name(path: Path) -> None:
    if path.name.startswith("test_"):
        names = [
            node.name
            for node in tree(path).body
            if isinstance(node, ast.FunctionDef) and node.name.startswith("test_")
        ]
        assert names
        assert len(names) == len(set(names))
