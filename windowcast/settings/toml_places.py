"""TOML text with the line of every key, and its syntax faults in plain words.

The standard library tells no lines. They are found from outside: a TOML text is a row of
statements, and each of them can be read by itself.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from pathlib import Path
from typing import Any

from windowcast.problems import Fault
from windowcast.settings.spelling import printable
from windowcast.settings.text_files import read_text
from windowcast.settings.toml_slips import MOST_CHARS, slip_in

CAP_BYTES = 128 * 1024
MOST_MENDED = 100

KeyPath = Sequence[str | int]
Steps = tuple[str | int, ...]

MOST_DEEP = 8  # steps of a path: no file of ours has more than four
MOST_ENDS = 200  # tries to find the end of a statement of several lines

_CLOSES = re.compile(r"""[\]}]|\"{3}|'{3}""").search  # only such a line can end one
_BARE_TIMES = re.compile(r"=\s*\[[\s0-9:,]*[0-9]:[0-9]{2}[\s0-9:,]*\]\s*(#.*)?$").search
_AT_LINE = re.compile(r"\s*\((?:at line (\d+), column \d+|at end of document)\)\s*$")


class Document:
    """One TOML file: its table, the line of each key, and what is wrong with its syntax.

    ``table`` is None where the syntax is so broken that the meaning cannot be told.
    """

    def __init__(self, text: str, *, file: str) -> None:
        self.file = file
        lines, self.table, self.faults = _read(text.split("\n"), file)
        self._places = {} if self.table is None else places(lines)

    def line(self, path: KeyPath) -> int | None:
        """Line on which the statement of a key begins; of its table where the key is missing."""
        sizes = range(len(path), 0, -1)
        return next((n for size in sizes if (n := self._places.get(tuple(path[:size])))), None)

    def fault(self, path: KeyPath, *, found: str, cure: str) -> Fault:
        """A fault at a key."""
        return Fault(
            file=self.file, line=self.line(path), field=dotted(path), found=found, cure=cure
        )


def read_document(path: Path, *, if_missing: str) -> Document:
    """The TOML file at a path; ConfigProblem where it cannot even be read as text."""
    return Document(read_text(path, cap_bytes=CAP_BYTES, if_missing=if_missing), file=path.name)


def dotted(path: KeyPath) -> str:
    """``crews[2].start``; tables of a list are counted from 1, as people count."""
    words = [f"[{step + 1}]" if isinstance(step, int) else f".{printable(step)}" for step in path]
    return "".join(words).removeprefix(".")


def places(lines: Sequence[str]) -> dict[Steps, int]:
    """The line on which each key, table and entry of a sound TOML text is first told."""
    found: dict[Steps, int] = {}
    latest: dict[Steps, int] = {}  # of each list of tables, the number of the last
    here: Steps = ()
    for line, is_heading, told in _statements(lines):
        keys = list(_paths(told))
        if is_heading:
            here = _heading(keys[-1], latest)
            keys = [()]
        for size in range(1, len(here) + 1):
            found.setdefault(here[:size], line)
        for key in keys:
            found.setdefault((*here, *key), line)
    return found


def _heading(path: Steps, latest: dict[Steps, int]) -> Steps:
    """The table that a heading opens; ``latest`` is carried on from heading to heading."""
    opens_entry = isinstance(path[-1], int)
    *above, last = path[:-1] if opens_entry else path
    opened: Steps = ()
    for step in above:
        opened = (*opened, step)
        if opened in latest:
            opened = (*opened, latest[opened])
    opened = (*opened, last)
    if opens_entry:
        latest[opened] = latest.get(opened, -1) + 1
        opened = (*opened, latest[opened])
    return opened


def _statements(lines: Sequence[str]) -> Iterator[tuple[int, bool, dict[str, Any]]]:
    """Line, whether it is a heading, and what it tells, of each statement by itself.

    Ends at a statement whose end is not found: no line is better than a wrong one.
    """
    start = 0
    while start < len(lines):
        end, told = _statement(lines, start)
        if told is None:
            return
        if told:
            yield start + 1, lines[start].lstrip().startswith("["), told
        start = end


def _statement(lines: Sequence[str], start: int) -> tuple[int, dict[str, Any] | None]:
    """Where the statement of a line ends, and what it tells; None where no end is found."""
    ends = (n for n in range(start + 1, len(lines) + 1) if n == start + 1 or _CLOSES(lines[n - 1]))
    for end in islice(ends, MOST_ENDS):
        told, _ = _parsed(lines[start:end])
        if told is not None:
            return end, told
    return start, None


def _paths(told: object, deep: int = MOST_DEEP) -> Iterator[Steps]:
    """Every path into a value that is not too long, each before those that it begins."""
    entries: Iterable[tuple[str | int, object]] = ()
    if isinstance(told, dict):
        entries = told.items()
    elif isinstance(told, list):
        entries = enumerate(told)
    for step, inner in entries:
        yield (step,)
        if deep > 1:
            yield from ((step, *rest) for rest in _paths(inner, deep - 1))


def _read(
    lines: list[str], file: str
) -> tuple[list[str], dict[str, Any] | None, tuple[Fault, ...]]:
    """Lines as mended, their table and the syntax faults; each faulty line is mended once."""
    faults = list(_long_lines(lines, file))
    if faults:
        return lines, None, tuple(faults)
    mended: set[int] = set()
    while True:
        table, told = _parsed(lines)
        if table is not None:
            return lines, table, tuple(faults)
        number = _blamed(lines, told)
        plain = _AT_LINE.sub("", told)
        slip = slip_in(lines[number - 1], plain)
        if number in mended or len(mended) == MOST_MENDED:
            return lines, None, tuple(faults) or (_unread(file, number, plain),)
        unclosed = plain == "Unclosed array" and not _BARE_TIMES(lines[number - 1])
        if unclosed or plain.startswith("too "):
            return lines, None, (*faults, _unread(file, number, plain))
        faults.append(
            Fault(file=file, line=number, field=slip.key, found=slip.found, cure=slip.cure)
        )
        if slip.mended is None:
            return lines, None, tuple(faults)
        lines = [*lines[: number - 1], slip.mended, *lines[number:]]
        mended.add(number)


def _long_lines(lines: Sequence[str], file: str) -> Iterator[Fault]:
    """Lines that nobody typed; a reader of TOML takes minutes for some of them."""
    for number, line in enumerate(lines, 1):
        if len(line) > MOST_CHARS:
            found = f"has a line of {len(line)} characters"
            cure = f"break it, or shorten it to {MOST_CHARS}"
            yield Fault(file=file, line=number, found=found, cure=cure)


def _unread(file: str, number: int, told: str) -> Fault:
    if told == "Unclosed array":
        found = "a list that begins above is not closed, or lacks a comma between two entries"
        return Fault(file=file, line=number, found=found, cure="close it with ]")
    found = f"cannot be read as TOML ({printable(told)})"
    return Fault(file=file, line=number, found=found, cure="write key = value, one on each line")


def _parsed(lines: Sequence[str]) -> tuple[dict[str, Any] | None, str]:
    try:
        return tomllib.loads("\n".join(lines)), ""
    except RecursionError:
        return None, "too deep a nest of brackets (at end of document)"
    except tomllib.TOMLDecodeError as error:
        return None, str(error)
    except ValueError:  # Python does not read whole numbers of thousands of digits
        long = next(n for n, line in enumerate(lines, 1) if re.search("[0-9_]{4000}", line))
        return None, f"too long a number (at line {long}, column 1)"


def _blamed(lines: Sequence[str], told: str) -> int:
    """The line that the reader blames; where it only says "the end", the last suspicious one."""
    match = _AT_LINE.search(told)
    if match is not None and match.group(1) is not None:
        return min(int(match.group(1)), len(lines))
    numbered = [(number, line) for number, line in enumerate(lines, 1) if line.strip()]
    odd = [n for n, line in numbered if line.count('"') % 2 or line.count("'") % 2]
    return (odd or [n for n, _ in numbered] or [1])[-1]
