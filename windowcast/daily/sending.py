"""Letters of a slot go out one by one, and each is marked as soon as the other side said yes.

A letter counts as sent only once its channel has returned. So a crash between the server's yes
and our mark gives that one recipient a second copy, with the same identity; the other order would
lose a letter in silence.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from windowcast.daily.errand import Errand
from windowcast.problems import NoticeProblem
from windowcast.terms.delivery import REFUSED, SENT, Delivery, Letter, Recipient
from windowcast.terms.kept import Claim, SlotKey

STOPPED = "windowcast was asked to stop before it was sent"


def identity_of(letter: Delivery) -> str:
    """The same for every try to give a recipient the same letter."""
    slot, to = letter.slot, letter.recipient
    parts = (
        slot.day.isoformat(), slot.at.isoformat("minutes"), slot.kind, str(letter.issue),
        to.channel, to.address,
    )  # fmt: skip
    return "/".join(parts)


def issue_of(rows: Sequence[Delivery], again: bool) -> int:
    """The issue that is sent: the newest of the slot, or one more where a person sends it again."""
    newest = max((row.issue for row in rows), default=0)
    return max(1, newest + again)


def letters_for(slot: SlotKey, issue: int, recipients: Sequence[Recipient]) -> tuple[Delivery, ...]:
    """A waiting letter for each recipient."""
    return tuple(Delivery(slot=slot, issue=issue, recipient=one) for one in recipients)


def of_now(rows: Sequence[Delivery], wanted: Sequence[Delivery]) -> tuple[Delivery, ...]:
    """The rows of these letters in the book; rows of whom nobody writes to any more stay out."""
    known = {identity_of(row): row for row in rows}
    return tuple(known[key] for letter in wanted if (key := identity_of(letter)) in known)


def deliver(
    errand: Errand, held: Claim, letter: Letter, rows: Sequence[Delivery], by_hand: bool
) -> tuple[Delivery, ...]:
    """Send a letter to everybody who lacks it; the rows as they stand afterwards.

    What was refused for good is only tried again where a person asks (``by_hand``). Who was tried
    less often comes first, so that a slow no to some never keeps it from the rest.
    """
    over = (SENT,) if by_hand else (SENT, REFUSED)
    after = {
        identity_of(row): row if row.state in over else _send(errand, held, letter, row)
        for row in sorted(rows, key=lambda row: row.tries)
    }
    return tuple(after[identity_of(row)] for row in rows)


def _send(errand: Errand, held: Claim, letter: Letter, row: Delivery) -> Delivery:
    """One letter under a lease that is new, so that nobody takes the slot over meanwhile."""
    if errand.stopping():
        return replace(row, remark=STOPPED)
    begun = errand.clock()
    errand.book.extend_lease(held, begun, errand.lease)
    channel = errand.channels[row.recipient.channel]
    try:
        channel.send(letter, row.recipient, identity_of(row), begun)
    except NoticeProblem as problem:
        why, now = str(problem), errand.clock()
        return errand.book.mark_unsent(row, why, now, lasting=problem.lasting)
    return errand.book.mark_sent(row, errand.clock())
