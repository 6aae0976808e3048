"""``windowcast visit`` and ``visits`` on a small outfit, with a terminal or without one."""

from __future__ import annotations

import os
import pty
import re
import subprocess
import sys
import termios
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from support.configs import write_config
from support.office import Ran, windowcast
from support.tree import ROOT

from windowcast.settings import load_settings
from windowcast.store.book import Book, open_book
from windowcast.terms.visit import Visit

NOW = "2027-01-12T11:20-08:00"
ZONE = 'zone = "America/Los_Angeles"\n'
SOURCES = """\
[[sources]]
name = "files"
folder = "nothing-recorded"
"""
CREWS = """\
[[crews]]
name = "A"
start = "08:00"
end = "17:00"
days = ["Mon", "Tue", "Wed"]

[[crews]]
name = "River"
start = "08:00"
end = "17:00"
days = ["Thu"]
"""


def outfit(folder: Path, *, zone: str = ZONE, **texts: str) -> Path:
    """A configuration whose only source has nothing recorded, so that no test asks the network."""
    head = 'name = "Vellamoor Bees"\ncontact = "office@vellamoor.example"\n'
    (folder / "nothing-recorded").mkdir(parents=True, exist_ok=True)
    sound = {"outfit": f"{head}{zone}{CREWS}{SOURCES}", "label": "", "practice": ""}
    return write_config(folder, **{**sound, **texts})


def typed(folder: Path, *words: str, at: str = NOW) -> Ran:
    """A command in this process, where nobody can be asked; words to stderr on one line each."""
    return windowcast(*words, "--config", folder, "--at", at)


def said(ran: Ran) -> str:
    """What was said, without the frames that are drawn around wrong use, on one line."""
    return " ".join(re.sub(r"[─│╭╮╰╯]", " ", ran.stderr).split())


def booked(folder: Path) -> tuple[Visit, ...]:
    with closing(open_at(folder)) as book:
        return book.visits()


def open_at(folder: Path) -> Book:
    """The outfit's book."""
    return open_book(load_settings(folder).outfit.book)


@dataclass(frozen=True)
class Asked:
    """What became of a command on a terminal, and all that was seen there."""

    returncode: int
    seen: str


def on_a_terminal(folder: Path, words: Sequence[str], typing: str, columns: int = 200) -> Asked:
    """A command in a process of its own whose streams are a terminal of so many columns."""
    ours, theirs = pty.openpty()
    termios.tcsetwinsize(theirs, (24, columns))
    os.write(ours, typing.encode())
    worker = _on(theirs, folder, words)
    status = worker.wait(timeout=60)
    seen = os.read(ours, 65536).decode()
    os.close(theirs)
    os.close(ours)
    return Asked(status, seen)


def answered_after(
    folder: Path, words: Sequence[str], between: Callable[[], object], typing: str
) -> Asked:
    """A command on a terminal that is answered only after something else was done meanwhile."""
    ours, theirs = pty.openpty()
    worker = _on(theirs, folder, words)
    seen = ""
    while "[y/N]" not in seen:
        seen += os.read(ours, 65536).decode()
    between()
    os.write(ours, typing.encode())
    status = worker.wait(timeout=60)
    seen += os.read(ours, 65536).decode()
    os.close(theirs)
    os.close(ours)
    return Asked(status, seen)


def _on(terminal: int, folder: Path, words: Sequence[str]) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-m", "windowcast", *words, "--config", str(folder), "--at", NOW],
        cwd=ROOT,
        env={name: value for name, value in os.environ.items() if name not in ("COLUMNS", "LINES")},
        stdin=terminal,
        stdout=terminal,
        stderr=terminal,
    )


def run_alone(folder: Path, before: str, *words: str) -> subprocess.CompletedProcess[str]:
    """A command in a process of its own, after a line of Python that makes its life hard."""
    code = f"{before}\nimport windowcast.cli as c; c.main()"
    return subprocess.run(
        [sys.executable, "-c", code, *words, "--config", str(folder), "--at", NOW],
        cwd=ROOT,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


def typed_together(folder: Path, words: Sequence[str], count: int) -> list[int]:
    """The same command in so many processes that begin at one moment: their statuses."""
    code = (
        "import sys, windowcast.cli as c, windowcast.cli.commands, windowcast.settings\n"
        "import windowcast.store.book, windowcast.wiring, windowcast.wording.visit_document\n"
        "print('ready', flush=True)\nsys.stdin.readline()\nc.main()"
    )
    command = [sys.executable, "-c", code, *words, "--config", str(folder), "--at", NOW]
    workers = [
        subprocess.Popen(
            command, cwd=ROOT, text=True, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        for _ in range(count)
    ]  # fmt: skip
    for worker in workers:
        assert worker.stdout is not None
        assert worker.stdout.readline() == "ready\n"
    for worker in workers:
        assert worker.stdin is not None
        worker.stdin.write("go\n")
        worker.stdin.flush()
    for worker in workers:
        worker.communicate(timeout=60)
    return [worker.returncode for worker in workers]
