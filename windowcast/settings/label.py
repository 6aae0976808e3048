"""``label.toml``: the owner's reading of the label in hand. Nothing has a default."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema

from windowcast.settings.complaints import accepted, checked
from windowcast.settings.readings import day, measure, one_line
from windowcast.settings.spelling import Slip, shown
from windowcast.settings.text_files import is_there
from windowcast.settings.toml_places import Document, read_document
from windowcast.terms.yard import Label

FILE = "label.toml"

_CONFIG = ConfigDict(frozen=True, extra="forbid", strict=True)


def _grams(value: object) -> float:
    """Grams, as a bare number since the key names the unit, or as a mass with its unit."""
    bare = isinstance(value, int | float) and not isinstance(value, bool)
    written = f"{shown(value)} g" if bare else value
    try:
        found = measure(written, "mass", (0.0, 100.0))
    except Slip as slip:
        raise Slip(slip.found, _FROM_THE_LABEL) from slip
    if found <= 0:
        raise Slip(f"{shown(value)} is not an amount", _FROM_THE_LABEL)
    return found


# No message shows an amount: a number that stands in one might be taken for a dose.
_FROM_THE_LABEL = "write the grams that the label on your package names, with g behind them"

Line = Annotated[str | None, BeforeValidator(one_line(60))]
Words = Annotated[str | None, BeforeValidator(one_line(500))]
Boxes = Annotated[int | None, Field(ge=1, le=10)]


class ChambersTable(BaseModel):
    """Brood chambers of each kind of hive, as the label counts them."""

    model_config = _CONFIG

    double: Boxes = Field(None, description="brood chambers of a double deep")
    single: Boxes = Field(None, description="brood chambers of a single deep")
    nuc: Boxes = Field(None, description="brood chambers of a nuc standing alone")
    nuc_above: Boxes = Field(None, description="brood chambers of a nuc above a double screen")


class LabelFile(BaseModel):
    """The label as its owner read it; what is left out counts as not read."""

    model_config = _CONFIG

    product: Line = Field(None, description="name on the package")
    registration: Line = Field(None, description="registration number on the package")
    date_read: Annotated[
        str | None, BeforeValidator(day), WithJsonSchema({"type": "string", "format": "date"})
    ] = Field(None, description="day on which you read the label")
    state: Line = Field(None, description="state for which you read it")
    max_grams_per_chamber: Annotated[
        float | None,
        BeforeValidator(_grams),
        WithJsonSchema({"type": ["number", "string"], "exclusiveMinimum": 0, "maximum": 100}),
    ] = Field(None, description="greatest grams of dihydrate for one brood chamber")
    chambers: ChambersTable | None = Field(None, description="brood chambers of each kind of hive")
    max_applications_per_year: Annotated[int | None, Field(ge=1, le=100)] = Field(
        None, description="most applications in a year"
    )
    min_days_between: Annotated[int | None, Field(ge=0, le=366)] = Field(
        None, description="least days between two applications"
    )
    supers: Words = Field(None, description="what it says about honey supers")
    equipment: Words = Field(None, description="protective equipment that it demands")
    reentry: Words = Field(None, description="when people may come back to the hives")


def read_label(folder: Path) -> Label:
    """The label of an outfit; a label that tells nothing where there is no file."""
    path = folder / FILE
    if not is_there(path):
        return Label()
    return label_of(read_document(path, if_missing="write one, or leave it away"))


def label_of(document: Document) -> Label:
    """The label that a document tells; ConfigProblem with every fault in it."""
    built, faults = checked(LabelFile, document.table, document)
    return _word(accepted(built, document, faults))


def not_read(label: Label) -> tuple[str, ...]:
    """What the label file does not say, in words, in the order of the file."""
    return tuple(says for says, field in _SAYS.items() if getattr(label, field) in (None, ()))


_SAYS = {
    "product": "product",
    "registration number": "registration",
    "day it was read": "read_on",
    "state": "state",
    "greatest grams per brood chamber": "max_g_per_chamber",
    "brood chambers of each kind of hive": "chambers",
    "most applications a year": "max_applications_per_year",
    "least days between applications": "min_days_between",
    "supers": "supers",
    "equipment": "equipment",
    "re-entry": "reentry",
}


def _word(file: LabelFile) -> Label:
    chambers = file.chambers.model_dump(exclude_none=True) if file.chambers else {}
    return Label(
        product=file.product,
        registration=file.registration,
        read_on=file.date_read,
        state=file.state,
        max_g_per_chamber=file.max_grams_per_chamber,
        chambers=tuple(chambers.items()),
        max_applications_per_year=file.max_applications_per_year,
        min_days_between=file.min_days_between,
        supers=file.supers,
        equipment=file.equipment,
        reentry=file.reentry,
    )
