"""Weather as bytes: nothing else than what was packed comes out."""

from __future__ import annotations

import zlib
from pathlib import Path

import numpy as np
import pytest
import sqlalchemy as sa
from support.books import NOW, closing_book, report, visit
from support.outlooks import outlook

from windowcast.problems import StoreProblem
from windowcast.store.book import Book
from windowcast.store.packing import FORM, packed, unpacked
from windowcast.terms.outlook import VARIABLES
from windowcast.times import as_hour, hour_index

WHOLE = packed(outlook(count=30))


@pytest.mark.parametrize(
    "content",
    [
        b"",
        WHOLE[:3],
        b"XXXX" + WHOLE[4:],
        WHOLE[:-1],
        WHOLE[:100] + bytes([WHOLE[100] ^ 1]) + WHOLE[101:],
        FORM + zlib.compress(b""),
        FORM + zlib.compress(b"\xff\xff\xff\xff{}"),
        FORM + zlib.compress(b"\x02\x00\x00\x00{}"),
        FORM + zlib.compress(zlib.decompress(WHOLE[4:])[:-4]),
    ],
)
def test_damaged_weather_is_never_taken_for_weather(content: bytes) -> None:
    with pytest.raises(
        ValueError, match=r"packed weather (is damaged|of a form that is not known)"
    ):
        unpacked(content)


def test_a_variable_of_a_later_windowcast_is_left_out_and_a_missing_one_is_not_told() -> None:
    body = zlib.decompress(WHOLE[4:]).replace(b'"sun_wm2"', b'"sun_wm3"')
    found = unpacked(FORM + zlib.compress(body))
    assert set(found.arrays) == set(VARIABLES)
    assert np.isnan(found.arrays["sun_wm2"]).all()
    assert found.arrays["temp_c"][0, 0] == 6.0


def test_a_week_of_a_yard_takes_a_few_kilobytes() -> None:
    rng = np.random.default_rng(5)
    told = {name: np.round(rng.random(168), 2) for name in VARIABLES[:10]}
    assert len(packed(outlook(count=168, **told))) < 6000


def damaged(book: Book, place: Path, table: str, column: str, value: object) -> None:
    book.close()
    engine = sa.create_engine(f"sqlite:///{place}")
    with engine.begin() as connection:
        connection.execute(sa.text(f"UPDATE {table} SET {column} = :value"), {"value": value})
    engine.dispose()


@pytest.mark.parametrize(
    ("table", "column", "value", "what"),
    [
        ("visits", "day", "2027-13-01", "visit 1"),
        ("visits", "treated", '[{"kind": "hives"}]', "visit 1"),
        ("visits", "logged_at", "yesterday", "visit 1"),
        ("reports", "kind", "weather", "report 1"),
        ("reports", "seen", '{"stage": "some"}', "report 1"),
        ("kept_hours", "packed", b"WCO1 and noise", "the weather kept of kiln"),
        ("kept_outlooks", "packed", b"", "the outlook kept of kiln"),
    ],
)
def test_a_row_that_cannot_be_is_named(
    tmp_path: Path, table: str, column: str, value: object, what: str
) -> None:
    with closing_book("sqlite", tmp_path) as (book, place):
        book.add_visit(visit(), NOW)
        book.add_report(report(), NOW)
        book.keep_hours([outlook()], NOW)
        book.keep_outlooks([outlook()], NOW)
        assert isinstance(place, Path)
        damaged(book, place, table, column, value)
        with pytest.raises(StoreProblem, match=rf"is damaged: {what} cannot be read .*; restore"):
            ask_for_everything(book)


def ask_for_everything(book: Book) -> None:
    book.visits()
    book.reports()
    book.hours_of("kiln", hour_index(as_hour(NOW) - 9, 9))
    book.outlook_of("kiln", NOW.replace(year=2026))
