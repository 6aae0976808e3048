"""One report of a weather station, as ``features[].properties`` of its observations tell it."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import NamedTuple

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.intervals import read_instant_s
from windowcast.sources.wire.json_body import (
    Place,
    as_list,
    as_number,
    as_object,
    as_text,
    dotted,
    shown,
)
from windowcast.sources.wire.units import bare, conversion, known, plausible
from windowcast.terms.outlook import PLAUSIBLE
from windowcast.units import in_to_mm

# Field on the wire -> our name, kind of its unit.
MEASURED = {
    "temperature": ("temp_c", "temperature"),
    "dewpoint": ("dewpoint_c", "temperature"),
    "windSpeed": ("wind_mps", "speed"),
    "windGust": ("gust_mps", "speed"),
    "windDirection": ("wind_from_deg", "angle"),
    "precipitationLastHour": ("rain_mm", "depth"),
}
NAMES = (*(name for name, _ in MEASURED.values()), "cloud_frac")

# Marks of quality control that say "do not believe": rejected, questioned, judged bad by a person.
# Source: MADIS QC Information, table "QC Data Descriptor Values" (NOAA).
_NOT_BELIEVED = ("X", "Q", "B")

# Groups in the remarks of a METAR (Federal Meteorological Handbook No. 1, chapter 12, from memory):
# temperature and dew point to a tenth of a degree, sign 1 below zero; rain since the last routine
# report in hundredths of an inch, 0000 for a trace.
_T_GROUP = re.compile(r"\sT([01])(\d{3})(?:([01])(\d{3}))?\b", re.ASCII)
_P_GROUP = re.compile(r"\sP(\d{4})\b", re.ASCII)

# Eighths of the sky in the middle of each class of a METAR, over 8 (handbook as above).
_CLOUD = {
    "SKC": 0.0, "CLR": 0.0, "NSC": 0.0, "NCD": 0.0, "FEW": 1.5 / 8, "SCT": 3.5 / 8, "BKN": 6 / 8,
    "OVC": 1.0, "VV": 1.0,
}  # fmt: skip

_LAYERS_AT_MOST = 20
_RAW_AT_MOST = 2000  # characters; a METAR has about 100


class Report(NamedTuple):
    """When it was made (seconds since 1970), what it tells in SI by our names, and remarks."""

    at_s: int
    values: Mapping[str, float]
    has_raw: bool
    remarks: tuple[str, ...]


def read_report(properties: Mapping[str, object], place: Place) -> Report:
    """The report; a value that is null, not believed or impossible is left out."""
    values: dict[str, float] = {}
    remarks = []
    for field, (name, kind) in MEASURED.items():
        value, remark = _measured(properties.get(field), name, kind, (place[0], field))
        values[name] = value
        if remark:
            remarks.append(remark)
    raw = "" if properties.get("rawMessage") is None else properties["rawMessage"]
    message = as_text(raw, *place, "rawMessage")[:_RAW_AT_MOST]
    values["cloud_frac"] = _cloud(properties.get("cloudLayers"), (*place, "cloudLayers"))
    values |= {
        name: value
        for name, value in _remarked(message).items()
        if math.isnan(values[name]) and not _disbelieved(properties, name)
    }
    if values["wind_mps"] == 0:  # a calm is written as wind from 0°, which is no direction
        values["wind_from_deg"] = math.nan
    told = {name: value for name, value in values.items() if not math.isnan(value)}
    at_s = _timestamp(properties.get("timestamp"), (*place, "timestamp"))
    return Report(at_s=at_s, values=told, has_raw=bool(message), remarks=tuple(remarks))


def _timestamp(value: object, place: Place) -> int:
    text = as_text(value, *place)
    try:
        return read_instant_s(text)
    except ValueError as error:
        raise SourceGarbled(f"{dotted(place)}: {shown(text)} cannot be read: {error}") from None


def _measured(told: object, name: str, kind: str, place: Place) -> tuple[float, str | None]:
    """A value in SI and a remark if it had to be left out for more than being missing."""
    if told is None:
        return math.nan, None
    fields = as_object(told, *place)
    if fields.get("value") is None or fields.get("qualityControl") in _NOT_BELIEVED:
        return math.nan, None
    written = as_number(fields["value"], *place, "value")
    unit = as_text(fields.get("unitCode"), *place, "unitCode")
    convert = conversion(unit, kind)
    if convert is None:
        return math.nan, (
            f"{dotted(place)}: unit {shown(unit)} is not one of {kind} ({known(kind)}); values"
            " in it are not used"
        )
    value = convert(written) + 0.0
    low, high = PLAUSIBLE[name]
    if low <= value <= high:
        return value, None
    return math.nan, (
        f"{dotted(place)}: {written:.6g} {bare(unit)} cannot be (an hour has"
        f" {plausible(name, kind)}); such values are not used"
    )


def _disbelieved(properties: Mapping[str, object], name: str) -> bool:
    """Whether the service itself marks the value of one of our names as wrong."""
    field = next((f for f, (ours, _) in MEASURED.items() if ours == name), "")
    told = properties.get(field)
    return isinstance(told, dict) and told.get("qualityControl") in _NOT_BELIEVED


def _remarked(raw: str) -> dict[str, float]:
    """What the remarks of a METAR tell more exactly than its body."""
    found: dict[str, float] = {}
    remarks = raw.partition(" RMK")[2]
    temperature = _T_GROUP.search(remarks)
    if temperature:
        sign, tenths, dew_sign, dew_tenths = temperature.groups()
        found["temp_c"] = _signed(sign, tenths)
        if dew_sign is not None:
            found["dewpoint_c"] = _signed(dew_sign, dew_tenths)
    rain = _P_GROUP.search(remarks)
    if rain:
        found["rain_mm"] = in_to_mm(int(rain.group(1)) / 100)
    return {
        name: value
        for name, value in found.items()
        if PLAUSIBLE[name][0] <= value <= PLAUSIBLE[name][1]
    }


def _signed(sign: str, tenths: str) -> float:
    return (-1 if sign == "1" else 1) * int(tenths) / 10 + 0.0


def _cloud(layers: object, place: Place) -> float:
    """The greatest cover of any layer; NaN where no layer is told."""
    if layers is None:
        return math.nan
    amounts = (
        (as_object(layer, *place, index).get("amount"), index)
        for index, layer in enumerate(as_list(layers, *place, most=_LAYERS_AT_MOST))
    )
    words = [
        as_text(amount, *place, index, "amount") for amount, index in amounts if amount is not None
    ]
    return max((_CLOUD[word] for word in words if word in _CLOUD), default=math.nan)
