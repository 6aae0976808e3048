"""The doors of the core: who tells the weather, and who takes a notice."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol

from windowcast.terms.advice import Morning
from windowcast.terms.outlook import Answer
from windowcast.terms.yard import Yard


class Source(Protocol):
    """A weather service. It answers for as many of the yards as it can and never raises for one.

    ``reach_h`` is how many hours ahead it may tell at most, 0 for a record of the past.
    """

    @property
    def name(self) -> str:
        """Its name in ``outfit.toml`` and in every notice."""

    @property
    def reach_h(self) -> int:
        """Hours ahead of now that it may tell; 0 for a record of the past."""

    def outlooks(self, yards: Sequence[Yard], now: datetime) -> Answer:
        """What it tells about these yards at ``now`` (aware, UTC)."""


class Notice(Protocol):
    """A way to show a morning to a person or a program."""

    def write(self, morning: Morning) -> str:
        """The whole notice as text."""
