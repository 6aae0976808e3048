"""``[[posts]]`` of ``outfit.toml``: programs that get the document of each morning."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated, Any
from urllib.parse import SplitResult, urlsplit

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from windowcast.settings.hosts import is_host, is_loopback
from windowcast.settings.kept_secrets import place_slips, variable_of
from windowcast.settings.readings import one_line, path_text
from windowcast.settings.sources import resolved
from windowcast.settings.spelling import Slip, printable

_LONGEST = 1000  # characters of an address; some hold a long secret
_EXAMPLE = 'write one such as "https://screen.vellamoor.example/mornings"'


@dataclass(frozen=True, slots=True, kw_only=True)
class PostSetting:
    """A program that gets the document. Its address may be a secret and is never printed whole."""

    name: str
    url: str = field(repr=False)
    token_env: str | None = None
    token_file: Path | None = None

    @property
    def host(self) -> str:
        """The part of the address that may be shown."""
        return urlsplit(self.url).hostname or ""


def post_url(value: object) -> str:
    """The address of a post; no complaint repeats it."""
    url = value.strip() if isinstance(value, str) else ""
    if not url:
        raise Slip("is not a web address", _EXAMPLE)
    if len(url) > _LONGEST:
        raise Slip(f"has {len(url)} characters", f"shorten it to {_LONGEST}")
    if not (url.isascii() and url.isprintable()) or set(url) & set(' "<>\\^`{|}'):
        raise Slip("has a character that no web address has", "write it in plain letters")
    parts = _parts(url)
    if parts.username is not None or parts.password is not None:
        cure = "take it out and name the place of a token with token_env or token_file"
        raise Slip("holds a name or a password", cure)
    if "#" in url:
        raise Slip("has a part after #, which no server gets to see", "end the address before it")
    return url


def _parts(url: str) -> SplitResult:
    """A web address in its parts, its host one that can be."""
    try:
        parts = urlsplit(url)
        host, port = parts.hostname or "", parts.port
    except ValueError as error:
        raise Slip("is not a web address", _EXAMPLE) from error
    if parts.scheme not in ("http", "https") or not is_host(host) or port == 0:
        raise Slip("is not a web address", _EXAMPLE)
    return parts


class PostTable(BaseModel):
    """One program that gets the document of each morning, as JSON."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    name: Annotated[str, BeforeValidator(one_line(30))] = Field(
        description="name of the post, as the book and messages show it", examples=["shop-screen"]
    )
    url: Annotated[str, BeforeValidator(post_url)] = Field(
        description="its address, https; http only on this machine or with allow_http",
        examples=["https://screen.vellamoor.example/mornings"],
    )
    allow_http: bool = Field(
        False, description="true lets the document travel without encryption", examples=[True]
    )
    token_env: Annotated[str | None, BeforeValidator(variable_of("SCREEN_TOKEN"))] = Field(
        None,
        description="environment variable that holds the token which the address demands",
        examples=["SCREEN_TOKEN"],
    )
    token_file: Annotated[str | None, BeforeValidator(path_text)] = Field(
        None,
        description="file that holds the token and nothing else",
        examples=["screen.token"],
    )


def post_setting(table: PostTable, folder: Path) -> PostSetting:
    """The word of one table; paths are relative to the folder of ``outfit.toml``."""
    return PostSetting(
        name=table.name,
        url=table.url,
        token_env=table.token_env,
        token_file=resolved(table.token_file, folder),
    )


def post_slips(told: Mapping[str, Any]) -> Iterator[tuple[str, Slip]]:
    """What the keys of one post say wrong together; asked of the raw table."""
    yield from place_slips("token", told)
    host = _in_the_clear(told.get("url"))
    if host is None or told.get("allow_http") is True:
        return
    name = told.get("name")
    who = f'"{printable(name)}"' if isinstance(name, str) else "it"
    yield (
        "url",
        Slip(
            f"{who} would go to {printable(host)} without encryption",
            "write https://, or allow_http = true where nobody can listen on the way",
        ),
    )


def _in_the_clear(url: object) -> str | None:
    """The host to which an address that is right by itself leads in the clear over a network."""
    try:
        parts = urlsplit(post_url(url))
    except Slip:
        return None
    host = parts.hostname or ""
    return host if parts.scheme == "http" and not is_loopback(host) else None
