"""The units of systemd start commands that exist, with options that they have."""

from __future__ import annotations

import re
import shlex
from configparser import ConfigParser
from pathlib import Path

import pytest
import typer
from support.tree import ROOT, named

import windowcast.cli.commands  # noqa: F401 - hangs the commands on the app
from windowcast.cli.app import app
from windowcast.clock import GRACE_S

UNITS = sorted((ROOT / "deploy").glob("windowcast*.service"))
PAGE = (ROOT / "deploy" / "README.md").read_text("utf-8")
HARDENING = {
    "NoNewPrivileges": "true",
    "PrivateTmp": "true",
    "ProtectHome": "true",
    "ProtectSystem": "strict",
    "StateDirectory": "windowcast",
    "User": "windowcast",
}


def unit(path: Path) -> ConfigParser:
    parser = ConfigParser(interpolation=None, delimiters=("=",))
    parser.optionxform = str  # type: ignore[assignment,method-assign]  # keys keep their case
    parser.read_string(path.read_text("utf-8"))
    return parser


def options_of(command: str) -> set[str]:
    group = typer.main.get_command(app)
    found = group.commands[command]  # type: ignore[attr-defined]
    return {option for parameter in found.params for option in parameter.opts}


def unknown(line: str) -> list[str]:
    """The command and options of a command line that this windowcast does not have."""
    program, command, *words = shlex.split(line)
    assert program.rpartition("/")[2] == "windowcast"
    group = typer.main.get_command(app)
    if command not in group.commands:  # type: ignore[attr-defined]
        return [command]
    return [w for w in words if w.startswith("--") and w not in options_of(command)]


@pytest.mark.parametrize("path", UNITS, ids=named)
def test_a_service_starts_a_command_that_exists(path: Path) -> None:
    assert unknown(unit(path)["Service"]["ExecStart"]) == []


@pytest.mark.parametrize("line", ["windowcast walk", "windowcast run --if-dew"])
def test_a_command_that_does_not_exist_is_found(line: str) -> None:
    assert len(unknown(line)) == 1


@pytest.mark.parametrize("path", UNITS, ids=named)
def test_a_service_may_do_little(path: Path) -> None:
    service = unit(path)["Service"]
    assert {key: service.get(key) for key in HARDENING} == HARDENING


@pytest.mark.parametrize("path", UNITS, ids=named)
def test_the_path_of_the_password_is_that_of_the_service(path: Path) -> None:
    text = path.read_text("utf-8")
    assert f'"/run/credentials/{path.name}/smtp-password"' in text
    assert "#LoadCredential=smtp-password:" in text


def test_the_services_are_those_of_the_page_and_the_timer_starts_one() -> None:
    assert [path.name for path in UNITS] == ["windowcast-serve.service", "windowcast.service"]
    assert all(path.name in PAGE for path in UNITS)
    timer = unit(ROOT / "deploy" / "windowcast.timer")
    assert timer["Timer"]["Persistent"] == "true"
    assert (ROOT / "deploy" / "windowcast.service").is_file()


def test_a_stop_leaves_the_child_its_time() -> None:
    service = unit(ROOT / "deploy" / "windowcast-serve.service")["Service"]
    assert float(service["TimeoutStopSec"]) > GRACE_S + 5
    assert service["Restart"] == "on-failure"


def test_every_command_of_the_page_exists() -> None:
    lines = re.findall(r"/bin/(windowcast [a-z].*?)(?: >|\n|$)", PAGE)
    assert len(lines) == 5
    assert [line for line in lines if unknown(line)] == []
