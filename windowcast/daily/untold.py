"""Mornings that did not come: each is said in the next notice, once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import groupby

from windowcast.daily.choice import MORNING
from windowcast.ports import Ledger
from windowcast.terms.kept import DONE, FAILED, MISSED, Run, SlotKey
from windowcast.wording.clock import day_words

LOOK_BACK = timedelta(days=400)
UNFINISHED = "it was begun and not finished"


@dataclass(frozen=True, slots=True, kw_only=True)
class Untold:
    """Sentences for the next notice, and what to mark in the book once it was told."""

    sentences: tuple[str, ...] = ()
    marks: Mapping[str, str]


def untold(book: Ledger, slot: SlotKey) -> Untold:
    """The slots since the last that was done, and before this one, that gave no morning."""
    bad: list[Run] = []
    for run in book.runs(slot.day - LOOK_BACK):
        if run.slot.kind != MORNING or not _is_before(run.slot, slot):
            continue
        bad = [] if run.state == DONE else [*bad, run]
    new = [run for run in bad if book.told(_identity(run)) is None]
    groups = groupby(new, key=lambda run: (run.state == MISSED, _why(run)))
    sentences = tuple(_sentence(list(group), missed, why) for (missed, why), group in groups)
    return Untold(sentences=sentences, marks={_identity(run): _why(run) for run in new})


def _is_before(one: SlotKey, other: SlotKey) -> bool:
    """Whether a slot was earlier; a run at no set time comes after all of its day."""
    if other.kind != MORNING:
        return one.day <= other.day
    return (one.day, one.at) < (other.day, other.at)


def _why(run: Run) -> str:
    if run.state in (MISSED, FAILED):
        return run.remark
    return UNFINISHED


def _identity(run: Run) -> str:
    slot = run.slot
    return f"no morning/{slot.day.isoformat()}/{slot.at.isoformat('minutes')}/{slot.kind}"


def _sentence(runs: Sequence[Run], missed: bool, why: str) -> str:
    first, last = (_spoken(runs[number].slot) for number in (0, -1))
    if len(runs) == 1:
        return f"the morning of {first} {'was missed' if missed else 'failed'}: {why}"
    became = "were missed" if missed else "failed"
    return f"{len(runs)} mornings {became}, from {first} to {last}: {why}"


def _spoken(slot: SlotKey) -> str:
    return f"{day_words(slot.day)} {slot.at.isoformat('minutes')}"
