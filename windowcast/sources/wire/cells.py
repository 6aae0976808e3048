"""Whether a yard lies in a grid cell, and how far outside."""

from __future__ import annotations

import math
from collections.abc import Sequence

from windowcast.science.distance import EARTH_RADIUS_KM

_KM_PER_DEG = math.pi / 180 * EARTH_RADIUS_KM


def km_outside(polygon: Sequence[tuple[float, float]], lat_deg: float, lon_deg: float) -> float:
    """How far a place lies outside a small closed polygon of (longitude, latitude); 0 inside.

    On a plane that touches the earth at the place: exact enough for cells of a few kilometres,
    and a far cell comes out far.
    """
    east = _KM_PER_DEG * math.cos(math.radians(lat_deg))
    corners = [
        (((lon - lon_deg + 180) % 360 - 180) * east, (lat - lat_deg) * _KM_PER_DEG)
        for lon, lat in polygon
    ]
    edges = list(zip(corners, [*corners[1:], *corners[:1]], strict=True))
    crossings = sum(_crosses(a, b) for a, b in edges)
    return 0.0 if crossings % 2 else min(_km_to_edge(a, b) for a, b in edges)


def _crosses(a: tuple[float, float], b: tuple[float, float]) -> bool:
    """Whether an edge crosses the half line from the origin to the east."""
    (ax, ay), (bx, by) = a, b
    return (ay > 0) != (by > 0) and ax + (bx - ax) * ay / (ay - by) > 0


def _km_to_edge(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Distance from the origin to the nearest point of an edge."""
    (ax, ay), (bx, by) = a, b
    along = (bx - ax) ** 2 + (by - ay) ** 2
    share = 0.0 if along == 0 else min(1.0, max(0.0, -(ax * (bx - ax) + ay * (by - ay)) / along))
    return math.hypot(ax + share * (bx - ax), ay + share * (by - ay))
