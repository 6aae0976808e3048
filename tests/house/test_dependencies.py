"""What the package imports is what it asks for, and the other way round."""

from __future__ import annotations

import ast
import sys
import tomllib
from importlib.metadata import requires

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from support.tree import ROOT, modules, tree

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
WANTED = {canonicalize_name(Requirement(line).name) for line in PROJECT["dependencies"]}
NOT_IMPORTED = {"tzdata"}  # read by the standard library's zoneinfo

# What is imported to name the types of a library that is asked for, and always comes with it.
BROUGHT = {"markupsafe": "jinja2", "urllib3": "requests"}


def imported() -> set[str]:
    names = set()
    for path in modules():
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.Import):
                names |= {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and not node.level:
                names.add(str(node.module).partition(".")[0])
    return {canonicalize_name(name) for name in names - {*sys.stdlib_module_names, "windowcast"}}


def test_everything_imported_is_asked_for() -> None:
    assert imported() - WANTED - set(BROUGHT) == set()


def test_what_is_brought_along_is_always_brought() -> None:
    for brought, bringer in BROUGHT.items():
        assert bringer in WANTED
        needs = [Requirement(line) for line in requires(bringer) or ()]
        assert brought in {canonicalize_name(need.name) for need in needs if not need.marker}


def test_everything_asked_for_is_imported() -> None:
    assert WANTED - NOT_IMPORTED - imported() == set()
