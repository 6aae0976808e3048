"""Units of the trade stay at the edges, and names say something."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from support.tree import definitions, modules, named, room, tree

# MM_PER_IN is a ratio, at home in units.py and used by parsers; nothing is measured in it.
TRADE_UNIT = re.compile(r"\w(?<!_per)_(f|in|mph|mi)$", re.I)
ROOMS_OF_THE_TRADE = {"settings", "wording", "units", "notices"}

EMPTY_WORDS = {"util", "utils", "helper", "helpers", "manager", "handler"}
EMPTY_NAMES = EMPTY_WORDS | {"data", "info", "process"}
NAMES_OF_LIBRARIES = {"proxy_manager_for"}  # overridden, so the name is not ours to choose


def identifiers(node: ast.AST) -> Iterator[str]:
    """Every name that a module makes or uses: variables, arguments, attributes, definitions."""
    for part in ast.walk(node):
        match part:
            case ast.Name(id=name) | ast.Attribute(attr=name) | ast.arg(arg=name):
                yield name
            case ast.FunctionDef(name=name) | ast.AsyncFunctionDef(name=name):
                yield name
            case ast.ClassDef(name=name) | ast.alias(asname=str(name)):
                yield name
            case ast.keyword(arg=str(name)) | ast.ExceptHandler(name=str(name)):
                yield name
            case ast.MatchAs(name=str(name)) | ast.MatchStar(name=str(name)):
                yield name


def made(node: ast.AST) -> Iterator[str]:
    """The names that a module offers: its definitions and their arguments."""
    for part in ast.walk(node):
        match part:
            case ast.FunctionDef(name=name) | ast.ClassDef(name=name) | ast.arg(arg=name):
                yield name


def words(name: str) -> set[str]:
    """``RetryHandler`` and ``retry_handler`` are both {"retry", "handler"}."""
    return {part.lower() for part in re.findall(r"[A-Z]?[a-z0-9]+|[A-Z]+", name)}


def trade_units(path: Path) -> list[str]:
    return sorted({name for name in identifiers(tree(path)) if TRADE_UNIT.search(name)})


@pytest.mark.parametrize("path", modules(), ids=named)
def test_units_of_the_trade_stay_at_the_edges(path: Path) -> None:
    if room(path) not in ROOMS_OF_THE_TRADE:
        assert trade_units(path) == []


@pytest.mark.parametrize("path", modules(), ids=named)
def test_names_say_something(path: Path) -> None:
    ours = set(made(tree(path))) - NAMES_OF_LIBRARIES
    empty = [name for name in ours if name in EMPTY_NAMES or words(name) & EMPTY_WORDS]
    assert sorted(empty) == []
    assert path.stem not in EMPTY_NAMES


@pytest.mark.parametrize(
    "source",
    [
        "temp_f = 1", "def f(rain_in): ...", "x.wind_mph", "f(lane_mi=1)", "class A: low_F = 1",
        "from a import b as b_in", "def to_f(): ...", "for depth_in in range(3): ...",
    ],
)  # fmt: skip
def test_the_rule_finds_every_way_to_name_a_unit_of_the_trade(source: str) -> None:
    assert any(TRADE_UNIT.search(name) for name in identifiers(ast.parse(source)))


@pytest.mark.parametrize(
    "source", ["half = 1", "x = MM_PER_IN", "main = 2", "built_in_c = 3", "f = 1", "min_c"]
)
def test_the_rule_leaves_other_endings_alone(source: str) -> None:
    assert not any(TRADE_UNIT.search(name) for name in identifiers(ast.parse(source)))


def test_the_units_themselves_are_found_where_they_are_at_home() -> None:
    here = [path for path in modules("units") if trade_units(path)]
    assert [named(path) for path in here] == ["windowcast/units.py"]
    assert any(name == "f_to_c" for name, _ in definitions(tree(here[0])))
