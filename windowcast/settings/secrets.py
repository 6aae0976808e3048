"""Secrets that ``outfit.toml`` names, read from the place that it names."""

from __future__ import annotations

from collections.abc import Mapping

from windowcast.problems import ConfigProblem, Fault
from windowcast.settings.sources import SourceSetting
from windowcast.settings.text_files import read_text


def api_key_of(source: SourceSetting, environment: Mapping[str, str]) -> str | None:
    """The customer key of a source, None where it names none; ConfigProblem if it is not there."""
    if source.api_key_env is not None:
        return _plain_key(
            environment.get(source.api_key_env, ""),
            source,
            field="api_key_env",
            place=f"the environment variable {source.api_key_env}",
        )
    if source.api_key_file is not None:
        text = read_text(source.api_key_file, cap_bytes=4096, if_missing="write your key into it")
        place = f"the file {source.api_key_file.name}"
        return _plain_key(text, source, field="api_key_file", place=place)
    return None


def _plain_key(text: str, source: SourceSetting, *, field: str, place: str) -> str:
    key = text.strip()
    if key and key.isascii() and key.isprintable() and " " not in key:
        return key
    found = f"{place} holds no key" if not key else f"{place} holds more than a key"
    raise ConfigProblem(
        [
            Fault(
                file="outfit.toml",
                field=f"{source.name}.{field}",
                found=found,
                cure="put your customer key there, and nothing else",
            )
        ]
    )
