"""How far two places on the earth are from each other."""

from __future__ import annotations

from math import asin, cos, hypot, radians, sin, sqrt

EARTH_RADIUS_KM = 6371.0  # mean radius, IUGG
MOVED_KM = 5.0  # rule of this project: two cells of the forecast grid are another place's weather


def distance_km(lat_a_deg: float, lon_a_deg: float, lat_b_deg: float, lon_b_deg: float) -> float:
    """Distance along the great circle.

    Parameters
    ----------
    lat_a_deg, lon_a_deg, lat_b_deg, lon_b_deg
        Latitudes and longitudes of the two places. [deg]

    Returns
    -------
    float
        Distance. [km]

    References
    ----------
    Sinnott 1984, "Virtues of the Haversine", Sky and Telescope 68(2), 159 (from memory).
    """
    lat_a, lat_b = radians(lat_a_deg), radians(lat_b_deg)
    across = sqrt(cos(lat_a) * cos(lat_b)) * sin(radians(lon_b_deg - lon_a_deg) / 2.0)
    half_chord = hypot(sin((lat_b - lat_a) / 2.0), across)
    return 2.0 * EARTH_RADIUS_KM * asin(min(1.0, half_chord))
