"""Keys, passwords and tokens come from the places that ``outfit.toml`` names."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.configs import told

from windowcast.settings import (
    MailSetting,
    PostSetting,
    SourceSetting,
    api_key_of,
    password_of,
    token_of,
)

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
    assert sentence == (
        "outfit.toml: open_meteo.api_key_file: the file gone.key is missing; write your key into it"
    )


def mail(**place: object) -> MailSetting:
    usual = {"host": "x", "port": 25, "security": "none", "sender": "a@b.example", "to": ()}
    return MailSetting(**{**usual, **place})  # type: ignore[arg-type]


def post(**place: object) -> PostSetting:
    return PostSetting(name="barn", url="https://x.example", **place)  # type: ignore[arg-type]


def test_mail_and_posts_need_no_secret() -> None:
    assert password_of(mail(), {"P": "x"}) is None
    assert token_of(post(), {"T": "x"}) is None


def test_a_password_is_read_from_its_variable_or_file(tmp_path: Path) -> None:
    (tmp_path / "p").write_bytes("kóś pass 42\r\n".encode())
    assert password_of(mail(user="me", password_env="P"), {"P": "a b"}) == "a b"
    assert password_of(mail(user="me", password_file=tmp_path / "p"), {}) == "kóś pass 42"


def test_a_token_is_read_from_its_variable_or_file(tmp_path: Path) -> None:
    (tmp_path / "t").write_text("abc.def-1\n")
    assert token_of(post(token_env="T"), {"T": "abc"}) == "abc"
    assert token_of(post(token_file=tmp_path / "t"), {}) == "abc.def-1"


@pytest.mark.parametrize("text", ["s3cr3t\ntwo", "s3cr3t\0", "s3cr3t\x1b", "s3cr3t\udc80"])
def test_what_is_more_than_a_password_is_refused_and_not_repeated(text: str) -> None:
    (sentence,) = told(lambda: password_of(mail(user="me", password_env="P"), {"P": text}))
    assert sentence == (
        "outfit.toml: mail.password_env: the environment variable P holds more than a password;"
        " put your password there, and nothing else"
    )


@pytest.mark.parametrize("text", ["s3cr3t one", "s3cr3t\ntwo", "s3cr3té", "Bearer s3cr3t"])
def test_what_is_more_than_a_token_is_refused_and_not_repeated(tmp_path: Path, text: str) -> None:
    (tmp_path / "t").write_text(text, encoding="utf-8")
    (sentence,) = told(lambda: token_of(post(token_file=tmp_path / "t"), {}))
    assert sentence == (
        "outfit.toml: posts.barn.token_file: the file t holds more than a token;"
        " put your token there, and nothing else"
    )


@pytest.mark.parametrize(
    ("content", "found"),
    [(None, "is missing"), (b"", "holds no token"), (b"\xff", "has a byte"), (b" " * 5000, "4 kB")],
)
def test_a_file_that_holds_no_token_is_told_with_its_key(
    tmp_path: Path, content: bytes | None, found: str
) -> None:
    if content is not None:
        (tmp_path / "t").write_bytes(content)
    (sentence,) = told(lambda: token_of(post(token_file=tmp_path / "t"), {}))
    assert sentence.startswith("outfit.toml: posts.barn.token_file: the file t ")
    assert found in sentence


def test_a_folder_in_the_place_of_a_password_is_told(tmp_path: Path) -> None:
    (sentence,) = told(lambda: password_of(mail(user="me", password_file=tmp_path), {}))
    assert sentence.startswith("outfit.toml: mail.password_file: the file ")
    assert "is a folder" in sentence
