"""What became of the letters of a run, one sentence each."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from support.books import HERE, NOW, SLOT, letters

from windowcast.terms.kept import Run
from windowcast.wording.delivery import delivered, taken, told_of_none

ONE, TWO, THREE = (
    replace(row, state="sent")
    for row in letters("ines@vellamoor.example", "jo@vellamoor.example", "truck@vellamoor.example")
)
UNSENT = replace(THREE, state="waiting", remark="mail to truck@vellamoor.example: no answer")


@pytest.mark.parametrize(
    ("sent", "had", "unsent", "sentences"),
    [
        ([ONE, TWO], [], [], ["Sent to 2 of 2."]),
        ([ONE], [TWO], [], ["Sent to 1 of 2; already has it: jo@vellamoor.example."]),
        (
            [],
            [ONE, TWO],
            [UNSENT],
            [
                "Sent to 0 of 3; already has it: ines@vellamoor.example, jo@vellamoor.example.",
                "Not sent: mail to truck@vellamoor.example: no answer",
            ],
        ),
        ([], [], [], ["Nobody is named in outfit.toml to send it to; it is kept in the book."]),
    ],
)
def test_each_outcome_is_said(sent, had, unsent, sentences) -> None:
    assert list(delivered(sent, had, unsent)) == sentences


def test_who_was_told_that_there_is_no_forecast_is_counted() -> None:
    assert list(told_of_none([ONE], [UNSENT])) == [
        "Told 1 recipient that there is none.",
        "Not sent: mail to truck@vellamoor.example: no answer",
    ]
    assert list(told_of_none([], [])) == []


def test_a_crowd_that_has_it_is_cut_short() -> None:
    crowd = [replace(row, state="sent") for row in letters(*(f"n{n}@x.example" for n in range(40)))]
    (sentence,) = delivered([], crowd, [])
    assert len(sentence) < 120
    assert "more" in sentence


@pytest.mark.parametrize(
    ("state", "remark", "sentence"),
    [
        (
            "running",
            "",
            "The run of Tue 12 Jan 06:00 is under way in process 41 on shed; it has it until"
            " 14:10 UTC at the latest, wait for it",
        ),
        (
            "failed",
            "no source had a usable forecast",
            "The run of Tue 12 Jan 06:00 failed (no source had a usable forecast) and is not to be"
            " tried again yet",
        ),
        ("done", "", "The run of Tue 12 Jan 06:00 is done already"),
        ("missed", "", "The run of Tue 12 Jan 06:00 is missed already"),
    ],
)
def test_a_slot_that_cannot_be_had_is_explained(state: str, remark: str, sentence: str) -> None:
    run = Run(
        slot=SLOT, state=state, attempt=1, started_at=NOW, ended_at=None,
        lease_until=datetime(2027, 1, 12, 14, 10, tzinfo=UTC), holder=HERE, remark=remark,
    )  # fmt: skip
    assert taken(run) == sentence
