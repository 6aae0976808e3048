"""Opening a book only to read it."""

from contextlib import closing

import pytest
from support.books import NOW, visit

from windowcast.problems import StoreProblem
from windowcast.store.book import open_book
from windowcast.store.engine import engine_for, writing
from windowcast.store.looking import book_to_read
from windowcast.store.tables import VERSION_TABLE


def test_where_there_is_no_book_none_is_made(tmp_path):
    assert book_to_read(tmp_path / "book.sqlite") is None
    assert list(tmp_path.iterdir()) == []


def test_a_book_is_read(tmp_path):
    path = tmp_path / "book.sqlite"
    with closing(open_book(path)) as book:
        book.add_visit(visit(), NOW)
    before = path.read_bytes()
    with closing(book_to_read(path)) as book:
        assert [item.yard_key for item in book.visits()] == ["kiln"]
    assert path.read_bytes() == before


@pytest.mark.parametrize(("version", "sentence"), [
    ("0000", "is a database but no book"), ("9999", "made by a newer windowcast"),
    ("0001", "run `windowcast visits` once"),
])  # fmt: skip
def test_a_book_of_another_version_is_refused_with_the_cure(tmp_path, version, sentence):
    path = tmp_path / "book.sqlite"
    open_book(path).close()
    engine = engine_for(path)
    with writing(engine) as connection:
        connection.exec_driver_sql(f"UPDATE {VERSION_TABLE} SET version_num = '{version}'")
    engine.dispose()
    with pytest.raises(StoreProblem, match=sentence):
        book_to_read(path)
    assert list(tmp_path.iterdir()) == [path]
