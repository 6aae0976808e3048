"""What can go wrong, as one tree of exceptions.

WindowcastError
├── ConfigProblem      a file the user wrote is wrong; holds every fault found
├── SourceProblem      a weather service failed
│   ├── SourceDown     no answer, or an answer that says no
│   └── SourceGarbled  an answer that cannot be what it claims to be
├── NoForecast         not one yard has a usable forecast
├── NotJudged          a day was asked for that is not among those that are judged
├── StoreProblem       the book cannot be opened, read or written
└── NoticeProblem      a notice could not be written or sent

The text of each is one sentence for the person who can mend it: where, what was found, what is
expected, what to do.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


class WindowcastError(Exception):
    """Root of all faults that the program expects."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One fault in a file of the user's."""

    file: str
    line: int | None = None
    field: str = ""
    found: str
    cure: str

    def __str__(self) -> str:
        """``yards.csv:3: lat: "43,61" has a decimal comma; write 43.61``."""
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        field = f" {self.field}:" if self.field else ""
        return f"{place}:{field} {self.found}; {self.cure}"


class ConfigProblem(WindowcastError):
    """Something in the configuration is wrong; carries all faults, not only the first."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


class SourceProblem(WindowcastError):
    """A weather service failed for one request or one yard."""


class SourceDown(SourceProblem):
    """No answer in time, a refused connection, or a status that means no."""

    def __init__(self, sentence: str, *, status: int | None = None) -> None:
        self.status = status
        super().__init__(sentence)


class SourceGarbled(SourceProblem):
    """An answer came, but it is not usable: wrong form, wrong unit, impossible value."""


class NoForecast(WindowcastError):
    """Not one yard has a usable forecast."""


class NotJudged(WindowcastError):
    """A day was asked for that lies in the past or beyond the days that are judged."""


class StoreProblem(WindowcastError):
    """The book cannot be opened, read or written, or does not hold what was asked for."""


class NoticeProblem(WindowcastError):
    """A notice could not be written or sent; ``lasting`` where another try would not help."""

    def __init__(self, sentence: str, *, lasting: bool = False) -> None:
        self.lasting = lasting
        super().__init__(sentence)
