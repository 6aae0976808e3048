"""Every public name says what it is; every rule of science says where it comes from."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest
from support.tree import definitions, is_public, modules, named, tree

SOURCED = re.compile(r"^References\n-{10}$|\b[Rr]ule of this project\b", re.M)


def public(path: Path) -> list[tuple[str, ast.AST, str]]:
    return [
        (name, node, ast.get_docstring(node) or "")
        for name, node in definitions(tree(path))
        if is_public(name)
    ]


@pytest.mark.parametrize("path", modules(), ids=named)
def test_every_public_definition_has_a_docstring(path: Path) -> None:
    assert ast.get_docstring(tree(path)), "the module has no docstring"
    assert [name for name, _, text in public(path) if not text] == []


@pytest.mark.parametrize("path", modules("science", "planning"), ids=named)
def test_every_public_function_of_the_rules_has_its_source(path: Path) -> None:
    bare = [
        name
        for name, node, text in public(path)
        if isinstance(node, ast.FunctionDef) and "." not in name and not SOURCED.search(text)
    ]
    assert bare == [], 'add a References section, or "Rule of this project" with its reasoning'


@pytest.mark.parametrize("path", modules("science", "planning"), ids=named)
def test_a_rule_with_arguments_tells_them_and_what_it_returns(path: Path) -> None:
    silent = [
        name
        for name, node, text in public(path)
        if isinstance(node, ast.FunctionDef)
        and "." not in name
        and node.args.args + node.args.kwonlyargs
        and not ("Parameters\n-------" in text and "Returns\n-------" in text)
    ]
    assert silent == []
