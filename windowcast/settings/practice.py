"""``practice.toml``: the thresholds that an outfit changes, read by a model made from the words.

Sections, keys, kinds and defaults come from ``terms/practice.py``; nothing is listed twice.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, fields
from functools import lru_cache, partial
from pathlib import Path
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema, create_model

from windowcast.problems import Fault
from windowcast.settings.complaints import accepted, checked
from windowcast.settings.readings import measure
from windowcast.settings.spelling import shown
from windowcast.settings.text_files import is_there
from windowcast.settings.toml_places import Document, read_document
from windowcast.terms.practice import Practice
from windowcast.terms.threshold import Provenance, provenance_of
from windowcast.units import KINDS

FILE = "practice.toml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A threshold that the file sets otherwise than the program would."""

    key: str
    written: str
    default: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticeFile:
    """The thresholds, and which of them the outfit has changed."""

    practice: Practice
    changes: tuple[Change, ...] = ()


def sections() -> dict[str, type]:
    """The sections of the practice and their words, in order."""
    return {item.name: type(getattr(_DEFAULTS, item.name)) for item in fields(Practice)}


_DEFAULTS = Practice()


def read_practice(folder: Path) -> PracticeFile:
    """The thresholds of an outfit; the defaults where there is no file."""
    path = folder / FILE
    if not is_there(path):
        return PracticeFile(practice=_DEFAULTS)
    return practice_of(read_document(path, if_missing="write one, or leave it away"))


def practice_of(document: Document) -> PracticeFile:
    """The thresholds that a document tells; ConfigProblem with every fault in it."""
    table = document.table or {}
    faults: list[Fault] = list(_misplaced(table, document))
    strays = {fault.field for fault in faults}
    whole, complaints = checked(practice_model(), document.table, document)
    faults += [fault for fault in complaints if fault.field not in strays]
    words: dict[str, Any] = {}
    for name, word in sections().items():
        built = _section(name, word, table.get(name, {}), document)
        if isinstance(built, Fault):
            faults.append(built)
        else:
            words[name] = built
    accepted(whole, document, faults)
    return PracticeFile(practice=Practice(**words), changes=tuple(_changes(table, words)))


@lru_cache(maxsize=1)
def practice_model() -> type[BaseModel]:
    """The shape of ``practice.toml``, made from the metadata of the words."""
    parts: dict[str, Any] = {
        name: (_section_model(name, word) | None, Field(default=None, description=says(word)))
        for name, word in sections().items()
    }
    return create_model("PracticeFile", __config__=_CONFIG, **parts)


_CONFIG = ConfigDict(frozen=True, extra="forbid", strict=True)


def says(word: type) -> str:
    """What a section is about: the first line of its word's docstring."""
    return (word.__doc__ or "").partition("\n")[0]


@lru_cache(maxsize=32)
def _section_model(name: str, word: type) -> type[BaseModel]:
    keys: dict[str, Any] = {
        key: (
            Annotated[
                float,
                BeforeValidator(partial(measure, kind=provenance.kind)),
                WithJsonSchema(_schema(provenance)),
            ],
            Field(
                default=None,
                description=f"{provenance.says}; {provenance.source}; {provenance.grade}",
                examples=[_written(provenance)],
                json_schema_extra={"default": _written(provenance)},
            ),
        )
        for _, key, provenance in provenance_of(word)
    }
    return create_model(f"{name.capitalize()}Section", __config__=_CONFIG, **keys)


def _schema(provenance: Provenance) -> dict[str, Any]:
    if provenance.kind == "number":
        return {"type": "number"}
    units = "|".join(re.escape(unit) for unit in KINDS[provenance.kind])
    pattern = rf"^\s*[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)\s*({units})\s*$"
    return {"type": "string", "pattern": pattern}


def _written(provenance: Provenance) -> str | float:
    """A default as it stands in the file: a bare number only where there is no unit."""
    return float(provenance.default) if provenance.kind == "number" else provenance.default


def _section(name: str, word: type, told: object, document: Document) -> Any:
    """The word of one section, or the fault that its values make together."""
    if not isinstance(told, dict):
        return word()
    values, faulty = _values(_section_model(name, word), told)
    names = {key: field for field, key, _ in provenance_of(word)}
    try:
        return word(**{names[key]: value for key, value in values.items()})
    except ValueError as error:
        return _cross_fault(name, word, str(error), (tuple(values), faulty), document)


def _values(model: type[BaseModel], told: dict[str, Any]) -> tuple[dict[str, Any], set[str]]:
    """The values that are right by themselves, and the keys of those that are not."""
    nowhere = Document("", file="")
    single = {key: checked(model, {key: value}, nowhere)[0] for key, value in told.items()}
    right = {key: getattr(built, key) for key, built in single.items() if built is not None}
    return right, set(told) - set(right)


def _cross_fault(
    name: str,
    word: type,
    told: str,
    keys: tuple[tuple[str, ...], set[str]],
    document: Document,
) -> Any:
    """The complaint of a word about its own fields, at the key in the file that caused it.

    Where it names a value that is faulty by itself, that fault comes first and this one waits.
    """
    found, _, cure = told.partition("; ")
    defaults = {key: provenance.default for _, key, provenance in provenance_of(word)}
    named = [key for key in re.findall(r"\w+", found) if key in defaults]
    right, faulty = keys
    if faulty & set(named):
        return word()
    guilty = [key for key in named if key in right][:1]
    usual = ", ".join(f"{key} {defaults[key]}" for key in dict.fromkeys(named))
    return document.fault((name, *guilty), found=found, cure=cure or f"the defaults are {usual}")


def _misplaced(table: dict[str, Any], document: Document) -> Iterator[Fault]:
    """Keys that stand outside of the section they belong to."""
    homes: dict[str, list[str]] = {}
    for name, word in sections().items():
        for _, key, _ in provenance_of(word):
            homes.setdefault(key, []).append(name)
    for key, value in table.items():
        if key in homes and not isinstance(value, dict):
            heading = " or ".join(f"[{name}]" for name in homes[key])
            yield document.fault(
                (key,), found="stands outside of its section", cure=f"move it below {heading}"
            )


def _changes(table: dict[str, Any], words: dict[str, Any]) -> Iterator[Change]:
    for name, word in words.items():
        for field, key, provenance in provenance_of(word):
            if getattr(word, field) != getattr(getattr(_DEFAULTS, name), field):
                value = table[name][key]
                written = value if isinstance(value, str) else shown(value)
                yield Change(key=f"{name}.{key}", written=written, default=provenance.default)
