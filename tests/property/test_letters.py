"""Whatever yards and outfits are called, a letter is built, and a mail of it is read back."""

from __future__ import annotations

from dataclasses import replace
from email.parser import BytesParser
from email.policy import default

from hypothesis import given, settings
from hypothesis import strategies as st
from support.any_mornings import keys, mornings, names
from support.letters import IDENTITY, LETTER, NOW
from support.mornings import TZ, advice, days_on, fit, morning, poor, yard

from windowcast.channels.message import mail_of
from windowcast.notices.letter import letter_of, no_forecast_letter
from windowcast.notices.letter_page import LARGEST
from windowcast.terms.advice import Morning
from windowcast.terms.delivery import Letter

HEADS = {
    "From", "To", "Subject", "Date", "Message-ID", "Auto-Submitted", "List-Id", "MIME-Version",
    "Content-Type",
}  # fmt: skip


def holds(letter: Letter) -> None:
    """The subject is one line; the mail is sound and says what the letter says."""
    assert len(letter.subject) <= 78
    assert letter.subject.isprintable()
    assert len(letter.html.encode()) <= LARGEST
    content = mail_of(
        letter, sender="a@b.example", recipient="c@d.example", identity=IDENTITY, now=NOW
    )
    assert content.isascii()
    assert max(map(len, content.split(b"\r\n"))) <= 998
    mail = BytesParser(policy=default).parsebytes(content)
    assert set(mail.keys()) == HEADS
    assert mail["Subject"] == letter.subject
    for kind, said in (("plain", letter.text), ("html", letter.html)):
        part = mail.get_body((kind,))
        assert part.get_content().replace("\r\n", "\n").rstrip("\n") == said.rstrip("\n")


@given(key=keys, name=names, outfit=names, late=st.booleans())
def test_any_name_makes_a_sound_letter(key: str, name: str, outfit: str, late: bool) -> None:
    first, second = days_on(2)
    items = [advice(yard(key, name=name), fit(first), poor(second))]
    holds(letter_of(morning(items, outfit=outfit), "us", late=late))


@settings(max_examples=25)
@given(told=mornings(), late=st.booleans(), units=st.sampled_from(("us", "si")))
def test_any_morning_makes_a_sound_letter(told: Morning, late: bool, units: str) -> None:
    holds(letter_of(told, units, late=late))


@given(outfit=names, why=st.text(max_size=2000))
def test_any_reason_makes_a_sound_letter_without_a_forecast(outfit: str, why: str) -> None:
    holds(no_forecast_letter(outfit, TZ, NOW, why, NOW))


@given(text=st.text(st.characters(codec="utf-8", exclude_characters="\r"), max_size=3000))
def test_any_text_is_read_back_as_it_was(text: str) -> None:
    holds(replace(LETTER, text=text))
