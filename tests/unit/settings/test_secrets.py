"""A customer key comes from the place that ``outfit.toml`` names."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.configs import told

from windowcast.settings import SourceSetting, api_key_of

BY_NAME = SourceSetting(name="open_meteo", api_key_env="METEO_KEY")


def in_file(tmp_path: Path, text: str) -> SourceSetting:
    (tmp_path / "meteo.key").write_text(text)
    return SourceSetting(name="open_meteo", api_key_file=tmp_path / "meteo.key")


def test_a_source_without_a_key_has_none() -> None:
    assert api_key_of(SourceSetting(name="nws"), {}) is None


def test_a_key_is_read_from_its_variable_or_file(tmp_path: Path) -> None:
    assert api_key_of(BY_NAME, {"METEO_KEY": "abc-1"}) == "abc-1"
    assert api_key_of(in_file(tmp_path, "abc-2\n"), {}) == "abc-2"


@pytest.mark.parametrize("value", ["", "  "])
def test_a_variable_that_is_empty_or_not_set_is_told(value: str) -> None:
    for environment in ({}, {"METEO_KEY": value}):
        (sentence,) = told(lambda known=environment: api_key_of(BY_NAME, known))  # type: ignore[misc]
        assert "the environment variable METEO_KEY holds no key" in sentence


@pytest.mark.parametrize("text", ["s3cr3t one", "s3cr3t\ntwo", "s3cr3té"])
def test_what_is_more_than_a_key_is_refused_and_not_repeated(tmp_path: Path, text: str) -> None:
    (sentence,) = told(lambda: api_key_of(in_file(tmp_path, text), {}))
    assert "the file meteo.key holds more than a key" in sentence
    assert "s3cr3t" not in sentence


def test_a_key_file_that_has_gone_is_told(tmp_path: Path) -> None:
    gone = SourceSetting(name="open_meteo", api_key_file=tmp_path / "gone.key")
    (sentence,) = told(lambda: api_key_of(gone, {}))
    assert sentence == "gone.key: is missing; write your key into it"
