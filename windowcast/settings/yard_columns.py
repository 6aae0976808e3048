"""The columns of ``yards.csv``: what each holds, how a cell is read, how people head them."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema

from windowcast.settings.coordinates import latitude, longitude
from windowcast.settings.readings import measure, one_line, zone_name
from windowcast.settings.spelling import Slip, cure_for_word, meant, shown
from windowcast.terms.yard import SURFACES

MOST_COLONIES = 9_999
MOST_KEY_CHARS = 40

_OTHER_SURFACE = {"plowed": "ploughed"}
_HINTS = {
    "asphalt": "paved", "blacktop": "paved", "concrete": "paved", "tarmac": "paved",
    "dirt road": "dirt", "earth": "dirt", "soil": "dirt", "mud": "dirt", "rock": "gravel",
    "stone": "gravel", "meadow": "grass", "pasture": "grass", "field": "grass",
}  # fmt: skip


def key_text(value: object) -> str:
    """A short name without spaces: it is typed on the command line."""
    written = str(value)
    if re.fullmatch(r"\w[\w.-]*", written) and len(written) <= MOST_KEY_CHARS:
        return written
    better = made_key(written) or "kiln"
    cure = f'write letters, digits and hyphens, such as "{better}"'
    raise Slip(f"{shown(written)} is not a key", cure)


def made_key(name: str) -> str:
    """A key made from a name: lower case, hyphens for whatever is neither letter nor digit."""
    return re.sub(r"[\W_]+", "-", name.casefold()).strip("-")[:MOST_KEY_CHARS].strip("-")


def count(value: object) -> int:
    """A number of colonies; "12.0" is what some spreadsheets make of 12."""
    written = str(value)
    match = re.fullmatch(r"\+?([0-9]{1,9})(?:\.0{1,9})?", written)
    if match is None:
        raise Slip(f"{shown(written)} is not a whole number", _count_cure(written))
    number = int(match.group(1))
    if number > MOST_COLONIES:
        raise Slip(f"{number} colonies do not stand in one yard", "check the number")
    return number


def surface(value: object) -> str:
    """One of the surfaces of a lane that the program knows."""
    word = " ".join(str(value).casefold().split())
    word = _OTHER_SURFACE.get(word, word)
    if word in SURFACES:
        return word
    hint = _HINTS.get(word)
    cure = f'did you mean "{hint}"?' if hint else cure_for_word(word, SURFACES)
    raise Slip(f"{shown(value)} is not a surface", cure)


def lane(value: object) -> float:
    """The length of a lane in m, from text with its unit."""
    return measure(value, "length")


def height(value: object) -> float:
    """A height above the sea in m, from text with its unit."""
    return measure(value, "length", (-500.0, 9000.0))


def yes(value: object) -> bool:
    """Yes or no."""
    word = str(value).casefold()
    if word in ("yes", "y", "true", "1", "x"):
        return True
    if word in ("no", "n", "false", "0"):
        return False
    raise Slip(f"{shown(value)} is neither yes nor no", "write yes or no")


def _degrees(low: int, high: int) -> WithJsonSchema:
    return WithJsonSchema({"type": ["number", "string"], "minimum": low, "maximum": high})


_LENGTH = WithJsonSchema({"type": "string", "pattern": r"^\s*-?[0-9.]+\s*(ft|m|mi|km|yd|feet)\s*$"})
Colonies = Annotated[
    int,
    BeforeValidator(count),
    WithJsonSchema({"type": "integer", "minimum": 0, "maximum": MOST_COLONIES}),
]


class YardRow(BaseModel):
    """One line of ``yards.csv``; an empty cell counts as left out."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    key: Annotated[str | None, BeforeValidator(key_text)] = Field(
        None, description="short name for the command line; made from the name if left out"
    )
    name: Annotated[str | None, BeforeValidator(one_line(40))] = Field(
        None, description="name of the yard, as the notice shows it; the key if left out"
    )
    lat: Annotated[float, BeforeValidator(latitude), _degrees(-90, 90)] = Field(
        description="latitude: 43.6105, N 43 36.63 or 43°36'38\"N", examples=["43.6105"]
    )
    lon: Annotated[float, BeforeValidator(longitude), _degrees(-180, 180)] = Field(
        description="longitude, west of Greenwich negative or with a W", examples=["-116.2023"]
    )
    state: Annotated[str, BeforeValidator(one_line(40))] = Field(
        "", description="state in which the yard lies, for the label and the law"
    )
    doubles: Colonies = Field(0, description="colonies in double deeps")
    singles: Colonies = Field(0, description="colonies in single deeps")
    nucs: Colonies = Field(0, description="nucs that stand alone")
    nucs_above: Colonies = Field(0, description="nucs above a double screen")
    lane_surface: Annotated[
        str | None, BeforeValidator(surface), WithJsonSchema({"enum": list(SURFACES)})
    ] = Field(None, description=f"surface of the lane: {', '.join(SURFACES)}")
    lane_length: Annotated[float | None, BeforeValidator(lane), _LENGTH] = Field(
        None, description='length of the lane with its unit, such as "600 ft" or "180 m"'
    )
    notes: Annotated[str, BeforeValidator(one_line(500))] = Field(
        "", description="anything that the crew should know"
    )
    zone: Annotated[str | None, BeforeValidator(zone_name)] = Field(
        None, description="time zone, where the weather service does not tell it"
    )
    elevation: Annotated[float | None, BeforeValidator(height), _LENGTH] = Field(
        None, description='height above the sea, such as "2700 ft", where no service tells it'
    )
    far: Annotated[bool, BeforeValidator(yes), WithJsonSchema({"enum": ["yes", "no"]})] = Field(
        False, description="yes where a yard really lies more than 300 km from all others"
    )


COLUMNS = tuple(YardRow.model_fields)

# How people head these columns in their own spreadsheets; understood by `new --from` alone.
ALIASES = {
    "key": ("id", "code", "short name", "yard id", "yard key"),
    "name": (
        "yard", "yard name", "site", "site name", "apiary", "apiary name", "location",
        "location name", "place", "title",
    ),
    "lat": ("latitude", "lat deg", "lat dd", "y", "gps lat", "northing"),
    "lon": ("long", "longitude", "lng", "lon deg", "long dd", "x", "gps lon", "gps long"),
    "state": ("st", "province"),
    "doubles": (
        "double", "double deeps", "double deep", "doubledeeps", "hives", "hive count", "colonies",
        "number of hives", "no of hives", "# hives", "count", "dd", "double hives",
        "double hive", "double colonies",
    ),
    "singles": ("single", "single deeps", "single deep", "singledeeps", "sd", "single hives",
        "single hive", "single colonies"),
    "nucs": ("nuc", "nucs alone", "nucs standing alone", "nucleus colonies", "nuc boxes",
        "nuc hives", "nuc colonies"),
    "nucs_above": (
        "nuc above", "nucs above screen", "nucs above double screen",
        "nucs above a double screen", "nucs on top", "double screen nucs",
    ),
    "lane_surface": ("surface", "road surface", "road", "access", "access road", "lane"),
    "lane_length": ("road length", "lane distance", "access length", "distance from road"),
    "notes": ("note", "comment", "comments", "remarks", "remark", "description"),
    "zone": ("time zone", "timezone", "tz"),
    "elevation": ("elev", "altitude", "alt", "height", "ele"),
    "far": ("far away",),
}  # fmt: skip
UNSURE = ("hives", "hive count", "colonies", "number of hives", "no of hives", "# hives", "count")

_BY_HEADING = {plain: name for name, plains in ALIASES.items() for plain in plains}
_OWN = re.compile(r"x[_ -].+", re.IGNORECASE)


def own_column(heading: str) -> bool:
    """Whether a heading begins with x_, as columns do that the program shall not read."""
    return _OWN.fullmatch(heading.strip()) is not None


def column(heading: str) -> str | None:
    """The column of that name; capitals, spaces and hyphens do not matter."""
    name = plain_heading(heading).replace(" ", "_")
    return name if name in COLUMNS else None


def column_by_any_name(heading: str) -> str | None:
    """The column that people mean by a heading in their own spreadsheet."""
    bare, _ = heading_and_unit(heading)
    return column(bare) or _BY_HEADING.get(plain_heading(bare))


def nearest_column(heading: str) -> str | None:
    """The column that a heading most likely means, None where it means none."""
    by_name = column_by_any_name(heading)
    near = meant(plain_heading(heading), [*COLUMNS, *_BY_HEADING], likeness=0.8)
    return by_name or (column_by_any_name(near) if near else None)


def heading_and_unit(heading: str) -> tuple[str, str | None]:
    """``lane length (ft)`` in its two parts."""
    match = re.fullmatch(r"(.+?)[\s_]*[(\[]\s*(ft|feet|m|mi|km|yd)\.?\s*[)\]]", heading.strip())
    return (match.group(1), match.group(2)) if match else (heading, None)


def plain_heading(heading: str) -> str:
    """A heading in lower case with single spaces, as the aliases are written."""
    return re.sub(r"[\s_-]+", " ", heading.casefold().strip().rstrip(":.")).strip()


def _count_cure(written: str) -> str:
    if re.fullmatch(r"[0-9]{1,3}(,[0-9]{3})+", written):
        return f"write {written.replace(',', '')}"
    return "write digits only, such as 24, or leave the cell empty"
