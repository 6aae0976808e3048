"""A letter as a mail: plain text and page, in characters that every server carries."""

from __future__ import annotations

import hashlib
import re
from datetime import datetime
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP

from windowcast.problems import NoticeProblem
from windowcast.terms.delivery import Letter
from windowcast.wording.plain import clean

# What goes between < and > of MAIL and RCPT without a question: no quoting, no other alphabets.
_ADDRESS = re.compile(r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~.-]{1,64}@[A-Za-z0-9.-]{1,190}")
_NAMED = re.compile(r"(?P<name>[^<>]*[^<>\s][^<>]*)<(?P<address>[^<>]+)>", re.S)
_POLICY = SMTP.clone(cte_type="7bit")
_UNFOLDED = _POLICY.clone(max_line_length=998)  # the library would fold before the first word
_SHOWN = 80


def bare_address(text: str) -> str:
    """The address itself; NoticeProblem where it is none, or needs more than ASCII."""
    if not _ADDRESS.fullmatch(text) or ".." in text or ".@" in text or "@." in text:
        raise NoticeProblem(
            f'mail: "{clean(text, _SHOWN)}" is not an address that mail can go to;'
            " write one such as office@vellamoor.example in outfit.toml",
            lasting=True,
        )
    return text


def sender_of(text: str) -> Address:
    """Name and address of "Office <office@vellamoor.example>", or of the address alone."""
    named = _NAMED.fullmatch(text.strip())
    if named is None:
        return Address(addr_spec=bare_address(text.strip()))
    return Address(_head(named["name"].strip(' "')), addr_spec=bare_address(named["address"]))


def mail_of(letter: Letter, *, sender: str, recipient: str, identity: str, now: datetime) -> bytes:
    """The mail for one recipient as it is sent; its Message-ID is the same for every try.

    Only ASCII, whatever the letter holds; no line is longer than mail allows.
    """
    origin = sender_of(sender)
    mail = EmailMessage(policy=_POLICY)
    mail["From"] = origin
    mail["To"] = Address(addr_spec=bare_address(recipient))
    mail["Subject"] = _head(letter.subject)
    mail["Date"] = now
    mail["Message-ID"] = f"<{hashlib.sha256(identity.encode()).hexdigest()}@{origin.domain}>"
    mail["Auto-Submitted"] = "auto-generated"  # RFC 3834: no holiday notes in return
    mail["List-Id"] = f"<windowcast.{origin.domain}>"
    mail.set_content(letter.text)
    mail.add_alternative(letter.html, subtype="html")
    plain = all(str(head).isascii() for head in mail.values())
    return mail.as_bytes(policy=_UNFOLDED if plain else _POLICY)


def _head(text: str) -> str:
    """Text for a head: one line, and no "=?" by which the library would decode a line break."""
    return clean(text).replace("=?", "= ?")
