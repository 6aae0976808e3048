"""What happens by itself, as a document and as lines: when, kept where, sent to whom."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

from pydantic import BaseModel, ConfigDict, Field

from windowcast.settings.outfit import Outfit

_CONFIG = ConfigDict(frozen=True, extra="forbid")


class MailEntry(BaseModel):
    """The mail server, and who gets the morning by mail."""

    model_config = _CONFIG
    host: str
    port: int
    security: str
    sender: str
    user: str | None
    to: tuple[str, ...]


class PostEntry(BaseModel):
    """A program that gets the document; the rest of its address may be a secret."""

    model_config = _CONFIG
    name: str
    host: str


class Routine(BaseModel):
    """What happens by itself."""

    model_config = _CONFIG
    run_at: tuple[str, ...] = Field(description="local times of the morning run, earliest first")
    zone: str | None = Field(description="the zone on whose clock they are read")
    book: str = Field(description="file of the book, or its address without query and password")
    mail: MailEntry | None = None
    posts: tuple[PostEntry, ...] = ()


def routine_of(outfit: Outfit) -> Routine:
    """What ``outfit.toml`` says of it; no secret, and no whole address of a post."""
    mail = outfit.mail
    return Routine(
        run_at=tuple(f"{at:%H:%M}" for at in outfit.run_at),
        zone=outfit.tz if outfit.run_at else None,
        book=spoken_book(outfit.book),
        mail=None
        if mail is None
        else MailEntry(
            host=mail.host,
            port=mail.port,
            security=mail.security,
            sender=mail.sender,
            user=mail.user,
            to=mail.to,
        ),
        posts=tuple(PostEntry(name=post.name, host=post.host) for post in outfit.posts),
    )


def spoken_book(book: Path | str) -> str:
    """The book as messages name it: its file, or its address up to the question mark."""
    if isinstance(book, Path):
        return str(book)
    parts = urlsplit(book)
    return parts._replace(query="", fragment="").geturl()


def routine_lines(told: Routine) -> Iterator[str]:
    """The same for a person."""
    times = f"{', '.join(told.run_at)} by the clock of {told.zone}" if told.run_at else ""
    yield f"runs by itself: {times or 'never, as run_at names no time'}"
    yield f"book: {told.book}"
    if told.mail is not None:
        mail = told.mail
        way = "without encryption" if mail.security == "none" else f"with {mail.security}"
        yield f"mail to {len(mail.to)}, from {mail.sender} through {mail.host}:{mail.port} {way}"
        yield from (f"  {address}" for address in mail.to)
    if told.posts:
        yield f"posts to {len(told.posts)}"
        yield from (f"  {post.name} at {post.host}" for post in told.posts)
    if told.mail is None and not told.posts:
        yield "sent to nobody: neither [mail] nor [[posts]] is in outfit.toml"
