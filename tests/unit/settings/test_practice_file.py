"""The commented ``practice.toml`` is made from the words and checked in as it is made."""

from __future__ import annotations

import re
import tomllib

from support.configs import document
from support.tree import ROOT

from windowcast.settings.practice import practice_of, sections
from windowcast.settings.practice_file import practice_file_text
from windowcast.terms.practice import Practice
from windowcast.terms.threshold import provenance_of


def test_the_file_in_the_tree_is_the_one_that_the_words_make() -> None:
    assert (ROOT / "config" / "practice.toml").read_text("utf-8") == practice_file_text()


def test_the_file_changes_nothing_as_it_stands() -> None:
    assert practice_of(document(practice_file_text(), "practice.toml")).changes == ()


def test_every_threshold_stands_in_it_with_default_meaning_source_and_grade() -> None:
    flat = re.sub(r"\n#   ", " ", practice_file_text()).casefold()
    for name, word in sections().items():
        assert f"\n[{name}]\n" in flat
        for _, key, provenance in provenance_of(word):
            assert re.search(
                rf'^#{key} = "?{re.escape(provenance.default.casefold())}"?$', flat, re.M
            )
            for told in (provenance.says, provenance.source, provenance.grade.partition(" (")[0]):
                assert told.casefold() in flat


def test_taking_the_mark_away_switches_every_threshold_on() -> None:
    switched_on = re.sub(r"^#(?=\w)", "", practice_file_text(), flags=re.M)
    table = tomllib.loads(switched_on)
    assert {name: list(keys) for name, keys in table.items()} == {
        name: [key for _, key, _ in provenance_of(word)] for name, word in sections().items()
    }
    assert practice_of(document(switched_on)).practice == Practice()


def test_no_line_is_wider_than_a_page() -> None:
    assert max(map(len, practice_file_text().splitlines())) <= 100
