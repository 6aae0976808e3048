"""A morning as it leaves the house: subject, plain text, page for mail, JSON document."""

from __future__ import annotations

from datetime import datetime

from windowcast.notices.console import ConsoleNotice
from windowcast.notices.letter_page import letter_page, silence_page
from windowcast.terms.advice import Morning
from windowcast.terms.delivery import Letter
from windowcast.wording.document import document_text
from windowcast.wording.silence import Silence, silence_document, silence_text
from windowcast.wording.subject import NO_FORECAST, subject_of
from windowcast.wording.view import view_of


def letter_of(morning: Morning, units: str, *, late: bool = False) -> Letter:
    """The letter of a morning; ``late`` puts the time at which it was worked out in front."""
    text = ConsoleNotice(units=units).write(morning)
    view = view_of(morning, units)
    return Letter(
        subject=subject_of(view, late=late),
        text=text,
        html=letter_page(view, text),
        document=document_text(morning, units),
    )


def no_forecast_letter(
    outfit: str, tz: str, now: datetime, why: str, until: datetime | None = None
) -> Letter:
    """The letter of a morning on which no yard has a usable forecast.

    ``why`` has a reason on each line; ``until`` is when the last try of this morning will be made.
    """
    silence = Silence(outfit=outfit, tz=tz, now=now, why=why, until=until)
    return Letter(
        subject=NO_FORECAST,
        text=silence_text(silence),
        html=silence_page(silence),
        document=silence_document(silence),
    )
