"""Names of machines in a network, as they stand in settings."""

from __future__ import annotations

import ipaddress
import re

_NAME = re.compile(r"[A-Za-z0-9_]([A-Za-z0-9_-]{0,62})(\.[A-Za-z0-9_-]{1,63})*\.?")
_LONGEST = 253  # characters of a name, RFC 1035 section 2.3.4


def is_host(text: str) -> bool:
    """Whether a text can be the name or the address of a machine, without a port."""
    if ":" in text:
        return _address(text) is not None
    return len(text) <= _LONGEST and _NAME.fullmatch(text) is not None


def is_loopback(host: str) -> bool:
    """Whether a name means this machine and no other, whatever a name server says."""
    address = _address(host)
    if address is None:
        return host.casefold().rstrip(".") == "localhost"
    return address.is_loopback


def _address(text: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    try:
        return ipaddress.ip_address(text)
    except ValueError:
        return None
