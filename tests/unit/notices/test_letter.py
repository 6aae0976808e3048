import json
from datetime import timedelta

import pytest
from support.crowds import crowd, varied
from support.letters import IDENTITY
from support.mornings import NOW, TZ, advice, days_on, fit, morning, poor, usual, yard

from windowcast.channels.message import mail_of
from windowcast.notices.console import ConsoleNotice
from windowcast.notices.letter import letter_of, no_forecast_letter
from windowcast.notices.letter_page import LARGEST
from windowcast.terms.advice import Blind, Morning
from windowcast.terms.delivery import Letter
from windowcast.wording.document import document_text

MESSAGE = 300 * 1024
ODD = {
    "break": "kiln\r\nBcc: all@vellamoor.example", "quotes": "\"kiln\" 'n' <b>", "sum": "=cmd|x",
    "bee": "🐝 kiln 🐝", "right": "\u202ekiln\u200f", "long": "k" * 200, "wide": "雪" * 100,
}  # fmt: skip


def mail(letter: Letter) -> bytes:
    to = "anna@vellamoor.example"
    return mail_of(
        letter, sender="office@vellamoor.example", recipient=to, identity=IDENTITY, now=NOW
    )


def test_a_letter_says_what_the_notice_and_the_document_say() -> None:
    letter = letter_of(usual(), "si")
    assert letter.subject == "Go today 08:00-12:00: 3 of 5 yards"
    assert letter.text == ConsoleNotice(units="si").write(usual())
    assert letter.document == document_text(usual(), "si")


def test_a_late_letter_says_so_in_its_subject() -> None:
    assert letter_of(usual(), "us", late=True).subject.startswith("Late 06:00: Go today")


@pytest.mark.parametrize(
    "told", [crowd(200), crowd(200, windows=40), varied(200, 1), varied(200, 2)]
)
def test_two_hundred_yards_stay_within_what_mail_shows_whole(told: Morning) -> None:
    letter = letter_of(told, "us")
    assert len(letter.html.encode()) <= 60 * 1024
    assert len(mail(letter)) <= MESSAGE


def test_two_hundred_yards_are_all_named_in_the_page() -> None:
    told = varied(200, 1)
    page = letter_of(told, "us").html
    assert [one.key for one in told.yards if one.key not in page] == []


def test_what_would_be_too_large_is_the_plain_notice() -> None:
    blind = [Blind(key=f"{'&' * 12}{n}", why=f"{'&' * 190}{n}") for n in range(200)]
    letter = letter_of(morning([advice("kiln", fit())], blind=blind), "us")
    assert len(letter.html.encode()) <= LARGEST
    assert "<pre" in letter.html
    assert "Go today 08:00-12:00: 1 of 201 yards." in letter.html


@pytest.mark.parametrize("name", ODD.values(), ids=ODD)
def test_a_name_harms_no_letter(name: str) -> None:
    first, second = days_on(2)
    items = [advice(yard(name, name=name), fit(first), poor(second))]
    letter = letter_of(morning(items, outfit=name), "us")
    assert letter.subject == "Go today 08:00-12:00: the one yard"
    assert '<b>"' not in letter.html
    assert "\u202e" not in letter.html + letter.text
    assert mail(letter).count(b"\nBcc:") == 0


def test_a_morning_without_a_forecast_is_a_letter_too() -> None:
    why = "no usable forecast for the one yard:\n  nws: <no> answer"
    letter = no_forecast_letter("Vellamoor Bees", TZ, NOW, why, NOW + timedelta(hours=10))
    assert letter.subject == "No forecast this morning: nothing is advised"
    assert json.loads(letter.document)["headline"] == f"{letter.subject}."
    for text in (letter.text, letter.html):
        assert f"{letter.subject}." in text
        assert "Trying again until 16:00." in text
        assert "The label in hand and local law come first." in text
    assert "nws: &lt;no&gt; answer" in letter.html


def test_a_morning_without_a_forecast_promises_no_try_unless_there_is_one() -> None:
    letter = no_forecast_letter("Vellamoor Bees", TZ, NOW, "nws: no answer")
    assert "again" not in letter.text + letter.html
