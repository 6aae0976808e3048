"""The floors hold, and each contract notices when one is broken."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from support.tree import PACKAGE, ROOT

LINT = "from importlinter.cli import lint_imports_command as lint; lint()"


def lint(folder: Path, *contracts: str) -> subprocess.CompletedProcess[str]:
    wanted = [argument for contract in contracts for argument in ("--contract", contract)]
    return subprocess.run(
        [sys.executable, "-c", LINT, "--no-cache", "--no-logo", *wanted],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the package that may be damaged."""
    folder = tmp_path_factory.mktemp("house")
    shutil.copytree(PACKAGE, folder / "windowcast", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", folder)
    return folder


def test_the_floors_hold(house: Path) -> None:
    done = lint(house)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize(
    ("contract", "module", "line"),
    [
        ("floors", "terms/yard.py", "import windowcast.settings"),
        ("floors", "units.py", "import windowcast.times"),
        ("floors", "wording/__init__.py", "import windowcast.notices"),
        ("floors", "attic.py", '"""A room that nobody entered in the plan."""'),
        ("pure-core", "science/window.py", "import os.path"),
        ("pure-core", "planning/ranking.py", "from time import time"),
        ("pure-core", "times.py", "import logging"),
        ("astral-in-sun", "science/window.py", "import astral.sun"),
        ("planning-opens-no-outlook", "planning/ranking.py", "import windowcast.terms.outlook"),
        ("sources-stand-alone", "sources/nws.py", "import windowcast.sources.open_meteo"),
        ("channels-stand-alone", "channels/post.py", "import windowcast.channels.smtp"),
        ("channels-built-in-wiring", "cli/morning.py", "import windowcast.channels.smtp"),
        ("morning-knows-ports-only", "morning.py", "import windowcast.sources.nws"),
        ("morning-knows-ports-only", "daily/run.py", "import windowcast.store.book"),
        ("parsers-are-pure", "sources/wire/__init__.py", "import requests"),
    ],
)
def test_a_broken_floor_is_found(house: Path, contract: str, module: str, line: str) -> None:
    path = house / "windowcast" / module
    before = path.read_bytes() if path.exists() else None
    path.write_text((before or b"").decode() + f"\n{line}\n", encoding="utf-8")
    try:
        done = lint(house, contract)
    finally:
        path.unlink() if before is None else path.write_bytes(before)
    assert done.returncode == 1
    assert "BROKEN" in done.stdout or "attic" in done.stdout


CLOCK = "from datetime import UTC, datetime\n\nNOW = datetime.now(UTC)\n"


@pytest.mark.parametrize(
    ("module", "found"),
    [
        ("windowcast/science/window.py", True),
        ("windowcast/sources/fetch.py", True),
        ("windowcast/morning.py", True),
        ("windowcast/cli/morning.py", False),
    ],
)
def test_the_clock_is_read_in_the_command_line_alone(module: str, found: bool) -> None:
    done = subprocess.run(
        [
            sys.executable,
            "-m",
            "ruff",
            "check",
            "--select=TID251",
            f"--stdin-filename={module}",
            "-",
        ],
        cwd=ROOT,
        input=CLOCK,
        capture_output=True,
        text=True,
        check=False,
    )
    assert ("the clock is an argument" in done.stdout) == found
