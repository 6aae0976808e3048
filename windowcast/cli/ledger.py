"""What the commands that keep records have in common: tables in and out, and a question."""

from __future__ import annotations

import os
import stat
import sys
from pathlib import Path
from typing import Annotated

import typer

from windowcast.cli.app import WRONG_USE, say
from windowcast.cli.morning import put, write_whole
from windowcast.problems import ConfigProblem, Fault

CAP_BYTES = 16 * 1024 * 1024

Undo = Annotated[
    int | None, typer.Option("--undo", metavar="N", help="Strike out the one with this number.")
]
Export = Annotated[
    str | None, typer.Option("--export", metavar="FILE", help="Write a CSV table; - is stdout.")
]
Import = Annotated[
    str | None,
    typer.Option("--import", metavar="FILE", help="Add what a CSV table has more; - is stdin."),
]
Yes = Annotated[bool, typer.Option("--yes", help="Do it without asking.")]


def demand_one(**options: object) -> None:
    """Refuse two options of which each is an act of its own."""
    given = [f"--{name}" for name, value in options.items() if value not in (None, False)]
    if len(given) > 1:
        raise typer.BadParameter(f"{' and '.join(given)} are two acts; give one of them")


def agreed(question: str, *, yes: bool) -> bool:
    """The answer of a person; wrong use where nobody can be asked."""
    if yes:
        return True
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        say("nothing was changed, as nobody can be asked here; run it again with --yes")
        raise typer.Exit(WRONG_USE)
    answer = typer.confirm(question, default=False, err=True)
    if not answer:
        say("nothing was changed")
    return answer


def table_bytes(file: str) -> bytes:
    """The bytes of a table: a plain file of reasonable size, or what comes in for "-"."""
    from windowcast.settings.spelling import printable

    name = printable(file)
    try:
        if file == "-":
            body = sys.stdin.buffer.read(CAP_BYTES + 1)
        elif stat.S_ISREG(os.stat(file).st_mode):
            with open(file, "rb") as opened:
                body = opened.read(CAP_BYTES + 1)
        else:
            raise _refused(name, "is not a plain file", "name a CSV table")
    except FileNotFoundError as error:
        raise _refused(name, "there is no such file", "check the name") from error
    except (OSError, ValueError) as error:
        why = (error.strerror if isinstance(error, OSError) else None) or "a name that cannot be"
        raise _refused(name, f"cannot be read ({why})", "check who may read it") from error
    if len(body) > CAP_BYTES:
        found = f"is larger than {CAP_BYTES // 2**20} MB"
        raise _refused(name, found, "check that it is the right file")
    return body


def put_table(text: str, file: str, what: str) -> None:
    """A table to a file, said in a sentence, or to stdout for "-"."""
    if file == "-":
        put(text)
        return
    if not Path(file).name:
        raise typer.BadParameter(f'"{file}" names no file; write one such as table.csv')
    write_whole(Path(file), text)
    say(f"{what} written to {file}")


def _refused(file: str, found: str, cure: str) -> ConfigProblem:
    return ConfigProblem([Fault(file=file, found=found, cure=cure)])
