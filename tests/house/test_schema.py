"""The exported schemas are those of the program."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from support.tree import ROOT
from typer.testing import CliRunner

from windowcast.cli import commands  # noqa: F401 - hangs every command on the app
from windowcast.cli.app import app

SCHEMAS = ROOT / "config" / "schema"


@pytest.fixture(scope="module")
def exported(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("schema")
    done = CliRunner().invoke(app, ["schema", "--out", str(folder)])
    assert done.exit_code == 0
    return folder


def test_the_same_schemas_are_in_the_tree(exported: Path) -> None:
    here, there = ({path.name for path in folder.iterdir()} for folder in (SCHEMAS, exported))
    assert here == there, "run: windowcast schema --out config/schema"
    assert len(here) >= 4


def test_every_schema_is_up_to_date(exported: Path) -> None:
    stale = [
        path.name
        for path in sorted(exported.iterdir())
        if path.read_bytes() != (SCHEMAS / path.name).read_bytes()
    ]
    assert stale == [], "run: windowcast schema --out config/schema"


def test_every_field_of_a_schema_has_a_type() -> None:
    for path in sorted(SCHEMAS.glob("*.json")):
        properties = json.loads(path.read_text("utf-8"))["properties"]
        assert properties
        for name, field in properties.items():
            typed = field.keys() & {"type", "$ref", "anyOf", "enum", "const"}
            assert typed, f"{path.name}: {name}"
