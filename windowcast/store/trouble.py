"""What a database says when it fails, as one sentence for the person who can mend it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, IntegrityError, ProgrammingError

from windowcast.problems import StoreProblem

BUSY = "is held by another windowcast that writes; try again in a minute"
_FULL = "has no room to grow; make room on its disk and try again, nothing in it was lost"
_READ_ONLY = "cannot be written; give this user the right to write the file and its folder"
_DAMAGED = "is damaged; restore a copy of it"

# The beginning of an error's name or number -> what was found; what to do.
_SQLITE = {
    "SQLITE_BUSY": BUSY,
    "SQLITE_LOCKED": BUSY,
    "SQLITE_FULL": _FULL,
    "SQLITE_READONLY": _READ_ONLY,
    "SQLITE_CANTOPEN": (
        "cannot be opened; check that it is a file in a folder in which this user may write"
    ),
    "SQLITE_NOTADB": "is a file but no book; move it away, or restore a copy of the book",
    "SQLITE_CORRUPT": _DAMAGED,
    "SQLITE_IOERR": "cannot be read or written, its disk fails; check the disk and try again",
}
_POSTGRES = {
    "55P03": BUSY,
    "40P01": BUSY,
    "57014": "took too long over one request; look at the load of its server, then try again",
    "53100": _FULL,
    "25006": _READ_ONLY,
    "42501": "cannot be written; give this user rights on its schema",
}


@contextmanager
def in_plain_words(where: str) -> Iterator[None]:
    """Whatever the database or the disk refuses inside becomes a StoreProblem that names the book.

    A broken constraint or a wrong statement is a fault of the program and passes as it is.
    """
    try:
        yield
    except (IntegrityError, ProgrammingError) as error:
        if getattr(error.orig, "sqlstate", None) not in _POSTGRES:
            raise
        raise StoreProblem(f"the book {where} {_found(error.orig)}") from error
    except DBAPIError as error:
        raise StoreProblem(f"the book {where} {_found(error.orig)}") from error
    except sqlite3.Error as error:
        raise StoreProblem(f"the book {where} {_found(error)}") from error
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise StoreProblem(
            f"the book {where} cannot be read or written ({reason}); check that its folder exists"
            " and that this user may write in it"
        ) from error


def _found(error: BaseException | None) -> str:
    name = getattr(error, "sqlite_errorname", None) or ""
    state = getattr(error, "sqlstate", None) or ""
    for known in (words for start, words in _SQLITE.items() if name.startswith(start)):
        return known
    if state in _POSTGRES:
        return _POSTGRES[state]
    first = (str(error).strip().splitlines() or [type(error).__name__])[0]
    return f"does not answer as it should ({first}); check that it can be reached, then try again"
