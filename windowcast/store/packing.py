"""An outlook as bytes and back, bit for bit: float32 arrays, hours, origins and hazards.

Four bytes name the form; the rest is zlib: the length of a JSON head, the head, an origin for
each hour, and the arrays (name, member, hour). A yard-week takes about 3 kB. zlib's checksum
notices damage.
"""

from __future__ import annotations

import json
import struct
import zlib
from typing import Any

import numpy as np

from windowcast.store.instants import moment_if_told, text_if_told
from windowcast.terms.outlook import VARIABLES, Hazard, Origin, Outlook
from windowcast.times import hour_index

FORM = b"WCO1"


def packed(outlook: Outlook) -> bytes:
    """The bytes of an outlook; its arrays are kept as float32, those of ``VARIABLES`` alone."""
    head = {
        "yard_key": outlook.yard_key,
        "first": _number(outlook.hours[0]) if outlook.hours.size else 0,
        "shape": [len(VARIABLES), outlook.members, outlook.hours.size],
        "names": VARIABLES,
        "origins": [_from_origin(origin) for origin in outlook.origins],
        "hazards": [
            [item.phenomenon, item.significance, _number(item.first), item.count]
            for item in outlook.hazards
        ],
    }
    text = json.dumps(head).encode("ascii")
    numbers = np.stack([np.asarray(outlook.arrays[name], "<f4") for name in VARIABLES])
    origins = np.asarray(outlook.origin_of_hour, np.int8).tobytes()
    body = struct.pack("<I", len(text)) + text + origins + numbers.tobytes()
    return FORM + zlib.compress(body, 6)


def unpacked(content: bytes) -> Outlook:
    """The outlook that was packed; ValueError where the bytes are damaged."""
    if content[:4] != FORM:
        raise ValueError("packed weather of a form that is not known")
    try:
        body = zlib.decompress(content[4:])
        (length,) = struct.unpack_from("<I", body)
        return _outlook(json.loads(body[4 : 4 + length]), body[4 + length :])
    except (zlib.error, struct.error, LookupError, TypeError, ValueError) as error:
        raise ValueError("packed weather is damaged") from error


def _outlook(head: dict[str, Any], rest: bytes) -> Outlook:
    _, members, count = shape = head["shape"]
    arrays = np.frombuffer(rest, "<f4", offset=count).reshape(shape).astype(np.float32)
    told = dict(zip(head["names"], arrays, strict=True))
    return Outlook(
        yard_key=head["yard_key"],
        hours=hour_index(np.datetime64(head["first"], "h"), count),
        arrays={
            name: told.get(name, np.full((members, count), np.nan, np.float32))
            for name in VARIABLES
        },
        origins=tuple(_to_origin(item) for item in head["origins"]),
        origin_of_hour=np.frombuffer(rest, np.int8, count),
        hazards=tuple(
            Hazard(
                phenomenon=phenomenon,
                significance=significance,
                first=np.datetime64(first, "h"),
                count=length,
            )
            for phenomenon, significance, first, length in head["hazards"]
        ),
    )


def _number(hour: np.datetime64) -> int:
    return int(hour.astype("datetime64[h]").astype(np.int64))


def _from_origin(origin: Origin) -> dict[str, Any]:
    return {
        "name": origin.name,
        "kind": origin.kind,
        "issued_at": text_if_told(origin.issued_at),
        "detail": origin.detail,
        "derived": sorted(origin.derived),
        "spread": origin.spread,
        "credit": origin.credit,
    }


def _to_origin(item: dict[str, Any]) -> Origin:
    return Origin(
        **{
            **item,
            "issued_at": moment_if_told(item["issued_at"]),
            "derived": frozenset(item["derived"]),
        }
    )
