"""``label.toml``: what it says is kept, what it does not say is known to be absent."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.configs import LABEL, document, told

from windowcast.settings.label import label_of, not_read, read_label
from windowcast.terms.yard import Label


def read(text: str) -> list[str]:
    return told(lambda: label_of(document(text, "label.toml")))


def test_no_file_is_a_label_that_tells_nothing(tmp_path: Path) -> None:
    label = read_label(tmp_path)
    assert label == Label()
    assert len(not_read(label)) == 11


def test_a_label_keeps_what_its_owner_read() -> None:
    label = label_of(document(LABEL, "label.toml"))
    assert label == Label(
        product="made up",
        read_on="2026-11-03",
        max_g_per_chamber=3.5,
        min_days_between=10,
        chambers=(("double", 2), ("single", 1)),
    )
    assert not_read(label) == (
        "registration number", "state", "most applications a year",
        "supers", "equipment", "re-entry",
    )  # fmt: skip


@pytest.mark.parametrize("written", ["3", "3.0", '"3 g"', '"3000 mg"'])
def test_grams_are_a_bare_number_or_have_their_unit(written: str) -> None:
    assert label_of(document(f"max_grams_per_chamber = {written}")).max_g_per_chamber == 3.0


@pytest.mark.parametrize("written", ["0", "-1", "3000", '"a lot"', "true", "[]", '"3 F"', "nan"])
def test_what_is_no_amount_is_refused_and_no_amount_is_proposed(written: str) -> None:
    (sentence,) = read(f"max_grams_per_chamber = {written}")
    assert sentence.endswith(
        "write the grams that the label on your package names, with g behind them"
    )


@pytest.mark.parametrize(
    ("text", "told_of"),
    [
        ('date_read = "11/03/2026"', "label.toml:1: date_read:"),
        ("supers = false", "label.toml:1: supers:"),
        ("min_days_between = 1.5", "label.toml:1: min_days_between: 1.5 is not a whole number"),
        ("max_applications_per_year = 0", "is less than 1; write the most applications in a year"),
        ("[chambers]\ndouble = 0", "label.toml:2: chambers.double: 0 is less than 1"),
        (
            "[chambers]\nnucs = 1",
            'label.toml:2: chambers.nucs: is not a known key; did you mean "nuc"?',
        ),
        ("chambers = 2", "label.toml:1: chambers: 2 is not a table"),
        ("max_gram_per_chamber = 2", 'did you mean "max_grams_per_chamber"?'),
        ("product = 4\nstate = 5", "label.toml:2: state:"),
    ],
)
def test_a_fault_is_told_with_its_line_and_key(text: str, told_of: str) -> None:
    assert any(told_of in sentence for sentence in read(text))


def test_all_faults_of_a_label_are_told() -> None:
    assert len(read("product = 4\nstate = 5\nreentry = 6\nequipment = 7\n")) == 4
