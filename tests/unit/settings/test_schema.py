"""JSON Schema of the files, as the models make it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest

from windowcast.settings import settings_schemas
from windowcast.settings.practice import sections
from windowcast.settings.yard_columns import COLUMNS
from windowcast.terms.threshold import provenance_of

SCHEMAS = settings_schemas()


def tables(schema: dict[str, Any]) -> Iterator[dict[str, Any]]:
    yield schema
    yield from schema.get("$defs", {}).values()


def test_there_is_one_for_each_file() -> None:
    assert list(SCHEMAS) == ["outfit", "practice", "label", "yards"]
    assert list(SCHEMAS["yards"]["properties"]) == list(COLUMNS)


@pytest.mark.parametrize("stem", SCHEMAS)
def test_every_key_is_described_and_no_other_is_allowed(stem: str) -> None:
    for table in tables(SCHEMAS[stem]):
        assert table["additionalProperties"] is False
        assert all(key.get("description") for key in table["properties"].values())


@pytest.mark.parametrize("stem", SCHEMAS)
def test_there_is_no_null_since_files_have_none(stem: str) -> None:
    assert "null" not in json.dumps(SCHEMAS[stem])


def test_the_defaults_of_the_practice_are_those_of_the_words() -> None:
    for name, word in sections().items():
        keys = SCHEMAS["practice"]["$defs"][f"{name.capitalize()}Section"]["properties"]
        for _, key, provenance in provenance_of(word):
            bare = provenance.kind == "number"
            assert keys[key]["default"] == (
                float(provenance.default) if bare else provenance.default
            )
            assert keys[key]["type"] == ("number" if bare else "string")


def test_a_label_has_no_defaults() -> None:
    for table in tables(SCHEMAS["label"]):
        assert not any("default" in key for key in table["properties"].values())
