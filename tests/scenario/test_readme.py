"""The README says what the program does: its examples are run and its words are looked up."""

from __future__ import annotations

import re
import shlex
from pathlib import Path
from typing import Any

import pytest
import typer.main
from support import readme
from support.configs import write_config

from windowcast.cli import commands  # noqa: F401 - hangs every command on the app
from windowcast.cli.app import CONFIG_WRONG, SOMETHING_MISSING, TAKEN, app
from windowcast.settings import load_settings
from windowcast.settings.sources import SOURCES
from windowcast.settings.yard_columns import COLUMNS

COMMANDS: dict[str, Any] = typer.main.get_command(app).commands  # type: ignore[attr-defined]
TEXT = readme.README.read_text("utf-8")
PROSE = re.sub(r"^```.*?^```$", "", TEXT, flags=re.M | re.S)
IN_CODE = re.findall(r"`([^`\n]+)`", PROSE)
TYPED = [line for block in readme.blocks("sh") for line in block.splitlines()]
CALLS = [line for line in (*TYPED, *IN_CODE) if re.match(r"windowcast [a-z]", line)]


def test_the_notice_is_what_the_program_prints() -> None:
    (block,) = readme.blocks("text")
    assert block == readme.printed("morning")


def test_the_table_of_why_is_what_the_program_prints() -> None:
    (block,) = readme.blocks("txt")
    assert block == readme.why_table()


def test_every_command_is_named() -> None:
    assert {line.split()[1] for line in CALLS} == set(COMMANDS)


@pytest.mark.parametrize("line", CALLS)
def test_a_command_can_be_typed(line: str) -> None:
    _, name, *arguments = shlex.split(line)
    COMMANDS[name].make_context(name, arguments, resilient_parsing=not arguments)


def test_every_option_exists() -> None:
    known = {option for c in COMMANDS.values() for p in c.params for option in p.opts}
    named = {word.split()[0] for word in IN_CODE if word.startswith("--")}
    assert len(named) >= 4
    assert named - known - {"--help"} == set()


def test_every_file_that_is_named_as_a_path_exists() -> None:
    paths = {word for word in IN_CODE if re.fullmatch(r"[\w.-]+(/[\w.-]+)+", word)}
    paths |= {line.split()[1] for line in TYPED if line.startswith("sh ")}
    paths |= set(re.findall(r"\]\(([\w./-]+)\)", PROSE))
    assert {"deploy/demo", "deploy/test", "DEVELOPERS.md", "windowcast/science"} <= paths
    assert [path for path in sorted(paths) if not (readme.TOP / path).exists()] == []


def test_the_exit_statuses_are_those_of_the_program() -> None:
    (sentence,) = re.findall(r"Exit status: (.*?)\. ", TEXT)
    told = [int(clause.split()[0]) for clause in sentence.split("; ")]
    assert told == list(range(TAKEN + 1))
    assert f"{SOMETHING_MISSING} done, but with a blind yard" in sentence
    assert f"{CONFIG_WRONG} the configuration is wrong" in sentence


def test_the_example_files_are_a_sound_configuration(tmp_path: Path) -> None:
    texts = {re.match(r"# (\w+)\.toml\n", block)[1]: block for block in readme.blocks("toml")}  # type: ignore[index]
    assert set(texts) == {"outfit", "practice", "label"}
    settings = load_settings(write_config(tmp_path, yards=readme.blocks("csv")[0], **texts))
    assert [yard.key for yard in settings.yards] == ["heron-slough", "kiln"]
    assert [source.name for source in settings.outfit.sources] == ["nws", "station_daily"]
    assert settings.practice.wind.none_from_mps == pytest.approx(12 * 0.44704)
    assert settings.label.min_days_between == 14


def test_every_column_of_yards_is_told() -> None:
    assert [column for column in COLUMNS if f"`{column}`" not in TEXT] == []


def test_every_source_is_told() -> None:
    assert [name for name in SOURCES if f"| `{name}` |" not in TEXT] == []
