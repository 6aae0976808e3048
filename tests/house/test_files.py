"""What stands in the repository can be read by a stranger on any machine."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from support.tree import ROOT, named, project_files

BINARY = {".png", ".gz", ".bin", ".bsp"}
LARGEST_KB = 1500

# Places that exist on one machine only, hosts that serve packages, and talk about how the text
# came to be instead of what it says; and what somebody meant to come back to.
ONE_MACHINE = re.compile(r"(?<![\w./:~-])/(?:work|root|home|tmp|Users|private)/(?!\.\.)[\w.]")
REGISTRY = re.compile(r"\bpy(?:pi\.org|thonhosted)|\bregistry\.npm(?:js)", re.I)
ELSEWHERE = re.compile(r"\bshared/(?:design|science|hooks|tools)\b")
TALK = re.compile(r"\b(?:helper|coding|sub)[- ](?:session|agent)s?\b|\bsub(?:agent)s?\b", re.I)
UNFINISHED = re.compile(r"@{2}\w+@{2}|\bTO(?:DO)\b|\bFIX(?:ME)\b|\bX{3}\b")
PATTERNS = (ONE_MACHINE, REGISTRY, ELSEWHERE, TALK, UNFINISHED)


def text_of(path: Path) -> str:
    return path.read_bytes().decode("utf-8", errors="replace")


TEXTS = [path for path in project_files() if path.suffix not in BINARY]


@pytest.mark.parametrize("path", TEXTS, ids=named)
def test_a_text_is_at_home_on_every_machine(path: Path) -> None:
    text = text_of(path)
    for pattern in PATTERNS:
        assert [found.group() for found in pattern.finditer(text)] == []


@pytest.mark.parametrize(
    ("pattern", "text"),
    [
        (ONE_MACHINE, "see " + "/" + "work/main/x.py"),
        (ONE_MACHINE, '"' + "/" + "root/.cache"),
        (REGISTRY, "files.py" + "thonhosted.org"),
        (ELSEWHERE, "../shared/" + "science/colony.md"),
        (TALK, "a helper" + " session wrote this"),
        (TALK, "two sub" + "agents"),
        (UNFINISHED, "TO" + "DO: the wind"),
        (UNFINISHED, "@@" + "NOTICE@@"),
    ],
)
def test_a_text_at_home_on_one_machine_is_found(pattern: re.Pattern[str], text: str) -> None:
    assert pattern.search(text)


@pytest.mark.parametrize(
    "text", ["a workshop at home/root level", "https://example.org/home/x", "the User-Agent"]
)
def test_ordinary_text_is_left_alone(text: str) -> None:
    assert not any(p.search(text) for p in PATTERNS)


@pytest.mark.parametrize("path", project_files(), ids=named)
def test_no_file_is_large(path: Path) -> None:
    assert path.stat().st_size <= LARGEST_KB * 1024


@pytest.mark.parametrize(
    "name", ["README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "requirements.lock"]
)
def test_the_files_that_people_look_for_at_the_top_are_there(name: str) -> None:
    assert (ROOT / name).stat().st_size > 0
