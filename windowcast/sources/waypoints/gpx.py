"""GPX: the waypoints of a receiver or a telephone. Tracks and routes are no yards."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from windowcast.settings.summary import counted
from windowcast.sources.waypoints.words import (
    Found,
    demand_some,
    left_out,
    one_waypoint,
)
from windowcast.sources.waypoints.xml_tree import local_name, words_of

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element


def read_gpx(root: Element, file: str) -> Found:
    """Every ``wpt`` of a GPX tree; ConfigProblem where there is none."""
    parts = Counter(local_name(part) for part in root)
    lines = [counted(parts[tag], word) for tag, word in _LINES.items() if parts[tag]]
    points = [part for part in root if local_name(part) == "wpt"]
    why = f"it holds {' and '.join(lines)}, no waypoint" if lines else "it holds no waypoint"
    demand_some(len(points), file, why, "export the waypoints, one for each yard")
    return Found(
        waypoints=tuple(
            one_waypoint(_cells(point), file=file, number=at, kind="waypoint", lon_first=False)
            for at, point in enumerate(points, 1)
        ),
        remarks=left_out(file, lines),
    )


_LINES = {"trk": "track", "rte": "route"}


def _cells(point: Element) -> dict[str, str]:
    return {
        "name": words_of(point, "name"),
        "lat": point.get("lat", ""),
        "lon": point.get("lon", ""),
        "notes": words_of(point, "desc", "cmt"),
    }
