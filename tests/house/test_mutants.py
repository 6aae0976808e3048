"""Hand-made damage to the program, each of which the tests must notice.

The list is ``mutants.toml`` beside this file. That it still fits the code is asked in every run;
the mutants themselves are let loose by ``pytest -m mutants``, each on a copy of the project.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from support.tree import ROOT

MUTANTS: list[dict[str, Any]] = tomllib.loads(
    (ROOT / "tests" / "house" / "mutants.toml").read_text("utf-8")
)["mutant"]
FOLDERS = ("windowcast", "tests", "config", "fixtures")

each_mutant = pytest.mark.parametrize("mutant", MUTANTS, ids=lambda mutant: mutant["says"])


def passing(project: Path, tests: Sequence[str]) -> bool:
    """Whether some tests pass on a copy of the project; anything but pass or fail is an error."""
    env = {key: value for key, value in os.environ.items() if key != "PYTEST_ADDOPTS"}
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", *tests],
        cwd=project,
        env={**env, "PYTHONPATH": str(project), "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    broken = done.returncode not in (0, 1) or "\nERROR " in done.stdout
    assert not broken, done.stdout + done.stderr
    return done.returncode == 0


def test_there_are_twenty_mutants_and_no_two_alike() -> None:
    assert len(MUTANTS) >= 20
    assert len({mutant["says"] for mutant in MUTANTS}) == len(MUTANTS)
    assert len({(mutant["file"], mutant["new"]) for mutant in MUTANTS}) == len(MUTANTS)


@each_mutant
def test_a_mutant_fits_the_code(mutant: dict[str, Any]) -> None:
    text = (ROOT / mutant["file"]).read_text("utf-8")
    assert text.count(mutant["old"]) == 1, f"not exactly once: {mutant['old']}"
    assert mutant["new"] != mutant["old"]
    assert mutant["tests"]
    assert [name for name in mutant["tests"] if not (ROOT / name).is_file()] == []


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the project on which every test that a mutant names passes."""
    copy = tmp_path_factory.mktemp("mutants") / "project"
    for folder in FOLDERS:
        shutil.copytree(ROOT / folder, copy / folder, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", copy)
    assert passing(copy, sorted({name for mutant in MUTANTS for name in mutant["tests"]}))
    return copy


@pytest.mark.mutants
@each_mutant
def test_a_mutant_is_noticed(mutant: dict[str, Any], project: Path) -> None:
    path = project / mutant["file"]
    sound = path.read_text("utf-8")
    path.write_text(sound.replace(mutant["old"], mutant["new"]), "utf-8")
    try:
        assert not passing(project, mutant["tests"]), f"nobody noticed: {mutant['says']}"
    finally:
        path.write_text(sound, "utf-8")


@pytest.mark.mutants
def test_the_copy_is_the_code_under_test(project: Path) -> None:
    path = project / "windowcast" / "__init__.py"
    sound = path.read_text("utf-8")
    path.write_text("raise AssertionError('the copy was loaded')\n", "utf-8")
    try:
        with pytest.raises(AssertionError, match="the copy was loaded"):
            passing(project, ["tests/unit/test_units.py"])
    finally:
        path.write_text(sound, "utf-8")
