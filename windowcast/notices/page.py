"""The notice as one self-contained page: no script, nothing fetched, readable in print."""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from windowcast.terms.advice import Morning
from windowcast.terms.yard import Yard
from windowcast.wording import provenance, strips
from windowcast.wording.cautions import caution_sentences
from windowcast.wording.days import beyond, day_lines
from windowcast.wording.gist import SCOPE, gist_of
from windowcast.wording.groups import exact_groups, yards_heading
from windowcast.wording.plain import capital, clean, plural
from windowcast.wording.rounds import round_groups, totals_sentence
from windowcast.wording.view import View, labels, view_of

_KEY_ROOM, _NAME_ROOM = 40, 80
_TOGETHER = re.compile(
    r"\d\d:\d\d-\d\d:\d\d|-?\d[\d.,]*(?:(?:-| to -?)\d+)? (?:°F|°C|mph|km/h|in|mm|h|%)(?![a-z])"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PageNotice:
    """Writes a morning as HTML. ``units`` is "us" or "si"."""

    units: str = "us"

    def write(self, morning: Morning) -> str:
        """The whole page."""
        view = view_of(morning, self.units)
        style = _style()
        frame = strips.frame_of(view)
        digest = hashlib.sha256(style.encode()).digest()
        return (
            _environment()
            .get_template("notice.html")
            .render(
                style=Markup(style),
                style_hash=base64.b64encode(digest).decode(),
                gist=gist_of(view),
                scope=SCOPE,
                days=day_lines(view),
                beyond=beyond(view),
                notes=provenance.clock_notes(view),
                heading=yards_heading(view),
                groups=exact_groups(view, view.chosen),
                totals=totals_sentence(view),
                rounds=round_groups(view),
                cautions=caution_sentences(morning.cautions),
                yards=[_yard(view, yard, frame) for yard in morning.yards],
                sources=provenance.source_sentences(view) + provenance.made_sentences(view),
                credits=provenance.credit_lines(view),
                remarks=provenance.remark_sentences(view),
                box=strips,
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class YardSheet:
    """One yard on the page: its days as strips, or why it has none."""

    key: str
    name: str
    hives: str
    blind: str | None
    strips: tuple[strips.Strip, ...]


def _yard(view: View, yard: Yard, frame: strips.Frame) -> YardSheet:
    why = view.blind.get(yard.key)
    return YardSheet(
        key=clean(yard.key, _KEY_ROOM),
        name=clean(yard.name, _NAME_ROOM),
        hives=plural(yard.colonies, "colony", "colonies"),
        blind=None if why is None else clean(why),
        strips=tuple(
            strips.strip_of(score, view, frame)
            for score in view.by_key.get(yard.key, {}).values()
            if score.day <= view.last_day
        ),
    )


@lru_cache(maxsize=1)
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("windowcast.notices"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["kept"] = _kept
    environment.filters["capitalised"] = capital
    environment.filters["labels"] = lambda keys: ", ".join(labels(keys))
    return environment


def _kept(text: str) -> Markup:
    """The text, escaped, with hours and amounts kept on one line."""
    return Markup(_TOGETHER.sub(r'<span class="kept">\g<0></span>', str(escape(text))))


@lru_cache(maxsize=1)
def _style() -> str:
    """The stylesheet; the page allows this one and no other by its hash."""
    return (files("windowcast.notices") / "templates" / "notice.css").read_text(encoding="utf-8")
