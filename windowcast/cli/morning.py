"""``windowcast morning``: the notice of this morning."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from windowcast.cli.app import DONE, SOMETHING_MISSING, ConfigDir, app, say
from windowcast.cli.now import At, now_or
from windowcast.cli.progress import progress_bar
from windowcast.problems import NoticeProblem

if TYPE_CHECKING:
    from datetime import datetime

    from windowcast.settings import Settings
    from windowcast.store.book import Book
    from windowcast.terms.advice import Morning

AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON document instead of text.")]
HtmlFile = Annotated[
    str | None,
    typer.Option(
        "--html", metavar="FILE", help="Also write the notice as one self-contained page."
    ),
]


@app.command(epilog="Example: windowcast morning --config bees --html today.html")
def morning(
    config: ConfigDir = ".", at: At = None, as_json: AsJson = False, html: HtmlFile = None
) -> None:
    """Say which days and hours of the coming week suit treating, yard by yard, and why."""
    from windowcast.settings import load_settings

    settings = load_settings(Path(config))
    told = morning_of(settings, now_or(at))
    show(told, settings.outfit.units, as_json=as_json, html=html)
    raise typer.Exit(SOMETHING_MISSING if told.blind else DONE)


def morning_of(settings: Settings, now: datetime) -> Morning:
    """Ask the sources that the settings name, with a progress bar if that takes a while."""
    from windowcast.morning import run_morning
    from windowcast.wiring import wire

    with progress_bar() as bar, memory(settings) as book:
        wired = wire(settings, bar, book)
        with wired.fetcher:
            return run_morning(wired.desk, now)


@contextmanager
def memory(settings: Settings) -> Iterator[Book | None]:
    """The book to read while a command runs, None where there is none yet."""
    from windowcast.wiring import memory_of

    book = memory_of(settings)
    try:
        yield book
    finally:
        if book is not None:
            book.close()


def show(told: Morning, units: str, *, as_json: bool, html: str | None) -> None:
    """Print the notice, and write the page where one is wanted."""
    from windowcast.notices.console import ConsoleNotice
    from windowcast.notices.page import PageNotice
    from windowcast.wording.document import document_text

    if html:
        demand_page(Path(html))
        write_whole(Path(html), PageNotice(units=units).write(told))
        say(f"page written to {html}")
    put(document_text(told, units) if as_json else ConsoleNotice(units=units).write(told))


def put(text: str) -> None:
    """Data to stdout, as UTF-8 whatever the terminal says it can show."""
    sys.stdout.buffer.write(text.encode())
    sys.stdout.buffer.flush()


def demand_page(path: Path) -> None:
    """Refuse to write a page over a file that is none, such as the book."""
    try:
        with path.open("rb") as file:
            start = file.read(64)
    except (FileNotFoundError, IsADirectoryError, NotADirectoryError):
        return
    except OSError as error:
        raise NoticeProblem(f"{path}: cannot be read ({error.strerror}); choose another") from error
    if start.strip() and not start.lstrip().lower().startswith(b"<!doctype html"):
        raise NoticeProblem(f"{path}: is no page and is not replaced; choose another name")


def write_whole(path: Path, text: str) -> None:
    """Write a file whole or not at all; what is no plain file is never replaced."""
    if path.exists() and not path.is_file():
        raise NoticeProblem(f"{path}: is no plain file and is not replaced; choose another name")
    fresh: Path | None = None
    try:
        handle, name = tempfile.mkstemp(prefix=f".{path.name[:40]}.", dir=path.parent)
        fresh = Path(name)
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
            file.write(text)
        fresh.chmod(path.stat().st_mode & 0o777 if path.exists() else 0o644)
        fresh.replace(path)
    except OSError as error:
        if fresh is not None:
            fresh.unlink(missing_ok=True)
        raise NoticeProblem(
            f"{path}: cannot be written ({error.strerror or error}); choose another place or"
            " make room"
        ) from error
