"""``practice.toml`` through the model that is made from the words."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

import pytest
from support.configs import document, told

from windowcast.settings.practice import (
    Change,
    practice_model,
    practice_of,
    read_practice,
    sections,
)
from windowcast.terms.practice import Practice
from windowcast.terms.threshold import provenance_of
from windowcast.units import f_to_c, quantity


def read(text: str) -> list[str]:
    return told(lambda: practice_of(document(text, "practice.toml")))


def test_no_file_means_the_program_s_own_thresholds(tmp_path: Path) -> None:
    assert read_practice(tmp_path).practice == Practice()
    assert read_practice(tmp_path).changes == ()


def test_a_file_changes_what_it_names_and_nothing_else() -> None:
    found = practice_of(document('[temperature]\nbest_low = "41 F"\n[day]\ngood_from = 0.8\n'))
    assert found.practice.temperature.best_low_c == pytest.approx(f_to_c(41))
    assert found.practice.temperature.best_high_c == Practice().temperature.best_high_c
    assert found.practice.wind == Practice().wind
    assert found.changes == (
        Change(key="temperature.best_low", written="41 F", default="40 F"),
        Change(key="day.good_from", written="0.8", default="0.75"),
    )


def test_a_default_written_out_is_no_change() -> None:
    assert practice_of(document('[temperature]\nbest_low = "40 F"\n')).changes == ()


@pytest.mark.parametrize("section", [item.name for item in fields(Practice)])
def test_every_threshold_of_the_words_has_its_key_and_says_what_it_means(section: str) -> None:
    word = sections()[section]
    model = practice_model().model_fields[section].annotation
    (inner,) = (part for part in model.__args__ if part is not type(None))  # type: ignore[union-attr]
    assert list(inner.model_fields) == [key for _, key, _ in provenance_of(word)]
    for _, key, provenance in provenance_of(word):
        description = str(inner.model_fields[key].description)
        assert provenance.says in description
        assert provenance.source in description
        assert provenance.grade in description


def test_every_default_can_be_written_and_is_read_as_itself() -> None:
    lines = []
    for name, word in sections().items():
        lines.append(f"[{name}]")
        for _, key, provenance in provenance_of(word):
            bare = provenance.kind == "number"
            lines.append(
                f"{key} = {provenance.default}" if bare else f'{key} = "{provenance.default}"'
            )
            assert quantity(provenance.default, provenance.kind) is not None
    found = practice_of(document("\n".join(lines)))
    assert (found.practice, found.changes) == (Practice(), ())


def test_a_bare_number_is_told_both_ways_to_write_it() -> None:
    assert read("[temperature]\nbest_low = 40\n") == [
        'practice.toml:2: temperature.best_low: 40 has no unit; write "40 F" or "40 C"'
    ]


def test_all_faults_of_a_file_are_told_in_order_of_lines() -> None:
    temperature = '[temperature]\nbest_lo = "40 F"\nbest_high = 46\n'
    text = temperature + '[wnd]\ncalm_to = "8 mph"\n[rain]\nwet_from = true\n'
    assert [sentence.split(": ")[:2] for sentence in read(text)] == [
        ["practice.toml:2", "temperature.best_lo"],
        ["practice.toml:3", "temperature.best_high"],
        ["practice.toml:4", "wnd"],
        ["practice.toml:7", "rain.wet_from"],
    ]
    assert 'did you mean "best_low"?' in read(text)[0]


def test_thresholds_out_of_order_are_told_at_the_key_that_was_changed() -> None:
    (sentence,) = read('[temperature]\nedge_credit = 0.5\nbest_low = "34 F"\n')
    assert sentence.startswith("practice.toml:3: temperature.best_low: edge_low must be colder")
    assert "none_low, edge_low, best_low" in sentence


def test_a_fault_of_two_keys_is_told_at_the_first_that_was_changed() -> None:
    (sentence,) = read('[wind]\nnone_from = "7 mph"\n')
    assert sentence.startswith("practice.toml:2: wind.none_from: calm_to must be at least 0")
    assert "the defaults are calm_to 8 mph, none_from 15 mph" in sentence


def test_a_fault_of_order_waits_while_one_of_its_values_is_faulty_itself() -> None:
    (sentence,) = read('[wind]\nnone_from = "7 mph"\ncalm_to = 5\n')
    assert "wind.calm_to: 5 has no unit" in sentence


def test_a_key_outside_of_its_section_is_told_where_it_belongs() -> None:
    assert read('best_low = "41 F"\n') == [
        "practice.toml:1: best_low: stands outside of its section; move it below [temperature]"
    ]
    (sentence,) = read('none_from = "15 mph"\nnone_below = "9 C"\n')[:1]
    assert "move it below [wind]" in sentence or "move it below [flight]" in sentence


def test_a_section_that_is_no_table_is_told_how_to_write_one() -> None:
    (sentence,) = read("wind = 4\n")
    assert "write [wind] on a line of its own" in sentence


def test_a_slip_of_syntax_and_a_slip_of_meaning_are_told_together() -> None:
    assert len(read("[wind]\ncalm_to = 8 mph\nnone_from = 15\n")) == 2
