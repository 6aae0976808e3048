from dataclasses import replace
from email.message import EmailMessage
from email.parser import BytesParser
from email.policy import default

import pytest
from support.letters import IDENTITY, LETTER, NOW

from windowcast.channels.message import mail_of, sender_of
from windowcast.problems import NoticeProblem
from windowcast.terms.delivery import Letter

NAMED = "Vellamoor Bees <office@vellamoor.example>"


def built(letter: Letter = LETTER, sender: str = NAMED, to: str = "anna@vellamoor.example"):
    """The mail as the standard parser reads it."""
    mail = mail_of(letter, sender=sender, recipient=to, identity=IDENTITY, now=NOW)
    return BytesParser(policy=default).parsebytes(mail)


def heads(mail: EmailMessage) -> list[str]:
    return sorted(mail.keys())


@pytest.mark.parametrize(
    ("sender", "shown"),
    [
        ("office@vellamoor.example", "office@vellamoor.example"),
        (NAMED, NAMED),
        ("<office@vellamoor.example>", None),
        ('"Bees, Vellamoor" <office@vellamoor.example>',
         '"Bees, Vellamoor" <office@vellamoor.example>'),
        ("Büro 🐝 <office@vellamoor.example>", "Büro 🐝 <office@vellamoor.example>"),
        ("Bees\r\nBcc: all@vellamoor.example <office@vellamoor.example>",
         '"Bees Bcc: all@vellamoor.example" <office@vellamoor.example>'),
    ],
)  # fmt: skip
def test_the_sender_is_an_address_with_or_without_a_name(sender: str, shown: str | None) -> None:
    if shown is None:
        with pytest.raises(NoticeProblem, match="is not an address"):
            sender_of(sender)
        return
    mail = built(sender=sender)
    assert mail["From"] == shown
    assert heads(mail) == heads(built())


def test_a_subject_with_line_breaks_adds_no_heads() -> None:
    mail = built(replace(LETTER, subject="Go today\r\nBcc: all@vellamoor.example\r\n\r\nx\u2028y"))
    assert mail["Subject"] == "Go today Bcc: all@vellamoor.example x y"
    assert heads(mail) == heads(built())


def test_a_subject_that_looks_coded_adds_no_heads() -> None:
    coded = "=?utf-8?q?=0D=0ABcc=3A_all=40vellamoor=2Eexample?="
    mail = built(replace(LETTER, subject=coded), sender=f"{coded} <office@vellamoor.example>")
    assert heads(mail) == heads(built())
    assert len(str(mail["From"]).splitlines()) == 1
    assert len(str(mail["Subject"]).splitlines()) == 1


@pytest.mark.parametrize("subject", ["雪 🐝 " * 12, "é" * 78, "a" * 78, "Ω-" * 39, "ab " * 24])
def test_a_subject_in_any_alphabet_is_read_back_as_written(subject: str) -> None:
    assert built(replace(LETTER, subject=subject))["Subject"] == subject.strip()


def test_a_long_address_and_a_long_domain_stay_whole() -> None:
    to = f"{'a' * 64}@{'b' * 60}.{'c' * 60}.example"
    sender = f"{'o' * 60}@{'b' * 60}.{'c' * 60}.example"
    mail = built(sender=sender, to=to)
    assert (mail["To"], mail["From"]) == (to, sender)
    assert str(mail["Message-ID"]).endswith(f"@{'b' * 60}.{'c' * 60}.example>")
    assert len(str(mail["Message-ID"]).split()) == 1
