"""The morning as the page of a mail: text and one table, nothing that a mail program drops.

Complete without pictures, in one column, black on white by its own word, and small enough that no
mail program cuts it. A morning that would be larger is the plain text notice on such a page.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from windowcast.wording import provenance
from windowcast.wording.cautions import caution_sentences
from windowcast.wording.days import beyond, day_lines
from windowcast.wording.gist import SCOPE, Gist, gist_of
from windowcast.wording.groups import exact_groups, yards_heading
from windowcast.wording.plain import capital, listed, plural
from windowcast.wording.rounds import round_groups, totals_sentence
from windowcast.wording.silence import Silence
from windowcast.wording.view import Named, View, labels

LARGEST = 60 * 1024  # bytes; mail programs cut pages from about 100 KB on
_LINES_OF_WINDOWS = 6
_NAMES_ROOM = 100
_ROUNDS, _REMARKS = 12, 8
_GLUE = "\u00a0"


def letter_page(view: View, text: str) -> str:
    """The page; ``text`` is the plain text notice, for a morning too large for anything else."""
    gist = gist_of(view)
    page = _rendered(
        "letter.html",
        title=gist.decision,
        gist=gist,
        head=head_sentences(gist),
        scope=SCOPE,
        days=day_lines(view),
        beyond=beyond(view),
        heading=yards_heading(view),
        notes=provenance.clock_notes(view),
        groups=exact_groups(view, view.chosen),
        totals=totals_sentence(view),
        rounds=_rounds(view),
        cautions=caution_sentences(view.morning.cautions),
        sources=_sources(view),
    )
    if len(page.encode()) <= LARGEST:
        return page
    return _rendered("text.html", title=gist.decision, text=text)


def silence_page(silence: Silence) -> str:
    """The page of a morning without a forecast."""
    return _rendered("silence.html", title=silence.told[0], silence=silence)


def head_sentences(gist: Gist) -> list[str]:
    """What a crew must know, a line each: windows, alarms, age, blind yards, those left out."""
    groups = gist.windows if len(gist.windows) <= _LINES_OF_WINDOWS else gist.starts
    hidden = len(groups) - _LINES_OF_WINDOWS
    told = [f"{item.phrase}: {_names(item.keys)}" for item in groups[:_LINES_OF_WINDOWS]]
    told += [f"and {plural(hidden, 'later start')}, see below"] if hidden > 0 else []
    told += [f"Watch: {item.phrase} at {_names(item.keys)}" for item in gist.watch]
    told += [f"Watch: {item.phrase} at {_names(item.keys)}" for item in gist.pressing]
    told += [f"Watch: {gist.stale}, look again before you go"] if gist.stale else []
    told += [f"Blind, no forecast: {_names(gist.blind)}"] if gist.blind else []
    told += [f"{gist.left_out_when}: {_reasons(gist.left_out)}"] if gist.left_out else []
    return [*told, gist.better] if gist.better else told


def _reasons(left_out: Sequence[Named]) -> str:
    return "; ".join(f"{_names(item.keys)} ({item.phrase})" for item in left_out)


def _names(keys: Sequence[str]) -> str:
    return listed(labels(keys), _NAMES_ROOM)


def _rounds(view: View) -> list[str]:
    """What is due where, the most urgent first."""
    groups = round_groups(view)
    hidden = sum(len(item.keys) for item in groups[_ROUNDS:])
    told = [f"{capital(item.phrase)}: {_names(item.keys)}" for item in groups[:_ROUNDS]]
    return [*told, *_rest(hidden, "more yard")]


def _sources(view: View) -> list[str]:
    told = provenance.source_sentences(view) + provenance.made_sentences(view)
    return [*told, *provenance.credit_lines(view), *_remarks(view)]


def _remarks(view: View) -> list[str]:
    remarks = provenance.remark_sentences(view)
    return [*remarks[:_REMARKS], *_rest(len(remarks) - _REMARKS, "more remark")]


def _rest(hidden: int, what: str) -> list[str]:
    return [f"and {plural(hidden, what)}: windowcast morning --html FILE"] if hidden > 0 else []


def _rendered(template: str, **words: Any) -> str:
    return _environment().get_template(template).render(**words)


@lru_cache(maxsize=1)
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("windowcast.notices"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["labels"] = lambda keys: ", ".join(labels(keys))
    environment.filters["unbroken"] = _unbroken
    return environment


def _unbroken(day: str) -> str:
    """A day on one line, with "today" below it where there is no room beside it."""
    return day.replace(" ", _GLUE).replace(f"{_GLUE}today", " today")
