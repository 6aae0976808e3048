"""What happens by itself, said without a secret."""

from __future__ import annotations

from pathlib import Path

from support.configs import OUTFIT, document, write_config

from windowcast.settings import load_settings
from windowcast.settings.outfit import outfit_of
from windowcast.settings.routine import Routine, routine_lines, routine_of
from windowcast.settings.summary import sound_document, summary_lines

HERE = Path("here").absolute()
SECRET = "https://hooks.vellamoor.example:8443/s3cr3t?k=s3cr3t"
BUSY = (
    'run_at = ["12:30", "06:00"]\nzone = "America/Boise"\n'
    'book = "postgresql://bees@db.vellamoor.example:5433/windowcast?sslcert=s3cr3t"\n'
    f"{OUTFIT}[mail]\n"
    'host = "mail.vellamoor.example"\nuser = "bees"\npassword_env = "PASS_NAME"\n'
    'from = "office@vellamoor.example"\nto = ["a@vellamoor.example", "b@vellamoor.example"]\n'
    f'[[posts]]\nname = "screen"\nurl = "{SECRET}"\ntoken_env = "TOKEN_NAME"\n'
    '[[posts]]\nname = "barn"\nurl = "http://[::1]:8080/s3cr3t"\n'
)


def lines(text: str) -> list[str]:
    return list(routine_lines(routine_of(outfit_of(document(text), HERE))))


def test_an_outfit_that_does_nothing_by_itself_says_so() -> None:
    assert lines(OUTFIT) == [
        "runs by itself: never, as run_at names no time",
        f"book: {HERE / 'state' / 'book.sqlite'}",
        "sent to nobody: neither [mail] nor [[posts]] is in outfit.toml",
    ]


def test_times_book_and_recipients_are_told() -> None:
    assert lines(BUSY) == [
        "runs by itself: 06:00, 12:30 by the clock of America/Boise",
        "book: postgresql://bees@db.vellamoor.example:5433/windowcast",
        "mail to 2, from office@vellamoor.example through mail.vellamoor.example:587 with starttls",
        "  a@vellamoor.example",
        "  b@vellamoor.example",
        "posts to 2",
        "  screen at hooks.vellamoor.example",
        "  barn at ::1",
    ]


def test_mail_in_the_clear_is_called_that() -> None:
    text = BUSY.replace('"mail.vellamoor.example"', '"localhost"\nsecurity = "none"')
    assert "through localhost:25 without encryption" in lines(text)[2]


def test_neither_document_nor_lines_hold_a_secret_or_a_whole_address(tmp_path: Path) -> None:
    settings = load_settings(write_config(tmp_path, outfit=BUSY))
    environment = {"PASS_NAME": "s3cr3t", "TOKEN_NAME": "s3cr3t s3cr3t"}
    told = sound_document(settings, environment)
    assert told.routine is not None
    assert told.routine.run_at == ("06:00", "12:30")
    assert told.routine == Routine.model_validate_json(told.routine.model_dump_json())
    assert "s3cr3t" not in told.model_dump_json() + "\n".join(summary_lines(told))


def test_the_lines_stand_in_the_summary(tmp_path: Path) -> None:
    settings = load_settings(write_config(tmp_path, outfit=BUSY))
    told = sound_document(settings, {})
    assert set(routine_lines(routine_of(settings.outfit))) < set(summary_lines(told))
