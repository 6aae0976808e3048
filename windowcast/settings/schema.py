"""JSON Schema of the four files of a configuration."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

from windowcast.settings.label import LabelFile
from windowcast.settings.outfit import OutfitFile
from windowcast.settings.practice import practice_model
from windowcast.settings.yard_columns import YardRow


def settings_schemas() -> dict[str, dict[str, Any]]:
    """The schema of each file by its stem; that of ``yards`` is the schema of one row."""
    models: dict[str, type[BaseModel]] = {
        "outfit": OutfitFile,
        "practice": practice_model(),
        "label": LabelFile,
        "yards": YardRow,
    }
    return {
        stem: {"$schema": _DRAFT, **_without_null(model.model_json_schema())}
        for stem, model in models.items()
    }


_DRAFT = "https://json-schema.org/draft/2020-12/schema"


def _without_null(node: Any) -> Any:
    """A schema without null: TOML and CSV have none, a key is there or left out."""
    if isinstance(node, list):
        return [_without_null(item) for item in node]
    if not isinstance(node, dict):
        return node
    kinds = [kind for kind in node.get("anyOf", ()) if kind != {"type": "null"}]
    own = {
        key: _without_null(value)
        for key, value in node.items()
        if not (key == "anyOf" and len(kinds) == 1) and not (key == "default" and value is None)
    }
    return {**_without_null(kinds[0]), **own} if len(kinds) == 1 else own
