"""``outfit.toml``: who the outfit is, when its crews work, whom it asks."""

from __future__ import annotations

from datetime import time
from pathlib import Path

import pytest
from support.configs import OUTFIT, document, told

from windowcast.settings.outfit import FetchLimits, Outfit, outfit_of, read_outfit
from windowcast.terms.yard import Crew

HERE = Path("here").absolute()


def read(text: str, folder: Path = HERE) -> list[str]:
    return told(lambda: outfit_of(document(text), folder))


def built(text: str) -> Outfit:
    return outfit_of(document(text), HERE)


def test_an_outfit_is_read_in_full() -> None:
    found = built(OUTFIT + '[fetch]\ndeadline = "45 s"\ntries = 2\n')
    assert (found.name, found.contact) == ("Vellamoor Bees", "office@vellamoor.example")
    assert (found.units, found.tz) == ("us", None)
    assert found.crews == (
        Crew(name="A", start=time(8), end=time(17), weekdays=frozenset({0, 1, 2})),
    )
    assert found.state == HERE / "state"
    assert found.limits == FetchLimits(deadline_s=45.0, tries=2)


def test_what_has_a_default_may_be_left_out() -> None:
    crew = '[[crews]]\nname = "A"\nstart = "08:00"\nend = 17:00:00\n'
    found = built('name = "V"\ncontact = "a@b.example"\n' + crew)
    assert (found.units, found.state, found.limits) == ("us", HERE / "state", FetchLimits())
    assert found.crews[0].weekdays == frozenset(range(7))
    assert found.crews[0].end == time(17)


def test_an_empty_file_lacks_three_things() -> None:
    assert [sentence.split("; ")[0] for sentence in read("")] == [
        "outfit.toml: contact: is missing",
        "outfit.toml: crews: is missing",
        "outfit.toml: name: is missing",
    ]


def test_a_missing_file_is_told_how_it_is_made(tmp_path: Path) -> None:
    (sentence,) = told(lambda: read_outfit(tmp_path))
    assert sentence.startswith("outfit.toml: is missing; run `windowcast new DIR`")


@pytest.mark.parametrize(
    ("old", "new", "told_of"),
    [
        ('"Vellamoor Bees"', '""', "outfit.toml:1: name: is empty"),
        ('"Vellamoor Bees"', "5", "outfit.toml:1: name: 5 is not text"),
        ('"Vellamoor Bees"', f'"{"x" * 51}"', "shorten it to 50"),
        ('"Vellamoor Bees"', "Vellamoor Bees", "outfit.toml:1: name: Vellamoor Bees lacks quotes"),
        ('"office@vellamoor.example"', '"me"', "outfit.toml:2: contact:"),
        ('units = "us"', 'units = "metric"', 'outfit.toml:3: units: "metric" is not a system'),
        ('units = "us"', 'unit = "us"', 'unit: is not a known key; did you mean "units"?'),
        ('units = "us"', 'zone = "Boise"', 'did you mean "America/Boise"?'),
        ('"08:00"', "08:00", "outfit.toml:8: start: 08:00 lacks quotes"),
        ('"08:00"', '"8 am"', 'crews[1].start: "8 am" is not a time of day'),
        ('"08:00"', '"17:00"', "crews[1].end: \"17:00\" is not later than start"),
        ('"08:00"', '"17:01"', "outfit.toml:9: crews[1].end:"),
        ('"Mon"', '"Mun"', "outfit.toml:10: crews[1].days[1]:"),
        ('["Mon", "Tue", "Wed"]', "[]", "crews[1].days: is empty"),
        ('["Mon", "Tue", "Wed"]', '"Mon"', 'crews[1].days: "Mon" is not a list; write days = ['),
        ("[[crews]]", "[crews]", "crews: a table is not a list; write [[crews]]"),
        ('end = "17:00"', "", 'outfit.toml:6: crews[1].end: is missing; write end = "17:00"'),
        ('end = "17:00"', "end =", "outfit.toml:9: end: has no value"),
        ('start = "08:00"', 'start = "08:00"\nzone = "UTC"', "move it above the first heading"),
        ("[[sources]]\nname = \"nws\"", "sources = []", "crews[1].sources: does not belong below"),
        ("[[sources]]\nname = \"nws\"", "[fetch]\ntries = 6", "fetch.tries: 6 is more than 5"),
        ("[[sources]]\nname = \"nws\"", "[fetch]\ntries = 0", "fetch.tries: 0 is less than 1"),
        ("[[sources]]\nname = \"nws\"", "[fetch]\ndeadline = 30", 'write "30 s"'),
        ("[[sources]]\nname = \"nws\"", '[fetch]\ndeadline = "301 s"', 'write "1 s" to "300 s"'),
    ],
)  # fmt: skip
def test_one_fault_is_one_sentence_at_its_place(old: str, new: str, told_of: str) -> None:
    assert old in OUTFIT
    sentences = read(OUTFIT.replace(old, new, 1))
    assert len(sentences) == 1
    assert told_of in sentences[0]


def test_the_bounds_of_patience_are_allowed() -> None:
    for deadline, tries in (("1 s", 1), ("5 min", 5)):
        limits = built(OUTFIT + f'[fetch]\ndeadline = "{deadline}"\ntries = {tries}\n').limits
        assert limits.tries == tries
        assert limits.deadline_s in (1.0, 300.0)


def test_a_crew_stands_at_most_once() -> None:
    crew = '[[crews]]\nname = "A"\nstart = "08:00"\nend = "17:00"\n'
    (sentence,) = read(OUTFIT + crew)
    assert 'crews[2].name: "A" stands twice' in sentence


def test_all_faults_are_told_in_order_of_lines() -> None:
    text = OUTFIT.replace('"us"', '"metric"').replace("08:00", "25:00").replace('"nws"', '"nsw"')
    lines = [sentence.split(":")[1] for sentence in read(text + "[fetch]\ntries = 0\n")]
    assert lines == ["3", "8", "13", "15"]


def test_a_file_in_the_place_of_the_state_folder_is_a_fault(tmp_path: Path) -> None:
    (tmp_path / "state").write_text("")
    assert 'state: "state" is a file' in read(OUTFIT, tmp_path)[0]


def test_the_state_folder_need_not_exist_and_may_be_a_folder(tmp_path: Path) -> None:
    assert read(OUTFIT, tmp_path) == []
    (tmp_path / "state").mkdir()
    assert read(OUTFIT, tmp_path) == []


@pytest.mark.parametrize("state", ['""', "4", '"a\\u0000b"', "[]"])
def test_what_cannot_be_a_folder_is_a_fault(state: str) -> None:
    assert "outfit.toml:4: state:" in read(OUTFIT.replace('"state"', state))[0]
