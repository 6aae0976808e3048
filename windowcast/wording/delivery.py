"""What became of the letters of a run, one sentence each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from windowcast.terms.delivery import Delivery
from windowcast.terms.kept import FAILED, RUNNING, Run, SlotKey
from windowcast.wording.clock import day_words
from windowcast.wording.plain import listed, plural

NOBODY = "Nobody is named in outfit.toml to send it to; it is kept in the book."


def delivered(
    sent: Sequence[Delivery], had: Sequence[Delivery], unsent: Sequence[Delivery]
) -> Iterator[str]:
    """How many got it, who has it already, and why the others have not."""
    everybody = len(sent) + len(had) + len(unsent)
    if not everybody:
        yield NOBODY
        return
    already = (
        f"; already has it: {listed([row.recipient.address for row in had], 60)}" if had else ""
    )
    yield f"Sent to {len(sent)} of {everybody}{already}."
    for row in unsent:
        yield f"Not sent: {row.remark}"


def told_of_none(sent: Sequence[Delivery], unsent: Sequence[Delivery]) -> Iterator[str]:
    """How many were told that there is no forecast, and why others could not be."""
    if sent:
        yield f"Told {plural(len(sent), 'recipient')} that there is none."
    for row in unsent:
        yield f"Not sent: {row.remark}"


def counted_as_told(slot: SlotKey, *, is_of_today: bool) -> str:
    """What restore did to the newest morning of a copy, and how it still goes to who lacks it."""
    said = f"the morning of {day_words(slot.day)} {slot.at.isoformat('minutes')} counts as told"
    if not is_of_today:
        return said
    return f"{said}; `windowcast run` sends it to those whom the copy does not know to have it"


def taken(run: Run) -> str:
    """Why a slot cannot be had: who runs it, or what became of it."""
    slot = run.slot
    name = f"The run of {day_words(slot.day)} {slot.at.isoformat('minutes')}"
    if run.state == RUNNING and run.holder is not None:
        return (
            f"{name} is under way in process {run.holder.pid} on {run.holder.host}; it has it"
            f" until {run.lease_until:%H:%M} UTC at the latest, wait for it"
        )
    if run.state == FAILED:
        return f"{name} failed ({run.remark}) and is not to be tried again yet"
    return f"{name} is {run.state} already"
