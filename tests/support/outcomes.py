"""Either a value or the sentence with which it was refused: for tests on any input at all."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

T = TypeVar("T")


def value_or_refusal(read: Callable[..., T], *asked: object) -> tuple[T | None, str | None]:
    """(value, None), or (None, the text of the ValueError); anything else raised goes through."""
    try:
        return read(*asked), None
    except ValueError as refusal:
        return None, str(refusal)
