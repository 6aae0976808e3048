"""Processes that work on one book at once: ``python -m support.book_workers ACT BOOK NAME``.

A worker says "ready" when everything is imported, waits for a line, works, and prints the result.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack, closing
from datetime import date, time, timedelta
from pathlib import Path

from support.books import NOW, visit
from support.tree import ROOT

from windowcast.store.book import Book, open_book
from windowcast.terms.kept import Holder, SlotKey

SLOTS = 200
VISITS = 40


def claim(book: Book, name: str) -> Iterator[int]:
    """The slots that this process got."""
    for number in range(SLOTS):
        slot = SlotKey(day=date(2026, 7, 1) + timedelta(days=number), at=time(6))
        holder = Holder(host=name, pid=os.getpid())
        if book.claim_slot(slot, holder, NOW, timedelta(minutes=5)) is not None:
            yield number


def write(book: Book, name: str) -> Iterator[int]:
    """The numbers of the visits that this process logged."""
    for _ in range(VISITS):
        yield book.add_visit(visit(person=name), NOW).number or 0


ACTS = {"claim": claim, "write": write}


def together(act: str, place: Path | str, names: list[str]) -> dict[str, list[int]]:
    """What each of several processes did that began at the same moment."""
    with ExitStack() as stack:
        workers = {name: stack.enter_context(_worker(act, place, name)) for name in names}
        for worker in workers.values():
            assert worker.stdout is not None
            assert worker.stdout.readline() == "ready\n"
        for worker in workers.values():
            assert worker.stdin is not None
            worker.stdin.write("go\n")
            worker.stdin.flush()
        return {name: _outcome(worker) for name, worker in workers.items()}


def running(*words: str) -> list[str]:
    """The command line of a module of this folder."""
    return [sys.executable, "-m", *words]


def surroundings() -> dict[str, str]:
    """An environment in which the program and this folder are found, with one thread each."""
    path = os.pathsep.join([str(ROOT), str(ROOT / "tests")])
    return {**os.environ, "PYTHONPATH": path, "OPENBLAS_NUM_THREADS": "1"}


def _worker(act: str, place: Path | str, name: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        running("support.book_workers", act, str(place), name),
        env=surroundings(),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )


def _outcome(worker: subprocess.Popen[str]) -> list[int]:
    out, _ = worker.communicate(timeout=120)
    assert worker.returncode == 0
    return [int(number) for number in out.split()]


def main() -> None:
    act, place, name = sys.argv[1:]
    book = open_book(place if "://" in place else Path(place), busy_s=60.0)
    with closing(book):
        sys.stdout.write("ready\n")
        sys.stdout.flush()
        sys.stdin.readline()
        sys.stdout.write(" ".join(str(number) for number in ACTS[act](book, name)))


if __name__ == "__main__":
    main()
