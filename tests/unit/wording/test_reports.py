"""What a person saw, in words."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.any_books import SIGHTS, reports
from support.books import report

from windowcast.terms.report import (
    BloomSeen,
    BroodSeen,
    MiteBoard,
    MiteWash,
    PollenSeen,
    RainMeasured,
    RoadSeen,
    Seen,
)
from windowcast.wording.plain import cost
from windowcast.wording.reports import KINDS, kind_of, report_line, reports_text, seen_words
from windowcast.wording.reports_document import reports_document_text
from windowcast.wording.scale import SI, US


@pytest.mark.parametrize(
    ("seen", "words"),
    [
        (BroodSeen(stage="none"), "no brood"),
        (BroodSeen(stage="eggs"), "eggs, nothing further"),
        (BroodSeen(stage="capped", colonies=3, looked_into=10), "capped brood in 3 of 10 colonies"),
        (BroodSeen(stage="open", colonies=1, looked_into=1), "open brood, none capped in 1 of 1"),
        (PollenSeen(coming=True), "pollen comes in"),
        (PollenSeen(coming=False, plant="hazel"), "no pollen from hazel"),
        (MiteWash(mites=1, bees=300), "1 mite washed from 300 bees"),
        (MiteWash(mites=6, bees=300, colony="14"), "6 mites washed from 300 bees, colony 14"),
        (MiteBoard(mites=12, over_d=2.5), "12 mites on a board in 2.5 days"),
        (RoadSeen(footing="stuck"), "lane stuck"),
        (RainMeasured(rain_mm=20.32), "rain 0.80 in in a day"),
        (RainMeasured(rain_mm=20.32, over_d=2.0), "rain 0.80 in in 2 days"),
        (BloomSeen(plant="hazel", stage="first"), "hazel: first flowers"),
        (BloomSeen(plant="hazel", stage="over"), "hazel: flowers over"),
    ],
)
def test_each_sight_in_words(seen: Seen, words: str) -> None:
    assert seen_words(seen, US).startswith(words)


def test_rain_is_told_in_the_units_of_the_outfit() -> None:
    assert seen_words(RainMeasured(rain_mm=20.32), SI) == "rain 20.3 mm in a day"


def test_a_line_says_where_when_what_and_who() -> None:
    line = report_line(report(person="Ines"), "America/Los_Angeles", US)
    assert line == "kiln, Tue 12 Jan 2027 04:40: capped brood in 3 of 10 colonies (Ines)"


@given(SIGHTS)
def test_every_sight_has_one_kind_and_one_line_of_words(seen: Seen) -> None:
    assert kind_of(seen) in KINDS
    assert len(seen_words(seen, US).splitlines()) == 1


@given(st.lists(reports(), max_size=3))
def test_a_list_of_anything_fits_the_page_and_is_a_document(some) -> None:
    zones = {item.yard_key: "America/Los_Angeles" for item in some}
    text = reports_text(some, zones, US)
    assert all(cost(line) <= 80 for line in text.splitlines())
    told = json.loads(reports_document_text(some, zones))
    assert len(told["reports"]) == len(some)
