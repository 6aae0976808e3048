"""The README opens with the job, before the first second-level heading."""

from __future__ import annotations

import re

import pytest
from support.tree import ROOT


def opening() -> str:
    """The first paragraph of the README below its title, on one line."""
    before_headings = re.split(r"^## ", (ROOT / "README.md").read_text("utf-8"), flags=re.M)[0]
    paragraphs = [p for p in re.split(r"\n\s*\n", before_headings) if not p.startswith("# ")]
    return " ".join(paragraphs[0].split())


@pytest.mark.parametrize(
    ("told", "pattern"),
    [
        ("who the user is", r"\bbeekeeper"),
        ("what must be done", r"oxalic acid"),
        ("to which colonies", r"\b(every|each|all) (the )?colon"),
        ("how often", r"\b(twice|two (times|rounds|treatments))"),
        ("how far apart", r"two to three weeks|2[-–]3 weeks|2 to 3 weeks"),
        ("by when", r"\bbefore\b|\bby the\b|\buntil\b"),
        ("that brood makes it hard", r"\bbrood"),
        ("that weather makes it hard", r"\b(wind|rain|cold|warm|temperature)"),
        ("what the program decides", r"\b(ranks?|scores?|says|tells)\b"),
        ("which hours", r"\bhours?\b"),
        ("that people decide", r"\b(you|people|crew|beekeeper)\b.*\bdecides?\b|\bleaves?\b"),
        ("that the label stands above it", r"\blabel"),
        ("that the law stands above it", r"\blaw"),
    ],
)
def test_the_first_paragraph_states_the_job(told: str, pattern: str) -> None:
    assert re.search(pattern, opening(), re.I), f"the README's first paragraph lacks {told}"


def test_the_first_paragraph_is_a_paragraph_and_not_a_chapter() -> None:
    assert 60 <= len(opening().split()) <= 260


def test_the_two_commands_stand_in_the_readme() -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    assert re.search(r"^\s*(sh )?(\./)?deploy/demo\b", text, re.M)
    assert re.search(r"^\s*(sh )?(\./)?deploy/test\b", text, re.M)
