"""What a database says, in plain words; what is a fault of ours stays one."""

from __future__ import annotations

import sqlite3

import pytest
from sqlalchemy.exc import IntegrityError, OperationalError, ProgrammingError
from support.outlooks import outlook

from windowcast.problems import StoreProblem
from windowcast.store.blocks import laid
from windowcast.store.trouble import in_plain_words


class ServerError(Exception):
    """An error of a database server with its five letters."""

    def __init__(self, sqlstate: str, text: str = "") -> None:
        self.sqlstate = sqlstate
        super().__init__(text)


@pytest.mark.parametrize(
    ("sqlstate", "sentence"),
    [
        ("55P03", "the book here is held by another windowcast that writes"),
        ("40P01", "the book here is held by another windowcast that writes"),
        ("53100", "the book here has no room to grow"),
        ("25006", "the book here cannot be written"),
        ("57P01", "the book here does not answer as it should (going down); check"),
    ],
)
def test_what_a_server_refuses_is_said_in_plain_words(sqlstate: str, sentence: str) -> None:
    error = OperationalError("INSERT", {}, ServerError(sqlstate, "going down\nCONTEXT: more"))
    with pytest.raises(StoreProblem) as said, in_plain_words("here"):
        raise error
    assert str(said.value).startswith(sentence)
    assert "CONTEXT" not in str(said.value)


def test_a_right_that_is_missing_on_a_server_is_said() -> None:
    error = ProgrammingError("INSERT", {}, ServerError("42501"))
    with (
        pytest.raises(StoreProblem, match="give this user rights on its schema"),
        in_plain_words("here"),
    ):
        raise error


@pytest.mark.parametrize("kind", [IntegrityError, ProgrammingError])
def test_a_fault_of_the_program_stays_one(kind: type[IntegrityError]) -> None:
    error = kind("INSERT", {}, sqlite3.IntegrityError("UNIQUE constraint failed"))
    with pytest.raises(kind), in_plain_words("here"):
        raise error


def test_an_error_without_a_name_is_told_as_it_is() -> None:
    with (
        pytest.raises(StoreProblem, match=r"the book here does not answer as it should \(odd\)"),
        in_plain_words("here"),
    ):
        raise sqlite3.OperationalError("odd")


def test_no_hours_hold_nothing() -> None:
    one = outlook(count=5)
    empty = laid("kiln", one.hours[:0], [one])
    assert (empty.hours.size, empty.origins) == (0, ())
