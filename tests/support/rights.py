"""What happens to somebody without rights, also where the tests run as root."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager

NOBODY = 65534


@contextmanager
def without_privileges() -> Iterator[None]:
    """Act as a user who may do only what the permissions of files say."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(0)
