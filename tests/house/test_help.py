"""What the command line says about itself."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from typing import Any

import pytest
import typer.main
from support.tree import ROOT
from typer.testing import CliRunner

from windowcast.cli import commands  # noqa: F401 - hangs every command on the app
from windowcast.cli.app import app

COMMANDS: dict[str, Any] = typer.main.get_command(app).commands  # type: ignore[attr-defined]

every_command = pytest.mark.parametrize("name", sorted(COMMANDS))


def words(*arguments: str) -> str:
    """What is printed, without the frames that are drawn around it."""
    done = CliRunner(env={"COLUMNS": "100", "NO_COLOR": "1"}).invoke(app, [*arguments])
    assert done.exit_code == 0
    return re.sub(r"[─│╭╮╰╯]", " ", done.stdout).strip()


def test_every_family_of_commands_is_there() -> None:
    assert set(COMMANDS) == {
        "new",
        "import",
        "check",
        "morning",
        "why",
        "run",
        "serve",
        "visit",
        "visits",
        "seen",
        "reports",
        "mites",
        "backup",
        "restore",
        "demo",
        "schema",
    }


@every_command
def test_every_help_ends_in_an_example(name: str) -> None:
    last = words(name, "--help").splitlines()[-1].strip()
    assert last.startswith(f"Example: windowcast {name}")


@every_command
def test_the_example_in_a_help_can_be_typed(name: str) -> None:
    _, _, line = str(COMMANDS[name].epilog).partition(": ")
    program, command, *arguments = shlex.split(line)
    assert (program, command) == ("windowcast", name)
    COMMANDS[name].make_context(name, arguments)


@every_command
def test_every_option_says_what_it_does(name: str) -> None:
    silent = [p.name for p in COMMANDS[name].params if not getattr(p, "help", None)]
    assert silent == []
    assert COMMANDS[name].help


def test_the_help_lists_every_command_and_ends_in_an_example() -> None:
    told = words("--help")
    assert [name for name in COMMANDS if not re.search(rf"^\s*{name}\s", told, re.M)] == []
    assert told.splitlines()[-1].strip() == "Example: windowcast demo"


@pytest.mark.parametrize(
    "program", [["-m", "windowcast"], ["-c", "import windowcast.cli as c; c.main()"]]
)
def test_the_program_starts_as_a_module_and_as_a_script(program: list[str]) -> None:
    done = subprocess.run(
        [sys.executable, *program, "--help"], cwd=ROOT, capture_output=True, check=True, text=True
    )
    assert "Example: windowcast demo" in done.stdout
    assert done.stderr == ""


HEAVY = ("pandas", "requests", "jinja2", "astral", "openpyxl")


def test_help_loads_nothing_heavy() -> None:
    asked = (
        "import sys; sys.argv = ['windowcast', 'morning', '--help']\n"
        "import windowcast.cli as cli\n"
        "try: cli.main()\n"
        f"finally: print(*[m for m in {HEAVY!r} if m in sys.modules], file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", asked], cwd=ROOT, capture_output=True, check=True, text=True
    )
    assert done.stderr.strip() == ""
