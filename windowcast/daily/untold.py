"""Mornings that did not come, and letters that did not reach everybody: said once, in the next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import groupby

from windowcast.daily.choice import MORNING
from windowcast.ports import Ledger
from windowcast.terms.delivery import SENT, Delivery
from windowcast.terms.kept import DONE, FAILED, MISSED, Run, SlotKey
from windowcast.wording.clock import day_words

LOOK_BACK = timedelta(days=400)
UNFINISHED = "it was begun and not finished"


@dataclass(frozen=True, slots=True, kw_only=True)
class Untold:
    """Sentences for the next notice, and what to mark in the book once it was told."""

    sentences: tuple[str, ...] = ()
    marks: Mapping[str, str]


def untold(book: Ledger, slot: SlotKey, told_from: datetime | None = None) -> Untold:
    """What is to be said of the slots before this one, back to the last of which all is said.

    A slot gave a morning where any of its letters was sent. What was first told at ``told_from``
    or later stood in this very morning: whoever gets it with a later try reads it too.
    """

    def is_new(identity: str) -> bool:
        told = book.told(identity)
        return told is None or (told_from is not None and told.first_told >= told_from)

    bad: list[Run] = []
    partly: dict[str, str] = {}
    for run in reversed(_mornings_before(book, slot)):
        rows = () if run.state == DONE else book.deliveries(run.slot)
        came = run.state == DONE or any(row.state == SENT for row in rows)
        left_out = _left_out(run.slot, rows)
        if run.state == DONE or (came and left_out and not any(map(is_new, left_out))):
            break
        if came:
            partly = {**left_out, **partly}
        elif is_new(_identity(run.slot)):
            bad.insert(0, run)
    groups = groupby(bad, key=lambda run: (run.state == MISSED, _why(run)))
    sentences = [_sentence(list(group), missed, why) for (missed, why), group in groups]
    return Untold(
        sentences=(*partly.values(), *sentences),
        marks={**partly, **{_identity(run.slot): _why(run) for run in bad}},
    )


def _mornings_before(book: Ledger, slot: SlotKey) -> list[Run]:
    runs = book.runs(slot.day - LOOK_BACK)
    return [run for run in runs if run.slot.kind == MORNING and _is_before(run.slot, slot)]


def _left_out(slot: SlotKey, rows: Sequence[Delivery]) -> dict[str, str]:
    """One sentence on whom a letter did not reach, by its identity; none where it reached all."""
    everybody = {row.recipient for row in rows}
    left_out = everybody - {row.recipient for row in rows if row.state == SENT}
    if not left_out:
        return {}
    said = (
        f"the letter of {_spoken(slot)} did not reach {len(left_out)} of {len(everybody)}"
        f" recipient{'s' if len(everybody) > 1 else ''}"
    )
    return {f"not all/{_name(slot)}": said}


def _is_before(one: SlotKey, other: SlotKey) -> bool:
    """Whether a slot was earlier; a run at no set time comes after all of its day."""
    if other.kind != MORNING:
        return one.day <= other.day
    return (one.day, one.at) < (other.day, other.at)


def _why(run: Run) -> str:
    if run.state in (MISSED, FAILED):
        return run.remark
    return UNFINISHED


def _identity(slot: SlotKey) -> str:
    return f"no morning/{_name(slot)}"


def _name(slot: SlotKey) -> str:
    return f"{slot.day.isoformat()}/{slot.at.isoformat('minutes')}/{slot.kind}"


def _sentence(runs: Sequence[Run], missed: bool, why: str) -> str:
    first, last = (_spoken(runs[number].slot) for number in (0, -1))
    if len(runs) == 1:
        return f"the morning of {first} {'was missed' if missed else 'failed'}: {why}"
    became = "were missed" if missed else "failed"
    return f"{len(runs)} mornings {became}, from {first} to {last}: {why}"


def _spoken(slot: SlotKey) -> str:
    return f"{day_words(slot.day)} {slot.at.isoformat('minutes')}"
