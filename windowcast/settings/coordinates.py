"""Latitude and longitude as people write them, read strictly.

Decimal degrees, degrees and minutes, or degrees, minutes and seconds; with or without symbols;
a sign in front or a letter N, S, E, W before or after.
"""

from __future__ import annotations

import re

from windowcast.settings.spelling import Slip, shown

MOST_CHARS = 40

_PLAIN = {
    **dict.fromkeys("º˚", "°"),
    **dict.fromkeys("′’´‘ʹ", "'"),
    **dict.fromkeys("″”“ʺ", '"'),
    "−": "-",  # the minus sign of typeset text
}
_ANGLE = re.compile(
    r"""(?P<deg>\d{1,3}(?:\.\d{1,15})?)
        (?:(?:\s*°\s*|\s*:\s*|\s+)(?P<min>\d{1,2}(?:\.\d{1,15})?)
            (?:(?:\s*'\s*|\s*:\s*|\s+)(?P<sec>\d{1,2}(?:\.\d{1,15})?)\s*"?
            |\s*'?)
        |\s*°?)""",
    re.VERBOSE | re.ASCII,
)
_SIGNED = re.compile(r"(?P<sign>[+-]?)\s*(?P<angle>.*)", re.DOTALL)
_FORMS = {
    "latitude": 'degrees from -90 to 90, such as 43.6105 or N 43 36.63',
    "longitude": 'degrees from -180 to 180, such as -116.2023 or W 116 12.14',
}  # fmt: skip


def latitude(value: object) -> float:
    """Degrees north of the equator."""
    return _degrees(value, "latitude", "NS", 90.0)


def longitude(value: object) -> float:
    """Degrees east of Greenwich; the United States are negative."""
    return _degrees(value, "longitude", "EW", 180.0)


def decimal(degrees: float) -> str:
    """Decimal degrees to six places, a tenth of a metre, without needless zeros."""
    written = f"{degrees:.6f}".rstrip("0").rstrip(".")
    return "0" if written == "-0" else written


def _degrees(value: object, axis: str, letters: str, most: float) -> float:
    written = str(value).strip()
    if not written:
        raise Slip("is empty", f"write {_FORMS[axis]}")
    if len(written) > MOST_CHARS:
        raise _not(written, axis)
    sign, rest = _hemisphere(_plain(written), letters, axis, written)
    angle = _ANGLE.fullmatch(rest)
    if angle is None:
        raise _guess(written, axis)
    degrees = sign * _sum(angle, written, axis)
    if not -most <= degrees <= most:
        raise _out_of_range(degrees, written, axis)
    return degrees


def _plain(written: str) -> str:
    one_way = "".join(_PLAIN.get(char, char) for char in " ".join(written.split()))
    return one_way.replace("''", '"')


def _hemisphere(plain: str, letters: str, axis: str, written: str) -> tuple[float, str]:
    """The sign that a letter or a minus gives, and the angle that is left."""
    if not plain.replace("°", "").isascii():
        raise _not(written, axis)
    found = [char for char in plain.upper() if char.isalpha()]
    if len(found) == 1 and plain[0].upper() == found[0]:
        plain = plain[1:].lstrip()
    elif len(found) == 1 and plain[-1].upper() == found[0]:
        plain = plain[:-1].rstrip()
    elif found:
        raise _guess(written, axis)
    if found and found[0] not in "NSEW":
        raise _not(written, axis)
    if found and found[0] not in letters:
        other = "longitude" if axis == "latitude" else "latitude"
        raise Slip(f"{shown(written)} is a {other}", "put latitude under lat, longitude under lon")
    match = _SIGNED.fullmatch(plain)
    minus, rest = (match.group("sign"), match.group("angle")) if match else ("", plain)
    if minus and found:
        raise Slip(f"{shown(written)} has a sign and a letter", "keep one of the two")
    return (-1.0 if minus == "-" or found[:1] in (["S"], ["W"]) else 1.0), rest


def _sum(angle: re.Match[str], written: str, axis: str) -> float:
    deg, minutes, seconds = angle.group("deg", "min", "sec")
    if minutes is None:
        return float(deg)
    if "." in deg or (seconds is not None and "." in minutes):
        raise Slip(f"{shown(written)} has a fraction before its last part", f"write {_FORMS[axis]}")
    if float(minutes) >= 60 or float(seconds or 0) >= 60:
        raise Slip(f"{shown(written)} has 60 minutes or seconds, or more", f"write {_FORMS[axis]}")
    return float(deg) + float(minutes) / 60 + float(seconds or 0) / 3600


def _out_of_range(degrees: float, written: str, axis: str) -> Slip:
    if axis == "longitude" and 180 < degrees <= 360:
        cure = f"write {decimal(degrees - 360)} if it counts eastward round the globe"
        return Slip(f"{shown(written)} is more than 180", cure)
    return Slip(f"{shown(written)} is no {axis}", f"write {_FORMS[axis]}")


def _guess(written: str, axis: str) -> Slip:
    """What a text that is no angle most likely is."""
    if re.fullmatch(r"[+-]?[0-9]{1,3},[0-9]+\s*°?", written):
        return Slip(f"{shown(written)} has a decimal comma", f"write {written.replace(',', '.')}")
    if len(re.findall(r"[0-9]+[.,]?[0-9]*", written)) == 2 and re.search(r"[,;/]", written):
        cure = "put latitude under lat, longitude under lon"
        return Slip(f"{shown(written)} holds two numbers", cure)
    return _not(written, axis)


def _not(written: str, axis: str) -> Slip:
    return Slip(f"{shown(written)} is not a {axis}", f"write {_FORMS[axis]}")
