"""DEVELOPERS.md names what is there: floors, words, arrays, payloads; decisions are numbered."""

from __future__ import annotations

import ast
import re
import tomllib

import pytest
from support.tree import ROOT, modules, tree

from windowcast.terms.advice import CAPS, PART_CODES, VERDICTS
from windowcast.terms.outlook import VARIABLES
from windowcast.terms.threshold import GRADES

TEXT = (ROOT / "DEVELOPERS.md").read_text("utf-8")
FIXTURES = ROOT / "fixtures"
DECISIONS = re.findall(r"^(\d+)\. (.*)$", TEXT.partition("\n## Decisions\n")[2], re.M)


def words() -> list[str]:
    """Every word of the terms but thresholds by section, which ``Practice`` stands for."""
    classes = [
        n.name for m in modules("terms") for n in tree(m).body if isinstance(n, ast.ClassDef)
    ]
    return [name for name in classes if name == "Practice" or not name.endswith("Practice")]


def test_the_floors_are_those_that_are_held() -> None:
    with (ROOT / "pyproject.toml").open("rb") as file:
        contracts = tomllib.load(file)["tool"]["importlinter"]["contracts"]
    (held,) = [contract["layers"] for contract in contracts if contract["id"] == "floors"]
    (drawn,) = re.findall(r"^```\n( __main__\n.*?)^```$", TEXT, re.M | re.S)
    floors = [re.split(r"\s{3,}|┐|│|┘", line.strip())[0].strip() for line in drawn.splitlines()]
    assert floors == held


@pytest.mark.parametrize("name", [*VARIABLES, *PART_CODES, *VERDICTS, *CAPS])
def test_the_glossary_has_every_array_and_code(name: str) -> None:
    assert f"`{name}`" in TEXT


@pytest.mark.parametrize("name", words())
def test_the_glossary_has_every_word(name: str) -> None:
    assert f"`{name}`" in TEXT


def test_the_glossary_has_the_grades() -> None:
    assert f"| grades | {'; '.join(GRADES)} |" in TEXT


def test_decisions_are_numbered_in_order_and_told_in_three_parts() -> None:
    assert [int(number) for number, _ in DECISIONS] == list(range(1, len(DECISIONS) + 1))
    parts = ("*Context:*", "*Choice:*", "*Given up:*")
    assert [n for n, text in DECISIONS if any(text.count(part) != 1 for part in parts)] == []


def test_a_decision_that_the_code_names_is_there() -> None:
    named = {
        int(number)
        for path in modules()
        for number in re.findall(r"decision (\d+)", path.read_text("utf-8"))
    }
    assert named <= {int(number) for number, _ in DECISIONS}


def test_every_folder_and_file_of_fixtures_is_accounted_for() -> None:
    account = (FIXTURES / "README.md").read_text("utf-8")
    files = [path for path in FIXTURES.rglob("*") if path.is_file() and path.name != "README.md"]
    silent = [
        path.relative_to(FIXTURES).as_posix()
        for path in files
        if path.parent.name != "demo" and f"`{path.name}`" not in account
    ]
    assert files
    assert silent == []
    assert {f"## {p.parent.relative_to(FIXTURES).as_posix()}" for p in files} <= set(
        account.splitlines()
    )
