"""A configuration with a book of its own, and the commands that people type into it."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

from support.configs import OUTFIT, write_config
from support.office import Ran, windowcast

from windowcast.settings import Settings, load_settings
from windowcast.terms.report import Report
from windowcast.wiring import book_of

ZONE = 'zone = "America/Los_Angeles"\n'


def outfit(folder: Path, *, zone: str = ZONE, **texts: str) -> Path:
    """The usual outfit in a folder; its yards are in a zone that outfit.toml names."""
    return write_config(folder, outfit=zone + texts.pop("outfit", OUTFIT), **texts)


def typed(folder: Path, *words: object) -> Ran:
    """One command on that outfit."""
    return windowcast(*words, "--config", folder)


def plain(text: str) -> str:
    """What was said, without frames and line breaks."""
    return " ".join(text.replace("│", " ").split())


def settings_of(folder: Path) -> Settings:
    return load_settings(folder)


def booked(folder: Path) -> tuple[Report, ...]:
    """The reports in the outfit's book."""
    with closing(book_of(load_settings(folder))) as book:
        return book.reports()
