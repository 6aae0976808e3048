"""The README's example: its yards, and the notice that the program prints for them.

``PYTHONPATH=.:tests python -m support.readme`` writes the notice into the README anew.
"""

from __future__ import annotations

import re
import tempfile
from pathlib import Path

from support.office import windowcast

TOP = Path(__file__).resolve().parents[2]
README = TOP / "README.md"
PAYLOADS = TOP / "fixtures" / "payloads" / "demo"
AT = "2027-01-12T06:00-08:00"


def blocks(language: str) -> list[str]:
    """The fenced blocks of a language, in their order."""
    return re.findall(rf"^```{language}\n(.*?)^```$", README.read_text("utf-8"), re.M | re.S)


def example(folder: Path) -> Path:
    """A configuration made from the README's yards as the README says, on the demo's weather."""
    spreadsheet = folder / "hives.csv"
    spreadsheet.write_text(blocks("csv")[0], encoding="utf-8")
    config = folder / "bees"
    made = windowcast(
        "new", config, "--from", spreadsheet, "--name", "Vellamoor Bees",
        "--contact", "office@vellamoor.example",
    )  # fmt: skip
    assert made.returncode == 0, made.stderr
    outfit = config / "outfit.toml"
    offline = f'name = "files"\nfolder = {str(PAYLOADS)!r}\n'
    text = outfit.read_text("utf-8")
    assert text.count('\nname = "nws"\n') == 1
    outfit.write_text(text.replace('name = "nws"\n', offline), encoding="utf-8")
    return config


def printed(*words: object) -> str:
    """What a command prints on the morning of the example."""
    with tempfile.TemporaryDirectory() as folder:
        ran = windowcast(*words, "--config", example(Path(folder)), "--at", AT)
    assert ran.returncode == 0, ran.stderr
    return ran.stdout


def why_table() -> str:
    """The hours of one yard's day, as ``why`` prints them."""
    told = printed("why", "heron-slough", "today")
    return re.search(r"^hour .*?(?=\n\n)", told, re.M | re.S)[0] + "\n"


if __name__ == "__main__":
    text = README.read_text("utf-8")
    for old, new in (("text", printed("morning")), ("txt", why_table())):
        text = text.replace(blocks(old)[0], new)
    README.write_text(text, encoding="utf-8")
