"""One slot from the claim to the last letter. Only who holds the claim computes and sends."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime

from windowcast.daily.choice import run_of
from windowcast.daily.errand import Asked, Errand, Outcome
from windowcast.daily.sending import deliver, issue_of, letters_for, of_now
from windowcast.daily.untold import untold
from windowcast.gather import Gathered
from windowcast.morning import look_out, morning_from
from windowcast.problems import NoForecast, StoreProblem, WindowcastError
from windowcast.slots import LATE_AFTER
from windowcast.terms.advice import Morning
from windowcast.terms.delivery import REFUSED, SENT, Delivery
from windowcast.terms.kept import DONE, Claim, Learned

WITHOUT_FORECAST = "no source had a usable forecast"
BROKEN_OFF = "it was broken off"
STOPPED_BY_FAULT = "windowcast stopped with a fault"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Held:
    """A slot in hand: ``was_done`` before a person took it again; letters are of ``issue``."""

    asked: Asked
    claim: Claim
    was_done: bool
    issue: int
    now: datetime

    @property
    def late(self) -> bool:
        """Whether the first issue comes so long after its time that it must say so."""
        due_at = self.asked.due_at
        return due_at is not None and self.issue == 1 and self.now - due_at > LATE_AFTER


def run_slot(errand: Errand, asked: Asked) -> Outcome:
    """Run a slot unless another has it; whoever comes after a crash begins where it ended.

    Weather and a row for each letter are kept in one transaction, then the letters go out
    (``sending`` says what is promised). What ends early leaves the slot to the next who asks:
    at once after a stop, after a while after a fault, after the lease where nothing could be
    written any more.
    """
    book, slot = errand.book, asked.slot
    before = run_of(book, slot)
    now = errand.clock()
    claim = book.claim_slot(slot, errand.holder, now, errand.lease, asked.by_hand)
    if claim is None:
        return Outcome(slot=slot, taken=run_of(book, slot))
    held = _Held(
        asked=asked,
        claim=claim,
        was_done=before is not None and before.state == DONE,
        issue=issue_of(book.deliveries(slot), asked.again),
        now=now,
    )
    try:
        return _carried_out(errand, held)
    except BaseException as fault:
        _give_up(errand, held, fault)
        raise


def _carried_out(errand: Errand, held: _Held) -> Outcome:
    gathered = look_out(errand.desk, held.now)
    try:
        morning = morning_from(errand.desk, gathered, held.now)
    except NoForecast as problem:
        return _without_forecast(errand, held, gathered, problem)
    return _told(errand, held, gathered, morning)


def _told(errand: Errand, held: _Held, gathered: Gathered, morning: Morning) -> Outcome:
    book, slot = errand.book, held.asked.slot
    news = untold(book, slot, None if held.was_done else held.asked.due_at)
    said = replace(morning, remarks=(*news.sentences, *morning.remarks))
    letter = errand.letter_of(said, held.late)
    wanted = letters_for(slot, held.issue, errand.recipients)
    book.keep_result(held.claim, learned_from(gathered), wanted, held.now)
    before = of_now(book.deliveries(slot), wanted)
    after = deliver(errand, held.claim, letter, before, held.asked.by_hand)
    sent, unsent = _newly_sent(before, after), _not_sent(after)
    if sent or not unsent:
        book.mark_told(news.marks, errand.clock())
    return Outcome(
        slot=slot,
        morning=said,
        had=tuple(row for row in before if row.state == SENT),
        sent=sent,
        unsent=unsent,
        retry_at=_end(errand, held, after),
    )


def _without_forecast(
    errand: Errand, held: _Held, gathered: Gathered, problem: NoForecast
) -> Outcome:
    """Say once for the slot that there is no forecast, to those who lack its morning."""
    book, slot = errand.book, held.asked.slot
    apart = replace(slot, kind=f"{slot.kind} without forecast")
    mornings = of_now(book.deliveries(slot), letters_for(slot, held.issue, errand.recipients))
    served = {row.recipient for row in mornings if row.state == SENT}
    lacking = [one for one in errand.recipients if one not in served]
    wanted = letters_for(apart, 1, lacking)
    book.keep_result(held.claim, learned_from(gathered), wanted, held.now)
    before = of_now(book.deliveries(apart), wanted)
    letter = errand.no_forecast_letter(str(problem), held.now, held.asked.last_try_from(held.now))
    after = deliver(errand, held.claim, letter, before, held.asked.by_hand)
    return Outcome(
        slot=slot,
        no_forecast=problem,
        sent=_newly_sent(before, after),
        unsent=_not_sent(after),
        retry_at=_end_without(errand, held),
    )


def learned_from(gathered: Gathered) -> Learned:
    """What the book is to keep of it; an outlook that came from the book is not new."""
    fresh = (one for one in gathered.outlooks if one.yard_key not in gathered.kept_keys)
    return Learned(outlooks=gathered.outlooks, fresh=tuple(fresh), places=gathered.places)


def _end(errand: Errand, held: _Held, after: tuple[Delivery, ...]) -> datetime | None:
    """The slot is done, or is tried again for those who may yet be reached; None where not."""
    now, unsent = errand.clock(), _not_sent(after)
    if not unsent:
        errand.book.end_slot(held.claim, now, f"{len(after)} letters")
        return None
    passing = any(row.state != REFUSED for row in unsent)
    retry_at = _retry_at(errand, held, now) if passing else None
    errand.book.fail_slot(held.claim, now, _unsent_remark(unsent, after), retry_at)
    return retry_at


def _end_without(errand: Errand, held: _Held) -> datetime | None:
    """There was no forecast, which is tried again while it can be; None where it is not."""
    now = errand.clock()
    if held.was_done:  # everybody has what was promised
        errand.book.end_slot(held.claim, now, WITHOUT_FORECAST)
        return None
    retry_at = _retry_at(errand, held, now)
    errand.book.fail_slot(held.claim, now, WITHOUT_FORECAST, retry_at)
    return retry_at


def _retry_at(errand: Errand, held: _Held, now: datetime) -> datetime | None:
    return now if errand.stopping() else held.asked.retry_at(now)


def _give_up(errand: Errand, held: _Held, fault: BaseException) -> None:
    """Leave the slot to the next; where even that cannot be written, its lease runs out.

    A slot that was done stays done: a person took it again, and may do so once more.
    """
    now = errand.clock()
    ours = isinstance(fault, Exception)
    told = " ".join(str(fault).split())
    remark = told if isinstance(fault, WindowcastError) else STOPPED_BY_FAULT
    with suppress(StoreProblem):
        if held.was_done:
            errand.book.end_slot(held.claim, now, remark if ours else BROKEN_OFF)
        elif ours:
            errand.book.fail_slot(held.claim, now, remark, held.asked.retry_at(now))
        else:
            errand.book.fail_slot(held.claim, now, BROKEN_OFF, now)


def _not_sent(rows: tuple[Delivery, ...]) -> tuple[Delivery, ...]:
    return tuple(row for row in rows if row.state != SENT)


def _newly_sent(before: tuple[Delivery, ...], after: tuple[Delivery, ...]) -> tuple[Delivery, ...]:
    pairs = zip(before, after, strict=True)
    return tuple(new for old, new in pairs if old.state != SENT and new.state == SENT)


def _unsent_remark(unsent: tuple[Delivery, ...], all_of_them: tuple[Delivery, ...]) -> str:
    return f"{len(unsent)} of {len(all_of_them)} letters could not be delivered"
