"""A new book for a test, once in a file and once in PostgreSQL."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from support.books import fresh_book

from windowcast.store.book import Book

KINDS = ["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)]


@pytest.fixture(params=KINDS)
def book(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Book]:
    with fresh_book(request.param, tmp_path) as new:
        yield new
