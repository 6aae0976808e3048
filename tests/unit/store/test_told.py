"""Notices that were told: when first, when last, with which text."""

from __future__ import annotations

import hashlib

from support.books import HOUR, NOW

from windowcast.store.book import Book
from windowcast.store.telling import hash_of
from windowcast.terms.kept import Told


def test_what_was_never_told_is_not_in_the_book(book: Book) -> None:
    assert book.told("warm spell, kiln") is None


def test_a_notice_remembers_when_it_was_first_and_last_told(book: Book) -> None:
    book.mark_told({"warm spell, kiln": "one", "frost, kiln": "two"}, NOW)
    book.mark_told({"warm spell, kiln": "three"}, NOW + HOUR)
    assert book.told("warm spell, kiln") == Told(
        identity="warm spell, kiln",
        first_told=NOW,
        last_told=NOW + HOUR,
        text_hash=hash_of("three"),
    )
    frost = book.told("frost, kiln")
    assert frost is not None
    assert frost.last_told == NOW


def test_the_hash_is_that_of_the_text_and_another_text_has_another() -> None:
    assert hash_of("6 °C") == hashlib.sha256("6 °C".encode()).hexdigest()
    assert hash_of("6 °C") != hash_of("7 °C")
