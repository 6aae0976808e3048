"""Names of machines, and which of them are this one."""

from __future__ import annotations

import pytest

from windowcast.settings.hosts import is_host, is_loopback


@pytest.mark.parametrize(
    "host", ["localhost", "LOCALHOST.", "127.0.0.1", "127.255.255.255", "::1", "0:0:0:0:0:0:0:1"]
)
def test_these_are_this_machine(host: str) -> None:
    assert is_host(host)
    assert is_loopback(host)


@pytest.mark.parametrize(
    "host",
    ["126.255.255.255", "128.0.0.0", "0.0.0.0", "::", "::2", "localhost.example", "192.168.1.4",
     "127.0.0.1.example", "mail.vellamoor.example", "2130706433", "0x7f.1", "0177.0.0.1"],
)  # fmt: skip
def test_these_are_hosts_and_not_known_to_be_this_machine(host: str) -> None:
    assert is_host(host)
    assert not is_loopback(host)


@pytest.mark.parametrize(
    "text",
    ["", ".", "a..b", "-a.example", "mail.example:25", "[::1]", "::g", "a b", "a/b", "ä.example",
     "a@b", "a\n", "x" * 64, ".".join(["abc"] * 64)],
)  # fmt: skip
def test_these_are_no_hosts(text: str) -> None:
    assert not is_host(text)


def test_a_name_has_at_most_253_characters() -> None:
    longest = ".".join(["a" * 63] * 3 + ["a" * 61])
    assert is_host(longest)
    assert not is_host(longest + "a")
