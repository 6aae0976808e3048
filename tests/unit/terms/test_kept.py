"""What the book remembers, and what it could not tell apart."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time
from typing import Any

import pytest

from windowcast.terms.kept import Holder, Run, SlotKey


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"at": time(6, 0, 1)}, "a slot is due at a full minute"),
        ({"at": time(6, tzinfo=UTC)}, "a slot is due at a full minute of the outfit's clock"),
        ({"kind": ""}, "kind '' is no name"),
        ({"day": date(2200, 1, 1)}, "day is out of reach"),
    ],
)
def test_a_slot_that_the_book_could_not_tell_apart_is_refused(
    changes: dict[str, Any], sentence: str
) -> None:
    with pytest.raises(ValueError, match=re.escape(sentence)):
        SlotKey(**{"day": date(2027, 1, 12), "at": time(6), **changes})


def test_a_run_is_in_one_of_four_states() -> None:
    slot = SlotKey(day=date(2027, 1, 12), at=time(6))
    began = datetime(2027, 1, 12, 13, tzinfo=UTC)
    run: dict[str, Any] = {
        "slot": slot, "attempt": 1, "started_at": began, "ended_at": None, "lease_until": None,
        "holder": Holder(host="shed", pid=1),
    }  # fmt: skip
    assert Run(state="done", **run).state == "done"
    with pytest.raises(ValueError, match="use running, done, failed, missed"):
        Run(state="sleeping", **run)


def test_a_machine_has_a_name() -> None:
    with pytest.raises(ValueError, match="host '' is no name"):
        Holder(host="", pid=1)
