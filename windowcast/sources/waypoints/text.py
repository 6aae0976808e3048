"""Bytes of a text file as text: byte order marks and UTF-16 are understood, nothing is guessed."""

from __future__ import annotations

import codecs

from windowcast.sources.waypoints.words import problem

_MARKS = (
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
    (codecs.BOM_UTF8, "utf-8-sig"),
)
_SAVE_AS = 'save it again as UTF-8 (a spreadsheet calls it "CSV UTF-8")'


def encoding_of(body: bytes) -> str:
    """The encoding that the first bytes name, or in which ``<`` or ``{`` would begin with them."""
    for mark, encoding in _MARKS:
        if body.startswith(mark):
            return encoding
    if len(body) > 1 and body[1] == 0 and body[0] != 0:
        return "utf-16-le"
    return "utf-16-be" if body[:1] == b"\0" and body[1:2] != b"\0" else "utf-8"


def first_sign(body: bytes) -> str:
    """The first character that is no blank, "" where there is none."""
    head = body[:4096]
    return head.decode(encoding_of(body), errors="ignore").lstrip("\ufeff \t\r\n")[:1]


def text_of(body: bytes, file: str) -> str:
    """The whole text, lines ended as on Unix; ConfigProblem where bytes do not fit."""
    try:
        text = body.decode(encoding_of(body)).lstrip("\ufeff")
    except UnicodeDecodeError as error:
        line = body.count(b"\n", 0, error.start) + 1
        raise problem(file, f"is not UTF-8 text from line {line} on", _SAVE_AS) from error
    if "\0" in text:
        raise problem(file, "is no text: it holds NUL bytes", "check that it is the right file")
    return text.replace("\r\n", "\n").replace("\r", "\n")
