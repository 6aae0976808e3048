"""The bar shows itself on a terminal, after a second, even while one request hangs."""

import io
import sys
import time

import pytest

from windowcast.cli.progress import PATIENCE_S, progress_bar


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self):
        return True


def shown(monkeypatch, stream, wait_s):
    monkeypatch.setattr(sys, "stderr", stream)
    with progress_bar() as bar:
        bar.expect(1)
        time.sleep(wait_s)
        bar.done()
    return stream.getvalue()


def test_a_hanging_request_is_shown_after_a_second(monkeypatch):
    assert "weather services" in shown(monkeypatch, Terminal(), PATIENCE_S + 0.4)


@pytest.mark.parametrize(("stream", "wait_s"), [(Terminal, 0.0), (io.StringIO, PATIENCE_S + 0.4)])
def test_a_quick_morning_and_a_pipe_show_nothing(monkeypatch, stream, wait_s):
    assert shown(monkeypatch, stream(), wait_s) == ""
