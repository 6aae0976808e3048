"""Keys that name the place of a secret: an environment variable or a file, never the secret."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from windowcast.settings.spelling import Slip

_VARIABLE = re.compile(r"[A-Za-z_][A-Za-z0-9_]{0,99}")

# Each secret, and the keys that name its place.
KEPT = {secret: (f"{secret}_env", f"{secret}_file") for secret in ("api_key", "password", "token")}


def variable_of(example: str) -> Callable[[object], str]:
    """A reader of names of environment variables; a secret in their place is not repeated."""

    def variable(value: object) -> str:
        if isinstance(value, str) and _VARIABLE.fullmatch(value):
            return value
        raise Slip(
            "is not the name of an environment variable",
            f'write the name only, such as "{example}"; the secret itself stays out of this file',
        )

    return variable


def place_slips(secret: str, told: Mapping[str, Any]) -> Iterator[tuple[str, Slip]]:
    """A slip where both places of a secret are named."""
    one, other = KEPT[secret]
    if one in told and other in told:
        yield other, Slip(f"stands beside {one}", "keep one of the two")
