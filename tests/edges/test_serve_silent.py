"""A book on a server that takes the connection and says nothing: `serve` never waits for long."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import ExitStack
from datetime import timedelta
from pathlib import Path

import pytest
from support.rounds_out import around_noon, child, sending, stopped, until
from support.silent import Silent

from windowcast.cli.now import clock_from
from windowcast.cli.serve import LEFT_WAITING, Look
from windowcast.problems import StoreProblem


@pytest.fixture
def config(tmp_path: Path) -> Path:
    """An outfit whose morning is due in two hours."""
    return sending(tmp_path / "bees", "http://127.0.0.1:9", "", *around_noon(timedelta(hours=-2)))


def with_book(config: Path, address: str) -> None:
    """Move the outfit's book to an address."""
    path = config / "outfit.toml"
    path.write_text(f'book = "{address}"\n' + path.read_text("utf-8"), "utf-8")


@pytest.fixture
def silent() -> Iterator[Silent]:
    with Silent() as server:
        yield server


def silent_look(config: Path, silent: Silent, look_s: float) -> Look:
    with_book(config, f"postgresql://bees@127.0.0.1:{silent.port}/book")
    clock = clock_from(None)
    return Look(config=str(config), clock=clock, stopped=threading.Event(), look_s=look_s)


def test_a_book_that_is_silent_is_trouble_after_a_while(config: Path, silent: Silent) -> None:
    look = silent_look(config, silent, look_s=1.0)
    began = time.monotonic()
    with pytest.raises(StoreProblem, match="the book did not answer within 1 s; check that its"):
        look.due()
    assert 1.0 <= time.monotonic() - began < 3.0


def test_only_so_many_looks_wait_for_a_silent_book(config: Path, silent: Silent) -> None:
    look = silent_look(config, silent, look_s=0.3)
    for _ in range(LEFT_WAITING + 4):
        with pytest.raises(StoreProblem, match="did not answer"):
            look.due()
    assert len(look.waiting) == LEFT_WAITING
    assert len(silent.taken) <= LEFT_WAITING


def test_a_stop_leaves_a_look_that_waits(config: Path, silent: Silent) -> None:
    look = silent_look(config, silent, look_s=60.0)
    began = time.monotonic()
    threading.Timer(0.5, look.stopped.set).start()
    assert look.due() is None
    assert time.monotonic() - began < 3.0


def test_a_silent_server_is_logged_and_tried_again_and_sigterm_ends_it(
    config: Path, silent: Silent
) -> None:
    path = config / "outfit.toml"
    sound = path.read_text("utf-8")
    address = f"postgresql://bees@127.0.0.1:{silent.port}/book?connect_timeout=3"
    with ExitStack() as stack:
        running = stack.enter_context(child("serve", "--config", config, "--tick", 1))
        assert running.stderr is not None
        assert "serve_began" in running.stderr.readline()
        with_book(config, address)
        assert "trouble text=" in running.stderr.readline()
        tried = len(silent.taken)
        until(lambda: len(silent.taken) > tried)
        path.write_text(sound, "utf-8")
        until(lambda: "trouble_over" in running.stderr.readline())  # type: ignore[union-attr]
        with_book(config, address)
        held = len(silent.taken)
        until(lambda: len(silent.taken) > held)
        began = time.monotonic()
        status, log = stopped(running)
    assert time.monotonic() - began < 5.0
    assert (status, log.split()[-1]) == (0, "serve_ended")
