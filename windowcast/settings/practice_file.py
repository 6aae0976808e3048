"""The text of a fully commented ``practice.toml``, made from the words of the practice."""

from __future__ import annotations

import textwrap

from windowcast.settings.practice import says, sections
from windowcast.terms.threshold import Provenance, provenance_of

_WIDTH = 96

_HEAD = """\
# practice.toml: the thresholds of an outfit.
#
# Every threshold stands here with its default, switched off by a # without a space. To change
# one, take that # away and write your value with its unit. What you leave alone follows the
# program. Beside each: what it means, where the default comes from, and its grade, one of
#   published                    in print, with a reference
#   handbook                     in a handbook or standard
#   common practice (no source)  what people do
#   ours (uncalibrated)          a number of this program's that nobody has tested
# `windowcast why YARD DAY` shows the same beside every part of a score.
"""


def practice_file_text() -> str:
    """The whole file: each key as a switched-off line with its default, and what it means."""
    return "\n".join((_HEAD, *(_section_text(name, word) for name, word in sections().items())))


def _section_text(name: str, word: type) -> str:
    keys = [_key_text(key, provenance) for _, key, provenance in provenance_of(word)]
    return "\n".join((f"[{name}]", f"# {says(word)}", "", *keys))


def _key_text(key: str, provenance: Provenance) -> str:
    meaning = f"{provenance.says[:1].upper()}{provenance.says[1:]}."
    graded = provenance.source.startswith(provenance.grade.partition(" (")[0])
    origin = provenance.source if graded else f"{provenance.source}; {provenance.grade}"
    value = provenance.default if provenance.kind == "number" else f'"{provenance.default}"'
    return f"{_remark(meaning)}\n{_remark(f'[{origin}]')}\n#{key} = {value}\n"


def _remark(text: str) -> str:
    return textwrap.fill(text, _WIDTH, initial_indent="# ", subsequent_indent="#   ")
